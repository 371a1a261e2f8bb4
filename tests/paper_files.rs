//! Paper, key and plan files as people write them: what is read, and every sentence said about what is wrong.

#[cfg(test)]
#[path = "paper_files/check.rs"]
mod check;
#[cfg(test)]
#[path = "paper_files/format_2.rs"]
mod format_2;
#[cfg(test)]
#[path = "paper_files/found.rs"]
mod found;
#[cfg(test)]
#[path = "paper_files/good.rs"]
mod good;
#[cfg(test)]
#[path = "paper_files/line_ends.rs"]
mod line_ends;
#[cfg(test)]
#[path = "paper_files/new.rs"]
mod new;
#[cfg(test)]
#[path = "paper_files/places.rs"]
mod places;
#[cfg(test)]
#[path = "paper_files/slips.rs"]
mod slips;
#[cfg(test)]
#[path = "paper_files/unsound_pairs.rs"]
mod unsound_pairs;
#[cfg(test)]
#[path = "paper_files/warned.rs"]
mod warned;
#[cfg(test)]
#[path = "paper_files/wrong_awards.rs"]
mod wrong_awards;
#[cfg(test)]
#[path = "paper_files/wrong_keys.rs"]
mod wrong_keys;
#[cfg(test)]
#[path = "paper_files/wrong_papers.rs"]
mod wrong_papers;
#[cfg(test)]
#[path = "paper_files/wrong_texts.rs"]
mod wrong_texts;

/// Where `«` stands in a text, as `line:col`, and the text without it.
///
/// The tests mark where a problem should be found with it, so that no place is worked out by the
/// code that is tested.
#[cfg(test)]
fn marked(text: &str) -> (String, Vec<String>) {
    let (mut plain, mut places) = (String::new(), Vec::new());
    for c in text.chars() {
        if c == '«' {
            let line = plain.matches('\n').count() + 1;
            let col = plain.chars().rev().take_while(|c| *c != '\n').count() + 1;
            places.push(format!("{line}:{col}"));
        } else {
            plain.push(c);
        }
    }
    (plain, places)
}

/// Replaces `from`, which must be there, by `to` with its marks, and gives the lines expected.
#[cfg(test)]
fn changed(good: &str, from: &str, to: &str, sentences: &[&str]) -> (String, String) {
    assert_eq!(good.matches(from).count(), 1, "{from}");
    let (text, places) = marked(&good.replace(from, to));
    assert_eq!(places.len(), sentences.len(), "{to}");
    let lines = places.iter().zip(sentences);
    let lines: Vec<String> = lines
        .map(|(at, said)| format!("f.ron:{at}: {said}"))
        .collect();
    (text, lines.join("\n"))
}

/// Runs a `paper` command and gives what it wrote and how it ended.
#[cfg(test)]
fn run(words: &[&str]) -> (String, Result<(), pacebell::commands::Failure>) {
    use clap::Parser;
    use pacebell::commands::enter::Desk;
    use pacebell::commands::{Args, CommandArgs, paper};

    let words = ["pacebell", "paper"].iter().chain(words);
    let command = Args::try_parse_from(words).unwrap().command;
    let Some(CommandArgs::Paper(words)) = command else {
        panic!("not a paper command: {command:?}");
    };
    let today = chrono::NaiveDate::from_ymd_opt(2026, 10, 1).unwrap();
    let (mut out, mut aside) = (Vec::new(), Vec::new());
    let mut desk = Desk {
        input: &mut std::io::empty(),
        asks: false,
        out: &mut out,
        out_is_read: false,
        aside: &mut aside,
    };
    let end = paper::run(&words, None, today, &mut desk);
    (String::from_utf8(out).unwrap(), end)
}

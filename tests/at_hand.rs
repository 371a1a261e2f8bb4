//! Papers, keys and sittings are found where they lie, read once, and each counts once; what does not
//! count is told, with the reason.
#![cfg(test)]

#[path = "common/old.rs"]
mod old;
#[path = "common/written.rs"]
mod written;

use std::fs;

use chrono::TimeDelta;
use old::OldFiles;
use pacebell::domain::header::Header;
use pacebell::storage::journal;

/// The answer to a command that must succeed: output, and what is said beside it.
fn said(files: &OldFiles, words: &str) -> (String, String) {
    let answer = files.run(words);
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    (answer.out, answer.err)
}

#[test]
fn a_key_beside_its_paper_need_not_be_named() {
    let files = OldFiles::copied();
    for (without, with) in [
        ("mark @marten-a", "--key @a.key"),
        (
            "mark @marten-a @otter-b --json",
            "--key @a.key --key @b.key",
        ),
        ("mark marten --json", "--keys sample-papers"),
        ("feedback @marten-a", "--key @a.key"),
        ("group --paper saltmarsh-a sessions --json", "--key @a.key"),
        ("group --paper @a.paper sessions --json", "--keys @a.key"),
        (
            "boundary @lapwing-a @marten-a @teasel-a --top 2/5 --ratio 5:3:2 --json",
            "--key @a.key",
        ),
        ("luck saltmarsh-a --guesses 1-3 --json", "--key @a.key"),
        ("progress marten --json", "--key sample-papers"),
        (
            "forecast marten --paper saltmarsh-b --json",
            "--key sample-papers",
        ),
    ] {
        let without_words = without.replace("@otter-b", "@marten-b");
        let found = said(&files, &without_words).0;
        let named = said(&files, &format!("{without_words} {with}")).0;
        assert!(!found.is_empty());
        assert_eq!(found, named, "{without}");
    }
}

#[test]
fn without_a_key_beside_the_paper_the_sentence_says_where_to_put_it() {
    let files = OldFiles::copied();
    fs::remove_file(files.path().join("sample-papers/saltmarsh-a.key.ron")).unwrap();
    for words in [
        "mark @marten-a",
        "feedback @marten-a",
        "group --paper saltmarsh-a sessions",
        "boundary @marten-a @teasel-a --top 2/5 --ratio 5:3:2",
    ] {
        let answer = files.run(words);
        assert_eq!(answer.code, Some(1), "{words}");
        assert!(
            answer.err.contains("there's no answer key for the paper `saltmarsh-a`; put its .key.ron beside its .paper.ron"),
            "{words}: {}",
            answer.err
        );
    }
    // A folder loses only what has no key, and says so.
    let (_, aside) = said(&files, "mark marten");
    assert!(
        aside.contains("left out 1 sitting without a key (saltmarsh-a 1)"),
        "{aside}"
    );
}

/// The folder of papers holds three; which of them is meant must be said, and no figure is mixed.
#[test]
fn boundaries_of_several_papers_are_not_mixed() {
    let files = OldFiles::copied();
    let answer = files.run("boundary sessions");
    assert_eq!(answer.code, Some(2), "{}", answer.err);
    assert!(
        answer
            .err
            .contains("saltmarsh-a, saltmarsh-b, saltmarsh-old"),
        "{}",
        answer.err
    );
    let (_, aside) = said(
        &files,
        "boundary sessions --key @a.key --top 2/5 --ratio 5:3:2 --json",
    );
    assert!(
        aside.contains("counted 3 sittings, the first whole one of each pupil"),
        "{aside}"
    );
    assert!(
        aside.contains("left out 6 sittings of another paper"),
        "{aside}"
    );
}

#[test]
fn a_copy_is_told_by_every_command_that_meets_it_and_one_that_differs_is_told_apart() {
    let files = OldFiles::copied();
    let original = files.path().join(files.sitting("marten", "a"));
    let text = fs::read_to_string(&original).unwrap();
    let copy = original.with_file_name("copied.session.ron");
    fs::write(&copy, &text).unwrap();
    let commands = [
        "mark marten --json",
        "feedback --group pages sessions/marten",
        "group --paper saltmarsh-a sessions --json",
        "boundary --key @a.key sessions --top 2/5 --ratio 5:3:2 --json",
        "progress marten --json",
    ];
    for words in commands {
        let (_, aside) = said(&files, words);
        assert!(
            aside.contains("copied.session.ron: the same sitting as")
                || aside.contains("copied.session.ron; it counts once"),
            "{words}: {aside}"
        );
        assert!(!aside.contains("with different lines"), "{words}: {aside}");
    }
    let older = text.lines().next().unwrap().to_owned() + "\n";
    fs::write(&copy, older).unwrap();
    let (_, aside) = said(&files, "mark marten --json");
    assert!(
        aside.contains("it counts once"),
        "an older state is a copy: {aside}"
    );
    // One that was begun elsewhere under the same id.
    let record = journal::read(&original).unwrap();
    let header = Header {
        program: "another".to_owned(),
        ..record.header
    };
    fs::write(&copy, written::file(&header, &record.events[..3])).unwrap();
    let (_, aside) = said(&files, "mark marten --json");
    assert!(aside.contains("with different lines"), "{aside}");
}

#[test]
fn a_pupil_counts_once_in_a_group_by_the_first_whole_sitting() {
    let files = OldFiles::copied();
    let (before, _) = said(&files, "group --paper saltmarsh-a sessions --json");
    // The same pupil's sitting of the paper once more: another id, a later day.
    let original = files.path().join(files.sitting("marten", "a"));
    let record = journal::read(&original).unwrap();
    let header = Header {
        sitting: format!("{}-again", record.header.sitting),
        started: record.header.started + TimeDelta::days(400),
        ..record.header
    };
    let again = original.with_file_name("again.session.ron");
    fs::write(again, written::file(&header, &record.events)).unwrap();
    let (after, aside) = said(&files, "group --paper saltmarsh-a sessions --json");
    assert_eq!(after, before);
    assert!(
        aside.contains("left out 1 sitting of pupils whose first whole sitting counts; --every counts them as well"),
        "{aside}"
    );
    let (every, aside) = said(&files, "group --paper saltmarsh-a sessions --json --every");
    assert_ne!(every, before);
    assert!(aside.contains("every whole one of 3 pupils"), "{aside}");
    // Folders, pupils and files name the same sittings.
    let (by_pupils, _) = said(
        &files,
        "group --paper saltmarsh-a lapwing marten teasel --json",
    );
    assert_eq!(by_pupils, before);
}

/// A tutor's thresholds hold for every reader, wherever the sittings lie: a slip in them is told by each.
#[test]
fn the_thresholds_of_the_named_folder_are_read_by_every_command_that_judges_an_hour() {
    let files = OldFiles::copied();
    let own = files.path().join("own");
    fs::create_dir(&own).unwrap();
    fs::write(own.join("thresholds.ron"), "(format: 1, slip: 4)").unwrap();
    for words in [
        "group --paper saltmarsh-a sessions --json",
        "mark @marten-a --json",
        "feedback @marten-a",
    ] {
        said(&files, words);
        let answer = files.run(&format!("{words} --sessions own"));
        assert_eq!(answer.code, Some(1), "{words}");
        assert!(
            answer.err.contains("own/thresholds.ron"),
            "{words}: {}",
            answer.err
        );
    }
}

#[test]
fn another_kind_of_file_is_not_called_damaged() {
    let files = OldFiles::copied();
    let list = files.path().join("class.csv");
    fs::write(&list, "pupil,1,2").unwrap();
    for words in [
        "mark @a.key",
        "mark class.csv",
        "repair @a.key",
        "repair class.csv",
    ] {
        let told = files.run(words);
        assert_eq!(told.code, Some(1), "{words}: {}", told.err);
        assert!(
            told.err
                .contains("this isn't a session file; name a file that ends in .session.ron"),
            "{words}: {}",
            told.err
        );
        assert!(!told.err.contains("damaged"), "{words}: {}", told.err);
    }
    assert_eq!(fs::read_to_string(&list).unwrap(), "pupil,1,2");
}

/// Papers of a tutor's own, with sittings somewhere else than here.
#[test]
fn papers_are_found_beside_the_folder_of_sittings_and_in_it() {
    let files = OldFiles::copied();
    let work = files.path().join("work");
    fs::create_dir_all(work.join("sessions")).unwrap();
    fs::create_dir_all(files.path().join("elsewhere")).unwrap();
    for (place, id) in [
        ("work", "beside"),
        ("work/papers", "kept"),
        ("work/sample-papers", "sample"),
        ("work/sessions", "within"),
    ] {
        let folder = files.path().join(place);
        fs::create_dir_all(&folder).unwrap();
        let paper = format!(
            "(format: 1, id: {id:?}, title: \"Fen\", minutes: 10, options: \"ABCDE\",
            rule: (sections: [(name: \"all\", first: 1, last: 2, right: 1)]), questions: [(), ()])"
        );
        fs::write(folder.join(format!("{id}.paper.ron")), paper).unwrap();
        let key = format!("(format: 1, paper: {id:?}, answers: \"AB\")");
        fs::write(folder.join(format!("{id}.key.ron")), key).unwrap();
        let words = format!("luck {id} --guesses 1 --sessions work/sessions --json");
        said(&files, &words);
        let words = format!(
            "enter {id} --pupil wren --answers AB --date 2026-11-20 --sessions work/sessions"
        );
        said(&files, &words);
    }
    // The keys beside these papers are found as well.
    let (out, _) = said(&files, "mark wren --sessions work/sessions --json");
    assert_eq!(out.matches("\"sitting\"").count(), 4, "{out}");
    // Nothing of it is at hand where the sittings are others.
    let told = files.run("luck beside --guesses 1 --sessions elsewhere/sessions");
    assert_eq!(told.code, Some(1));
    assert!(
        told.err.contains("there's no paper `beside` here"),
        "{}",
        told.err
    );
}

/// Whatever is advised, that nobody has checked the rule is read before it.
#[test]
fn advice_drawn_from_an_unchecked_rule_says_so_first() {
    let files = OldFiles::copied();
    for paper in ["a", "b"] {
        let path = files.path().join(files.meant(&format!("@{paper}.paper")));
        let text = fs::read_to_string(&path).unwrap();
        let lines = text.lines().filter(|line| !line.contains("rule_checked"));
        fs::write(&path, lines.collect::<Vec<_>>().join("\n")).unwrap();
    }
    let caution = "Check this year's rules first: nobody has recorded a check.";
    for words in [
        "aim saltmarsh-a --mark 60",
        "luck saltmarsh-a --guesses 1-3",
        "forecast marten --paper saltmarsh-b",
        "plan marten --paper saltmarsh-b",
    ] {
        let (out, _) = said(&files, words);
        let lines: Vec<_> = out.lines().collect();
        let at = lines.iter().position(|line| line.contains(caution));
        let at = at.unwrap_or_else(|| panic!("{words}: {out}"));
        // Before it: what it is about, its aim, and that it is an estimate.
        assert!(at <= 4, "{words}: line {}: {out}", at + 1);
        assert_eq!(out.matches(caution).count(), 1, "{words}: {out}");
    }
    let told = said(&files, "paper check @a.paper").0;
    assert!(
        told.contains(caution)
            && told.contains("in the paper's field `rule_checked`")
            && told.contains("fine"),
        "{told}"
    );
}

//! One table of signs: what every page, legend, help and typed line shows is held to it.
//!
//! The pages are those of the snapshots and goldens, which other tests hold to what is drawn.
#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot read a page must stop"
)]

#[path = "common/papers.rs"]
mod papers;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use pacebell::commands::enter::sheet::AnswerSheet;
use pacebell::domain::event::How;
use pacebell::domain::rule::QuestionNo;
use pacebell::words::sign::{GLANCE, GUESS_ROUND, LATE, MARKED, REPLAY, SHEET, Sign, VOID, legend};

/// Every sign, by its mark.
fn table() -> BTreeMap<&'static str, Sign> {
    let others = [Sign::Open, Sign::Unsaved];
    let all = [&SHEET[..], &GUESS_ROUND, &MARKED, &REPLAY, &others].concat();
    all.into_iter().map(|sign| (sign.mark(), sign)).collect()
}

fn files(folder: &Path, endings: &[&str], into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let ending = path.extension().map(|ending| ending.to_string_lossy());
        if path.is_dir() {
            files(&path, endings, into);
        } else if ending.is_some_and(|ending| endings.contains(&&*ending)) {
            into.push(path);
        }
    }
}

/// A snapshot's text without the names of its styles.
fn plain(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('<') {
        plain.push_str(before);
        let named = after.split_once('>').filter(|(name, _)| {
            let style = |c: char| c.is_ascii_uppercase() || "/,:_-".contains(c);
            *name == "/" || (name.len() > 2 && name.chars().all(style))
        });
        rest = if let Some((_, after)) = named {
            after
        } else {
            plain.push('<');
            after
        };
    }
    plain + rest
}

/// Every line of every page, and of the front page of the project, with where it stands.
fn lines() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut pages = vec![root.join("README.md")];
    files(&root.join("tests"), &["snap", "txt"], &mut pages);
    let mut lines = Vec::new();
    for page in pages {
        let text = plain(&fs::read_to_string(&page).unwrap());
        let name = page.file_name().unwrap().to_string_lossy().into_owned();
        lines.extend(text.lines().map(|line| (name.clone(), line.to_owned())));
    }
    lines
}

/// The pairs of mark and meaning in a legend.
fn pairs(line: &str) -> Vec<(String, String)> {
    let line = line.trim().trim_start_matches("Signs: ");
    let pairs = line
        .split("  ")
        .filter_map(|pair| pair.trim().split_once(' '));
    pairs
        .map(|(mark, means)| (mark.to_owned(), means.to_owned()))
        .collect()
}

#[test]
fn no_mark_has_two_meanings_in_any_legend() {
    let table = table();
    let means: BTreeSet<_> = table.values().map(|sign| sign.means()).collect();
    assert_eq!(means.len(), table.len(), "no meaning has two marks");
    let known = |line: &str| {
        [&SHEET[..], &GLANCE, &GUESS_ROUND, &MARKED, &REPLAY]
            .iter()
            .any(|signs| line.contains(&legend(signs)))
    };
    let mut read = 0;
    for (page, line) in lines() {
        let first = |sign: Sign| format!("{} {}  ", sign.mark(), sign.means());
        let looks_like_one = line.contains("Signs: ")
            || [Sign::Seen, Sign::Right]
                .iter()
                .any(|sign| line.contains(&first(*sign)));
        if looks_like_one && line.trim() != "Signs" {
            read += 1;
            assert!(known(&line), "{page}: {line}");
        }
    }
    assert!(read > 20, "{read}");
}

#[test]
fn help_explains_the_signs_of_the_table() {
    let table = table();
    let mut seen = BTreeSet::new();
    for (page, line) in lines() {
        if !page.contains("help_") {
            continue;
        }
        for (mark, sign) in &table {
            // At the left on a narrow page, beside the keys on a wide one.
            let says = |text: &str| {
                let text = text.trim_start();
                let said = text.strip_prefix(mark).map(str::trim_start);
                said.is_some_and(|said| said == sign.explained())
            };
            if says(&line) || line.get(46..).is_some_and(says) {
                seen.insert(*mark);
            }
        }
    }
    let explained: BTreeSet<_> = [&SHEET[..], &[Sign::Open, Sign::Unsaved, Sign::Filled]]
        .concat()
        .iter()
        .map(|sign| sign.mark())
        .collect();
    assert_eq!(seen, explained);
}

/// A row of the answer sheet: state, letters, how, flag and saving, as far as they are there.
fn sheet_row(line: &str) -> Option<(String, bool, String)> {
    let row: Vec<char> = line.split('│').next()?.chars().collect();
    let at = |place: usize| row.get(place).copied().unwrap_or(' ');
    let number: String = row.get(1..3)?.iter().collect();
    number.trim().parse::<u16>().ok()?;
    let options: String = row.get(6..21)?.iter().collect();
    let letters: String = options
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .collect();
    if !matches!(&*letters, "ABCDE" | "12345") || !matches!(at(0), ' ' | '>') || at(3) != ' ' {
        return None;
    }
    let behind: String = (22..26).map(at).collect();
    Some((at(4).to_string(), options.contains('['), behind))
}

#[test]
fn every_row_of_a_sheet_has_the_signs_of_the_table() {
    let mut seen = BTreeSet::new();
    for (page, line) in lines() {
        let Some((state, chosen, behind)) = sheet_row(&line) else {
            continue;
        };
        let place = format!("{page}: {line}");
        let fits = |text: &str, signs: &[Sign]| {
            text.trim().is_empty() || signs.iter().any(|sign| sign.mark() == text.trim())
        };
        let (how, rest) = behind.split_at(2);
        let (flag, unsaved) = rest.split_at(1);
        assert!(fits(&state, &[Sign::Seen, Sign::Later]), "{place}");
        assert!(
            fits(how, &[Sign::Unsure, Sign::Guess, Sign::Filled]),
            "{place}"
        );
        assert!(
            fits(flag, &[Sign::Flag]) && fits(unsaved, &[Sign::Unsaved]),
            "{place}"
        );
        // The chosen letter says that there is an answer, and only an answer is marked.
        assert!(!chosen || state == " ", "{place}");
        assert!(chosen || how.trim().is_empty(), "{place}");
        seen.extend([&state, how, flag, unsaved].map(|text| text.trim().to_owned()));
    }
    let shown = [
        Sign::Seen,
        Sign::Later,
        Sign::Unsure,
        Sign::Guess,
        Sign::Filled,
        Sign::Flag,
        Sign::Unsaved,
    ];
    for sign in shown {
        assert!(seen.contains(sign.mark()), "no page shows {sign:?}");
    }
}

#[test]
fn every_marked_answer_has_a_sign_of_the_table_and_a_word_for_the_rest() {
    let marks: Vec<_> = MARKED.iter().map(|sign| sign.mark()).collect();
    let (mut seen, mut words) = (BTreeSet::new(), BTreeSet::new());
    for (page, line) in lines() {
        if !page.starts_with("review_pages") {
            continue;
        }
        let parts: Vec<_> = line.split_whitespace().collect();
        for three in parts.windows(4) {
            let [number, mark, letter, behind] = three else {
                continue;
            };
            let is_letter =
                letter.len() == 1 && letter.starts_with(|c: char| c.is_ascii_uppercase());
            if number.parse::<u16>().is_ok() && marks.contains(mark) && is_letter {
                seen.insert((*mark).to_owned());
                if behind.chars().all(|c| c.is_ascii_lowercase()) {
                    words.insert((*behind).to_owned());
                }
            }
            // A letter takes no sign behind it.
            let starred = letter.len() == 2 && letter.ends_with(['*', '!', '.']);
            assert!(!(marks.contains(mark) && starred), "{page}: {line}");
        }
    }
    assert_eq!(seen, ["+", "x"].map(str::to_owned).into());
    assert!(words.contains(LATE), "{words:?}");
    let known: BTreeSet<_> = [LATE, VOID].map(str::to_owned).into();
    assert!(words.is_subset(&known), "{words:?}");
}

#[test]
fn a_sheet_that_is_typed_in_takes_and_shows_the_signs_of_the_table() {
    let section = papers::section(1, 4, ["1", "0", "0"]);
    let paper = papers::paper("P", 60, [section]);
    let mut sheet = AnswerSheet::new(&paper.outline);
    let (unsure, guess, blank) = (Sign::Unsure.mark(), Sign::Guess.mark(), Sign::Blank.mark());
    sheet
        .read_line(&format!("A{unsure}B{guess}C{guess}{unsure}{blank}"))
        .unwrap();
    let whole: Vec<_> = sheet.whole().unwrap().map(|(_, typed)| typed.how).collect();
    assert_eq!(whole, [How::Unsure, How::Guessed, How::Worked, How::Worked]);
    let shown = sheet.shown(QuestionNo(1)).join("\n");
    for cell in [
        format!("1 A{unsure} "),
        format!("2 B{guess} "),
        format!("4 {blank}"),
    ] {
        assert!(shown.contains(&cell), "{shown}");
    }
    assert_eq!(pairs(&legend(&MARKED)).len(), MARKED.len());
}

//! Holds texts against files, and says where they part.

use std::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

/// Lines shown before the first that differs, and from there on.
const BEFORE: usize = 3;
const SHOWN: usize = 8;
/// Letters of a long line shown before the first that differs, and from there on.
const LEAD: usize = 60;
const WIDTH: usize = 160;

/// The files, and how far what was said has left them.
pub(crate) struct Golden {
    folder: PathBuf,
    bless: bool,
    parted: String,
}

impl Golden {
    pub(crate) fn new(folder: PathBuf) -> Self {
        Self {
            folder,
            bless: std::env::var_os("PACEBELL_BLESS").is_some_and(|value| value == "1"),
            parted: String::new(),
        }
    }

    /// Holds a text against its file; nothing said has no file.
    pub(crate) fn hold(&mut self, file: &str, words: &str, text: &str) {
        let path = self.folder.join(file);
        let kept = fs::read_to_string(&path).ok();
        if kept.as_deref().unwrap_or_default() == text {
            return;
        }
        if self.bless {
            if text.is_empty() {
                fs::remove_file(path).unwrap();
            } else {
                fs::write(path, text).unwrap();
            }
            return;
        }
        writeln!(self.parted, "\ntests/golden/{file}: pacebell {words}").unwrap();
        self.parted += &kept.map_or_else(
            || "  there is no such file\n".to_owned(),
            |kept| difference(&kept, text),
        );
    }

    /// Fails with every difference.
    pub(crate) fn done(self) {
        assert!(
            self.parted.is_empty(),
            "{}\nPACEBELL_BLESS=1 cargo test --test golden takes what is said now",
            self.parted
        );
    }
}

/// The first lines that differ, `-` as kept and `+` as said now: those that were changed in place, or from
/// the first to the last where some came or went.
fn difference(kept: &str, said: &str) -> String {
    let (kept, said): (Vec<_>, Vec<_>) = (kept.split('\n').collect(), said.split('\n').collect());
    let same = kept.iter().zip(&said).take_while(|(a, b)| a == b).count();
    let (before, kept) = kept.split_at(same);
    let said = &said[same..];
    let mut shown = format!("  from line {}\n", same + 1);
    let mut show = |sign: char, line: &str| writeln!(shown, "  {sign} {line}").unwrap();
    for line in &before[same.saturating_sub(BEFORE)..] {
        show(' ', &part(line, 0));
    }
    if kept.len() == said.len() {
        let changed = kept.iter().zip(said).filter(|(a, b)| a != b);
        for (kept, said) in changed.take(SHOWN) {
            let letters = kept.chars().zip(said.chars());
            let apart = letters.take_while(|(a, b)| a == b).count();
            show('-', &part(kept, apart));
            show('+', &part(said, apart));
        }
        return shown;
    }
    let lines = kept.iter().rev().zip(said.iter().rev());
    let after = lines.take_while(|(a, b)| a == b).count();
    for (sign, lines) in [('-', kept), ('+', said)] {
        for line in lines[..lines.len() - after].iter().take(SHOWN) {
            show(sign, &part(line, 0));
        }
    }
    shown
}

/// The line, or of a long one what stands around the letter.
fn part(line: &str, apart: usize) -> String {
    if line.chars().count() <= LEAD + WIDTH {
        return line.to_owned();
    }
    let from = apart.saturating_sub(LEAD);
    let inside: String = line.chars().skip(from).take(LEAD + WIDTH).collect();
    format!("[from letter {}] {inside}", from + 1)
}

#[test]
fn a_difference_is_shown_where_it_is() {
    assert_eq!(
        difference("a\nb\nc\nd\ne\nf\n", "a\nb\nc\nd\nx\nf\n"),
        "  from line 5\n    b\n    c\n    d\n  - e\n  + x\n"
    );
    assert_eq!(
        difference("a\nb\nc\n", "a\nx\ny\nc\n"),
        "  from line 2\n    a\n  - b\n  + x\n  + y\n"
    );
    let long = |letter: &str| format!("{}{letter}{}", "k".repeat(1000), "l".repeat(1000));
    let shown = difference(&long("1"), &long("2"));
    assert!(shown.contains("- [from letter 941] kkk"), "{shown}");
    assert!(shown.contains("k1l") && shown.contains("k2l"), "{shown}");
}

#[test]
fn a_missing_file_and_an_end_cut_off_are_differences() {
    let folder = tempfile::tempdir().unwrap();
    let mut golden = Golden::new(folder.path().to_owned());
    golden.bless = false;
    fs::write(folder.path().join("cut.txt"), "a\nb\n").unwrap();
    golden.hold("same.txt", "mark", "");
    golden.hold("gone.txt", "mark", "a\n");
    golden.hold("cut.txt", "aim", "a\n");
    assert_eq!(
        golden.parted,
        "\ntests/golden/gone.txt: pacebell mark\n  there is no such file\n\
         \ntests/golden/cut.txt: pacebell aim\n  from line 2\n    a\n  - b\n"
    );
}

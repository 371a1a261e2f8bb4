//! The pages before a browser and a validator, where those are at hand.
//!
//! `cargo test --test feedback -- --ignored` runs these. Both need programs that are not part of
//! the build: a headless Chromium with `pdftotext`, and a validator of HTML run through npx.

use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::browser::{are_there, printed, ran, sides};
use crate::said::one_line;
use crate::sittings;

/// Every page, written into a folder.
fn written(dir: &Path) -> Vec<PathBuf> {
    let pages = sittings::all().into_iter().map(|(name, made)| {
        let path = dir.join(format!("{name}.html"));
        std::fs::write(&path, made.page()).unwrap();
        path
    });
    pages.collect()
}

#[test]
#[ignore = "needs a headless Chromium and pdftotext"]
fn no_question_is_split_between_sides_of_paper() {
    if !are_there(&["chromium", "pdftotext"]) {
        return;
    }
    let dir = TempDir::new().unwrap();
    let mut questions = 0;
    for (name, mut made) in sittings::all() {
        // There a question fills more than a side.
        if name == "crowded" {
            continue;
        }
        made.with_working = true;
        let page = dir.path().join(format!("{name}.html"));
        std::fs::write(&page, made.page()).unwrap();
        let sides = sides(&printed(dir.path(), &page));
        for again in &made.told().again {
            let head = format!("Question {}: ", again.number);
            let side = sides.iter().find(|side| side.contains(&head)).unwrap();
            let own = side.split(&head).nth(1).unwrap();
            let working = again.working.as_ref().unwrap().text.as_ref().unwrap();
            let working = one_line(working);
            let words: Vec<_> = working.split(' ').collect();
            let (_, last) = words.split_at(words.len().saturating_sub(5));
            assert!(
                own.contains(&last.join(" ")),
                "{name} {}: {own}",
                again.number
            );
            questions += 1;
        }
    }
    assert!(questions > 50, "{questions}");
}

#[test]
#[ignore = "needs npx and the network once, to fetch the validator"]
fn every_page_passes_a_validator() {
    if !are_there(&["npx"]) {
        return;
    }
    let dir = TempDir::new().unwrap();
    let pages = written(dir.path());
    let mut words = vec!["--yes".to_owned(), "html-validate@9".to_owned()];
    words.extend(pages.iter().map(|page| page.display().to_string()));
    let words: Vec<_> = words.iter().map(String::as_str).collect();
    let output = ran("npx", &words).expect("npx is needed for this");
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{text}");
}

/// `PAGES=DIR cargo test --test feedback -- --ignored looked_at` writes them for somebody's eyes.
#[test]
#[ignore = "writes the pages where PAGES says, to be looked at"]
fn pages_to_be_looked_at() {
    let dir = std::env::var_os("PAGES").expect("PAGES says where the pages go");
    let pages = written(Path::new(&dir));
    assert_eq!(pages.len(), sittings::all().len());
}

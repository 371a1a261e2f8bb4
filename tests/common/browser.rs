//! Pages before a headless Chromium and the tools of poppler, where these are installed.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Runs a program; nothing where it is not there.
pub(crate) fn ran(program: &str, words: &[&str]) -> Option<Output> {
    Command::new(program).args(words).output().ok()
}

/// Whether these programs are there; says which one is missing.
#[expect(clippy::print_stderr, reason = "a test that is skipped says so")]
pub(crate) fn are_there(programs: &[&str]) -> bool {
    let missing = programs
        .iter()
        .find(|program| ran(program, &["--version"]).is_none());
    if let Some(missing) = missing {
        eprintln!("skipped: {missing} is not installed; DEVELOPERS.md says how");
    }
    missing.is_none()
}

/// Runs Chromium on a file, with a profile of its own in `dir`.
pub(crate) fn chromium(dir: &Path, flags: &[&str], file: &Path) -> Output {
    let profile = format!("--user-data-dir={}", dir.join("profile").display());
    let address = format!("file://{}", file.display());
    let mut words = vec![
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        &profile,
    ];
    words.extend(flags);
    words.push(&address);
    let output = ran("chromium", &words).unwrap();
    assert!(output.status.success(), "{output:?}");
    output
}

/// A page on paper.
pub(crate) fn printed(dir: &Path, page: &Path) -> PathBuf {
    let pdf = page.with_extension("pdf");
    let to = format!("--print-to-pdf={}", pdf.display());
    chromium(dir, &["--no-pdf-header-footer", &to], page);
    pdf
}

/// The words of each side, in one line.
pub(crate) fn sides(pdf: &Path) -> Vec<String> {
    let text = ran("pdftotext", &["-raw", &pdf.display().to_string(), "-"]);
    let text = String::from_utf8(text.unwrap().stdout).unwrap();
    let sides = text.trim_end_matches('\u{c}').split('\u{c}');
    let one_line = |side: &str| side.split_whitespace().collect::<Vec<_>>().join(" ");
    sides.map(one_line).collect()
}

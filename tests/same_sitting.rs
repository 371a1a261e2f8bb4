//! A sitting counts once, however often its file lies in the folder; a key that cannot be read stops
//! nobody; papers are found where `--sessions` says.
#![cfg(test)]

#[path = "common/old.rs"]
mod old;

use std::fs;

use old::OldFiles;

/// The answer to a command that must succeed.
fn said(files: &OldFiles, words: &str) -> String {
    let answer = files.run(words);
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    answer.out
}

#[test]
fn a_copied_session_file_moves_no_forecast_no_season_and_no_group() {
    let files = OldFiles::copied();
    let commands = [
        "forecast marten --paper saltmarsh-b --json",
        "plan marten --paper saltmarsh-b --json",
        "progress marten --json",
        "group --paper @a.paper --key @a.key --json sessions",
        "boundary --key @a.key --top 2/5 --ratio 5:3:2 --json sessions/marten sessions/otter sessions/teasel",
    ];
    let before: Vec<_> = commands.iter().map(|words| files.run(words).out).collect();
    let original = files.sitting("marten", "a");
    let copy = original.replace("marten/", "marten/copy-of-");
    fs::copy(files.path().join(&original), files.path().join(&copy)).unwrap();
    for (words, before) in commands.iter().zip(&before) {
        assert_eq!(files.run(words).out, *before, "{words}");
    }
    let notes = files.run("progress marten").out;
    assert!(
        notes.replace(['\n', ' '], "").contains("itcountsonce"),
        "{notes}"
    );
}

/// Of two files of one sitting the one that holds more is the sitting: a stick may bring an older state.
#[test]
fn of_two_files_of_a_sitting_the_longer_one_counts() {
    let files = OldFiles::copied();
    let before = said(&files, "progress marten --json");
    let original = files.path().join(files.sitting("marten", "a"));
    let text = fs::read_to_string(&original).unwrap();
    let part: Vec<_> = text.lines().take(20).collect();
    let older = original.with_file_name("2026-01-01-0000-older.session.ron");
    fs::write(older, part.join("\n") + "\n").unwrap();
    assert_eq!(said(&files, "progress marten --json"), before);
}

#[test]
fn a_key_that_cannot_be_read_in_a_folder_of_keys_stops_nobody() {
    let files = OldFiles::copied();
    let keys = files.path().join("keys");
    fs::create_dir(&keys).unwrap();
    fs::write(keys.join("broken.key.ron"), "(format: 1, paper: ").unwrap();
    for command in [
        "forecast marten --paper saltmarsh-b",
        "plan marten --paper saltmarsh-b",
        "progress marten",
    ] {
        let page = said(&files, &format!("{command} --keys keys"));
        assert!(
            page.replace(['\n', ' '], "").contains("broken.key.ron"),
            "{command}: {page}"
        );
    }
    let named = files.run("forecast marten --paper saltmarsh-b --keys keys/broken.key.ron");
    assert_eq!(
        named.code,
        Some(1),
        "a key named by its own file must be sound"
    );
}

#[test]
fn papers_are_found_where_sessions_are_said_to_be() {
    let files = OldFiles::copied();
    let away = files.path().join("away");
    fs::create_dir(&away).unwrap();
    for folder in ["sessions", "sample-papers"] {
        fs::rename(files.path().join(folder), away.join(folder)).unwrap();
    }
    for words in [
        "luck saltmarsh-a --guesses 1-3",
        "aim saltmarsh-a --mark 60",
        "group --paper saltmarsh-a --key away/sample-papers/saltmarsh-a.key.ron away/sessions",
    ] {
        assert_eq!(files.run(words).code, Some(1), "{words}: nothing is here");
        said(&files, &format!("{words} --sessions away/sessions"));
    }
}

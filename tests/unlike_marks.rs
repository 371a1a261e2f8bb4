//! Papers whose rules share no grid, in one pupil's season: every command adds their marks up or says why not.
#![cfg(test)]

#[path = "common/user.rs"]
mod user;

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn run(folder: &Path, words: &str) -> Output {
    let done = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .args(words.split(' '))
        .current_dir(folder)
        .env_clear()
        .envs(user::at_home(folder))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stderr);
    assert!(!said.contains("panicked"), "pacebell {words}: {said}");
    assert!(
        matches!(done.status.code(), Some(0 | 1)),
        "pacebell {words}: {said}"
    );
    done
}

/// A folder with a paper for each mark lost for a wrong answer, each sat once with wrong answers and guesses.
fn season(lost: &[&str]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for name in ["sessions", "sample-papers"] {
        fs::create_dir(folder.path().join(name)).unwrap();
    }
    let papers = folder.path().join("sample-papers");
    for (index, lost) in lost.iter().enumerate() {
        let name = format!("paper-{index}");
        let made = run(
            &papers,
            &format!(
                "paper new {name} --questions 6 --minutes 10 --sections 1-3:4:-{lost},4-6:5:-{lost}:1/97 --answers ABCDEA"
            ),
        );
        assert_eq!(
            made.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&made.stderr)
        );
        let path = papers.join(format!("{name}.paper.ron"));
        let text = fs::read_to_string(&path).unwrap();
        let with_topics = text.replace("topics: []", "topics: [\"number\"]");
        assert_ne!(text, with_topics);
        fs::write(&path, with_topics).unwrap();
        let entered = run(
            folder.path(),
            &format!(
                "enter {name} --pupil otter --answers ABDB??A- --date 2026-{:02}-10",
                index % 11 + 1
            ),
        );
        assert_eq!(
            entered.status.code(),
            Some(0),
            "{}",
            String::from_utf8_lossy(&entered.stderr)
        );
    }
    folder
}

/// What each command of several papers prints of such a season, the missed marks of the one topic last.
fn missed(lost: &[&str]) -> (String, String) {
    let folder = season(lost);
    let path = folder.path();
    let newest = lost.len() - 1;
    let key = |index| format!(" --key sample-papers/paper-{index}.key.ron");
    let keys = (0..lost.len()).map(key).collect::<Vec<_>>().concat();
    for words in [
        format!("mark otter{keys}"),
        format!("mark otter{keys} --json"),
        format!("forecast otter --paper paper-{newest} --json"),
        format!("forecast otter --paper paper-{newest}"),
        format!("plan otter --paper paper-{newest}"),
        format!("aim paper-{newest} --mark 9 --pupil otter"),
    ] {
        run(path, &words);
    }
    let page = run(path, "progress otter");
    let json = run(path, "progress otter --json");
    assert_eq!(page.status.code(), Some(0));
    assert_eq!(json.status.code(), Some(0));
    let season: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(season["sittings"].as_array().unwrap().len(), lost.len());
    assert_eq!(season["compared"], lost.len());
    let missed = season["topics"][0]["missed"].as_str().unwrap().to_owned();
    (String::from_utf8(page.stdout).unwrap(), missed)
}

/// By hand: of each paper the three worked answers bring 4, 4 and -1/n in the first half; in the second a
/// guess counts as blank (1/97), one is wrong (-1/n) and one is blank (1/97); the most is 27.
#[test]
fn the_marks_missed_on_two_papers_are_exact() {
    let (page, missed) = missed(&["1/7", "1/11"]);
    // 2 (27 - 8 - 2/97) + 2/7 + 2/11 = 38 - 4/97 + 36/77 = (38 * 7469 - 308 + 3492) / 7469.
    assert_eq!(missed, format!("{}/7469", 38 * 7469 - 308 + 3492), "{page}");
}

/// Twelve primes: their product has 160 bits, more than any machine number.
#[test]
fn papers_of_any_rules_make_a_season() {
    let (page, missed) = missed(&[
        "1/10303", "1/10301", "1/10289", "1/10273", "1/10271", "1/10267", "1/10259", "1/10253",
        "1/10247", "1/10243", "1/10223", "1/10211",
    ]);
    let (_, bottom) = missed.split_once('/').unwrap();
    assert!(bottom.len() > 40, "{missed} is not exact");
    assert!(page.contains("about 228"), "{page}");
}

//! What has no end, or is far larger than any file of its kind, is refused quickly and in a sentence.

#![cfg(test)]
#![cfg(target_os = "linux")]

use std::fs::{self, File};
use std::path::Path;
use std::process::{Command, Stdio};

/// A folder with a paper, its key and a sitting in a folder of sittings.
fn folder() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for name in ["saltmarsh-a.paper.ron", "saltmarsh-a.key.ron"] {
        fs::copy(root.join("sample-papers").join(name), dir.path().join(name)).unwrap();
    }
    fs::create_dir(dir.path().join("sessions")).unwrap();
    dir
}

/// Runs `pacebell` in a shell, and gives its exit code (124 where it would read on for ever) and what it
/// said beside its output.
fn run(folder: &Path, words: &str) -> (i32, String) {
    let program = format!("timeout 20 {}", env!("CARGO_BIN_EXE_pacebell"));
    let done = Command::new("sh")
        .args(["-c", &words.replace("pacebell", &program)])
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let said = String::from_utf8(done.stderr).unwrap();
    (done.status.code().unwrap(), said)
}

#[test]
fn devices_without_an_end_are_refused_wherever_a_file_can_be_named() {
    let dir = folder();
    let paper = "--paper saltmarsh-a.paper.ron";
    for words in [
        "pacebell boundary --marks /dev/zero".to_owned(),
        format!("pacebell group {paper} --key saltmarsh-a.key.ron --answers /dev/urandom"),
        format!("pacebell group {paper} --key /dev/zero sessions"),
        "pacebell mark /dev/zero --key saltmarsh-a.key.ron".to_owned(),
        "pacebell mark sessions --key /dev/zero".to_owned(),
        "pacebell feedback /dev/zero --key saltmarsh-a.key.ron".to_owned(),
        "pacebell aim /dev/zero --mark 5".to_owned(),
    ] {
        let (code, said) = run(dir.path(), &words);
        let sentence = "that's a device, not a file; name a file";
        assert!(
            code == 1 && said.contains(sentence),
            "{words}: {code} {said}"
        );
    }
}

#[test]
fn a_pipe_without_an_end_is_read_up_to_a_limit() {
    let dir = folder();
    for (words, sentence) in [
        (
            "cat /dev/zero | pacebell boundary --marks /dev/stdin",
            "a line is over 1 MiB",
        ),
        (
            "cat /dev/zero | pacebell mark sessions --key /dev/stdin",
            "the file is over 4 MiB",
        ),
        (
            "cat /dev/zero | pacebell mark /dev/stdin --key saltmarsh-a.key.ron",
            "the file is over 64 MiB, too large for a session file",
        ),
    ] {
        let (code, said) = run(dir.path(), words);
        assert!(
            code == 1 && said.contains(sentence),
            "{words}: {code} {said}"
        );
    }
}

#[test]
fn tables_come_through_pipes_and_what_is_wrong_in_them_has_its_line() {
    let dir = folder();
    let (code, said) = run(
        dir.path(),
        "printf 'mark\\n5\\n7\\n' | pacebell boundary --marks /dev/stdin --top 50% --ratio 1 --json",
    );
    assert_eq!((code, said.as_str()), (0, ""));
    let (code, said) = run(
        dir.path(),
        "printf 'name,mark\\na,5\\nb,x\\n' | pacebell boundary --marks /dev/stdin",
    );
    assert!(code == 1 && said.contains("/dev/stdin:3:3: `x`"), "{said}");
    let heading: Vec<_> = (1..=25).map(|number| number.to_string()).collect();
    let list = format!(
        "printf 'pupil,{}\\na{}\\nb,?{}\\n' | pacebell group --paper saltmarsh-a.paper.ron --key saltmarsh-a.key.ron --answers /dev/stdin",
        heading.join(","),
        ",A".repeat(25),
        ",A".repeat(24)
    );
    let (code, said) = run(dir.path(), &list);
    assert!(code == 1 && said.contains("/dev/stdin:3:2: "), "{said}");
}

#[test]
fn what_is_no_file_in_a_folder_of_sittings_is_told_and_stops_nothing() {
    let dir = folder();
    let sessions = dir.path().join("sessions");
    let made = Command::new("mkfifo")
        .arg(sessions.join("a.session.ron"))
        .status();
    assert!(made.unwrap().success());
    std::os::unix::fs::symlink("/dev/zero", sessions.join("b.session.ron")).unwrap();
    let large = File::create(sessions.join("c.session.ron")).unwrap();
    large.set_len(1 << 40).unwrap();
    let (code, said) = run(
        dir.path(),
        "pacebell forecast otter --paper saltmarsh-a.paper.ron --json",
    );
    assert_eq!(code, 0, "{said}");
    for sentence in [
        "a.session.ron: this isn't an ordinary file; move it out of the folder",
        "b.session.ron: this isn't an ordinary file; move it out of the folder",
        "c.session.ron: the file is over 64 MiB",
    ] {
        assert!(said.contains(sentence), "{sentence} in {said}");
    }
}

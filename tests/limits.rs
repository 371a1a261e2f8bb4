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
            "cat /dev/zero | pacebell group --paper saltmarsh-a.paper.ron --key saltmarsh-a.key.ron --answers /dev/stdin",
            "a line is over 1 MiB",
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

/// A pipe that nobody writes to would be waited for without an end.
#[test]
fn papers_keys_plans_and_sittings_are_no_pipes() {
    let dir = folder();
    for name in ["p.paper.ron", "p.key.ron", "p.plan.ron", "p.session.ron"] {
        let made = Command::new("mkfifo").arg(dir.path().join(name)).status();
        assert!(made.unwrap().success());
    }
    for words in [
        "pacebell paper check p.paper.ron",
        "pacebell paper check p.key.ron",
        "pacebell paper check p.plan.ron",
        "pacebell mark p.session.ron --key saltmarsh-a.key.ron",
        "pacebell mark sessions --key p.key.ron",
        "cat saltmarsh-a.key.ron | pacebell mark sessions --key /dev/stdin",
        "pacebell group --paper saltmarsh-a.paper.ron --key p.key.ron sessions",
        "pacebell sit p.paper.ron --pupil otter --plain",
    ] {
        let (code, said) = run(dir.path(), &format!("{words} >&2"));
        assert!(
            code == 1 && said.contains("that's a pipe, not a file; save what comes through it"),
            "{words}: {code} {said}"
        );
    }
}

/// A folder with one file of papers, of so many entries that are all wrong in one way.
fn wrong_lists() -> Vec<(&'static str, String)> {
    let paper = |more: &str| {
        format!(
            "(format: 2, id: \"x\", title: \"T\", minutes: 5, options: \"ABCDE\", rule: (sections: [(name: \"1-3\", \
             first: 1, last: 3, right: 1, wrong: 0, blank: 0)]), questions: [(),(),()], {more})"
        )
    };
    let many =
        |count: usize, one: &dyn Fn(usize) -> String| (0..count).map(one).collect::<String>();
    let key = |more: &str| format!("(format: 1, paper: \"x\", answers: \"AAA\", {more})");
    vec![
        (
            "a.paper.ron",
            paper(&format!(
                "awards: [{}]",
                many(15_000, &|n| format!("(name: \"s{n}\", boundary: {n}),"))
            )),
        ),
        (
            "b.paper.ron",
            paper(&format!(
                "awards: [(name: \"a\", boundary: 1)], past: [{}]",
                many(12_000, &|n| format!(
                    "(year: {n}, boundaries: {{\"b{n}\": \"x\"}}),"
                ))
            )),
        ),
        (
            "c.paper.ron",
            paper(&format!("conditions: [{}]", "\"\",".repeat(100_000))),
        ),
        (
            "d.key.ron",
            key(&format!(
                "notes: {{{}}}",
                many(15_000, &|n| format!("{}: (hint: \"\"),", n + 500))
            )),
        ),
        (
            "e.key.ron",
            key(&format!(
                "also_right: {{{}}}",
                many(20_000, &|n| format!("{}: \"A\",", n + 500))
            )),
        ),
        (
            "f.key.ron",
            key(&format!(
                "notes: {{1: (distractors: {{{}}})}}",
                many(20_000, &|n| format!("\"{n}\": \"x\","))
            )),
        ),
        (
            "g.plan.ron",
            format!(
                "(format: 2, checkpoints: [{}])",
                many(12_000, &|n| format!(
                    "(question: {}, minutes: -{n}),",
                    n % 9
                ))
            ),
        ),
        (
            "h.key.ron",
            format!(
                "(format: 1, paper: \"x\", answers: \"{}\")",
                "!".repeat(200_000)
            ),
        ),
    ]
}

#[test]
fn of_thousands_of_problems_a_hundred_are_told_and_the_others_counted() {
    let dir = folder();
    let apart = tempfile::tempdir().unwrap();
    for (name, text) in wrong_lists() {
        // By itself: a key is held against the paper that lies beside it.
        fs::write(apart.path().join(name), text).unwrap();
        let (code, said) = run(apart.path(), &format!("pacebell paper check {name} >&2"));
        let lines = said.lines().count();
        assert!(
            code == 1 && (100..=210).contains(&lines),
            "{name}: {code}, {lines} lines"
        );
        let counted = |line: &str| line.contains(" more problems; correct these first");
        assert!(said.lines().any(counted), "{name}: {said}");
        assert!(said.lines().all(|line| line.len() < 2000), "{name}");
        fs::remove_file(apart.path().join(name)).unwrap();
    }
    let numbers: Vec<_> = (1..=25).map(|number| number.to_string()).collect();
    let row = format!("q!{}\n", ",?".repeat(25));
    let list = format!("pupil,{}\n{}", numbers.join(","), row.repeat(300));
    fs::write(dir.path().join("class.csv"), list).unwrap();
    let (code, said) = run(
        dir.path(),
        "pacebell enter saltmarsh-a.paper.ron --from class.csv >&2",
    );
    assert!(
        code == 1 && said.lines().count() <= 102,
        "{code} {}",
        said.lines().count()
    );
    // 300 rows with 25 cells and a pupil that are all wrong.
    assert!(
        said.contains("there are 7700 more problems; correct these first"),
        "{said}"
    );
}

#[test]
fn of_thousands_of_wrong_cells_a_hundred_are_told_and_the_others_counted() {
    let dir = folder();
    let numbers: Vec<_> = (1..=25).map(|number| number.to_string()).collect();
    let row = format!("otter{}\n", ",?".repeat(25));
    let list = format!("pupil,{}\n{}", numbers.join(","), row.repeat(300));
    fs::write(dir.path().join("class.csv"), list).unwrap();
    let marks = format!("mark\n{}", "many\n".repeat(300));
    fs::write(dir.path().join("marks.csv"), marks).unwrap();
    for (words, more) in [
        (
            "pacebell group --paper saltmarsh-a.paper.ron --answers class.csv",
            7400,
        ),
        ("pacebell boundary --marks marks.csv --top 10%", 200),
    ] {
        let (code, said) = run(dir.path(), words);
        let counted = format!("there are {more} more problems; correct these first");
        let lines = said.lines().count();
        assert!(
            code == 1 && lines == 101 && said.contains(&counted),
            "{words}: {code} {lines} {said}"
        );
    }
}

#[test]
fn of_many_sessions_that_cannot_be_read_a_hundred_are_told_and_the_others_counted() {
    let dir = folder();
    let pupil = dir.path().join("sessions/otter");
    fs::create_dir(&pupil).unwrap();
    for number in 0..130 {
        let name = format!("2026-11-20-0900-{number:03}.session.ron");
        fs::write(pupil.join(name), "hello").unwrap();
    }
    for words in [
        "pacebell progress otter",
        "pacebell forecast otter --paper saltmarsh-a.paper.ron",
        "pacebell group --paper saltmarsh-a.paper.ron sessions",
        "pacebell mark sessions --key saltmarsh-a.key.ron",
    ] {
        let (_, said) = run(dir.path(), &format!("{words} >&2"));
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        let told = said.matches("session.ron").count();
        let counted = said.contains("30 more files can't be read either")
            || said.contains("there are 30 more problems of this kind");
        assert!(told == 100 && counted, "{words}: {told} {said}");
    }
}

#[test]
fn what_is_quoted_is_no_whole_file() {
    let dir = folder();
    let long = "q".repeat(1 << 20);
    let files = [
        ("a.paper.ron", format!("(format: 2, {long}: 3)")),
        (
            "b.paper.ron",
            format!(
                "(format: 2, id: \"x\", title: \"T\", minutes: \"{long}\", options: \"ABC\", rule: (sections: [(first: 1, last: 1, right: 1)]), questions: [()])"
            ),
        ),
        (
            "c.plan.ron",
            format!("(format: 2, checkpoints: [(question: 1, minutes: 1)], leave: \"{long}\")"),
        ),
        (
            "d.key.ron",
            format!(
                "(format: 1, paper: \"x\", answers: \"A\", notes: {{1: (distractors: {{\"{long}\": \"\"}})}})"
            ),
        ),
    ];
    for (name, text) in files {
        fs::write(dir.path().join(name), text).unwrap();
        let (code, said) = run(dir.path(), &format!("pacebell paper check {name} >&2"));
        assert!(
            code == 1 && said.len() < 3000,
            "{name}: {code}, {} bytes",
            said.len()
        );
        assert!(
            said.contains(" .. ") || said.contains(".."),
            "{name}: {said}"
        );
    }
    fs::write(
        dir.path().join("m.csv"),
        format!("mark\n{}\n", "q".repeat(1 << 19)),
    )
    .unwrap();
    let (code, said) = run(dir.path(), "pacebell boundary --marks m.csv");
    assert!(
        code == 1 && said.len() < 1500,
        "{code}, {} bytes",
        said.len()
    );
}

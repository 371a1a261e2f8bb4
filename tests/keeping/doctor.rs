//! What `doctor` finds in a folder of sittings: each thing that another command would stumble over or leave out.

use std::fs;

use crate::countdown;
use crate::old::OldFiles;
use crate::old::paths::slashed;
use crate::room::{killed_at, run, tree};

fn told(files: &OldFiles) -> String {
    let answer = files.run("doctor sessions");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    slashed(&answer.out)
}

fn name_of(file: &str) -> &str {
    file.rsplit_once('/').unwrap().1
}

#[test]
fn nothing_is_found_where_nothing_is_wrong() {
    let files = OldFiles::copied();
    assert!(told(&files).contains("as it should be"), "{}", told(&files));
    let register = "(format: 1, pupils: [(alias: \"otter\", extra_time: 25)])";
    fs::write(files.path().join("sessions/register.ron"), register).unwrap();
    assert!(told(&files).contains("as it should be"), "{}", told(&files));
}

#[test]
fn two_sheets_of_which_none_counts_are_named() {
    let files = OldFiles::copied();
    let paper = "(format: 1, id: \"fen\", title: \"Fen\", minutes: 10, options: \"ABCDE\",
        rule: (sections: [(name: \"all\", first: 1, last: 2, right: 1)]), questions: [(), ()])";
    fs::write(files.path().join("fen.paper.ron"), paper).unwrap();
    for (folder, letters) in [("one", "AB"), ("two", "AC")] {
        let words = format!(
            "enter fen.paper.ron --pupil teal --answers {letters} --date 2026-11-20 --sessions {folder}"
        );
        assert_eq!(files.run(&words).code, Some(0));
    }
    files.run("gather one two --sessions sessions");
    let said = told(&files);
    let teal = fs::read_dir(files.path().join("sessions/teal")).unwrap();
    let names = teal.map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let names: Vec<_> = names.collect();
    assert_eq!(names.len(), 2);
    assert!(names.iter().all(|name| said.contains(name)), "{said}");
    assert!(said.contains("set-aside"), "{said}");
    assert!(said.contains("1 thing found"), "{said}");
}

#[test]
fn a_cache_that_cannot_be_used_is_named_and_may_be_deleted() {
    let files = OldFiles::copied();
    listed_plainly(&files);
    assert!(told(&files).contains("as it should be"), "{}", told(&files));
    let caches = || fs::read_dir(files.path().join(".cache/pacebell/review")).unwrap();
    let cache = caches().next().unwrap().unwrap().path();
    let kept = fs::read(&cache).unwrap();
    fs::write(&cache, &kept[..kept.len() / 2]).unwrap();
    let said = told(&files);
    assert!(
        said.contains(&slashed(&cache.to_string_lossy())) && said.contains("1 thing"),
        "{said}"
    );
    fs::remove_file(&cache).unwrap();
    assert!(told(&files).contains("as it should be"), "{}", told(&files));
    listed_plainly(&files);
    assert_eq!(fs::read(&cache).unwrap(), kept, "made again as it was");
}

fn listed_plainly(files: &OldFiles) {
    let answer = run(files.path(), "review --plain", "", &[]);
    assert_eq!(answer.code, Some(0), "{}", answer.err);
}

#[test]
fn a_register_that_cannot_be_read_is_named_with_its_line_and_field() {
    let files = OldFiles::copied();
    let register = "(format: 1, pupils: [\n(alias: \"otter\", extra_tim: 25)])";
    fs::write(files.path().join("sessions/register.ron"), register).unwrap();
    let said = told(&files);
    assert!(
        said.contains("register.ron") && said.contains("extra_tim") && said.contains("1 thing"),
        "{said}"
    );
}

#[test]
fn registers_beside_the_one_that_holds_are_named() {
    let files = OldFiles::copied();
    let register = "(format: 1, pupils: [(alias: \"otter\", extra_time: 25)])";
    for name in [
        "register.ron",
        "register-0a1b2c3d.ron",
        "register-ffffffff.ron",
    ] {
        fs::write(files.path().join("sessions").join(name), register).unwrap();
    }
    let said = told(&files);
    assert!(
        said.contains("register-0a1b2c3d.ron: a second register")
            && said.contains("register-ffffffff.ron")
            && said.contains("2 things found"),
        "{said}"
    );
}

#[test]
fn a_sitting_in_another_pupils_folder_is_named_with_its_own() {
    let files = OldFiles::copied();
    let file = files.sitting("marten", "a");
    let moved = format!("sessions/teasel/{}", name_of(&file));
    fs::rename(files.path().join(&file), files.path().join(&moved)).unwrap();
    let said = told(&files);
    assert!(
        said.contains(&moved) && said.contains("marten's") && said.contains("sessions/marten."),
        "{said}"
    );
}

#[test]
fn temporary_files_of_other_programs_are_named() {
    let files = OldFiles::copied();
    for name in ["x.tmp", "marten/.y.swp", "register.ron~"] {
        fs::write(files.path().join("sessions").join(name), "x").unwrap();
    }
    let said = told(&files);
    for name in ["x.tmp", ".y.swp", "register.ron~"] {
        assert!(said.contains(name), "{said}");
    }
    assert!(said.contains("3 things found"), "{said}");
}

/// Whichever name comes first, what goes is the copy that does not lie with its pupil.
#[test]
fn of_two_files_alike_the_one_in_its_own_place_stays() {
    for copy in [
        "sessions/loose.session.ron",
        "sessions/aa/0.session.ron",
        "sessions/zz/z.session.ron",
    ] {
        let files = OldFiles::copied();
        let file = files.sitting("marten", "a");
        let path = files.path().join(copy);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::copy(files.path().join(&file), &path).unwrap();
        let said = told(&files);
        let line = said.lines().find(|line| line.contains("duplicate"));
        let line = line.unwrap_or_else(|| panic!("{said}"));
        assert!(line.starts_with(copy), "{line}");
        assert!(line.contains(&file), "{line}");
        assert!(line.ends_with("Delete it."), "{line}");
    }
}

/// A pupil's session, what lies beside it, and the names that files of the folder itself have half written.
#[test]
fn what_was_left_half_written_is_named_and_a_whole_session_under_such_a_name_is_no_loss() {
    let files = OldFiles::copied();
    let file = files.sitting("marten", "a");
    let whole = fs::read(files.path().join(&file)).unwrap();
    let stem = file.strip_suffix(".session.ron").unwrap();
    let parts = [
        format!("{stem}.part"),
        format!("{stem}.part-2"),
        "sessions/.register.ron.0123456789abcdef.part".to_owned(),
        "sessions/marten/.x.notes.ron.0123456789abcdef.part".to_owned(),
    ];
    for (part, length) in parts.iter().zip([whole.len(), 50, 10, 0]) {
        fs::write(files.path().join(part), &whole[..length]).unwrap();
    }
    fs::write(files.path().join("sessions/marten/x.part-of-mine"), "mine").unwrap();
    let said = told(&files);
    for part in &parts {
        assert!(said.contains(name_of(part)), "{part}: {said}");
    }
    assert!(said.contains("4 things found"), "{said}");
    let line = |part: &str| {
        let line = said
            .lines()
            .find(|line| line.starts_with(&format!("{part}:")));
        line.unwrap_or_else(|| panic!("{part}: {said}")).to_owned()
    };
    let sentence = |part: &str| line(part).split_once(": ").unwrap().1.to_owned();
    assert_ne!(
        sentence(&parts[0]),
        sentence(&parts[1]),
        "a whole one and half of one"
    );
    assert_eq!(sentence(&parts[1]), sentence(&parts[2]));
}

#[test]
fn a_lock_that_nobody_has_is_named_unless_its_sitting_goes_on() {
    let files = OldFiles::copied();
    let over = files.sitting("marten", "a");
    let open = files.sitting("teasel", "a");
    let path = files.path().join(&open);
    let text = fs::read_to_string(&path).unwrap();
    let lines: Vec<_> = text.lines().take(20).collect();
    fs::write(&path, lines.join("\n") + "\n").unwrap();
    let lock = |session: &str| session.replace(".session.ron", ".lock");
    let none = "sessions/marten/2026-01-01-0900-none.lock".to_owned();
    for lock in [lock(&over), lock(&open), none.clone()] {
        fs::write(files.path().join(lock), "").unwrap();
    }
    let said = told(&files);
    assert!(said.contains(name_of(&lock(&over))), "{said}");
    assert!(said.contains(name_of(&none)), "{said}");
    assert!(!said.contains(name_of(&lock(&open))), "{said}");
    // One that is held is no leftover.
    let held = fs::File::open(files.path().join(lock(&over))).unwrap();
    held.lock().unwrap();
    let said = told(&files);
    assert!(!said.contains(name_of(&lock(&over))), "{said}");
    assert!(said.contains(name_of(&none)), "{said}");
}

#[test]
fn what_was_kept_and_what_was_left_behind_is_named() {
    let files = OldFiles::copied();
    let file = files.sitting("marten", "a");
    let stem = file.strip_suffix(".session.ron").unwrap();
    let beside = ["torn", "damaged-2", "moved", "other"].map(|ending| format!("{stem}.{ending}"));
    for name in &beside {
        fs::write(files.path().join(name), "(n:4,at:12,").unwrap();
    }
    let torn = files.path().join(files.sitting("teasel", "a"));
    let text = fs::read_to_string(&torn).unwrap();
    let lines: Vec<_> = text.lines().take(20).collect();
    fs::write(&torn, lines.join("\n") + "\n(n:20,at:9").unwrap();
    let said = told(&files);
    for name in beside.iter().map(|name| name_of(name)) {
        assert!(said.contains(name), "{name}: {said}");
    }
    let name = torn.file_name().unwrap().to_str().unwrap();
    assert!(said.contains(name), "{said}");
    assert!(said.contains("5 things found"), "{said}");
}

/// Copied from a stick into the folder itself, beside its pupils' folders.
#[test]
fn a_session_that_lies_loose_in_the_folder_is_misplaced() {
    let files = OldFiles::copied();
    let file = files.sitting("marten", "a");
    let loose = files.path().join("sessions").join(name_of(&file));
    fs::rename(files.path().join(&file), loose).unwrap();
    let said = told(&files).replace("\n  ", " ");
    let line = said
        .lines()
        .find(|line| line.contains(name_of(&file)))
        .unwrap();
    assert!(line.contains("this sitting is marten's"), "{line}");
    assert!(line.contains("sessions/marten"), "{line}");
}

/// Killed before each of its changes to the disk, a program leaves what is half written or has two names: `doctor`
/// names it, and the same words take it away.
#[test]
fn what_a_killed_program_left_half_written_is_named_and_goes() {
    if countdown::library().is_none() {
        return;
    }
    let (mut at, mut left) = (1, 0);
    loop {
        let files = OldFiles::copied();
        let words = format!(
            "enter sample-papers/saltmarsh-a.paper.ron --pupil teal --answers {} --date 2026-11-20",
            "A".repeat(25)
        );
        let killed = killed_at(files.path(), files.path(), &words, "", at);
        let parts = || {
            let all = tree(&files.path().join("sessions")).into_keys();
            let names = all.filter_map(|path| Some(path.file_name()?.to_str()?.to_owned()));
            let parts = names.filter(|name| name.contains(".part"));
            parts.collect::<Vec<_>>()
        };
        for part in parts() {
            let said = told(&files);
            assert!(
                said.contains(&format!("{part}: part. ")),
                "killed at {at}: {said}"
            );
            left += 1;
        }
        if killed.code == Some(0) {
            break;
        }
        assert_eq!(files.run(&words).code, Some(0), "killed at {at}");
        assert_eq!(parts(), Vec::<String>::new(), "killed at {at}");
        at += 1;
    }
    assert!(at > 3 && left > 0, "{at} changes, {left} left");
}

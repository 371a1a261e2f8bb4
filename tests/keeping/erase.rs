//! After an erasure no byte of the alias is left, whenever the program was killed in between.

use std::fs;

use chrono::DateTime;
use pacebell::domain::header::Alias;
use pacebell::domain::practice::PracticeStart;
use pacebell::storage::journal::PracticeFile;

use crate::countdown;
use crate::old::OldFiles;
use crate::room::{as_in_a_list, killed_at, listed, lived_in, renewed, tree, typed, with_bytes};

#[test]
fn after_an_erasure_no_byte_of_the_alias_is_left_in_folder_fallback_and_cache() {
    let files = lived_in();
    listed(&files);
    let before = tree(files.path());
    assert!(with_bytes(files.path(), "marten").len() > 15);
    let answer = typed(
        &files,
        "erase marten --reason retention --by PB",
        "marten\n",
    );
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    assert_eq!(
        with_bytes(files.path(), "marten"),
        Vec::<std::path::PathBuf>::new()
    );
    // What is other pupils' is as it was.
    let after = tree(files.path());
    for (path, bytes) in &before {
        let theirs = [
            "sessions/teasel",
            "sessions/lapwing",
            "sessions/otter",
            "sample-papers",
        ];
        if theirs.iter().any(|folder| path.starts_with(folder)) {
            assert_eq!(after.get(path), Some(bytes), "{}", path.display());
        }
    }
    let register = fs::read_to_string(files.path().join("sessions/register.ron")).unwrap();
    assert!(register.contains("teasel"), "{register}");
    let record = fs::read_to_string(files.path().join("sessions/erasures.ron")).unwrap();
    assert!(
        record.contains("retention") && record.contains("PB"),
        "{record}"
    );
    assert!(answer.out.contains("Made again"), "{}", answer.out);
    assert!(answer.out.contains("backups"), "{}", answer.out);
    assert_eq!(files.run("progress teasel").code, Some(0));
    let again = typed(&files, "erase marten", "marten\n");
    assert_eq!(again.code, Some(1), "nothing is left to erase");
}

#[test]
fn a_cache_that_cannot_be_read_whole_goes_too() {
    let files = lived_in();
    let cache = files.path().join(".cache/pacebell/seen");
    // Longer than anything that is read: the alias in it is not found.
    let long = fs::File::options().append(true).open(&cache).unwrap();
    long.set_len(65 << 20).unwrap();
    drop(long);
    let answer = typed(&files, "erase marten --by PB", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    assert!(!cache.exists());
}

#[test]
fn another_answer_keeps_everything_and_so_does_an_open_sitting() {
    let files = lived_in();
    let before = tree(files.path());
    for answer in ["", "\n", "y\n", "Marten\n", "teasel\n"] {
        let told = typed(&files, "erase marten", answer);
        assert_eq!(told.code, Some(1), "{answer:?}");
        assert!(told.out.contains("can't be undone"), "{}", told.out);
    }
    assert!(tree(files.path()) == before);
    let session = files.path().join(files.sitting("marten", "a"));
    let text = fs::read_to_string(&session).unwrap();
    let lines: Vec<_> = text.lines().take(20).collect();
    fs::write(&session, lines.join("\n") + "\n").unwrap();
    let before = tree(files.path());
    for words in ["erase marten", "rename marten heron"] {
        let told = typed(&files, words, "marten\n");
        assert_eq!(told.code, Some(1), "{words}");
        assert!(told.err.contains("isn't finished"), "{}", told.err);
    }
    assert!(tree(files.path()) == before);
}

/// Practice that another window has open is no more taken away from under it than a sitting is.
#[test]
fn nothing_goes_and_nothing_is_renamed_while_the_pupil_practises_in_another_window() {
    let files = lived_in();
    let pupil = Alias::new("marten").unwrap();
    let start = PracticeStart {
        practice: "20261125-160500-0000000000000001".to_owned(),
        started: DateTime::parse_from_rfc3339("2026-11-25T16:05:00+01:00").unwrap(),
        program: "pacebell".to_owned(),
    };
    let sessions = files.path().join("sessions");
    let mut practice = PracticeFile::begin(&sessions, &pupil, &start).unwrap();
    let before = tree(files.path());
    for words in ["erase marten", "rename marten garganey"] {
        let told = typed(&files, words, "marten\n");
        assert_eq!(told.code, Some(1), "{words}");
        assert!(told.err.contains("in another window"), "{}", told.err);
        assert!(told.err.contains("practice.ron"), "{}", told.err);
    }
    assert!(tree(files.path()) == before);
    practice.finish().unwrap();
    let told = typed(&files, "rename marten garganey", "");
    assert_eq!(told.code, Some(0), "{}", told.err);
    let told = typed(&files, "erase garganey", "garganey\n");
    assert_eq!(told.code, Some(0), "{}", told.err);
    assert_eq!(
        with_bytes(files.path(), "garganey"),
        Vec::<std::path::PathBuf>::new()
    );
}

/// Somebody else's sitting that lies in the folder by mistake, and a pupil whose alias goes on after a hyphen.
#[test]
fn nothing_of_anybody_else_goes() {
    let files = lived_in();
    let sessions = files.path().join("sessions");
    let misplaced = sessions.join("marten/misplaced.session.ron");
    fs::copy(files.path().join(files.sitting("teasel", "a")), &misplaced).unwrap();
    fs::create_dir(sessions.join("marten-2")).unwrap();
    fs::write(
        sessions.join("marten-2/keys.drill.ron"),
        "(pupil:\"marten-2\")",
    )
    .unwrap();
    let answer = typed(&files, "erase marten", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    assert!(misplaced.exists());
    let kept = fs::read_to_string(sessions.join("marten-2/keys.drill.ron")).unwrap();
    assert_eq!(kept, "(pupil:\"marten-2\")");
}

#[cfg(unix)]
#[test]
fn links_are_not_followed_and_what_they_lead_to_is_said() {
    let files = lived_in();
    let outside = files.path().join("outside.txt");
    fs::write(&outside, "not ours").unwrap();
    let sessions = files.path().join("sessions");
    std::os::unix::fs::symlink(&outside, sessions.join("marten/link.txt")).unwrap();
    fs::hard_link(
        sessions.join("marten/keys.drill.ron"),
        files.path().join("second-name"),
    )
    .unwrap();
    let answer = typed(&files, "erase marten", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    assert!(outside.exists());
    assert_eq!(
        answer.err.matches("another name elsewhere").count(),
        2,
        "{}",
        answer.err
    );
    // A pupil's folder that is a link leads who knows where.
    std::os::unix::fs::symlink(files.path().join("sample-papers"), sessions.join("marten"))
        .unwrap();
    let refused = typed(&files, "erase marten", "marten\n");
    assert_eq!(refused.code, Some(1));
    assert!(refused.err.contains("is a link"), "{}", refused.err);
    assert!(
        files
            .path()
            .join("sample-papers/saltmarsh-a.paper.ron")
            .exists()
    );
}

/// A copy of a folder of sittings has its own pages, and none of the other's: those in the folder and those elsewhere.
#[test]
fn erasing_in_a_copy_of_a_folder_touches_no_page_of_the_other() {
    let files = lived_in();
    let root = files.path();
    fs::create_dir(root.join("sessions/pages")).unwrap();
    for words in [
        "progress marten --csv sessions/pages/marten.csv",
        "mark sessions --csv sessions/pages/all.csv",
        "feedback @marten-a @marten-b --key @a.key --key @b.key --join -o both.html",
    ] {
        let answer = files.run(words);
        assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    }
    let noted = fs::read_to_string(root.join("sessions/pages.ron")).unwrap();
    let inside = "path:\"pages/marten.csv\"";
    assert!(noted.contains(inside), "{noted}");
    for (inside, bytes) in tree(&root.join("sessions")) {
        let path = root.join("copy").join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let of_copy = |path: &std::path::Path| {
        let own = ["copy", ".local", ".cache", "tmp"];
        own.iter().any(|folder| path.starts_with(folder))
    };
    let before = tree(root);
    let answer = typed(&files, "erase marten --sessions copy", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    let mut after = tree(root);
    after.retain(|path, _| !of_copy(path));
    let mut others = before;
    others.retain(|path, _| !of_copy(path));
    assert!(
        after == others,
        "the other folder and its pages are as they were"
    );
    let left = with_bytes(&root.join("copy"), "marten");
    assert_eq!(left, Vec::<std::path::PathBuf>::new());
    // What made it would make the other folder's again.
    let gone = |line: &&str| line.contains("copy/pages/all.csv");
    let gone = answer.err.lines().find(gone).unwrap_or_default();
    assert!(
        gone.ends_with("make it again if you need it"),
        "{}",
        answer.err
    );
    for page in ["otherwise-named.html", "both.html", "marten.csv"] {
        let said = answer.err.lines().find(|line| line.contains(page));
        let said = said.unwrap_or_else(|| panic!("{page}: {}", answer.err));
        assert!(said.contains("another folder of sittings"), "{said}");
    }
}

/// Lines that an older program wrote don't say which folder they are of, and have every path from the root on.
#[test]
fn pages_that_an_older_program_put_down_go_and_in_a_copy_those_of_the_other_stay() {
    let files = lived_in();
    let root = files.path();
    fs::create_dir(root.join("sessions/pages")).unwrap();
    let made = files.run("progress marten --csv sessions/pages/marten.csv");
    assert_eq!(made.code, Some(0), "{}", made.err);
    let list = root.join("sessions/pages.ron");
    let text = fs::read_to_string(&list).unwrap();
    let of = format!("of:Some(\"{}\"),", as_in_a_list(&root.join("sessions")));
    assert!(text.contains(&of), "{text}");
    let old = text.replace(&of, "").replace(
        "path:\"pages/",
        &format!("path:\"{}/", as_in_a_list(&root.join("sessions/pages"))),
    );
    fs::write(&list, old).unwrap();
    for (inside, bytes) in tree(&root.join("sessions")) {
        let path = root.join("copy").join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    fs::remove_dir_all(root.join("copy/pages")).unwrap();
    let in_copy = typed(&files, "erase marten --sessions copy", "marten\n");
    assert_eq!(in_copy.code, Some(0), "{}", in_copy.err);
    assert!(root.join("sessions/pages/marten.csv").exists());
    let answer = typed(&files, "erase marten", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    for page in ["sessions/pages/marten.csv", "otherwise-named.html"] {
        assert!(!root.join(page).exists(), "{page}");
    }
}

/// Where neither the folder of sittings nor the data folder takes files, those of temporary files did.
#[test]
fn what_was_saved_among_temporary_files_goes_too() {
    let files = lived_in();
    let taken = files.path().join("tmp/pacebell-sessions/marten");
    fs::create_dir_all(&taken).unwrap();
    let session = files.sitting("marten", "b");
    let text = fs::read_to_string(files.path().join(session)).unwrap();
    fs::write(
        taken.join("2026-10-02-0900-saltmarsh-b.session.ron"),
        renewed(&text),
    )
    .unwrap();
    let answer = typed(&files, "erase marten", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    assert_eq!(
        with_bytes(files.path(), "marten"),
        Vec::<std::path::PathBuf>::new()
    );
}

#[test]
fn a_page_that_was_changed_since_is_named_and_stays() {
    let files = lived_in();
    let page = files.path().join("otherwise-named.html");
    let text = fs::read_to_string(&page).unwrap() + "<!-- a word of mine -->";
    fs::write(&page, text).unwrap();
    let answer = typed(&files, "erase marten", "marten\n");
    assert!(
        answer.err.contains("was changed after it was written"),
        "{}",
        answer.err
    );
    assert!(page.exists());
}

/// Killed before each of its changes to the disk, one after another, and begun again.
#[test]
fn an_erasure_that_is_killed_anywhere_is_finished_by_the_same_words() {
    if countdown::library().is_none() {
        return;
    }
    let mut at = 1;
    loop {
        let files = lived_in();
        let killed = killed_at(
            files.path(),
            files.path(),
            "erase marten --by PB",
            "marten\n",
            at,
        );
        if killed.code == Some(0) {
            assert!(at > 40, "only {at} changes were seen");
            break;
        }
        // What makes a page again is killed at the same number of its own.
        let stopped = killed.code == Some(1) && killed.err.contains("was stopped");
        assert!(killed.code.is_none() || stopped, "{}", killed.err);
        let again = typed(&files, "erase marten --by PB", "marten\n");
        assert!(
            again.code == Some(0) || again.err.contains("nothing is kept"),
            "{at}: {}",
            again.err
        );
        assert_eq!(
            with_bytes(files.path(), "marten"),
            Vec::<std::path::PathBuf>::new(),
            "killed at {at}"
        );
        let record = fs::read_to_string(files.path().join("sessions/erasures.ron")).unwrap();
        assert_eq!(record.lines().count(), 1, "killed at {at}: {record}");
        at += 1 + at / 8;
    }
}

#[test]
fn what_is_past_its_day_is_said_in_a_season() {
    let files = lived_in();
    let said = |files: &OldFiles| {
        let page = files.run("progress marten").out;
        page.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(!said(&files).contains("Past the day"));
    let register = files.path().join("sessions/register.ron");
    fs::write(
        register,
        "(format: 1, pupils: [(alias: \"marten\", keep_until: \"2026-10-01\")])",
    )
    .unwrap();
    let page = said(&files);
    assert!(
        page.contains("Past the day to keep their files: marten (1 Oct 2026)"),
        "{page}"
    );
    assert!(page.contains("pacebell erase PUPIL"), "{page}");
    assert!(!files.run("progress teasel").out.contains("Past the day"));
}

/// A program that was killed while it wrote a page leaves a part of it under a name of its own, wherever the page lies.
#[test]
fn what_was_left_half_written_of_a_page_goes_with_it() {
    let files = lived_in();
    let words = "evidence marten -o away/sheet.html --csv away/sheet.csv";
    fs::create_dir(files.path().join("away")).unwrap();
    let told = files.run(words);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let parts = [
        ".sheet.html.0123456789abcdef.part",
        ".sheet.csv.0123456789abcdef.part",
    ];
    for part in parts {
        fs::write(files.path().join("away").join(part), "marten, half").unwrap();
    }
    let answer = typed(&files, "erase marten --by PB", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    assert_eq!(
        with_bytes(files.path(), "marten"),
        Vec::<std::path::PathBuf>::new()
    );
}

/// A line of `pages.ron` as somebody forges it: with the digest of a file that isn't ours.
#[cfg(unix)]
fn forged(path: &str, pupils: &str, bytes: &[u8], more: &str) -> String {
    use sha2::Digest;
    use std::fmt::Write;
    let mut digest = String::new();
    for byte in sha2::Sha256::digest(bytes) {
        write!(digest, "{byte:02x}").unwrap();
    }
    format!("(path:\"{path}\",pupils:[{pupils}],sha256:\"{digest}\"{more})\n")
}

#[cfg(unix)]
#[test]
fn what_a_forged_list_of_pages_names_stays_and_is_named() {
    let files = OldFiles::copied();
    let theirs = tempfile::tempdir().unwrap();
    let folder = fs::canonicalize(theirs.path()).unwrap();
    let at = |name: &str| folder.join(name);
    // A page of ours, so that there is one to link to.
    let words = "feedback @marten-a --key @a.key -o page.html";
    assert_eq!(files.run(words).code, Some(0));
    let page = fs::read(files.path().join("page.html")).unwrap();
    let texts = [
        (
            "letter.html",
            "<!DOCTYPE html><html><head><title>marten</title></head></html>\n",
        ),
        ("list.csv", "pupil,mark\nmarten,5\n"),
        ("list.csv-metadata.json", "{\"url\": \"list.csv\"}\n"),
        ("gone.csv-metadata.json", "{\"url\": \"gone.csv\"}\n"),
        ("notes.ron", "(mine: 1)\n"),
        ("empty", ""),
    ];
    let mut lines = String::new();
    for (name, text) in texts {
        fs::write(at(name), text).unwrap();
        lines += &forged(
            at(name).to_str().unwrap(),
            "\"marten\"",
            text.as_bytes(),
            "",
        );
    }
    lines += &forged(at("gone.csv").to_str().unwrap(), "\"marten\"", b"", "");
    fs::write(at("page.html"), &page).unwrap();
    std::os::unix::fs::symlink("page.html", at("link.html")).unwrap();
    std::os::unix::fs::symlink(&folder, files.path().join("sessions/linked")).unwrap();
    let link = at("link.html");
    lines += &forged(link.to_str().unwrap(), "\"marten\"", &page, "");
    lines += &forged("linked/page.html", "\"marten\"", &page, "");
    // Words that would make something else than a page.
    let own = fs::canonicalize(files.path()).unwrap();
    let again = format!(
        ",again:Some((words:[\"rename\",\"teasel\",\"stolen\"],folder:\"{}\"))",
        own.to_str().unwrap()
    );
    let group = at("group.html");
    fs::write(&group, &page).unwrap();
    lines += &forged(
        group.to_str().unwrap(),
        "\"marten\",\"teasel\"",
        &page,
        &again,
    );
    let list = files.path().join("sessions/pages.ron");
    let known = fs::read_to_string(&list).unwrap();
    fs::write(&list, known + &lines).unwrap();

    let answer = typed(&files, "erase marten", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    for (name, text) in texts {
        assert_eq!(fs::read_to_string(at(name)).unwrap(), text, "{name}");
        let is_named = answer.err.contains(at(name).to_str().unwrap());
        assert!(
            is_named || name.starts_with("gone"),
            "{name}: {}",
            answer.err
        );
        assert!(
            !answer.out.contains(at(name).to_str().unwrap()),
            "{}",
            answer.out
        );
    }
    assert_eq!(fs::read(at("page.html")).unwrap(), page, "through a link");
    assert!(files.path().join("sessions/teasel").exists(), "renamed");
    // What is a page of ours goes all the same.
    assert!(!files.path().join("page.html").exists());
    assert!(!group.exists());
}

/// The folder for pages may be a link: what lies where it leads is somebody's.
#[cfg(unix)]
#[test]
fn what_lies_behind_a_link_in_place_of_the_folder_for_pages_stays() {
    let files = OldFiles::copied();
    let theirs = files.path().join("theirs");
    fs::create_dir(&theirs).unwrap();
    fs::write(theirs.join("letter.txt"), "about marten").unwrap();
    std::os::unix::fs::symlink("../theirs", files.path().join("sessions/pages")).unwrap();
    let answer = typed(&files, "erase marten", "marten\n");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    assert!(theirs.join("letter.txt").exists());
    assert!(answer.err.contains("letter.txt"), "{}", answer.err);
}

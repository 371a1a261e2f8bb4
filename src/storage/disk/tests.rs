//! What is replaced is whole, what is read has an end.

#[cfg(unix)]
use std::collections::BTreeSet;

#[cfg(unix)]
use super::replace::part_of;
use super::*;

/// The names in a folder.
fn names(dir: &Path) -> Vec<String> {
    let name = |entry: io::Result<fs::DirEntry>| entry.unwrap().file_name();
    let names = fs::read_dir(dir).unwrap().map(name);
    let mut names: Vec<_> = names.map(|name| name.into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_file_is_replaced_as_a_whole_and_leaves_nothing_beside_it() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("page.html");
    for text in ["one", "another", ""] {
        replace(&path, text.as_bytes(), Rights::Owner).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
        assert_eq!(names(dir.path()), ["page.html"]);
    }
}

#[test]
fn where_it_cannot_be_replaced_the_old_file_stays() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("folder");
    fs::create_dir(&folder).unwrap();
    fs::write(folder.join("inside"), "kept").unwrap();
    assert!(replace(&folder, b"text", Rights::Owner).is_err());
    assert!(replace(&dir.path().join("none/page"), b"text", Rights::Owner).is_err());
    assert_eq!(names(dir.path()), ["folder"]);
    assert_eq!(fs::read_to_string(folder.join("inside")).unwrap(), "kept");
}

#[cfg(unix)]
#[test]
fn a_file_is_its_owners_or_keeps_the_rights_it_had_and_a_link_stays() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let rights = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    let (new, old) = (dir.path().join("new"), dir.path().join("old"));
    replace(&new, b"1", Rights::AsBefore).unwrap();
    assert_eq!(rights(&new), 0o600);
    fs::write(&old, "0").unwrap();
    fs::set_permissions(&old, fs::Permissions::from_mode(0o644)).unwrap();
    let link = dir.path().join("link");
    std::os::unix::fs::symlink("old", &link).unwrap();
    replace(&link, b"1", Rights::AsBefore).unwrap();
    assert_eq!(
        (rights(&old), fs::read_to_string(&old).unwrap()),
        (0o644, "1".into())
    );
    replace(&old, b"2", Rights::Owner).unwrap();
    assert_eq!(rights(&old), 0o600);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(names(dir.path()), ["link", "new", "old"]);
}

#[test]
fn nothing_is_created_over_a_file() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a");
    create(&path, b"first").unwrap();
    assert_eq!(
        create(&path, b"second").unwrap_err().kind(),
        io::ErrorKind::AlreadyExists
    );
    assert_eq!(fs::read(&path).unwrap(), b"first");
    assert_eq!(names(dir.path()), ["a"]);
}

#[cfg(unix)]
#[test]
fn a_new_file_follows_no_link_and_is_its_owners_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let dir = tempfile::tempdir().unwrap();
    let (link, elsewhere) = (dir.path().join("link"), dir.path().join("elsewhere"));
    std::os::unix::fs::symlink(&elsewhere, &link).unwrap();
    let refused = create(&link, b"first").unwrap_err();
    assert_eq!(refused.kind(), io::ErrorKind::AlreadyExists);
    assert!(!elsewhere.exists());
    create(&elsewhere, b"first").unwrap();
    let rights = fs::metadata(&elsewhere).unwrap().permissions();
    assert_eq!(rights.mode() & 0o777, 0o600);
    assert_eq!(names(dir.path()), ["elsewhere", "link"]);
}

#[cfg(any(target_os = "linux", target_os = "macos"))]
#[test]
fn where_there_are_no_second_names_nothing_is_renamed_over_a_file_either() {
    let dir = tempfile::tempdir().unwrap();
    let (new, old) = (dir.path().join("new"), dir.path().join("old"));
    fs::write(&new, "new").unwrap();
    fs::write(&old, "old").unwrap();
    let refused = rename_over_nothing(&new, &old).unwrap_err();
    assert_eq!(refused.kind(), io::ErrorKind::AlreadyExists);
    assert_eq!(fs::read(&old).unwrap(), b"old");
    fs::remove_file(&old).unwrap();
    rename_over_nothing(&new, &old).unwrap();
    assert_eq!(names(dir.path()), ["old"]);
}

#[test]
fn a_file_is_read_up_to_its_size_and_not_a_byte_further() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a");
    let file = File::create(&path).unwrap();
    file.set_len(Size::PAPER.bytes()).unwrap();
    let read_all = || read(&path, Size::PAPER);
    assert!(within(read_all().unwrap().len(), Size::PAPER));
    file.set_len(Size::PAPER.bytes() + 1).unwrap();
    assert_eq!(
        unfit(&read_all().unwrap_err()),
        Some(Unfit::TooLarge(Size::PAPER))
    );
    let folder = read(dir.path(), Size::PAPER).unwrap_err();
    assert_eq!(why_unread(&folder), "that's a folder; name a file in it");
}

#[test]
fn a_line_without_an_end_is_not_read_on() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a.csv");
    let lines = |length: usize| [vec![b'1'; length], b"\n".to_vec()].concat().repeat(3);
    let read_all = || {
        let mut bytes = Vec::new();
        Table::open(&path)
            .unwrap()
            .read_to_end(&mut bytes)
            .map(|_| bytes)
    };
    fs::write(&path, lines(LONGEST_LINE - 70_000)).unwrap();
    assert_eq!(read_all().unwrap(), lines(LONGEST_LINE - 70_000));
    fs::write(&path, lines(3 * LONGEST_LINE)).unwrap();
    assert_eq!(unfit(&read_all().unwrap_err()), Some(Unfit::LongLine));
}

#[cfg(target_os = "linux")]
#[test]
fn a_device_and_a_pipe_in_a_folder_are_refused_at_once() {
    let device = read(Path::new("/dev/zero"), Size::SESSION).unwrap_err();
    assert_eq!(unfit(&device), Some(Unfit::Device));
    assert_eq!(
        unfit(&Table::open(Path::new("/dev/urandom")).unwrap_err()),
        Some(Unfit::Device)
    );
    let found = read_found(Path::new("/dev/null"), Size::SESSION).unwrap_err();
    assert_eq!(unfit(&found), Some(Unfit::NoFile));
}

/// What was planted under the names that half-written files have had stays as it is, and what it leads to too.
#[cfg(unix)]
#[test]
fn what_is_put_goes_through_a_new_file_under_a_name_of_its_own() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("register.ron");
    fs::write(dir.path().join("elsewhere"), "kept").unwrap();
    let planted = [".register.ron.part", ".register.ron.00112233445566ff.part"];
    for name in planted {
        std::os::unix::fs::symlink("elsewhere", dir.path().join(name)).unwrap();
    }
    put(&path, b"new").unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), "new");
    assert!(fs::symlink_metadata(&path).unwrap().is_file());
    assert_eq!(
        fs::read_to_string(dir.path().join("elsewhere")).unwrap(),
        "kept"
    );
    let left = [planted[1], planted[0], "elsewhere", "register.ron"];
    assert_eq!(names(dir.path()), left);
    let parts: BTreeSet<_> = (0..100).map(|_| part_of(&path)).collect();
    assert_eq!(parts.len(), 100, "no name is used twice");
    assert!(!parts.contains(&dir.path().join(planted[0])));
}

#[test]
fn what_a_killed_program_left_half_written_goes_and_what_another_is_writing_stays() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("register.ron");
    let own = [".register.ron.part", ".register.ron.0123456789abcdef.part"];
    let others = [
        ".register.ron.0123456789abcde.part",
        ".register.ron.thresholds.ron.0123456789abcdef.part",
        ".thresholds.ron.0123456789abcdef.part",
        "register.ron.part",
    ];
    for name in own.iter().chain(&others) {
        fs::write(dir.path().join(name), "half").unwrap();
    }
    let written = ".register.ron.ffffffffffffffff.part";
    let file = File::create(dir.path().join(written)).unwrap();
    file.lock().unwrap();
    put(&path, b"new").unwrap();
    let mut left: Vec<_> = others
        .iter()
        .chain(&[written, "register.ron"])
        .copied()
        .collect();
    left.sort_unstable();
    assert_eq!(names(dir.path()), left);
}

/// By `fsync(2)` and `fcntl(2)`: which errors speak of the file system, and which of the disk.
#[cfg(unix)]
#[test]
fn a_sync_that_a_file_system_does_not_know_is_done_plainly_and_a_failed_one_is_told() {
    use rustix::io::Errno;
    let dir = tempfile::tempdir().unwrap();
    let file = File::create(dir.path().join("a")).unwrap();
    for unknown in [Errno::NOTSUP, Errno::OPNOTSUPP, Errno::NOTTY, Errno::INVAL] {
        or_plain_sync(Err(unknown.into()), &file).unwrap();
    }
    for told in [Errno::IO, Errno::NOSPC, Errno::DQUOT, Errno::ROFS] {
        let error = or_plain_sync(Err(told.into()), &file).unwrap_err();
        assert_eq!(Errno::from_io_error(&error), Some(told));
    }
    or_plain_sync(Ok(()), &file).unwrap();
}

#[test]
fn a_file_that_is_held_for_a_moment_is_tried_again_and_any_other_refusal_is_told_at_once() {
    let tried = |held_for: u32, error: fn() -> io::Error| {
        let mut tries = 0;
        let done = while_held_for_a_moment(Duration::ZERO, || {
            tries += 1;
            if tries > held_for {
                Ok(())
            } else {
                Err(error())
            }
        });
        (done.map_err(|error| error.to_string()), tries)
    };
    // Microsoft, "System Error Codes": 32 sharing violation, 33 lock violation.
    let held: [fn() -> io::Error; 3] = [
        || io::ErrorKind::PermissionDenied.into(),
        || io::Error::from_raw_os_error(32),
        || io::Error::from_raw_os_error(33),
    ];
    for error in held {
        assert_eq!(tried(0, error), (Ok(()), 1));
        assert_eq!(tried(TRIES - 1, error), (Ok(()), TRIES));
        let way_out = "another program may have the file open: close it there, then try again";
        let refused = Err(format!("{}; {way_out}", error()));
        assert_eq!(tried(u32::MAX, error), (refused, TRIES));
    }
    let absent: fn() -> io::Error = || io::ErrorKind::NotFound.into();
    assert_eq!(tried(3, absent), (Err(absent().to_string()), 1));
}

#[test]
fn a_table_that_is_a_folder_is_told_to_be_one() {
    let dir = tempfile::tempdir().unwrap();
    let folder = Table::open(dir.path()).unwrap_err();
    assert_eq!(unfit(&folder), Some(Unfit::Folder));
}

//! What `doctor` finds in a folder of sittings: each thing that another command would stumble over or leave out.

use std::fs;
use std::path::Path;

use crate::old::OldFiles;

fn told(files: &OldFiles) -> String {
    let answer = files.run("doctor sessions");
    assert_eq!(answer.code, Some(0), "{}", answer.err);
    answer.out
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
        assert!(line.contains(Path::new(&file).to_str().unwrap()), "{line}");
        assert!(line.ends_with("Delete it."), "{line}");
    }
}

//! Pages and tables: what they may replace, and what becomes of a group's when one pupil goes.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use pacebell::storage::disk::canonical;

use crate::countdown;
use crate::old::OldFiles;
use crate::room::{killed_at, tree, typed, with_bytes};

fn done(files: &OldFiles, words: &str) {
    let answer = files.run(words);
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
}

#[test]
fn a_page_of_ours_is_replaced_and_anything_else_only_by_force() {
    let files = OldFiles::copied();
    for (words, page) in [
        ("progress marten --csv out.csv", "out.csv"),
        ("mark sessions --csv all.csv", "all.csv"),
        (
            "group --paper @a.paper --key @a.key sessions --csv group.csv",
            "group.csv",
        ),
        (
            "evidence marten -o sheet.html --csv sheet.csv",
            "sheet.html",
        ),
        ("evidence marten -o other.html --csv times.csv", "times.csv"),
        ("feedback @marten-a --key @a.key -o page.html", "page.html"),
        ("feedback sessions/teasel --group pages", "pages/index.html"),
    ] {
        let path = files.path().join(page);
        done(&files, words);
        let ours = fs::read(&path).unwrap();
        done(&files, words);
        assert_eq!(fs::read(&path).unwrap(), ours, "{words}");

        let changed = [ours.as_slice(), b"\nmy own remark"].concat();
        fs::write(&path, &changed).unwrap();
        let refused = files.run(words);
        assert_eq!(refused.code, Some(1), "{words}");
        assert!(
            refused.err.contains("was changed after") && refused.err.contains("--force"),
            "{words}: {}",
            refused.err
        );
        assert_eq!(fs::read(&path).unwrap(), changed, "{words}");
        done(&files, &format!("{words} --force"));
        assert_eq!(fs::read(&path).unwrap(), ours, "{words}");

        // The same file, of which nothing is written down, is somebody else's.
        fs::remove_file(files.path().join("sessions/pages.ron")).unwrap();
        let refused = files.run(words);
        assert_eq!(refused.code, Some(1), "{words}");
        assert!(refused.err.contains("didn't write"), "{}", refused.err);
        done(&files, &format!("{words} --force"));
    }
    // Nor is what describes another table written over.
    fs::write(files.path().join("new.csv-metadata.json"), "{}").unwrap();
    let refused = files.run("progress marten --csv new.csv");
    assert_eq!(refused.code, Some(1), "{}", refused.err);
    assert!(!files.path().join("new.csv").exists());
    // A paper is none even by force.
    let paper = files.path().join("sample-papers/saltmarsh-a.paper.ron");
    let before = fs::read(&paper).unwrap();
    for words in [
        "feedback @marten-a --key @a.key -o @a.paper --force",
        "evidence marten -o @a.paper --force",
        "evidence marten --csv @a.paper --force",
        "progress marten --csv @a.paper --force",
    ] {
        assert_eq!(files.run(words).code, Some(2), "{words}");
    }
    assert_eq!(fs::read(&paper).unwrap(), before);
}

/// Without a folder of sittings the usual one takes the note.
#[test]
fn a_table_of_a_class_list_is_ours_too() {
    let files = OldFiles::copied();
    fs::remove_dir_all(files.path().join("sessions")).unwrap();
    let heads: Vec<_> = (1..=25).map(|n| n.to_string()).collect();
    let rows = ["A", "B"].map(|letter| vec![letter; 25].join(","));
    let list = format!(
        "pupil,{}\nteal,{}\nwren,{}\n",
        heads.join(","),
        rows[0],
        rows[1]
    );
    fs::write(files.path().join("class.csv"), list).unwrap();
    let words = "group --paper @a.paper --key @a.key --answers class.csv --csv group.csv";
    done(&files, words);
    done(&files, words);
    fs::write(files.path().join("group.csv"), "mine").unwrap();
    assert_eq!(files.run(words).code, Some(1));
}

/// The pages about several pupils, made before and after an erasure.
const GROUP_PAGES: [&str; 4] = [
    "mark sessions --key @a.key --key @b.key --csv all.csv",
    "mark sessions/marten teasel --key @a.key --csv two.csv --for-spreadsheet",
    "group --paper @a.paper --key @a.key sessions --csv group.csv",
    "feedback sessions --key @a.key --key @b.key --key @old.key --group all",
];

fn made(files: &OldFiles) {
    for words in GROUP_PAGES {
        done(files, words);
    }
    done(files, "mark sessions --key @a.key --csv marten.csv");
}

/// What a group's pages say when nobody called marten was ever there.
fn without_marten() -> OldFiles {
    let files = OldFiles::copied();
    fs::remove_dir_all(files.path().join("sessions/marten")).unwrap();
    let words = GROUP_PAGES.map(|words| words.replace("sessions/marten ", ""));
    for words in words {
        done(&files, &words);
    }
    files
}

fn are_made_again(files: &OldFiles, expected: &OldFiles) {
    for page in ["all.csv", "two.csv", "group.csv", "all/index.html"] {
        let text = |files: &OldFiles| fs::read_to_string(files.path().join(page)).unwrap();
        assert_eq!(text(files), text(expected), "{page}");
    }
    let names = |files: &OldFiles| {
        let all = tree(&files.path().join("all")).into_keys();
        all.collect::<BTreeSet<_>>()
    };
    assert_eq!(names(files), names(expected));
    assert_eq!(
        with_bytes(files.path(), "marten"),
        Vec::<std::path::PathBuf>::new()
    );
    assert!(!files.path().join("sessions/unfinished.ron").exists());
}

#[test]
fn a_groups_pages_are_made_again_without_the_pupil() {
    let (files, expected) = (OldFiles::copied(), without_marten());
    made(&files);
    assert!(files.path().join("marten.csv").exists());
    let told = typed(&files, "erase marten", "marten\n");
    assert_eq!(told.code, Some(0), "{}", told.err);
    are_made_again(&files, &expected);
    for page in ["all.csv", "two.csv", "group.csv", "index.html"] {
        let mut lines = told.out.lines();
        let said = lines.any(|line| line.starts_with("Made again") && line.ends_with(page));
        assert!(said, "{page}: {}", told.out);
    }
    // Its own name has the alias in it: nobody else's page is called so.
    assert!(
        told.err
            .contains("marten.csv: this page was about others too and is gone"),
        "{}",
        told.err
    );
}

#[test]
fn a_page_that_cannot_be_made_again_is_named_with_the_reason() {
    let files = OldFiles::copied();
    let keys = files.path().join("keys");
    fs::create_dir(&keys).unwrap();
    let key = files.path().join("sample-papers/saltmarsh-a.key.ron");
    fs::copy(&key, keys.join("a.key.ron")).unwrap();
    done(&files, "mark sessions --key keys/a.key.ron --csv all.csv");
    fs::remove_file(keys.join("a.key.ron")).unwrap();
    let told = typed(&files, "erase marten", "marten\n");
    assert_eq!(told.code, Some(0), "{}", told.err);
    assert!(
        told.err.contains("could not be made again: ") && told.err.contains("a.key.ron"),
        "{}",
        told.err
    );
    assert!(!told.err.contains("again: pacebell"), "{}", told.err);
    assert!(!files.path().join("all.csv").exists());
    // A page that was changed stays, and is named.
    let files = OldFiles::copied();
    done(&files, GROUP_PAGES[2]);
    let changed = "mine, with marten";
    fs::write(files.path().join("group.csv"), changed).unwrap();
    let told = typed(&files, "erase marten", "marten\n");
    assert!(
        told.err.contains("group.csv: this page was changed"),
        "{}",
        told.err
    );
    assert_eq!(
        fs::read_to_string(files.path().join("group.csv")).unwrap(),
        changed
    );
}

/// Killed before each of its changes to the disk, one after another, and begun again.
#[test]
fn pages_are_made_again_whenever_the_erasure_was_killed() {
    if countdown::library().is_none() {
        return;
    }
    let expected = without_marten();
    let mut at = 1;
    loop {
        let files = OldFiles::copied();
        made(&files);
        let killed = killed_at(files.path(), files.path(), "erase marten", "marten\n", at);
        let is_over = killed.code == Some(0);
        if !is_over {
            let again = typed(&files, "erase marten", "marten\n");
            assert_eq!(again.code, Some(0), "killed at {at}: {}", again.err);
        }
        are_made_again(&files, &expected);
        if is_over {
            assert!(at > 20, "only {at} changes were seen");
            break;
        }
        at += 1 + at / 3;
    }
}

#[test]
fn class_lists_that_still_have_the_alias_are_named() {
    let files = OldFiles::copied();
    let paper = "(format: 1, id: \"fen\", title: \"Fen\", minutes: 10, options: \"ABCDE\",
        rule: (sections: [(name: \"all\", first: 1, last: 2, right: 1)]), questions: [(), ()])";
    fs::write(files.path().join("fen.paper.ron"), paper).unwrap();
    let lists = files.path().join("lists");
    fs::create_dir(&lists).unwrap();
    let list = |path: &Path, text: &str| fs::write(path, text).unwrap();
    list(
        &lists.join("november.csv"),
        "pupil,1,2\nmarten,A,B\nwren,A,A\n",
    );
    list(&files.path().join("class.csv"), "pupil,1,2\nMarten,A,B\n");
    list(
        &files.path().join("others.csv"),
        "pupil,1,2\nmarten-2,A,B\nteal,A,A\n",
    );
    done(
        &files,
        "enter fen.paper.ron --from lists/november.csv --date 2026-11-20",
    );
    done(&files, "progress marten --csv season.csv");
    let told = files.run("rename marten heron");
    assert_eq!(told.code, Some(0), "{}", told.err);
    for (name, is_named) in [
        ("november.csv", true),
        ("class.csv", true),
        ("others.csv", false),
    ] {
        let said = format!("{name}: this list still says `marten`; write heron there");
        assert_eq!(told.err.contains(&said), is_named, "{name}: {}", told.err);
    }
    // A page of ours is no list.
    assert!(!told.err.contains("season.csv: this list"), "{}", told.err);

    list(
        &lists.join("november.csv"),
        "pupil,1,2\nheron,A,B\nwren,A,A\n",
    );
    let told = typed(&files, "erase heron", "heron\n");
    assert_eq!(told.code, Some(0), "{}", told.err);
    assert!(
        told.err
            .contains("november.csv: this list has `heron` in it; delete that row"),
        "{}",
        told.err
    );
    assert!(!told.err.contains("class.csv"), "{}", told.err);
    assert!(
        lists.join("november.csv").exists(),
        "a tutor's list is never deleted"
    );
    let pages = fs::read_to_string(files.path().join("sessions/pages.ron")).unwrap();
    assert!(
        pages.contains("wren") && !pages.contains("heron"),
        "{pages}"
    );
}

/// A file in `sessions/pages`, as it is.
fn printed(files: &OldFiles, name: &str) -> Vec<u8> {
    fs::read(files.path().join("sessions/pages").join(name)).unwrap()
}

/// A question of the paper is about a plover, which is an alias as well.
#[test]
fn a_printed_paper_stays_though_a_question_has_a_word_that_is_an_alias() {
    let files = OldFiles::copied();
    done(&files, "rename marten plover");
    done(&files, "paper print @a.paper");
    done(&files, "paper print @a.paper --pupil teasel");
    done(&files, "evidence plover");
    let names = ["saltmarsh-a.html", "teasel-saltmarsh-a.html"];
    let before = names.map(|name| printed(&files, name));
    assert!(String::from_utf8_lossy(&before[0]).contains("plover"));
    // Of a copy of the folder the pages lie elsewhere, and are the same.
    let copy = OldFiles::copied();
    for (inside, bytes) in tree(&files.path().join("sessions")) {
        let path = copy.path().join("copy").join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    for (files, folder) in [(&files, "sessions"), (&copy, "copy")] {
        let pages = files.path().join(folder).join("pages");
        // Of this one nobody put down whom it is about.
        fs::write(pages.join("mine.html"), "plover did well").unwrap();
        let words = format!("erase plover --sessions {folder}");
        let told = typed(files, &words, "plover\n");
        assert_eq!(told.code, Some(0), "{}", told.err);
        for (name, before) in names.iter().zip(&before) {
            assert_eq!(&fs::read(pages.join(name)).unwrap(), before);
            assert!(
                !told.out.contains(name) && !told.err.contains(name),
                "{}{}",
                told.out,
                told.err
            );
        }
        assert!(!pages.join("mine.html").exists());
        let left = fs::read_dir(&pages).unwrap().count();
        assert_eq!(left, names.len(), "the pupil's own page went");
    }
}

/// What stands in `pages.ron` is what was to be written; the page that is there is still the pupil's.
#[test]
fn a_page_about_the_pupil_goes_though_another_was_to_take_its_place() {
    let files = OldFiles::copied();
    let page = "sessions/pages/page.html";
    fs::create_dir_all(files.path().join("sessions/pages")).unwrap();
    done(&files, &format!("evidence marten -o {page}"));
    let about = fs::read(files.path().join(page)).unwrap();
    done(&files, &format!("paper print @a.paper -o {page}"));
    fs::write(files.path().join(page), about).unwrap();
    let told = typed(&files, "erase marten", "marten\n");
    assert_eq!(told.code, Some(0), "{}", told.err);
    assert!(!files.path().join(page).exists());
}

/// A sitting that is still open has no page of its own; the list of the others is made all the same.
#[test]
fn a_page_that_was_made_again_is_said_so_whatever_else_was_wrong() {
    let files = OldFiles::copied();
    let open = files.path().join(files.sitting("teasel", "b"));
    let text = fs::read_to_string(&open).unwrap();
    let lines: Vec<_> = text.lines().take(20).collect();
    fs::write(&open, lines.join("\n") + "\n").unwrap();
    let words = "feedback sessions --key @a.key --key @b.key --key @old.key --group fb";
    assert_eq!(files.run(words).code, Some(1), "one sitting is open");
    let index = canonical(files.path().join("fb/index.html")).unwrap();
    assert!(fs::read_to_string(&index).unwrap().contains("marten"));
    let told = typed(&files, "erase marten", "marten\n");
    assert_eq!(told.code, Some(0), "{}", told.err);
    let index = index.display();
    for said in [
        format!("This page is made again without marten: {index}\n"),
        format!("Made again, without that pupil: {index}\n"),
    ] {
        assert!(told.out.contains(&said), "{}", told.out);
    }
    assert!(
        !told.out.contains(&format!("goes too: {index}")),
        "{}",
        told.out
    );
    assert!(!told.err.contains("index.html"), "{}", told.err);
}

/// The words that made a page may name another folder: there the pupil is still in every sitting.
#[test]
fn a_page_made_again_from_another_folder_is_not_said_to_be_without_the_pupil() {
    let files = OldFiles::copied();
    for (inside, bytes) in tree(&files.path().join("sessions")) {
        let path = files.path().join("copy").join(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    done(&files, "mark copy --key @a.key --key @b.key --csv all.csv");
    let told = typed(&files, "erase marten", "marten\n");
    assert_eq!(told.code, Some(0), "{}", told.err);
    let table = fs::read_to_string(files.path().join("all.csv")).unwrap();
    assert!(table.contains("marten"), "it's made from the other folder");
    assert!(!told.out.contains("Made again, without"), "{}", told.out);
    assert!(
        told.err.contains("all.csv: this page was made again")
            && told.err.contains("`marten` is still in it"),
        "{}",
        told.err
    );
}

#[test]
fn an_export_is_named_when_its_pupil_is_erased() {
    for (is_there, folder) in [(true, "ex"), (false, "marten-ex")] {
        let files = OldFiles::copied();
        done(&files, &format!("export marten {folder}"));
        if !is_there {
            fs::remove_dir_all(files.path().join(folder)).unwrap();
        }
        let told = typed(&files, "erase marten", "marten\n");
        assert_eq!(told.code, Some(0), "{}", told.err);
        let said = format!("{folder}: everything kept of `marten` was exported to this folder");
        assert_eq!(told.err.contains(&said), is_there, "{}", told.err);
        assert_eq!(files.path().join(folder).exists(), is_there);
        assert_eq!(
            with_bytes(&files.path().join("sessions"), "marten"),
            Vec::<std::path::PathBuf>::new()
        );
    }
}

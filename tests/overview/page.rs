//! What the tutor gets: every pupil and paper, at most five names, and nothing that a hostile text could do.

use std::fs;
use std::path::Path;

use crate::markup::well_formed;
use crate::paths::slashed;
use crate::room::{aliases, copy_papers, group, read, run, table, told};

#[test]
fn the_text_keeps_to_80_columns_and_says_where_the_page_is() {
    let dir = group(9);
    let text = told(dir.path(), "overview");
    for line in text.lines() {
        let is_a_path = line.starts_with("The page");
        assert!(line.chars().count() <= 80 || is_a_path, "{line}");
    }
    let names = aliases(dir.path());
    assert_eq!(names.len(), 9);
    for name in &names {
        assert!(text.contains(&format!("{name} (Practice")), "{name}");
    }
    assert!(text.contains("Invented data"));
    assert!(
        slashed(&text)
            .ends_with("The page to look at and to print is in sessions/pages/overview.html.\n")
    );
    let page = read(dir.path(), "sessions/pages/overview.html");
    assert_eq!(well_formed(&page), Ok(()));
    // Made again it has the same bytes, and takes the place of the first.
    told(dir.path(), "overview");
    assert_eq!(read(dir.path(), "sessions/pages/overview.html"), page);
}

#[test]
fn the_text_shows_which_answers_were_unsure_and_which_were_guesses() {
    let dir = tempfile::tempdir().unwrap();
    copy_papers(Path::new(env!("CARGO_MANIFEST_DIR")), dir.path());
    let class =
        "pupil,1,2,3,4,5,6,7,8,9,10,11,12\nhare,A?,B??,C,-,A??,B??,C??,D??,A??,B??,B??,C??\n";
    fs::write(dir.path().join("class.csv"), class).unwrap();
    told(
        dir.path(),
        "enter saltmarsh-first --from class.csv --date 2026-11-20",
    );
    let text = told(dir.path(), "overview");
    let row = text.lines().rfind(|line| line.starts_with("hare "));
    let cells: Vec<&str> = row.unwrap_or_default().split_whitespace().collect();
    let bare = |cell: &&str| cell.replace(['+', 'x'], "");
    let shown: Vec<String> = cells.iter().skip(1).map(bare).collect();
    let sheet = [
        "A?", "B??", "C", "-", "A??", "B??", "C??", "D??", "A??", "B??", "B??", "C??",
    ];
    assert_eq!(shown, sheet, "{text}");
    assert!(
        text.lines()
            .all(|line| line.chars().count() <= 80 || line.starts_with("The page"))
    );
}

#[test]
fn at_most_five_names_stand_in_order_and_the_tutor_sets_how_many() {
    let dir = group(24);
    let names = |folder: &Path| {
        told(folder, "overview --csv t");
        let mut names: Vec<String> = table(&folder.join("t/overview-words.csv"))
            .iter()
            .map(|row| row[0].to_owned())
            .collect();
        assert!(names.is_sorted());
        names.dedup();
        names
    };
    let five = names(dir.path());
    assert_eq!(five.len(), 5);
    let rows = table(&dir.path().join("t/overview-words.csv"));
    assert!(rows.iter().any(|row| &row[3] == "yes"), "praise among them");
    fs::write(
        dir.path().join("sessions/thresholds.ron"),
        "(format: 1, thresholds: {\"word_names\": 2})",
    )
    .unwrap();
    assert_eq!(names(dir.path()).len(), 2);
}

#[test]
fn a_page_that_somebody_changed_stays_and_a_folder_without_sittings_says_so() {
    let dir = group(3);
    told(dir.path(), "overview -o term.html");
    fs::write(dir.path().join("term.html"), "mine").unwrap();
    let refused = run(dir.path(), "overview -o term.html");
    assert_eq!(refused.status.code(), Some(1));
    assert_eq!(read(dir.path(), "term.html"), "mine");
    told(dir.path(), "overview -o term.html --force");
    assert!(read(dir.path(), "term.html").contains("<h1>"));
    fs::create_dir(dir.path().join("empty")).unwrap();
    let none = run(dir.path(), "overview --sessions empty");
    assert_eq!(none.status.code(), Some(1));
    let said = String::from_utf8(none.stderr).unwrap();
    assert!(
        said.contains("no sittings in empty; name the folder"),
        "{said}"
    );
}

/// A pupil of the register who has sat nothing has a row: whoever was absent is seen.
#[test]
fn the_registers_group_and_its_absent_pupils_are_on_the_page() {
    let dir = group(3);
    let register = "(format: 1, group: Some(\"Set <b>4</b>\"), pupils: [(alias: \"absent\")])";
    fs::write(dir.path().join("sessions/register.ron"), register).unwrap();
    let text = told(dir.path(), "overview");
    assert!(text.starts_with("Set <b>4</b>: 4 pupils"), "{text}");
    assert!(text.lines().any(|line| line.starts_with("absent ")));
    let page = read(dir.path(), "sessions/pages/overview.html");
    assert_eq!(well_formed(&page), Ok(()));
    assert!(page.contains("Set &lt;b&gt;4&lt;/b&gt;") && !page.contains("<b>4"));
}

/// Every table has its description, with a column for each of its heads.
#[test]
fn tables_have_their_metadata() {
    let dir = group(3);
    told(dir.path(), "overview --csv t --for-spreadsheet");
    for name in ["sheets", "answers", "words", "sweep", "practice"] {
        let file = dir.path().join(format!("t/overview-{name}.csv"));
        let bytes = fs::read(&file).unwrap();
        assert!(bytes.starts_with("\u{feff}".as_bytes()), "{name}");
        let about = read(dir.path(), &format!("t/overview-{name}.csv-metadata.json"));
        let about: serde_json::Value = serde_json::from_str(&about).unwrap();
        let columns = about["tableSchema"]["columns"].as_array().unwrap();
        let text = String::from_utf8(bytes[3..].to_vec()).unwrap();
        let heads = text.lines().next().unwrap().split([',', ';']).count();
        assert_eq!(heads, columns.len(), "{name}");
    }
}

/// Erasing a pupil makes the page, the tables and the page for people outside again, without that pupil.
#[test]
fn erasing_a_pupil_makes_every_overview_again() {
    let dir = group(6);
    told(dir.path(), "overview");
    told(dir.path(), "overview --outside");
    told(dir.path(), "overview --csv t");
    let gone = aliases(dir.path())[0].clone();
    let mut erase = std::process::Command::new(env!("CARGO_BIN_EXE_pacebell"));
    erase
        .args(["erase", &gone])
        .current_dir(dir.path())
        .envs(crate::user::at_home(dir.path()));
    let mut child = erase
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    std::io::Write::write_all(
        &mut child.stdin.take().unwrap(),
        format!("{gone}\n").as_bytes(),
    )
    .unwrap();
    let erased = child.wait_with_output().unwrap();
    assert!(erased.status.success(), "{erased:?}");
    let said = String::from_utf8_lossy(&erased.stderr);
    assert!(said.contains("give out only one version"), "{said}");
    let others = aliases(dir.path());
    assert_eq!(others.len(), 5);
    let page = read(dir.path(), "sessions/pages/overview.html");
    assert!(!page.contains(&gone) && others.iter().all(|name| page.contains(name)));
    for name in ["sheets", "answers", "words", "sweep", "practice"] {
        let text = read(dir.path(), &format!("t/overview-{name}.csv"));
        assert!(!text.contains(&gone), "{name}");
    }
    let outside = read(dir.path(), "sessions/pages/overview-outside.html");
    assert!(outside.contains("<h1>"));
}

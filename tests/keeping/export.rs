//! What is exported comes back whole, and every field of it is named.

use std::collections::BTreeSet;
use std::fs;

use serde_json::Value;

use crate::old::OldFiles;
use crate::room::{lived_in, tree, typed};

#[test]
fn an_export_is_the_files_as_they_are_and_gathering_it_again_is_lossless() {
    let files = lived_in();
    let told = files.run("export marten out");
    assert_eq!(told.code, Some(0), "{}", told.err);
    let own = tree(&files.path().join("sessions/marten"));
    let mut out = tree(&files.path().join("out/sessions/marten"));
    let fallback = "2026-10-01-0900-saltmarsh-a.session.ron";
    assert!(out.remove(std::path::Path::new(fallback)).is_some());
    let kept = own
        .iter()
        .filter(|(path, _)| !path.to_string_lossy().ends_with(".lock"));
    assert!(kept.clone().count() > 5);
    assert!(kept.eq(out.iter()));
    // Gathered where it came from, it changes nothing but that the fallback's sitting joins the others.
    assert_eq!(files.run("gather out").code, Some(0));
    let again = tree(&files.path().join("sessions/marten"));
    assert!(
        own.iter()
            .all(|(path, bytes)| again.get(path) == Some(bytes))
    );
    assert_eq!(again.len(), own.len() + 1);
    // Gathered into an empty folder it is the same sittings, notes, practice and register.
    assert_eq!(files.run("gather out --sessions fresh").code, Some(0));
    let contents = |folder: &str| {
        let all = tree(&files.path().join(folder).join("marten")).into_iter();
        let kinds = [".session.ron", ".practice.ron", ".drill.ron"];
        let is_log = |path: &str| kinds.iter().any(|kind| path.ends_with(kind));
        all.filter(|(path, _)| is_log(&path.to_string_lossy()))
            .map(|(_, bytes)| bytes)
            .collect::<BTreeSet<_>>()
    };
    assert_eq!(contents("fresh"), contents("sessions"));
    let season = |folder: &str| {
        let told = files.run(&format!("progress marten --json --sessions {folder}"));
        let json: Value = serde_json::from_str(&told.out).unwrap();
        ["trends", "topics", "causes", "compared"].map(|name| json[name].clone())
    };
    assert_eq!(season("fresh"), season("sessions"));
    let register = fs::read_to_string(files.path().join("fresh/register.ron")).unwrap();
    assert!(register.contains("\"marten\", extra_time: 25") && !register.contains("teasel"));
    assert_eq!(
        files.run("export marten out").code,
        Some(1),
        "nothing is written over"
    );
    assert_eq!(files.run("export nobody other").code, Some(1));
    // An export is somewhere else: erasing names it as what cannot be reached.
    assert_eq!(typed(&files, "erase marten", "marten\n").code, Some(0));
    assert!(files.path().join("out/index.html").exists());
}

fn keys(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(all) => {
            for (key, value) in all {
                found.insert(key.clone());
                keys(value, found);
            }
        }
        Value::Array(all) => all.iter().for_each(|value| keys(value, found)),
        _ => {}
    }
}

#[test]
fn the_page_names_every_field_of_every_file() {
    let files = OldFiles::copied();
    assert_eq!(files.run("export marten out").code, Some(0));
    let page = fs::read_to_string(files.path().join("out/index.html")).unwrap();
    let mut named = BTreeSet::new();
    for cell in page.split("<th scope=\"row\">").skip(1) {
        let cell = cell.split("</th>").next().unwrap();
        named.extend(cell.split(", ").map(str::to_owned));
    }
    let mut fields = BTreeSet::new();
    for file in ["sittings.json", "marks.json"] {
        let text = fs::read_to_string(files.path().join("out").join(file)).unwrap();
        keys(&serde_json::from_str(&text).unwrap(), &mut fields);
    }
    for file in ["marks.csv", "times.csv"] {
        let mut table = csv::Reader::from_path(files.path().join("out").join(file)).unwrap();
        fields.extend(table.headers().unwrap().iter().map(str::to_owned));
        assert!(
            files
                .path()
                .join(format!("out/{file}-metadata.json"))
                .exists()
        );
    }
    assert!(fields.len() > 80);
    let unnamed: Vec<_> = fields.difference(&named).collect();
    assert!(unnamed.is_empty(), "{unnamed:?}");
}

/// By the words of the exclusions, in every table of marks and in JSON.
#[test]
fn tables_of_marks_say_which_sittings_count_and_why_others_do_not() {
    let files = OldFiles::copied();
    let paper = "(format: 1, id: \"fen\", title: \"Fen\", minutes: 10, options: \"ABCDE\",
        rule: (sections: [(name: \"all\", first: 1, last: 2, right: 1)]), questions: [(), ()])";
    fs::write(files.path().join("fen.paper.ron"), paper).unwrap();
    let key = "(format: 1, paper: \"fen\", answers: \"AB\")";
    fs::write(files.path().join("fen.key.ron"), key).unwrap();
    let enter = |day: &str, letters: &str, more: &str| {
        let told = files.run(&format!(
            "enter fen.paper.ron --pupil wren --answers {letters} --date {day}{more}"
        ));
        assert_eq!(told.code, Some(0), "{}", told.err);
    };
    // One is replaced, one set aside, one of each counts.
    enter("2026-11-20", "AA", "");
    enter("2026-11-20", "AB", " --again");
    enter("2026-11-21", "AC", "");
    enter("2026-11-22", "AD", "");
    let names = tree(&files.path().join("sessions/wren"));
    let of_day = names.keys().find(|path| {
        path.to_string_lossy().starts_with("2026-11-21")
            && path.to_string_lossy().ends_with(".session.ron")
    });
    let of_day = of_day.unwrap().display();
    let told = files.run(&format!(
        "set-aside sessions/wren/{of_day} --because mistake"
    ));
    assert_eq!(told.code, Some(0), "{}", told.err);
    assert_eq!(files.run("export wren out").code, Some(0));

    let csv = fs::read_to_string(files.path().join("out/marks.csv")).unwrap();
    let csv = csv.trim_start_matches('\u{feff}');
    let mut lines = csv.lines();
    let heads: Vec<_> = lines.next().unwrap().split(',').collect();
    let column = |name: &str| heads.iter().position(|head| *head == name).unwrap();
    let (date, answer) = (column("date"), column("answer_2"));
    let (counts, why) = (column("counts"), column("why_not"));
    let rows: BTreeSet<_> = lines
        .map(|line| {
            let cells: Vec<_> = line.split(',').collect();
            (cells[date], cells[answer], cells[counts], cells[why])
        })
        .collect();
    let expected = [
        ("2026-11-20", "A", "no", "replaced"),
        ("2026-11-20", "B", "yes", ""),
        ("2026-11-21", "C", "no", "set_aside"),
        ("2026-11-22", "D", "yes", ""),
    ];
    assert_eq!(rows, BTreeSet::from(expected));
    let times = files.path().join("out/times.csv");
    let mut times = csv::Reader::from_path(times).unwrap();
    let heads = times.headers().unwrap().clone();
    let place = heads.iter().position(|head| head == "counts").unwrap();
    let counts = times.records().map(|row| row.unwrap()[place].to_owned());
    assert_eq!(counts.filter(|counts| counts == "yes").count(), 2);
    let json = fs::read_to_string(files.path().join("out/marks.json")).unwrap();
    let json: Value = serde_json::from_str(&json).unwrap();
    let said = json.as_array().unwrap().iter();
    let said: BTreeSet<_> = said
        .map(|own| {
            let given = own["questions"][1]["given"].as_str().unwrap();
            (
                given,
                own["counts"].as_bool().unwrap(),
                own["why_not"].as_str(),
            )
        })
        .collect();
    let expected = [
        ("A", false, Some("replaced")),
        ("B", true, None),
        ("C", false, Some("set_aside")),
        ("D", true, None),
    ];
    assert_eq!(said, BTreeSet::from(expected));
}

/// What a kill can leave: some parts of an export, or all of them but those that came to their places before it.
#[test]
fn an_export_that_was_killed_is_no_export_and_the_same_words_finish_it() {
    let files = lived_in();
    assert_eq!(files.run("export marten whole").code, Some(0));
    let whole = tree(&files.path().join("whole"));
    let put = |path: &str, bytes: &[u8]| {
        let path = files.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    };
    for in_place in [0, 2, 5] {
        let folder = format!("killed-{in_place}");
        let sessions_last = |(path, _): &(&std::path::PathBuf, _)| path.starts_with("sessions");
        let (later, sooner): (Vec<_>, Vec<_>) = whole.iter().partition(sessions_last);
        for (number, (path, bytes)) in sooner.into_iter().chain(later).enumerate() {
            let inside = match number {
                number if number < in_place => "",
                // The last of them was not written any more.
                number if number + 1 < whole.len() => ".unfinished-export/",
                _ => continue,
            };
            put(&format!("{folder}/{inside}{}", path.display()), bytes);
        }
        let gathered = files.run(&format!("gather {folder} --sessions fresh"));
        assert!(!files.path().join("fresh/marten").exists(), "{gathered:?}");
        assert!(
            gathered.err.contains("this export isn't finished"),
            "{gathered:?}"
        );
        let told = files.run(&format!("export marten {folder}"));
        assert_eq!(told.code, Some(0), "{}", told.err);
        let again = tree(&files.path().join(&folder));
        assert!(again.keys().eq(whole.keys()), "{again:?}");
    }
    // What somebody has put there meanwhile stays, and the export waits.
    put("other/.unfinished-export/sittings.json", b"[]");
    put("other/letter.txt", b"theirs");
    let told = files.run("export marten other");
    assert_eq!(told.code, Some(1), "{}", told.out);
    assert!(files.path().join("other/letter.txt").exists());
}

/// The system may refuse to take away the half-written name of a file that has its own.
#[test]
fn nothing_half_written_comes_into_a_finished_export() {
    use pacebell::domain::header::Alias;
    use pacebell::storage::keeping::{export_files, finish_export, unfinished_export};
    let files = OldFiles::copied();
    let (sessions, out) = (files.path().join("sessions"), files.path().join("out"));
    let pupil = Alias::new("marten").unwrap();
    export_files(&sessions, &pupil, &out).unwrap();
    let sound = tree(&unfinished_export(&out));
    for name in [
        ".sittings.json.0123456789abcdef.part",
        "sessions/marten/.x.session.ron.0123456789abcdef.part",
    ] {
        fs::write(unfinished_export(&out).join(name), "half").unwrap();
    }
    assert!(finish_export(&out).unwrap().is_none());
    assert_eq!(tree(&out), sound);
}

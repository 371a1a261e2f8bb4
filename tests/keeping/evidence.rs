//! The evidence sheet, from scripted logs: what was there at the standard time, and what came after it.

use std::fs;

use crate::old::OldFiles;
use crate::room::chained;

/// 60 minutes and 25%: 3600 s and 4500 s. Question 1 answered at 10 min, changed at 65; question 2 answered at
/// exactly 3600.000 s of the clock, too late for the standard time; question 3 at 70 min; two breaks of 4:10 and 6:35.
fn scripted(files: &OldFiles) -> String {
    let file = files.sitting("marten", "a");
    let path = files.path().join(&file);
    let text = fs::read_to_string(&path).unwrap();
    let first = text.lines().next().unwrap().rsplit_once(" // ").unwrap().0;
    let first = first
        .replacen("allowed:3600000", "allowed:4500000", 1)
        .replacen("extra_percent:0", "extra_percent:25", 1)
        .replacen("rest_breaks:false", "rest_breaks:true", 1);
    assert!(
        first.contains("allowed:4500000") && first.contains("extra_percent:25"),
        "{first}"
    );
    let breaks = [(300_000_u64, 250_000_u64), (1_000_000, 395_000)];
    let total = 645_000;
    let after = |used: u64| used + total;
    let script: Vec<(u64, String)> = vec![
        (0, "Opened(1)".into()),
        (breaks[0].0, "BreakStarted".into()),
        (breaks[0].0 + breaks[0].1, "BreakEnded".into()),
        (600_000 + 250_000, "Answered(1,'A')".into()),
        (breaks[1].0, "BreakStarted".into()),
        (breaks[1].0 + breaks[1].1, "BreakEnded".into()),
        (after(3_500_000), "Opened(2)".into()),
        (after(3_600_000), "Answered(2,'B')".into()),
        (after(3_900_000), "Opened(1)".into()),
        (after(3_900_001), "Answered(1,'B')".into()),
        (after(4_100_000), "Opened(3)".into()),
        (after(4_200_000), "Answered(3,'C')".into()),
        (after(4_400_000), "Closed(finished_early)".into()),
    ];
    let mut records = vec![first];
    for (number, (at, event)) in script.iter().enumerate() {
        let number = number + 1;
        records.push(format!(
            "(n:{number},at:{at},utc:\"2026-09-23T10:04:03.000Z\",event:{event})"
        ));
    }
    let records: Vec<_> = records.iter().map(String::as_str).collect();
    fs::write(&path, chained(&records)).unwrap();
    file
}

/// Words with their tags and line breaks taken out.
fn words(html: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_sheet_tells_what_was_there_at_the_standard_time_from_what_came_after() {
    let files = OldFiles::copied();
    let file = scripted(&files);
    let tick = format!(
        "evidence marten --of {file} --timed --supervised --sentence calm-and-steady --by PB"
    );
    let told = files.run(&tick);
    assert_eq!(told.code, Some(0), "{}", told.err);
    let endless = "x".repeat(501);
    let long = format!("evidence marten --of {file} --sentence {endless}");
    let refused = files.run(&long);
    assert_eq!(refused.code, Some(2), "{}", refused.err);
    assert!(refused.err.contains("at most 500"), "{}", refused.err);
    let told = files.run("evidence marten -o sheet.html --csv sheet.csv");
    assert_eq!(told.code, Some(0), "{}", told.err);
    let page = words(&fs::read_to_string(files.path().join("sheet.html")).unwrap());
    for said in [
        "Standard time 60 minutes",
        "Time allowed 75 minutes",
        "Time used 73 min 20 s",
        "2 breaks: 4 min 10 s, 6 min 35 s; 10 min 45 s altogether",
        "First answered after the standard time 2: 2, 3",
        "Changed after the standard time 1: 1",
        "Blank at the standard time, at the end 24, then 22",
        "timed yes, supervised yes (PB",
        "calm-and-steady",
        "Signature and date:",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    for never in ["diagnos", "because of", "disab"] {
        assert!(!page.to_lowercase().contains(never), "{never}");
    }
    let mut table = csv::Reader::from_path(files.path().join("sheet.csv")).unwrap();
    let heads = table.headers().unwrap().clone();
    let rows: Vec<_> = table.records().map(|row| row.unwrap()).collect();
    let row = rows.iter().find(|row| row.get(6) == Some("yes")).unwrap();
    let cell = |name: &str| {
        row.get(heads.iter().position(|head| head == name).unwrap())
            .unwrap()
    };
    for (name, value) in [
        ("standard_seconds", "3600"),
        ("allowed_seconds", "4500"),
        ("used_seconds", "4400"),
        ("breaks", "2"),
        ("breaks_seconds", "645"),
        ("first_after_standard", "2 3"),
        ("changed_after_standard", "1"),
        ("blank_standard", "24"),
        ("blank_allowed", "22"),
        ("timed", "yes"),
        ("sentence", "calm-and-steady"),
    ] {
        assert_eq!(cell(name), value, "{name}");
    }
    // By hand from the key: question 1 is worth 4, 2 and 3 as well, and the key says what is right.
    let key = fs::read_to_string(files.path().join("sample-papers/saltmarsh-a.key.ron")).unwrap();
    let answers = key
        .split_once("answers: \"")
        .unwrap()
        .1
        .split('"')
        .next()
        .unwrap();
    let answers: Vec<_> = answers.chars().filter(char::is_ascii_uppercase).collect();
    let worth = |given: &[(usize, char)]| {
        let right = given.iter().filter(|(at, letter)| answers[*at] == *letter);
        (4 * right.count()).to_string()
    };
    assert_eq!(cell("mark_standard"), worth(&[(0, 'A')]));
    assert_eq!(cell("mark_allowed"), worth(&[(0, 'B'), (1, 'B'), (2, 'C')]));
}

#[test]
fn a_page_without_a_name_lies_in_pages_and_goes_with_its_pupil() {
    let files = OldFiles::copied();
    let told = files.run("evidence teasel");
    assert_eq!(told.code, Some(0), "{}", told.err);
    let page = files.path().join("sessions/pages/evidence-teasel.html");
    assert!(page.exists());
    assert_eq!(files.run("evidence teasel").code, Some(0), "made again");
    assert_eq!(files.run("evidence nobody").code, Some(1));
    let other = files.run("evidence teasel --of @marten-a --timed");
    assert_eq!(other.code, Some(2), "{}", other.err);
    assert_eq!(files.run("evidence teasel --timed").code, Some(2));
    assert_eq!(
        crate::room::typed(&files, "erase teasel", "teasel\n").code,
        Some(0)
    );
    assert!(!page.exists());
}

/// A sheet without times has no moment at which the standard time was used up.
#[test]
fn a_sheet_that_was_typed_in_says_nothing_of_the_standard_time() {
    let files = OldFiles::copied();
    let paper = "sample-papers/saltmarsh-a.paper.ron";
    let answers = format!("{}--", "A".repeat(23));
    let typed = files.run(&format!(
        "enter {paper} --pupil knot --answers {answers} --date 2026-11-20"
    ));
    assert_eq!(typed.code, Some(0), "{}", typed.err);
    let told = files.run("evidence knot -o sheet.html --csv sheet.csv");
    assert_eq!(told.code, Some(0), "{}", told.err);
    let page = words(&fs::read_to_string(files.path().join("sheet.html")).unwrap());
    for said in [
        "Mark at the standard time -",
        "Blank at the standard time, at the end -, then 2",
        "Time used -",
        "Rest breaks (clock stopped) not known",
        "First answered after the standard time not known",
        "Changed after the standard time not known",
        "Interruptions not known",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    let mut table = csv::Reader::from_path(files.path().join("sheet.csv")).unwrap();
    let heads = table.headers().unwrap().clone();
    let row = table.records().next().unwrap().unwrap();
    let cell = |name: &str| row.get(heads.iter().position(|head| head == name).unwrap());
    assert_eq!(cell("blank_standard"), Some(""));
    assert_eq!(cell("blank_allowed"), Some("2"));
    for unknown in [
        "used_seconds",
        "breaks",
        "breaks_seconds",
        "mark_standard",
        "first_after_standard",
        "changed_after_standard",
        "interruptions",
    ] {
        assert_eq!(cell(unknown), Some(""), "{unknown}");
    }
}

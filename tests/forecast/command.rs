//! The command: its page at 80 columns, its JSON, and when it declines.

use pacebell::domain::time::Elapsed;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use serde_json::Value;

use crate::folder::{Folder, err, fits, key, out};
use crate::season::{Pupil, sample, share, write};

#[test]
fn before_two_whole_sittings_it_declines_with_a_sentence() {
    for (own, have) in [(0, "there is none here"), (1, "there is 1 here")] {
        let folder = Folder::with(own, 2);
        let run = folder.run(&["forecast", "otter", "--paper", "saltmarsh-b"]);
        assert_eq!(run.status.code(), Some(0), "{}", err(&run));
        let page = out(&run);
        fits(&page);
        let joined = page.replace('\n', " ");
        assert!(
            joined.contains(
                "No forecast yet for otter: it takes 2 marked sittings of whole papers with different questions, and"
            ),
            "{page}"
        );
        assert!(joined.contains(have) && !page.contains("in 10"), "{page}");
        let sheet: Value = serde_json::from_str(&out(&folder.run(&[
            "forecast",
            "otter",
            "--paper",
            "saltmarsh-b",
            "--json",
        ])))
        .unwrap();
        assert!(
            sheet["declined"]
                .as_str()
                .unwrap()
                .contains("No forecast yet")
        );
        for null in [
            "expected",
            "sd",
            "interval_80",
            "awards",
            "marks",
            "average",
        ] {
            assert!(sheet[null].is_null(), "{null}");
        }
    }
}

#[test]
fn the_page_says_mark_range_awards_picture_and_sources() {
    let folder = Folder::with(4, 8);
    let run = folder.run(&["forecast", "otter", "--paper", "saltmarsh-b"]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let page = out(&run);
    fits(&page);
    for words in [
        "Forecast: otter, Saltmarsh Shield: practice paper B\nA practice estimate, not an official result.",
        "Mark in time: about ",
        " of 125.",
        "8 times in 10, it would be from ",
        "boundary 50 to 56 in 4 past years",
        "How the mark may fall",
        "< dunlin",
        "Their average over all papers so far is ",
        "From 4 marked sittings of otter",
        "8 sittings of 8 other pupils",
        "Method: ",
    ] {
        assert!(page.contains(words), "{words}\n{page}");
    }
    for never in ["fail", "careless", "weak", "ability", "streak"] {
        assert!(!page.contains(never), "{never}\n{page}");
    }
}

#[test]
fn json_has_exact_marks_and_chances_that_add_to_one() {
    let folder = Folder::with(2, 0);
    let run = folder.run(&["forecast", "otter", "--paper", "saltmarsh-b", "--json"]);
    let sheet: Value = serde_json::from_str(&out(&run)).unwrap();
    assert!(sheet["declined"].is_null());
    assert_eq!(
        (&sheet["max"], &sheet["pupil"], &sheet["paper"]),
        (&"125".into(), &"otter".into(), &"saltmarsh-b".into())
    );
    let marks = sheet["marks"].as_array().unwrap();
    let sum: f64 = marks
        .iter()
        .map(|mark| mark["chance"].as_f64().unwrap())
        .sum();
    assert!((sum - 1.0).abs() < 1e-9);
    let mean: f64 = marks
        .iter()
        .map(|mark| {
            mark["chance"].as_f64().unwrap()
                * mark["marks"].as_str().unwrap().parse::<f64>().unwrap()
        })
        .sum();
    assert!((mean - sheet["expected"].as_f64().unwrap()).abs() < 1e-6);
    let awards = sheet["awards"].as_array().unwrap();
    let names: Vec<_> = awards
        .iter()
        .map(|award| award["name"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["dunlin", "curlew", "tern"]);
    for award in awards {
        assert!(
            (0.0..=1.0).contains(&award["chance"].as_f64().unwrap()),
            "{award}"
        );
        assert!(award["range_80"].is_null(), "{award}");
        assert_eq!(award["boundaries_from"], "past");
        assert_eq!(award["boundaries"].as_array().unwrap().len(), 4);
    }
    assert_eq!(
        sheet["caution"],
        "A practice estimate, not an official result."
    );
    assert_eq!(sheet["sources"]["full_sittings"], 2);
}

#[test]
fn without_past_boundaries_the_papers_own_are_used_and_it_says_so() {
    let folder = Folder::with(2, 0);
    let paper = folder.path("sample-papers/saltmarsh-b.paper.ron");
    let text = std::fs::read_to_string(&paper).unwrap();
    let (before, rest) = text.split_once("    past: [").unwrap();
    let (_, after) = rest.split_once("    ],\n").unwrap();
    std::fs::write(&paper, format!("{before}{after}")).unwrap();
    let page = out(&folder.run(&["forecast", "otter", "--paper", "saltmarsh-b"]));
    fits(&page);
    assert!(page.contains("boundary 74, the paper's own"), "{page}");
    assert!(
        page.replace('\n', " ")
            .contains("No past boundaries are known"),
        "{page}"
    );
}

#[test]
fn few_sittings_leave_the_interval_wide() {
    let width = |own| {
        let run =
            Folder::with(own, 0).run(&["forecast", "otter", "--paper", "saltmarsh-b", "--json"]);
        let sheet: Value = serde_json::from_str(&out(&run)).unwrap();
        let end = |name: &str| {
            sheet["interval_80"][name]
                .as_str()
                .unwrap()
                .parse::<f64>()
                .unwrap()
        };
        end("high") - end("low")
    };
    assert!(width(2) > width(12), "{} {}", width(2), width(12));
    assert!(width(2) > 20.0);
}

#[test]
fn a_sitting_with_the_time_cut_short_is_no_whole_one() {
    let folder = Folder::with(1, 0);
    let mut paper = sample("saltmarsh-a.paper.ron");
    let mut random = ChaCha8Rng::seed_from_u64(9);
    let sitting = Pupil::drawn(&mut random).sits(25, 20.0, &mut random);
    paper.allowed = Elapsed::minutes(20);
    write(
        &folder.path("sessions"),
        "otter",
        1,
        &paper,
        &key(),
        &sitting,
    );
    let page = out(&folder.run(&["forecast", "otter", "--paper", "saltmarsh-b"]));
    assert!(
        page.replace('\n', " ").contains("and there is 1 here"),
        "{page}"
    );
    let plan = out(&folder.run(&["plan", "otter", "--paper", "saltmarsh-b"]));
    assert!(
        plan.replace('\n', " ").contains("No plan yet for otter")
            && plan.contains("there is 1 here"),
        "{plan}"
    );
}

/// The same questions twice are not two sittings; a third on others makes two.
#[test]
fn two_sittings_of_the_same_questions_are_not_enough() {
    let folder = Folder::new();
    let mut random = ChaCha8Rng::seed_from_u64(9);
    let pupil = Pupil::drawn(&mut random);
    let sessions = folder.path("sessions");
    let mut sit = |day, paper: &pacebell::domain::paper::Paper| {
        let sitting = pupil.sits(25, share(paper), &mut random);
        write(&sessions, "otter", day, paper, &key(), &sitting);
    };
    // The older rule's paper asks what paper A asks.
    sit(0, &sample("saltmarsh-a.paper.ron"));
    sit(1, &sample("saltmarsh-old.paper.ron"));
    let said = |command: &str| {
        let page = out(&folder.run(&[command, "otter", "--paper", "saltmarsh-b"]));
        page.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for command in ["forecast", "plan"] {
        let said = said(command);
        let sentence = format!(
            "No {command} yet for otter: it takes 2 marked sittings of whole papers with different questions, and both here are on the same questions."
        );
        assert!(said.contains(&sentence), "{said}");
    }
    sit(2, &folder.paper_of(2));
    let told = said("forecast");
    assert!(
        told.contains("Mark in time: about")
            && told.contains("1 sitting on questions met before, which count as a little easier."),
        "{told}"
    );
}

/// What was left out of the pupil's own stands first; the others' is called theirs.
#[test]
fn what_was_left_out_of_other_pupils_is_called_theirs() {
    let folder = Folder::with(3, 2);
    let said = || out(&folder.run(&["forecast", "otter", "--paper", "saltmarsh-b"]));
    assert!(!said().contains("eft out"), "{}", said());
    let mut random = ChaCha8Rng::seed_from_u64(9);
    let pupil = Pupil::drawn(&mut random);
    let sessions = folder.path("sessions");
    let mut open = |alias: &str| {
        let paper = folder.paper_of(0);
        let sitting = pupil.sits(25, share(&paper), &mut random);
        write(&sessions, alias, 40, &paper, &key(), &sitting);
        let files = std::fs::read_dir(sessions.join(alias)).unwrap();
        let newest = files.map(|file| file.unwrap().path()).max().unwrap();
        let text = std::fs::read_to_string(&newest).unwrap();
        let lines = text.lines().filter(|line| !line.contains("Closed("));
        let lines = lines.collect::<Vec<_>>().join("\n") + "\n";
        assert_ne!(lines, text, "the end of the sitting is gone");
        std::fs::write(newest, lines).unwrap();
    };
    open("knot");
    let told = said();
    assert!(
        told.contains("! Of other pupils, left out: 1 sitting not ended yet.")
            && !told.contains("! Left out"),
        "{told}"
    );
    open("otter");
    let told = said();
    let own = told.find("! Left out: 1 sitting not ended yet.");
    let others = told.find("! Of other pupils, left out: 1 sitting not ended yet.");
    assert!(own.is_some() && own < others, "{told}");
}

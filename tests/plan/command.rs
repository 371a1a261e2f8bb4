//! The command: its page at 80 columns, its JSON, the file it saves, and what it says when it cannot.

use pacebell::domain::rule::QuestionNo;
use serde_json::Value;

use crate::folder::{Folder, err, fits, out};

fn json(folder: &Folder, words: &[&str]) -> Value {
    let run = folder.run(words);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    serde_json::from_str(&out(&run)).unwrap()
}

#[test]
fn the_page_begins_with_the_card_and_the_plan_is_saved_where_sit_reads_it() {
    let folder = Folder::with(3, 6);
    let run = folder.run(&["plan", "otter", "--paper", "saltmarsh-b"]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let page = out(&run);
    fits(&page);
    for words in [
        "Pace plan: otter, Saltmarsh Shield: practice paper B",
        "60 minutes. Goal: the most marks on average.",
        "A practice estimate, not an official result.",
        "Finish up to\n  question ",
        "Leave a question after ",
        "With 1 minute left, fill every blank.",
        "  in order",
        "Going in order is as good as any other order, so here are your checkpoints.",
        "From 3 marked sittings of otter (3 of a whole paper",
        "6 sittings of 6 other pupils",
        "Kept for filling the blanks at the end: 1:00",
        "Saved: sessions/otter/saltmarsh-b.plan.ron",
    ] {
        let told = crate::paths::slashed(&page);
        assert!(told.contains(words), "{words}\n{page}");
    }
    let saved = folder.path("sessions/otter/saltmarsh-b.plan.ron");
    let plan = pacebell::storage::files::plan::load(&saved).unwrap();
    assert!((4..=6).contains(&plan.checkpoints.len()));
    assert!(
        plan.checkpoints
            .iter()
            .all(|c| c.minutes.steps(2).is_some() && c.question <= QuestionNo(25))
    );
    let text = std::fs::read_to_string(&saved).unwrap();
    assert!(
        text.starts_with("// Pace plan for otter") && text.contains("// Leave a question after"),
        "{text}"
    );
    // The same plan again is the same file; the sittings' list is not disturbed by it.
    let again = out(&folder.run(&["plan", "otter", "--paper", "saltmarsh-b"]));
    assert_eq!(again, page);
}

#[test]
fn json_has_the_fields_of_the_contract() {
    let folder = Folder::with(3, 6);
    let sheet = json(
        &folder,
        &["plan", "otter", "--paper", "saltmarsh-b", "--json"],
    );
    assert_eq!(sheet["goal"], "marks");
    assert_eq!(sheet["reserve_seconds"], 60);
    assert_eq!(sheet["seconds_allowed"], 3600.0);
    for null in ["award", "boundary", "chance_gap", "saved"] {
        assert!(sheet[null].is_null(), "{null}");
    }
    assert!(sheet["plan"]["chance"].is_null());
    let expected = |way: &str| sheet[way]["expected"].as_f64().unwrap();
    let forecast = json(
        &folder,
        &["forecast", "otter", "--paper", "saltmarsh-b", "--json"],
    );
    assert!((expected("in_order") - forecast["expected"].as_f64().unwrap()).abs() < 1e-6);
    assert!(expected("in_order_all_filled") >= expected("in_order"));
    assert_eq!(sheet["other_order"]["offered"], false);
    assert_eq!(sheet["plan"], sheet["in_order"]);
    assert!(
        sheet["in_order"]["expected"].as_f64() >= sheet["in_order_rest_blank"]["expected"].as_f64()
    );
    assert!(sheet["plan"]["interval_80"]["low"].is_string());
    let questions = sheet["questions"].as_array().unwrap();
    assert_eq!(questions.len(), 25);
    let tried: Vec<_> = questions
        .iter()
        .filter(|q| q["rest"] == "try")
        .map(|q| q["number"].clone())
        .collect();
    assert_eq!(sheet["plan"]["tried"], Value::Array(tried));
    for question in questions {
        let weights = &question["time_weights"];
        let sum: f64 = ["own", "group", "default"]
            .iter()
            .map(|part| weights[part].as_f64().unwrap())
            .sum();
        assert!((sum - 1.0).abs() < 1e-9);
    }
    assert_eq!(sheet["sources"]["sittings"], 3);
    assert_eq!(sheet["sources"]["group_pupils"], 6);
    assert!(!folder.path("sessions/otter/saltmarsh-b.plan.ron").exists());
}

#[test]
fn for_an_award_the_chance_is_told() {
    let folder = Folder::with(3, 6);
    let sheet = json(
        &folder,
        &[
            "plan",
            "otter",
            "--paper",
            "saltmarsh-old",
            "--for",
            "Curlew",
            "--json",
        ],
    );
    assert_eq!(
        (&sheet["award"], &sheet["boundary"]),
        (&"curlew".into(), &"58".into())
    );
    let chance = sheet["plan"]["chance"].as_f64().unwrap();
    assert!((chance - sheet["in_order"]["chance"].as_f64().unwrap()).abs() < 1e-9);
    assert!(sheet["chance_gap"].is_null());
    let page = out(&folder.run(&[
        "plan",
        "otter",
        "--paper",
        "saltmarsh-old",
        "--for",
        "curlew",
        "-o",
        "p.plan.ron",
    ]));
    fits(&page);
    let joined = page.replace('\n', " ");
    assert!(
        joined.contains("the best chance of curlew, at 58 marks, the paper's own boundary."),
        "{page}"
    );
    assert!(page.contains("Saved: p.plan.ron"), "{page}");
    std::fs::write(folder.path("p.plan.ron"), "by hand").unwrap();
    let other = folder.run(&[
        "plan",
        "otter",
        "--paper",
        "saltmarsh-old",
        "-o",
        "p.plan.ron",
    ]);
    assert_eq!(
        std::fs::read_to_string(folder.path("p.plan.ron")).unwrap(),
        "by hand"
    );
    assert_eq!(other.status.code(), Some(1));
    assert!(
        err(&other).contains("p.plan.ron already exists"),
        "{}",
        err(&other)
    );
}

/// Declined alike, and nothing is left behind.
#[test]
fn with_too_little_there_is_no_plan_and_no_file() {
    let folder = Folder::new();
    let run = folder.run(&["plan", "heron", "--paper", "saltmarsh-a"]);
    assert_eq!(run.status.code(), Some(0), "{}", err(&run));
    let page = out(&run);
    fits(&page);
    assert!(
        page.contains("! No marked sitting of heron was found in sessions."),
        "{page}"
    );
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("No plan yet for heron: it takes 2 marked sittings of whole papers with different questions, and there is none here."),
        "{page}"
    );
    assert!(!page.contains("Finish up to"), "{page}");
    assert!(!folder.path("sessions/heron").exists());
    let words = [
        "plan",
        "heron",
        "--paper",
        "saltmarsh-a",
        "--json",
        "-o",
        "p.plan.ron",
    ];
    let sheet = json(&folder, &words);
    assert!(
        sheet["declined"]
            .as_str()
            .unwrap()
            .starts_with("No plan yet")
    );
    for null in [
        "plan",
        "in_order",
        "checkpoints",
        "questions",
        "saved",
        "seconds_allowed",
    ] {
        assert!(sheet[null].is_null(), "{null}");
    }
    assert!(!folder.path("p.plan.ron").exists());
}

#[test]
fn each_mistake_has_its_sentence() {
    let folder = Folder::with(2, 0);
    for (words, code, said) in [
        (
            vec!["plan", "otter", "--paper", "nothing"],
            1,
            "there's no paper `nothing` here",
        ),
        (
            vec!["plan", "a b", "--paper", "saltmarsh-a"],
            2,
            "can't be used as an alias",
        ),
        (
            vec!["plan", "otter", "--paper", "saltmarsh-a", "--for", "tin"],
            2,
            "has no award `tin`; its awards are dunlin, curlew, tern",
        ),
        (
            vec![
                "plan",
                "otter",
                "--paper",
                "saltmarsh-a",
                "--keys",
                "nowhere",
            ],
            1,
            "nowhere",
        ),
        (
            vec![
                "plan",
                "otter",
                "--paper",
                "saltmarsh-a",
                "-o",
                "no/such/place.plan.ron",
            ],
            1,
            "the plan cannot be saved",
        ),
        (vec!["plan", "otter"], 2, "--paper"),
    ] {
        let run = folder.run(&words);
        assert_eq!(run.status.code(), Some(code), "{words:?}: {}", err(&run));
        assert!(err(&run).contains(said), "{words:?}: {}", err(&run));
    }
}

#[test]
fn a_sitting_without_a_key_is_left_out_and_a_key_elsewhere_is_found_with_keys() {
    let folder = Folder::with(2, 0);
    let key = folder.path("sample-papers/saltmarsh-a.key.ron");
    std::fs::create_dir(folder.path("drawer")).unwrap();
    std::fs::rename(&key, folder.path("drawer/a.key.ron")).unwrap();
    // The older paper has the same questions under another id: its key does not go with paper A.
    let page = out(&folder.run(&["plan", "otter", "--paper", "saltmarsh-b"]));
    assert!(
        page.contains("! Left out: 1 sitting of `saltmarsh-a`, but no key for it was found"),
        "{page}"
    );
    let found = out(&folder.run(&[
        "plan",
        "otter",
        "--paper",
        "saltmarsh-b",
        "--keys",
        "drawer",
    ]));
    assert!(found.contains("From 2 marked sittings of otter"), "{found}");
}

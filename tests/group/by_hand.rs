//! Small groups whose figures can be done by hand, and the odd ones: one person, nobody's answers, voids.

use serde_json::{Value, json};

use crate::room::{PaperText, Room, near, sheets};

/// Six pupils, five questions, right or wrong: computed independently, no published source.
#[test]
fn the_worked_matrix_has_its_figures_and_six_people_put_no_key_in_doubt() {
    let room = Room::new(&PaperText::plain("AB", 5), "AAAAA", "");
    let list = sheets(&["AAAAB", "AAABA", "AABAB", "ABABB", "AABBB", "BBBBA"]);
    let found = room.json(&list, &[]);
    near(&found["kr20"], 0.1705, 5e-5, "KR-20");
    near(&found["alpha"], 0.1705, 5e-5, "alpha");
    near(&found["sd_population"], 1.2222_f64.sqrt(), 5e-5, "SD");
    let facility = [0.8333, 0.6667, 0.5, 0.3333, 0.3333];
    let rest = [0.415, 0.433, 0.186, 0.125, -0.4725];
    for (index, (facility, rest)) in facility.into_iter().zip(rest).enumerate() {
        let question = &found["questions"][index];
        near(&question["facility"], facility, 5e-5, "facility");
        near(&question["discrimination"], rest, 5e-4, "discrimination");
    }
    let page = room.list(&list, &[]).out;
    assert!(page.contains("Nothing stands out beyond chance."), "{page}");
    assert!(!page.contains("Is the answer key right"), "{page}");
}

#[test]
fn one_person_has_a_mark_and_nothing_that_needs_two() {
    let room = Room::new(&PaperText::plain("ABCDE", 3), "ABC", "");
    let found = room.json(&sheets(&["AD-"]), &[]);
    for (field, value) in [
        ("people", json!(1)),
        ("max", json!("3")),
        ("mean", json!(1.0)),
        ("sd", Value::Null),
        ("sd_population", json!(0.0)),
        ("median", json!(1.0)),
        ("q1", json!(1.0)),
        ("q3", json!(1.0)),
        ("kr20", Value::Null),
        ("alpha", Value::Null),
        ("sem", Value::Null),
        ("marks", json!([{"mark": "1", "count": 1}])),
    ] {
        assert_eq!(found[field], value, "{field}");
    }
    let nothing = json!({"difficulty": null, "se": null, "infit": null, "outfit": null});
    let blank = &found["questions"][2];
    assert_eq!(blank["not_reached"], 1);
    assert_eq!(
        blank["options"]["blank"],
        json!({"count": 1, "mean_rest": 1.0})
    );
    assert_eq!(
        blank["options"]["E"],
        json!({"count": 0, "mean_rest": null})
    );
    assert_eq!(
        (&blank["discrimination"], &blank["upper_lower_27"]),
        (&Value::Null, &Value::Null)
    );
    assert_eq!(blank["rasch"], nothing);
}

#[test]
fn sheets_all_blank_or_all_right_are_figures_too() {
    let room = Room::new(&PaperText::plain("ABCDE", 2), "AB", "");
    let blank = room.json(&sheets(&["--", "--"]), &[]);
    assert_eq!((&blank["mean"], &blank["sd"]), (&json!(0.0), &json!(0.0)));
    assert_eq!(blank["questions"][0]["not_reached"], 2);
    assert_eq!(blank["questions"][0]["facility"], 0.0);
    let page = room.list(&sheets(&["--", "--"]), &[]).out;
    assert!(
        page.contains("Time: 2 of 2 did not get as far as question 1"),
        "{page}"
    );
    assert!(!page.contains("key right"), "{page}");
    let right = room.list(&sheets(&["AB", "AB", "AB"]), &[]);
    assert_eq!(right.result, Ok(()));
    let first = right.out.lines().find(|line| line.contains("3 of 3"));
    let cells: Vec<&str> = first.unwrap().split_whitespace().collect();
    assert!(cells.starts_with(&["1", "A", "3", "of", "3"]) && cells.contains(&"none"));
    assert!(
        right
            .out
            .contains("everybody had all or none of the questions right"),
        "{}",
        right.out
    );
}

/// Where everybody or nobody had a question right nothing is known of how they did elsewhere.
#[test]
fn what_is_not_defined_is_no_doubt_of_key_or_wording() {
    let room = Room::new(&PaperText::plain("ABCDE", 4), "AAAA", "");
    let mixed = ["AAAA", "AABC", "ABCA", "AACA"].map(|rest| ["AB", rest].concat());
    let room_of_six = Room::new(&PaperText::plain("ABCDE", 6), "AAAAAA", "");
    let list: Vec<&str> = mixed.iter().map(String::as_str).cycle().take(40).collect();
    let same = vec!["BCDE"; 40];
    for page in [
        room_of_six.list(&sheets(&list), &[]).out,
        room.list(&sheets(&same), &[]).out,
        room.list(&sheets(&["AAAA"; 40]), &[]).out,
    ] {
        for doubt in ["Is the answer key right", "wording"] {
            assert!(!page.contains(doubt), "{page}");
        }
    }
}

#[test]
fn one_person_is_counted_and_no_share() {
    let mut paper = PaperText::plain("ABCDE", 2);
    paper.awards = "(name: \"gold\", boundary: 2)".into();
    let room = Room::new(&paper, "AB", "");
    let mut list = vec!["B-"; 39];
    list.push("AB");
    let page = room.list(&sheets(&list), &[]).out;
    assert!(page.contains("gold (2 marks and more): 1 of 40."), "{page}");
    assert!(
        page.contains("1 of 40 answered the last question"),
        "{page}"
    );
    let alone = room.list(&sheets(&["AB"]), &[]).out;
    assert!(
        alone.contains("Nothing stands out beyond chance."),
        "{alone}"
    );
    assert!(alone.contains("1 answer sheet shows little"), "{alone}");
    assert!(!alone.contains(" 100%"), "{alone}");
}

/// A third of a mark a question, a third lost: totals -2/3, 1/3 and 1 on a start of one third.
#[test]
fn thirds_of_a_mark_and_totals_below_nothing_stay_exact() {
    let mut paper = PaperText::plain("ABCDE", 3);
    paper.start = "\"1/3\"".into();
    paper.sections = vec![(1, 3, "\"1/3\"", "\"-1/3\"", "0")];
    let room = Room::new(&paper, "ABC", "");
    let found = room.json(&sheets(&["BCD", "---", "AB-"]), &[]);
    assert_eq!(found["max"], "4/3");
    let marks = json!([{"mark": "-2/3", "count": 1}, {"mark": "1/3", "count": 1}, {"mark": "1", "count": 1}]);
    assert_eq!(found["marks"], marks);
    near(&found["mean"], 2.0 / 9.0, 1e-15, "mean");
    near(&found["median"], 1.0 / 3.0, 1e-15, "median");
    let chosen = &found["questions"][0]["options"];
    near(&chosen["A"]["mean_rest"], 2.0 / 3.0, 1e-15, "rest of A");
    near(&chosen["B"]["mean_rest"], -1.0 / 3.0, 1e-15, "rest of B");
}

/// Question 2 is dropped or credited: in no figure but its own counts; the answer to it still ends the sheet.
#[test]
fn a_void_question_is_counted_but_not_judged() {
    let mut paper = PaperText::plain("ABCDE", 3);
    paper.sections = vec![(1, 3, "2", "0", "0")];
    let list = sheets(&["AAA", "A-B", "-C-"]);
    for (void, max, top, rest) in [("dropped", "4", "4", 4.0), ("credited", "6", "6", 4.0)] {
        let room = Room::new(&paper, "ABA", &format!("void: {{2: {void}}}"));
        let found = room.json(&list, &[]);
        assert_eq!(found["max"], max);
        assert_eq!(found["marks"][2], json!({"mark": top, "count": 1}));
        let own = &found["questions"][1];
        for field in ["facility", "discrimination", "upper_lower_27"] {
            assert_eq!(own[field], Value::Null, "{field}");
        }
        assert_eq!(own["number"], 2);
        assert_eq!(own["options"]["A"]["count"], 1);
        near(&own["options"]["A"]["mean_rest"], rest, 1e-12, "rest");
        near(
            &own["options"]["blank"]["mean_rest"],
            2.0,
            1e-12,
            "rest of blanks",
        );
        assert_eq!(own["omitted"], 1);
        let first = &found["questions"][0];
        assert_eq!(
            (&first["omitted"], &first["not_reached"]),
            (&json!(1), &json!(0))
        );
        assert_eq!(found["questions"][2]["not_reached"], 1);
        let page = room.list(&list, &[]).out;
        assert!(page.contains("! void: "), "{page}");
    }
    let every = Room::new(&paper, "ABA", "void: {1: dropped, 2: dropped, 3: credited}");
    let told = every.list(&list, &[]);
    assert!(told.sentence().contains("every question void"), "{told:?}");
}

#[test]
fn questions_may_have_their_own_labels_and_second_answers() {
    let mut paper = PaperText::plain("0123", 2);
    paper.own = vec![(2, "YN".into())];
    let room = Room::new(&paper, "2Y", "also_right: {1: \"3\"}");
    let found = room.json("pupil,2,1\na,y,2\nb,n,3\nc,-,0\n", &[]);
    assert_eq!(found["questions"][0]["facility"], json!(2.0 / 3.0));
    let own: Vec<&String> = found["questions"][1]["options"]
        .as_object()
        .unwrap()
        .keys()
        .collect();
    assert_eq!(own, ["N", "Y", "blank"]);
    assert_eq!(found["questions"][0]["options"]["0"]["count"], 1);
}

#[test]
fn the_fields_are_the_promised_ones() {
    let room = Room::new(&PaperText::plain("AB", 2), "AB", "");
    let found = room.json(&sheets(&["AB", "BB"]), &[]);
    let fields = |value: &Value| {
        let mut names: Vec<String> = value.as_object().unwrap().keys().cloned().collect();
        names.sort();
        names.join(" ")
    };
    assert_eq!(
        fields(&found),
        "alpha kr20 marks max mean median people q1 q3 questions sd sd_population sem"
    );
    assert_eq!(
        fields(&found["questions"][0]),
        "blank discrimination facility median_seconds not_reached number omitted options rasch upper_lower_27"
    );
    assert_eq!(
        fields(&found["questions"][0]["rasch"]),
        "difficulty infit outfit se"
    );
    assert_eq!(fields(&found["questions"][0]["options"]), "A B blank");
    assert_eq!(
        fields(&found["questions"][0]["options"]["A"]),
        "count mean_rest"
    );
    assert_eq!(fields(&found["marks"][0]), "count mark");
}

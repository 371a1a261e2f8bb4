//! What is typed: aliases, letters that find a row, values of the arrangements, help.

use super::*;

#[test]
fn a_new_alias_goes_straight_on_and_a_known_one_is_no_second_pupil() {
    let pupil = |script| match chosen(script) {
        Some(Choice::Sit(seating)) => seating.pupil.to_string(),
        other => panic!("{other:?}"),
    };
    assert_eq!(
        pupil("new<enter>blue-7<enter><enter><enter><enter>s<enter>"),
        "blue-7"
    );
    assert_eq!(
        pupil("new<enter>Heron<enter><enter><enter>s<enter>"),
        "heron"
    );
}

#[test]
fn a_known_alias_is_named_as_it_is_in_the_list() {
    let shown = page("new<enter>Heron<enter>");
    assert!(
        shown.contains("heron is already in the list. Not you? Esc goes back."),
        "{shown}"
    );
}

#[test]
fn a_list_of_questions_keeps_its_comma() {
    let script = "heron<enter><enter><down><down><down>1-10,13<enter><enter>s<enter>";
    let Some(Choice::Sit(seating)) = chosen(script) else {
        panic!("no sitting");
    };
    let only = seating.arrangements.only.unwrap();
    let sat: Vec<u16> = only.iter().map(|question| question.0).collect();
    assert_eq!(sat, [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 13]);
}

/// The menu has a rest break only where one is arranged.
#[test]
fn the_read_out_names_a_rest_break_only_where_there_is_one() {
    let read_out = |breaks: &str| {
        let script = format!("heron<enter><enter><down><down>{breaks}<enter><end>");
        words(&page(&script))
    };
    assert!(read_out("n").contains("Esc opens the menu: leave, finish early."));
    assert!(read_out("y").contains("Esc opens the menu: rest break, leave, finish early."));
}

#[test]
fn a_new_pupil_is_offered_the_keys_and_one_who_has_sat_is_not() {
    let pupil = Alias::new("blue-7").unwrap();
    let learn = Some(Choice::Learn { pupil });
    assert_eq!(chosen("new<enter>blue-7<enter><down><enter>"), learn);
    assert!(page("heron<enter>").contains("heron: which paper?"));
    let known = Offer {
        met: vec![Alias::new("Blue-7").unwrap()],
        ..offer()
    };
    let (start, _) = play_at(known, "new<enter>blue-7<enter>", USUAL);
    assert!(drawn(&start, USUAL).contains("blue-7: which paper?"));
}

#[test]
fn what_no_alias_can_have_is_not_taken_and_said_why() {
    for (typed, shown, why) in [
        ("Tom Smith", "Alias: TomSmith", None),
        (
            "Tom ",
            "Alias: Tom",
            Some("An alias can't have spaces. Use letters, digits, - and _."),
        ),
        ("x/", "Alias: x", Some("An alias can't have /")),
        ("-", "Alias: ", Some("An alias can't start with -")),
        ("a-_7", "Alias: a-_7", None),
    ] {
        let text = page(&format!("new<enter>{typed}"));
        let cursor = format!("{shown}│\n");
        assert!(text.contains(&cursor), "{typed}\n{text}");
        assert_eq!(text.contains("An alias can't"), why.is_some(), "{text}");
        assert!(text.contains(why.unwrap_or_default()), "{text}");
    }
    let long = page(&format!("new<enter>{}", "a".repeat(41)));
    assert!(long.contains("An alias can have at most 40 characters."));
    let empty = page("new<enter><enter>");
    assert!(empty.contains("! Type an alias first."), "{empty}");
}

#[test]
fn a_letter_typed_again_reaches_new_alias_behind_a_pupil() {
    let newt = Offer {
        pupils: vec![Alias::new("newt").unwrap()],
        ..offer()
    };
    let at = |script| drawn(&play_at(newt.clone(), script, USUAL).0, USUAL);
    assert!(at("n").contains("> newt"));
    assert!(at("nn").contains("> New alias"));
    assert!(at("new ").contains("> New alias"));
}

#[test]
fn what_cannot_be_is_refused_with_a_sentence() {
    for (script, sentence) in [
        ("0<enter>", "isn't a number of minutes"),
        ("1500<down>", "isn't a number of minutes"),
        ("<down>999<enter>", "Extra time can't be `999`"),
        (
            "<down><down><down>9-5<enter>",
            "`9-5` names no questions of this paper",
        ),
        ("<down><down><down>20-26<enter>", "between 1 and 25"),
    ] {
        let text = page(&format!("h<enter><enter>{script}"));
        assert!(text.contains(sentence), "{script}\n{text}");
        assert!(text.contains("[3 arrangements]"));
    }
}

#[test]
fn the_time_allowed_shows_its_sum_and_goes_back_to_the_papers_own() {
    assert!(page("h<enter><enter><down>25<enter>").contains("60 minutes + 25% = 75 minutes"));
    assert!(page("h<enter><enter>45<down>25<enter>").contains("= 56 min 15 s"));
    assert!(page("h<enter><enter>45<enter><back>").contains("< 60 minutes >  (the paper's own)"));
    let another = page("h<enter><enter>45<enter><esc><down><enter>");
    assert!(
        another.contains("< 60 minutes >"),
        "another paper starts anew\n{another}"
    );
}

#[test]
fn while_a_time_is_typed_it_is_not_called_the_papers_own() {
    assert!(page("h<enter><enter>").contains("(the paper's own)"));
    let typing = page("h<enter><enter>4");
    assert!(typing.contains("< 4│ >\n"), "{typing}");
}

#[test]
fn marks_at_the_end_are_the_tutors_choice_where_a_key_is_at_hand() {
    let marks = |script: &str| match chosen(&format!("h<enter>{script}<enter>s<enter>")) {
        Some(Choice::Sit(seating)) => seating.marks_at_end,
        other => panic!("{other:?}"),
    };
    assert!(marks("salt<enter>"));
    assert!(!marks("salt<enter><end>n"));
    assert!(!marks("salt<enter><end><right>"));
    assert!(marks("salt<enter><end>n<back>"));
    assert!(!marks("harb<enter>"), "no key, no marks");
    assert!(!marks("harb<enter><end>y<right>"));
    let here = words(&page("h<enter>salt<enter><end>"));
    assert!(here.contains("Marks at the end < yes >"), "{here}");
    assert!(here.contains("no: the tutor keeps the key; the pupil sees no marks."));
    assert!(words(&page("h<enter>harb<enter><end>")).contains("< no > (no answer key)"));
}

#[test]
fn help_explains_steps_and_arrangements_and_goes_back_to_where_it_was() {
    for script in [
        "",
        "h<enter>",
        "h<enter><enter>45",
        "new<enter>blue",
        "past<enter><enter>",
    ] {
        let before = page(script);
        let help = page(&format!("{script}<f1>"));
        assert!(help.contains("3 arrangements: "), "{help}");
        assert!(page(&format!("{script}<f1><pagedown>")).contains("Marks at the end: "));
        for back in ["<esc>", "<enter>", "<f1>"] {
            assert_eq!(
                page(&format!("{script}<f1><down>{back}")),
                before,
                "{script}"
            );
        }
    }
}

//! Sittings kept so far: carried on by their own pupil only, and looked at again.

use super::*;

#[test]
fn nobodys_open_sitting_is_chosen_beforehand() {
    assert!(page("").contains("> heron"));
    let mut only_otter = offer();
    only_otter.past.truncate(1);
    only_otter.pupils.truncate(1);
    for key in ["<enter>", "s", "S", "<esc>", "g"] {
        let (_, choice) = play_at(only_otter.clone(), &key.repeat(50), USUAL);
        assert_eq!(choice, None, "{key}");
    }
}

#[test]
fn an_open_sitting_takes_two_different_keys_and_names_its_pupil() {
    let path = PathBuf::from("sessions/otter/2026-11-20.session.ron");
    let go_on = Some(Choice::GoOn { path });
    let shown = words(&page("otter<enter>"));
    assert!(shown.contains("otter has an unfinished sitting. Carry on with it?"));
    let status = "Saltmarsh A, 30 minutes left, 12 answers, last open 4 minutes ago";
    assert_eq!(shown.matches(status).count(), 1, "once: {shown}");
    assert!(shown.contains("Are you otter? Press S, then Enter to start the clock."));
    assert_eq!(chosen("otter<enter>s<enter>"), go_on);
    assert_eq!(chosen("past<enter>otter<enter><enter>s<enter>"), go_on);
    assert_eq!(chosen("otter<enter>s<down><enter>"), None);
    assert!(words(&page("otter<enter><enter>")).contains("Are you otter? Press S first"));
    assert!(
        words(&page("otter<enter>s")).contains("Are you otter? Enter starts the clock at once.")
    );
    assert!(page("otter<enter><down><enter>").contains("otter: which paper?"));
    assert!(page("otter<enter><down>s<enter>").contains("otter: which paper?"));
}

#[test]
fn a_sitting_whose_time_is_up_promises_no_clock() {
    let shown = words(&page("wren<enter>"));
    assert!(shown.contains("Time's up, but you can still guess."));
    assert!(!shown.contains("start the clock"), "{shown}");
    assert!(words(&page("wren<enter>s")).contains("Enter opens the guess round at once."));
}

#[test]
fn a_sitting_on_a_rest_break_promises_no_clock() {
    let mut resting = offer();
    let made_up::PastState::Open { on_break, .. } = &mut resting.past[0].state else {
        panic!("otter's sitting is open");
    };
    *on_break = true;
    let shown = |script| words(&drawn(&play_at(resting.clone(), script, USUAL).0, USUAL));
    let asked = shown("otter<enter>");
    assert!(asked.contains("You're on a rest break, and the clock is stopped."));
    let ready = shown("otter<enter>s");
    assert!(
        ready.contains("Enter goes back to your rest break."),
        "{ready}"
    );
    for shown in [asked, ready, shown("otter<enter><enter>")] {
        assert!(!shown.contains("start the clock"), "{shown}");
        assert!(!shown.contains("starts the clock"), "{shown}");
    }
}

#[test]
fn the_keys_are_offered_once() {
    let mut start = Start::new(offer());
    let mut press = |script: &str| {
        let choices = keys(script);
        let choices = choices
            .into_iter()
            .filter_map(|key| start.press(key, USUAL));
        choices.last()
    };
    let pupil = Alias::new("blue-7").unwrap();
    assert_eq!(
        press("new<enter>blue-7<enter><enter>"),
        Some(Choice::SkipKeys { pupil })
    );
    assert_eq!(press("<esc>blue<enter>"), None);
    let shown = drawn(&start, USUAL);
    assert!(shown.contains("blue-7: which paper?"), "{shown}");
}

#[test]
fn no_held_key_starts_the_clock_or_quits() {
    for key in [
        "<enter>", "<esc>", "s", "S", "<down>", "<back>", "q", "<f1>",
    ] {
        for before in [
            "",
            "h<enter>",
            "h<enter><enter>",
            "h<enter><enter><enter>",
            "otter<enter>",
        ] {
            let choice = chosen(&format!("{before}{}", key.repeat(50)));
            assert_eq!(choice, None, "{before} {key}");
        }
    }
    assert_eq!(chosen("h<enter><enter><enter>s<down><enter>"), None);
    let ready = words(&page("h<enter><enter><enter>s"));
    assert!(ready.contains("Any other key goes back."), "{ready}");
}

#[test]
fn a_finished_sitting_is_looked_at_again() {
    let look = |path: &str| Some(Choice::Look { path: path.into() });
    assert_eq!(
        chosen("past<enter>heron<enter><down><enter>"),
        look("sessions/heron/2026-11-04.session.ron")
    );
    assert_eq!(
        chosen("past<enter>wren<enter><down><enter>"),
        look("sessions/wren/2026-09-01.session.ron")
    );
}

#[test]
fn the_past_shows_the_pupil_chosen_and_no_other() {
    let asked = page("past<enter>");
    assert!(asked.contains("Whose past sittings?"));
    assert!(!asked.contains("of 125"), "no marks yet\n{asked}");
    for moves in ["", "<right>", "<left><left>", "<down><right>", "o"] {
        let shown = page(&format!("past<enter>heron<enter>{moves}"));
        assert!(shown.contains("Past sittings of heron"), "{moves}\n{shown}");
    }
    assert!(page("past<enter>heron<enter><esc>").contains("Whose past sittings?"));
}

#[test]
fn a_choice_that_could_not_be_done_is_said_on_the_page_in_full() {
    let (mut start, _) = play_at(offer(), "otter<enter>s<enter>", USUAL);
    let long = "/home/tutor/papers and sittings of the autumn/sessions/otter/2026-11-20.session.ron: \
                this sitting is open in another window. Carry on there, or close it there first";
    start.trouble(long);
    for size in [Size::new(60, 18), USUAL] {
        let shown = drawn(&start, size);
        assert!(words(&shown).contains("close it there first"), "{shown}");
        assert!(shown.contains("! /home/tutor"), "{shown}");
    }
    start.press(Key::Down, USUAL);
    assert!(!drawn(&start, USUAL).contains("another window"));
}

//! The page of practice: scripts of keys, and what shows at three sizes.

use std::cell::RefCell;
use std::rc::Rc;

use pacebell::domain::practice::{PracticeRound, RoundMove, RoundStage, WorkingShown};
use pacebell::screens::kit::Key;
use pacebell::screens::practise::{PractisePage, Practised, SavingLook, Unsaved};
use ratatui::layout::Size;

use crate::days::{paper, question};
use crate::drawn::drawn;
use crate::keyboard;

const USUAL: Size = Size::new(80, 24);

/// A page with its round, as the command holds both.
struct Shown {
    round: PracticeRound,
    page: PractisePage,
}

impl Shown {
    /// Two questions: one with a figure, and one on paper.
    fn new() -> Self {
        Self::with(WorkingShown::AtOnce)
    }

    fn with(working: WorkingShown) -> Self {
        let mut reed = paper("Reed", 2, &[]);
        reed.questions[0].figure = Some("   /\\\n  /  \\\n /____\\".to_owned());
        reed.questions[1].stem = None;
        let questions = vec![question(&reed, 1), question(&reed, 2)];
        let (round, _) = PracticeRound::new(questions, working);
        let page = PractisePage::new(round.clone(), false);
        Self { round, page }
    }

    fn press(&mut self, key: Key) -> Option<Practised> {
        let came = self.page.press(key, USUAL);
        if let Some(Practised::Do(said)) = &came {
            let done = self.round.hear(said.clone());
            let trouble = done.err().map(|reason| format!("{reason:?}"));
            let over = self.round.stage() == RoundStage::Ended;
            let summary = over.then(|| vec!["You worked through 1 question.".to_owned()]);
            self.page.show(self.round.clone(), trouble, summary);
        }
        came
    }

    fn types(&mut self, text: &str) {
        for c in text.chars() {
            self.press(Key::Char(c));
        }
    }
}

#[test]
fn the_pages_are_drawn_as_agreed() {
    for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
        let name = |page: &str| format!("{page}-{}x{}", size.width, size.height);
        let mut shown = Shown::new();
        insta::assert_snapshot!(name("first"), drawn(&shown.page, size));
        shown.types("c");
        insta::assert_snapshot!(name("second"), drawn(&shown.page, size));
        shown.types("bwCounted once");
        insta::assert_snapshot!(name("catch"), drawn(&shown.page, size));
        shown.press(Key::Enter);
        insta::assert_snapshot!(name("over"), drawn(&shown.page, size));
        shown.press(Key::Enter);
        insta::assert_snapshot!(name("printed"), drawn(&shown.page, size));
        shown.press(Key::Esc);
        insta::assert_snapshot!(name("ended"), drawn(&shown.page, size));
    }
}

#[test]
fn what_is_not_saved_yet_is_said_for_as_long_as_it_is_not() {
    let now = Rc::new(RefCell::new(None));
    let mut shown = Shown::new();
    let look = Rc::clone(&now);
    shown.page = shown
        .page
        .watching(SavingLook::new(move || look.borrow().clone()));
    let said = |shown: &Shown| {
        let page = drawn(&shown.page, USUAL);
        let reason = page.contains("Not saved yet: the disk is full");
        (page.contains("   not saved yet"), reason)
    };
    assert_eq!(said(&shown), (false, false));
    *now.borrow_mut() = Some(Unsaved::Waiting);
    assert_eq!(said(&shown), (true, false));
    *now.borrow_mut() = Some(Unsaved::Trouble("the disk is full".to_owned()));
    assert_eq!(said(&shown), (true, true));
    shown.types("z");
    let page = drawn(&shown.page, USUAL);
    assert!(
        page.contains("NoOption"),
        "a refused key is answered: {page}"
    );
    assert_eq!(said(&shown), (true, false));
    *now.borrow_mut() = None;
    assert_eq!(said(&shown), (false, false));
}

#[test]
fn letters_answer_until_a_question_is_over_and_write_only_after_w() {
    let mut shown = Shown::new();
    assert_eq!(
        shown.press(Key::Enter),
        None,
        "nothing goes on before a try"
    );
    assert_eq!(
        shown.press(Key::Char('c')),
        Some(Practised::Do(RoundMove::Answer('c')))
    );
    assert_eq!(
        shown.press(Key::Char('b')),
        Some(Practised::Do(RoundMove::Answer('b')))
    );
    assert_eq!(
        shown.press(Key::Char('b')),
        None,
        "a held letter does nothing more"
    );
    shown.types("wabc");
    assert_eq!(shown.press(Key::Backspace), None);
    let kept = Practised::Do(RoundMove::Catch("ab".to_owned()));
    assert_eq!(shown.press(Key::Enter), Some(kept));
    assert!(drawn(&shown.page, USUAL).contains("Your line is kept."));
    shown.types("wx");
    assert_eq!(
        shown.press(Key::Esc),
        None,
        "the line is dropped, the question stays"
    );
    assert_eq!(
        shown.press(Key::Enter),
        Some(Practised::Do(RoundMove::Next))
    );
    assert!(drawn(&shown.page, USUAL).contains("Question 2 is on the printed paper: Reed."));
    assert_eq!(shown.press(Key::Esc), Some(Practised::Do(RoundMove::Stop)));
    assert_eq!(shown.press(Key::Char('q')), Some(Practised::Left));
}

#[test]
fn nothing_tells_the_answer_before_a_try_and_the_hint_comes_for_a_question_mark() {
    let mut shown = Shown::new();
    let before = drawn(&shown.page, USUAL);
    assert!(
        !before.contains("Count 1 twice") && !before.contains("make B"),
        "{before}"
    );
    shown.press(Key::Char('?'));
    let after = drawn(&shown.page, USUAL);
    assert!(
        after.contains("Hint: Count 1 twice.") && !after.contains("make B"),
        "{after}"
    );
}

#[test]
fn ctrl_c_stops_from_the_help_and_from_a_line_too() {
    for keys in [&[Key::F(1)][..], &[Key::Char('b'), Key::Char('w')]] {
        let mut shown = Shown::new();
        for key in keys {
            shown.press(*key);
        }
        let stopped = Some(Practised::Do(RoundMove::Stop));
        assert_eq!(shown.press(Key::STOP), stopped, "{keys:?}");
        assert!(drawn(&shown.page, USUAL).contains("You worked through 1 question."));
        assert_eq!(shown.press(Key::STOP), Some(Practised::Left), "{keys:?}");
    }
}

#[test]
fn in_a_window_that_is_too_small_no_letter_counts() {
    let mut shown = Shown::new();
    let small = Size::new(59, 18);
    assert_eq!(shown.page.press(Key::Char('c'), small), None);
    assert_eq!(
        shown.page.press(Key::STOP, small),
        Some(Practised::Do(RoundMove::Stop))
    );
}

#[test]
fn every_key_that_works_is_named_and_no_other_works() {
    let first = Shown::new();
    let mut second = Shown::new();
    second.types("c");
    let mut over = Shown::new();
    over.types("b");
    let mut writing = Shown::new();
    writing.types("bwx");
    let mut ended = Shown::new();
    ended.press(Key::Esc);
    for (name, shown) in [
        ("first", first),
        ("second", second),
        ("over", over),
        ("writing", writing),
        ("ended", ended),
    ] {
        let press = |page: &mut PractisePage, key| page.press(key, USUAL).is_some();
        keyboard::every_key_that_works_is_named(name, &shown.page, press);
    }
}

/// The last page holds every working, and reads on where they are more than fit.
#[test]
fn workings_at_the_end_are_read_on_the_last_page() {
    let mut shown = Shown::with(WorkingShown::AtTheEnd);
    shown.types("cd");
    let over = drawn(&shown.page, USUAL);
    assert!(
        over.contains("D isn't right either.") && !over.contains("make B"),
        "{over}"
    );
    shown.press(Key::Enter);
    shown.types("b");
    shown.press(Key::Enter);
    for size in [Size::new(60, 18), USUAL, Size::new(120, 40)] {
        let name = format!("workings-{}x{}", size.width, size.height);
        insta::assert_snapshot!(name, drawn(&shown.page, size));
    }
    keyboard::every_key_that_works_is_named("workings", &shown.page, |page, key| {
        page.press(key, USUAL).is_some()
    });
    let small = Size::new(60, 18);
    shown.page.press(Key::PageDown, small);
    let last = drawn(&shown.page, small);
    assert!(last.contains("2 and 2 make B"), "{last}");
}

//! What a key does, page by page. The questions' own pages have a file each.

use crossterm::event::KeyEvent;

use super::keys::{Stroke, stroke};
use super::{Ask, Desk, Model, Overlay, SaveState, Scroll, Shown, Step, answering, guessing, page};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Phase};
use crate::domain::time::Elapsed;

/// What to wish for before the first key: the first question, where the questions are on the screen.
///
/// With a printed paper only the pupil can say which question is being read.
pub fn opening(desk: &Desk<'_>) -> Vec<Command> {
    let fresh = desk.sitting.open().is_none() && desk.sitting.phase() == Phase::Running;
    let first = desk.sitting.rows().first().map(|row| row.number);
    let on_screen = desk.paper.is_some() && desk.sitting.header().paper.on_screen;
    first
        .filter(|_| fresh && on_screen)
        .map(Command::Open)
        .into_iter()
        .collect()
}

/// A key that comes again sooner than this is held down: repeats come every 30 to 95 ms, taps of
/// the same key no sooner than every 120 (both from memory).
const HELD: Elapsed = Elapsed(100);

/// Takes a key: changes what belongs to the screen, and gives what is asked of the loop.
pub fn update(model: &mut Model, desk: &Desk<'_>, key: KeyEvent) -> Option<Ask> {
    let stroke = stroke(key)?;
    if model.is_held(desk, &stroke) {
        return None;
    }
    if desk.sitting.phase() == Phase::GuessRound {
        model.looked.extend(desk.current());
    }
    let leaving = std::mem::take(&mut model.leaving);
    let filling = std::mem::take(&mut model.filling);
    model.line = None;
    match stroke {
        Stroke::Leave if leaving => Some(Ask::Leave),
        Stroke::Leave => {
            model.leaving = true;
            model.say(if desk.sitting.is_closed() {
                "Press Ctrl-C again to leave. What is not saved is lost then."
            } else {
                "Press Ctrl-C again to leave. The sitting stays open for later."
            });
            None
        }
        Stroke::Redraw => Some(Ask::Redraw),
        Stroke::Suspend => {
            model.say("Ctrl-Z does not work here: the clock would run on unseen.");
            None
        }
        Stroke::SaveElsewhere | Stroke::TryAgain => save(model, desk, &stroke),
        stroke => {
            let ask = on_page(model, desk, stroke, filling);
            if let Some(Ask::Wish(commands)) = &ask
                && commands.iter().any(|wish| matches!(wish, Command::Open(_)))
            {
                // A question opened anew is read from its top.
                model.scroll = None;
            }
            ask
        }
    }
}

fn save(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) -> Option<Ask> {
    match (desk.saved, stroke) {
        (SaveState::Trouble { .. }, Stroke::TryAgain) => Some(Ask::TryAgain),
        (
            SaveState::Trouble {
                elsewhere: Some(_), ..
            },
            _,
        ) => Some(Ask::SaveElsewhere),
        (SaveState::Trouble { .. }, _) => {
            model.say("There is no other place to save in. Tell your tutor.");
            None
        }
        (SaveState::Saved | SaveState::Saving { .. }, _) => {
            model.say("That key is only for trouble with saving. All is well.");
            None
        }
    }
}

fn on_page(model: &mut Model, desk: &Desk<'_>, stroke: Stroke, filling: bool) -> Option<Ask> {
    let shown = model.shown(desk);
    if matches!(stroke, Stroke::PageDown | Stroke::PageUp) && shown != Shown::TooSmall {
        scroll(model, desk, &stroke);
        return None;
    }
    match shown {
        Shown::TooSmall | Shown::Closed => None,
        Shown::Answering => answering::update(model, desk, stroke),
        Shown::Guessing => guessing::update(model, desk, stroke, filling),
        Shown::RestBreak => rest_break(model, desk, &stroke),
        Shown::TimeUp(step) => time_up(model, desk, step, &stroke),
        Shown::Over(Overlay::Help) => {
            match stroke {
                Stroke::Escape | Stroke::Enter | Stroke::Help => model.close(),
                _ => model.tell(desk, "Esc goes back."),
            }
            None
        }
        Shown::Over(Overlay::Menu) => menu(model, desk, &stroke),
        Shown::Over(Overlay::Finish(step)) => {
            let again = Overlay::Finish(Step::Second);
            confirm(model, desk, step, &stroke, again, Command::Finish)
        }
        Shown::Over(Overlay::GiveUp(step)) => {
            let again = Overlay::GiveUp(Step::Second);
            confirm(model, desk, step, &stroke, again, Command::Abandon)
        }
        Shown::Over(Overlay::End(step)) => {
            let again = Overlay::End(Step::Second);
            confirm(model, desk, step, &stroke, again, Command::Finish)
        }
    }
}

impl Model {
    /// Whether the key is the last one held down, where it moves on and so must not run away.
    ///
    /// Most terminals send a held key as presses, one after another; only how soon they come tells.
    /// Arrows are to run on while they are held, and stop at either end.
    fn is_held(&mut self, desk: &Desk<'_>, stroke: &Stroke) -> bool {
        let before = self.last.replace((stroke.clone(), desk.at));
        let moves_on = match stroke {
            Stroke::Enter | Stroke::Tab | Stroke::Sign(' ' | '/' | ';') => true,
            Stroke::Sign(_) => desk.sitting.phase() == Phase::GuessRound,
            _ => false,
        };
        let again = |(last, at): (Stroke, Elapsed)| last == *stroke && desk.at.since(at) < HELD;
        moves_on && before.is_some_and(again)
    }

    /// Puts a page on top.
    pub(super) fn open(&mut self, desk: &Desk<'_>, overlay: Overlay) {
        self.typed = None;
        self.over = Some((overlay, desk.sitting.phase()));
    }

    /// Takes the page on top away.
    fn close(&mut self) {
        self.over = None;
    }

    /// Says something that is about this phase of the sitting only.
    pub(super) fn tell(&mut self, desk: &Desk<'_>, sentence: impl Into<String>) {
        self.line = Some((sentence.into(), Some(desk.sitting.phase())));
    }

    /// Says that a key means nothing here.
    pub(super) fn no_key(&mut self, desk: &Desk<'_>, stroke: &Stroke, what_works: &str) {
        let name = match stroke {
            Stroke::Sign(' ') => "Space".to_owned(),
            Stroke::Sign(c) => c.to_string(),
            Stroke::Enter => "Enter".to_owned(),
            Stroke::Escape => "Esc".to_owned(),
            Stroke::Tab => "Tab".to_owned(),
            Stroke::RubOut => "Backspace".to_owned(),
            Stroke::Other(name) => name.clone(),
            _ => "That key".to_owned(),
        };
        self.tell(desk, format!("{name} does nothing here. {what_works}"));
    }
}

fn scroll(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) {
    let room = page::room(model, desk);
    if room.most == 0 {
        model.tell(desk, "Everything is on the page.");
        return;
    }
    let top = model.top(desk).min(room.most);
    let step = room.page.saturating_sub(1).max(1);
    let top = match stroke {
        Stroke::PageUp => top.saturating_sub(step),
        _ => (top + step).min(room.most),
    };
    model.scroll = Some(Scroll {
        shown: model.shown(desk),
        question: desk.current(),
        top,
    });
}

fn rest_break(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) -> Option<Ask> {
    if *stroke == Stroke::Enter {
        return Some(Ask::Wish(vec![Command::EndBreak]));
    }
    model.tell(desk, "Enter ends the break.");
    None
}

fn time_up(model: &mut Model, desk: &Desk<'_>, step: Step, stroke: &Stroke) -> Option<Ask> {
    let first_blank = desk.sitting.blanks().next();
    match (stroke, first_blank, step) {
        (Stroke::Enter, _, Step::Second) => Some(Ask::Wish(vec![Command::Finish])),
        (Stroke::Enter, Some(first), Step::First) => Some(Ask::Wish(vec![
            Command::StartGuessRound,
            Command::Open(first),
        ])),
        (Stroke::Sign('n' | 'N'), Some(_), _) | (Stroke::Sign('e' | 'E'), None, _) => {
            model.open(desk, Overlay::End(Step::Second));
            None
        }
        (_, _, Step::Second) => {
            model.close();
            None
        }
        (_, Some(_), Step::First) => {
            model.tell(desk, "Answers are locked now. Enter guesses the blanks.");
            None
        }
        (_, None, Step::First) => {
            model.tell(desk, "Answers are locked now. e, then Enter ends.");
            None
        }
    }
}

fn menu(model: &mut Model, desk: &Desk<'_>, stroke: &Stroke) -> Option<Ask> {
    let running = desk.sitting.phase() == Phase::Running;
    match stroke {
        Stroke::Escape | Stroke::Enter => model.close(),
        Stroke::Help => model.open(desk, Overlay::Help),
        Stroke::Sign('f' | 'F') if running => model.open(desk, Overlay::Finish(Step::First)),
        Stroke::Sign('q' | 'Q') if running => model.open(desk, Overlay::GiveUp(Step::First)),
        Stroke::Sign('b' | 'B') if running && desk.sitting.header().arrangements.rest_breaks => {
            model.close();
            return Some(Ask::Wish(vec![Command::StartBreak]));
        }
        Stroke::Sign('e' | 'E') if !running => model.open(desk, Overlay::End(Step::First)),
        stroke => model.no_key(desk, stroke, "Press a key of the list, or Esc to go on."),
    }
    None
}

/// Two different keys, one after the other: what one key held down cannot give.
fn confirm(
    model: &mut Model,
    desk: &Desk<'_>,
    step: Step,
    stroke: &Stroke,
    again: Overlay,
    command: Command,
) -> Option<Ask> {
    match (stroke, step) {
        (Stroke::Sign('y' | 'Y'), _) => model.open(desk, again),
        (Stroke::Enter, Step::Second) => {
            model.close();
            return Some(Ask::Wish(vec![command]));
        }
        (Stroke::Enter, Step::First) => model.tell(desk, "Type y first, then press Enter."),
        (Stroke::Escape, _) => model.close(),
        (Stroke::Sign('g' | 'G'), _) if command == Command::Finish => {
            let first = desk.sitting.blanks().next();
            model.close();
            return first.map(|question| go_to(model, question));
        }
        (stroke, _) => model.no_key(desk, stroke, "Esc goes back."),
    }
    None
}

/// The wish to open a question; a jump half typed is dropped.
pub(super) fn go_to(model: &mut Model, question: QuestionNo) -> Ask {
    model.typed = None;
    Ask::Wish(vec![Command::Open(question)])
}

/// The question after (or before) `from` in `questions`, if there is one.
pub(super) fn beside(
    questions: &[QuestionNo],
    from: Option<QuestionNo>,
    stroke: &Stroke,
) -> Option<QuestionNo> {
    let here = from.and_then(|from| questions.iter().position(|q| *q == from));
    let there = match (stroke, here) {
        (Stroke::Last, _) => questions.len().checked_sub(1),
        (Stroke::First, _) | (_, None) => Some(0),
        (Stroke::Previous, Some(here)) => here.checked_sub(1),
        (_, Some(here)) => Some(here + 1),
    };
    questions.get(there?).copied()
}

/// The next of `wanted` after `from`, beginning anew at the front.
pub(super) fn next_round(
    wanted: impl Iterator<Item = QuestionNo>,
    from: Option<QuestionNo>,
) -> Option<QuestionNo> {
    let wanted: Vec<QuestionNo> = wanted.collect();
    let after = wanted.iter().find(|q| from.is_none_or(|from| **q > from));
    after.or(wanted.first()).copied()
}

//! The pages that are words only: menu, checks, rest break, time up, the end.

use ratatui::text::Line;

use super::desk::Desk;
use super::model::{Model, Overlay, Shown, Step};
use super::pieces::{Piece, heading, key, say, set};
use crate::dialogue::Move;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::words::count::counted;
use crate::words::numbers::ranges_in_words;
use crate::words::time::clock_left;

/// The lines of a page that is words only.
pub(super) fn lines(
    model: &Model,
    desk: &Desk<'_>,
    shown: Shown,
    width: usize,
) -> Vec<Line<'static>> {
    let pieces = match shown {
        Shown::RestBreak => rest_break(desk),
        Shown::TimeUp(step) => time_up(desk, step),
        // Nobody stays on a sitting that is over: its result has a page of its own.
        Shown::Closed => vec![heading("The sitting is over.")],
        Shown::Over(Overlay::Menu, _) => menu(model, desk),
        Shown::Over(Overlay::Finish, step) => finish(desk, step),
        Shown::Over(Overlay::GiveUp, step) => give_up(step),
        Shown::Over(Overlay::End, step) => end(desk, step),
        Shown::TooSmall | Shown::Answering | Shown::Guessing | Shown::Over(Overlay::Help, _) => {
            Vec::new()
        }
    };
    set(&pieces, desk.theme, width)
}

fn menu(model: &Model, desk: &Desk<'_>) -> Vec<Piece> {
    let mut pieces = vec![heading("Menu"), Piece::Gap];
    if desk.sitting.phase() == Phase::GuessRound {
        pieces.extend([
            key("Esc", "Go on guessing"),
            key("e", "End the guess round; asks first"),
            key("F1", "Help"),
        ]);
        return pieces;
    }
    pieces.extend([key("Esc", "Go on"), key("f", "Finish early; asks first")]);
    if model.offers(desk, Move::StartBreak) {
        pieces.push(key(
            "b",
            "Rest break: the clock is stopped, the questions are hidden",
        ));
    }
    pieces.extend([
        key("q", "Give up; asks first"),
        key("F1", "Help"),
        Piece::Gap,
        say("The clock runs on while this menu is open."),
        say("To leave now and go on later, press Ctrl-C twice."),
    ]);
    pieces
}

/// What is blank, what has a flag, and what a guess is worth.
fn standing(desk: &Desk<'_>) -> Vec<Piece> {
    let blanks: Vec<QuestionNo> = desk.sitting.blanks().collect();
    let flags: Vec<QuestionNo> = desk.sitting.flags().collect();
    let mut pieces = Vec::new();
    if blanks.is_empty() {
        pieces.push(say("Nothing is blank."));
    } else {
        let list = ranges_in_words(&blanks);
        pieces.push(say(format!("{}: {list}.", counted(blanks.len(), "blank"))));
        pieces.extend(desk.advice.iter().map(say));
    }
    if !flags.is_empty() {
        let list = ranges_in_words(&flags);
        pieces.push(say(format!("Flag on {list}.")));
    }
    pieces
}

fn yes_or_no(step: Step, yes: &str) -> Vec<Piece> {
    let first = match step {
        Step::First => key("y, then Enter", yes),
        Step::Second => key("Enter", &format!("{yes}. You typed y.")),
    };
    vec![first, key("Esc", "No, go back")]
}

fn first_blank(desk: &Desk<'_>) -> Option<Piece> {
    let first = desk.sitting.blanks().next()?;
    Some(key("g", &format!("Go to the first blank, {first}")))
}

fn finish(desk: &Desk<'_>, step: Step) -> Vec<Piece> {
    let left = clock_left(desk.sitting.left(desk.at));
    let mut pieces = vec![
        heading("Finish early?"),
        say(format!(
            "There are {left}. You cannot come back after this."
        )),
        Piece::Gap,
    ];
    pieces.extend(standing(desk));
    pieces.push(Piece::Gap);
    pieces.extend(yes_or_no(step, "Finish now"));
    pieces.extend(first_blank(desk));
    pieces
}

fn give_up(step: Step) -> Vec<Piece> {
    let mut pieces = vec![
        heading("Give up this sitting?"),
        say("It is kept, and no mark is asked for. You cannot come back to it."),
        say("To go on another time, press Esc here, then Ctrl-C twice."),
        Piece::Gap,
    ];
    pieces.extend(yes_or_no(step, "Give up"));
    pieces
}

fn end(desk: &Desk<'_>, step: Step) -> Vec<Piece> {
    let (question, yes) = match desk.sitting.blanks().next() {
        Some(_) => ("End with blanks left?", "Leave them blank and end"),
        None => ("End the guess round?", "End"),
    };
    let mut pieces = vec![heading(question), Piece::Gap];
    pieces.extend(standing(desk));
    pieces.push(Piece::Gap);
    pieces.extend(yes_or_no(step, yes));
    pieces.extend(first_blank(desk));
    pieces
}

fn rest_break(desk: &Desk<'_>) -> Vec<Piece> {
    let left = clock_left(desk.sitting.left(desk.at));
    vec![
        heading("Rest break"),
        Piece::Gap,
        say(format!("{left}; the clock is stopped.")),
        say("The questions are hidden. Take the rest you need."),
        Piece::Gap,
        key("Enter", "End the break; the clock runs again"),
    ]
}

fn time_up(desk: &Desk<'_>, step: Step) -> Vec<Piece> {
    let words = if desk.sitting.header().paper.on_screen {
        "Time is up. Well worked."
    } else {
        "Time is up. Pens down. Well worked."
    };
    let mut pieces = vec![heading(words), Piece::Gap];
    if desk.sitting.blanks().next().is_none() {
        pieces.extend([say("Every question has an answer."), Piece::Gap]);
        pieces.extend(match step {
            Step::First => vec![key("e, then Enter", "End the sitting")],
            Step::Second => vec![
                key("Enter", "End the sitting. You typed e."),
                key("Esc", "Back"),
            ],
        });
        return pieces;
    }
    pieces.extend(standing(desk));
    pieces.extend([
        Piece::Gap,
        say("You can guess the blanks now. Guesses after time are kept apart from your answers in time."),
        Piece::Gap,
    ]);
    pieces.extend(match step {
        Step::First => vec![
            key("Enter", "Guess the blanks"),
            key("n, then Enter", "Leave them blank and end"),
        ],
        Step::Second => vec![
            key("Enter", "Leave them blank and end. You typed n."),
            key("Esc", "Back"),
        ],
    });
    pieces
}

//! The pages that are words only: menu, checks, rest break, time up, the end.

use ratatui::text::Line;

use super::desk::Desk;
use super::model::{Model, Overlay, Shown};
use super::panel_keys;
use super::pieces::{Piece, heading, key, say, set};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::screens::kit::KeyMap;
use crate::words::numbers::ranges_in_words;
use crate::words::sitting::page as words;

/// The lines of a page that is words only.
pub(super) fn lines(
    model: &Model,
    desk: &Desk<'_>,
    shown: Shown,
    width: usize,
) -> Vec<Line<'static>> {
    let mut pieces = match shown {
        Shown::RestBreak => rest_break(desk),
        Shown::TimeUp(_) => time_up(desk),
        // Nobody stays on a sitting that is over: its result has a page of its own.
        Shown::Closed => vec![heading(words::OVER)],
        Shown::Over(Overlay::Menu, _) => vec![heading("Menu"), Piece::Gap],
        Shown::Over(Overlay::Finish, _) => finish(desk),
        Shown::Over(Overlay::GiveUp, _) => give_up(),
        Shown::Over(Overlay::End, _) => end(desk),
        Shown::TooSmall | Shown::Answering | Shown::Guessing | Shown::Over(Overlay::Help, _) => {
            Vec::new()
        }
    };
    let keys = KeyMap::new(panel_keys::of(model, desk, shown)).help();
    pieces.extend(keys.iter().map(|(name, does)| key(name, does)));
    let running = desk.sitting.phase() == Phase::Running;
    if matches!(shown, Shown::Over(Overlay::Menu, _)) && running {
        pieces.extend([Piece::Gap, say(words::CLOCK_RUNS_ON), say(words::TO_LEAVE)]);
    }
    set(&pieces, desk.theme, width)
}

/// What is blank, what has a flag, and what a guess is worth.
fn standing(desk: &Desk<'_>) -> Vec<Piece> {
    let blanks: Vec<QuestionNo> = desk.sitting.blanks().collect();
    let flags: Vec<QuestionNo> = desk.sitting.flags().collect();
    let mut pieces = Vec::new();
    if blanks.is_empty() {
        pieces.push(say(words::NOTHING_BLANK));
    } else {
        pieces.push(say(words::blanks(&blanks)));
        pieces.extend(desk.advice.iter().map(say));
    }
    if !flags.is_empty() {
        let list = ranges_in_words(&flags);
        pieces.push(say(format!("Flag on {list}.")));
    }
    pieces
}

fn finish(desk: &Desk<'_>) -> Vec<Piece> {
    let left = desk.sitting.left(desk.at);
    let mut pieces = vec![
        heading("Finish now?"),
        say(words::finishing(left)),
        Piece::Gap,
    ];
    pieces.extend(standing(desk));
    pieces.push(Piece::Gap);
    pieces
}

fn give_up() -> Vec<Piece> {
    vec![
        heading(words::GIVE_UP),
        say(words::GIVING_UP),
        say(words::ANOTHER_TIME),
        Piece::Gap,
    ]
}

fn end(desk: &Desk<'_>) -> Vec<Piece> {
    let question = match desk.sitting.blanks().next() {
        Some(_) => words::END_WITH_BLANKS,
        None => words::END_ROUND,
    };
    let mut pieces = vec![heading(question), Piece::Gap];
    pieces.extend(standing(desk));
    pieces.push(Piece::Gap);
    pieces
}

fn rest_break(desk: &Desk<'_>) -> Vec<Piece> {
    let left = desk.sitting.left(desk.at);
    vec![
        heading("Rest break"),
        Piece::Gap,
        say(words::clock_stopped_at(left)),
        say(words::REST),
        Piece::Gap,
    ]
}

fn time_up(desk: &Desk<'_>) -> Vec<Piece> {
    let on_screen = desk.sitting.header().paper.on_screen;
    let mut pieces = vec![heading(words::time_is_up(on_screen)), Piece::Gap];
    if desk.sitting.blanks().next().is_none() {
        pieces.extend([say(words::EVERY_ANSWER), Piece::Gap]);
        return pieces;
    }
    pieces.extend(standing(desk));
    pieces.extend([Piece::Gap, say(words::GUESS_NOW), Piece::Gap]);
    pieces
}

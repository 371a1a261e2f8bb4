//! The pages that are words only: menu, checks, rest break, time up, the end.

use ratatui::text::Line;

use super::desk::Desk;
use super::model::{Model, Overlay, Shown};
use super::panel_keys;
use super::pieces::{Piece, heading, key, say, set};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::domain::time::Elapsed;
use crate::screens::kit::KeyMap;
use crate::words::guess::{GuessWorth, guesses_bring};
use crate::words::numbers::ranges_in_words;
use crate::words::sitting::page as words;
use crate::words::sitting::{AwayTime, last_in_time};

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
        Shown::Over(Overlay::Leave, _) => leave(desk),
        Shown::Over(Overlay::Fill, _) => fill(desk),
        Shown::TooSmall
        | Shown::Answering
        | Shown::Guessing
        | Shown::Over(Overlay::Help | Overlay::Glance, _) => Vec::new(),
    };
    let keys = KeyMap::new(panel_keys::of(model, desk, shown)).help();
    pieces.extend(keys.iter().map(|(name, does)| key(name, does)));
    let running = desk.sitting.phase() == Phase::Running;
    if matches!(shown, Shown::Over(Overlay::Menu, _)) && running {
        pieces.extend([Piece::Gap, say(words::CLOCK_RUNS_ON)]);
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
        if let GuessWorth::Marks(_) | GuessWorth::Partly { .. } = guesses(desk) {
            pieces.extend(guesses_bring(guesses(desk), blanks.len()).map(say));
        }
    }
    if !flags.is_empty() {
        let list = ranges_in_words(&flags);
        pieces.push(say(format!("Flag on {list}.")));
    }
    pieces
}

fn guesses(desk: &Desk<'_>) -> GuessWorth {
    GuessWorth::of(desk.sitting)
}

/// The first line of such a page, for a window with room for no more.
pub(super) fn heading_of(desk: &Desk<'_>, page: Shown) -> String {
    match page {
        Shown::RestBreak => words::REST_BREAK.to_owned(),
        Shown::TimeUp(_) => words::time_is_up(desk.sitting.header().paper.on_screen).to_owned(),
        Shown::Over(Overlay::Finish, _) => words::FINISH_NOW.to_owned(),
        Shown::Over(Overlay::GiveUp, _) => words::GIVE_UP.to_owned(),
        Shown::Over(Overlay::Leave, _) => words::LEAVE.to_owned(),
        Shown::Over(Overlay::End, _) => words::END_ROUND.to_owned(),
        Shown::Over(Overlay::Fill, _) => desk.scene().filling().asks(),
        _ => words::KEYS_WORK.to_owned(),
    }
}

fn leave(desk: &Desk<'_>) -> Vec<Piece> {
    let away = AwayTime::of(desk.sitting);
    let mut pieces = vec![heading(words::LEAVE), say(away.sentence())];
    // After time the sentence itself says so.
    if !matches!(away, AwayTime::AfterTime | AwayTime::Over) {
        pieces.push(say(words::ANSWERS_KEPT));
    }
    pieces.push(Piece::Gap);
    pieces
}

fn fill(desk: &Desk<'_>) -> Vec<Piece> {
    let filling = desk.scene().filling();
    let mut pieces = vec![heading(&filling.asks())];
    pieces.extend(filling.stay_blank().map(say));
    pieces.push(Piece::Gap);
    pieces
}

/// The time left, unless the clock is hidden.
fn time_left(desk: &Desk<'_>) -> Option<Elapsed> {
    let shown = !desk.sitting.clock_hidden();
    shown.then(|| desk.sitting.left(desk.at))
}

fn finish(desk: &Desk<'_>) -> Vec<Piece> {
    let left = time_left(desk);
    let mut pieces = vec![
        heading(words::FINISH_NOW),
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
    let left = time_left(desk);
    vec![
        heading(words::REST_BREAK),
        Piece::Gap,
        say(words::clock_stopped_at(left)),
        say(words::REST),
        Piece::Gap,
    ]
}

fn time_up(desk: &Desk<'_>) -> Vec<Piece> {
    let on_screen = desk.sitting.header().paper.on_screen;
    let mut pieces = vec![heading(words::time_is_up(on_screen))];
    let last = desk.sitting.last_answered();
    pieces.extend(last.map(|(question, given)| say(last_in_time(question, given.option))));
    pieces.push(Piece::Gap);
    if desk.sitting.blanks().next().is_none() {
        pieces.extend([say(words::EVERY_ANSWER), Piece::Gap]);
        return pieces;
    }
    pieces.extend(standing(desk));
    pieces.extend([Piece::Gap, say(words::GUESS_NOW), Piece::Gap]);
    pieces
}

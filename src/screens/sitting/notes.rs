//! The quiet lines that nobody asked for: plan, reminder, what the signs mean, the guess round.
//!
//! While the clock runs they have one line, kept from the first minute to the last, so that the
//! page never moves: the plan, or else the signs, until the reminder takes it. Advice drawn from a
//! rule that nobody has checked this year is never shown: whom to ask is said instead.

use super::desk::Desk;
use super::model::{Model, Shown};
use super::pace;
use crate::domain::sitting::Phase;
use crate::words::guess::{guess_here, guess_loses_here, guesses_bring};
use crate::words::sign::{self, GUESS_ROUND, SHEET};
use crate::words::sitting::page as words;
use crate::words::text;

/// From this height on the signs have a line of their own.
const ROOM_FOR_LEGEND: u16 = 30;
/// Lines below the sheet for the signs, in a window so high.
pub(super) fn legend_lines(height: u16) -> u16 {
    u16::from(height >= ROOM_FOR_LEGEND)
}

/// The lines above the page.
pub(super) fn lines(model: &Model, desk: &Desk<'_>, width: u16) -> Vec<String> {
    match model.shown(desk) {
        Shown::Answering => vec![running(model, desk, width)],
        Shown::Guessing => guess_round(desk, usize::from(width)),
        _ => Vec::new(),
    }
}

fn running(model: &Model, desk: &Desk<'_>, width: u16) -> String {
    if let Some(open) = desk.current().filter(|_| desk.scene().is_sweeping()) {
        return guess_here(desk.sitting, open, usize::from(width));
    }
    if desk.scene().reminds() {
        let reminder = desk.scene().reminder();
        let bring = guesses_bring(reminder.guesses, reminder.blanks.len());
        return bring.unwrap_or_default();
    }
    let plan = text::pack(pace::sentences(desk), usize::from(width));
    let legend = || {
        if has_legend_below(model, desk) {
            String::new()
        } else {
            legend(desk, width)
        }
    };
    plan.into_iter().next().unwrap_or_else(legend)
}

/// The band beside the question: the blanks in the last minutes, and the sweep.
pub(super) fn band(model: &Model, desk: &Desk<'_>, width: u16) -> Option<String> {
    if model.shown(desk) != Shown::Answering {
        return None;
    }
    let blanks = desk.sitting.blanks().count();
    if desk.scene().is_sweeping() {
        let here = desk.current();
        let loses = here.and_then(|open| guess_loses_here(desk.sitting, open));
        return Some(words::sweep_band(blanks, loses.is_some()));
    }
    let reminds = desk.scene().reminds();
    reminds.then(|| words::band(&desk.scene().reminder(), usize::from(width)))
}

/// What the guess round is, and what a guess on the open question is worth: always two lines, so that
/// the page stays where it is.
fn guess_round(desk: &Desk<'_>, width: usize) -> Vec<String> {
    let blank = desk.sitting.blanks().next().is_some();
    let about = match desk.current().filter(|_| blank) {
        Some(open) => guess_here(desk.sitting, open, width),
        None => words::ALL_FILLED.to_owned(),
    };
    vec![words::GUESS_ROUND.to_owned(), about]
}

/// Whether the signs are told below the sheet.
pub(super) fn has_legend_below(model: &Model, desk: &Desk<'_>) -> bool {
    let sheet = matches!(model.shown(desk), Shown::Answering | Shown::Guessing);
    sheet && desk.size.height >= ROOM_FOR_LEGEND
}

/// Whether the signs are told on the message line: until the first key, where a plan has the line
/// above.
pub(super) fn has_legend_in_message(model: &Model, desk: &Desk<'_>) -> bool {
    let first = model.held.is_untouched() && model.shown(desk) == Shown::Answering;
    first && desk.sitting.header().plan.is_some() && !has_legend_below(model, desk)
}

/// What the signs of the sheet mean.
pub(super) fn legend(desk: &Desk<'_>, width: u16) -> String {
    let signs = if desk.sitting.phase() == Phase::GuessRound {
        sign::legend(&GUESS_ROUND)
    } else {
        sign::legend(&SHEET)
    };
    let named = format!("Signs: {signs}");
    if text::width(&named) <= usize::from(width) {
        named
    } else {
        text::cut(&signs, usize::from(width))
    }
}

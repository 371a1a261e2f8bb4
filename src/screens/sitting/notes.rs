//! The quiet lines that nobody asked for: plan, reminder, what the signs mean, the guess round.
//!
//! While the clock runs they have one line, kept from the first minute to the last, so that the
//! page never moves: the plan, or else the signs, until the reminder takes it. Advice drawn from a
//! rule that nobody has checked this year is never shown: whom to ask is said instead.

use super::desk::Desk;
use super::model::{Model, Shown};
use super::pace;
use crate::domain::sitting::Phase;
use crate::words::guess::{GuessWorth, guess_here, guesses_bring};
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
        return Some(words::sweep_band(blanks));
    }
    let reminds = desk.scene().reminds();
    reminds.then(|| words::band(&desk.scene().reminder(), usize::from(width)))
}

/// What a guess is worth, or whom to ask where the rule was not checked this year.
fn about_guessing(desk: &Desk<'_>) -> Option<String> {
    let reminder = desk.scene().reminder();
    match reminder.guesses {
        GuessWorth::Unchecked => guesses_bring(reminder.guesses, reminder.blanks.len()),
        GuessWorth::Marks(_) | GuessWorth::Partly { .. } | GuessWorth::Nothing => {
            desk.advice.first().cloned()
        }
    }
}

/// What the guess round is, in as many lines before the blanks are filled as after.
fn guess_round(desk: &Desk<'_>, width: usize) -> Vec<String> {
    let what = || words::GUESS_ROUND.to_owned();
    let filled = words::ALL_FILLED.to_owned();
    let asked = [what()].into_iter().chain(about_guessing(desk));
    let mut before = text::pack(asked, width);
    let mut after = text::pack([what(), filled], width);
    let most = before.len().max(after.len()).min(3);
    before.resize(most, String::new());
    after.resize(most, String::new());
    match desk.sitting.blanks().next() {
        Some(_) => before,
        None => after,
    }
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

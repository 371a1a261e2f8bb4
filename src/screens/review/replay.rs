//! Replay: the sheet, the clock and the mark as they stood at the cursor over the hour.

use ratatui::text::Span;

use super::axis::Axis;
use super::player::{Player, end};
use super::study::Study;
use crate::domain::marking::Outcome;
use crate::domain::sitting::{Row, Sitting};
use crate::domain::time::Elapsed;
use crate::screens::kit::{PageWriter, WIDE};
use crate::words::log;
use crate::words::review as words;
use crate::words::sign::{HOW_WIDTH, LATE, REPLAY, Sign, how_cell, legend, mark_or_blank, remark};
use crate::words::text::{cut, fit, fit_right};

pub(super) fn write(ink: &mut PageWriter, study: &Study, player: &Player) {
    let header = &study.opened.header;
    let used = study.replay.used(player.at);
    let sitting = &player.sitting;
    ink.heading(&words::moment(
        player.at,
        used,
        header.allowed.since(used),
        sitting.phase(),
        sitting.open(),
    ));
    ink.plain(&mark_words(study, player));
    let now = just_now(study, player.count.checked_sub(1));
    ink.plain(&words::player(
        player.plays,
        player.steps_by(),
        player.speed(),
        &now,
    ));
    ink.plain(&cursor(study, player.at, ink.width));
    ink.pin();
    let (left, right) = (ink.width >= WIDE, ink.room());
    if left {
        ink.two(
            |ink| sheet(ink, study, sitting),
            |ink| around(ink, study, player.count, right),
        );
    } else {
        sheet(ink, study, sitting);
    }
}

fn mark_words(study: &Study, player: &Player) -> String {
    let rows = player.sitting.rows();
    let answered = rows.iter().filter(|row| row.in_time.is_some()).count();
    let is_open = study.opened.is_open && study.opened.key.is_ok();
    let Some(marks) = &player.marks else {
        return words::no_mark_now(is_open, answered, rows.len());
    };
    let round = marks
        .with_guess_round
        .filter(|round| *round != marks.in_time);
    words::mark_now(marks.in_time, marks.max, round, answered, rows.len())
}

/// The event that has just happened.
fn just_now(study: &Study, index: Option<usize>) -> String {
    let stamped = index.and_then(|index| study.replay.log().get(index));
    stamped.map_or_else(String::new, |stamped| {
        format!("Last: {}.", log::event(&stamped.event))
    })
}

/// The hour as a line, with the cursor on it and a stroke at every first answer.
fn cursor(study: &Study, at: Elapsed, width: usize) -> String {
    let axis = Axis {
        columns: width.max(1),
        ended: end(study),
    };
    let mut line = vec!['─'; axis.columns];
    let mut put = |at: Elapsed, c: char| {
        if let Some(cell) = line.get_mut(axis.column(at)) {
            *cell = c;
        }
    };
    for choice in study.analysis.choices() {
        put(choice.at, '┴');
    }
    for gap in study.analysis.gaps() {
        put(gap.from, ':');
    }
    put(at, '#');
    line.into_iter().collect()
}

/// The answer sheet as it stood, as many columns of rows as there is room for.
fn sheet(ink: &mut PageWriter, study: &Study, sitting: &Sitting) {
    let rows = sitting.rows();
    let outline = &study.opened.header.paper;
    let letters = rows
        .iter()
        .map(|row| outline.labels(row.number).len())
        .max()
        .unwrap_or(0);
    let digits = rows.last().map_or(0, |row| row.number.to_string().len());
    let number = digits.max(2);
    // Void or late takes room where there is one.
    let remarked = study.facts.iter().any(|facts| !facts.remark().is_empty());
    let remark = if remarked { 1 + LATE.len() } else { 0 };
    // Open, number, sign, the letters with brackets, how, flag, and two blanks after them.
    let cell = 3 + number + 2 * letters + 1 + HOW_WIDTH + 1 + remark + 2;
    let across = ((ink.width + 2) / cell).max(1);
    let down = rows.len().div_ceil(across).max(1);
    for line in 0..down {
        let mut spans = Vec::new();
        for row in (0..across).filter_map(|column| rows.get(column * down + line)) {
            let open = sitting.open() == Some(row.number);
            let style = if open {
                ink.theme.chosen
            } else {
                ratatui::style::Style::new()
            };
            let text = fit(&row_words(study, row, open, number), cell - 2);
            spans.push(Span::styled(text, style));
            spans.push(Span::raw("  "));
        }
        ink.line(spans);
    }
    ink.plain(&legend(&REPLAY));
}

fn row_words(study: &Study, row: &Row, open: bool, number: usize) -> String {
    let outline = &study.opened.header.paper;
    let known = study.known.as_ref();
    let standing = row.standing();
    let outcome = known.and_then(|known| {
        let right = known.key.accepts(row.number, standing?.option);
        let void = known.key.voids.contains_key(&row.number);
        Some(match (void, right) {
            (true, _) => Outcome::Void,
            (false, true) => Outcome::Right,
            (false, false) => Outcome::Wrong,
        })
    });
    let mut letters = String::new();
    for label in outline.labels(row.number).iter() {
        let chosen = standing.is_some_and(|given| given.option == label);
        let before = standing.is_some_and(|given| {
            let labels = outline.labels(row.number);
            let place = labels.index(given.option);
            place.is_some() && place.map(|place| place + 1) == labels.index(label)
        });
        letters.push(match (chosen, before) {
            (true, _) => '[',
            (false, true) => ']',
            (false, false) => ' ',
        });
        // What was crossed out has no letter, as on the sheet in the sitting.
        let out = row.crossed.contains(&label) && !chosen;
        letters.push(if out { ' ' } else { label.as_char() });
    }
    let last = outline.labels(row.number).iter().last();
    let closes = standing.is_some_and(|given| Some(given.option) == last);
    letters.push(if closes { ']' } else { ' ' });
    let late = row.in_time.is_none() && row.after_time.is_some();
    format!(
        "{}{} {}{letters}{}{} {}",
        Sign::Open.if_so(open),
        fit_right(&row.number.to_string(), number),
        mark_or_blank(outcome.and_then(Sign::of_outcome)),
        how_cell(standing.map(|given| given.how)),
        Sign::Flag.if_so(row.flagged),
        remark(outcome, late),
    )
}

/// The events around the cursor, the last that holds marked.
fn around(ink: &mut PageWriter, study: &Study, count: usize, rows: usize) {
    ink.heading("What happened");
    let rows = rows.saturating_sub(1).max(1);
    let first = count.saturating_sub(rows.div_ceil(2) + 1);
    let log = study
        .replay
        .log()
        .iter()
        .zip(study.replay.moments())
        .enumerate();
    for (index, (stamped, at)) in log.skip(first).take(rows) {
        let now = index + 1 == count;
        let sign = Sign::Open.if_so(now);
        let style = if now {
            ink.theme.chosen
        } else {
            ratatui::style::Style::new()
        };
        let text = format!(
            "{}  {}",
            fit_right(&at.stopwatch(), 6),
            log::event(&stamped.event)
        );
        let text = cut(&text, ink.width.saturating_sub(2));
        ink.line(vec![
            Span::raw(sign),
            Span::raw(" "),
            Span::styled(text, style),
        ]);
    }
}

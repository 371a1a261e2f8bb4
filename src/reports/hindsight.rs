//! Past forecasts beside what came, as a page; [`json`] has the same figures as JSON.

pub mod json;

use std::collections::BTreeSet;

use super::text::COLUMNS;
use crate::domain::header::Alias;
use crate::season::hindsight::{JudgedSitting, RangesHeld, TrackRecord, Widening};
use crate::words::hindsight as words;
use crate::words::numbers::{percent, plain};
use crate::words::sources::CAUTION;
use crate::words::text::{Side, clean, columns, cut, hanging, width, wrap_whole};
use crate::words::time::table_day;

/// What hindsight tells of.
pub struct HindsightReport<'a> {
    /// The pupil, or everybody.
    pub pupil: Option<&'a Alias>,
    /// The sittings that are told of.
    pub record: &'a TrackRecord,
    /// By how much the group's forecasts are widened.
    pub widening: Option<Widening>,
    /// What has to be said of the files.
    pub notes: &'a [String],
}

impl HindsightReport<'_> {
    /// The record of each pupil, by alias.
    fn pupils(&self) -> Vec<(String, TrackRecord)> {
        let aliases = self.record.all().iter().map(|one| &one.pupil);
        let aliases: BTreeSet<_> = aliases.collect();
        let own = |alias: &Alias| self.record.only(|one| one.pupil == *alias);
        let each = aliases.into_iter();
        each.map(|alias| (alias.to_string(), own(alias))).collect()
    }

    /// The record of each season, the oldest first.
    fn seasons(&self) -> Vec<(String, TrackRecord)> {
        let begun = self.record.all().iter().map(JudgedSitting::season);
        let begun: BTreeSet<_> = begun.collect();
        let own = |season| self.record.only(|one| one.season() == season);
        let each = begun.into_iter();
        each.map(|season| (words::season(season), own(season)))
            .collect()
    }
}

/// The page.
pub fn page(told: &HindsightReport<'_>) -> String {
    let record = told.record;
    let whose = told.pupil.map(Alias::as_str);
    let mut lines = vec![cut(&words::title(whose), COLUMNS)];
    lines.extend(wrap_whole(words::WHAT_IT_IS, COLUMNS));
    lines.push(CAUTION.to_owned());
    lines.push(String::new());
    let notes = told.notes.iter();
    lines.extend(notes.flat_map(|note| hanging("! ", &clean(note), COLUMNS)));
    let held = record.tally();
    lines.extend(wrap_whole(&words::held(held), COLUMNS));
    if let Some(widening) = &told.widening {
        lines.extend(wrap_whole(&words::will_widen(widening), COLUMNS));
    }
    if let Some(errors) = record.errors() {
        lines.extend(wrap_whole(&words::errors(errors), COLUMNS));
    }
    for (reason, count) in record.not_forecast() {
        lines.extend(wrap_whole(&words::not_forecast(reason, count), COLUMNS));
    }
    match told.pupil {
        Some(_) => block(&mut lines, None, &sittings(record)),
        None => block(&mut lines, Some(words::BY_PUPIL), &held_by(&told.pupils())),
    }
    let seasons = told.seasons();
    if seasons.len() > 1 {
        block(&mut lines, Some(words::BY_SEASON), &held_by(&seasons));
    }
    let bands = bands(record);
    block(&mut lines, Some(words::AWARDS), &bands);
    if let Some(score) = record.brier() {
        lines.extend(wrap_whole(&words::brier(score), COLUMNS));
    }
    lines.join("\n") + "\n"
}

/// A table under its heading, a line apart; nothing of an empty one.
fn block(lines: &mut Vec<String>, heading: Option<&str>, table: &[String]) {
    if table.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.extend(heading.map(str::to_owned));
    lines.extend(table.iter().map(|line| format!("  {line}")));
}

/// A pupil's sittings; the paper's id takes the room that is left.
fn sittings(record: &TrackRecord) -> Vec<String> {
    let [left, right] = [Side::Left, Side::Right];
    let rows = |room: usize| -> Vec<Vec<String>> {
        let heads = words::HEADS.map(String::from).to_vec();
        let rows = record.all().iter().map(|one| sitting(one, room));
        std::iter::once(heads).chain(rows).collect()
    };
    let sides = [left, left, right, right, left, right, left];
    let bare = columns(&sides, &rows(0));
    let widest = bare.iter().map(|line| width(line)).max().unwrap_or(0);
    let [_, paper, ..] = words::HEADS;
    let room = (COLUMNS - 2 + width(paper)).saturating_sub(widest);
    let room = room.clamp(width(paper), 30);
    columns(&sides, &rows(room))
}

fn sitting(one: &JudgedSitting, room: usize) -> Vec<String> {
    let said = one.said.as_ref();
    let none = || "-".to_owned();
    vec![
        table_day(one.started.date_naive()),
        cut(&one.paper, room),
        one.before.to_string(),
        said.map_or_else(|_| none(), |said| format!("{:.0}", said.expected.0)),
        said.map_or_else(|_| none(), |said| words::range(said.range)),
        plain(one.mark),
        said.map_or_else(
            |reason| words::no_forecast(*reason),
            |said| words::inside(said.inside),
        )
        .to_owned(),
    ]
}

/// A row for each part of a record.
fn held_by(parts: &[(String, TrackRecord)]) -> Vec<String> {
    let [left, right] = [Side::Left, Side::Right];
    let row = |(name, record): &(String, TrackRecord)| {
        let held: RangesHeld = record.tally();
        let expected = held.expected();
        vec![
            cut(name, 24),
            held.judged.to_string(),
            held.inside.to_string(),
            expected.map_or_else(|| "-".to_owned(), words::expected),
            held.not_forecast.to_string(),
        ]
    };
    let heads = words::GROUP_HEADS.map(String::from).to_vec();
    let rows: Vec<_> = std::iter::once(heads)
        .chain(parts.iter().map(row))
        .collect();
    if parts.is_empty() {
        return Vec::new();
    }
    columns(&[left, right, right, right, right], &rows)
}

fn bands(record: &TrackRecord) -> Vec<String> {
    let bands = record.bands();
    if bands.is_empty() {
        return Vec::new();
    }
    let row = |band: &crate::season::hindsight::ChanceBand| {
        vec![
            words::band(band),
            band.count.to_string(),
            percent(band.said),
            words::of(band.came, band.count),
        ]
    };
    let heads = words::BAND_HEADS.map(String::from).to_vec();
    let rows: Vec<_> = std::iter::once(heads)
        .chain(bands.iter().map(row))
        .collect();
    let [left, right] = [Side::Left, Side::Right];
    columns(&[left, right, right, right], &rows)
}

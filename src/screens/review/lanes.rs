//! The lane chart: a lane a question, a column a stretch of time, every visit.

use ratatui::text::Span;

use super::ink::Ink;
use super::model::Look;
use super::study::{Facts, Study};
use super::words::sign;
use crate::analysis::Trust;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::words::text::fit_right;

/// Columns before a lane: chosen, number, sign, and the blanks between.
const BEFORE: usize = 8;
/// Columns behind a lane: the time.
const BEHIND: usize = 8;

pub(super) fn write(ink: &mut Ink<'_>, study: &Study, look: &Look) {
    if study.pacing.trust != Trust::Own {
        super::said::times(ink, study);
    }
    if study.pacing.stays.is_empty() || study.pacing.trust == Trust::NoTimes {
        ink.text("No question was opened under the clock, so there is nothing to draw.");
        return;
    }
    let columns = ink.width.saturating_sub(BEFORE + BEHIND).max(1);
    let ended = study.pacing.whole.ended;
    let axis = Axis { columns, ended };
    ink.plain("━ on the screen   A letter: that answer given   ~ rubbed out   : nobody there");
    ink.plain(&format!("{}{}", " ".repeat(BEFORE), axis.ticks()));
    ink.pin();
    for facts in &study.facts {
        let (mark, style) = ink.choose(facts.number == look.question);
        let label = format!("{:>3} {} ", facts.number, sign(facts.outcome));
        let spans = vec![
            Span::raw(mark),
            Span::styled(label, style),
            Span::raw(" "),
            Span::raw(lane(study, facts.number, &axis)),
            Span::raw(fit_right(&time(facts), BEHIND)),
        ];
        ink.line(spans);
    }
    ink.blank();
    let what = if study.pacing.gaps.is_empty() {
        "Minutes since the start."
    } else {
        "Minutes since the start, breaks and absences in."
    };
    ink.text(what);
    ink.show_the_rest(study.numbers().last() == Some(&look.question));
}

fn time(facts: &Facts) -> String {
    match facts.time {
        _ if facts.visits == 0 => String::new(),
        Some(time) => time.stopwatch(),
        None => "-".to_owned(),
    }
}

/// Time as columns.
pub(super) struct Axis {
    pub(super) columns: usize,
    pub(super) ended: Elapsed,
}

impl Axis {
    /// The column that a moment falls in.
    pub(super) fn column(&self, at: Elapsed) -> usize {
        let columns = u64::try_from(self.columns).unwrap_or(1);
        let ended = self.ended.as_millis().max(1);
        let column = at.as_millis().saturating_mul(columns) / ended;
        usize::try_from(column)
            .unwrap_or(usize::MAX)
            .min(self.columns.saturating_sub(1))
    }

    /// The last moment that falls in a column.
    pub(super) fn end_of(&self, column: usize) -> Elapsed {
        let columns = u64::try_from(self.columns).unwrap_or(1).max(1);
        let next = u64::try_from(column).unwrap_or(u64::MAX).saturating_add(1);
        Elapsed(self.ended.as_millis().saturating_mul(next) / columns)
    }

    /// Minutes written where they are reached, as many as there is room for.
    pub(super) fn ticks(&self) -> String {
        let mut line = vec![' '; self.columns];
        let minutes = self.ended.as_millis() / 60_000;
        let steps = [1, 2, 5, 10, 15, 20, 30, 60, 120];
        let room = u64::try_from(self.columns / 6).unwrap_or(1).max(1);
        let step = steps
            .into_iter()
            .find(|step| minutes / step <= room)
            .unwrap_or(240);
        let mut free = 0;
        for minute in (0..=minutes).step_by(usize::try_from(step).unwrap_or(1)) {
            let text = minute.to_string();
            let from = self.column(Elapsed::minutes(minute));
            if from < free || from + text.len() > self.columns {
                continue;
            }
            for (cell, c) in line.iter_mut().skip(from).zip(text.chars()) {
                *cell = c;
            }
            free = from + text.len() + 1;
        }
        line.into_iter().collect::<String>().trim_end().to_owned()
    }
}

fn lane(study: &Study, number: QuestionNo, axis: &Axis) -> String {
    let mut line = vec![' '; axis.columns];
    let mut paint = |from: usize, to: usize, c: char| {
        for cell in line.iter_mut().take(to + 1).skip(from) {
            *cell = c;
        }
    };
    for stay in study
        .pacing
        .stays
        .iter()
        .filter(|stay| stay.question == number)
    {
        let last = Elapsed(stay.to.as_millis().saturating_sub(1)).max(stay.from);
        paint(axis.column(stay.from), axis.column(last), '━');
    }
    for gap in &study.pacing.gaps {
        let last = Elapsed(gap.to.as_millis().saturating_sub(1)).max(gap.from);
        paint(axis.column(gap.from), axis.column(last), ':');
    }
    for choice in study
        .pacing
        .choices
        .iter()
        .filter(|choice| choice.question == number)
    {
        let at = axis.column(choice.at);
        paint(
            at,
            at,
            choice
                .option
                .map_or('~', crate::domain::labels::Label::as_char),
        );
    }
    line.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_stand_where_they_are_reached() {
        let axis = Axis {
            columns: 60,
            ended: Elapsed::minutes(60),
        };
        assert_eq!(
            (axis.column(Elapsed::minutes(30)), axis.column(axis.ended)),
            (30, 59)
        );
        assert_eq!(axis.end_of(29), Elapsed::minutes(30));
        assert!(axis.ticks().starts_with("0         10        20"));
        let none = Axis {
            columns: 1,
            ended: Elapsed::ZERO,
        };
        assert_eq!(
            (none.column(Elapsed::ZERO), none.ticks()),
            (0, "0".to_owned())
        );
    }
}

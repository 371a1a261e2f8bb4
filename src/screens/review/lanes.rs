//! The lane chart: a lane a question, a column a stretch of time, every visit.

use ratatui::text::Span;

use super::axis::Axis;
use super::study::{QuestionFacts, Study};
use super::view::View;
use crate::analysis::Trust;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::screens::kit::PageWriter;
use crate::words::review as words;
use crate::words::sign::Sign;
use crate::words::text::fit_right;

/// Columns before a lane: chosen, number, sign, and the blanks between.
const BEFORE: usize = 8;
/// Columns behind a lane: the time.
const BEHIND: usize = 8;

pub(super) fn write(ink: &mut PageWriter, study: &Study, view: &View) {
    if *study.analysis.trust() != Trust::Own {
        super::said::times(ink, study);
    }
    if study.analysis.stays().is_empty() || *study.analysis.trust() == Trust::NoTimes {
        ink.text(words::NO_LANES);
        return;
    }
    let columns = ink.width.saturating_sub(BEFORE + BEHIND).max(1);
    let ended = study.analysis.whole().ended;
    let axis = Axis { columns, ended };
    ink.plain(words::LANES);
    ink.plain(&format!("{}{}", " ".repeat(BEFORE), axis.ticks()));
    ink.pin();
    for facts in &study.facts {
        let (mark, style) = ink.choose(facts.number == view.question);
        let label = format!("{:>3} {} ", facts.number, facts.sign());
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
    let gaps = !study.analysis.gaps().is_empty();
    ink.text(words::minutes_since_the_start(gaps));
    ink.show_the_rest(study.numbers().last() == Some(&view.question));
}

fn time(facts: &QuestionFacts) -> String {
    match facts.time {
        _ if facts.visits == 0 => String::new(),
        Some(time) => time.stopwatch(),
        None => String::new(),
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
        .analysis
        .stays()
        .iter()
        .filter(|stay| stay.question == number)
    {
        let last = Elapsed(stay.to.as_millis().saturating_sub(1)).max(stay.from);
        paint(axis.column(stay.from), axis.column(last), '━');
    }
    for gap in study.analysis.gaps() {
        let last = Elapsed(gap.to.as_millis().saturating_sub(1)).max(gap.from);
        paint(axis.column(gap.from), axis.column(last), ':');
    }
    for choice in study
        .analysis
        .choices()
        .iter()
        .filter(|choice| choice.question == number)
    {
        let at = axis.column(choice.at);
        let rubbed_out = Sign::Blank.mark().chars().next().unwrap_or_default();
        let shown = choice.option.map_or(rubbed_out, Label::as_char);
        paint(at, at, shown);
    }
    line.into_iter().collect()
}

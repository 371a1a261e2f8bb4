//! The page of the time per question: bars against the plan or the group's median.

use ratatui::text::Span;

use super::axis::bar;
use super::order::{QuestionsBy, TimesAgainst};
use super::study::{QuestionFacts, Study};
use super::view::View;
use super::{question, said};
use crate::domain::event::How;
use crate::domain::notes::Cause;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::screens::kit::PageWriter;
use crate::words::how::in_a_column;
use crate::words::review as words;
use crate::words::sign::{LATE, MARKED, Sign, legend};
use crate::words::text::{fit, fit_right};
use crate::words::time::difference;

/// Columns before the bar: chosen, number, sign, answer, void or late, time.
const BEFORE: usize = 21;
/// Columns behind the bar: the difference.
const BEHIND: usize = 8;
/// Columns of what a wide page has more: visits, changes, how, flag, cause.
const MORE: usize = 42;
/// With fewer columns left, what a wrong option says is not shown.
const LEAST_SAYS: usize = 24;
/// A longer bar says no more; the room behind goes to what the chosen option says.
const LONGEST_BAR: usize = 80;
/// A page this wide has the columns behind.
const WIDE_ROW: usize = 100;

/// The questions in the order of the page.
pub(super) fn numbers(study: &Study, by: QuestionsBy) -> Vec<QuestionNo> {
    let mut own: Vec<&QuestionFacts> = study.facts.iter().collect();
    if by == QuestionsBy::Time {
        own.sort_by_key(|facts| std::cmp::Reverse(facts.time));
    }
    own.into_iter().map(|facts| facts.number).collect()
}

pub(super) fn write(ink: &mut PageWriter, study: &Study, view: &View) {
    said::times(ink, study);
    let (against, called) = match (view.against, &study.group, &study.opened.header.plan) {
        (TimesAgainst::Group, Some(group), _) => {
            (TimesAgainst::Group, format!("median of {}", group.people))
        }
        (_, _, Some(_)) => (TimesAgainst::Plan, words::PACE_PLAN.to_owned()),
        _ => (TimesAgainst::Plan, words::EVEN_SHARE.to_owned()),
    };
    let sorted = match view.by {
        QuestionsBy::Number => "By number",
        QuestionsBy::Time => "By time",
    };
    ink.plain(&format!("{sorted}; │ {called}   {}", legend(&MARKED)));
    let wide = ink.width >= WIDE_ROW;
    let bar = ink
        .width
        .saturating_sub(BEFORE + BEHIND + if wide { MORE } else { 0 })
        .min(LONGEST_BAR);
    if wide {
        let before = " ".repeat(BEFORE + bar + BEHIND);
        let mut heads = format!("{before}visits  changes  how      flag  cause");
        if ink.width >= BEFORE + bar + BEHIND + MORE + LEAST_SAYS {
            heads.push_str("     what a wrong option says");
        }
        ink.heading(&heads);
    }
    ink.pin();
    let scale = TimeScale::of(study, against, bar);
    let numbers = numbers(study, view.by);
    for number in numbers.iter().copied() {
        if let Some(facts) = study.facts(number) {
            row(ink, study, facts, &scale, (number == view.question, wide));
        }
    }
    let breaks = study.analysis.whole().breaks + study.analysis.whole().away;
    if breaks > Elapsed::ZERO {
        ink.text(&words::in_no_bar(breaks));
    }
    ink.show_the_rest(numbers.last() == Some(&view.question));
}

/// How many columns a span takes, and what it is held against.
struct TimeScale {
    against: TimesAgainst,
    columns: usize,
    longest: Elapsed,
}

impl TimeScale {
    fn of(study: &Study, against: TimesAgainst, columns: usize) -> Self {
        let times = study.facts.iter().filter_map(|facts| facts.time);
        let norms = study.facts.iter().map(|facts| norm(facts, against));
        let longest = times.chain(norms.flatten()).max();
        Self {
            against,
            columns,
            longest: longest.unwrap_or_default(),
        }
    }

    /// The columns of a span, at least one of anything at all.
    fn of_span(&self, span: Elapsed) -> usize {
        if self.longest == Elapsed::ZERO || span == Elapsed::ZERO {
            return 0;
        }
        let columns = u64::try_from(self.columns).unwrap_or(u64::MAX);
        let wide = span.as_millis().saturating_mul(columns) / self.longest.as_millis();
        usize::try_from(wide)
            .unwrap_or(0)
            .clamp(1, self.columns.max(1))
    }
}

const fn norm(facts: &QuestionFacts, against: TimesAgainst) -> Option<Elapsed> {
    match against {
        TimesAgainst::Plan => Some(facts.plan),
        TimesAgainst::Group => facts.median,
    }
}

fn row(
    ink: &mut PageWriter,
    study: &Study,
    facts: &QuestionFacts,
    scale: &TimeScale,
    (chosen, wide): (bool, bool),
) {
    let (mark, style) = ink.choose(chosen);
    let norm = norm(facts, scale.against);
    let time = match facts.time {
        _ if facts.visits == 0 => "unseen".to_owned(),
        Some(time) => time.stopwatch(),
        None => String::new(),
    };
    let label = format!(
        "{:>3} {} {} {:<late$} ",
        facts.number,
        facts.sign(),
        facts.letter(),
        facts.remark(),
        late = LATE.len()
    );
    let shown = facts.time.filter(|_| facts.visits > 0);
    let bar = bar(
        shown.map_or(0, |time| scale.of_span(time)),
        norm.map(|norm| scale.of_span(norm)),
        scale.columns,
    );
    let over = shown.zip(norm).map(|(time, norm)| difference(time, norm));
    let mut spans = vec![
        Span::raw(mark),
        Span::styled(label, style),
        Span::raw(fit_right(&time, 6)),
        Span::raw(" "),
        Span::raw(bar),
        Span::raw(fit_right(&over.unwrap_or_default(), BEHIND)),
    ];
    if wide {
        let cause = study
            .opened
            .notes
            .as_ref()
            .ok()
            .and_then(|notes| notes.cause(facts.number));
        let said = facts.how.filter(|said| *said != How::Worked);
        let cells = [
            fit_right(&facts.visits.to_string(), 6),
            fit_right(&facts.changes.to_string(), 7),
            fit(said.map_or("", in_a_column), 7),
            fit(
                if facts.flagged {
                    Sign::Flag.means()
                } else {
                    ""
                },
                4,
            ),
            fit(cause.map_or("", Cause::word), 8),
        ];
        let text = format!("  {}", cells.join("  "));
        let room = ink
            .width
            .saturating_sub(BEFORE + scale.columns + BEHIND + MORE);
        let says = question::chosen_says(study, facts).filter(|_| room >= LEAST_SAYS);
        let says = says.map_or_else(String::new, |says| format!("  {}", fit(says, room - 2)));
        spans.push(Span::raw(text + &says));
    }
    ink.line(spans);
}

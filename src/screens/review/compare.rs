//! Two sittings beside each other, or one beside the group's median.

use super::axis::bar;
use super::said;
use super::study::{QuestionFacts, Study};
use crate::domain::time::Elapsed;
use crate::screens::kit::PageWriter;
use crate::words::marks;
use crate::words::numbers::plain;
use crate::words::review as words;
use crate::words::sign::{LATE, MARKED, legend};
use crate::words::text::{Side, fit, fit_right};
use crate::words::time::difference;

/// A page of this many columns has bars beside the times.
const WITH_BARS: usize = 100;
/// The columns of one bar.
const BAR: usize = 24;

/// One beside the group's median times and shares right.
pub(super) fn with_group(ink: &mut PageWriter, study: &Study) {
    let Some(group) = &study.group else {
        return;
    };
    ink.plain(&words::beside_the_group(group.people));
    said::times(ink, study);
    ink.plain(&legend(&MARKED));
    ink.heading("             this sitting    median      less    right in the group");
    ink.pin();
    let longest = longest(&[study], |facts| facts.median);
    for facts in &study.facts {
        let share = facts
            .right_in_group
            .map_or_else(String::new, |(right, of)| format!("{right} of {of}"));
        let over = facts.time.filter(|_| facts.visits > 0).zip(facts.median);
        let line = format!(
            "{:>3} {} {} {}  {}  {}   {}",
            facts.number,
            facts.sign(),
            answer(facts),
            fit_right(&time(facts), 9),
            fit_right(&said_span(facts.median), 8),
            fit_right(
                &over.map_or_else(String::new, |(own, norm)| difference(own, norm)),
                8
            ),
            fit(&share, 10),
        );
        let bars = bars(ink.width, longest, facts.time, facts.median);
        ink.plain(&format!("{line}{bars}"));
    }
}

/// Two sittings: figures, and, on the same paper, the questions.
pub(super) fn with_sitting(ink: &mut PageWriter, one: &Study, other: &Study) {
    ink.plain(&format!(
        "Beside: {}",
        other.title(ink.width.saturating_sub(8))
    ));
    for remark in &other.opened.remarks {
        let style = ink.theme.trouble;
        ink.signed("! ", style, remark);
    }
    ink.pin();
    ink.two(
        |ink| figures(ink, one, other),
        |ink| questions(ink, one, other),
    );
}

fn figures(ink: &mut PageWriter, one: &Study, other: &Study) {
    let mut rows = vec![["", "this", "beside"].map(String::from).to_vec()];
    let mut row = |name: &str, figure: &dyn Fn(&Study) -> Option<String>| {
        let cell = |study| figure(study).unwrap_or_else(|| "-".to_owned());
        rows.push(vec![name.to_owned(), cell(one), cell(other)]);
    };
    row(marks::IN_TIME, &|study| {
        let own = &study.known.as_ref()?.marks;
        let max = plain(own.with_guess_round.max);
        Some(format!("{} of {max}", plain(own.in_time.total)))
    });
    row(marks::WORKED_OUT, &|study| {
        Some(plain(study.known.as_ref()?.marks.worked.total))
    });
    row(marks::WITH_GUESS_ROUND, &|study| {
        let own = &study.known.as_ref()?.marks;
        Some(plain(own.with_guess_round.total))
    });
    row(words::BEST_AWARD, &|study| {
        let best = study.known.as_ref()?.marks.best_in_time();
        Some(best.map_or_else(|| "none yet".to_owned(), |award| award.name.clone()))
    });
    row("Time used", &|study| {
        timed(study, study.analysis.whole().used)
    });
    row(words::FIRST_PASS, &|study| {
        Some(study.analysis.passes().first_used?.stopwatch())
    });
    row(words::BLANKS, &|study| {
        Some(study.analysis.blanks().len().to_string())
    });
    row(words::TIME_ON_BLANKS, &|study| {
        let blank = study
            .analysis
            .time_on_all(|pace| pace.sheet.in_time.is_none());
        blank.map(Elapsed::stopwatch)
    });
    row("Sweep", &|study| {
        Some(study.analysis.sweep()?.took.stopwatch())
    });
    row("Answers changed", &|study| {
        Some(study.analysis.changes().len().to_string())
    });
    row(words::FLAGS, &|study| {
        Some(study.analysis.flags().len().to_string())
    });
    row(words::LATER_VISITS, &|study| {
        Some(plain(study.known.as_ref()?.earned.second_pass))
    });
    let right = Side::Right;
    ink.table(&[Side::Left, right, right], &rows);
    if one.known.is_none() || other.known.is_none() {
        let without = if one.known.is_none() { one } else { other };
        said::no_key(ink, without, "its marks");
    }
    ink.blank();
    let same_pupil = one.opened.header.pupil == other.opened.header.pupil;
    if one.version == other.version && !same_pupil {
        ink.text(words::TWO_PUPILS);
    } else if one.version == other.version {
        ink.text(words::SAME_PAPER);
    } else {
        ink.text(words::TWO_PAPERS);
    }
}

fn timed(study: &Study, span: Elapsed) -> Option<String> {
    study.analysis.trust().any().then(|| span.stopwatch())
}

fn questions(ink: &mut PageWriter, one: &Study, other: &Study) {
    if one.version != other.version {
        return sections(ink, one, other);
    }
    ink.heading("               this              beside      less");
    for facts in &one.facts {
        let Some(their) = other.facts(facts.number) else {
            continue;
        };
        let both = facts.time.zip(their.time);
        let both = both.filter(|_| facts.visits > 0 && their.visits > 0);
        ink.plain(&format!(
            "{:>3} {} {} {}  {} {} {}  {}",
            facts.number,
            facts.sign(),
            answer(facts),
            fit_right(&time(facts), 6),
            their.sign(),
            answer(their),
            fit_right(&time(their), 6),
            fit_right(
                &both.map_or_else(String::new, |(own, their)| difference(own, their)),
                7
            ),
        ));
    }
    ink.plain(&legend(&MARKED));
}

/// On two papers only the sections can be held against each other, each with its own marks.
fn sections(ink: &mut PageWriter, one: &Study, other: &Study) {
    for (name, study) in [("This sitting", one), ("Beside", other)] {
        let Some(known) = &study.known else {
            continue;
        };
        ink.block(name);
        let mut rows = vec![["", "marks", "of", "time"].map(String::from).to_vec()];
        let paces = &known.earned.sections;
        for section in &known.marks.with_guess_round.sections {
            let pace = paces.iter().find(|pace| pace.name == section.name);
            rows.push(vec![
                section.name.clone(),
                plain(section.marks),
                plain(section.max),
                said_span(pace.and_then(|pace| pace.time)),
            ]);
        }
        let right = Side::Right;
        ink.table(&[Side::Left, right, right, right], &rows);
    }
}

fn answer(facts: &QuestionFacts) -> String {
    format!(
        "{} {:<late$}",
        facts.letter(),
        facts.remark(),
        late = LATE.len()
    )
}

fn time(facts: &QuestionFacts) -> String {
    if facts.visits == 0 {
        "unseen".to_owned()
    } else {
        said_span(facts.time)
    }
}

fn said_span(span: Option<Elapsed>) -> String {
    span.map_or_else(String::new, Elapsed::stopwatch)
}

fn longest(studies: &[&Study], norm: impl Fn(&QuestionFacts) -> Option<Elapsed>) -> Elapsed {
    let all = studies.iter().flat_map(|study| &study.facts);
    let spans = all.flat_map(|facts| [facts.time, norm(facts)]);
    spans.flatten().max().unwrap_or_default()
}

/// A bar with a stroke where the other's time ends, where there is room.
fn bars(width: usize, longest: Elapsed, own: Option<Elapsed>, norm: Option<Elapsed>) -> String {
    if width < WITH_BARS || longest == Elapsed::ZERO {
        return String::new();
    }
    let room = if width >= 2 * WITH_BARS - 20 {
        BAR * 4
    } else {
        BAR
    };
    let columns = |span: Elapsed| {
        let wide = u64::try_from(room).unwrap_or(0) * span.as_millis() / longest.as_millis();
        usize::try_from(wide).unwrap_or(0)
    };
    bar(own.map_or(0, columns), norm.map(columns), room + 1)
}

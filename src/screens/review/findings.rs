//! The page of the findings: what a tutor would say, each with its evidence.

use ratatui::text::{Line, Span};

use super::said;
use super::study::{Study, Told};
use super::view::View;
use crate::domain::thresholds::Limit;
use crate::screens::kit::{PageWriter, TEXT_WIDTH, WIDE};
use crate::words::count::counted;
use crate::words::review as words;
use crate::words::sign::OWN;
use crate::words::text::wrap;
use crate::words::thresholds::described;

pub(super) fn write(ink: &mut PageWriter, study: &Study, view: &View) {
    ink.plain(&count(study, view));
    ink.pin();
    if ink.width < WIDE {
        return list(ink, study, view);
    }
    ink.two(|ink| list(ink, study, view), |ink| thresholds(ink, study));
}

/// The thresholds in force, where there is room for them.
fn thresholds(ink: &mut PageWriter, study: &Study) {
    ink.heading(&words::thresholds_heading(OWN));
    for limit in described(&study.opened.limits) {
        let own = if limit.own { OWN } else { "" };
        let value = if limit.value.is_empty() {
            "none"
        } else {
            &limit.value
        };
        let sign = format!("{value:>5} {own:<room$} ", room = OWN.len());
        ink.signed(&sign, ratatui::style::Style::new(), limit.decides);
    }
}

fn list(ink: &mut PageWriter, study: &Study, view: &View) {
    let shown = view.findings(study);
    said::no_key(ink, study, words::WHAT_WAS_EARNED);
    if shown.is_empty() {
        ink.blank();
        ink.text(words::NOTHING_STANDS_OUT);
    }
    let mut tone = None;
    for (index, told) in shown.iter().enumerate() {
        if tone != Some(told.tone) {
            tone = Some(told.tone);
            ink.block(words::tone(told.tone));
        }
        finding(ink, told, index == view.finding);
    }
    ink.blank();
    ink.text(&held_against(study));
    ink.show_the_rest(view.finding + 1 >= shown.len());
}

fn count(study: &Study, view: &View) -> String {
    let (few, all) = (study.told.len(), study.all.len());
    if view.every_finding || few == all {
        format!("{}.", counted(all, "finding"))
    } else {
        words::some_findings(few, all)
    }
}

fn finding(ink: &mut PageWriter, told: &Told, chosen: bool) {
    let from = ink.body.lines.len();
    let (pointer, own) = ink.choose(chosen);
    let lines = wrap(
        told.words.trim_end(),
        ink.width.min(TEXT_WIDTH).saturating_sub(4),
    );
    for (index, line) in lines.into_iter().enumerate() {
        let spans = if index == 0 {
            vec![Span::raw(pointer), Span::raw(" "), Span::styled(line, own)]
        } else {
            vec![Span::raw("    "), Span::raw(line)]
        };
        ink.body.line(Line::from(spans));
    }
    if chosen {
        ink.body.focus = Some(from..ink.body.lines.len());
    }
}

/// What the sitting is held against.
fn held_against(study: &Study) -> String {
    let least = study.opened.limits.count(Limit::GroupLeast);
    let people = study.group.as_ref().map(|group| group.people);
    words::held_against(people, least)
}

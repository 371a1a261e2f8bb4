//! Feedback as one page that stands alone: no script, no network, two sides of A4 at most.
//!
//! Every text that came from a file goes through [`tidy`](tidy::tidy) and then through the
//! template's own escaping; nothing is ever put in as it stands but the style sheet.

mod captions;
pub mod content;
pub mod fit;
pub mod index;
pub mod pictures;
pub mod style;
pub mod tidy;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::domain::header::INVENTED;
use crate::reports::feedback::content::{Again, Feedback, Marks, TimeSpent};
use crate::words::feedback as words;
use crate::words::numbers::{marks_in_words, plain, ranges};
use crate::words::result::on_another_day;
use crate::words::text::capital;
use crate::words::time::date_in_words;
use captions::{MOST_BARS, SENTENCE, TITLE, remember, time_notes};
use fit::{Fitted, fitted};
use pictures::{bars, curve};
use tidy::tidy;

/// Writes one pupil's page.
pub fn page(feedback: &Feedback) -> String {
    let title = tidy(&feedback.outline.title, TITLE);
    let name = tidy(&format!("Feedback for {}: {title}", feedback.pupil), 70);
    let fitted = fitted(feedback);
    let inside = html! {
        header {
            h1 { "Feedback for " bdi { (feedback.pupil) } }
            p { (title) ", " (date_in_words(feedback.day)) }
            @if feedback.invented { p { strong { (INVENTED) } } }
            p { (feedback.closing) @for line in &feedback.done { " " (line) } }
        }
        (first_pair(feedback))
        div class="pair" {
            (listed("well", words::WELL, &feedback.well, None))
            (listed("next", "Next time", &feedback.next, feedback.caution.as_deref()))
        }
        (again(&fitted))
        (time_spent(&feedback.hour))
        div class="pair" {
            @if !feedback.habit.is_empty() {
                (paragraphs("habit", words::HABIT, &feedback.habit))
            }
            (paragraphs("rules", "Please remember", &remember(feedback)))
        }
    };
    document(&name, &inside)
}

/// A whole page around its inside.
fn document(title: &str, inside: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(style::sheet())) }
            }
            body { main class="sheet" { (inside) } }
        }
    };
    page.into_string() + "\n"
}

/// The mark, and how it came about.
fn first_pair(feedback: &Feedback) -> Markup {
    let drawn = feedback.hour.curve.as_ref().zip(feedback.marks.as_ref());
    html! {
        @if let Some(marks) = &feedback.marks {
            div class="pair" {
                (mark(marks, drawn.is_none()))
                @if let Some((curve, marks)) = drawn {
                    section class="print-whole" aria-labelledby="minute" {
                        h2 id="minute" { (words::BY_THE_MINUTE) }
                        (curve::curve(curve, &marks.boundaries))
                        p { (words::CURVE) @if !marks.boundaries.is_empty() { " " (words::BOUNDARIES) } }
                    }
                }
            }
        }
    }
}

fn mark(marks: &Marks, alone: bool) -> Markup {
    html! {
        section aria-labelledby="mark" {
            h2 id="mark" { "Your mark" }
            p class="mark" { (plain(marks.in_time)) " of " (marks_in_words(marks.max)) }
            p {
                (words::kind_of_mark(marks.timed))
                @if let Some(range) = marks.range { (on_another_day(range)) }
                "."
                @for line in &marks.beside { " " (line) }
            }
            @for line in &marks.awards { p { (capital(&tidy(line, SENTENCE))) } }
            @if alone && !marks.boundaries.is_empty() { p { (words::BOUNDARIES) } }
        }
    }
}

fn listed(id: &str, heading: &str, lines: &[String], before: Option<&str>) -> Markup {
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (heading) }
            @if let Some(before) = before { p { (before) } }
            ul { @for line in lines { li { (tidy(line, SENTENCE)) } } }
        }
    }
}

fn paragraphs(id: &str, heading: &str, lines: &[String]) -> Markup {
    html! {
        section class="print-whole" aria-labelledby=(id) {
            h2 id=(id) { (heading) }
            @for line in lines { p { (tidy(line, SENTENCE)) } }
        }
    }
}

fn time_spent(hour: &TimeSpent) -> Markup {
    let shown = shown_bars(hour);
    let (left, right) = shown.split_at(shown.len().div_ceil(2));
    let longest = bars::longest(&shown);
    html! {
        section class="print-whole" aria-labelledby="time" {
            h2 id="time" { (if shown.is_empty() { "Your answers" } else { words::TIME_ON_EACH }) }
            @for note in time_notes(hour) { p { (tidy(&note, 2 * SENTENCE)) } }
            @if !shown.is_empty() {
                div class="pair" {
                    div { (bars::bars("bars-1", left, longest)) }
                    @if !right.is_empty() { div { (bars::bars("bars-2", right, longest)) } }
                }
            }
        }
    }
}

/// The bars that are drawn: all of them, or those of the longest times.
fn shown_bars(hour: &TimeSpent) -> Vec<content::QuestionBar> {
    let mut shown = hour.bars.clone();
    if shown.len() > MOST_BARS {
        shown.sort_by_key(|bar| (std::cmp::Reverse(bar.time), bar.number));
        shown.truncate(MOST_BARS);
        shown.sort_by_key(|bar| bar.number);
    }
    shown
}

fn again(fitted: &Fitted<'_>) -> Markup {
    if fitted.shown.is_empty() && fitted.rest.is_empty() {
        return html! {};
    }
    html! {
        section class="again-all" aria-labelledby="again" {
            h2 id="again" { (words::TRY_AGAIN) }
            @if !fitted.shown.is_empty() {
                ol class="again" { @for again in &fitted.shown { (question(again)) } }
            }
            @if !fitted.rest.is_empty() {
                p {
                    (if fitted.shown.is_empty() { words::ANOTHER_GO } else { words::ANOTHER_GO_TOO })
                    (ranges(&fitted.rest)) "."
                }
            }
        }
    }
}

fn question(again: &Again) -> Markup {
    html! {
        li {
            @for (index, line) in fit::lines(again).iter().enumerate() {
                p { @if index == 0 { strong { (line) } } @else { (line) } }
            }
        }
    }
}

//! The sheet as a page to print, with room to write.

use maud::{Markup, html};

use super::{FindingOnSheet, LostMark, TalkSheet, named};
use crate::domain::notes::Cause;
use crate::domain::step::Step;
use crate::reports::document::document;
use crate::reports::document::tidy::tidy;
use crate::words::cause::means;
use crate::words::step::{agreed_and_when, to_do};
use crate::words::talk as words;
use crate::words::text::capital;

/// The page.
pub fn page(sheet: &TalkSheet) -> String {
    let title = words::title(&sheet.header.pupil);
    let inside = html! {
        header {
            h1 { (title) }
            p { (tidy(&words::about(&sheet.header))) }
            @for notice in &sheet.notices { p { strong { (tidy(notice)) } } }
            p { (words::WHAT_IT_IS) }
        }
        @if let Some(before) = &sheet.before {
            section class="print-whole" aria-labelledby="before" {
                h2 id="before" { (words::LAST_STEP) }
                p { (tidy(&agreed_and_when(before))) }
            }
        }
        section class="print-whole" aria-labelledby="first" {
            h2 id="first" { (words::PUPIL_FIRST) }
            @for question in words::ASK_FIRST {
                p { (question) }
                p class="room" {}
            }
        }
        section aria-labelledby="findings" {
            h2 id="findings" { (words::FINDINGS) }
            @if sheet.findings.is_empty() {
                p { (words::NO_FINDINGS) }
            } @else {
                p { (tidy(&words::what_lines_are(&sheet.file))) }
                ol { @for own in &sheet.findings { (finding(own)) } }
            }
        }
        section aria-labelledby="lost" {
            h2 id="lost" { (words::LOST) }
            (lost(sheet))
        }
        section class="print-whole" aria-labelledby="step" {
            h2 id="step" { (words::STEP) }
            @match sheet.standing() {
                Some((step, _)) => {
                    p { strong { (tidy(&to_do(step))) } }
                    @match step {
                        Step::Listed(_) => p { (words::JUDGED_LATER) },
                        Step::OwnWords(_) => p { (words::NOT_JUDGED) },
                    }
                }
                None => {
                    p { (words::NO_STEP) }
                    p class="room" { (words::STEP_ROOM) }
                }
            }
            @if let Some(own) = sheet.own.as_ref().filter(|own| !own.state.is_open()) {
                p { (tidy(&agreed_and_when(own))) }
            }
        }
        section aria-labelledby="rules" {
            h2 id="rules" { "Please remember" }
            @for line in &sheet.remember { p { (tidy(line)) } }
        }
    };
    document(&title, &inside)
}

fn finding(own: &FindingOnSheet) -> Markup {
    let (lines, more) = named(&own.log);
    html! {
        li class="print-whole" {
            p { strong { (words::tone(own.finding.tone())) ":" } " " (tidy(own.words())) }
            ul class="soft" {
                @for line in lines.iter().chain(&more) { li { (tidy(line)) } }
            }
        }
    }
}

fn lost(sheet: &TalkSheet) -> Markup {
    let all = match &sheet.lost {
        Err(why) => return html! { p { (why) } },
        Ok(all) if all.is_empty() => return html! { p { (words::NONE_LOST) } },
        Ok(all) => all,
    };
    html! {
        p { (words::HOW_LOST) }
        ol class="again" { @for own in all { (lost_mark(own)) } }
        h3 { (words::CAUSES) }
        ul class="rows" {
            @for cause in Cause::ALL {
                li { strong { (capital(cause.word())) } ": " (means(cause)) "." }
            }
        }
    }
}

fn lost_mark(own: &LostMark) -> Markup {
    let said = words::lost(own.question, own.given, own.marks, own.time, own.visits);
    html! {
        li {
            p { (said) }
            p class="fields" {
                span { (words::PUPILS_CAUSE) " " span class="gap" {} }
                span {
                    (words::TUTORS_CAUSE) " "
                    @match own.cause {
                        Some(cause) => (cause.word()),
                        None => span class="gap" {},
                    }
                }
            }
        }
    }
}

//! Feedback as one page that stands alone: no script, no network.
//!
//! The words come first, then the times, then the questions to try again, each of them whole. On paper
//! it takes as many sides as that needs.
//!
//! [`document`](super::document) has the head, the style and how texts from files are made fit.

pub mod content;
pub mod index;
pub mod pictures;

use maud::{Markup, html};

use crate::domain::header::INVENTED;
use crate::domain::step::Step;
use crate::reports::document::document;
use crate::reports::document::tidy::tidy;
use crate::reports::feedback::content::{Again, Feedback, MOST_AT_ONCE, Marks, TimeSpent};
use crate::reports::question::{Drawing, figure, options, stem};
use crate::words::another_day;
use crate::words::feedback::{self as words, State};
use crate::words::notices::{last_for_others, last_of_all};
use crate::words::numbers::{marks_in_words, plain};
use crate::words::step::{YOUR_STEP, for_parents_to_know, to_do};
use crate::words::text::capital;
use crate::words::time::day;
use pictures::{bars, curve};

/// The most columns of a figure that one of the two columns of questions has room for.
const COLUMN: usize = 34;
/// A question with more text than this would fill such a column from top to bottom.
const LONG: usize = 1200;
/// The most bars that one below another fit on a side.
const ROWS: usize = 30;

/// Who reads a page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PageReader {
    /// The pupil.
    #[default]
    Pupil,
    /// The pupil's parents: less than a page, without a question's text, a rank or an award.
    Parents,
}

/// Writes one pupil's page.
pub fn page(feedback: &Feedback, reader: PageReader) -> String {
    let title = tidy(&feedback.outline.title);
    let heading = match reader {
        PageReader::Pupil => format!("Feedback for {}: {title}", feedback.pupil),
        PageReader::Parents => words::for_parents(&feedback.pupil),
    };
    document(&heading, &inside(feedback, reader, &PageIds::default()))
}

/// Writes the pages of several sittings as one, each on sides of its own.
pub fn joined<'a>(all: impl IntoIterator<Item = &'a Feedback>, reader: PageReader) -> String {
    let pages = (1..).zip(all).map(|(number, feedback)| {
        let ids = PageIds(format!("{JOINED_ID}{number}"));
        inside(feedback, reader, &ids)
    });
    document(
        words::JOINED,
        &html! { @for page in pages { div class="side" { (page) } } },
    )
}

/// What is in every id of joined pages.
const JOINED_ID: &str = "-of-";

/// What stands behind each id of a page, so that pages can be joined.
#[derive(Clone, Debug, Default)]
struct PageIds(String);

impl PageIds {
    fn of(&self, id: &str) -> String {
        format!("{id}{}", self.0)
    }
}

/// The id that names a landmark; none on joined pages, where the same names would come again and again.
fn landmark(id: &str) -> Option<&str> {
    (!id.contains(JOINED_ID)).then_some(id)
}

fn inside(feedback: &Feedback, reader: PageReader, ids: &PageIds) -> Markup {
    match reader {
        PageReader::Pupil => for_pupil(feedback, ids),
        PageReader::Parents => for_parents(feedback, ids),
    }
}

fn for_pupil(feedback: &Feedback, ids: &PageIds) -> Markup {
    let title = tidy(&feedback.outline.title);
    html! {
        header {
            h1 { "Feedback for " bdi { (feedback.pupil) } }
            p { (title) ", " (day(feedback.day)) }
            @if feedback.invented { p { strong { (INVENTED) } } }
            @if let Some(line) = &feedback.withdrawn { p { strong { (line) } } }
            p { (feedback.closing) @for line in &feedback.done { " " (line) } }
            @if let Some(line) = &feedback.left_out { p { (line) } }
        }
        @if let Some(sentence) = &feedback.from_tutor {
            (from_tutor(&ids.of("tutor"), words::FROM_TUTOR, sentence))
        }
        (first_pair(feedback, ids))
        (agreed_step(feedback, ids))
        div class="pair" {
            (listed(&ids.of("well"), words::WELL, &feedback.well, None))
            (listed(&ids.of("next"), "Next time", &feedback.next, feedback.caution.as_deref()))
        }
        div class="pair" {
            @if !feedback.habit.is_empty() {
                (paragraphs(&ids.of("habit"), words::HABIT, &feedback.habit))
            }
            (paragraphs(&ids.of("rules"), "Please remember", &remember(feedback)))
        }
        (time_spent(&feedback.hour, ids))
        @if !feedback.tried.is_empty() {
            (paragraphs(&ids.of("tried"), words::TRIED_AGAIN, &feedback.tried))
        }
        (try_again(&feedback.again, ids))
    }
}

/// What became of the step agreed before, and the step for next time.
fn agreed_step(feedback: &Feedback, ids: &PageIds) -> Markup {
    let next = feedback
        .step
        .as_ref()
        .map(|step| words::step_for_next_time(&to_do(step)));
    let lines: Vec<_> = feedback.judged.iter().cloned().chain(next).collect();
    html! {
        @if !lines.is_empty() { (paragraphs(&ids.of("step"), YOUR_STEP, &lines)) }
    }
}

fn step_for_parents(step: &Step) -> Vec<String> {
    let known = for_parents_to_know(step).map(str::to_owned);
    [to_do(step)].into_iter().chain(known).collect()
}

/// Three things, what helps at home, and the rules (common practice, no source).
fn for_parents(feedback: &Feedback, ids: &PageIds) -> Markup {
    let title = tidy(&feedback.outline.title);
    let well = few(&feedback.well, 2);
    let next = match (&feedback.step, feedback.stopped) {
        (None, false) => few(&feedback.next, 1),
        _ => &[],
    };
    let spoken_to = words::spoken_to(well.iter().chain(next));
    let helps = words::helps(feedback.stopped, feedback.blanks, feedback.any_right);
    let rules = last_for_others(&feedback.outline, feedback.today);
    html! {
        header {
            h1 { (words::for_parents(&feedback.pupil)) }
            p { (title) ", " (day(feedback.day)) }
            @if feedback.invented { p { strong { (INVENTED) } } }
            @if let Some(line) = &feedback.withdrawn { p { strong { (line) } } }
            p { (words::ABOUT_PARENTS) @if let Some(line) = spoken_to { " " (line) } }
            @if let Some(line) = &feedback.left_out { p { (line) } }
            @if feedback.stopped { p { (words::PARENTS_STOPPED) } }
        }
        @if let Some(marks) = &feedback.marks {
            section aria-labelledby=[landmark(&ids.of("mark"))] {
                h2 id=(ids.of("mark")) { (words::PARENTS_MARK) }
                p { (words::mark_for_parents(marks.in_time, marks.max, marks.timed)) }
                @if feedback.outline.rule.takes_marks_away() { p { (words::COSTS) } }
                @if let Some(range) = marks.range { p { (another_day::for_parents(range)) } }
            }
        }
        @if let Some(sentence) = &feedback.from_tutor {
            (from_tutor(&ids.of("tutor"), words::PARENTS_TUTOR, sentence))
        }
        (listed(&ids.of("well"), words::PARENTS_WELL, well, None))
        @if let Some(said) = words::causes_for_parents(&feedback.causes) {
            (paragraphs(&ids.of("causes"), words::PARENTS_CAUSES, std::slice::from_ref(&said)))
        }
        @if let Some(step) = &feedback.step {
            (paragraphs(&ids.of("next"), words::PARENTS_STEP, &step_for_parents(step)))
        } @else if !next.is_empty() {
            (listed(&ids.of("next"), words::PARENTS_NEXT, next, feedback.caution.as_deref()))
        }
        section aria-labelledby=[landmark(&ids.of("help"))] {
            h2 id=(ids.of("help")) { (words::PARENTS_HELP) }
            ul { @for line in &helps { li { (line) } } }
        }
        (paragraphs(&ids.of("rules"), "Please remember", &once(rules, feedback)))
    }
}

fn few<T>(lines: &[T], most: usize) -> &[T] {
    lines.get(..most).unwrap_or(lines)
}

/// The mark, and how it came about.
fn first_pair(feedback: &Feedback, ids: &PageIds) -> Markup {
    let drawn = feedback.hour.curve.as_ref().zip(feedback.marks.as_ref());
    html! {
        @if let Some(marks) = &feedback.marks {
            div class="pair" {
                (mark(marks, drawn.is_none(), ids))
                @if let Some((curve, marks)) = drawn {
                    section class="print-whole" aria-labelledby=[landmark(&ids.of("minute"))] {
                        h2 id=(ids.of("minute")) { (words::BY_THE_MINUTE) }
                        (curve::curve(&ids.of("minutes"), curve, &marks.boundaries))
                        p { (words::CURVE) @if !marks.boundaries.is_empty() { " " (words::BOUNDARIES) } }
                    }
                }
            }
        }
    }
}

fn mark(marks: &Marks, alone: bool, ids: &PageIds) -> Markup {
    html! {
        section aria-labelledby=[landmark(&ids.of("mark"))] {
            h2 id=(ids.of("mark")) { "Your mark" }
            p class="mark" { (plain(marks.in_time)) " of " (marks_in_words(marks.max)) }
            p {
                (words::kind_of_mark(marks.timed)) "."
                @for line in &marks.beside { " " (line) }
            }
            @for line in &marks.awards { p { (capital(&tidy(line))) } }
            @if alone && !marks.boundaries.is_empty() { p { (words::BOUNDARIES) } }
            @if let Some(range) = marks.range { p { (another_day::yours(range)) } }
        }
    }
}

fn listed(id: &str, heading: &str, lines: &[String], before: Option<&str>) -> Markup {
    html! {
        section aria-labelledby=[landmark(id)] {
            h2 id=(id) { (heading) }
            @if let Some(before) = before { p { (before) } }
            ul { @for line in lines { li { (tidy(line)) } } }
        }
    }
}

/// The tutor's own sentence, in whatever language and direction it is written.
fn from_tutor(id: &str, heading: &str, sentence: &str) -> Markup {
    html! {
        section class="print-whole" aria-labelledby=[landmark(id)] {
            h2 id=(id) { (heading) }
            p dir="auto" { (tidy(sentence)) }
        }
    }
}

fn paragraphs(id: &str, heading: &str, lines: &[String]) -> Markup {
    html! {
        section class="print-whole" aria-labelledby=[landmark(id)] {
            h2 id=(id) { (heading) }
            @for line in lines { p { (tidy(line)) } }
        }
    }
}

fn remember(feedback: &Feedback) -> Vec<String> {
    once(last_of_all(&feedback.outline, feedback.today), feedback)
}

/// Without what stands further up.
fn once(mut lines: Vec<String>, feedback: &Feedback) -> Vec<String> {
    lines.retain(|line| feedback.caution.as_ref() != Some(line));
    lines
}

fn time_spent(hour: &TimeSpent, ids: &PageIds) -> Markup {
    let longest = bars::longest(&hour.bars);
    let heading = if hour.bars.is_empty() {
        words::YOUR_ANSWERS
    } else {
        words::TIME_ON_EACH
    };
    html! {
        section class="print-whole" aria-labelledby=[landmark(&ids.of("time"))] {
            h2 id=(ids.of("time")) { (heading) }
            @for note in time_notes(hour) { p { (tidy(&note)) } }
            @for (at, side) in hour.bars.chunks(2 * ROWS).enumerate() {
                @let (left, right) = side.split_at(side.len().div_ceil(2));
                div class="pair print-whole" {
                    div { (bars::bars(&ids.of(&format!("bars-{}", 2 * at + 1)), left, longest)) }
                    @if !right.is_empty() {
                        div { (bars::bars(&ids.of(&format!("bars-{}", 2 * at + 2)), right, longest)) }
                    }
                }
            }
        }
    }
}

fn time_notes(hour: &TimeSpent) -> Vec<String> {
    let mut notes = hour.notes.clone();
    notes.extend(hour.sheet.iter().cloned());
    if !hour.bars.is_empty() {
        let all = [
            State::Right,
            State::Wrong,
            State::Blank,
            State::Answered,
            State::Void,
        ];
        let has = |state: &State| hour.bars.iter().any(|bar| bar.state == *state);
        notes.push(words::bars(all.into_iter().filter(has), hour.plan));
    }
    notes
}

/// The nearest questions first, the others after them.
fn try_again(again: &[Again], ids: &PageIds) -> Markup {
    let (first, later) = again.split_at(again.len().min(MOST_AT_ONCE));
    html! {
        (questions(&ids.of("again"), words::TRY_AGAIN, first))
        (questions(&ids.of("later"), words::TRY_LATER, later))
    }
}

fn questions(id: &str, heading: &str, again: &[Again]) -> Markup {
    html! {
        @if !again.is_empty() {
            section aria-labelledby=[landmark(id)] {
                h2 id=(id) { (heading) }
                ol class="again" { @for again in again { (question(again)) } }
            }
        }
    }
}

fn question(again: &Again) -> Markup {
    let asked = again
        .stem
        .clone()
        .unwrap_or_else(|| words::about(&again.topics));
    let help = help(again);
    let texts = again.options.iter().map(|(_, option)| option);
    let letters = help.iter().chain(texts).chain([&asked]);
    let letters: usize = letters.map(|text| text.chars().count()).sum();
    let columns = again.drawing.as_ref().map_or(0, Drawing::columns);
    html! {
        li class=[(columns > COLUMN || letters > LONG).then_some("across")] {
            p { strong { (words::question_again(again.number, again.given)) } }
            @if !asked.is_empty() { (stem(&asked)) }
            @if let Some(drawing) = &again.drawing { (figure(drawing)) }
            @if !again.options.is_empty() {
                (options(again.options.iter().map(|(label, text)| (*label, text.as_str()))))
            }
            @if let Some(cause) = again.cause { p { (words::agreed(cause)) } }
            @for line in &help { p { (tidy(line)) } }
        }
    }
}

/// The hint; answer, working and what leads to the option that was chosen, where they are asked for.
fn help(again: &Again) -> Vec<String> {
    let mut help: Vec<_> = again.hint.iter().map(|hint| words::hint(hint)).collect();
    if let Some(working) = &again.working {
        help.push(words::answer(&working.answers, working.text.as_deref()));
        let lure = working.lure.as_ref().zip(again.given);
        help.extend(lure.map(|(lure, given)| words::common_way(given, lure)));
    }
    help
}

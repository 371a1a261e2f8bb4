//! What is printed of a paper: the paper, homework, an answer sheet, a plan card; and, for the tutor, its key.
//!
//! No page but the key's is made from a key: [`PrintedPaper`] holds none.

use chrono::NaiveDate;
use maud::{Markup, html};

use crate::domain::header::{Alias, Arrangements, PacePlan};
use crate::domain::key::{Key, Void};
use crate::domain::labels::Label;
use crate::domain::paper::{Outline, Paper, Question};
use crate::domain::rule::QuestionNo;
use crate::domain::time::{Elapsed, from_minutes};
use crate::reports::document::document_in;
use crate::reports::document::style::LetterSize;
use crate::reports::document::tidy::tidy;
use crate::reports::question::{Drawing, figure, options, stem};
use crate::stats::real;
use crate::words::instructions::{OwnAims, TextBlock, habit, read_out};
use crate::words::plan::plan_lines;
use crate::words::print as words;

/// A paper that is printed, without its key.
#[derive(Clone, Copy, Debug)]
pub struct PrintedPaper<'a> {
    /// The paper.
    pub paper: &'a Paper,
    /// For whom, where it is for one pupil.
    pub pupil: Option<&'a Alias>,
    /// The time before extra time.
    pub standard: Elapsed,
    /// What is arranged, and which questions are printed.
    pub arranged: &'a Arrangements,
    /// How large the letters are.
    pub size: LetterSize,
    /// The day.
    pub today: NaiveDate,
}

/// What is printed.
#[derive(Clone, Copy, Debug)]
pub enum PrintedPage<'a> {
    /// The questions, with what is read out before them.
    Paper,
    /// The questions with room for working, and no clock.
    Homework,
    /// A row of letters for each question.
    AnswerSheet,
    /// The checkpoints of a plan, to carry.
    PlanCard(&'a PacePlan),
}

impl<'a> PrintedPaper<'a> {
    /// The questions that are printed, in order.
    pub fn questions(self) -> impl Iterator<Item = (QuestionNo, &'a Question)> {
        let only = self.arranged.only.as_ref();
        let numbers = self.paper.outline.numbers();
        let numbers = numbers.filter(move |number| only.is_none_or(|only| only.holds(*number)));
        numbers.filter_map(move |number| Some((number, self.paper.question(number)?)))
    }

    /// A page with these parts, each of them on sides of its own.
    pub fn page(self, parts: &[PrintedPage<'_>]) -> String {
        let title = tidy(&self.paper.outline.title);
        let heads = parts.iter().map(|part| part.heading(&title));
        let heads: Vec<_> = heads.collect();
        let inside = html! {
            @for (part, heading) in parts.iter().zip(&heads) {
                div class="side" {
                    h1 { (heading) }
                    (self.part(*part))
                }
            }
        };
        document_in(self.size, &heads.join(", "), &inside)
    }

    fn part(self, part: PrintedPage<'_>) -> Markup {
        match part {
            PrintedPage::Paper => self.whole(),
            PrintedPage::Homework => self.homework(),
            PrintedPage::AnswerSheet => self.answer_sheet(),
            PrintedPage::PlanCard(plan) => self.plan_card(plan),
        }
    }

    /// `Alias: otter`, and lines to be filled in.
    fn filled_in(self, fields: &[&str]) -> Markup {
        html! {
            p class="fields" {
                @match self.pupil {
                    Some(pupil) => { span { (words::ALIAS) " " strong { bdi { (pupil) } } } " " }
                    None => (field(words::ALIAS)),
                }
                @for name in fields { (field(name)) }
            }
        }
    }

    fn whole(self) -> Markup {
        let blocks = read_out(
            self.paper,
            self.standard,
            self.arranged,
            OwnAims::default(),
            self.today,
        );
        html! {
            (self.filled_in(&[words::DATE]))
            @for block in &blocks { (block_of(block)) }
            div class="side" {
                @for (number, question) in self.questions() {
                    (self.question(number, question))
                }
            }
            (source(self.paper))
        }
    }

    fn homework(self) -> Markup {
        let room = html! {
            div class="working" {}
            p class="fields" { (field(words::ANSWER)) (field(words::CATCH)) }
        };
        html! {
            (self.filled_in(&[words::DATE]))
            p { (words::HOMEWORK) }
            @for (number, question) in self.questions() {
                div class="try" { (self.question(number, question)) (room) }
            }
            (source(self.paper))
        }
    }

    /// A question, never broken across sides.
    fn question(self, number: QuestionNo, question: &Question) -> Markup {
        let id = format!("question-{number}");
        let drawing = Drawing::of(question);
        let labels = self.paper.outline.labels(number).iter();
        let texts = question.options.iter().map(String::as_str);
        let columns = drawing.as_ref().map_or(0, Drawing::columns);
        html! {
            section class={ "question" (PaperSide::for_columns(self.size, columns).class()) } aria-labelledby=(id) {
                h2 id=(id) { (words::question(number)) }
                @match &question.stem {
                    Some(text) => (stem(text)),
                    None => p { (words::ON_YOUR_PAPER) },
                }
                @if let Some(drawing) = &drawing { (figure(drawing)) }
                @if !question.options.is_empty() { (options(labels.zip(texts))) }
            }
        }
    }

    fn answer_sheet(self) -> Markup {
        let row = |number: QuestionNo| {
            html! {
                li {
                    span class="count" { (number) } " "
                    @for label in self.paper.outline.labels(number).iter() {
                        span class="letter" { (label) } " "
                    }
                }
            }
        };
        html! {
            (self.filled_in(&[words::DATE, words::STARTED, words::FINISHED]))
            @for line in words::HOW_TO_FILL { p { (line) } }
            ol class="rows" { @for (number, _) in self.questions() { (row(number)) } }
        }
    }

    fn plan_card(self, plan: &PacePlan) -> Markup {
        let habit = habit(&self.paper.outline, self.arranged, self.today);
        let said = plan_lines(plan).into_iter().chain(habit);
        html! {
            div class="card" {
                (self.filled_in(&[words::STARTED]))
                table {
                    thead { tr { @for head in words::PLAN_HEADS { th scope="col" { (head) } } } }
                    tbody {
                        @for checkpoint in &plan.checkpoints {
                            tr {
                                th scope="row" { (words::question(checkpoint.question)) }
                                td { (words::used(from_minutes(checkpoint.minutes).unwrap_or_default())) }
                                td { span class="gap" {} }
                            }
                        }
                    }
                }
                @for line in said { p { (line) } }
            }
        }
    }

    /// The questions that may be longer than a side of paper, and so have to be broken.
    pub fn too_long(self) -> Vec<QuestionNo> {
        let long = self.questions().filter(|(_, question)| {
            let widest = Drawing::of(question).map_or(0, |drawing| drawing.columns());
            let side = PaperSide::for_columns(self.size, widest);
            height(question, self.size, side) > side.height()
        });
        long.map(|(number, _)| number).collect()
    }
}

impl PrintedPage<'_> {
    fn heading(self, title: &str) -> String {
        match self {
            Self::Paper => title.to_owned(),
            Self::Homework => words::homework_on(title),
            Self::AnswerSheet => words::answer_sheet_for(title),
            Self::PlanCard(_) => words::plan_card_for(title),
        }
    }
}

/// The key, on a page of its own: answers, hints and workings of the printed questions.
pub fn key_page(of: PrintedPaper<'_>, key: &Key) -> String {
    let outline = &of.paper.outline;
    let heading = words::key_of(&tidy(&outline.title));
    let numbers: Vec<_> = of.questions().map(|(number, _)| number).collect();
    let inside = html! {
        h1 { (heading) }
        p { (words::FOR_THE_TUTOR) }
        ol class="rows" {
            @for number in &numbers {
                li { span class="count" { (number) } " " (answers(key, outline, *number)) }
            }
        }
        @for number in &numbers { (notes(key, outline, *number)) }
    };
    document_in(of.size, &heading, &inside)
}

fn answers(key: &Key, outline: &Outline, number: QuestionNo) -> String {
    let labels = outline.labels(number).iter();
    let right: Vec<Label> = labels.filter(|label| key.accepts(number, *label)).collect();
    words::right_options(
        &right,
        key.voids.get(&number).copied() == Some(Void::Dropped),
    )
}

fn notes(key: &Key, outline: &Outline, number: QuestionNo) -> Markup {
    let id = format!("question-{number}");
    let Some(note) = key.notes.get(&number) else {
        return html! {};
    };
    html! {
        section class="question" aria-labelledby=(id) {
            h2 id=(id) { (words::question(number)) ": " (answers(key, outline, number)) }
            @if let Some(hint) = &note.hint { p { (tidy(&words::hint(hint))) } }
            @if let Some(working) = &note.working { p class="stem" { (tidy(working)) } }
            @for (label, lure) in &note.distractors { p { (tidy(&words::lure(*label, lure))) } }
        }
    }
}

fn field(name: &str) -> Markup {
    html! { span { (name) " " span class="gap" {} } " " }
}

fn block_of(block: &TextBlock) -> Markup {
    html! {
        section {
            h2 { (block.heading) }
            @for line in &block.lines { p { (tidy(line)) } }
        }
    }
}

fn source(paper: &Paper) -> Markup {
    let lines = words::source(paper.source.as_deref(), paper.right_to_use.as_deref());
    html! { @for line in lines { p class="soft" { (tidy(&line)) } } }
}

/// A side of paper, in points of which an inch has 72: A4 upright where a figure is narrow enough, else turned, else A3.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum PaperSide {
    Upright,
    Turned,
    Large,
}

/// A point in millimetres.
const POINT: f64 = 25.4 / 72.0;
/// The margins of a side, both together: across, and from top to bottom (`@page` in the style sheet).
const MARGINS: (f64, f64) = (22.0, 24.0);
/// How wide a character of a figure is, in letters' sizes (`DejaVu Sans Mono`; `Liberation Mono` has 0.6).
const FIGURE_COLUMN: f64 = 0.602;
/// How wide a character of a text is at most on average, in letters' sizes: bold Arial over English text,
/// measured in a browser with some to spare.
const LETTER: f64 = 0.55;
/// How wide a paragraph is at most, in letters' sizes.
const PARAGRAPH: f64 = 36.0;

impl PaperSide {
    fn for_columns(size: LetterSize, columns: usize) -> Self {
        let wide = real(columns) * FIGURE_COLUMN * f64::from(size.points());
        let sides = [Self::Upright, Self::Turned];
        let mut sides = sides.into_iter();
        sides
            .find(|side| wide <= side.width())
            .unwrap_or(Self::Large)
    }

    /// In millimetres, across and from top to bottom (ISO 216).
    const fn millimetres(self) -> (f64, f64) {
        match self {
            Self::Upright => (210.0, 297.0),
            Self::Turned => (297.0, 210.0),
            Self::Large => (420.0, 297.0),
        }
    }

    fn width(self) -> f64 {
        (self.millimetres().0 - MARGINS.0) / POINT
    }

    fn height(self) -> f64 {
        (self.millimetres().1 - MARGINS.1) / POINT
    }

    const fn class(self) -> &'static str {
        match self {
            Self::Upright => "",
            Self::Turned => " turned",
            Self::Large => " large",
        }
    }
}

/// About how high a question is at most, in points.
fn height(question: &Question, size: LetterSize, paper: PaperSide) -> f64 {
    let letter = f64::from(size.points());
    let across = (paper.width() / letter).min(PARAGRAPH) / LETTER;
    let rows = |text: &str| -> f64 {
        let lines = text
            .lines()
            .map(|line| (real(line.chars().count()) / across).ceil());
        lines.map(|rows| rows.max(1.0)).sum()
    };
    let stem = question.stem.as_deref().map_or(1.0, rows);
    let figure = question
        .figure
        .as_deref()
        .map_or(0, |figure| figure.lines().count());
    // An option stands with its letter and a gap, in large print on a line of its own.
    let each = question
        .options
        .iter()
        .map(|text| real(text.chars().count() + 6));
    let in_rows = if size.is_large() {
        each.map(|letters| (letters / across).ceil()).sum()
    } else {
        // What does not fit on the rest of a line begins the next.
        (1.5 * each.sum::<f64>() / across).ceil()
    };
    let heading = 3.5;
    letter * (heading + (stem + in_rows) * 1.5 + real(figure) * 1.2 + 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 210 mm less 22 mm are 532.9 points, 297 mm 779.5; a column takes 0.602 of a letter (arithmetic).
    #[test]
    fn a_figure_that_is_too_wide_is_turned_or_wants_a_larger_sheet() {
        let side = |size, columns| PaperSide::for_columns(size, columns);
        assert_eq!(side(LetterSize::Twelve, 60), PaperSide::Upright);
        assert_eq!(side(LetterSize::Fourteen, 63), PaperSide::Upright);
        assert_eq!(side(LetterSize::Fourteen, 64), PaperSide::Turned);
        assert_eq!(side(LetterSize::TwentyFour, 36), PaperSide::Upright);
        assert_eq!(side(LetterSize::TwentyFour, 37), PaperSide::Turned);
        assert_eq!(side(LetterSize::TwentyFour, 53), PaperSide::Turned);
        assert_eq!(side(LetterSize::TwentyFour, 54), PaperSide::Large);
    }
}

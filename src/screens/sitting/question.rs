//! The open question: its words where they are on the screen, what it is worth, its answer.

use std::collections::BTreeSet;

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;

use super::arrangement::{OptionSigns, QuestionLines, arrange, figure_lines, fits};
use super::desk::Desk;
use super::layout::stack;
use super::pieces::LONGEST_LINE;
use crate::domain::labels::Labels;
use crate::domain::paper::Question;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Row;
use crate::words::how::unless_worked;
use crate::words::sign::Sign;
use crate::words::sitting::page as words;
use crate::words::text;

/// Where the question's parts go; head and answer never scroll.
pub(super) struct QuestionParts {
    pub(super) head: Rect,
    pub(super) words: Rect,
    pub(super) answer: Rect,
}

impl QuestionParts {
    pub(super) fn of(pane: Rect) -> Self {
        let [head, words, answer] = stack(pane, [Some(2), None, Some(1)]);
        Self {
            head,
            words,
            answer,
        }
    }
}

/// The open question's words, where they are on the screen.
fn printed_here<'a>(desk: &Desk<'a>) -> Option<&'a Question> {
    let question = desk.paper?.question(desk.current()?)?;
    let empty = question.stem.is_none() && question.figure.is_none() && question.options.is_empty();
    (!empty).then_some(question)
}

/// The widest line of any figure of the paper.
pub(super) fn widest_figure(desk: &Desk<'_>) -> u16 {
    let questions = desk.paper.iter().flat_map(|paper| &paper.questions);
    let lines = questions.flat_map(figure_lines);
    let widest = lines.map(|line| text::width(&line)).max().unwrap_or(0);
    u16::try_from(widest).unwrap_or(u16::MAX)
}

/// Whether the open question has options to be read on the page.
pub(super) fn has_words(desk: &Desk<'_>) -> bool {
    printed_here(desk).is_some_and(|question| !question.options.is_empty())
}

/// Whether the open question fits in a place of this size, head and answer with it.
pub(super) fn open_fits(desk: &Desk<'_>, place: Rect) -> bool {
    let (Some(question), Some(number)) = (printed_here(desk), desk.current()) else {
        return true;
    };
    let labels = desk.sitting.header().paper.labels(number);
    fits_in(question, labels, place)
}

/// Whether a question fits in a place of this size.
pub(super) fn fits_in(question: &Question, labels: &Labels, place: Rect) -> bool {
    let words = QuestionParts::of(place).words;
    fits(
        question,
        labels,
        (usize::from(words.width), usize::from(words.height)),
    )
}

/// Draws the question's number and what it is worth.
pub(super) fn head(desk: &Desk<'_>, area: Rect, buf: &mut Buffer) {
    let width = usize::from(area.width);
    let Some(question) = desk.current() else {
        return Line::styled(words::NONE_OPEN, desk.theme.heading).render(area, buf);
    };
    let row = Rect {
        height: area.height.min(1),
        ..area
    };
    let mut title = vec![Span::styled(
        text::cut(&format!("Question {question}"), width),
        desk.theme.heading,
    )];
    if desk.sitting.row(question).is_some_and(|row| row.flagged) {
        let flag = format!("  {} {}", Sign::Flag.mark(), Sign::Flag.means());
        title.push(Span::styled(flag, desk.theme.flag));
    }
    Line::from(title).render(row, buf);
    let below = Rect {
        y: area.y.saturating_add(1),
        height: area.height.saturating_sub(1),
        ..area
    };
    Line::raw(text::cut(&worth(desk, question, width), width)).render(below, buf);
}

/// The marks of the question's section.
fn worth(desk: &Desk<'_>, question: QuestionNo, columns: usize) -> String {
    let rule = &desk.sitting.header().paper.rule;
    rule.section(question)
        .map_or_else(String::new, |section| words::worth(section, columns))
}

/// The lines that may scroll in `area`, and where the options are in them.
pub(super) fn lines(desk: &Desk<'_>, area: Rect) -> QuestionLines {
    let (width, height) = (usize::from(area.width), usize::from(area.height));
    let header = desk.sitting.header();
    let only_words = |said: Vec<String>| QuestionLines {
        lines: said
            .iter()
            .flat_map(|said| {
                let wrapped = text::wrap(said, width.min(LONGEST_LINE)).into_iter();
                [Line::default()].into_iter().chain(wrapped.map(Line::raw))
            })
            .collect(),
        options: Vec::new(),
    };
    let Some(number) = desk.current() else {
        let hint = if desk.scene().is_read_here() {
            words::ENTER_OPENS
        } else {
            words::READ_AND_TYPE
        };
        return only_words(vec![hint.to_owned()]);
    };
    let Some(question) = printed_here(desk) else {
        let where_it_is = match (desk.paper, header.paper.on_screen) {
            (None, true) => words::WORDS_NOT_HERE,
            _ => words::ON_PAPER,
        };
        let another = words::starting_another(desk.scene().digits_answer());
        let crossed = desk.sitting.row(number).map(|row| &row.crossed);
        let crossed = crossed.filter(|crossed| !crossed.is_empty());
        let crossed = crossed.map(words::crossed_out_list);
        let said = [where_it_is.to_owned(), another].into_iter();
        return only_words(said.chain(crossed).collect());
    };
    let none = BTreeSet::new();
    let row = desk.sitting.row(number);
    let marked = OptionSigns {
        chosen: row.and_then(Row::standing).map(|given| given.option),
        crossed: row.map_or(&none, |row| &row.crossed),
        theme: desk.theme,
    };
    arrange(
        question,
        header.paper.labels(number),
        marked,
        (width, height),
    )
}

/// The open question and its answer in one line.
pub(super) fn on_one_line(desk: &Desk<'_>) -> String {
    let Some(row) = desk.current().and_then(|open| desk.sitting.row(open)) else {
        return words::NONE_OPEN.to_owned();
    };
    let given = row.standing().map(|given| given.option);
    words::question_in_short(row.number, given, row.flagged)
}

/// Draws the answer as it stands, or what would answer.
pub(super) fn answer(desk: &Desk<'_>, area: Rect, buf: &mut Buffer) {
    let Some(row) = desk.current().and_then(|open| desk.sitting.row(open)) else {
        return;
    };
    let labels = desk.sitting.header().paper.labels(row.number);
    let (line, style) = match row.standing() {
        None => (words::no_answer_yet(labels), ratatui::style::Style::new()),
        Some(given) => {
            let how = unless_worked(given.how).map_or_else(String::new, |how| format!(", {how}"));
            let crossed = row.crossed.contains(&given.option);
            let answer = words::your_answer(given.option, &how, crossed);
            let room = usize::from(area.width).saturating_sub(text::width(&answer));
            // The sign alone where room is short.
            let sign = Sign::Unsaved;
            let not_saved = format!("  {} {}", sign.mark(), sign.explained());
            let unsaved = if !desk.is_unsaved(row.number) {
                String::new()
            } else if text::width(&not_saved) <= room {
                not_saved
            } else {
                format!(" {}", sign.mark())
            };
            (answer + &unsaved, desk.theme.filled)
        }
    };
    Line::styled(text::cut(&line, usize::from(area.width)), style).render(area, buf);
}

//! The open question: its words where they are on the screen, what it is worth, its answer.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;

use super::desk::Desk;
use super::layout::stack;
use super::pieces::LONGEST_LINE;
use crate::domain::labels::Label;
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

/// The widest line of the open question's figure.
pub(super) fn figure_width(desk: &Desk<'_>) -> u16 {
    printed_here(desk).map_or(0, widest_line)
}

/// The widest line of any figure of the paper.
pub(super) fn widest_figure(desk: &Desk<'_>) -> u16 {
    let questions = desk.paper.iter().flat_map(|paper| &paper.questions);
    questions.map(widest_line).max().unwrap_or(0)
}

/// The widest line of a question's figure.
fn widest_line(question: &Question) -> u16 {
    let cleaned = text::clean_lines(question.figure.as_deref().unwrap_or_default());
    let widest = cleaned.lines().map(text::width).max().unwrap_or(0);
    u16::try_from(widest).unwrap_or(u16::MAX)
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

/// The lines that may scroll in `area`: the empty ones go first where that spares the scrolling.
pub(super) fn lines(desk: &Desk<'_>, area: Rect) -> Vec<Line<'static>> {
    let (width, height) = (usize::from(area.width), usize::from(area.height));
    let mut lines = spaced_lines(desk, width, &[Line::default()]);
    if lines.len() > height && !lines.is_empty() {
        lines.remove(0);
    }
    if lines.len() > height {
        let tight = spaced_lines(desk, width, &[]);
        if tight.len() <= height {
            return tight;
        }
    }
    lines
}

/// The lines, with `gap` between their parts.
fn spaced_lines(desk: &Desk<'_>, width: usize, gap: &[Line<'static>]) -> Vec<Line<'static>> {
    let reading = width.min(LONGEST_LINE);
    let plain = |text: &str| text::wrap(text, reading).into_iter().map(Line::raw);
    let header = desk.sitting.header();
    let Some(number) = desk.current() else {
        let hint = if desk.scene().is_read_here() {
            words::ENTER_OPENS
        } else {
            words::READ_AND_TYPE
        };
        return gap.iter().cloned().chain(plain(hint)).collect();
    };
    let mut lines = gap.to_vec();
    let Some(question) = printed_here(desk) else {
        lines.extend(plain(match (desk.paper, header.paper.on_screen) {
            (None, true) => words::WORDS_NOT_HERE,
            _ => words::ON_PAPER,
        }));
        lines.extend_from_slice(gap);
        lines.extend(plain(&words::starting_another(
            desk.scene().digits_answer(),
        )));
        return lines;
    };
    if let Some(stem) = &question.stem {
        lines.extend(plain(stem));
        lines.extend_from_slice(gap);
    }
    if let Some(figure) = &question.figure {
        let cleaned = text::clean_lines(figure);
        lines.extend(
            cleaned
                .lines()
                .map(|line| Line::raw(text::cut(line, width))),
        );
        lines.extend_from_slice(gap);
    }
    let labels = header.paper.labels(number);
    for (label, option) in labels.iter().zip(&question.options) {
        lines.extend(option_lines(desk, label, option, reading));
    }
    lines
}

fn option_lines(
    desk: &Desk<'_>,
    label: Label,
    option: &str,
    width: usize,
) -> impl Iterator<Item = Line<'static>> {
    let given = desk
        .current()
        .and_then(|question| desk.sitting.row(question));
    let chosen = given
        .and_then(Row::standing)
        .is_some_and(|given| given.option == label);
    let (sign, style) = if chosen {
        (format!("[{label}] "), desk.theme.filled)
    } else {
        (format!(" {label}  "), ratatui::style::Style::new())
    };
    let wrapped = text::wrap(option, width.saturating_sub(4)).into_iter();
    wrapped.enumerate().map(move |(index, text)| {
        let before = if index == 0 {
            sign.clone()
        } else {
            "    ".to_owned()
        };
        Line::from(vec![Span::raw(before), Span::raw(text)]).style(style)
    })
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
            let answer = format!("Your answer: {}{how}", given.option);
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

//! The answer sheet beside the open question, and how the two share the width.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};
use ratatui::widgets::{Block, Borders, Widget};

use super::desk::Desk;
use super::layout::{ScrollRange, draw_lines};
use super::model::Model;
use super::pieces::LONGEST_LINE;
use super::question;
use super::sheet::{self, Detail};
use crate::domain::labels::Label;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;

/// The least that a question on the screen is given, where the sheet could have more columns.
const ROOM_FOR_QUESTION: u16 = 50;
/// The same where the paper is printed.
const ROOM_FOR_HINT: u16 = 24;

/// Where the sheet and the question go.
struct Spread {
    detail: Detail,
    columns: u16,
    sheet: Rect,
    question: Rect,
}

/// How a sheet can share a page with a question, from the fullest sheet to none.
fn spreads(paper: &Outline, questions: &[QuestionNo], reads_here: bool, body: Rect) -> [Spread; 3] {
    let least = if reads_here {
        ROOM_FOR_QUESTION
    } else {
        ROOM_FOR_HINT
    };
    let many = u16::try_from(questions.len()).unwrap_or(u16::MAX);
    let rows = body.height.saturating_sub(1).max(1);
    let full = sheet::width(paper, questions, Detail::EveryOption);
    let narrow = sheet::width(paper, questions, Detail::ChosenOnly);
    let most = (body.width.saturating_sub(least) / (full + 1)).max(1);
    let columns = many.div_ceil(rows).clamp(1, most);
    let spread = |detail, columns: u16, taken: u16| {
        let taken = taken.min(body.width);
        Spread {
            detail,
            columns,
            sheet: Rect {
                width: taken,
                ..body
            },
            question: Rect {
                x: body.x.saturating_add(taken),
                width: body.width.saturating_sub(taken),
                ..body
            },
        }
    };
    [
        spread(Detail::EveryOption, columns, columns * (full + 1)),
        spread(Detail::ChosenOnly, 1, narrow + 1),
        spread(Detail::ChosenOnly, 0, 0),
    ]
}

impl Spread {
    /// As much sheet as helps: more columns while rows are out of sight, less where the question
    /// would not be in sight as a whole.
    ///
    /// The paper decides how many columns, not the question, so that the sheet stays where it is
    /// wherever it can.
    fn of(desk: &Desk<'_>, body: Rect) -> Self {
        let paper = &desk.sitting.header().paper;
        let questions = sheet::questions(desk);
        let reads_here = desk.scene().is_read_here();
        let [full, narrow, none] = spreads(paper, &questions, reads_here, body);
        let fits = |spread: &Self| {
            question::open_fits(desk, spread.pane()) && spread.pane().width >= LEAST_PANE
        };
        if fits(&full) {
            full
        } else if fits(&narrow) {
            narrow
        } else if fits(&none) {
            none
        } else {
            // It scrolls anyway: less of it where it has the width.
            narrow
        }
    }

    /// The question's place without the line that parts it from the sheet.
    fn pane(&self) -> Rect {
        if self.columns == 0 {
            return self.question;
        }
        Block::new()
            .borders(Borders::LEFT)
            .inner(self.question)
            .intersection(self.question)
    }
}

/// Narrower than this a question's head says its marks in figures only.
const LEAST_PANE: u16 = 24;

/// Whether the whole of a paper's question is in sight, beside whatever sheet leaves room for it.
pub(super) fn question_fits(
    paper: &crate::domain::paper::Paper,
    number: QuestionNo,
    body: Rect,
) -> bool {
    let Some(question) = paper.question(number) else {
        return true;
    };
    let outline = &paper.outline;
    let all: Vec<QuestionNo> = (1..=outline.questions).map(QuestionNo).collect();
    let labels = outline.labels(number);
    spreads(outline, &all, outline.on_screen, body)
        .iter()
        .any(|spread| question::fits_in(question, labels, spread.pane()))
}

/// The columns of a window so wide that nothing on a page needs: neither the sheet nor the longest
/// line beside it.
pub(super) fn spare(desk: &Desk<'_>, width: u16, height: u16) -> u16 {
    let paper = &desk.sitting.header().paper;
    let questions = sheet::questions(desk);
    let full = sheet::width(paper, &questions, Detail::EveryOption);
    let many = u16::try_from(questions.len()).unwrap_or(u16::MAX);
    let columns = many.div_ceil(height.saturating_sub(1).max(1)).clamp(1, 3);
    let reading = u16::try_from(LONGEST_LINE + 4).unwrap_or(u16::MAX);
    let sheet = columns.saturating_mul(full + 1);
    let beside = width.saturating_sub(sheet);
    match beside.saturating_sub(reading) {
        0 => 0,
        // Only now are all figures of the paper measured.
        _ => beside.saturating_sub(reading.max(question::widest_figure(desk))),
    }
}

/// The column at which the question begins.
pub(super) fn question_starts(desk: &Desk<'_>, body: Rect) -> u16 {
    Spread::of(desk, body).pane().x
}

/// Draws both, and gives where the open question's row is: on the sheet, or else its head.
pub(super) fn draw(model: &Model, desk: &Desk<'_>, body: Rect, buf: &mut Buffer) -> Position {
    let spread = Spread::of(desk, body);
    let mut open = None;
    if spread.columns > 0 {
        let how = (spread.detail, spread.columns);
        open = sheet::draw(model, desk, how, spread.sheet, buf);
        Block::new()
            .borders(Borders::LEFT)
            .render(spread.question, buf);
    }
    let parts = question::QuestionParts::of(spread.pane());
    question::head(desk, parts.head, buf);
    let lines = question::lines(desk, parts.words).lines;
    draw_lines(&lines, model.top(desk), desk.theme, parts.words, buf);
    question::answer(desk, parts.answer, buf);
    open.unwrap_or_else(|| spread.pane().as_position())
}

/// How far the open question can be scrolled.
pub(super) fn scroll_range(desk: &Desk<'_>, body: Rect) -> ScrollRange {
    let parts = question::QuestionParts::of(Spread::of(desk, body).pane());
    let lines = question::lines(desk, parts.words).lines.len();
    ScrollRange::new(lines, parts.words.height)
}

/// The options whose words are on the page as a whole, from this line on.
pub(super) fn options_in_sight(desk: &Desk<'_>, top: usize, body: Rect) -> Vec<Label> {
    let parts = question::QuestionParts::of(Spread::of(desk, body).pane());
    let arranged = question::lines(desk, parts.words);
    let range = ScrollRange::new(arranged.lines.len(), parts.words.height);
    let top = top.min(range.most);
    let shown = top..top + range.page;
    let options = arranged.options.into_iter();
    options
        .filter(|(_, lines)| lines.start >= shown.start && lines.end <= shown.end)
        .map(|(label, _)| label)
        .collect()
}

//! The frame that every page shares: top line, saving, notes, the page itself, legend, message and
//! keys.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect, Size};
use ratatui::text::{Line, Span, Text};
use ratatui::widgets::{Block, Borders, Widget};

use super::desk::{Desk, SaveState};
use super::layout::{ScrollRange, draw_lines, stack};
use super::model::{ClockShown, Model, Overlay, Shown};
use super::{body, glance, help, key_map, notes, panels, question};
use crate::domain::labels::Label;
use crate::domain::paper::Paper;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::Phase;
use crate::screens::kit::{Foot, SMALLEST};
use crate::words::sitting::page as words;
use crate::words::text;
use crate::words::time::{clock_in_large_steps, clock_left};

/// One page of a sitting, ready to be drawn.
#[derive(Clone, Copy, Debug)]
pub struct Page<'a> {
    /// What belongs to the screen alone.
    pub model: &'a Model,
    /// How things stand.
    pub desk: &'a Desk<'a>,
}

/// Draws the page that the sitting and the screen ask for; any area will do. Gives where the terminal's cursor
/// stands: on what is typed, on the open question's row, or at the top of a page that is words only.
pub fn draw(model: &Model, desk: &Desk<'_>, area: Rect, buf: &mut Buffer) -> Position {
    // The area decides, whatever the desk was told before the window changed.
    let size = Size::new(area.width, area.height);
    let desk = &Desk { size, ..*desk };
    let shown = model.shown(desk);
    if shown == Shown::TooSmall {
        too_small(model, desk).render(area, buf);
        let below = area.y.saturating_add(1);
        return Position::new(area.x, below.min(area.bottom().saturating_sub(1)));
    }
    let parts = PageParts::of(model, desk, area);
    top(model, desk, parts.top.width).render(parts.top, buf);
    let (place, lines_of_trouble) = parts.trouble;
    let trouble: Text<'_> = lines_of_trouble
        .into_iter()
        .map(|line| Line::styled(line, desk.theme.trouble))
        .collect();
    trouble.render(place, buf);
    let (place, lines_of_notes) = parts.notes;
    let notes: Text<'_> = lines_of_notes.into_iter().map(Line::from).collect();
    notes.render(place, buf);
    Block::new().borders(Borders::TOP).render(parts.rule, buf);
    if let Some(band) = notes::band(model, desk, parts.rule.width.saturating_sub(2)) {
        let at = body::question_starts(desk, parts.body);
        let needs = u16::try_from(text::width(&band))
            .unwrap_or(u16::MAX)
            .saturating_add(2);
        let latest = parts.rule.right().saturating_sub(needs).max(parts.rule.x);
        let place = Rect {
            x: at.min(latest),
            width: parts.rule.right().saturating_sub(at.min(latest)).min(needs),
            ..parts.rule
        };
        Line::styled(format!(" {band} "), desk.theme.chosen).render(place, buf);
    }
    let cursor = if let Shown::Answering | Shown::Guessing = shown {
        body::draw(model, desk, parts.body, buf)
    } else {
        draw_lines(
            &lines(model, desk, parts.body),
            model.top(desk),
            desk.theme,
            parts.body,
            buf,
        );
        parts.body.as_position()
    };
    Line::raw(notes::legend(desk, parts.legend.width)).render(parts.legend, buf);
    message(model, desk, parts.message.width).render(parts.message, buf);
    let foot = Foot {
        width: usize::from(parts.foot.width),
        lines: usize::from(parts.foot.height),
        between: "  ",
    };
    let keys = key_map::of(model, desk).foot(foot, desk.theme);
    Text::from(keys).render(parts.foot, buf);
    if shown.takes_numbers() && (model.typed.is_some() || model.crossing) {
        parts.message.as_position()
    } else {
        cursor
    }
}

/// The top row of a page that has one, and where it is: all that is different when the clock alone goes on.
pub fn top_row(model: &Model, desk: &Desk<'_>, area: Rect) -> (Rect, Line<'static>) {
    let place = Rect {
        height: 1,
        ..in_the_middle(desk, area)
    };
    (place, top(model, desk, place.width))
}

impl Widget for &Page<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        draw(self.model, self.desk, area, buf);
    }
}

/// Whether all of a question is in sight in a window of this size: its words, its figure and every
/// option, beside whatever of the answer sheet leaves room for them.
pub fn question_fits(paper: &Paper, question: QuestionNo, size: Size) -> bool {
    let [_, _, _, body, _, _, _] = stack(
        Rect::new(0, 0, size.width, size.height),
        [
            Some(1),
            Some(1),
            Some(1),
            None,
            Some(notes::legend_lines(size.height)),
            Some(1),
            Some(FOOT),
        ],
    );
    body::question_fits(paper, question, body)
}

/// The options of the open question that are on the page.
pub(super) fn options_on_the_page(model: &Model, desk: &Desk<'_>) -> Vec<Label> {
    if !matches!(model.shown(desk), Shown::Answering | Shown::Guessing) {
        return Vec::new();
    }
    let area = Rect::new(0, 0, desk.size.width, desk.size.height);
    let parts = PageParts::of(model, desk, area);
    body::options_in_sight(desk, model.top(desk), parts.body)
}

/// How far the page on the screen can be scrolled.
pub(super) fn scroll_range(model: &Model, desk: &Desk<'_>) -> ScrollRange {
    let area = Rect::new(0, 0, desk.size.width, desk.size.height);
    let parts = PageParts::of(model, desk, area);
    match model.page(desk) {
        Shown::Answering | Shown::Guessing => body::scroll_range(desk, parts.body),
        _ => ScrollRange::new(lines(model, desk, parts.body).len(), parts.body.height),
    }
}

/// The lines of a page that is words only.
fn lines(model: &Model, desk: &Desk<'_>, body: Rect) -> Vec<Line<'static>> {
    let width = usize::from(body.width);
    match model.shown(desk) {
        Shown::Over(Overlay::Help, _) => help::lines(model, desk, width),
        Shown::Over(Overlay::Glance, _) => glance::lines(model, desk, width),
        shown => panels::lines(model, desk, shown, width),
    }
}

/// Lines of keys.
const FOOT: u16 = 2;

/// The part of a wide window that a page takes: what is read stays near the clock and the sheet.
fn in_the_middle(desk: &Desk<'_>, area: Rect) -> Rect {
    let height = area.height.saturating_sub(AROUND);
    let spare = body::spare(desk, area.width.max(SMALLEST.width), height);
    Rect {
        x: area.x + spare / 2,
        width: area.width - spare,
        ..area
    }
}

/// Lines of a page that are no body: top, note, rule, signs, message and keys.
const AROUND: u16 = 7;

struct PageParts {
    top: Rect,
    /// Where it goes, and its lines: how many there are decides about the place.
    trouble: (Rect, Vec<String>),
    notes: (Rect, Vec<String>),
    rule: Rect,
    body: Rect,
    legend: Rect,
    message: Rect,
    foot: Rect,
}

impl PageParts {
    fn of(model: &Model, desk: &Desk<'_>, area: Rect) -> Self {
        let count = |lines: &[String]| u16::try_from(lines.len()).unwrap_or(u16::MAX);
        let in_trouble = matches!(desk.saved, SaveState::Trouble { .. });
        let foot = if in_trouble && area.height >= 22 {
            FOOT + 1
        } else {
            FOOT
        };
        let area = in_the_middle(desk, area);
        let legend = notes::has_legend_below(model, desk);
        let lines_of_trouble = trouble(desk, area.width);
        let lines_of_notes = notes::lines(model, desk, area.width);
        let [top, trouble, notes, rule, body, legend, message, foot] = stack(
            area,
            [
                Some(1),
                Some(count(&lines_of_trouble)),
                Some(count(&lines_of_notes)),
                Some(1),
                None,
                Some(legend.into()),
                Some(1),
                Some(foot),
            ],
        );
        Self {
            top,
            trouble: (trouble, lines_of_trouble),
            notes: (notes, lines_of_notes),
            rule,
            body,
            legend,
            message,
            foot,
        }
    }
}

/// Pupil and paper on the left, clock and saving on the right.
fn top(model: &Model, desk: &Desk<'_>, columns: u16) -> Line<'static> {
    let theme = desk.theme;
    let clock = clock(model, desk);
    let (saved, style) = match desk.saved {
        SaveState::Saving { .. } => ("  saving", theme.notice),
        SaveState::Saved => ("   saved", theme.fine),
        SaveState::Trouble { .. } => ("  NOT SAVED", theme.trouble),
    };
    let header = desk.sitting.header();
    let width = usize::from(columns);
    let room = width.saturating_sub(text::width(&clock) + text::width(saved) + 2);
    let invented = if header.invented { "invented: " } else { "" };
    let who = format!("{invented}{}  {}", header.pupil, header.paper.title);
    let who = text::cut(&who, room);
    let gap = " ".repeat(room.saturating_sub(text::width(&who)) + 2);
    Line::from(vec![
        Span::styled(who, theme.heading),
        Span::raw(gap),
        Span::styled(clock, theme.heading),
        Span::styled(saved, style),
    ])
}

/// The clock in words.
fn clock(model: &Model, desk: &Desk<'_>) -> String {
    let left = || clock_left(desk.sitting.left(desk.at));
    match (desk.sitting.phase(), model.clock) {
        (Phase::Running, ClockShown::Yes) => left(),
        (Phase::Running, ClockShown::LargeSteps) => {
            clock_in_large_steps(desk.sitting.left(desk.at))
        }
        (Phase::Running, ClockShown::No { .. }) => words::CLOCK_HIDDEN.to_owned(),
        (Phase::OnBreak, _) => words::CLOCK_STOPPED.to_owned(),
        (Phase::TimeUp | Phase::GuessRound, _) => words::TIME_IS_UP.to_owned(),
        (Phase::Closed(_), _) => words::CLOCK_OVER.to_owned(),
    }
}

/// What is wrong with saving and what can be done, in four lines at the most.
fn trouble(desk: &Desk<'_>, width: u16) -> Vec<String> {
    let SaveState::Trouble {
        sentence,
        elsewhere,
        ..
    } = desk.saved
    else {
        return Vec::new();
    };
    let way_out = words::way_out(elsewhere);
    let width = usize::from(width);
    let what = text::wrap(&format!("NOT SAVED: {sentence}"), width);
    let way_out = text::wrap(&way_out, width);
    what.into_iter()
        .take(2)
        .chain(way_out.into_iter().take(2))
        .collect()
}

/// The digits being typed, or the message.
fn message(model: &Model, desk: &Desk<'_>, columns: u16) -> Line<'static> {
    let width = usize::from(columns);
    let said = model.message(desk.sitting.phase());
    match (&model.typed, said, model.page(desk)) {
        (Some(typed), None, page) if page.takes_numbers() => {
            let line = words::go_to(typed);
            Line::styled(text::cut(&line, width), desk.theme.notice)
        }
        (Some(typed), Some(said), page) if page.takes_numbers() => {
            let line = format!("{typed}_   {said}");
            Line::styled(text::cut(&line, width), desk.theme.notice)
        }
        (None, None, _) if notes::has_legend_in_message(model, desk) => {
            Line::raw(notes::legend(desk, columns))
        }
        (_, said, _) => Line::styled(
            text::cut(said.unwrap_or_default(), width),
            desk.theme.notice,
        ),
    }
}

/// A window too small for the page: the clock, what size would do, and what the keys do meanwhile.
fn too_small(model: &Model, desk: &Desk<'_>) -> Text<'static> {
    let size = words::larger_window(SMALLEST.width, SMALLEST.height);
    let trouble = matches!(desk.saved, SaveState::Trouble { .. });
    let saved = if trouble { "  NOT SAVED" } else { "" };
    let width = usize::from(desk.size.width);
    let page = model.page(desk);
    let heading = match page {
        Shown::Answering | Shown::Guessing => question::on_one_line(desk),
        _ => panels::heading_of(desk, page),
    };
    let lines = [
        format!("{}{saved}", clock(model, desk)),
        heading,
        message(model, desk, desk.size.width).to_string(),
        size,
    ];
    let wrapped = lines.iter().flat_map(|line| text::wrap(line, width));
    let mut lines: Vec<Line<'static>> = wrapped.map(Line::from).collect();
    let foot = Foot {
        width,
        lines: 4,
        between: "  ",
    };
    lines.extend(key_map::of(model, desk).foot(foot, desk.theme));
    Text::from(lines)
}

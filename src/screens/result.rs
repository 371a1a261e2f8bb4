//! The result page after a sitting: what was done, the marks where the key is at hand, one true
//! encouraging sentence, one thing to do next time. No rank, no crosses, no alarm.

use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::text::Line;
use ratatui::widgets::Widget;

use super::frame::{
    Body, Frame, KeyHelp, Message, TEXT_WIDTH, body_height, body_width, is_too_small,
};
use super::press::Press;
use super::theme::Theme;
use crate::words::result::{Ended, QuestionResult};

/// The columns that one question's cell takes.
const CELL: usize = 15;

/// Whether the page stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stay {
    /// It stays.
    Stay,
    /// The pupil has left it.
    Leave,
}

/// The page as it is being read.
#[derive(Clone, Debug)]
pub struct Reading {
    ended: Ended,
    scroll: usize,
    asked: Option<Message>,
}

impl Reading {
    /// From the top.
    pub const fn new(ended: Ended) -> Self {
        Self {
            ended,
            scroll: 0,
            asked: None,
        }
    }

    /// Takes a key, in a window of this size: Q leaves, and Enter or Ctrl-C twice.
    pub fn press(&mut self, press: Press, size: Size) -> Stay {
        let asked = self.asked.take().is_some();
        let height = body_height(size);
        let last = self
            .body(body_width(size), &Theme::plain())
            .furthest(height);
        let now = self.scroll.min(last);
        self.scroll = match press {
            Press::Char('q' | 'Q') => return Stay::Leave,
            Press::Enter | Press::Esc | Press::Stop if asked => return Stay::Leave,
            Press::Enter | Press::Esc | Press::Stop => {
                let text = "Everything is kept. Enter once more leaves.";
                self.asked = Some(Message::Notice(text.to_owned()));
                now
            }
            Press::Up => now.saturating_sub(1),
            Press::Down => now + 1,
            Press::PageUp => now.saturating_sub(height),
            Press::PageDown => now + height,
            Press::Home => 0,
            Press::End => last,
            Press::Left
            | Press::Right
            | Press::Backspace
            | Press::Help
            | Press::Char(_)
            | Press::F(_)
            | Press::Other => now,
        }
        .min(last);
        Stay::Stay
    }

    fn body(&self, width: usize, theme: &Theme) -> Body {
        let mut body = Body::default();
        let ended = &self.ended;
        body.line(Line::styled(ended.closing(), theme.heading));
        if let Some(caution) = ended.caution() {
            body.text(caution, 0, width);
        }
        for block in ended.blocks() {
            body.line("");
            body.line(Line::styled(block.heading, theme.heading));
            for line in &block.lines {
                body.text(line, 0, width);
            }
        }
        if let Some(marks) = &ended.marks {
            body.line("");
            body.line(Line::styled("Question by question", theme.heading));
            let cells: Vec<_> = marks
                .questions
                .iter()
                .map(QuestionResult::in_words)
                .collect();
            for row in cells.chunks((width / CELL).max(1)) {
                let cells: Vec<_> = row.iter().map(|cell| format!("{cell:<CELL$}")).collect();
                let line = cells.concat();
                body.line(line.trim_end().to_owned());
            }
            if marks.questions.iter().any(|question| question.after_time) {
                body.line("* after time was up");
            }
        }
        body.line("");
        for line in ended.last_lines() {
            body.text(&line, 0, width.min(TEXT_WIDTH));
        }
        body
    }
}

/// Draws the page.
#[derive(Debug)]
pub struct ResultPage<'a> {
    /// What it stands at.
    pub reading: &'a Reading,
    /// The styles.
    pub theme: &'a Theme,
}

impl Widget for &ResultPage<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let size = area.as_size();
        let body = if is_too_small(size) {
            Body::default()
        } else {
            self.reading.body(body_width(size), self.theme)
        };
        let ended = &self.reading.ended;
        let keys: &[KeyHelp] = &[("Up Down", "read on"), ("Enter twice or Q", "leave")];
        Frame {
            theme: self.theme,
            trail: Line::styled(
                format!("{}: {}", ended.pupil, ended.paper),
                self.theme.heading,
            ),
            body: &body,
            scroll: self.reading.scroll,
            edge: 1,
            message: self.reading.asked.as_ref(),
            keys,
        }
        .render(area, buf);
    }
}

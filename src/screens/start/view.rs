//! Draws the start page.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;

use super::model::{Page, Start};
use crate::screens::frame::{Body, Frame, is_too_small};
use crate::screens::theme::Theme;

/// The start page as it stands.
#[derive(Debug)]
pub struct StartPage<'a> {
    /// What it stands at.
    pub start: &'a Start,
    /// The styles.
    pub theme: &'a Theme,
}

impl Widget for &StartPage<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let size = area.as_size();
        let body = if is_too_small(size) {
            Body::default()
        } else {
            self.start.body(size, self.theme)
        };
        Frame {
            theme: self.theme,
            trail: self.start.trail(self.theme),
            body: &body,
            scroll: self.start.scroll,
            edge: 1,
            message: self.start.message.as_ref(),
            keys: self.start.keys(),
        }
        .render(area, buf);
    }
}

impl Start {
    /// The line of where you are.
    fn trail(&self, theme: &Theme) -> Line<'static> {
        if self.help {
            return Line::styled("Pacebell: help for the start", theme.heading);
        }
        let here = match self.page {
            Page::Pupil | Page::NewAlias | Page::GoOn => 0,
            Page::Paper => 1,
            Page::Arrange => 2,
            Page::ReadOut => 3,
            Page::PastPupil | Page::Past => {
                return Line::styled("Pacebell: past sittings", theme.heading);
            }
            Page::Notices => {
                return Line::styled("Pacebell: what could not be read", theme.heading);
            }
        };
        let steps = ["1 pupil", "2 paper", "3 arrangements", "4 read out"];
        let mut spans = vec![Span::styled("Start:", theme.heading)];
        for (place, step) in steps.into_iter().enumerate() {
            spans.push(if place == here {
                Span::styled(format!(" [{step}]"), theme.heading)
            } else {
                Span::raw(format!("  {step} "))
            });
        }
        spans.into()
    }
}

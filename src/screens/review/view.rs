//! Draws the review.

use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::text::{Line, Span};
use ratatui::widgets::Widget;

use super::ink::Ink;
use super::model::{Look, Page, Review, Tab};
use super::study::Study;
use super::writing::Writing;
use super::{curve, findings, lanes, marks, question, replay, time};
use crate::reports::text::COLUMNS;
use crate::screens::frame::{Body, Frame, KeyHelp, Message, body_height, body_width, is_too_small};
use crate::screens::theme::Theme;
use crate::words::text::{clean, clean_lines};

/// The review as it stands.
#[derive(Debug)]
pub struct ReviewPage<'a> {
    /// What it stands at.
    pub review: &'a Review,
    /// The styles.
    pub theme: &'a Theme,
}

impl Widget for &ReviewPage<'_> {
    fn render(self, area: Rect, buf: &mut Buffer) {
        let size = area.as_size();
        let body = if is_too_small(size) {
            Body::default()
        } else {
            self.review.body(size, self.theme)
        };
        let typing = self.review.typing();
        Frame {
            theme: self.theme,
            trail: self.review.trail(self.theme),
            body: &body,
            scroll: 0,
            edge: self.review.edge(size),
            message: typing.as_ref().or(self.review.message.as_ref()),
            keys: self.review.keys(),
        }
        .render(area, buf);
    }
}

impl Review {
    /// The line of where you are.
    fn trail(&self, theme: &Theme) -> Line<'static> {
        match (&self.page, self.sitting()) {
            (Page::List, _) => {
                let text = format!("Review: {}", clean(&self.sessions));
                Line::styled(text, theme.heading)
            }
            (Page::Wrong(_), _) => Line::styled("Review: a file with a fault", theme.heading),
            (Page::Report(shown), _) => Line::styled(shown.place(), theme.heading),
            (Page::Sitting, open) => {
                let here = open.map(|(_, look)| look.tab);
                let mut spans = Vec::new();
                for tab in Tab::ALL {
                    if !spans.is_empty() {
                        spans.push(Span::raw(" "));
                    }
                    spans.push(if Some(tab) == here {
                        Span::styled(format!("[{}]", tab.name()), theme.heading)
                    } else {
                        Span::raw(tab.name())
                    });
                }
                spans.into()
            }
        }
    }

    /// The digits typed towards a question, or what is wrong with the chosen file.
    fn typing(&self) -> Option<Message> {
        if let Some((_, look)) = self.sitting() {
            let typed = &look.typed;
            let text = format!("Question {typed}_   Enter opens it, Esc drops it.");
            return (!typed.is_empty()).then_some(Message::Notice(text));
        }
        let reason = self.list.reason().filter(|_| self.message.is_none())?;
        matches!(self.page, Page::List).then(|| Message::Trouble(clean_lines(reason)))
    }

    /// The middle of the page in a window of this size.
    fn body(&self, size: Size, theme: &Theme) -> Body {
        let scroll = match &self.page {
            Page::Report(shown) => shown.scroll,
            _ => self.sitting().map_or(0, |(_, look)| look.scroll),
        };
        self.written(size, theme).shown(scroll)
    }

    /// Columns left free at either side: none where a report needs them.
    fn edge(&self, size: Size) -> u16 {
        let report = matches!(self.page, Page::Report(_));
        u16::from(!report || body_width(size) >= COLUMNS)
    }

    /// The middle of the page as written, before it is scrolled.
    pub(super) fn written<'a>(&self, size: Size, theme: &'a Theme) -> Ink<'a> {
        let width = usize::from(size.width.saturating_sub(2 * self.edge(size)));
        let mut ink = Ink::new(theme, width, body_height(size));
        match (&self.page, &self.writing, self.sitting()) {
            (_, Some(writing), open) => {
                if let Some((study, _)) = open {
                    ink.heading(&study.title(ink.width));
                    ink.pin();
                }
                writing.write(&mut ink);
            }
            (Page::List, ..) => self.list.write(&mut ink),
            (Page::Wrong(reason), ..) => {
                ink.heading("This file cannot be shown");
                ink.text(reason);
                ink.blank();
                ink.text("The others are not touched by it.");
            }
            (Page::Report(shown), ..) => shown.write(&mut ink),
            (Page::Sitting, _, Some((study, look))) => self.write_sitting(&mut ink, study, look),
            (Page::Sitting, _, None) => {}
        }
        ink
    }

    fn write_sitting(&self, ink: &mut Ink<'_>, study: &Study, look: &Look) {
        ink.heading(&study.title(ink.width.saturating_sub(24)));
        for remark in &study.opened.remarks {
            let style = ink.theme.trouble;
            ink.signed("! ", style, remark);
        }
        ink.pin();
        match look.tab {
            Tab::Marks => marks::write(ink, study),
            Tab::Time => time::write(ink, study, look),
            Tab::Lanes => lanes::write(ink, study, look),
            Tab::Curve => curve::write(ink, study),
            Tab::Findings => findings::write(ink, study, look),
            Tab::Question => question::write(ink, study, look),
            Tab::Replay => replay::write(ink, study, &look.player),
            Tab::Beside => self.beside.write(ink, study),
        }
    }

    /// The keys that work now.
    fn keys(&self) -> &'static [KeyHelp] {
        if self.asked_to_leave {
            return &[("Enter", "leave"), ("any other key", "stay")];
        }
        match (&self.writing, &self.page, self.sitting()) {
            (Some(Writing::Cause { .. }), ..) => &[
                ("Up Down", "choose"),
                ("Enter", "keep"),
                ("1 to 9, 0", "keep that one"),
                ("Backspace", "no cause"),
                ("Esc", "drop"),
            ],
            (Some(Writing::Note { .. }), ..) => {
                &[("letters", "write"), ("Enter", "keep"), ("Esc", "drop")]
            }
            (None, Page::List, _) => &[
                ("Up Down", "choose"),
                ("Enter", "open"),
                ("F2", "progress"),
                ("F3", "group"),
                ("letters", "filter"),
                ("Left Right", "sort"),
                ("Esc", "no filter, or leave"),
            ],
            (None, Page::Report(_), _) => &[
                ("Up Down", "read on"),
                ("F2", "progress"),
                ("F3", "group"),
                ("Esc", "list"),
            ],
            (None, Page::Wrong(_), _) => &[("Esc", "back to the list")],
            (None, Page::Sitting, open) => {
                open.map_or(&[], |(study, look)| self.sitting_keys(study, look))
            }
        }
    }

    fn sitting_keys(&self, study: &Study, look: &Look) -> &'static [KeyHelp] {
        match look.tab {
            Tab::Marks | Tab::Curve => &[
                ("M T L C F Q R B", "page"),
                ("number Enter", "question"),
                ("Up Down", "read on"),
                ("N", "note"),
                ("Esc", "list"),
            ],
            Tab::Time if study.group.is_some() => &[
                ("M T L C F Q R B", "page"),
                ("Up Down", "choose"),
                ("Enter", "question"),
                ("S", "sort"),
                ("G", "plan or group"),
                ("E", "cause"),
                ("N", "note"),
                ("Esc", "list"),
            ],
            Tab::Time => &[
                ("M T L C F Q R B", "page"),
                ("Up Down", "choose"),
                ("Enter", "question"),
                ("S", "sort"),
                ("E", "cause"),
                ("N", "note"),
                ("Esc", "list"),
            ],
            Tab::Lanes => &[
                ("M T L C F Q R B", "page"),
                ("Up Down", "choose"),
                ("Enter", "question"),
                ("E", "cause"),
                ("N", "note"),
                ("Esc", "list"),
            ],
            Tab::Findings => &[
                ("M T L C F Q R B", "page"),
                ("Up Down", "choose"),
                ("Enter", "its question"),
                ("A", "all, or one talk's"),
                ("N", "note"),
                ("Esc", "list"),
            ],
            Tab::Question => &[
                ("M T L C F Q R B", "page"),
                ("Up Down", "other question"),
                ("PageDown", "read on"),
                ("E", "cause"),
                ("N", "note"),
                ("Esc", "list"),
            ],
            Tab::Replay => &[
                ("Left Right", "step"),
                ("Up Down", "by what"),
                ("Space", "play"),
                ("+ -", "speed"),
                ("Home End", "ends"),
                ("M T L C F Q B", "page"),
                ("N", "note"),
                ("Esc", "list"),
            ],
            Tab::Beside if self.beside.is_choosing() => &[
                ("M T L C F Q R", "page"),
                ("Up Down", "choose"),
                ("Enter", "put beside"),
                ("Esc", "list"),
            ],
            Tab::Beside => &[
                ("M T L C F Q R", "page"),
                ("Up Down", "read on"),
                ("O", "another"),
                ("Esc", "list"),
            ],
        }
    }
}

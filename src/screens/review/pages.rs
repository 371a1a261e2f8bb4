//! Draws the review.

use ratatui::text::{Line, Span};

use super::keys::Act;
use super::model::{Review, Showing};
use super::study::Study;
use super::view::{Tab, View};
use super::{curve, findings, lanes, marks, question, replay, time};
use crate::reports::text::COLUMNS;
use crate::screens::kit::{Body, KeyMap, Message, Page, PageWriter, Room};
use crate::screens::theme::Theme;
use crate::words::review as words;
use crate::words::text::{clean, clean_lines};

impl Page for Review {
    type Act = Act;

    fn trail(&self, theme: Theme) -> Line<'static> {
        if self.help.is_some() {
            return Line::styled("Review: help", theme.heading);
        }
        match (&self.page, self.sitting()) {
            (Showing::List, _) => {
                let text = format!("Review: {}", clean(&self.sessions));
                Line::styled(text, theme.heading)
            }
            (Showing::Wrong(_), _) => Line::styled(words::A_FAULT, theme.heading),
            (Showing::Report(shown), _) => Line::styled(shown.place(), theme.heading),
            (Showing::Sitting, open) => {
                let here = open.map(|(_, view)| view.tab);
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

    fn keys(&self) -> KeyMap<Act> {
        self.key_map()
    }

    fn body(&self, room: Room) -> Body {
        let top = match (&self.page, self.sitting()) {
            _ if self.help.is_some() => self.help.unwrap_or(0),
            (Showing::Report(shown), _) => shown.scroll,
            (_, open) => open.map_or(0, |(_, view)| view.scroll),
        };
        let mut page = PageWriter::new(room, top);
        match (&self.page, &self.writing, self.sitting()) {
            _ if self.help.is_some() => page.keys(&self.part_keys(), &Self::help_map()),
            (_, Some(writing), open) => {
                if let Some((study, _)) = open {
                    page.heading(&study.title(page.width));
                    page.pin();
                }
                writing.write(&mut page);
            }
            (Showing::List, ..) => self.list.write(&mut page),
            (Showing::Wrong(reason), ..) => {
                page.heading(words::CANNOT_BE_SHOWN);
                page.text(reason);
                page.blank();
                page.text(words::OTHERS_UNTOUCHED);
            }
            (Showing::Report(shown), ..) => shown.write(&mut page),
            (Showing::Sitting, _, Some((study, view))) => {
                self.write_sitting(&mut page, study, view);
            }
            (Showing::Sitting, _, None) => {}
        }
        page.body
    }

    /// The digits typed towards a question, what is to be said, or what is wrong with the chosen
    /// file.
    fn message(&self) -> Option<Message> {
        if self.help.is_some() {
            return self.message.clone();
        }
        if let Some((_, view)) = self.sitting()
            && !view.typed.is_empty()
        {
            let typed = &view.typed;
            let text = words::question_typed(typed);
            return Some(Message::Notice(text));
        }
        let wrong = || {
            let reason = self.list.reason()?;
            matches!(self.page, Showing::List).then(|| Message::Trouble(clean_lines(reason)))
        };
        self.message.clone().or_else(wrong)
    }

    fn columns(&self) -> usize {
        match self.page {
            Showing::Report(_) if self.help.is_none() => COLUMNS,
            _ => 0,
        }
    }
}

impl Review {
    fn write_sitting(&self, page: &mut PageWriter, study: &Study, view: &View) {
        page.heading(&study.title(page.width.saturating_sub(24)));
        for remark in &study.opened.remarks {
            let style = page.theme.trouble;
            page.signed("! ", style, remark);
        }
        page.pin();
        match view.tab {
            Tab::Marks => marks::write(page, study),
            Tab::Time => time::write(page, study, view),
            Tab::Lanes => lanes::write(page, study, view),
            Tab::Curve => curve::write(page, study),
            Tab::Findings => findings::write(page, study, view),
            Tab::Question => question::write(page, study, view),
            Tab::Replay => replay::write(page, study, &view.player),
            Tab::Beside => self.beside.write(page, study),
        }
    }
}

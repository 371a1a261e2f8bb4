//! The result page after a sitting: what was done, the marks where the key is at hand, one true
//! encouraging sentence, one thing to do next time. No rank, no crosses, no alarm.

use ratatui::layout::Size;
use ratatui::text::Line;

use super::kit::{
    Binding, Body, Key, KeyMap, Message, Move, Page, PageWriter, Room, TEXT_WIDTH, help_keys,
    is_too_small,
};
use super::theme::Theme;
use crate::words::result::{Ended, question_in_words};
use crate::words::sitting::page as words;

/// The columns that one question's cell takes, and that a word behind it takes.
const CELL: usize = 15;
const REMARK: usize = 6;

/// What has become of the page after a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AfterKey {
    /// It stays.
    Stays,
    /// The pupil has left it.
    Left,
}

/// Where Q leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AfterResult {
    /// Away.
    Away,
    /// On to the pupil's own questions.
    Questions,
}

/// The page as it is being read.
#[derive(Clone, Debug)]
pub struct ResultPage {
    ended: Ended,
    /// What comes after it.
    next: AfterResult,
    scroll: usize,
    /// Whether it is said what leaves.
    asked: bool,
    /// How far the help is scrolled, while it shows.
    help: Option<usize>,
}

/// What a key can do on the result page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Reads on.
    Scroll(Move),
    /// Says what leaves.
    Ask,
    /// Leaves.
    Leave,
    /// Opens the help.
    OpenHelp,
    /// Closes the help.
    CloseHelp,
}

impl ResultPage {
    /// From the top.
    pub const fn new(ended: Ended, next: AfterResult) -> Self {
        Self {
            ended,
            next,
            scroll: 0,
            asked: false,
            help: None,
        }
    }

    /// Takes a key, in a window of this size: Q leaves, and what might be meant for that says so.
    ///
    /// In a window too small for the page only Q is heard.
    pub fn press(&mut self, key: Key, size: Size) -> AfterKey {
        if !matches!(key, Key::Char('q' | 'Q')) && is_too_small(size) {
            return AfterKey::Stays;
        }
        let Some(act) = self.keys().act(key) else {
            return AfterKey::Stays;
        };
        self.asked = false;
        match act {
            Act::Leave => return AfterKey::Left,
            Act::Ask => self.asked = true,
            Act::OpenHelp => self.help = Some(0),
            Act::CloseHelp => self.help = None,
            Act::Scroll(by) => {
                let to = self.scrolled(by, size);
                *self.help.as_mut().unwrap_or(&mut self.scroll) = to;
            }
        }
        AfterKey::Stays
    }

    /// The keys of the page itself.
    fn own_keys(&self) -> KeyMap<Act> {
        const ASK: &[Key] = &[Key::Enter, Key::Esc, Key::STOP];
        let leave = match self.next {
            AfterResult::Away => "leave",
            AfterResult::Questions => words::ON_TO_QUESTIONS,
        };
        KeyMap::new(vec![
            Binding::moves(Act::Scroll, "read on").foot("read on"),
            Binding::keys(ASK, Act::Ask, words::HOW_TO_LEAVE),
            Binding::keys(&[Key::Char('Q')], Act::Leave, leave).foot(leave),
            Binding::opens_help(Act::OpenHelp),
        ])
    }

    fn help_map() -> KeyMap<Act> {
        let mut keys = help_keys(Act::Scroll, Act::CloseHelp);
        keys.push(Binding::keys(&[Key::STOP], Act::Ask, words::HOW_TO_LEAVE));
        KeyMap::new(keys)
    }

    fn write(&self, body: &mut Body, room: Room) {
        let (width, theme) = (room.width, room.theme);
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
            body.line(Line::styled(
                crate::words::review::QUESTION_BY_QUESTION,
                theme.heading,
            ));
            let questions = &marks.with_guess_round.questions;
            let cells: Vec<_> = questions.iter().map(question_in_words).collect();
            let cell = if marks.has_guess_round() {
                CELL + REMARK
            } else {
                CELL
            };
            for row in cells.chunks((width / cell).max(1)) {
                let cells: Vec<_> = row.iter().map(|text| format!("{text:<cell$}")).collect();
                let line = cells.concat();
                body.line(line.trim_end().to_owned());
            }
            if marks.has_guess_round() {
                body.line(words::LATE_MEANS);
            }
            if let Some(signs) = ended.signs_mean() {
                body.line(signs);
            }
        }
        body.line("");
        for line in ended.last_lines() {
            body.text(&line, 0, width.min(TEXT_WIDTH));
        }
    }
}

impl Page for ResultPage {
    type Act = Act;

    fn trail(&self, theme: Theme) -> Line<'static> {
        let ended = &self.ended;
        Line::styled(format!("{}: {}", ended.pupil, ended.paper), theme.heading)
    }

    fn keys(&self) -> KeyMap<Act> {
        match self.help {
            Some(_) if !self.asked => Self::help_map(),
            _ => self.own_keys(),
        }
    }

    fn body(&self, room: Room) -> Body {
        let mut page = PageWriter::new(room, self.help.unwrap_or(self.scroll));
        match self.help {
            Some(_) => page.keys(&self.own_keys(), &Self::help_map()),
            None => self.write(&mut page.body, room),
        }
        page.body
    }

    fn message(&self) -> Option<Message> {
        let text = match self.next {
            AfterResult::Away => words::KEPT,
            AfterResult::Questions => words::KEPT_BEFORE_QUESTIONS,
        };
        self.asked.then(|| Message::Notice(text.to_owned()))
    }
}

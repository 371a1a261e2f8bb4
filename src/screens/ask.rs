//! A page that asks one question: a row is chosen, or words are written.

use ratatui::layout::Size;
use ratatui::text::Line;

use super::kit::{
    Binding, Body, Key, KeyMap, List, Message, Move, Page, PageWriter, Room, help_keys,
    is_too_small,
};
use super::theme::Theme;
use crate::words::ask::{Answered, AskLine, Asking, NOTHING_TO_CHOOSE, WRITTEN};

/// The most characters that are written.
const LONGEST_WRITTEN: usize = 200;

/// Stands where the next character will.
const CURSOR: char = '│';

/// The page as it stands.
#[derive(Clone, Debug)]
pub struct AskPage {
    ask: Asking,
    writes: bool,
    /// Whether its text is read from the top, and moves read on.
    reads: bool,
    scroll: usize,
    list: List<usize>,
    written: String,
    /// How far the help is scrolled, while it shows.
    help: Option<usize>,
    message: Option<Message>,
}

/// What a key can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Goes to another row.
    Go(Move),
    /// Goes to the row that begins with what is typed.
    Find(char),
    /// Writes a character.
    Write(char),
    /// Rubs one out.
    RubOut,
    /// Takes the row, or the words.
    Take,
    /// One step back.
    Back,
    /// Leaves the program.
    Leave,
    /// Opens the help.
    OpenHelp,
    /// Closes the help.
    CloseHelp,
    /// Reads on.
    Scroll(Move),
}

impl AskPage {
    /// Asks for a row, from the one at `at` on.
    pub fn rows(ask: Asking, at: usize) -> Self {
        Self {
            list: List::on((0..ask.rows.len()).collect(), at),
            writes: false,
            ..Self::words(ask)
        }
    }

    /// A text to read; the row behind it, like Esc, goes back.
    pub fn reading(ask: Asking) -> Self {
        Self {
            reads: true,
            ..Self::rows(ask, 0)
        }
    }

    /// Asks for words.
    pub fn words(ask: Asking) -> Self {
        Self {
            ask,
            writes: true,
            reads: false,
            scroll: 0,
            list: List::default(),
            written: String::new(),
            help: None,
            message: None,
        }
    }

    /// Says on the page what came of the last choice.
    #[must_use]
    pub fn saying(self, message: Option<Message>) -> Self {
        Self { message, ..self }
    }

    /// Takes a key, in a window of this size; an answer ends the page.
    ///
    /// In a window too small for the page only Ctrl-C is heard, since nobody sees what is chosen.
    pub fn press(&mut self, key: Key, size: Size) -> Option<Answered> {
        if key != Key::STOP && is_too_small(size) {
            return None;
        }
        let act = self.keys().act(key)?;
        self.message = None;
        match act {
            Act::Go(by) => self
                .list
                .walk(by, self.room(size, Theme::plain()).height.max(1)),
            Act::Find(c) => {
                let rows = &self.ask.rows;
                let name = |place: &usize| {
                    rows.get(*place)
                        .map_or_else(String::new, |row| row.name.clone())
                };
                self.list.find(c, name);
            }
            Act::Write(c) if self.written.chars().count() < LONGEST_WRITTEN => {
                self.written.push(c);
            }
            Act::Write(_) => {}
            Act::RubOut => drop(self.written.pop()),
            Act::Take if self.writes => {
                let words = self.written.trim();
                return (!words.is_empty()).then(|| Answered::Words(words.to_owned()));
            }
            Act::Take => return self.list.chosen().map(|place| Answered::Row(*place)),
            Act::Back => return Some(Answered::Back),
            Act::Leave => return Some(Answered::Leave),
            Act::OpenHelp => self.help = Some(0),
            Act::CloseHelp => self.help = None,
            Act::Scroll(by) => {
                let to = self.scrolled(by, size);
                *self.help.as_mut().unwrap_or(&mut self.scroll) = to;
            }
        }
        None
    }

    fn own_keys(&self) -> KeyMap<Act> {
        let back = Binding::keys(&[Key::Esc], Act::Back, "one step back").foot("back");
        let leave = Binding::keys(&[Key::STOP], Act::Leave, "leave");
        let help = Binding::keys(&[Key::F(1)], Act::OpenHelp, "this help").foot("help");
        let take = Binding::keys(&[Key::Enter], Act::Take, "choose").foot("choose");
        if self.writes {
            let write = Binding::letters(Act::Write, "write").foot("write");
            let rub_out = Binding::keys(&[Key::Backspace], Act::RubOut, "rub out");
            let take = Binding::keys(&[Key::Enter], Act::Take, "go on").foot("go on");
            return KeyMap::new(vec![
                write,
                rub_out.foot("rub out"),
                take,
                back,
                help,
                leave,
            ]);
        }
        if self.ask.rows.is_empty() {
            return KeyMap::new(vec![back, help, leave]);
        }
        if self.reads {
            let read_on = Binding::moves(Act::Scroll, "read on").foot("read on");
            return KeyMap::new(vec![read_on, take, back, help, leave]);
        }
        let go = Binding::moves(Act::Go, "move").foot("move");
        let find = Binding::letters(Act::Find, "find the row that begins with them");
        KeyMap::new(vec![
            go,
            find.called("type", "to search"),
            take,
            back,
            help,
            leave,
        ])
    }

    fn help_map() -> KeyMap<Act> {
        let mut keys = help_keys(Act::Scroll, Act::CloseHelp);
        keys.push(Binding::keys(&[Key::STOP], Act::Leave, "leave"));
        KeyMap::new(keys)
    }
}

impl Page for AskPage {
    type Act = Act;

    fn trail(&self, theme: Theme) -> Line<'static> {
        Line::styled(self.ask.title.clone(), theme.heading)
    }

    fn keys(&self) -> KeyMap<Act> {
        match self.help {
            Some(_) => Self::help_map(),
            None => self.own_keys(),
        }
    }

    fn body(&self, room: Room) -> Body {
        let mut page = PageWriter::new(room, self.help.unwrap_or(self.scroll));
        if self.help.is_some() {
            page.keys(&self.own_keys(), &Self::help_map());
            return page.body;
        }
        page.bold(&self.ask.question);
        for note in &self.ask.notes {
            page.text(note);
        }
        if !self.ask.text.is_empty() {
            page.blank();
        }
        for line in &self.ask.text {
            match line {
                AskLine::Words(words) => page.text(words),
                AskLine::AsItStands(line) => page.plain(line),
            }
        }
        page.blank();
        if self.writes {
            page.row(true, &format!("{WRITTEN} {}{CURSOR}", self.written), "");
        } else if self.ask.rows.is_empty() {
            page.text(NOTHING_TO_CHOOSE);
        }
        let mut group = "";
        for (place, row) in self.ask.rows.iter().enumerate() {
            if row.group != group {
                if !group.is_empty() {
                    page.blank();
                }
                group = row.group;
                page.heading(group);
            }
            page.row(place == self.list.at(), &row.name, &row.note);
        }
        if self.reads {
            // Nothing is chosen here: the text is read, from its top.
            page.body.focus = None;
        }
        page.body
    }

    fn message(&self) -> Option<Message> {
        self.message.clone()
    }
}

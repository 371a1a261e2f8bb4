//! The page of practice: a question, its hint, its working, and a line about the catch.

use std::fmt;
use std::rc::Rc;

use ratatui::layout::Size;
use ratatui::text::Line;

use super::kit::{
    Binding, Body, Key, KeyMap, Message, Move, Page, PageWriter, Room, help_keys, is_too_small,
};
use super::theme::Theme;
use crate::domain::header::INVENTED;
use crate::domain::practice::{LONGEST_CATCH, PracticeRound, RoundMove, RoundStage};
use crate::words::ask::AskLine;
use crate::words::practise as words;

/// Stands where the next character will.
const CURSOR: char = '│';

/// What is not on the disk yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unsaved {
    /// The disk is waited for.
    Waiting,
    /// It will not take it, and why.
    Trouble(String),
}

/// Asks how far saving has got; nothing where everything is on the disk.
#[derive(Clone)]
pub struct SavingLook(Rc<dyn Fn() -> Option<Unsaved>>);

impl SavingLook {
    /// Asks by this.
    pub fn new(ask: impl Fn() -> Option<Unsaved> + 'static) -> Self {
        Self(Rc::new(ask))
    }
}

impl fmt::Debug for SavingLook {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("SavingLook").field(&(self.0)()).finish()
    }
}

/// What became of the page after a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Practised {
    /// A move of the round.
    Do(RoundMove),
    /// The page was left.
    Left,
}

/// The page as it stands.
#[derive(Clone, Debug)]
pub struct PractisePage {
    round: PracticeRound,
    /// Whether the sittings behind it are invented.
    invented: bool,
    /// The line about the catch, while it is written.
    writing: Option<String>,
    /// How it went, once the round has ended.
    summary: Vec<String>,
    scroll: usize,
    /// How far the help is scrolled, while it shows.
    help: Option<usize>,
    message: Option<Message>,
    /// How far saving has got, where anything is saved.
    saving: Option<SavingLook>,
}

/// What a key can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Chooses an option.
    Answer(char),
    /// Shows the hint.
    Hint,
    /// Begins the line about the catch.
    Begin,
    /// Writes a character of it.
    Write(char),
    /// Rubs one out.
    RubOut,
    /// Keeps it.
    Keep,
    /// Drops it.
    Drop,
    /// Goes on to the next question.
    Next,
    /// Ends the round.
    Stop,
    /// Leaves.
    Leave,
    /// Opens the help.
    OpenHelp,
    /// Closes the help.
    CloseHelp,
    /// Reads on.
    Scroll(Move),
}

impl PractisePage {
    /// A round at its first question, perhaps of sittings that nobody sat.
    pub fn new(round: PracticeRound, invented: bool) -> Self {
        Self {
            round,
            invented,
            writing: None,
            summary: Vec::new(),
            scroll: 0,
            help: None,
            message: Some(Message::Notice(words::NO_HURRY.to_owned())),
            saving: None,
        }
    }

    /// The same, showing what isn't saved yet.
    #[must_use]
    pub fn watching(mut self, saving: SavingLook) -> Self {
        self.saving = Some(saving);
        self
    }

    fn unsaved(&self) -> Option<Unsaved> {
        (self.saving.as_ref()?.0)()
    }

    /// Shows what came of a move: the round, what could not be done or saved, and how it went once it has ended.
    pub fn show(
        &mut self,
        round: PracticeRound,
        trouble: Option<String>,
        summary: Option<Vec<String>>,
    ) {
        let is_caught = round.stage() == RoundStage::Over { caught: true };
        if round.stage() != self.round.stage() || round.place() != self.round.place() {
            self.scroll = 0;
        }
        self.round = round;
        self.summary = summary.unwrap_or_default();
        let kept = is_caught.then(|| Message::Notice(words::CATCH_KEPT.to_owned()));
        self.message = trouble.map(Message::Trouble).or(kept);
    }

    /// Takes a key, in a window of this size.
    pub fn press(&mut self, key: Key, size: Size) -> Option<Practised> {
        if key != Key::STOP && is_too_small(size) {
            return None;
        }
        let act = self.keys().act(key)?;
        self.message = None;
        match act {
            Act::Answer(typed) => return Some(Practised::Do(RoundMove::Answer(typed))),
            Act::Hint => return Some(Practised::Do(RoundMove::Hint)),
            Act::Next => return Some(Practised::Do(RoundMove::Next)),
            Act::Stop => {
                (self.writing, self.help) = (None, None);
                return Some(Practised::Do(RoundMove::Stop));
            }
            Act::Leave => return Some(Practised::Left),
            Act::Begin => self.writing = Some(String::new()),
            Act::Write(c) => {
                if let Some(text) = &mut self.writing
                    && text.chars().count() < LONGEST_CATCH
                {
                    text.push(c);
                }
            }
            Act::RubOut => drop(self.writing.as_mut().map(String::pop)),
            Act::Keep => {
                let text = self.writing.take().unwrap_or_default();
                let is_said = !text.trim().is_empty();
                return is_said.then_some(Practised::Do(RoundMove::Catch(text)));
            }
            Act::Drop => self.writing = None,
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
        const ENTER: &[Key] = &[Key::Enter];
        const STOPS: &[Key] = &[Key::Esc, Key::STOP];
        let stop = Binding::keys(STOPS, Act::Stop, words::STOPS).foot("stop");
        let help = Binding::keys(&[Key::F(1)], Act::OpenHelp, "this help").foot("help");
        let read_on = Binding::moves(Act::Scroll, "read on")
            .foot("read on")
            .rank(1);
        if self.writing.is_some() {
            return KeyMap::new(vec![
                Binding::letters(Act::Write, "write").foot("write"),
                Binding::keys(&[Key::Backspace], Act::RubOut, "rub out").foot("rub out"),
                Binding::keys(ENTER, Act::Keep, words::KEEPS_LINE).foot(words::KEEPS_LINE),
                Binding::keys(&[Key::Esc], Act::Drop, words::DROPS_LINE).foot(words::DROPS_LINE),
                Binding::keys(&[Key::STOP], Act::Stop, words::STOPS),
                help,
            ]);
        }
        match self.round.stage() {
            RoundStage::First { .. } | RoundStage::Second { .. } => {
                let range = self.round.question().map(|open| open.labels().range());
                let range = range.unwrap_or_default();
                let hint = Binding::keys(&[Key::Char('?')], Act::Hint, words::SHOWS_HINT);
                let is_new = self.round.stage() == RoundStage::First { hinted: false };
                let answer = Binding::letters(Act::Answer, "answer").called(range, "answer");
                let mut keys = vec![answer, read_on, stop, help];
                if is_new {
                    keys.insert(1, hint.foot("hint"));
                }
                KeyMap::new(keys)
            }
            RoundStage::Over { .. } => KeyMap::new(vec![
                Binding::keys(ENTER, Act::Next, words::GOES_ON).foot("next"),
                Binding::keys(&[Key::Char('w')], Act::Begin, words::BEGINS_CATCH)
                    .called("W", words::BEGINS_CATCH_SHORT),
                read_on,
                stop,
                help,
            ]),
            RoundStage::Ended => {
                let leave = Binding::keys(
                    &[Key::Char('q'), Key::Enter, Key::Esc, Key::STOP],
                    Act::Leave,
                    "leave",
                );
                let leave = leave.called(words::LEAVE_KEYS, "leave");
                // Without workings everything is in sight.
                let mut keys = vec![leave];
                if !self.round.later().is_empty() {
                    keys.extend([read_on, help]);
                }
                KeyMap::new(keys)
            }
        }
    }

    fn help_map(&self) -> KeyMap<Act> {
        let mut keys = help_keys(Act::Scroll, Act::CloseHelp);
        keys.push(match self.round.stage() {
            RoundStage::Ended => Binding::keys(&[Key::STOP], Act::Leave, "leave"),
            _ => Binding::keys(&[Key::STOP], Act::Stop, words::STOPS),
        });
        KeyMap::new(keys)
    }

    /// What is said of the open question, then its words, then how to go on.
    fn question(&self, page: &mut PageWriter) {
        let Some(open) = self.round.question() else {
            return;
        };
        let told = words::told(&self.round);
        for (place, line) in told.iter().enumerate() {
            match place {
                0 => page.bold(line),
                _ => page.text(line),
            }
        }
        let stage = self.round.stage();
        if let Some(text) = &self.writing {
            let text = format!("{} {text}{CURSOR}", words::CATCH_SO_FAR);
            page.row(true, &text, "");
        } else if stage == (RoundStage::Over { caught: false }) {
            page.text(words::CATCH);
        }
        if !told.is_empty() {
            page.blank();
        }
        for line in words::question(open, false) {
            match line {
                AskLine::Words(words) => page.text(&words),
                AskLine::AsItStands(line) => page.plain(&line),
            }
        }
        if let Some(line) = words::answer_with(open, stage) {
            page.blank();
            page.bold(&line);
        }
        if self.invented {
            page.blank();
            page.text(INVENTED);
        }
    }
}

impl Page for PractisePage {
    type Act = Act;

    fn trail(&self, theme: Theme) -> Line<'static> {
        let place = words::place(&self.round);
        let place = place.map_or_else(String::new, |place| format!("   {place}"));
        let unsaved = self.unsaved().map_or("", |_| words::NOT_SAVED_YET);
        Line::styled(format!("{}{place}{unsaved}", words::TITLE), theme.heading)
    }

    fn keys(&self) -> KeyMap<Act> {
        match self.help {
            Some(_) => self.help_map(),
            None => self.own_keys(),
        }
    }

    fn body(&self, room: Room) -> Body {
        let mut page = PageWriter::new(room, self.help.unwrap_or(self.scroll));
        if self.help.is_some() {
            page.keys(&self.own_keys(), &self.help_map());
        } else if self.round.stage() == RoundStage::Ended {
            if self.invented {
                page.text(INVENTED);
            }
            for line in &self.summary {
                page.bold(line);
            }
            page.blank();
            page.text(words::LEAVE);
            for (place, said) in words::workings(&self.round).iter().enumerate() {
                if place == 0 {
                    page.blank();
                    page.heading(words::WORKINGS);
                }
                page.blank();
                for (line, text) in said.iter().enumerate() {
                    match line {
                        0 => page.bold(text),
                        _ => page.text(text),
                    }
                }
            }
        } else {
            self.question(&mut page);
        }
        page.body
    }

    fn message(&self) -> Option<Message> {
        if let Some(refused @ Message::Trouble(_)) = &self.message {
            return Some(refused.clone());
        }
        match self.unsaved() {
            Some(Unsaved::Trouble(reason)) => Some(Message::Trouble(words::not_saved(reason))),
            Some(Unsaved::Waiting) | None => self.message.clone(),
        }
    }
}

//! The pages of the drills: a sweep against ninety seconds, and the keys without a clock.

use ratatui::layout::Size;
use ratatui::text::Line;

use super::kit::{Binding, Body, Key, KeyMap, Message, Page, PageWriter, Room, is_too_small};
use super::theme::Theme;
use crate::dialogue::HeldKey;
use crate::domain::drill::{NotFilled, SweepDrill};
use crate::domain::time::Elapsed;
use crate::words::drill as words;
use crate::words::sign::Sign;

/// What leaves after a drill, pressed twice.
const TWICE: &[Key] = &[Key::Enter, Key::Esc, Key::STOP];

/// So many keys that were found stay on the page.
const SHOWN: usize = 6;

/// Where a sweep stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum SweepStage {
    /// It has not started; `true` once S was pressed.
    Ready(bool),
    /// It is on since this moment.
    On(Elapsed),
    /// It is over; `true` once Enter was pressed.
    Over(bool),
}

/// What became of the page after a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drilled {
    /// It was left.
    Left,
    /// The sweep is over, and to be kept.
    Ended,
}

/// The page of a sweep.
#[derive(Clone, Debug)]
pub struct SweepPage {
    sweep: SweepDrill,
    about: String,
    stage: SweepStage,
    at: Elapsed,
    held: HeldKey<char>,
    /// What came of it.
    said: Vec<String>,
    message: Option<Message>,
}

/// What a key can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// The first of the two keys that start it.
    Ready,
    /// The second of them.
    Start,
    /// Back to before the first of them.
    NotYet,
    /// Fills the next blank.
    Fill(char),
    /// Stops before the end.
    Stop,
    /// Asks for the key once more.
    Ask,
    /// Leaves.
    Leave,
}

impl SweepPage {
    /// A sheet to fill, and what is said of it.
    pub fn new(sweep: SweepDrill, about: String) -> Self {
        Self {
            sweep,
            about,
            stage: SweepStage::Ready(false),
            at: Elapsed::ZERO,
            held: HeldKey::default(),
            said: Vec::new(),
            message: None,
        }
    }

    /// The sheet as it is filled.
    pub const fn sweep(&self) -> &SweepDrill {
        &self.sweep
    }

    /// Says what came of it.
    pub fn say(&mut self, lines: Vec<String>) {
        self.said = lines;
    }

    /// How long until the page changes by itself, where it does.
    pub fn next_change(&self) -> Option<Elapsed> {
        let SweepStage::On(began) = self.stage else {
            return None;
        };
        let left = SweepDrill::time_left(self.at.since(began));
        let part = left.0 % 1000;
        Some(Elapsed(if part == 0 { 1000 } else { part }))
    }

    /// Takes note of the time; gives whether the sweep ends with it.
    pub fn tick(&mut self, at: Elapsed) -> Option<Drilled> {
        self.at = at;
        let SweepStage::On(began) = self.stage else {
            return None;
        };
        self.sweep.is_over(at.since(began)).then(|| {
            self.stage = SweepStage::Over(false);
            Drilled::Ended
        })
    }

    /// Takes a key, in a window of this size.
    pub fn press(&mut self, key: Key, size: Size, at: Elapsed) -> Option<Drilled> {
        if let Some(ended) = self.tick(at) {
            return Some(ended);
        }
        if key != Key::STOP && is_too_small(size) {
            return None;
        }
        let act = self.keys().act(key)?;
        self.message = None;
        match act {
            Act::Ready => {
                self.stage = SweepStage::Ready(true);
                self.message = Some(Message::Notice(words::SWEEP_SURE.to_owned()));
            }
            Act::NotYet => self.stage = SweepStage::Ready(false),
            Act::Start => self.stage = SweepStage::On(at),
            Act::Fill(c) => return self.fill(c, at),
            Act::Stop => {
                self.stage = SweepStage::Over(false);
                self.said = vec![words::STOPPED.to_owned()];
            }
            Act::Ask => {
                self.stage = SweepStage::Over(true);
                self.message = Some(Message::Notice(words::ONCE_MORE.to_owned()));
            }
            Act::Leave => return Some(Drilled::Left),
        }
        None
    }

    fn fill(&mut self, c: char, at: Elapsed) -> Option<Drilled> {
        let SweepStage::On(began) = self.stage else {
            return None;
        };
        // A key held down would fill the sheet by itself.
        if self.held.is_held(c.to_ascii_lowercase(), at) {
            return None;
        }
        let range = self.sweep.open().map(|(_, labels)| labels.range());
        if self.sweep.fill(c, at.since(began)) == Err(NotFilled::NoOption) {
            let range = range.unwrap_or_default();
            self.message = Some(Message::Trouble(words::no_option(&range)));
        }
        self.tick(at)
    }
}

impl Page for SweepPage {
    type Act = Act;

    fn trail(&self, theme: Theme) -> Line<'static> {
        let title = match self.stage {
            SweepStage::On(began) => {
                let left = SweepDrill::time_left(self.at.since(began));
                let left = words::sweep_left(left);
                let blanks = words::blanks_left(self.sweep.left());
                format!("{}   {left}   {blanks}", words::SWEEP_TITLE)
            }
            SweepStage::Ready(_) | SweepStage::Over(_) => words::SWEEP_TITLE.to_owned(),
        };
        Line::styled(title, theme.heading)
    }

    fn keys(&self) -> KeyMap<Act> {
        const S: &[Key] = &[Key::Char('s')];
        const ENTER: &[Key] = &[Key::Enter];
        const STOPS: &[Key] = &[Key::Esc, Key::STOP];
        KeyMap::new(match self.stage {
            SweepStage::Ready(false) => vec![
                Binding::keys(S, Act::Ready, "then Enter").called("S then Enter", "start"),
                Binding::unnamed(ENTER, Act::NotYet),
                Binding::keys(STOPS, Act::Leave, "leave").foot("leave"),
            ],
            SweepStage::Ready(true) => vec![
                Binding::keys(ENTER, Act::Start, "start").foot("start"),
                Binding::any_other(Act::NotYet, "go back"),
            ],
            SweepStage::On(_) => vec![
                Binding::letters(Act::Fill, "fill").foot("fill the next blank"),
                Binding::keys(STOPS, Act::Stop, "stop").foot("stop"),
            ],
            SweepStage::Over(asked) => {
                let twice = if asked { Act::Leave } else { Act::Ask };
                vec![
                    Binding::keys(TWICE, twice, "leave")
                        .called("Enter Esc Ctrl-C twice or Q", "leave"),
                    Binding::keys(&[Key::Char('q')], Act::Leave, "leave"),
                ]
            }
        })
    }

    fn body(&self, room: Room) -> Body {
        let mut page = PageWriter::new(room, 0);
        match self.stage {
            SweepStage::Ready(_) => {
                page.text(words::WHAT_A_SWEEP_IS);
                page.text(&self.about);
                page.blank();
                page.bold(words::SWEEP_READY);
            }
            SweepStage::On(_) => {
                let open = self.sweep.open().map(|(question, _)| question);
                for (question, labels, filled) in self.sweep.rows() {
                    let letters = labels.iter().map(|label| {
                        if Some(label) == filled {
                            format!("[{label}]")
                        } else {
                            format!(" {label} ")
                        }
                    });
                    let letters = letters.collect::<String>();
                    let row = format!("{:>3}  {letters}", question.to_string());
                    page.row(Some(question) == open, row.trim_end(), "");
                }
            }
            SweepStage::Over(_) => {
                for line in &self.said {
                    page.bold(line);
                }
                page.blank();
                page.text(words::LEAVE);
            }
        }
        page.body
    }

    fn message(&self) -> Option<Message> {
        self.message.clone()
    }
}

/// The page of the keys.
#[derive(Clone, Debug, Default)]
pub struct KeysPage {
    done: usize,
    asked: bool,
    message: Option<Message>,
}

/// What a key can do on the page of the keys.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeysAct {
    /// It is one that is tried.
    Try,
    /// Leaves.
    Leave,
    /// Asks for the key once more.
    Ask,
}

impl KeysPage {
    /// How many keys were found.
    pub const fn found(&self) -> usize {
        self.done
    }

    /// Takes a key, in a window of this size.
    pub fn press(&mut self, key: Key, size: Size) -> Option<Drilled> {
        if key != Key::STOP && is_too_small(size) {
            return None;
        }
        self.message = None;
        match self.keys().act(key)? {
            KeysAct::Leave => return Some(Drilled::Left),
            KeysAct::Ask => {
                self.asked = true;
                self.message = Some(Message::Notice(words::ONCE_MORE.to_owned()));
            }
            KeysAct::Try => {
                let (wanted, says) = words::KEYS.get(self.done)?;
                let pressed = key.to_string();
                if pressed.eq_ignore_ascii_case(wanted) {
                    self.done += 1;
                    self.message = Some(Message::Notice(words::RIGHT_KEY.to_owned()));
                } else {
                    let text = words::other_key(&pressed, says);
                    self.message = Some(Message::Trouble(text));
                }
            }
        }
        None
    }
}

impl Page for KeysPage {
    type Act = KeysAct;

    fn trail(&self, theme: Theme) -> Line<'static> {
        let all = words::KEYS.len();
        let step = words::step((self.done + 1).min(all), all);
        Line::styled(format!("{}   {step}", words::KEYS_TITLE), theme.heading)
    }

    fn keys(&self) -> KeyMap<KeysAct> {
        const STOPS: &[Key] = &[Key::Esc, Key::STOP];
        if self.done < words::KEYS.len() {
            let leave = Binding::keys(STOPS, KeysAct::Leave, "leave").foot("leave");
            return KeyMap::new(vec![leave, Binding::any_other(KeysAct::Try, "try")]);
        }
        let twice = if self.asked {
            KeysAct::Leave
        } else {
            KeysAct::Ask
        };
        KeyMap::new(vec![
            Binding::keys(TWICE, twice, "leave").called("Enter Esc Ctrl-C twice or Q", "leave"),
            Binding::keys(&[Key::Char('q')], KeysAct::Leave, "leave"),
        ])
    }

    fn body(&self, room: Room) -> Body {
        let mut page = PageWriter::new(room, 0);
        page.text(words::NO_CLOCK);
        page.blank();
        // The last few are enough, and fit the smallest window.
        let first = self.done.saturating_sub(SHOWN);
        let tried = words::KEYS.iter().enumerate().take(self.done + 1);
        for (place, (_, says)) in tried.skip(first) {
            if place == self.done {
                page.row(true, says, "");
            } else {
                page.row(false, says, Sign::Right.mark());
            }
        }
        if self.done == words::KEYS.len() {
            page.blank();
            page.bold(words::KEYS_DONE);
            page.text(words::LEAVE);
        }
        page.body
    }

    fn message(&self) -> Option<Message> {
        self.message.clone()
    }
}

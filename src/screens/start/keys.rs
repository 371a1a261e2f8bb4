//! What each key does on each part of the start page.

use ratatui::layout::Size;

use super::form::{Form, FormRow};
use super::offer::Choice;
use super::state::{Asked, HomeRow, Stage, Start};
use crate::domain::header::Alias;
use crate::screens::kit::{
    Binding, Key, KeyMap, Message, Move, Page as _, help_keys, is_too_small,
};
use crate::screens::theme::Theme;
use crate::words::samples;
use crate::words::start as words;

/// The longest alias, so that more cannot be typed.
const LONGEST_ALIAS: usize = 40;

/// What a key can do on the start page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Asks whether to quit.
    AskToQuit,
    /// The first of the two keys that quit.
    SayQuit,
    /// Quits.
    Quit,
    /// Does nothing of what was asked.
    Stay,
    /// Opens the help.
    OpenHelp,
    /// Closes the help.
    CloseHelp,
    /// Reads on.
    Scroll(Move),
    /// Goes to another row.
    Go(Move),
    /// Goes to the row that begins with what is typed.
    Find(char),
    /// Changes the chosen arrangement, to the next value or to the one before.
    Change {
        /// Whether to the next.
        next: bool,
    },
    /// Types a character.
    Type(char),
    /// Rubs a character out; with none typed, an arrangement is what is usual again.
    RubOut,
    /// Takes what is chosen or typed.
    Take,
    /// Goes back one step.
    Back,
    /// The first of the two keys that start a clock.
    Ready,
    /// The second of them: a new sitting.
    StartClock,
    /// The second of them: an open sitting.
    GoOn,
    /// The first of the two keys that write the sample papers.
    AskSamples,
    /// The second of them.
    WriteSamples,
}

const S: &[Key] = &[Key::Char('s')];
const W: &[Key] = &[Key::Char('w')];

fn choose() -> Binding<Act> {
    Binding::moves(Act::Go, "move to a row").foot("move")
}

fn read_on() -> Binding<Act> {
    Binding::moves(Act::Scroll, "read on").foot("read on")
}

fn find() -> Binding<Act> {
    Binding::letters(Act::Find, "find the row that begins with them")
}

fn take() -> Binding<Act> {
    Binding::keys(&[Key::Enter], Act::Take, "choose the row").foot("choose")
}

fn back() -> Binding<Act> {
    Binding::keys(&[Key::Esc], Act::Back, "one step back").foot("back")
}

fn help() -> Binding<Act> {
    Binding::opens_help(Act::OpenHelp)
}

fn stop() -> Binding<Act> {
    Binding::keys(
        &[Key::STOP],
        Act::AskToQuit,
        "quit; asks first, a second one quits",
    )
}

/// Enter does it, and any other key does not; the key that asks to quit still does that.
fn confirm(act: Act, yes: &'static str, no: &'static str) -> KeyMap<Act> {
    KeyMap::new(vec![
        Binding::keys(&[Key::Enter], act, yes).foot(yes),
        stop(),
        Binding::any_other(Act::Stay, no),
    ])
}

impl Start {
    /// The keys that work now.
    pub(super) fn key_map(&self) -> KeyMap<Act> {
        const Y: &[Key] = &[Key::Char('y')];
        // The last resort in a window that is too small: the key that asks also quits.
        let stop = Binding::keys(&[Key::STOP], Act::Quit, "quit");
        match self.asked {
            Asked::Quit => KeyMap::new(vec![
                Binding::keys(Y, Act::SayQuit, words::THEN_ENTER_QUITS)
                    .called(words::Y_THEN_ENTER, "quit"),
                stop,
                Binding::any_other(Act::Stay, "stay"),
            ]),
            Asked::QuitSaid => KeyMap::new(vec![
                Binding::keys(&[Key::Enter], Act::Quit, "quit").foot("quit"),
                stop,
                Binding::any_other(Act::Stay, "stay"),
            ]),
            Asked::Start => confirm(Act::StartClock, "start the clock", "go back"),
            Asked::GoOn => confirm(Act::GoOn, "carry on with it", "go back"),
            Asked::Samples => confirm(Act::WriteSamples, samples::WRITES_THEM, "go back"),
            Asked::Nothing if self.help => Self::help_map(),
            Asked::Nothing => self.part_keys(),
        }
    }

    /// The keys of the help.
    pub(super) fn help_map() -> KeyMap<Act> {
        let mut keys = help_keys(Act::Scroll, Act::CloseHelp);
        keys.push(stop());
        KeyMap::new(keys)
    }

    /// The keys of the part that shows or lies under the help.
    pub(super) fn part_keys(&self) -> KeyMap<Act> {
        let mut keys = match self.page {
            Stage::Pupil => {
                let quit = Binding::keys(&[Key::Esc], Act::AskToQuit, "quit; asks first");
                let quit = quit.foot("quit, asks first");
                vec![
                    choose(),
                    find().called("type", "to search"),
                    take(),
                    quit,
                    help(),
                ]
            }
            Stage::NewAlias => {
                let write = Binding::letters(Act::Type, "write the alias").foot("write");
                let rub_out = Binding::keys(&[Key::Backspace], Act::RubOut, "rub out");
                let take = Binding::keys(&[Key::Enter], Act::Take, "take the alias").foot("take");
                vec![write, rub_out.foot("rub out"), take, back(), help()]
            }
            Stage::Learn | Stage::Practice => vec![choose(), take(), back(), help()],
            Stage::GoOn if self.open_chosen().is_none() => vec![choose(), take(), back(), help()],
            Stage::GoOn => vec![
                choose(),
                Binding::keys(S, Act::Ready, "then Enter: carry on with the sitting")
                    .called("S then Enter", "carry on with it"),
                Binding::keys(
                    &[Key::Enter],
                    Act::Take,
                    "after S: carry on with the sitting",
                ),
                back(),
                help(),
            ],
            Stage::Paper if self.offer.samples.is_some() => vec![
                Binding::keys(W, Act::AskSamples, samples::THEN_ENTER)
                    .called(samples::W_THEN_ENTER, samples::WRITES_THEM),
                Binding::keys(&[Key::Enter], Act::Take, samples::AFTER_W),
                back(),
                help(),
            ],
            Stage::Paper | Stage::PastPupil => {
                vec![
                    choose(),
                    find().called("type", "to search"),
                    take(),
                    back(),
                    help(),
                ]
            }
            Stage::Arrange => self.form.as_ref().map_or_else(|| vec![back()], form_keys),
            Stage::ReadOut => vec![
                read_on(),
                Binding::keys(S, Act::Ready, "then Enter: the clock starts at once")
                    .called("S then Enter", "start the clock"),
                Binding::keys(
                    &[Key::Enter],
                    Act::Take,
                    "after S: the clock starts at once",
                ),
                back(),
                help(),
            ],
            Stage::Past => {
                let open = Binding::keys(&[Key::Enter], Act::Take, "open the sitting");
                vec![choose(), open.foot("open"), back(), help(), find()]
            }
            Stage::Notices => {
                let back = Binding::keys(&[Key::Esc, Key::Enter], Act::Back, "one step back");
                vec![read_on(), back.called("Esc", "back"), help()]
            }
        };
        keys.push(stop());
        KeyMap::new(keys)
    }

    /// Takes a key, in a window of this size; a choice ends the page.
    ///
    /// In a window too small for the page only Ctrl-C is heard, since nobody sees what is chosen.
    pub fn press(&mut self, key: Key, size: Size) -> Option<Choice> {
        if key != Key::STOP && is_too_small(size) {
            return None;
        }
        let act = self.key_map().act(key)?;
        self.message = None;
        self.asked = Asked::Nothing;
        match act {
            Act::AskToQuit => self.ask(Asked::Quit, words::ASK_QUIT),
            Act::SayQuit => self.ask(Asked::QuitSaid, words::QUIT_SAID),
            Act::Quit => return Some(Choice::Quit),
            Act::Stay => {}
            Act::OpenHelp => (self.help, self.scroll) = (true, 0),
            Act::CloseHelp => (self.help, self.scroll) = (false, 0),
            Act::Scroll(by) => self.scroll = self.scrolled(by, size),
            Act::Go(by) => self.go(by, size),
            Act::Find(c) => self.find(c),
            Act::Change { next } => self.change(next),
            Act::Type(c) => self.type_in(c),
            Act::RubOut => self.rub_out(),
            Act::Take => return self.take(),
            Act::Back => self.back(),
            Act::Ready => self.ready(),
            Act::AskSamples => self.ask(Asked::Samples, samples::READY),
            Act::WriteSamples => {
                let pupil = self.alias()?.clone();
                return Some(Choice::WriteSamples { pupil });
            }
            Act::StartClock => return self.seating(),
            Act::GoOn => {
                let path = self.open_chosen()?.path.clone();
                return Some(Choice::GoOn { path });
            }
        }
        None
    }

    fn ask(&mut self, asked: Asked, text: impl Into<String>) {
        self.asked = asked;
        self.message = Some(Message::Notice(text.into()));
    }

    fn refuse(&mut self, taken: Result<(), String>) {
        if let Err(text) = taken {
            self.message = Some(Message::Trouble(text));
        }
    }

    fn go(&mut self, by: Move, size: Size) {
        let height = self.room(size, Theme::plain()).height;
        match self.page {
            Stage::Pupil => self.lists.home.walk(by, height),
            Stage::Learn => self.lists.learn.walk(by, height),
            Stage::GoOn => self.lists.go_on.walk(by, height),
            Stage::Practice => self.lists.practice.walk(by, height),
            Stage::Paper => {
                let before = self.lists.paper.at();
                // A row takes two lines.
                self.lists.paper.walk(by, height / 2);
                self.forget_form(before);
            }
            Stage::PastPupil => self.lists.past_pupil.walk(by, height),
            Stage::Past => self.lists.past.walk(by, height / 2),
            Stage::Arrange => {
                let taken = self
                    .form
                    .as_mut()
                    .map_or(Ok(()), |form| form.take_typed().map(|()| form.go(by)));
                self.refuse(taken);
            }
            Stage::NewAlias | Stage::ReadOut | Stage::Notices => {}
        }
    }

    fn find(&mut self, c: char) {
        let pupils = &self.pupils;
        let alias = |place: usize| pupils.get(place).map_or_else(String::new, Alias::to_string);
        match self.page {
            Stage::Pupil => self.lists.home.find(c, |row| row.name(pupils)),
            Stage::PastPupil => self.lists.past_pupil.find(c, |place| alias(*place)),
            Stage::Paper => {
                let papers = &self.offer.papers;
                let title = |place: &usize| {
                    let paper = papers
                        .get(*place)
                        .and_then(|offer| offer.paper.as_ref().ok());
                    paper.map_or_else(String::new, |paper| paper.outline.title.clone())
                };
                let before = self.lists.paper.at();
                self.lists.paper.find(c, title);
                self.forget_form(before);
            }
            Stage::Past => {
                let past = &self.offer.past;
                let title = |place: &usize| {
                    let sitting = past.get(*place);
                    sitting.map_or_else(String::new, |sitting| sitting.paper.clone())
                };
                self.lists.past.find(c, title);
            }
            Stage::NewAlias
            | Stage::Learn
            | Stage::GoOn
            | Stage::Practice
            | Stage::Arrange
            | Stage::ReadOut
            | Stage::Notices => {}
        }
    }

    /// Another paper has arrangements of its own.
    fn forget_form(&mut self, before: usize) {
        if before != self.lists.paper.at() {
            self.form = None;
        }
    }

    fn change(&mut self, next: bool) {
        let taken = self
            .form
            .as_mut()
            .map_or(Ok(()), |form| form.take_typed().map(|()| form.turn(next)));
        self.refuse(taken);
    }

    fn type_in(&mut self, c: char) {
        match (self.page, &mut self.form) {
            (Stage::Arrange, Some(form)) => form.type_in(c),
            (Stage::NewAlias, _) => {
                let taken = self.type_alias(c);
                self.refuse(taken);
            }
            _ => {}
        }
    }

    fn rub_out(&mut self) {
        match (self.page, &mut self.form) {
            (Stage::Arrange, Some(form)) => form.rub(),
            (Stage::NewAlias, _) => drop(self.lists.alias.pop()),
            _ => {}
        }
    }

    /// Takes a character into the alias, or says why no alias has it there.
    fn type_alias(&mut self, c: char) -> Result<(), String> {
        let typed = &self.lists.alias;
        let longer = format!("{typed}{c}");
        if typed.chars().count() == LONGEST_ALIAS {
            return Err(words::alias_too_long(LONGEST_ALIAS));
        }
        // An alias is trimmed when it is read: blanks must not even be typed.
        if !Alias::new(&longer).is_ok_and(|alias| alias.as_str() == longer) {
            return Err(words::not_in_an_alias(c));
        }
        self.lists.alias = longer;
        Ok(())
    }

    fn back(&mut self) {
        match self.page {
            Stage::Pupil => {}
            Stage::NewAlias => {
                self.lists.alias.clear();
                self.turn_to(Stage::Pupil);
            }
            Stage::Learn
            | Stage::GoOn
            | Stage::Practice
            | Stage::Paper
            | Stage::PastPupil
            | Stage::Notices => {
                self.turn_to(Stage::Pupil);
            }
            Stage::Arrange => {
                let typing = self.form.as_mut().and_then(|form| form.typing.take());
                if typing.is_none() {
                    self.turn_to(Stage::Paper);
                }
            }
            Stage::ReadOut => self.turn_to(Stage::Arrange),
            Stage::Past => self.turn_to(Stage::PastPupil),
        }
    }

    fn take(&mut self) -> Option<Choice> {
        match self.page {
            Stage::Pupil => match *self.lists.home.chosen()? {
                HomeRow::Pupil(index) => self.pupil_chosen(index),
                HomeRow::NewAlias => self.turn_to(Stage::NewAlias),
                HomeRow::Past => self.turn_to(Stage::PastPupil),
                HomeRow::Notices => self.turn_to(Stage::Notices),
                HomeRow::Quit => return Some(Choice::Quit),
            },
            Stage::NewAlias => self.alias_typed(),
            Stage::Learn => {
                let learns = *self.lists.learn.chosen()?;
                let pupil = self.alias()?.clone();
                // It is offered once.
                self.offer.met.push(pupil.clone());
                self.turn_to(Stage::Paper);
                return Some(if learns {
                    Choice::Learn { pupil }
                } else {
                    Choice::SkipKeys { pupil }
                });
            }
            Stage::GoOn => match self.open_chosen() {
                None if self.due().is_some() => self.turn_to(Stage::Practice),
                None => self.turn_to(Stage::Paper),
                Some(open) => {
                    let text = words::s_first_to_go_on(self.who(), open.goes_on());
                    self.message = Some(Message::Notice(text));
                }
            },
            Stage::Paper if self.offer.samples.is_some() => {
                self.message = Some(Message::Notice(samples::W_FIRST.to_owned()));
            }
            Stage::Practice => {
                if *self.lists.practice.chosen()? {
                    let pupil = self.alias()?.clone();
                    return Some(Choice::Practise { pupil });
                }
                self.turn_to(Stage::Paper);
            }
            Stage::Paper => self.paper_chosen(),
            Stage::Arrange => match &mut self.form {
                Some(form) if form.typing.is_some() => {
                    let taken = form.take_typed();
                    self.refuse(taken);
                }
                Some(_) => self.turn_to(Stage::ReadOut),
                None => self.turn_to(Stage::Paper),
            },
            Stage::ReadOut => {
                let text = words::S_FIRST;
                self.message = Some(Message::Notice(text.to_owned()));
            }
            Stage::PastPupil => {
                self.pupil = *self.lists.past_pupil.chosen()?;
                self.list_past();
                self.turn_to(Stage::Past);
            }
            Stage::Past => return self.past_taken(),
            Stage::Notices => {}
        }
        None
    }

    /// Looks at a past sitting that is over; one that is open can be gone on with.
    fn past_taken(&mut self) -> Option<Choice> {
        let place = *self.lists.past.chosen()?;
        let past = self.offer.past.get(place)?;
        if past.open_in_words().is_none() {
            let path = past.path.clone();
            return Some(Choice::Look { path });
        }
        self.list_open(0);
        let rows = self.lists.go_on.rows();
        let at = rows.iter().position(|row| *row == Some(place));
        self.list_open(at.unwrap_or(0));
        self.turn_to(Stage::GoOn);
        None
    }

    /// S, then Enter: two keys, so that a held one never starts a clock; and on an open sitting the
    /// row may be another pupil's.
    fn ready(&mut self) {
        match (self.page, self.open_chosen()) {
            (Stage::GoOn, Some(open)) => {
                let text = words::ready_to_go_on(self.who(), open.goes_on());
                self.ask(Asked::GoOn, text);
            }
            _ => self.ask(Asked::Start, words::READY),
        }
    }
}

/// The keys of the arrangements.
fn form_keys(form: &Form) -> Vec<Binding<Act>> {
    const BEFORE: &[Key] = &[Key::Left];
    const NEXT: &[Key] = &[Key::Right];
    const YES_NO: &[Key] = &[Key::Char('y'), Key::Char('n')];
    const PARTS: &[Key] = &[
        Key::Char('.'),
        Key::Char('/'),
        Key::Char('-'),
        Key::Char(','),
        Key::Char(' '),
        Key::Char('%'),
    ];
    let change = |next| Act::Change { next };
    let go = Binding::moves(Act::Go, "choose a row; what was typed is taken");
    let left = Binding::keys(BEFORE, change(false), "the value before");
    let right = Binding::keys(NEXT, change(true), "the next value");
    let rub_out = |help| Binding::keys(&[Key::Backspace], Act::RubOut, help);
    if form.typing.is_some() {
        return vec![
            Binding::digits(Act::Type, "write the value").foot("write"),
            Binding::signs(PARTS, Act::Type, "parts of a value"),
            rub_out("rub out").foot("rub out"),
            Binding::keys(&[Key::Enter], Act::Take, "take the value").foot("take"),
            Binding::keys(&[Key::Esc], Act::Back, "cancel: the row stays as it was").foot("cancel"),
            help(),
            go,
            left,
            right,
        ];
    }
    let go_on = Binding::keys(&[Key::Enter], Act::Take, "go on to what is read out");
    let go_on = go_on.foot("go on");
    if !form.can_change() {
        return vec![go.foot("row"), go_on, back(), help()];
    }
    let row: FormRow = form.row();
    let value = if row.takes_text() {
        Binding::digits(Act::Type, "type a value").foot("type a value")
    } else {
        Binding::signs(YES_NO, Act::Type, "yes or no").foot("yes or no")
    };
    vec![
        go.foot("row"),
        left.called("Left Right", "change"),
        right,
        value,
        go_on,
        back(),
        help(),
        rub_out("what is usual"),
    ]
}

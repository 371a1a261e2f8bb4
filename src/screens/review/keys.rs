//! What each key does on each page.

use ratatui::layout::Size;

use super::model::{Review, Showing};
use super::order::{QuestionsBy, TimesAgainst};
use super::request::{Report, Request};
use super::study::Study;
use super::time;
use super::view::{Tab, View};
use super::writing::Writing;
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::domain::standing::Exclusion;
use crate::domain::step::Step;
use crate::screens::kit::{
    Binding, Key, KeyMap, Message, Move, Page as _, help_keys, is_too_small,
};
use crate::screens::theme::Theme;
use crate::words::review;
use crate::words::time::day;

/// The most columns for whose sitting it is, when and of which paper.
const TITLE_COLUMNS: usize = 56;

/// More digits than any question's number has.
const LONGEST_NUMBER: usize = 3;

/// What a key can do in the review.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Asks whether to leave.
    AskToLeave,
    /// Leaves.
    Leave,
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
    /// Back to the list; in the list, takes the filter away or asks whether to leave.
    Back,
    /// Opens or takes what is chosen.
    Take,
    /// Sorts by the next thing, or by the one before.
    Sort {
        /// Whether by the next.
        forwards: bool,
    },
    /// Types a character.
    Type(char),
    /// Rubs a character out.
    RubOut,
    /// Shows a pupil's progress.
    Progress,
    /// Shows the group on a paper.
    Group,
    /// Opens the group's term.
    Overview,
    /// Lets a pupil practise.
    Practise,
    /// Shows a page of the sitting.
    Show(Tab),
    /// Shows the next page of the sitting, or the one before.
    Turn {
        /// Whether the next.
        forwards: bool,
    },
    /// Goes to the question whose number is typed.
    Jump,
    /// Drops the number typed.
    DropNumber,
    /// Sets the cause of a lost mark.
    SetCause,
    /// Writes a note.
    WriteNote,
    /// Writes why the sitting does not count, or counts it again.
    Decide,
    /// Ticks what is vouched for on an evidence sheet.
    Ticks,
    /// Agrees on a step for the next sitting.
    AgreeStep,
    /// Sets a tick, or takes it away.
    Tick {
        /// That the time was seen to be kept, or else that somebody was there.
        time: bool,
    },
    /// Orders questions by number or by time.
    OrderQuestions,
    /// Holds times against the plan or against the group.
    HoldAgainst,
    /// Shows all findings, or as many as one talk holds.
    EveryFinding,
    /// Chooses anew what stands beside.
    ChooseBeside,
    /// A step of the replay, on or back.
    Step {
        /// Whether on.
        forwards: bool,
    },
    /// Steps by something else.
    StepBy {
        /// Whether by the next.
        forwards: bool,
    },
    /// To an end of the hour.
    ToEnd {
        /// Whether to the last moment.
        last: bool,
    },
    /// Plays, or stands.
    Play,
    /// Plays faster or slower.
    Speed {
        /// Whether faster.
        faster: bool,
    },
    /// Keeps what is written.
    Keep,
    /// Keeps the cause of a digit.
    KeepCause(char),
    /// Keeps that there is no cause.
    KeepNoCause,
    /// Drops what is written.
    Drop,
}

fn stop() -> Binding<Act> {
    Binding::keys(
        &[Key::STOP],
        Act::AskToLeave,
        "asks whether to leave the review; a second one leaves",
    )
}

fn help() -> Binding<Act> {
    Binding::opens_help(Act::OpenHelp)
}

fn progress() -> Binding<Act> {
    let says = "progress of the chosen row's pupil";
    Binding::keys(&[Key::F(2)], Act::Progress, says).foot("progress")
}

fn group() -> Binding<Act> {
    let says = "everybody on the chosen row's paper";
    Binding::keys(&[Key::F(3)], Act::Group, says).foot("group")
}

fn overview() -> Binding<Act> {
    Binding::keys(&[Key::F(6)], Act::Overview, review::OPEN_TERM).foot(review::TERM)
}

fn practice() -> Binding<Act> {
    Binding::keys(&[Key::F(7)], Act::Practise, review::PRACTISE)
}

fn read_on() -> Binding<Act> {
    Binding::moves(Act::Scroll, "read on").foot("read on")
}

fn choose(help: &'static str) -> Binding<Act> {
    Binding::moves(Act::Go, help).foot("choose")
}

fn back() -> Binding<Act> {
    Binding::keys(&[Key::Esc], Act::Back, "back to the list").foot("list")
}

fn note() -> Binding<Act> {
    let says = "write a note on the question, or on the whole sitting";
    Binding::keys(&[Key::Char('N')], Act::WriteNote, says).foot("note")
}

fn cause() -> Binding<Act> {
    let says = "set the cause of the lost mark";
    Binding::keys(&[Key::Char('E')], Act::SetCause, says).foot("cause")
}

fn decide() -> Binding<Act> {
    Binding::keys(&[Key::F(4)], Act::Decide, review::DECIDE)
}

fn ticks() -> Binding<Act> {
    Binding::keys(&[Key::F(5)], Act::Ticks, review::TICK_OFF)
}

fn agree() -> Binding<Act> {
    Binding::keys(&[Key::F(6)], Act::AgreeStep, review::AGREE)
}

fn to_question(help: &'static str, does: &'static str) -> Binding<Act> {
    Binding::keys(&[Key::Enter], Act::Take, help).foot(does)
}

const fn number() -> Binding<Act> {
    Binding::digits(Act::Type, "type a question's number; Enter opens it")
}

/// Every page but the one that shows, where its letter would do nothing.
fn tabs(here: Tab) -> Vec<Binding<Act>> {
    let letter = |tab: Tab| Binding::keys(tab.key(), Act::Show(tab), tab.means());
    let named = match here {
        Tab::Replay => "M T L C F Q B",
        Tab::Beside => "M T L C F Q R",
        _ => "M T L C F Q R B",
    };
    let left_out = match here {
        Tab::Replay | Tab::Beside => Some(here),
        _ => None,
    };
    let mut letters = Tab::ALL
        .into_iter()
        .filter(|tab| Some(*tab) != left_out)
        .map(letter);
    let first = letters.next().map(|own| own.called(named, "page"));
    first.into_iter().chain(letters).collect()
}

fn turn() -> [Binding<Act>; 2] {
    let turn = |forwards| Act::Turn { forwards };
    [
        Binding::keys(&[Key::Left], turn(false), "the page before"),
        Binding::keys(&[Key::Right], turn(true), "the next page"),
    ]
}

impl Review {
    /// The keys that work now.
    pub(super) fn key_map(&self) -> KeyMap<Act> {
        const LEAVE: &[Key] = &[Key::Enter, Key::STOP];
        if self.asked_to_leave {
            return KeyMap::new(vec![
                Binding::keys(LEAVE, Act::Leave, "leave").called("Enter", "leave"),
                Binding::any_other(Act::Stay, "stay"),
            ]);
        }
        if self.help.is_some() {
            return Self::help_map();
        }
        self.part_keys()
    }

    /// The keys of the help.
    pub(super) fn help_map() -> KeyMap<Act> {
        let mut keys = help_keys(Act::Scroll, Act::CloseHelp);
        keys.push(stop());
        KeyMap::new(keys)
    }

    /// The keys of the page that shows or lies under the help.
    pub(super) fn part_keys(&self) -> KeyMap<Act> {
        let mut keys = match (&self.writing, &self.page, self.sitting()) {
            (Some(Writing::Cause { .. }), ..) => cause_keys(),
            (Some(Writing::Note { .. }), ..) => note_keys("write the note", "keep the note"),
            (Some(Writing::Reason { .. }), ..) => {
                note_keys(review::WRITE_REASON, review::KEEP_REASON)
            }
            (Some(Writing::Ticks { .. }), ..) => ticks_keys(),
            (Some(Writing::Step { .. }), ..) => note_keys(review::WRITE_STEP, review::KEEP_STEP),
            (None, Showing::List, _) => list_keys(),
            (None, Showing::Report(_), _) => {
                vec![
                    read_on(),
                    progress(),
                    group(),
                    overview(),
                    practice(),
                    back(),
                    help(),
                ]
            }
            (None, Showing::Wrong(_), _) => {
                const BACK: &[Key] = &[Key::Esc, Key::Enter];
                let back = Binding::keys(BACK, Act::Back, "back to the list");
                vec![back.called("Esc", "back to the list"), help()]
            }
            (None, Showing::Sitting, Some((study, view))) => self.sitting_keys(study, view),
            (None, Showing::Sitting, None) => vec![back()],
        };
        keys.push(stop());
        KeyMap::new(keys)
    }

    fn sitting_keys(&self, study: &Study, view: &View) -> Vec<Binding<Act>> {
        if !view.typed.is_empty() {
            let enter = Binding::keys(&[Key::Enter], Act::Jump, "open that question");
            let rub_out = Binding::keys(&[Key::Backspace], Act::RubOut, "rub out a digit");
            let esc = Binding::keys(&[Key::Esc], Act::DropNumber, "drop the number");
            return vec![
                number().foot("number"),
                enter.foot("open it"),
                rub_out.foot("rub out"),
                esc.foot("drop it"),
                help(),
            ];
        }
        let tab = view.tab;
        let mut keys = tabs(tab);
        keys.extend(match tab {
            Tab::Marks | Tab::Curve => vec![
                number().called("number Enter", "question"),
                read_on(),
                note(),
            ],
            Tab::Time => time_keys(study),
            Tab::Lanes => vec![
                choose("choose a question"),
                to_question("open the question", "question"),
                cause(),
                note(),
            ],
            Tab::Findings => vec![
                choose("choose a finding"),
                to_question("open the finding's question", "its question"),
                Binding::keys(
                    &[Key::Char('A')],
                    Act::EveryFinding,
                    "all findings, or as many as one talk holds",
                )
                .foot("all, or one talk's"),
                note(),
            ],
            Tab::Question => question_keys(),
            Tab::Replay => return replay_keys(keys),
            Tab::Beside if self.beside.is_choosing() => vec![
                choose("choose a sitting, or the group"),
                Binding::keys(&[Key::Enter], Act::Take, "put it beside this sitting")
                    .foot("put beside"),
            ],
            Tab::Beside => {
                const ANOTHER: &[Key] = &[Key::Char('O'), Key::Enter];
                let another = Binding::keys(ANOTHER, Act::ChooseBeside, "choose another");
                vec![read_on(), another.called("O", "another")]
            }
        });
        keys.extend([back(), help(), decide(), ticks()]);
        // A talk begins at one of these two pages; the others have no room to name it.
        keys.push(match tab {
            Tab::Marks | Tab::Findings => agree().foot("step").rank(1),
            _ => agree(),
        });
        keys.extend(turn());
        if tab == Tab::Beside {
            keys.push(Binding::keys(
                &[Key::Char('N')],
                Act::WriteNote,
                "write a note on the whole sitting",
            ));
        }
        if !matches!(tab, Tab::Marks | Tab::Curve) {
            keys.push(number());
        }
        keys
    }

    /// Takes a key, in a window of this size; what a page cannot do itself comes back.
    ///
    /// In a window too small for the page only Ctrl-C is heard.
    pub fn press(&mut self, key: Key, size: Size) -> Option<Request> {
        if key != Key::STOP && is_too_small(size) {
            return None;
        }
        let act = self.key_map().act(key)?;
        self.message = None;
        self.asked_to_leave = false;
        match act {
            Act::AskToLeave => self.ask_to_leave(),
            Act::Leave => return Some(Request::Leave),
            Act::Stay => {}
            Act::OpenHelp => self.help = Some(0),
            Act::CloseHelp => self.help = None,
            Act::Scroll(by) => self.scroll(by, size),
            Act::Go(by) => self.go(by, size),
            Act::Back => self.back(),
            Act::Take => return self.take(),
            Act::Sort { forwards } => self.list.sort(forwards),
            Act::Type(c) => self.type_in(c),
            Act::RubOut => self.rub_out(),
            Act::Progress => {
                return self.open_report(|row| Report::Progress(row.pupil.clone()));
            }
            Act::Group => return self.open_report(|row| Report::Group(row.path.clone())),
            Act::Overview => return self.open_report(|_| Report::Overview),
            Act::Practise => {
                return Some(Request::Practise(self.list.chosen()?.pupil.clone()));
            }
            Act::SetCause => self.set_cause(),
            Act::WriteNote => self.write_note(),
            Act::Decide => return self.decide(),
            Act::Ticks => self.tick_off(),
            Act::AgreeStep => self.agree_step(),
            Act::Tick { time } => self.writing.as_mut()?.tick(time),
            Act::Jump => self.jump(),
            Act::ChooseBeside => self.beside.choose(),
            Act::Keep => return self.keep(),
            Act::KeepCause(digit) => {
                self.writing.as_mut()?.choose(digit);
                return self.keep();
            }
            Act::KeepNoCause => {
                self.writing.as_mut()?.choose_none();
                return self.keep();
            }
            Act::Drop => self.writing = None,
            act => {
                if let Some((study, view)) = self.open.as_deref_mut() {
                    view_act(study, view, act);
                }
            }
        }
        None
    }

    fn ask_to_leave(&mut self) {
        self.asked_to_leave = true;
        let text = review::ASK_LEAVE;
        self.message = Some(Message::Notice(text.to_owned()));
    }

    fn keep(&mut self) -> Option<Request> {
        let study = self.open.as_deref().map(|(study, _)| study);
        let header = study.map(|study| &study.opened.header);
        let refused = header.and_then(|header| self.writing.as_ref()?.refused(header));
        if let Some(reason) = refused {
            self.message = Some(Message::Trouble(reason));
            return None;
        }
        Some(self.writing.take()?.request())
    }

    /// Asks why the sitting does not count; one that was set aside counts again at once.
    fn decide(&mut self) -> Option<Request> {
        let (path, title, set_aside) = if let Some((study, _)) = self.sitting() {
            let decided = study.opened.notes.as_ref().ok()?.decision();
            let set_aside = decided.is_some_and(|own| !own.counts);
            let title = study.title(TITLE_COLUMNS);
            (study.opened.path.clone(), title, set_aside)
        } else {
            let row = self.list.chosen()?;
            let reason = row.summary()?.standing.withdrawn;
            let day = row.when.map(|at| day(at.date())).unwrap_or_default();
            let title = review::row_title(&row.pupil, &day, &row.paper);
            (row.path.clone(), title, reason == Some(Exclusion::SetAside))
        };
        if set_aside {
            let because = String::new();
            return Some(Request::Decide { path, because });
        }
        self.writing = Some(Writing::Reason {
            path,
            title,
            text: String::new(),
        });
        None
    }

    /// Ticks, from those that stand.
    fn tick_off(&mut self) {
        let Some((study, _)) = self.open.as_deref() else {
            return;
        };
        match &study.opened.notes {
            Err(reason) => self.message = Some(Message::Trouble(reason.clone())),
            Ok(notes) => {
                let said = notes.vouched.last();
                self.writing = Some(Writing::Ticks {
                    timed: said.is_some_and(|own| own.timed),
                    supervised: said.is_some_and(|own| own.supervised),
                    text: said.map(|own| own.sentence.clone()).unwrap_or_default(),
                });
            }
        }
    }

    /// Types a step, from the one that stands.
    fn agree_step(&mut self) {
        let Some((study, _)) = self.open.as_deref() else {
            return;
        };
        match &study.opened.notes {
            Err(reason) => self.message = Some(Message::Trouble(reason.clone())),
            Ok(notes) => {
                let text = notes.step().map(|step| match step {
                    Step::Listed(step) => step.to_string(),
                    Step::OwnWords(text) => text.clone(),
                });
                let text = text.unwrap_or_default();
                self.writing = Some(Writing::Step { text });
            }
        }
    }

    fn go(&mut self, by: Move, size: Size) {
        let height = self.room(size, Theme::plain()).height;
        if let Some(writing) = &mut self.writing {
            return writing.go(by);
        }
        if matches!(self.page, Showing::List) {
            return self.list.go(by, height.saturating_sub(2));
        }
        let Some((study, view)) = self.open.as_deref_mut() else {
            return;
        };
        match view.tab {
            Tab::Time => view.choose(by, &time::numbers(study, view.by), height),
            Tab::Lanes => view.choose(by, &study.numbers(), height),
            Tab::Question => {
                view.scroll = 0;
                view.choose(by, &study.numbers(), 1);
            }
            Tab::Findings => {
                let many = view.findings(study).len();
                view.finding = by.from(view.finding, many.saturating_sub(1), many);
            }
            Tab::Beside => self.beside.go(by, height),
            Tab::Marks | Tab::Curve | Tab::Replay => {}
        }
    }

    fn back(&mut self) {
        if !matches!(self.page, Showing::List) {
            self.page = Showing::List;
        } else if !self.list.unfilter() {
            self.ask_to_leave();
        }
    }

    fn take(&mut self) -> Option<Request> {
        match self.page {
            Showing::List => return self.open_chosen(),
            Showing::Wrong(_) | Showing::Report(_) => return None,
            Showing::Sitting => {}
        }
        let (study, view) = self.open.as_deref_mut()?;
        match view.tab {
            Tab::Time | Tab::Lanes => view.tab = Tab::Question,
            Tab::Findings => {
                let shown = view.findings(study);
                let told = shown.get(view.finding.min(shown.len().saturating_sub(1)));
                if let Some(question) = told.and_then(|told| told.questions.first()) {
                    view.question = *question;
                    view.turn_to(Tab::Question);
                }
            }
            Tab::Beside => return self.beside.take(),
            Tab::Marks | Tab::Curve | Tab::Question | Tab::Replay => {}
        }
        None
    }

    fn type_in(&mut self, c: char) {
        if let Some(writing) = &mut self.writing {
            writing.type_in(c);
        } else if matches!(self.page, Showing::List) {
            self.list.type_in(c);
        } else if let Some((_, view)) = self.open.as_deref_mut()
            && view.typed.len() < LONGEST_NUMBER
        {
            view.typed.push(c);
        }
    }

    fn rub_out(&mut self) {
        if let Some(writing) = &mut self.writing {
            writing.rub_out();
        } else if matches!(self.page, Showing::List) {
            self.list.rub_out();
        } else if let Some((_, view)) = self.open.as_deref_mut() {
            view.typed.pop();
        }
    }

    fn jump(&mut self) {
        let Some((study, view)) = self.open.as_deref_mut() else {
            return;
        };
        let typed = std::mem::take(&mut view.typed);
        let question = typed.parse().ok().map(QuestionNo);
        if let Some(question) = question.filter(|question| study.facts(*question).is_some()) {
            view.question = question;
            view.turn_to(Tab::Question);
        } else {
            let text = review::no_such_question(&typed);
            self.message = Some(Message::Trouble(text));
        }
    }

    fn set_cause(&mut self) {
        let Some((study, view)) = self.open.as_deref() else {
            return;
        };
        let number = view.question;
        let outcome = study.facts(number).and_then(|facts| facts.outcome);
        let text = match (&study.opened.notes, outcome) {
            (Err(reason), _) => reason.clone(),
            (_, Some(Outcome::Right | Outcome::Void)) => review::no_mark_lost(number),
            (Ok(notes), _) => {
                let words = notes.questions.get(&number).map(|said| said.text.clone());
                let before = notes.cause(number);
                let writing = Writing::cause(number, before, words.unwrap_or_default());
                self.writing = Some(writing);
                return;
            }
        };
        self.message = Some(Message::Trouble(text));
    }

    fn write_note(&mut self) {
        let Some((study, view)) = self.open.as_deref() else {
            return;
        };
        let on_question = matches!(view.tab, Tab::Time | Tab::Lanes | Tab::Question);
        let question = on_question.then_some(view.question);
        match &study.opened.notes {
            Err(reason) => self.message = Some(Message::Trouble(reason.clone())),
            Ok(notes) => {
                let said = match question {
                    Some(number) => notes.questions.get(&number),
                    None => notes.whole.as_ref(),
                };
                self.writing = Some(Writing::Note {
                    question,
                    text: said.map(|said| said.text.clone()).unwrap_or_default(),
                    cause: said.and_then(|said| said.cause),
                });
            }
        }
    }

    fn scroll(&mut self, by: Move, size: Size) {
        let to = self.scrolled(by, size);
        if let Some(help) = &mut self.help {
            *help = to;
            return;
        }
        match (&mut self.page, self.open.as_deref_mut()) {
            (Showing::Report(shown), _) => shown.scroll = to,
            (Showing::Sitting, Some((_, view))) => view.scroll = to,
            _ => {}
        }
    }
}

/// What a key does to what is looked at in a sitting.
fn view_act(study: &Study, view: &mut View, act: Act) {
    match act {
        Act::Show(tab) => view.turn_to(tab),
        Act::Turn { forwards } => view.turn_to(view.tab.turn(forwards)),
        Act::DropNumber => view.typed.clear(),
        Act::OrderQuestions => {
            view.by = match view.by {
                QuestionsBy::Number => QuestionsBy::Time,
                QuestionsBy::Time => QuestionsBy::Number,
            };
        }
        Act::HoldAgainst => {
            view.against = match view.against {
                TimesAgainst::Plan => TimesAgainst::Group,
                TimesAgainst::Group => TimesAgainst::Plan,
            };
        }
        Act::EveryFinding => {
            view.every_finding = !view.every_finding;
            view.finding = 0;
        }
        Act::Step { forwards } => view.player.step(study, forwards),
        Act::StepBy { forwards } => view.player.step_by(forwards),
        Act::ToEnd { last } => view.player.jump(study, last),
        Act::Play => view.player.play(study),
        Act::Speed { faster } => view.player.speed_up(faster),
        _ => {}
    }
}

fn list_keys() -> Vec<Binding<Act>> {
    let sort = |forwards| Act::Sort { forwards };
    vec![
        choose("choose a sitting"),
        Binding::keys(&[Key::Enter], Act::Take, "open the sitting").foot("open"),
        progress(),
        group(),
        overview().rank(1),
        decide().foot(review::LEAVE_OUT).rank(1),
        practice().foot(review::PRACTICE).rank(2),
        Binding::letters(Act::Type, "show the sittings that have them").foot("filter"),
        Binding::keys(&[Key::Left], sort(false), "sort by the thing before")
            .called("Left Right", "sort")
            .rank(1),
        Binding::keys(&[Key::Right], sort(true), "sort by the next thing"),
        Binding::keys(
            &[Key::Esc],
            Act::Back,
            "take the filter away; with none, asks whether to leave",
        )
        .foot("no filter, or leave"),
        help(),
        Binding::keys(
            &[Key::Backspace],
            Act::RubOut,
            "rub out a letter of the filter",
        ),
    ]
}

fn cause_keys() -> Vec<Binding<Act>> {
    let no_cause = Binding::keys(
        &[Key::Backspace],
        Act::KeepNoCause,
        "keep that there is none",
    );
    vec![
        choose("choose a cause"),
        Binding::keys(&[Key::Enter], Act::Keep, "keep the cause").foot("keep"),
        Binding::digits(
            Act::KeepCause,
            "keep the cause of that number, 0 for the tenth",
        )
        .called("1 to 9, 0", "keep that one"),
        no_cause.foot("no cause"),
        Binding::keys(&[Key::Esc], Act::Drop, "leave it as it was").foot("drop"),
        help(),
    ]
}

fn ticks_keys() -> Vec<Binding<Act>> {
    let tick = |key, time, says| Binding::keys(key, Act::Tick { time }, says);
    let mut keys = vec![
        tick(&[Key::F(2)], true, review::TICK_TIME).foot(review::TIME_KEPT),
        tick(&[Key::F(3)], false, review::TICK_THERE).foot(review::SOMEBODY_THERE),
    ];
    keys.extend(note_keys(review::WRITE_SENTENCE, review::KEEP_TICKS));
    keys
}

fn note_keys(write: &'static str, keep: &'static str) -> Vec<Binding<Act>> {
    vec![
        Binding::letters(Act::Type, write).foot("write"),
        Binding::keys(&[Key::Enter], Act::Keep, keep).foot("keep"),
        Binding::keys(&[Key::Esc], Act::Drop, "leave it as it was").foot("drop"),
        // A question mark belongs to the note.
        Binding::keys(&[Key::F(1)], Act::OpenHelp, "this help").foot("help"),
        Binding::keys(&[Key::Backspace], Act::RubOut, "rub out"),
    ]
}

fn time_keys(study: &Study) -> Vec<Binding<Act>> {
    let order = "order the questions by time, or by number";
    let hold = "hold the times against the plan, or against the group";
    let mut keys = vec![
        choose("choose a question"),
        to_question("open the question", "question"),
        Binding::keys(&[Key::Char('S')], Act::OrderQuestions, order).foot("sort"),
    ];
    if study.group.is_some() {
        let group = Binding::keys(&[Key::Char('G')], Act::HoldAgainst, hold);
        keys.push(group.foot("plan or group").rank(1));
    }
    keys.extend([cause(), note()]);
    keys
}

fn question_keys() -> Vec<Binding<Act>> {
    const OTHER: &[Key] = &[
        Key::Up,
        Key::Down,
        Key::Home,
        Key::End,
        Key::Tab,
        Key::BackTab,
    ];
    const READ: &[Key] = &[Key::PageDown, Key::PageUp];
    vec![
        Binding::moving(OTHER, Act::Go, "another question").foot("other question"),
        Binding::moving(READ, Act::Scroll, "read on").called("PageDown", "read on"),
        cause(),
        note(),
    ]
}

fn replay_keys(tabs: Vec<Binding<Act>>) -> Vec<Binding<Act>> {
    const SPACE: &[Key] = &[Key::Char(' ')];
    const FASTER: &[Key] = &[Key::Char('+'), Key::Char('=')];
    const SLOWER: &[Key] = &[Key::Char('-'), Key::Char('_')];
    const START: &[Key] = &[Key::Home, Key::PageUp];
    const END: &[Key] = &[Key::End, Key::PageDown];
    let step = |forwards| Act::Step { forwards };
    let step_by = |forwards| Act::StepBy { forwards };
    let mut keys = vec![
        Binding::keys(&[Key::Left], step(false), "a step back").called("Left Right", "step"),
        Binding::keys(&[Key::Right], step(true), "a step on"),
        Binding::keys(&[Key::Up], step_by(false), "step by the thing before")
            .called("Up Down", "by what"),
        Binding::keys(&[Key::Down], step_by(true), "step by the next thing"),
        Binding::keys(SPACE, Act::Play, "play, or stand still").foot("play"),
        Binding::keys(FASTER, Act::Speed { faster: true }, "play faster").called("+ -", "speed"),
        Binding::keys(SLOWER, Act::Speed { faster: false }, "play slower"),
        Binding::keys(START, Act::ToEnd { last: false }, "to the first moment")
            .called("Home End", "ends")
            .rank(1),
        Binding::keys(END, Act::ToEnd { last: true }, "to the last moment"),
    ];
    keys.extend(tabs);
    keys.extend([note(), back(), help(), number(), decide(), ticks(), agree()]);
    keys
}

//! What belongs to the screen alone, and the dialogue behind it.

use std::collections::BTreeSet;

use super::desk::Desk;
use super::keys::name;
use crate::dialogue::{Act, Confirm, Dialogue, HeldKey, Move};
use crate::domain::labels::{Label, Labels};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Phase, Refusal, Sitting};
use crate::screens::kit::{Key, is_too_small};
use crate::words::sitting::Said;
use crate::words::sitting::page as words;
use crate::words::text::width;

/// What the pupil's keys ask of the loop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// Do these, one after another, up to the first refusal.
    Acts(Vec<Act>),
    /// Save in the other place that the trouble named.
    SaveElsewhere,
    /// Try again now to save.
    TryAgain,
    /// Paint the whole screen anew.
    Redraw,
}

/// Whether the clock is on the page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum ClockShown {
    #[default]
    Yes,
    /// In steps of five minutes, as the tutor has arranged it.
    LargeSteps,
    /// Not, though it is in large steps when it shows.
    No { large_steps: bool },
}

impl ClockShown {
    const fn shown(large_steps: bool) -> Self {
        if large_steps {
            Self::LargeSteps
        } else {
            Self::Yes
        }
    }

    /// Hidden where it shows, and the other way round.
    pub(super) const fn turned(self) -> Self {
        match self {
            Self::Yes => Self::No { large_steps: false },
            Self::LargeSteps => Self::No { large_steps: true },
            Self::No { large_steps } => Self::shown(large_steps),
        }
    }
}

/// Whether the first of the two steps of a confirmation was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    First,
    Second,
}

/// A page that lies on top of the one that the sitting itself asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Overlay {
    Help,
    Menu,
    /// Finish early?
    Finish,
    /// Give the sitting up?
    GiveUp,
    /// After time: end?
    End,
    /// Stop the program?
    Leave,
    /// Fill the blanks at random?
    Fill,
    /// All questions at a glance.
    Glance,
}

impl Overlay {
    /// What the page asks to be confirmed.
    const fn asks(self) -> Option<Confirm> {
        match self {
            Self::Help | Self::Menu | Self::Glance => None,
            Self::Leave => Some(Confirm::Leave),
            Self::Fill => Some(Confirm::Fill),
            Self::Finish | Self::End => Some(Confirm::Finish),
            Self::GiveUp => Some(Confirm::GiveUp),
        }
    }
}

/// The page on the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shown {
    TooSmall,
    Answering,
    Guessing,
    RestBreak,
    /// What was asked on it, if anything.
    TimeUp(Option<Confirm>),
    Closed,
    Over(Overlay, Step),
}

impl Shown {
    /// Whether a question's number can be typed on it.
    pub(super) const fn takes_numbers(self) -> bool {
        matches!(
            self,
            Self::Answering | Self::Guessing | Self::Over(Overlay::Glance, _)
        )
    }
}

/// How far a page is scrolled; it holds only for the page and question it was made on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Scroll {
    shown: Shown,
    question: Option<QuestionNo>,
    top: usize,
}

/// Which options could be read.
#[derive(Clone, Debug, Default)]
struct OptionsSeen {
    /// Those that have been on the page.
    seen: BTreeSet<(QuestionNo, Label)>,
    /// The one that was chosen without having been on the page, once.
    asked: Option<(QuestionNo, Label)>,
}

/// What belongs to the screen alone; nothing of it is recorded.
#[derive(Clone, Debug, Default)]
pub struct Model {
    /// What was asked.
    pub(super) dialogue: Dialogue,
    /// The digits of a jump; an empty text after `#`.
    pub(super) typed: Option<String>,
    /// Whether the letter of an option to cross out is waited for.
    pub(super) crossing: bool,
    /// Which options could be read.
    options: OptionsSeen,
    /// What lies on top, and the phase it was opened in: it goes when the phase does.
    over: Option<(Overlay, Phase)>,
    pub(super) clock: ClockShown,
    /// The message, and the phase that it is about where it is about one.
    line: Option<(String, Option<Phase>)>,
    /// The last key, and when it came.
    pub(super) held: HeldKey<Key>,
    /// What was opened in the guess round: the sheet itself knows only of what was opened in time.
    pub(super) looked: BTreeSet<QuestionNo>,
    scroll: Option<Scroll>,
}

impl Model {
    /// A screen on which nothing has been pressed.
    pub fn new() -> Self {
        Self::default()
    }

    /// The screen of a sitting that is taken up again: a hidden clock stays hidden.
    pub fn of(sitting: &Sitting, large_steps: bool) -> Self {
        let clock = if sitting.clock_hidden() {
            ClockShown::No { large_steps }
        } else {
            ClockShown::shown(large_steps)
        };
        Self {
            clock,
            ..Self::default()
        }
    }

    /// Puts a sentence on the message line until the next key.
    pub fn say(&mut self, sentence: impl Into<String>) {
        self.line = Some((sentence.into(), None));
    }

    /// Says why a wish was not granted.
    pub fn refused(&mut self, refusal: Refusal) {
        self.say(refusal.to_string());
    }

    /// Says that pasted text was dropped.
    pub fn pasted(&mut self) {
        self.say(words::NOT_PASTED);
    }

    /// Says something that is about this phase of the sitting only.
    pub(super) fn tell(&mut self, desk: &Desk<'_>, sentence: impl Into<String>) {
        self.line = Some((sentence.into(), Some(desk.sitting.phase())));
    }

    /// Gives a move to the dialogue: shows what is said to it, and gives what is to be done.
    pub(super) fn hear(&mut self, desk: &Desk<'_>, said: Move) -> Option<Ask> {
        let reply = self.dialogue.hear(said, &desk.scene());
        let columns = usize::from(desk.size.width);
        let mut said = reply.said.iter();
        if said.by_ref().any(|said| self.show(desk, said))
            && let Some(more) = said.find(|said| matches!(said, Said::AllAnswered(_)))
        {
            // Where to look next is said with the last answer where the line has room.
            let first = self.line.as_ref().map_or("", |(line, _)| line);
            let both = format!("{first} {}", more.shown(columns).unwrap_or_default());
            if width(&both) <= columns {
                self.tell(desk, both);
            }
        }
        self.opens(&reply.acts);
        (!reply.acts.is_empty()).then_some(Ask::Acts(reply.acts))
    }

    /// Puts on the message line what has a sentence there.
    pub(super) fn show(&mut self, desk: &Desk<'_>, said: &Said) -> bool {
        let sentence = said.shown(usize::from(desk.size.width));
        let shows = sentence.is_some();
        if let Some(sentence) = sentence {
            match said {
                Said::TooLate { .. } | Said::Refused(_) => self.say(sentence),
                _ => self.tell(desk, sentence),
            }
        }
        shows
    }

    /// A question opened anew is read from its top, and a jump half typed is dropped.
    fn opens(&mut self, acts: &[Act]) {
        let opens = |act: &Act| matches!(act, Act::Wish(Command::Open(_)));
        if acts.iter().any(opens) {
            self.typed = None;
            self.crossing = false;
            self.scroll = None;
        }
    }

    /// Takes note of the options that are on the page now.
    pub(super) fn saw(&mut self, question: QuestionNo, options: Vec<Label>) {
        let options = options.into_iter().map(|option| (question, option));
        self.options.seen.extend(options);
    }

    /// Whether every option of a question has been on the page.
    pub(super) fn has_seen_all(&self, question: QuestionNo, labels: &Labels) -> bool {
        let mut all = labels.iter();
        all.all(|label| self.options.seen.contains(&(question, label)))
    }

    /// Whether an option has to be looked at before it is chosen: once, where its words were never
    /// on the page.
    pub(super) fn asks_to_look(&mut self, desk: &Desk<'_>, option: Label) -> bool {
        let Some(question) = desk.current() else {
            return false;
        };
        let this = (question, option);
        let seen = self.options.seen.contains(&this);
        let asks = !seen && self.options.asked != Some(this);
        self.options.asked = asks.then_some(this);
        asks
    }

    /// Takes the message away.
    pub(super) fn hush(&mut self) {
        self.line = None;
    }

    /// Whether this was asked, and a further key would do it.
    pub(super) fn is_asked(&self, desk: &Desk<'_>, confirm: Confirm) -> bool {
        self.dialogue.asked(&desk.scene()) == Some(confirm)
    }

    /// Whether the dialogue takes this now.
    pub(super) fn offers(&self, desk: &Desk<'_>, said: Move) -> bool {
        self.dialogue.offers(said, &desk.scene())
    }

    /// Puts a page on top.
    pub(super) fn open(&mut self, desk: &Desk<'_>, overlay: Overlay) {
        self.typed = None;
        self.crossing = false;
        self.dialogue.forget();
        self.over = Some((overlay, desk.sitting.phase()));
    }

    /// Takes the page on top away.
    pub(super) fn close(&mut self) {
        self.over = None;
    }

    /// The message, unless the sitting has moved on since.
    pub(super) fn message(&self, phase: Phase) -> Option<&str> {
        let (line, about) = self.line.as_ref()?;
        about
            .is_none_or(|about| about == phase)
            .then_some(line.as_str())
    }

    /// Whether the page on the screen may say what a guess is worth: any but the answer sheet's.
    pub fn may_advise(&self, phase: Phase) -> bool {
        self.over.is_some() || !matches!(phase, Phase::Running | Phase::GuessRound)
    }

    /// The page on the screen.
    pub(super) fn shown(&self, desk: &Desk<'_>) -> Shown {
        if is_too_small(desk.size) {
            return Shown::TooSmall;
        }
        self.page(desk)
    }

    /// The page that keys act on: in a window too small for it, it is still this one.
    pub(super) fn page(&self, desk: &Desk<'_>) -> Shown {
        let phase = desk.sitting.phase();
        let over = self.over.filter(|(_, opened_in)| *opened_in == phase);
        let step = |confirm: Option<Confirm>| match confirm {
            Some(confirm) if self.is_asked(desk, confirm) => Step::Second,
            _ => Step::First,
        };
        match (phase, over.map(|(overlay, _)| overlay)) {
            (_, Some(overlay)) => Shown::Over(overlay, step(overlay.asks())),
            (Phase::Running, None) => Shown::Answering,
            (Phase::OnBreak, None) => Shown::RestBreak,
            (Phase::TimeUp, None) => Shown::TimeUp(self.dialogue.asked(&desk.scene())),
            (Phase::GuessRound, None) => Shown::Guessing,
            (Phase::Closed(_), None) => Shown::Closed,
        }
    }

    /// The first line shown of what scrolls on the page.
    pub(super) fn top(&self, desk: &Desk<'_>) -> usize {
        let (shown, question) = (self.page(desk), desk.current());
        self.scroll
            .filter(|scroll| scroll.shown == shown && scroll.question == question)
            .map_or(0, |scroll| scroll.top)
    }

    /// Scrolls the page and question on the screen.
    pub(super) fn scroll_to(&mut self, desk: &Desk<'_>, top: usize) {
        self.scroll = Some(Scroll {
            shown: self.page(desk),
            question: desk.current(),
            top,
        });
    }

    /// Says that a key means nothing here.
    pub(super) fn no_key(&mut self, desk: &Desk<'_>, key: Key, what_works: &str) {
        if let Key::Char(c) = key
            && let Some(why) = words::another_alphabet(c)
        {
            return self.tell(desk, why);
        }
        let name = name(key);
        self.tell(desk, words::does_nothing(&name, what_works));
    }
}

//! A typed line, and what is said to it.

use super::typed::{Typed, is_yes};
use super::word::Word;
use super::{aloud, help};
use crate::dialogue::{Act, Confirm, Dialogue, Move, Reply, Scene};
use crate::domain::sitting::{Command, Phase, Refusal, Sitting};
use crate::domain::time::Elapsed;
use crate::words::aloud as words;
use crate::words::guess::advice;
use crate::words::sitting::{ON_BREAK, Said, blanks_by_number, choose};

/// What comes of a typed line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spoken {
    /// Lines to print.
    pub said: Vec<String>,
    /// What to do then, in order, up to the first refusal.
    pub acts: Vec<Act>,
}

impl Spoken {
    /// Only lines.
    const fn lines(said: Vec<String>) -> Self {
        Self {
            said,
            acts: Vec::new(),
        }
    }

    fn and_say(mut self, line: String) -> Self {
        self.said.push(line);
        self
    }
}

/// The line-by-line sitting.
#[derive(Clone, Debug)]
pub struct Plain {
    dialogue: Dialogue,
}

impl Plain {
    /// Begins at a moment of a sitting, new or taken up again.
    pub fn new(at: &Scene<'_>) -> Self {
        Self {
            dialogue: Dialogue::begin(at),
        }
    }

    /// What is said first, and the first question opened.
    pub fn opening(&mut self, at: &Scene<'_>) -> Spoken {
        let answer = self.dialogue.opening(at);
        let opens = !answer.acts.is_empty();
        let mut reply = Self::aloud(answer, at);
        if !opens && Move::Next.is_for(at.phase()) {
            let here = at.current();
            reply.said.extend(here.into_iter().flat_map(|open| {
                if at.is_sweeping() {
                    aloud::question_in_short(at, open)
                } else {
                    aloud::question(at, open)
                }
            }));
        }
        reply
    }

    /// Takes a typed line, at this moment.
    pub fn line(&mut self, at: &Scene<'_>, typed: &str) -> Spoken {
        let is_first_after_time = self.dialogue.has_more_to_tell(at);
        let owes = self.dialogue.owes_time_up(at);
        if owes || (is_first_after_time && typed.trim().is_empty()) {
            let said = match Typed::read(typed, at) {
                _ if typed.trim().is_empty() => Move::Listen,
                Typed::Label(label, how) => Move::Answer(label, how),
                Typed::LabelAt(question, label, how) => Move::AnswerAt(question, label, how),
                _ => Move::Cancel,
            };
            return self.hear(said, at);
        }
        if at.sitting.is_closed() {
            return Spoken {
                said: vec![Refusal::Finished.to_string()],
                acts: vec![Act::Leave],
            };
        }
        let phase = at.phase();
        let read = Typed::read(typed, at);
        if self.dialogue.asked(at).is_some() {
            if is_yes(typed) {
                return self.hear(Move::Confirm, at);
            }
            // A letter may have been meant as a no; a word or a number says what it means.
            if !matches!(read, Typed::Word(_) | Typed::Question(_)) || typed.trim().is_empty() {
                return self.no(&read, at);
            }
        }
        match read {
            Typed::Nothing if phase == Phase::GuessRound => self.hear(Move::Skip, at),
            Typed::LabelAt(question, label, how) => {
                let reply = self.hear(Move::AnswerAt(question, label, how), at);
                let mut opened = reply.acts.iter().rev().filter_map(|act| match act {
                    Act::Wish(Command::Open(opened)) => Some(*opened),
                    _ => None,
                });
                if opened.next() == Some(question) {
                    return reply.and_say(words::is_open_now(question));
                }
                reply
            }
            Typed::Out(label) => self.hear(Move::CrossOut(label), at),
            Typed::Nothing => self.hear(Move::Next, at),
            Typed::Label(label, how) => self.hear(Move::Answer(label, how), at),
            Typed::Question(question) => self.hear(Move::Go(question), at),
            Typed::Unclear(text) => {
                let blank = at.sitting.blanks().next().is_some();
                self.only(match phase {
                    Phase::OnBreak => ON_BREAK.to_owned(),
                    Phase::TimeUp => choose(blank).to_owned(),
                    Phase::Running | Phase::GuessRound | Phase::Closed(_) => text,
                })
            }
            Typed::Word(word) if !word.is_for(phase) => self.only(word.elsewhere(phase)),
            Typed::Word(word) => {
                if let Some(said) = word.says_in(phase) {
                    return self.word(said, is_first_after_time, at);
                }
                self.dialogue.forget();
                Spoken::lines(read_out(word, at))
            }
        }
    }

    /// What is due by itself, if anything; called again until there is nothing.
    pub fn passing(&mut self, at: &Scene<'_>) -> Option<String> {
        let said = self.dialogue.due(at)?;
        let mut lines = said.spoken(&advice_now(at));
        let again = self.dialogue.asks_again(at);
        lines.extend(again.into_iter().flat_map(|asked| asked.spoken(&[])));
        Some(lines.join(" "))
    }

    /// When [`Plain::passing`] will next have something to say by itself; nothing while the clock
    /// is stopped.
    pub fn wake(&self, sitting: &Sitting) -> Option<Elapsed> {
        self.dialogue.wake(sitting)
    }

    /// What is said once the blanks have been filled at random.
    pub fn filled(sitting: &Sitting) -> Vec<String> {
        vec![words::filled(sitting.rows()), words::ENDS_ROUND.to_owned()]
    }

    /// Drops what was asked, and says where one is.
    fn no(&mut self, typed: &Typed, at: &Scene<'_>) -> Spoken {
        let mut reply = self.hear(Move::Cancel, at);
        let blank = at.sitting.blanks().next().is_some();
        reply.said.push(match at.phase() {
            Phase::OnBreak => ON_BREAK.to_owned(),
            Phase::TimeUp => choose(blank).to_owned(),
            Phase::Running | Phase::GuessRound | Phase::Closed(_) => {
                words::carrying_on(at.current())
            }
        });
        let takes_answers = matches!(at.phase(), Phase::Running | Phase::GuessRound);
        if let Typed::Label(label, _) | Typed::LabelAt(_, label, _) = typed
            && takes_answers
        {
            reply.said.push(words::not_answered(*label));
        }
        reply
    }

    fn word(&mut self, said: Move, is_first_after_time: bool, at: &Scene<'_>) -> Spoken {
        let passed = at.row().map(|row| row.number);
        let mut asks = self.hear(said, at);
        if said == Move::Skip && at.phase() == Phase::GuessRound && !asks.acts.is_empty() {
            let stays = passed.filter(|passed| at.sitting.blanks().any(|blank| blank == *passed));
            let stays = stays.map(words::stays_blank);
            asks.said.splice(0..0, stays);
        }
        // The word and Enter are what a page asks for as a letter and Enter.
        // What was begun in time may have meant the word of that name.
        if self.dialogue.asked(at) == Some(Confirm::Guess) && !is_first_after_time {
            return self.hear(Move::Confirm, at);
        }
        let now = match said {
            Move::HideClock => words::CLOCK_IS_HIDDEN,
            Move::ShowClock => words::CLOCK_IS_SHOWN,
            _ => return asks,
        };
        asks.and_say(now.to_owned())
    }

    fn hear(&mut self, said: Move, at: &Scene<'_>) -> Spoken {
        let answer = self.dialogue.hear(said, at);
        Self::aloud(answer, at)
    }

    /// Says only this, and drops what was asked.
    fn only(&mut self, line: String) -> Spoken {
        self.dialogue.forget();
        Spoken::lines(vec![line])
    }

    /// The answer as lines; a question that is opened is read out.
    fn aloud(answer: Reply, at: &Scene<'_>) -> Spoken {
        let said = answer.said.iter();
        let mut lines: Vec<String> = said
            // What was filled is read out when it has been.
            .filter(|said| **said != Said::Filled)
            .flat_map(|said| said.spoken(&advice_now(at)))
            .collect();
        let opened = match answer.acts.last() {
            Some(Act::Wish(Command::Open(question))) => Some(*question),
            Some(Act::Wish(Command::EndBreak)) => at.current(),
            _ => None,
        };
        let sweeps = Act::Wish(Command::BeginSweep);
        // The end of a rest break goes back to it.
        let sweeping =
            at.sitting.is_sweeping() && !answer.acts.contains(&Act::Wish(Command::LeaveSweep));
        let in_short = sweeping || answer.acts.contains(&sweeps);
        lines.extend(opened.into_iter().flat_map(|open| {
            if in_short {
                aloud::question_in_short(at, open)
            } else {
                aloud::question(at, open)
            }
        }));
        Spoken {
            said: lines,
            acts: answer.acts,
        }
    }
}

/// What the rule makes of a blind guess on the blanks as they are now.
fn advice_now(at: &Scene<'_>) -> Vec<String> {
    let advice = advice(at.sitting, at.sitting.header().started.date_naive());
    advice
        .iter()
        .map(|line| words::advice_aloud(line))
        .collect()
}

/// What a word has read out.
fn read_out(word: Word, at: &Scene<'_>) -> Vec<String> {
    match word {
        Word::Time => vec![aloud::time(at)],
        Word::Sheet => aloud::sheet(at.sitting),
        Word::Out => vec![words::which_to_cross_out(at.labels())],
        Word::Blanks => {
            let blanks: Vec<_> = at.sitting.blanks().collect();
            vec![blanks_by_number(&blanks)]
        }
        Word::Read => match at.current() {
            Some(open) => aloud::question(at, open),
            None => Said::WhichQuestion.spoken(&[]),
        },
        _ => help::lines(&at.sitting.header().paper.options, at.phase()),
    }
}

//! A typed line, and what is said to it.

use super::typed::Typed;
use super::word::Word;
use super::{aloud, help};
use crate::dialogue::{Act, Dialogue, Move, Reply, Scene};
use crate::domain::sitting::{Command, Phase, Refusal, Sitting};
use crate::domain::time::Elapsed;
use crate::words::aloud as words;
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
}

/// The line-by-line sitting.
#[derive(Clone, Debug)]
pub struct Plain {
    /// What this rule makes of a blind guess, said before the guess round.
    advice: Vec<String>,
    dialogue: Dialogue,
}

impl Plain {
    /// Begins at a moment of a sitting, new or taken up again.
    ///
    /// `advice` is what this year's rule makes of a blind guess, a sentence a line.
    pub fn new(at: &Scene<'_>, advice: Vec<String>) -> Self {
        Self {
            advice,
            dialogue: Dialogue::begin(at),
        }
    }

    /// What is said first, and the first question opened.
    pub fn opening(&mut self, at: &Scene<'_>) -> Spoken {
        let answer = self.dialogue.opening(at);
        let opens = !answer.acts.is_empty();
        let mut reply = self.aloud(answer, at);
        if !opens && Move::Next.is_for(at.phase()) {
            let here = at.current();
            reply
                .said
                .extend(here.into_iter().flat_map(|open| aloud::question(at, open)));
        }
        reply
    }

    /// Takes a typed line, at this moment.
    pub fn line(&mut self, at: &Scene<'_>, typed: &str) -> Spoken {
        if self.dialogue.owes_time_up(at) {
            let nothing = typed.trim().is_empty();
            let said = if nothing { Move::Listen } else { Move::Cancel };
            return self.hear(said, at);
        }
        if at.sitting.is_closed() {
            return Spoken {
                said: vec![Refusal::Finished.to_string()],
                acts: vec![Act::Leave],
            };
        }
        let phase = at.phase();
        match Typed::read(typed, at) {
            Typed::Nothing if phase == Phase::GuessRound => self.hear(Move::Skip, at),
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
                    return self.word(said, at);
                }
                self.dialogue.forget();
                Spoken::lines(read_out(word, at))
            }
        }
    }

    /// What is due by itself, if anything; called again until there is nothing.
    pub fn passing(&mut self, at: &Scene<'_>) -> Option<String> {
        let said = self.dialogue.due(at)?;
        Some(said.spoken(&self.advice).join(" "))
    }

    /// When [`Plain::passing`] will next have something to say by itself; nothing while the clock
    /// is stopped.
    pub fn wake(&self, sitting: &Sitting) -> Option<Elapsed> {
        self.dialogue.wake(sitting)
    }

    /// What is said once the blanks have been filled at random.
    pub fn filled(&self, sitting: &Sitting) -> Vec<String> {
        let after = sitting.rows().iter().filter(|row| row.in_time.is_none());
        let mut said = Said::Filled.spoken(&self.advice);
        said.extend(after.map(words::row));
        said.push(words::ENDS_ROUND.to_owned());
        said
    }

    /// A word that is asked about is confirmed by being typed again.
    fn word(&mut self, said: Move, at: &Scene<'_>) -> Spoken {
        let asked = self.dialogue.asked(at);
        let again = asked.is_some() && asked == said.asks();
        self.hear(if again { Move::Confirm } else { said }, at)
    }

    fn hear(&mut self, said: Move, at: &Scene<'_>) -> Spoken {
        let answer = self.dialogue.hear(said, at);
        self.aloud(answer, at)
    }

    /// Says only this, and drops what was asked.
    fn only(&mut self, line: String) -> Spoken {
        self.dialogue.forget();
        Spoken::lines(vec![line])
    }

    /// The answer as lines; a question that is opened is read out.
    fn aloud(&self, answer: Reply, at: &Scene<'_>) -> Spoken {
        let said = answer.said.iter();
        let mut lines: Vec<String> = said
            // What was filled is read out when it has been.
            .filter(|said| **said != Said::Filled)
            .flat_map(|said| said.spoken(&self.advice))
            .collect();
        let opened = match answer.acts.last() {
            Some(Act::Wish(Command::Open(question))) => Some(*question),
            Some(Act::Wish(Command::EndBreak)) => at.current(),
            _ => None,
        };
        lines.extend(
            opened
                .into_iter()
                .flat_map(|open| aloud::question(at, open)),
        );
        Spoken {
            said: lines,
            acts: answer.acts,
        }
    }
}

/// What a word has read out.
fn read_out(word: Word, at: &Scene<'_>) -> Vec<String> {
    match word {
        Word::Time => vec![aloud::time(at)],
        Word::Sheet => aloud::sheet(at.sitting),
        Word::Blanks => {
            let blanks: Vec<_> = at.sitting.blanks().collect();
            vec![blanks_by_number(&blanks)]
        }
        Word::Read => match at.current() {
            Some(open) => aloud::question(at, open),
            None => Said::WhichQuestion.spoken(&[]),
        },
        _ => help::lines(at.sitting),
    }
}

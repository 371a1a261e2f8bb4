//! Lines typed after time is up: whether to guess the blanks, and the guess round.

use super::typed::{Typed, Word};
use super::{Ask, Now, Pending, Plain, Reply, here, said};
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Refusal, Sitting};
use crate::words::numbers::ranges_in_words;

impl Plain {
    /// The first line after time up does not count, whatever it is: it was begun in time.
    pub(super) fn first_after_time(&mut self, sitting: &Sitting, typed: &str) -> Reply {
        let mut said = Vec::new();
        if !self.passed.time_up {
            said.push(said::time_up(sitting).to_owned());
        }
        if !typed.trim().is_empty() {
            said.push(
                "The line that you have just typed came after time was up and does not count."
                    .to_owned(),
            );
        }
        said.extend(self.after_time_prompt(sitting));
        Reply::lines(said)
    }

    /// Asks what to do about the blanks.
    pub(super) fn after_time_prompt(&mut self, sitting: &Sitting) -> Vec<String> {
        self.passed.time_up = true;
        self.asked_after_time = true;
        let mut said = vec![said::blanks(sitting)];
        if sitting.blanks().next().is_none() {
            said.push("Type finish to end.".to_owned());
        } else {
            said.extend(self.advice.iter().cloned());
            said.push("Type guess to guess them now; it is kept apart from your answers in time. Type finish to leave them blank.".to_owned());
        }
        said
    }

    pub(super) fn guessing(&mut self, now: &Now, typed: Typed) -> Reply {
        let Some(open) = here(now.sitting) else {
            return Refusal::NoSuchQuestion.into();
        };
        let blank = now.sitting.blanks().next().is_some();
        match typed {
            Typed::Unclear(text) => Reply::said(text),
            Typed::Nothing | Typed::Word(Word::Skip) => now.next_blank(open, Reply::default()),
            Typed::Label(label, _) => {
                let command = Command::Answer(open, label);
                if let Err(refusal) = now.sitting.decide(command.clone(), now.at) {
                    return refusal.into();
                }
                let done = format!("Question {open}: {label}, after time.");
                now.next_blank(open, Reply::said(done).and_wish(vec![command]))
            }
            Typed::Question(question) => now.open(question, Reply::default()),
            Typed::Word(Word::Read) => Reply::lines(said::question(now.sitting, now.paper, open)),
            Typed::Word(Word::NextBlank) => now.other_blank(open),
            Typed::Word(Word::Rub) => {
                let command = Command::RubOut(open);
                match now.sitting.decide(command.clone(), now.at) {
                    Err(refusal) => refusal.into(),
                    Ok(_) => Reply::said(format!("Question {open}: answer rubbed out."))
                        .and_wish(vec![command]),
                }
            }
            Typed::Word(Word::Fill) if blank => Reply {
                said: Vec::new(),
                asks: vec![Ask::FillBlanks],
            },
            Typed::Word(Word::Fill) => Reply::said(said::blanks(now.sitting)),
            Typed::Word(Word::Finish) => {
                let blanks = said::blanks(now.sitting);
                let question = format!(
                    "End the guess round? {blanks} Type finish again to end it; anything else goes on."
                );
                self.ask_again(Pending::Finish, question)
            }
            Typed::Word(_) => Refusal::Locked.into(),
        }
    }

    /// What is said once the blanks have been filled at random.
    pub fn filled(&self, sitting: &Sitting) -> Vec<String> {
        let after = sitting.rows().iter().filter(|row| row.in_time.is_none());
        let mut said = vec!["Filled at random:".to_owned()];
        said.extend(after.map(said::row));
        said.push("Type finish to end the guess round.".to_owned());
        said
    }

    /// Time is up, and it has been asked what to do about the blanks.
    pub(super) fn time_up(&mut self, now: &Now, typed: &Typed) -> Reply {
        let blank = now.sitting.blanks().next();
        match (typed, blank) {
            (Typed::Word(Word::Finish), Some(_)) => {
                let blanks = said::blanks(now.sitting);
                let question = format!(
                    "End with blanks left? {blanks} Type finish again to leave them blank and end."
                );
                self.ask_again(Pending::Finish, question)
            }
            (Typed::Word(Word::Finish), None) => self.ask_again(
                Pending::Finish,
                "End the sitting? Nothing is blank. Type finish again to end it.",
            ),
            (Typed::Word(Word::Guess), Some(first)) => {
                let reply = Reply::said(said::GUESSING).and_wish(vec![Command::StartGuessRound]);
                now.open(first, reply)
            }
            (Typed::Word(Word::Guess), None) => {
                Reply::said("Nothing is blank. Type finish to end.")
            }
            (Typed::Label(..) | Typed::Question(_), _) => {
                Reply::said(Refusal::Locked.to_string()).and_say([choose(blank)])
            }
            (Typed::Nothing | Typed::Unclear(_) | Typed::Word(_), _) => Reply::said(choose(blank)),
        }
    }
}

impl Now<'_> {
    /// Goes on to the next blank of the guess round; after the last it says what is still blank.
    fn next_blank(&self, open: QuestionNo, reply: Reply) -> Reply {
        let guessed = !reply.asks.is_empty();
        let blank = self.sitting.blanks();
        let left: Vec<_> = blank.filter(|blank| !guessed || *blank != open).collect();
        if let Some(next) = left.iter().find(|blank| **blank > open) {
            return self.open(*next, reply);
        }
        let still = if left.is_empty() {
            "Nothing is blank.".to_owned()
        } else {
            format!("Still blank: {}.", ranges_in_words(&left))
        };
        reply.and_say([format!("{still} Type finish to end the guess round.")])
    }
}

fn choose(blank: Option<QuestionNo>) -> String {
    match blank {
        Some(_) => "Type guess to guess the blanks, or finish to leave them blank.".to_owned(),
        None => "Type finish to end.".to_owned(),
    }
}

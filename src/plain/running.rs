//! Lines typed while the clock runs.

use super::typed::{Typed, Word};
use super::{Now, Pending, Plain, Reply, here, open_in, said};
use crate::domain::event::How;
use crate::domain::labels::Label;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Refusal, Row};
use crate::words::count::counted;
use crate::words::numbers::ranges_in_words;
use crate::words::time::left_in_words;

impl Plain {
    pub(super) fn running(&mut self, now: &Now, typed: Typed) -> Reply {
        let Some(open) = here(now.sitting) else {
            return Refusal::NoSuchQuestion.into();
        };
        match typed {
            Typed::Unclear(text) => Reply::said(text),
            Typed::Nothing => now.next(open, Reply::default()),
            Typed::Label(label, how) => now.answer(open, label, how),
            Typed::Question(question) => now.open(question, Reply::default()),
            Typed::Word(word) => match word {
                Word::Skip => now.skip(open),
                Word::Flag => now.flag(open),
                Word::Rub => now.wish(
                    Command::RubOut(open),
                    format!("Question {open}: answer rubbed out."),
                ),
                Word::Unsure => now.say(open, |_| How::Unsure),
                Word::Guess => now.say(open, |_| How::Guessed),
                Word::Worked => now.say(open, |_| How::Worked),
                Word::InTurn => now.say(open, How::next_said),
                Word::NextBlank => now.other_blank(open),
                Word::Read => Reply::lines(said::question(now.sitting, now.paper, open)),
                Word::Break => now.wish(Command::StartBreak, said::ON_BREAK.to_owned()),
                Word::Finish => self.ask_again(Pending::Finish, now.finish_question()),
                Word::Back
                | Word::Fill
                | Word::Time
                | Word::Sheet
                | Word::Blanks
                | Word::Leave
                | Word::GiveUp
                | Word::Help => Reply::default(),
            },
        }
    }
}

impl Now<'_> {
    /// Puts one wish, saying `done` where it is granted.
    fn wish(&self, command: Command, done: String) -> Reply {
        match self.sitting.decide(command.clone(), self.at) {
            Err(refusal) => refusal.into(),
            Ok(_) => Reply::said(done).and_wish(vec![command]),
        }
    }

    fn row(&self, question: QuestionNo) -> Option<&Row> {
        self.sitting.row(question)
    }

    fn answer(&self, open: QuestionNo, label: Label, how: Option<How>) -> Reply {
        let before = self.row(open).and_then(|row| row.in_time);
        let tail = match before {
            None => String::new(),
            Some(given) if given.option == label => " as before".to_owned(),
            Some(given) => format!(", no longer {}", given.option),
        };
        let said = how.and_then(said::how);
        let said = said.map_or_else(String::new, |how| format!(", {how}"));
        let done = format!("Question {open}: {label}{tail}{said}.");
        let reply = self.wish(Command::Answer(open, label), done);
        match how.filter(|_| !reply.asks.is_empty()) {
            Some(how) => reply.and_wish(vec![Command::Say(open, how)]),
            None => reply,
        }
    }

    fn skip(&self, open: QuestionNo) -> Reply {
        let answered = self.row(open).and_then(|row| row.in_time);
        let reply = match answered {
            Some(given) => Reply::said(format!(
                "Question {open} keeps its answer, {}.",
                given.option
            )),
            None => self.wish(
                Command::Skip(open),
                format!("Question {open} left for later."),
            ),
        };
        self.next(open, reply)
    }

    fn flag(&self, open: QuestionNo) -> Reply {
        let up = self.row(open).is_some_and(|row| !row.flagged);
        let way = if up { "up" } else { "down" };
        self.wish(Command::Flag(open), format!("Question {open}: flag {way}."))
    }

    fn say(&self, open: QuestionNo, how: impl Fn(How) -> How) -> Reply {
        let Some(given) = self.row(open).and_then(|row| row.in_time) else {
            return Refusal::NothingThere.into();
        };
        let how = how(given.how);
        let word = said::how(how).unwrap_or("worked out");
        let done = format!("Question {open}: {}, {word}.", given.option);
        self.wish(Command::Say(open, how), done)
    }

    pub(super) fn open(&self, question: QuestionNo, reply: Reply) -> Reply {
        open_in(reply, self.sitting, self.paper, question)
    }

    /// Goes on to the question after `open`; after the last, to the first that is blank.
    fn next(&self, open: QuestionNo, reply: Reply) -> Reply {
        let after = self.sitting.rows().iter().map(|row| row.number);
        if let Some(next) = after.clone().find(|number| *number > open) {
            return self.open(next, reply);
        }
        let blanks: Vec<_> = self.sitting.blanks().collect();
        let reply = reply.and_say([format!(
            "That was the last question. {}",
            said::blanks(self.sitting)
        )]);
        match blanks.iter().find(|blank| **blank != open) {
            Some(blank) => self.open(*blank, reply),
            None => reply.and_say(["Type finish to end, or a number to look again.".to_owned()]),
        }
    }

    /// Goes to the next blank, round the end to the first.
    pub(super) fn other_blank(&self, open: QuestionNo) -> Reply {
        let blanks: Vec<_> = self
            .sitting
            .blanks()
            .filter(|blank| *blank != open)
            .collect();
        let later = blanks.iter().find(|blank| **blank > open);
        match later.or(blanks.first()) {
            Some(blank) => self.open(*blank, Reply::default()),
            None => Reply::said("No other question is blank."),
        }
    }

    fn finish_question(&self) -> String {
        let left = left_in_words(self.sitting.left(self.at));
        let flags: Vec<_> = self.sitting.flags().collect();
        let flags = if flags.is_empty() {
            String::new()
        } else {
            let many = counted(flags.len(), "flag");
            format!(" {many}: {}.", ranges_in_words(&flags))
        };
        format!(
            "Finish with {left} left? {}{flags} You cannot come back after this. Type finish again to finish; anything else goes on.",
            said::blanks(self.sitting)
        )
    }

    pub(super) fn end_break(&self) -> Reply {
        let reply = self.wish(Command::EndBreak, "The clock runs again.".to_owned());
        match here(self.sitting) {
            Some(open) => reply.and_say(said::question(self.sitting, self.paper, open)),
            None => reply,
        }
    }
}

//! A question line by line: its rows have numbers, said once.

use crate::words::ask::{
    Answered, Asking, NOTHING_BEFORE, TYPE_WORDS, help_with_a_list, help_with_words, more_rows,
    no_such_row, number_or_list, type_a_number,
};
use crate::words::text::clean;

/// So many rows are said at once.
const AT_ONCE: usize = 20;

/// So many characters of the middle of a name are enough to mean it.
const LEAST_PART: usize = 3;

/// A question as it is being asked in lines.
#[derive(Clone, Debug)]
pub struct Asked<'a> {
    ask: &'a Asking,
    /// How many rows were said.
    said: usize,
}

/// What comes of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Next {
    /// The question is answered.
    Answered(Answered),
    /// These lines are said, and the question stays.
    Say(Vec<String>),
}

impl<'a> Asked<'a> {
    /// The question, and everything that is said first.
    pub fn new(ask: &'a Asking) -> (Self, Vec<String>) {
        let mut asked = Self { ask, said: 0 };
        let mut lines = vec![ask.question.clone()];
        lines.extend(ask.notes.iter().cloned());
        if ask.rows.is_empty() {
            lines.push(TYPE_WORDS.to_owned());
        } else {
            lines.extend(asked.more());
            lines.push(type_a_number(ask));
        }
        (asked, lines)
    }

    /// The question once more, its rows known.
    pub fn again(ask: &'a Asking) -> (Self, Vec<String>) {
        let said = ask.rows.len();
        let mut lines = ask.notes.clone();
        lines.push(format!("{} {}", ask.question, number_or_list(ask)));
        (Self { ask, said }, lines)
    }

    /// The rows that come next.
    fn more(&mut self) -> Vec<String> {
        let rows = self.ask.rows.iter().enumerate();
        let mut group = match self.said {
            0 => "",
            said => self.ask.rows.get(said - 1).map_or("", |row| row.group),
        };
        let mut lines = Vec::new();
        for (place, row) in rows.skip(self.said).take(AT_ONCE) {
            if row.group != group {
                group = row.group;
                lines.push(format!("{group}:"));
            }
            let note = if row.note.is_empty() { "" } else { ": " };
            lines.push(format!("{} {}{note}{}", place + 1, row.name, row.note));
            self.said = place + 1;
        }
        let left = self.ask.rows.len() - self.said;
        if left > 0 {
            lines.push(more_rows(left));
        }
        lines
    }

    /// Takes a line: a number, the beginning of one row's name, or a word.
    pub fn line(&mut self, typed: &str) -> Next {
        let text = typed.trim();
        let rows = &self.ask.rows;
        if rows.is_empty() {
            return match text.to_lowercase().as_str() {
                "" | "back" => Next::Answered(Answered::Back),
                "leave" => Next::Answered(Answered::Leave),
                "help" => Next::Say(help_with_words(self.ask)),
                _ => Next::Answered(Answered::Words(text.to_owned())),
            };
        }
        let lower = text.to_lowercase();
        let number = lower.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
        if let Some(place) = number.filter(|place| *place < rows.len()) {
            return Next::Answered(Answered::Row(place));
        }
        match lower.as_str() {
            "back" if self.ask.is_first => return Next::Say(vec![NOTHING_BEFORE.to_owned()]),
            "back" => return Next::Answered(Answered::Back),
            "leave" | "quit" => return Next::Answered(Answered::Leave),
            "help" => return Next::Say(help_with_a_list(self.ask)),
            "list" => {
                self.said = 0;
                return Next::Say(self.more());
            }
            "" | "more" if self.said < rows.len() => return Next::Say(self.more()),
            "" => return Next::Say(vec![number_or_list(self.ask)]),
            _ => {}
        }
        let names = rows.iter().map(|row| row.name.to_lowercase());
        if let Some(place) = names.clone().position(|name| name == lower) {
            return Next::Answered(Answered::Row(place));
        }
        let only = |fits: &dyn Fn(&str) -> bool| {
            let mut same = names.clone().enumerate().filter(|(_, name)| fits(name));
            match (same.next(), same.next()) {
                (Some((place, _)), None) => Some(place),
                _ => None,
            }
        };
        let begins = only(&|name| name.starts_with(&lower));
        // Papers of one series begin alike. A letter or two may be in a name by chance.
        let has = || only(&|name| name.contains(&lower)).filter(|_| lower.len() >= LEAST_PART);
        match begins.or_else(has) {
            Some(place) => Next::Answered(Answered::Row(place)),
            None => Next::Say(vec![no_such_row(&clean(text), self.ask)]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::ask::AskRow;

    fn ask(rows: usize) -> Asking {
        Asking {
            question: "Which paper?".to_owned(),
            rows: (1..=rows)
                .map(|n| AskRow::new(format!("paper {n}"), if n == 2 { "sat" } else { "" }))
                .collect(),
            ..Asking::default()
        }
    }

    #[test]
    fn rows_are_said_once_with_their_numbers() {
        let ask = ask(3);
        let (mut asked, said) = Asked::new(&ask);
        let expected = [
            "Which paper?",
            "1 paper 1",
            "2 paper 2: sat",
            "3 paper 3",
            "Type a number from 1 to 3, help, or back.",
        ];
        assert_eq!(said, expected);
        assert_eq!(asked.line(" 3 "), Next::Answered(Answered::Row(2)));
        assert_eq!(asked.line("Paper 2"), Next::Answered(Answered::Row(1)));
        let ask = Asking {
            rows: vec![AskRow::new("A, older rule", ""), AskRow::new("A", "")],
            ..Asking::default()
        };
        assert_eq!(
            Asked::new(&ask).0.line("a"),
            Next::Answered(Answered::Row(1)),
            "a whole name counts before the beginning of another"
        );
        assert_eq!(
            Asked::new(&ask).0.line("older"),
            Next::Answered(Answered::Row(0)),
            "a part that only one name has"
        );
        assert!(matches!(Asked::new(&ask).0.line("er"), Next::Say(_)));
        assert_eq!(asked.line("BACK"), Next::Answered(Answered::Back));
        for wrong in ["0", "4", "pap", "heron"] {
            let Next::Say(said) = asked.line(wrong) else {
                panic!("{wrong}");
            };
            assert_eq!(
                said,
                [format!(
                    "{wrong} isn't in the list. Type a number from 1 to 3, list to hear them, or back."
                )]
            );
        }
    }

    #[test]
    fn a_long_list_is_said_in_parts() {
        let ask = ask(45);
        let (mut asked, said) = Asked::new(&ask);
        assert_eq!(said.len(), 1 + 20 + 2);
        assert_eq!(said[21], "Type more for 25 more rows.");
        let Next::Say(second) = asked.line("more") else {
            panic!();
        };
        assert_eq!((second[0].as_str(), second.len()), ("21 paper 21", 21));
        let Next::Say(last) = asked.line("") else {
            panic!();
        };
        assert_eq!((last[4].as_str(), last.len()), ("45 paper 45", 5));
        assert_eq!(asked.line("44"), Next::Answered(Answered::Row(43)));
    }

    #[test]
    fn words_are_taken_as_they_are() {
        let ask = Asking::default();
        let (mut asked, _) = Asked::new(&ask);
        let words = Answered::Words("3,18,21-25".to_owned());
        assert_eq!(asked.line(" 3,18,21-25 "), Next::Answered(words));
        assert_eq!(asked.line(""), Next::Answered(Answered::Back));
        assert_eq!(asked.line("Leave"), Next::Answered(Answered::Leave));
        let said = [ask.question.clone(), TYPE_WORDS.to_owned()];
        assert_eq!(asked.line("help"), Next::Say(said.to_vec()));
    }

    #[test]
    fn help_tells_all_that_can_be_typed_and_the_first_list_is_left_and_not_gone_back_from() {
        let mut first = ask(1);
        first.is_first = true;
        let (mut asked, said) = Asked::new(&first);
        assert_eq!(said[2], "Type 1 to choose it, help, or leave.");
        let Next::Say(help) = asked.line("help") else {
            panic!();
        };
        let back = |help: &[String]| help.iter().any(|line| line.starts_with("back"));
        assert!(!back(&help) && help.iter().any(|line| line.starts_with("leave")));
        let nowhere = "There's nothing to go back to. Type leave to stop.";
        assert_eq!(asked.line("back"), Next::Say(vec![nowhere.to_owned()]));
        assert_eq!(asked.line("leave"), Next::Answered(Answered::Leave));
        let later = ask(3);
        let Next::Say(help) = Asked::new(&later).0.line("HELP") else {
            panic!();
        };
        assert!(back(&help), "{help:?}");
        assert_eq!(help[0], "Which paper?");
    }
}

//! Marks, answers, times, visits and changes: what `mark --json` says against the raw log.

use std::fmt::Debug;

use num_rational::Rational64;

use crate::claims::without_a_time;
use crate::facts::Facts;
use crate::program::{Marked, Question};
use crate::raw::{How, Key, exact};

fn word(how: How) -> &'static str {
    match how {
        How::Worked => "worked",
        How::Unsure => "unsure",
        How::Guessed => "guessed",
        How::Filled => "filled",
    }
}

/// What differs, in words.
#[derive(Default)]
pub(crate) struct Differences(pub(crate) Vec<String>);

impl Differences {
    /// Everything in which the two differ.
    pub(crate) fn of(facts: &Facts<'_>, key: &Key, told: &Marked) -> Self {
        let mut found = Self::default();
        let marks = [
            facts.mark_in_time(key),
            facts.mark_with_guess_round(key),
            facts.mark_worked(key),
            facts.max(),
        ];
        found.hold("marks", &marks, &told.mark.all());
        let numbers: Vec<u16> = told.questions.iter().map(|row| row.number).collect();
        found.hold("questions", &facts.asked, &numbers);
        let rows = told.questions.iter().filter(|row| row.seconds.is_none());
        let withheld: Vec<u16> = rows.map(|row| row.number).collect();
        found.hold("withheld times", &without_a_time(facts), &withheld);
        for row in &told.questions {
            found.question(facts, key, row);
        }
        found.sections(facts, told);
        found.awards(facts, key, told);
        found
    }

    pub(crate) fn hold<T: PartialEq + Debug>(&mut self, what: &str, truth: &T, told: &T) {
        if truth != told {
            self.0
                .push(format!("{what}: {told:?}, and the log says {truth:?}"));
        }
    }

    fn question(&mut self, facts: &Facts<'_>, key: &Key, row: &Question) {
        let number = row.number;
        let last = facts.at_last(number);
        let option = last.map(|(given, _)| given.option);
        let outcome = match option {
            None => "blank",
            Some(option) if option == key.right(number) => "right",
            Some(_) => "wrong",
        };
        let truth = (
            option,
            outcome,
            last.map(|(given, _)| word(given.how)),
            last.is_some_and(|(_, after)| after),
            facts.marks_of(number, option, key),
        );
        let told = (
            row.given,
            row.outcome.as_str(),
            row.how.as_deref(),
            row.after_time,
            exact(&row.marks),
        );
        self.hold(&format!("Q{number}"), &truth, &told);
        if let Some(seconds) = row.seconds {
            let truth = format!("{:.3}", seconds_of(facts.time_on(number)));
            let told = format!("{seconds:.3}");
            self.hold(&format!("Q{number}'s time"), &truth, &told);
        }
        if let (Some(visits), Some(changes)) = (row.visits, row.changes) {
            let truth = (facts.visits_to(number).count(), facts.changes(number));
            let what = format!("Q{number}'s visits and changes");
            self.hold(&what, &truth, &(visits, changes));
        }
    }

    fn sections(&mut self, facts: &Facts<'_>, told: &Marked) {
        for section in &told.sections {
            let rows = told.questions.iter();
            let own: Vec<_> = rows
                .filter(|row| facts.section(row.number).name == section.name)
                .collect();
            let count = |outcome: &str| own.iter().filter(|row| row.outcome == outcome).count();
            let marks: Rational64 = own.iter().map(|row| exact(&row.marks)).sum();
            let truth = (count("right"), count("wrong"), count("blank"), marks);
            let told = (
                section.right,
                section.wrong,
                section.blank,
                exact(&section.marks),
            );
            self.hold(&section.name, &truth, &told);
        }
    }

    /// Questions left out make the boundaries no boundaries of what was sat.
    fn awards(&mut self, facts: &Facts<'_>, key: &Key, told: &Marked) {
        let paper = &facts.session.header.paper;
        if facts.asked.len() != usize::from(paper.questions) {
            return;
        }
        self.hold("awards", &paper.awards.len(), &told.awards.len());
        let (in_time, with) = (facts.mark_in_time(key), facts.mark_with_guess_round(key));
        for (award, own) in paper.awards.iter().zip(&told.awards) {
            let boundary = award.boundary.0;
            let short = (boundary - in_time).max(Rational64::from_integer(0));
            let truth = (&award.name, in_time >= boundary, with >= boundary, short);
            let told = (
                &own.name,
                own.reached_in_time,
                own.reached_with_guess_round,
                exact(&own.short_by),
            );
            self.hold("award", &truth, &told);
        }
    }
}

/// Milliseconds as seconds.
#[expect(
    clippy::cast_precision_loss,
    reason = "a sitting is far shorter than 2^53 ms"
)]
pub(crate) fn seconds_of(millis: u64) -> f64 {
    millis as f64 / 1000.0
}

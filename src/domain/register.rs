//! The tutor's register: which pupils there are, and what is arranged for each. It never says why.

use chrono::NaiveDate;

use super::header::Alias;
use super::mark::Mark;
use super::practice::WorkingShown;
use super::time::Elapsed;

/// The version of the register file that this program writes; it reads all up to it.
pub const REGISTER_FORMAT: u32 = 1;

/// The pupils of a folder of sittings, and the machine they sit at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Register {
    /// What the group is called, where it has a name.
    pub group: Option<String>,
    /// Whether pupils take turns at this machine, so that nothing of one is shown to the next.
    pub shared_machine: bool,
    /// The pupils, in the order of the file; no alias is there twice, whatever its capitals.
    pub pupils: Vec<Registered>,
}

/// What is arranged for one pupil.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a field of the file that a tutor sets by itself"
)]
pub struct Registered {
    /// Who.
    pub alias: Alias,
    /// Extra time, in percent of the paper's own.
    pub extra_percent: Mark,
    /// Whether the pupil may stop the clock for a rest break.
    pub rest_breaks: bool,
    /// How long before time up the blanks are mentioned, zero for never; none as usual.
    pub remind: Option<Elapsed>,
    /// Whether the pupil sees the marks at the end.
    pub marks: bool,
    /// Whether the pupil may open the questions, with their hints, after a sitting.
    pub questions_after: bool,
    /// When the pupil sees answers and workings in practice.
    pub working_shown: WorkingShown,
    /// Whether the pupil sits line by line.
    pub plain: bool,
    /// Whether the clock shows large steps only, and no seconds.
    pub large_steps: bool,
    /// Whether the step agreed last is read out before a sitting.
    pub step_read_out: bool,
    /// The day of the paper that the pupil works towards.
    pub paper_on: Option<NaiveDate>,
    /// The last day for which the pupil's files are to be kept.
    pub keep_until: Option<NaiveDate>,
}

impl Registered {
    /// A pupil for whom nothing special is arranged.
    pub const fn usual(alias: Alias) -> Self {
        Self {
            alias,
            extra_percent: Mark::ZERO,
            rest_breaks: false,
            remind: None,
            marks: true,
            questions_after: false,
            working_shown: WorkingShown::AtOnce,
            plain: false,
            large_steps: false,
            step_read_out: false,
            paper_on: None,
            keep_until: None,
        }
    }
}

impl Register {
    /// What is arranged for a pupil; nothing for an alias that is not in it.
    pub fn pupil(&self, alias: &Alias) -> Option<&Registered> {
        self.pupils.iter().find(|pupil| pupil.alias.is_same(alias))
    }

    /// Whether a pupil sees marks at the end, as far as the register decides it.
    pub fn shows_marks(&self, alias: &Alias) -> bool {
        !self.shared_machine && self.pupil(alias).is_none_or(|pupil| pupil.marks)
    }

    /// Whether a pupil may open the questions, with their hints, after a sitting.
    pub fn opens_questions(&self, alias: &Alias) -> bool {
        let lets = self.pupil(alias).is_some_and(|pupil| pupil.questions_after);
        lets && !self.shared_machine
    }

    /// Whether a pupil is offered practice: it opens questions and tells right answers.
    pub fn offers_practice(&self, alias: &Alias) -> bool {
        self.opens_questions(alias) && self.shows_marks(alias)
    }

    /// When a pupil sees answers and workings in practice.
    pub fn working_shown(&self, alias: &Alias) -> WorkingShown {
        let own = self.pupil(alias);
        own.map_or(WorkingShown::AtOnce, |pupil| pupil.working_shown)
    }

    /// The pupils whose files are no longer to be kept on `today`.
    pub fn past_keeping(&self, today: NaiveDate) -> impl Iterator<Item = (&Alias, NaiveDate)> {
        let dated = self.pupils.iter();
        dated.filter_map(move |pupil| {
            let until = pupil.keep_until.filter(|until| *until < today)?;
            Some((&pupil.alias, until))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shared_machine_keeps_marks_from_everybody_and_a_pupil_may_be_told_none() {
        let alias = |text| Alias::new(text).unwrap();
        let mut register = Register {
            pupils: vec![Registered {
                marks: false,
                ..Registered::usual(alias("otter"))
            }],
            ..Register::default()
        };
        assert!(!register.shows_marks(&alias("Otter")));
        assert!(register.shows_marks(&alias("teasel")));
        register.shared_machine = true;
        assert!(!register.shows_marks(&alias("teasel")));
    }

    #[test]
    fn practice_is_offered_where_questions_and_marks_are_shown_and_nowhere_else() {
        let otter = Alias::new("otter").unwrap();
        let offers = |questions_after, marks, shared_machine| {
            let own = Registered {
                marks,
                questions_after,
                ..Registered::usual(otter.clone())
            };
            let pupils = vec![own];
            let register = Register {
                shared_machine,
                pupils,
                ..Register::default()
            };
            register.offers_practice(&otter)
        };
        assert!(offers(true, true, false));
        assert!(!offers(false, true, false));
        assert!(!offers(true, false, false), "practice tells right answers");
        assert!(!offers(true, true, true), "the next pupil sees it too");
        assert!(!Register::default().offers_practice(&otter));
    }

    #[test]
    fn a_day_to_keep_until_is_kept_itself() {
        let day = |d| NaiveDate::from_ymd_opt(2027, 1, d).unwrap();
        let register = Register {
            pupils: vec![Registered {
                keep_until: Some(day(10)),
                ..Registered::usual(Alias::new("otter").unwrap())
            }],
            ..Register::default()
        };
        assert_eq!(register.past_keeping(day(10)).count(), 0);
        assert_eq!(register.past_keeping(day(11)).count(), 1);
    }
}

//! The group of a paper: the first whole sitting of each pupil.

use std::collections::BTreeMap;

use crate::Case;
use crate::facts::Facts;

/// "a group has at least this many people"
const GROUP_LEAST: usize = 5;
/// "a question is easy if at least this share of the group got it right", in tenths
const EASY_TENTHS: usize = 7;

/// How many are in it, and how many of those who were asked a question had it right.
pub(crate) struct Group {
    people: usize,
    right: BTreeMap<u16, (usize, usize)>,
}

impl Group {
    pub(crate) fn of(cases: &[&Case]) -> Self {
        let mut first: BTreeMap<&str, &Case> = BTreeMap::new();
        for case in cases {
            let facts = Facts::of(&case.session);
            let whole = facts.asked.len() == usize::from(case.session.header.paper.questions);
            if facts.is_whole() && whole {
                let pupil = case.path.parent().unwrap().file_name().unwrap();
                let kept = first.entry(pupil.to_str().unwrap()).or_insert(case);
                if case.path.file_name() < kept.path.file_name() {
                    *kept = case;
                }
            }
        }
        let mut right: BTreeMap<u16, (usize, usize)> = BTreeMap::new();
        for case in first.values() {
            let facts = Facts::of(&case.session);
            for question in &facts.asked {
                let given = facts.in_time.get(question);
                let own = right.entry(*question).or_default();
                let hit = given.is_some_and(|given| given.option == case.key.right(*question));
                own.0 += usize::from(hit);
                own.1 += 1;
            }
        }
        Self {
            people: first.len(),
            right,
        }
    }

    /// What is said of the questions never opened that most had right.
    pub(crate) fn left_easy(&self, facts: &Facts<'_>) -> Option<String> {
        if self.people < GROUP_LEAST {
            return None;
        }
        let asked = facts.asked.iter().copied();
        let left = asked.filter(|question| {
            let (right, of) = self.right.get(question).copied().unwrap_or_default();
            let unseen = facts.visits_to(*question).next().is_none();
            unseen && !facts.in_time.contains_key(question) && right * 10 >= EASY_TENTHS * of
        });
        let each = left.map(|question| format!("Q{question}"));
        let each: Vec<String> = each.collect();
        (!each.is_empty()).then(|| {
            format!(
                "though most of {} people got it right: {}",
                self.people, each[0]
            )
        })
    }
}

//! What the feedback page of one sitting says to its pupil: true, kind, short, and never a rank.
//!
//! The order of the talk that works (common practice, no source): the mark against the paper's own
//! boundaries, what went well with its questions named, at most three things to do next time, the
//! questions worth another go, one habit over time. Everything is chosen here; the page only sets it.

mod again;
mod habit;
mod hour;
mod marks;
mod talk;

use std::sync::Arc;

use chrono::NaiveDate;

use crate::analysis::findings::{Evidence, Finding, Look, findings};
use crate::analysis::{Pacing, Replay, Thresholds, pacing};
use crate::domain::event::{Ending, Stamped};
use crate::domain::header::{Alias, Header};
use crate::domain::key::Key;
use crate::domain::paper::{Outline, Paper};
use crate::words::count::{agree, counted};
use crate::words::encouragement::Facts;
use crate::words::guess::rule_caution;
use crate::words::result::Ended;

pub use again::{Again, Working, try_again};
pub use habit::Before;
pub use hour::{Bar, Curve, Hour, State, Step};
pub use marks::Marks;

/// The most things to do next time: more than three are not done (common practice, no source).
pub const MOST_NEXT: usize = 3;
/// The most things that went well.
pub const MOST_WELL: usize = 3;

/// What a page is made from.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// What was settled before the start.
    pub header: &'a Arc<Header>,
    /// The sitting's records.
    pub events: &'a [Stamped],
    /// The key.
    pub key: &'a Key,
    /// The paper, where it is at hand: its questions' first words and topics.
    pub paper: Option<&'a Paper>,
    /// The thresholds in force.
    pub limits: &'a Thresholds,
    /// The same pupil's earlier sittings, in any order.
    pub before: &'a [Before],
    /// Whether answers and workings are wanted.
    pub with_working: bool,
    /// The day of the page.
    pub today: NaiveDate,
}

/// Everything on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Feedback {
    /// Who sat.
    pub pupil: Alias,
    /// The marking part of the paper.
    pub outline: Outline,
    /// The day of the sitting.
    pub day: NaiveDate,
    /// How it ended, as a kind sentence.
    pub closing: String,
    /// What was done, without any key.
    pub done: Vec<String>,
    /// The marks; none of a sitting that was given up.
    pub marks: Option<Marks>,
    /// Where the hour went.
    pub hour: Hour,
    /// What went well.
    pub well: Vec<String>,
    /// What to do next time.
    pub next: Vec<String>,
    /// What stands before advice drawn from a rule that nobody has checked this year.
    pub caution: Option<String>,
    /// The questions worth another go, in the paper's order.
    pub again: Vec<Again>,
    /// Blanks, this time and before, in sentences.
    pub habit: Vec<String>,
    /// The blanks when time was up, or when it was handed in.
    pub blanks: usize,
    /// Whether the sitting is an invented one.
    pub invented: bool,
    /// The day of the page.
    pub today: NaiveDate,
}

/// Chooses what to say; nothing while the sitting is open, since its pupil may still go on.
pub fn feedback(asked: &Asked<'_>) -> Option<Feedback> {
    let ended = Ended::tell(asked.header, asked.events, Some(asked.key), String::new())?;
    let seen = Seen::new(asked, ended);
    let caution = rule_caution(&asked.header.paper, asked.today);
    let given_up = seen.ended.ending == Ending::Abandoned;
    let said = talk::said(asked, &seen);
    Some(Feedback {
        pupil: asked.header.pupil.clone(),
        outline: asked.header.paper.clone(),
        day: asked.header.started.date_naive(),
        closing: seen.ended.closing().to_owned(),
        done: done(&seen.ended),
        marks: seen
            .evidence
            .as_ref()
            .map(|evidence| marks::told(asked, &seen.ended, evidence)),
        hour: hour::hour(asked, &seen.pacing, seen.evidence.as_ref()),
        caution: caution.filter(|_| said.from_rule && !given_up),
        well: said.well,
        next: said.next,
        again: seen
            .evidence
            .as_ref()
            .map_or_else(Vec::new, |evidence| try_again(asked, evidence)),
        habit: habit::lines(asked, &seen.pacing),
        blanks: seen.pacing.blanks().len(),
        invented: asked.header.invented,
        today: asked.today,
    })
}

/// What was found in the sitting, before any word is chosen.
struct Seen {
    ended: Ended,
    pacing: Pacing,
    evidence: Option<Evidence>,
    findings: Vec<Finding>,
    facts: Facts,
}

impl Seen {
    fn new(asked: &Asked<'_>, ended: Ended) -> Self {
        let Asked { header, events, .. } = *asked;
        let pacing = pacing(header, events, asked.limits);
        let replay = Replay::new(header, events);
        // A sitting that was given up asks for no mark.
        let evidence = (ended.ending != Ending::Abandoned)
            .then(|| Evidence::new(replay.whole(), &pacing, asked.key, &header.paper.rule));
        let findings = findings(&Look {
            header,
            pacing: &pacing,
            keyed: evidence.as_ref().map(|evidence| evidence.with(asked.key)),
            group: None,
            limits: asked.limits,
        });
        let marked = evidence
            .as_ref()
            .map(|evidence| evidence.standing.questions.as_slice());
        let mut facts = Facts::gather(header, events, marked);
        if !pacing.trust.any() {
            // Answers keyed together say nothing of what was left and come back to.
            facts.habits.swept.clear();
            facts.habits.came_back.clear();
            if let Some(key) = &mut facts.key {
                key.came_back_right.clear();
            }
        }
        Self {
            ended,
            pacing,
            evidence,
            findings,
            facts,
        }
    }
}

fn done(ended: &Ended) -> Vec<String> {
    let done = &ended.done;
    let mut lines = vec![format!(
        "You answered {} of {} in time.",
        done.in_time,
        counted(done.questions, "question")
    )];
    if done.after_time > 0 {
        lines.push(format!(
            "{} more came after time was up, and {} kept apart.",
            done.after_time,
            agree(done.after_time, "is", "are")
        ));
    }
    lines
}

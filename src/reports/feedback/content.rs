//! What the feedback page of one sitting says to its pupil: true, kind, short, and never a rank.
//!
//! The order of the talk that works (common practice, no source): the mark against the paper's own
//! boundaries, what went well with its questions named, at most three things to do next time, the
//! questions worth another go, one habit over time. Everything is chosen here; the page only sets it.

mod again;
mod asked;
mod habit;
mod hour;
mod marks;
mod talk;

use chrono::NaiveDate;

use crate::domain::event::Ending;
use crate::domain::header::Alias;
use crate::domain::marking::Outcome;
use crate::domain::notes::Cause;
use crate::domain::paper::Outline;
use crate::domain::step;
use crate::season::practice::{PracticeState, PractisedSeason, RetriedHow};
use crate::season::step::judged_by;
use crate::words::feedback as words;
use crate::words::guess::rule_caution;
use crate::words::notices::left_out;
use crate::words::practise::tried_again;
use crate::words::result::Ended;
use crate::words::standing::counts_nowhere;
use crate::words::step::agreed;

pub use again::{Again, MOST_AT_ONCE, Working, try_again};
pub use asked::{Asked, EarlierSitting};
pub use hour::{Curve, QuestionBar, Step, TimeSpent};
pub use marks::Marks;
pub use talk::{MOST_NEXT, MOST_WELL};

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
    /// That it was given up.
    pub stopped: bool,
    /// Which questions were not part of the sitting, where it was not the whole paper.
    pub left_out: Option<String>,
    /// That the sitting was withdrawn and counts nowhere, where that is so.
    pub withdrawn: Option<String>,
    /// What was done, without any key.
    pub done: Vec<String>,
    /// The marks; none of a sitting that was given up.
    pub marks: Option<Marks>,
    /// Where the hour went.
    pub hour: TimeSpent,
    /// The tutor's own sentence, where there is one.
    pub from_tutor: Option<String>,
    /// What went well.
    pub well: Vec<String>,
    /// What to do next time.
    pub next: Vec<String>,
    /// What became of the step agreed before, where this sitting judged it.
    pub judged: Option<String>,
    /// The step agreed about this sitting.
    pub step: Option<step::Step>,
    /// The causes agreed for lost marks, and how many questions each has, the most first.
    pub causes: Vec<(Cause, usize)>,
    /// What stands before advice drawn from a rule that nobody has checked this year.
    pub caution: Option<String>,
    /// The questions worth another go, in the paper's order.
    pub again: Vec<Again>,
    /// What of them was tried again since, in sentences.
    pub tried: Vec<String>,
    /// Blanks, this time and before, in sentences.
    pub habit: Vec<String>,
    /// The blanks when time was up, or when it was handed in.
    pub blanks: usize,
    /// Whether any answer that counts is right.
    pub any_right: bool,
    /// Whether the sitting is an invented one.
    pub invented: bool,
    /// The day of the page.
    pub today: NaiveDate,
}

/// Chooses what to say; nothing while the sitting is open, since its pupil may still go on.
pub fn feedback(asked: &Asked<'_>) -> Option<Feedback> {
    let header = asked.header();
    let analysis = asked.analysis();
    let ended = Ended::tell(asked.studied, String::new())?;
    let caution = rule_caution(&header.paper, asked.today);
    let given_up = ended.ending == Ending::Abandoned;
    let said = talk::said(asked);
    let marks = asked.marks();
    Some(Feedback {
        pupil: header.pupil.clone(),
        outline: header.paper.clone(),
        day: header.started.date_naive(),
        closing: ended.closing().to_owned(),
        stopped: given_up,
        left_out: left_out(header),
        withdrawn: analysis.standing().withdrawn.map(counts_nowhere),
        done: words::done(&ended.done, analysis.is_timed()),
        marks: marks.map(|marks| marks::told(asked, marks)),
        hour: hour::hour(asked),
        from_tutor: asked
            .notes()
            .and_then(|notes| notes.sentence_for_pupil())
            .map(str::to_owned),
        judged: judged_by(asked.steps, &header.sitting).map(agreed),
        step: asked.notes().and_then(|notes| notes.step()).cloned(),
        causes: causes(asked),
        caution: caution.filter(|_| said.from_rule && !given_up),
        well: said.well,
        next: said.next,
        again: asked
            .keyed()
            .map_or_else(Vec::new, |keyed| try_again(asked, keyed)),
        tried: tried(asked),
        habit: habit::lines(asked),
        blanks: analysis.blanks().len(),
        any_right: marks.is_some_and(|marks| {
            let mut questions = marks.in_time.questions.iter();
            questions.any(|own| own.outcome == Outcome::Right)
        }),
        invented: header.invented,
        today: asked.today,
    })
}

/// The causes agreed for questions that were missed in time, the most frequent first.
fn causes(asked: &Asked<'_>) -> Vec<(Cause, usize)> {
    let (Some(notes), Some(marks)) = (asked.notes(), asked.marks()) else {
        return Vec::new();
    };
    let missed = marks.in_time.questions.iter();
    let missed = missed.filter(|own| matches!(own.outcome, Outcome::Wrong | Outcome::Blank));
    let agreed: Vec<_> = missed
        .filter_map(|own| notes.cause(own.answer.number))
        .collect();
    let count = |cause: Cause| {
        let own = agreed.iter().filter(|own| **own == cause).count();
        (own > 0).then_some((cause, own))
    };
    let mut causes: Vec<_> = Cause::ALL.into_iter().filter_map(count).collect();
    causes.sort_by_key(|(_, many)| std::cmp::Reverse(*many));
    causes
}

/// How many of the missed questions were tried in practice since, and how that went.
fn tried(asked: &Asked<'_>) -> Vec<String> {
    let missed = asked
        .practised
        .into_iter()
        .flat_map(PractisedSeason::missed);
    let tried = missed.filter(|own| own.tries.iter().any(|one| one.in_practice));
    let (mut all, mut right, mut secure) = (0, 0, 0);
    for own in tried {
        let is_right = |how| how == RetriedHow::Right;
        all += 1;
        right += usize::from(own.tries.iter().any(|one| is_right(one.how)));
        let state = own.state(asked.today, None);
        secure += usize::from(state == Some(PracticeState::Secure));
    }
    tried_again(all, right, secure)
}

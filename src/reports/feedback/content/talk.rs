//! What went well, and what to do next time: chosen from the findings, worst and best first.

use super::asked::Asked;
use crate::analysis::findings::{Finding, Seen as Saw, Tone, findings, said_before};
use crate::analysis::{Analysis, Basis};
use crate::domain::event::How;
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::words::encouragement::{Facts, encouraging, front as front_right, next_time};
use crate::words::feedback;
use crate::words::findings as words;

/// The most things to do next time: more than three are not done (common practice, no source).
pub const MOST_NEXT: usize = 3;
/// The most things that went well.
pub const MOST_WELL: usize = 3;

/// So many right from the first question on are worth a word.
const FRONT_FROM: usize = 3;

/// What went well, and what to do next time.
pub(super) struct Said {
    pub(super) well: Vec<String>,
    pub(super) next: Vec<String>,
    /// Whether some of the advice follows from the paper's rule.
    pub(super) from_rule: bool,
}

pub(super) fn said(asked: &Asked<'_>) -> Said {
    let analysis = asked.analysis();
    let facts = Facts::of(asked.studied);
    let all = findings(&Basis {
        analysis,
        keyed: asked.keyed(),
        norms: None,
    });
    let held: Vec<_> = all.iter().filter(|f| holds(analysis, f)).collect();
    let next: Vec<_> = held
        .iter()
        .filter(|finding| {
            finding.tone() == Tone::Next && !said_before(finding, held.iter().copied())
        })
        .take(MOST_NEXT)
        .collect();
    let from_rule = |finding: &&&&Finding| matches!(finding.seen, Saw::Blanks { .. });
    let from_rule = next.iter().filter(from_rule).count() > 0;
    let mut next: Vec<_> = next
        .into_iter()
        .filter_map(|finding| words::for_pupil(finding))
        .collect();
    if facts.stopped || next.is_empty() {
        next = vec![next_time(&facts)];
    }
    let mut well = well(asked, &facts, &held);
    if well.is_empty() {
        well.push(encouraging(&facts));
    }
    well.truncate(MOST_WELL);
    Said {
        from_rule: from_rule || !facts.blanks.is_empty(),
        well,
        next,
    }
}

/// Whether a finding may be told: where answers were keyed together, nothing that rests on when.
fn holds(analysis: &Analysis, finding: &Finding) -> bool {
    match &finding.seen {
        // It may have been the keying of answers worked out before.
        Saw::Swept { or_keyed, .. } => !or_keyed && analysis.trust().any(),
        Saw::Sink(_)
        | Saw::Earned(_)
        | Saw::LongStay(_)
        | Saw::Rushed { .. }
        | Saw::ToAndFro(_)
        | Saw::SlowStart { .. }
        | Saw::Late { .. }
        | Saw::Kept { .. }
        | Saw::SecondPass { .. } => analysis.trust().any(),
        Saw::LeftEasy { .. }
        | Saw::ToWrong { .. }
        | Saw::ToRight { .. }
        | Saw::Blanks { .. }
        | Saw::EndedEarly { .. }
        | Saw::Unused { .. }
        | Saw::Luck { .. }
        | Saw::NoBlank { .. } => true,
        // A guess that came right is luck, and no praise.
        Saw::AllRight { guessed, .. } => *guessed == 0,
    }
}

fn well(asked: &Asked<'_>, facts: &Facts, held: &[&Finding]) -> Vec<String> {
    let whole = |finding: &&&Finding| matches!(finding.seen, Saw::AllRight { .. });
    let mut well: Vec<_> = held
        .iter()
        .filter(whole)
        .filter_map(|finding| words::for_pupil(finding))
        .take(1)
        .collect();
    if well.is_empty() {
        well.extend(front(facts));
    }
    let praise = held.iter().filter(|finding| {
        let earned = matches!(finding.seen, Saw::Earned(_));
        (finding.tone() == Tone::Praise || earned) && !whole(finding)
    });
    well.extend(praise.filter_map(|finding| words::for_pupil(finding)));
    let dear = hard(asked);
    // A long stay that was right has been praised already.
    let new = |(questions, _): &(Vec<QuestionNo>, String)| {
        let earned = |finding: &&Finding| matches!(&finding.seen, Saw::Earned(long) if questions.contains(&long.question));
        !held.iter().any(earned)
    };
    well.extend(dear.filter(new).map(|(_, said)| said));
    well
}

/// The first questions, where all of them are right.
fn front(facts: &Facts) -> Option<String> {
    let right = facts.key.as_ref()?.front_right;
    (right >= FRONT_FROM).then(|| front_right(right))
}

/// Questions of the dearest section that were worked out, and not filled in a sweep.
fn hard(asked: &Asked<'_>) -> Option<(Vec<QuestionNo>, String)> {
    let rule = &asked.header().paper.rule;
    let worth = |pick: fn(Mark, Mark) -> Mark| {
        let each = rule.sections.iter().map(|section| section.right);
        each.reduce(pick)
    };
    let (least, most) = (worth(Mark::min)?, worth(Mark::max)?);
    let dear = |number: QuestionNo| {
        let section = rule.section(number);
        section.is_some_and(|section| section.right == most)
    };
    let questions = &asked.marks()?.in_time.questions;
    let worked = questions.iter().filter(|question| {
        question.outcome == Outcome::Right
            && question.answer.how == Some(How::Worked)
            && asked.analysis().by_thought(question.answer.number)
            && dear(question.answer.number)
    });
    let worked: Vec<_> = worked.map(|question| question.answer.number).collect();
    (least < most && !worked.is_empty()).then(|| {
        let said = feedback::dearest(&worked, most, asked.analysis().is_timed());
        (worked, said)
    })
}

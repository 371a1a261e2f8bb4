//! `--plan FILE`: a pace plan that has to be this pupil's and this paper's.

use std::path::Path;

use super::failure::Failure;
use crate::domain::character::ShownPath as _;
use crate::domain::header::{Alias, PacePlan};
use crate::domain::paper::Outline;
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::storage::files::plan::{self, OwnedPlan};

/// Why a plan isn't taken.
#[derive(Debug, thiserror::Error)]
enum NotTaken<'a> {
    #[error("{}: this is `{owner}`'s plan, not `{pupil}`'s; name this pupil's plan, or leave --plan out", path.shown())]
    OfOtherPupil {
        path: &'a Path,
        owner: &'a Alias,
        pupil: &'a Alias,
    },
    #[error("{}: this plan is for the paper `{of}`, not for `{paper}`; name this paper's plan, or leave --plan out", path.shown())]
    OfOtherPaper {
        path: &'a Path,
        of: &'a str,
        paper: &'a str,
    },
    #[error(
        "{}: this plan is for another paper, it goes up to question {beyond} and `{paper}` ends at question {last}; name this paper's plan, or leave --plan out",
        path.shown()
    )]
    Beyond {
        path: &'a Path,
        beyond: QuestionNo,
        paper: &'a str,
        last: QuestionNo,
    },
}

/// Loads the plan; where nobody is named (`None`), it may be any pupil's.
///
/// # Errors
/// What is wrong with the file; a plan of another pupil or another paper, or with questions that the paper has not.
pub(super) fn named_plan(
    path: &Path,
    pupil: Option<&Alias>,
    outline: &Outline,
) -> Result<PacePlan, Failure> {
    let owned = plan::load_owned(path).map_err(Failure::could_not)?;
    match reason(path, &owned, pupil, outline) {
        Some(reason) => Err(Failure::wrong_words(reason)),
        None => Ok(owned.plan),
    }
}

fn reason<'a>(
    path: &'a Path,
    owned: &'a OwnedPlan,
    pupil: Option<&'a Alias>,
    outline: &'a Outline,
) -> Option<NotTaken<'a>> {
    let other = owned.pupil.as_ref().zip(pupil);
    if let Some((owner, pupil)) = other.filter(|(owner, pupil)| !owner.is_same(pupil)) {
        return Some(NotTaken::OfOtherPupil { path, owner, pupil });
    }
    let paper = outline.id.as_str();
    if let Some(of) = owned.paper.as_deref().filter(|of| *of != paper) {
        return Some(NotTaken::OfOtherPaper { path, of, paper });
    }
    let last = QuestionNo(outline.questions);
    let checkpoints = owned.plan.checkpoints.iter();
    let checkpoints = checkpoints.map(|checkpoint| checkpoint.question);
    let leave = owned.plan.leave.iter().map(QuestionList::last);
    let beyond = checkpoints.chain(leave).max();
    let beyond = beyond.filter(|beyond| *beyond > last)?;
    Some(NotTaken::Beyond {
        path,
        beyond,
        paper,
        last,
    })
}

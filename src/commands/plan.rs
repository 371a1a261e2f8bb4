//! `plan`: which questions a pupil should try on a paper, and when to be where.

use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::failure::Failure;
use super::outlets::{remark, written};
use super::pages::note_in;
use super::read::{TooFine, gather};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::reports::plan::{PlanReport, card, json, page};
use crate::season::plan::{Goal, Plan};
use crate::storage::files;
use crate::storage::files::plan::OwnedPlan;
use crate::words;
use crate::words::plan::{OWN_BOUNDARY, PAST_BOUNDARY};

/// What `plan` takes.
#[derive(Debug, clap::Args)]
pub struct PlanArgs {
    /// The pupil's alias
    #[arg(value_name = "PUPIL", value_parser = Alias::new)]
    pupil: Alias,
    /// The paper: a file, or the id of one here, in ./sample-papers, or beside or in the
    /// folder of sittings
    #[arg(long, value_name = "PAPER")]
    paper: String,
    /// Plan for the best chance of this award, not for the most marks on average
    #[arg(long = "for", value_name = "AWARD")]
    award: Option<String>,
    /// A folder of answer keys, or a key file [default: beside the papers]
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1..)]
    keys: Vec<PathBuf>,
    /// Where to save the plan [default: PAPER.plan.ron in the pupil's folder of sittings]
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Print JSON; the plan is then saved only with -o
    #[arg(long)]
    json: bool,
}

/// An award that the paper does not have.
#[derive(Debug, thiserror::Error)]
enum NoAward<'a> {
    #[error(
        "--for: the paper `{paper}` has no awards, so no `{named}`; add awards to the paper file, or leave --for out"
    )]
    AtAll { paper: &'a str, named: &'a str },
    #[error("--for: the paper `{paper}` has no award `{named}`; its awards are {}", awards.join(", "))]
    OfThisName {
        paper: &'a str,
        named: &'a str,
        awards: Vec<&'a str>,
    },
}

/// Plans, saves the plan and writes what it says; notes beside JSON go to `aside`.
///
/// # Errors
/// A paper, a key or a folder that cannot be read, an award that the paper does not have, a file that cannot be
/// written.
pub fn run(
    args: &PlanArgs,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let gathered = gather(&args.pupil, &args.paper, &args.keys, sessions)?;
    let paper = &gathered.paper;
    let (goal, from) = match &args.award {
        None => (Goal::Marks, None),
        Some(name) => goal(paper, name)?,
    };
    let estimates = gathered.estimates(&args.pupil);
    let both = estimates.and_then(|estimates| {
        Some((
            Plan::new(paper, &estimates, goal, &gathered.group.limits)?,
            estimates,
        ))
    });
    let Some((plan, estimates)) = both else {
        return Err(Failure::could_not(TooFine::ToPlan));
    };
    let told = PlanReport {
        paper,
        estimates: &estimates,
        plan: &plan,
        boundary_from: from,
        notes: &gathered.group.said(),
        today,
    };
    let saved = if estimates.are_enough() {
        save(args, &gathered.group.sessions, &told)?
    } else {
        None
    };
    if let Some(file) = saved.as_ref().filter(|_| args.output.is_some()) {
        note_in(&gathered.group.sessions, file, &args.pupil, aside);
    }
    let saved = saved.map(|path| path.shown().to_string());
    let text = if args.json {
        for note in &gathered.group.notes {
            remark(aside, note);
        }
        json::json(&told, saved.as_deref()).map_err(Failure::could_not)?
    } else {
        page(&told, saved.as_deref().unwrap_or(words::plan::NOT_SAVED))
    };
    written(out, &text)
}

/// The paper's own boundary of an award, else the highest of past years: who reaches that has reached them all.
fn goal(paper: &Paper, named: &str) -> Result<(Goal, Option<&'static str>), Failure> {
    let own = paper.outline.awards.iter();
    let own = own.map(|award| (award.name.as_str(), award.boundary, OWN_BOUNDARY));
    let past = paper.past.iter().flat_map(|year| &year.boundaries);
    let past = past.map(|(name, boundary)| (name.as_str(), *boundary, PAST_BOUNDARY));
    let mut all: Vec<(&str, Mark, &'static str)> = past.collect();
    all.sort_by_key(|(_, boundary, _)| std::cmp::Reverse(*boundary));
    let all: Vec<_> = own.chain(all).collect();
    let wanted = named.trim().to_lowercase();
    let found = all.iter().find(|(name, ..)| name.to_lowercase() == wanted);
    let Some((name, boundary, from)) = found else {
        let mut listed: Vec<&str> = Vec::new();
        for (name, ..) in &all {
            if !listed.contains(name) {
                listed.push(name);
            }
        }
        let paper = &paper.outline.id;
        return Err(Failure::wrong_words(if listed.is_empty() {
            NoAward::AtAll { paper, named }
        } else {
            NoAward::OfThisName {
                paper,
                named,
                awards: listed,
            }
        }));
    };
    Ok((
        Goal::Award {
            name: (*name).to_owned(),
            boundary: *boundary,
        },
        Some(from),
    ))
}

fn save(
    args: &PlanArgs,
    sessions: &Path,
    told: &PlanReport<'_>,
) -> Result<Option<PathBuf>, Failure> {
    let outline = &told.paper.outline;
    let title = words::plan::title(&args.pupil, &outline.title);
    let comments: Vec<String> = std::iter::once(title).chain(card(told)).collect();
    if told.plan.pace.checkpoints.is_empty() {
        // A paper too short to try anything has no checkpoint, and a file without one is no plan.
        return Ok(None);
    }
    let owned = OwnedPlan {
        plan: told.plan.pace.clone(),
        pupil: Some(args.pupil.clone()),
        paper: Some(outline.id.clone()),
    };
    let text = files::plan::text(&owned, &comments);
    match &args.output {
        Some(path) => {
            files::plan::save(path, &text).map_err(Failure::could_not)?;
            Ok(Some(path.clone()))
        }
        None if args.json => Ok(None),
        None => {
            let folder = sessions.join(args.pupil.as_str());
            files::plan::save_in(&folder, &outline.id, &text)
                .map(Some)
                .map_err(Failure::could_not)
        }
    }
}

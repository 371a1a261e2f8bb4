//! `aim`: what a mark or an award takes.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use super::failure::Failure;
use super::numbers::{by_question, chance, parts};
use super::outlets::{remark, written};
use super::read::gather;
use crate::domain::header::Alias;
use crate::domain::mark::{Mark, NoMark};
use crate::domain::paper::{Outline, Paper};
use crate::domain::rule::{QuestionNo, Section};
use crate::odds::aim::{needed, one_more, size, totals};
use crate::odds::mark_distribution::Attempt;
use crate::reports::aim::{Aimed, OfPupil, json, page, usual_others};
use crate::season::aim::Likely;
use crate::season::estimate::Estimates;
use crate::stats::real;
use crate::storage::catalogue::Catalogue;
use crate::words::count::counted;

/// What `aim` takes.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Every question that isn't right counts as a blank. The mark includes starting\n\
marks and whatever blanks earn.\n\
\n\
JSON: {mark, max, fewest_right, in_order, combinations, chance}. fewest_right\n\
is over any questions; in_order is from question 1 with none missed;\n\
combinations lists right answers section by section, leaving out any list\n\
where one fewer would do. null means out of reach, not asked for (chance), or\n\
more than 100000 combinations. With --pupil there is also pupil: {alias,\n\
sittings, full_sittings, group_sittings, declined, expected, sd, range_80,\n\
chances: [{number, chance}], caution}; the chance is then for the mark in\n\
time, or null where declined says why. range_80 is always null.")]
#[command(group(clap::ArgGroup::new("aim").required(true)))]
pub struct AimArgs {
    /// The paper: a file, or the id of one here, in ./sample-papers, or beside or in the
    /// folder of sittings
    paper: String,
    /// The mark to reach, such as 80, 62.5 or "25 1/3"
    #[arg(long, value_name = "T", group = "aim", allow_hyphen_values = true)]
    mark: Option<String>,
    /// The award to reach, as the paper names it
    #[arg(long, value_name = "NAME", group = "aim")]
    award: Option<String>,
    /// The chance of getting a question right: one for each section in order (0.9,0.6,0.2), or by
    /// question (1-10:0.9,11-20:3/5,21-25:guess); `guess` is 1 in the number of options, and
    /// questions you leave out count as blank
    #[arg(long, value_name = "CHANCES")]
    chance: Option<String>,
    /// Take the chances from this pupil's marked sittings, instead of --chance
    #[arg(long, value_name = "ALIAS", value_parser = Alias::new, conflicts_with = "chance")]
    pupil: Option<Alias>,
    /// With --pupil: a folder of answer keys, or a key file [default: beside the papers]
    #[arg(long, visible_alias = "key", value_name = "DIR", num_args = 1.., requires = "pupil")]
    keys: Vec<PathBuf>,
    /// For the picture: how many are right in the third section, the fourth and so on, such as 3
    #[arg(long, value_name = "LIST")]
    others: Option<String>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Why there is nothing to say about the mark.
#[derive(Debug, thiserror::Error)]
enum AimError<'a> {
    #[error(
        "the marks of this paper are too fine and too far apart to work out a chance; leave {0} out"
    )]
    TooFine(&'static str),
    #[error("--mark: {0}")]
    NoMark(NoMark),
    #[error(
        "--award {0}: the paper has no awards; add them to its field `awards`, or name a mark with --mark"
    )]
    NoAwards(&'a str),
    #[error("--award {wanted}: the paper has no award of that name; its awards are {}", awards.join(", "))]
    NoSuchAward {
        wanted: &'a str,
        awards: Vec<&'a str>,
    },
    #[error("--chance {text} has {} but the paper has {}; write one for each section in order, or by question, such as 1-10:0.9", counted(*chances, "chance"), counted(*sections, "section"))]
    Chances {
        text: &'a str,
        chances: usize,
        sections: usize,
    },
    #[error("--others {text}: the paper has {} after the second; write how many are right in each", counted(*sections, "section"))]
    Others { text: &'a str, sections: usize },
    #[error("--others: {text:?} cannot be the number right in {}; write a number from 0 to {}", section.name, size(section))]
    NotRight { text: &'a str, section: &'a Section },
}

/// Works out what the mark takes and writes it.
///
/// # Errors
/// A file that cannot be used, words that do not fit the paper, or a pupil without a marked sitting.
pub fn run(
    args: &AimArgs,
    given: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let of_pupil = args
        .pupil
        .as_ref()
        .map(|pupil| of_pupil(args, pupil, given, aside))
        .transpose()?;
    let paper = match &of_pupil {
        Some((paper, _)) => Arc::clone(paper),
        None => paper(args, given)?,
    };
    let outline = &paper.outline;
    let mark = mark(args, &paper)?;
    let attempts = args
        .chance
        .as_deref()
        .map(|text| attempts(text, outline))
        .transpose()?;
    let others = match &args.others {
        Some(text) => others(text, outline)?,
        None => usual_others(&outline.rule, mark),
    };
    let likely = attempts.as_ref().map(|attempts| {
        totals(outline, attempts).ok_or_else(|| Failure::could_not(AimError::TooFine("--chance")))
    });
    let likely = likely.transpose()?;
    let needed = needed(&outline.rule, mark);
    let of_pupil = of_pupil
        .as_ref()
        .map(|(_, estimates)| -> Result<OfPupil<'_>, Failure> {
            let likely = Likely::new(&paper, estimates, mark)
                .ok_or_else(|| Failure::could_not(AimError::TooFine("--pupil")))?;
            let likely = estimates.are_enough().then_some(likely);
            Ok(OfPupil { estimates, likely })
        })
        .transpose()?;
    let more = match of_pupil.as_ref().and_then(|of| of.likely.as_ref()) {
        Some(likely) => likely.more.clone(),
        None => one_more(outline, attempts.as_deref().unwrap_or_default(), mark),
    };
    let aimed = Aimed {
        outline,
        needed: &needed,
        totals: likely.as_ref(),
        pupil: of_pupil.as_ref(),
        more: &more,
        others: &others,
        today,
    };
    let told = if args.json {
        json(&aimed).map_err(Failure::could_not)?
    } else {
        page(&aimed)
    };
    written(out, &told)
}

fn paper(args: &AimArgs, given: Option<&Path>) -> Result<Arc<Paper>, Failure> {
    let catalogue = Catalogue::open(given, &[PathBuf::from(&args.paper)]);
    let (paper, _file) = catalogue.paper(&args.paper).map_err(Failure::could_not)?;
    Ok(paper)
}

/// The paper and what the pupil's sittings say; what had to be left out goes to `aside`.
fn of_pupil(
    args: &AimArgs,
    pupil: &Alias,
    given: Option<&Path>,
    aside: &mut dyn Write,
) -> Result<(Arc<Paper>, Estimates), Failure> {
    let gathered = gather(pupil, &args.paper, &args.keys, given)?;
    for note in &gathered.group.notes {
        remark(aside, note);
    }
    let estimates = gathered.estimates(pupil);
    let estimates = estimates.ok_or_else(|| Failure::could_not(AimError::TooFine("--pupil")))?;
    Ok((gathered.paper, estimates))
}

fn mark(args: &AimArgs, paper: &Paper) -> Result<Mark, Failure> {
    if let Some(text) = &args.mark {
        return text
            .parse()
            .map_err(|no| Failure::wrong_words(AimError::NoMark(no)));
    }
    let wanted = args.award.as_deref().unwrap_or_default().trim();
    let awards = &paper.outline.awards;
    let found = awards
        .iter()
        .find(|award| award.name.to_lowercase() == wanted.to_lowercase());
    let found = found.map(|award| award.boundary);
    found.ok_or_else(|| {
        Failure::wrong_words(if awards.is_empty() {
            AimError::NoAwards(wanted)
        } else {
            AimError::NoSuchAward {
                wanted,
                awards: awards.iter().map(|award| award.name.as_str()).collect(),
            }
        })
    })
}

/// The questions that are tried, each with its chance.
fn attempts(text: &str, outline: &Outline) -> Result<Vec<Attempt>, Failure> {
    let read = |number: QuestionNo, text: &str| match text {
        "guess" => Ok(1.0 / real(outline.labels(number).len())),
        text => chance("--chance", text),
    };
    if text.contains(':') {
        let chances = by_question("--chance", text, outline, read)?;
        let tried = chances
            .iter()
            .filter_map(|(number, p)| Attempt::new(outline, *number, *p));
        return Ok(tried.collect());
    }
    let each: Vec<_> = parts(text).collect();
    let sections = &outline.rule.sections;
    if each.len() != sections.len() {
        return Err(Failure::wrong_words(AimError::Chances {
            text,
            chances: each.len(),
            sections: sections.len(),
        }));
    }
    let mut attempts = Vec::new();
    for (section, text) in sections.iter().zip(each) {
        for number in outline.numbers().filter(|number| section.holds(*number)) {
            attempts.extend(Attempt::new(outline, number, read(number, text)?));
        }
    }
    Ok(attempts)
}

/// How many are right in the third section and those after it.
fn others(text: &str, outline: &Outline) -> Result<Vec<usize>, Failure> {
    let sections: Vec<_> = outline.rule.sections.iter().skip(2).collect();
    let each: Vec<_> = parts(text).collect();
    if each.len() != sections.len() {
        return Err(Failure::wrong_words(AimError::Others {
            text,
            sections: sections.len(),
        }));
    }
    let read = |(section, text): (&&Section, &str)| {
        let right = text.parse().ok().filter(|right| *right <= size(section));
        right.ok_or_else(|| Failure::wrong_words(AimError::NotRight { text, section }))
    };
    sections.iter().zip(each).map(read).collect()
}

//! `boundary`: award boundaries of a group, from a column of marks or from sittings.

mod sheets;
mod sittings;

use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::bar::{Bar, Counts};
use super::failure::Failure;
use super::outlets::{remark, written};
use super::read::entry;
use crate::cohort::boundaries::{Cut, MarkCounts, SMALL, Terms};
use crate::domain::mark::Mark;
use crate::domain::paper::{Award, Paper, TieSide};
use crate::reports::boundary::{Set, json, page};
use crate::storage::catalogue::Catalogue;
use crate::storage::files::marks::Marks;
use crate::storage::files::{self, FileTrouble};
use crate::words;
use crate::words::count::{counted, counted_as};

/// Files larger than this show how far they are read.
const LARGE: u64 = 8 << 20;
/// The seed of the ranges when nobody gives one.
const SEED: u64 = 1;

/// What `boundary` takes.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Quota, count and share are cumulative, like the boundary: they count everybody\n\
who gets the award or a better one. Rows without a mark are left out: an absence\n\
is not a mark of 0. A pupil's first whole sitting counts; --every counts them\n\
all.\n\
\n\
JSON: {people, awards: [{name, quota, boundary, count, share}]}, best award\n\
first; quota is a number of people (7.5), boundary an exact mark or null for\n\
nobody, share from 0 to 1. With --places also places: {cap, boundary, count};\n\
with --bootstrap also range_80 in each award.")]
#[command(group(clap::ArgGroup::new("from").required(true)))]
pub struct BoundaryArgs {
    /// Sittings of one paper: session files, folders or pupils; their marks in time count
    #[arg(value_name = "SESSION", group = "from")]
    files: Vec<PathBuf>,
    /// A CSV file with a column of marks
    #[arg(long, value_name = "FILE.csv", group = "from")]
    marks: Option<PathBuf>,
    /// A CSV file of answers, a row for each pupil, to mark under the paper's rule; a row
    /// with empty cells only is a pupil who was absent
    #[arg(long, value_name = "FILE.csv", group = "from", requires = "paper")]
    answers: Option<PathBuf>,
    /// The paper for --answers or --marks, or the one whose sittings count: a file or an id
    #[arg(long, value_name = "PAPER")]
    paper: Option<String>,
    /// Codes for a blank in the answer list, besides an empty cell and -; put commas between them
    #[arg(
        long,
        value_name = "CODES",
        value_delimiter = ',',
        requires = "answers"
    )]
    blank_codes: Vec<String>,
    /// The answer key for the sittings or the answer list [default: the one beside the paper]
    #[arg(
        long,
        visible_alias = "keys",
        value_name = "KEY",
        conflicts_with = "marks"
    )]
    key: Option<PathBuf>,
    /// Count every whole sitting of a pupil, not only the first
    #[arg(long, conflicts_with_all = ["marks", "answers"])]
    every: bool,
    /// The column of marks, by name or number [default: the only one, or the one called mark,
    /// marks, total or score]
    #[arg(long, value_name = "NAME", requires = "marks")]
    column: Option<String>,
    /// The share of the group that gets an award, such as 40% [default: from the paper file]
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    top: Option<String>,
    /// How the awards divide that share, lowest first, such as 5:3:2 [default: from the paper file]
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true)]
    ratio: Option<String>,
    /// The awards' names, lowest first [default: from the paper file]
    #[arg(long, value_name = "LIST")]
    names: Option<String>,
    /// Where a boundary falls when no mark meets the quota [default: from the paper file, else
    /// nearest]
    #[arg(long, value_name = "RULE", value_enum)]
    tie: Option<Tie>,
    /// How many places there are in a further round
    #[arg(long, value_name = "N")]
    places: Option<usize>,
    /// The random seed for the range beside each boundary; with fewer than 100 people the range is
    /// always shown
    #[arg(long, value_name = "SEED")]
    bootstrap: Option<u64>,
    /// Save the boundaries in this paper file, under the year given by --year
    #[arg(long, value_name = "PAPER", requires = "year")]
    write: Option<PathBuf>,
    /// The year for --write
    #[arg(long, requires = "write")]
    year: Option<i32>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// The tie rules by their names.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
pub enum Tie {
    /// The lowest mark with no more people at or above it than the quota
    NotAbove,
    /// The highest mark with at least the quota of people at or above it
    AtLeast,
    /// The mark nearest the quota, the lower of two equally near
    Nearest,
}

impl From<Tie> for TieSide {
    fn from(tie: Tie) -> Self {
        match tie {
            Tie::NotAbove => Self::NotAbove,
            Tie::AtLeast => Self::AtLeast,
            Tie::Nearest => Self::Nearest,
        }
    }
}

/// How to write a share.
#[derive(Debug, thiserror::Error)]
#[error("write a share of the group such as 40%, 2/5 or 0.4")]
struct ShareForm;

/// Why there are no boundaries.
#[derive(Debug, thiserror::Error)]
enum BoundaryError<'a> {
    #[error("with {} the boundaries hardly vary; leave --bootstrap out", counted_as(*.0, "person", "people"))]
    TooManyPeople(usize),
    #[error(
        "the share of the group that gets an award is missing. Add --top and --ratio, such as --top 40% --ratio 5:3:2 (lowest award first), or put shares in the paper file and name it with --paper"
    )]
    NoTop,
    #[error(
        "the ratio in which the awards divide the top is missing. Add --ratio, such as --ratio 5:3:2 (lowest award first)"
    )]
    RatioMissing,
    #[error("--top and --ratio have too many digits to stay exact; use rounder numbers")]
    TooManyDigits,
    #[error("--top {0} isn't a share; {ShareForm}")]
    NoShare(&'a str),
    #[error("--top {0} is more than 100%; {ShareForm}")]
    ShareOverOne(&'a str),
    #[error("--top {0} is more than 100%; the most is 100%, which is everybody")]
    ShareOverAll(&'a str),
    #[error("--top {0} gives nobody an award; {ShareForm}")]
    NoAward(&'a str),
    #[error("--ratio {0} has a 0, so nobody would get that award; leave the award out")]
    ZeroInRatio(&'a str),
    #[error(
        "--ratio {0} isn't a ratio; write whole numbers up to 1000000 with colons between them, lowest award first, such as 5:3:2"
    )]
    NoRatio(&'a str),
    #[error("--names {text} has {} but the ratio has {}; write a name for each part, lowest award first", counted(*names, "name"), counted(*parts, "part"))]
    NamesForParts {
        text: &'a str,
        names: usize,
        parts: usize,
    },
    #[error("--names {0} has an empty name; write a name for each award")]
    EmptyName(&'a str),
    #[error("--names {text} has {name} twice; give each award its own name")]
    NameTwice { text: &'a str, name: &'a str },
    #[error(
        "nobody gets {0}, so it has no boundary, and nothing was saved. Try another --tie, or add the year to the paper file by hand"
    )]
    NobodyGets(&'a str),
    #[error("the boundaries were not saved, and the paper file is unchanged\n{0}")]
    YearNotWritten(FileTrouble),
}

/// Works the boundaries out and writes them; progress and notes beside them go to `aside`.
///
/// # Errors
/// A file that cannot be used, or words that make no sense.
pub fn run(
    args: &BoundaryArgs,
    sessions: Option<&Path>,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let given = GivenTerms::of(args)?;
    let list = args.answers.as_ref().zip(args.paper.as_ref());
    let (marks, paper) = match (&args.marks, list) {
        (Some(file), _) => {
            let paper = named_paper(args, sessions)?;
            (column(file, args.column.as_deref())?, paper)
        }
        (None, Some((list, paper))) => {
            let key = args.key.as_deref();
            let (marks, paper) =
                sheets::marks(list, paper, key, &args.blank_codes, sessions, aside)?;
            (marks, Some(paper))
        }
        (None, None) => {
            let entry = entry(args.every);
            let wanted = args.paper.as_deref();
            let wanted = wanted.map(|named| paper_called(named, sessions));
            let wanted = wanted.transpose()?;
            let key = args.key.as_ref();
            sittings::marks(&args.files, wanted.as_deref(), key, entry, sessions, aside)?
        }
    };
    let terms = terms(args, given, paper.as_deref())?;
    let cohort = MarkCounts::new(marks.counts);
    let cuts = cohort.cuts(&terms);
    let shown = !args.json && cohort.people() < SMALL;
    let seed = args.bootstrap.or_else(|| shown.then_some(SEED));
    let ranges = seed.map(|seed| (seed, cohort.ranges(&terms, seed)));
    if matches!(ranges, Some((_, None))) {
        let people = cohort.people();
        return Err(Failure::could_not(BoundaryError::TooManyPeople(people)));
    }
    let set = Set {
        cohort: &cohort,
        without: marks.without,
        terms: &terms,
        cuts: &cuts,
        places: args.places.map(|cap| (cap, cohort.places(cap))),
        ranges: ranges
            .as_ref()
            .and_then(|(seed, ranges)| Some((*seed, ranges.as_deref()?))),
    };
    let mut told = if args.json {
        json(&set, args.bootstrap.is_some()).map_err(Failure::could_not)?
    } else {
        page(&set)
    };
    if let (Some(paper), Some(year)) = (&args.write, args.year) {
        write(paper, year, &cuts)?;
        let note = words::boundaries::year_written(year, paper);
        if args.json {
            remark(aside, note);
        } else {
            told.push_str(&note);
            told.push('\n');
        }
    }
    written(out, &told)
}

/// The paper named beside a column of marks: with `--paper`, else the one to be written into.
fn named_paper(
    args: &BoundaryArgs,
    sessions: Option<&Path>,
) -> Result<Option<Arc<Paper>>, Failure> {
    let written = || {
        args.write
            .as_ref()
            .map(|file| file.to_string_lossy().into_owned())
    };
    let named = args.paper.clone().or_else(written);
    named
        .map(|named| paper_called(&named, sessions))
        .transpose()
}

fn paper_called(named: &str, sessions: Option<&Path>) -> Result<Arc<Paper>, Failure> {
    let catalogue = Catalogue::open(sessions, &[PathBuf::from(named)]);
    let (paper, _file) = catalogue.paper(named).map_err(Failure::could_not)?;
    Ok(paper)
}

/// The share and the ratio that the words give.
struct GivenTerms {
    top: Option<Mark>,
    ratio: Option<Vec<u64>>,
}

impl GivenTerms {
    fn of(args: &BoundaryArgs) -> Result<Self, Failure> {
        Ok(Self {
            top: args.top.as_deref().map(share).transpose()?,
            ratio: args.ratio.as_deref().map(ratio).transpose()?,
        })
    }
}

/// What the words say, and for what they leave out what the paper file says.
fn terms(args: &BoundaryArgs, given: GivenTerms, paper: Option<&Paper>) -> Result<Terms, Failure> {
    let own = paper.and_then(|paper| paper.shares.as_ref());
    let Some(top) = given.top.or_else(|| own.map(|own| own.top)) else {
        return Err(Failure::wrong_words(BoundaryError::NoTop));
    };
    let own_ratio = || own.map(|own| own.ratio.iter().copied().map(u64::from).collect());
    let Some(ratio) = given.ratio.or_else(own_ratio) else {
        return Err(Failure::wrong_words(BoundaryError::RatioMissing));
    };
    let awards = paper.map_or(&[][..], |paper| &paper.outline.awards);
    let names = names(args.names.as_deref(), ratio.len(), awards)?;
    let tie = args.tie.map(TieSide::from);
    let tie = tie.or_else(|| own.map(|own| own.tie));
    let tie = tie.unwrap_or(TieSide::Nearest);
    let terms = Terms::new(top, ratio, names, tie.into());
    terms.ok_or_else(|| Failure::wrong_words(BoundaryError::TooManyDigits))
}

fn share(text: &str) -> Result<Mark, Failure> {
    let (number, hundred) = match text.trim().strip_suffix('%') {
        Some(number) => (number.trim_end(), 100),
        None => (text.trim(), 1),
    };
    let Ok(number) = number.parse::<Mark>() else {
        return Err(Failure::wrong_words(BoundaryError::NoShare(text)));
    };
    let bottom = number.denominator();
    let share = number
        .steps(bottom)
        .map(|top| Mark::from_steps(top, bottom * hundred));
    let wrong = match share {
        Some(share) if share > Mark::whole(1) && hundred == 1 => BoundaryError::ShareOverOne(text),
        Some(share) if share > Mark::whole(1) => BoundaryError::ShareOverAll(text),
        Some(share) if share > Mark::ZERO => return Ok(share),
        _ => BoundaryError::NoAward(text),
    };
    Err(Failure::wrong_words(wrong))
}

fn ratio(text: &str) -> Result<Vec<u64>, Failure> {
    let part = |part: &str| match part.trim().parse::<u32>() {
        Ok(0) => Err(Failure::wrong_words(BoundaryError::ZeroInRatio(text))),
        Ok(part) if part <= 1_000_000 => Ok(u64::from(part)),
        _ => Err(Failure::wrong_words(BoundaryError::NoRatio(text))),
    };
    text.split(':').map(part).collect()
}

fn names(text: Option<&str>, awards: usize, own: &[Award]) -> Result<Vec<String>, Failure> {
    let Some(text) = text else {
        return Ok(match awards {
            _ if own.len() == awards => own.iter().map(|award| award.name.clone()).collect(),
            1 => vec!["award".into()],
            _ => (1..=awards)
                .map(|number| format!("award {number}"))
                .collect(),
        });
    };
    let names: Vec<String> = text.split(',').map(|name| name.trim().to_owned()).collect();
    if names.len() != awards {
        return Err(Failure::wrong_words(BoundaryError::NamesForParts {
            text,
            names: names.len(),
            parts: awards,
        }));
    }
    let twice = names
        .iter()
        .enumerate()
        .find(|(index, name)| names.iter().take(*index).any(|other| other == *name));
    match twice {
        _ if names.iter().any(String::is_empty) => {
            Err(Failure::wrong_words(BoundaryError::EmptyName(text)))
        }
        Some((_, name)) => Err(Failure::wrong_words(BoundaryError::NameTwice {
            text,
            name,
        })),
        None => Ok(names),
    }
}

/// Reads the column, telling how far it is where that takes long and somebody is looking.
fn column(file: &Path, column: Option<&str>) -> Result<Marks, Failure> {
    let mut bar = None;
    let read = files::marks::read(file, column, &mut |done, all| {
        if all > LARGE {
            let watched = io::stderr().is_terminal();
            bar.get_or_insert_with(|| Bar::new(watched, Counts::Bytes, all))
                .at(done);
        }
    });
    drop(bar);
    read.map_err(Failure::could_not)
}

fn write(paper: &Path, year: i32, cuts: &[Cut]) -> Result<(), Failure> {
    let boundary = |cut: &Cut| {
        let nobody = || Failure::could_not(BoundaryError::NobodyGets(&cut.name));
        let mark = cut.boundary.ok_or_else(nobody);
        mark.map(|mark| (cut.name.clone(), mark))
    };
    let boundaries: Result<Vec<_>, _> = cuts.iter().rev().map(boundary).collect();
    files::past::add(paper, year, &boundaries?)
        .map_err(|trouble| Failure::could_not(BoundaryError::YearNotWritten(trouble)))
}

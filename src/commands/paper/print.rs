//! `paper print`: a paper, homework, an answer sheet or a plan card as a page to print; the key on a page of its own.

use std::io::Write;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser as _};

use crate::commands::failure::Failure;
use crate::commands::named_plan::named_plan;
use crate::commands::outlets::{remark, written};
use crate::commands::pages::{ForceArg, NewPage, PagePress, place};
use crate::commands::sit::wanted::questions;
use crate::domain::header::{Alias, Arrangements, PacePlan, with_extra_time};
use crate::domain::paper::Outline;
use crate::domain::register::Registered;
use crate::domain::time::parse_minutes;
use crate::reports::document::style::LetterSize;
use crate::reports::print::{PrintedPage, PrintedPaper, key_page};
use crate::storage::catalogue::Catalogue;
use crate::storage::files::plan;
use crate::words::print as words;

/// What `paper print` takes.
#[derive(Debug, Args)]
pub struct PrintWords {
    /// The paper: a file, or the id of one here, in ./sample-papers, or beside or in the
    /// folder of sittings
    #[arg(value_name = "PAPER")]
    paper: String,
    /// The file to write [default: in `pages` in the folder of sittings]
    #[arg(short, long, value_name = "FILE.html")]
    output: Option<PathBuf>,
    /// The size of the letters in pt; 18 and 24 are bold
    #[arg(long, value_name = "N", default_value = "12", value_parser = size())]
    size: LetterSize,
    #[command(flatten)]
    what: PrintedWhat,
    /// For this pupil: with the alias, and the time as the register has it
    #[arg(long, value_name = "ALIAS", value_parser = Alias::new)]
    pupil: Option<Alias>,
    /// Minutes allowed before extra time [default: from the paper]
    #[arg(long, value_name = "N")]
    minutes: Option<String>,
    /// Also write the answer key, on a page of its own beside this one
    #[arg(long)]
    with_key: bool,
    /// The answer key for --with-key [default: the one beside the paper]
    #[arg(
        long,
        visible_alias = "keys",
        value_name = "KEY",
        requires = "with_key"
    )]
    key: Vec<PathBuf>,
    #[command(flatten)]
    force: ForceArg,
}

/// What of a paper is printed.
#[derive(Debug, Args)]
pub(super) struct PrintedWhat {
    /// Only these questions, such as 3,11,15-18
    #[arg(long, value_name = "LIST")]
    questions: Option<String>,
    /// Homework: no clock, and room for working under each question
    #[arg(long, conflicts_with_all = ["answer_sheet", "plan_card", "minutes"])]
    homework: bool,
    /// Only an answer sheet: a row of letters for each question
    #[arg(long)]
    answer_sheet: bool,
    /// Only a plan card: the checkpoints to carry, from --plan or the pupil's newest plan
    #[arg(long)]
    plan_card: bool,
    /// The pace plan for the card
    #[arg(long, value_name = "FILE", requires = "plan_card")]
    plan: Option<PathBuf>,
}

/// `12`, `14`, `18` or `24`.
fn size() -> impl clap::builder::TypedValueParser<Value = LetterSize> {
    PossibleValuesParser::new(["12", "14", "18", "24"]).map(|points| match points.as_str() {
        "14" => LetterSize::Fourteen,
        "18" => LetterSize::Eighteen,
        "24" => LetterSize::TwentyFour,
        _ => LetterSize::Twelve,
    })
}

/// A longer list of questions would make a name that some disks don't take.
const LONGEST_LIST: usize = 80;

/// Why nothing is printed.
#[derive(Debug, thiserror::Error)]
enum NotPrinted<'a> {
    #[error(
        "the paper `{0}` has no question texts, so there's nothing to print; add --answer-sheet or --homework"
    )]
    WithoutTexts(&'a str),
    #[error("a plan card needs a plan: name its file with --plan, or the pupil with --pupil")]
    NoPlan,
    #[error(
        "no plan of {pupil} for `{paper}` is saved; make one with `pacebell plan {pupil} --paper {paper}`, or name a file with --plan"
    )]
    PlanNotSaved { pupil: &'a Alias, paper: &'a str },
}

/// Writes the page, and the key's where it is wanted.
///
/// # Errors
/// A paper, a plan or a key that cannot be used, questions that the paper does not have, a page that cannot be
/// written.
pub(super) fn print(
    args: &PrintWords,
    sessions: Option<&Path>,
    today: NaiveDate,
    out: &mut dyn Write,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    let catalogue = Catalogue::open(sessions, &[]).with_keys(&args.key);
    let catalogue = catalogue.map_err(Failure::could_not)?;
    let (paper, _) = catalogue.paper(&args.paper).map_err(Failure::could_not)?;
    let outline = &paper.outline;
    let standard = match &args.minutes {
        Some(minutes) => parse_minutes(minutes).map_err(Failure::wrong_words)?,
        None => paper.allowed,
    };
    let register = catalogue.register().map_err(Failure::could_not)?;
    let registered = args.pupil.as_ref().zip(register);
    let registered = registered.and_then(|(pupil, register)| register.pupil(pupil));
    let arranged = arranged(args, registered, outline, standard)?;
    let printed = PrintedPaper {
        paper: &paper,
        pupil: args.pupil.as_ref(),
        standard,
        arranged: &arranged,
        size: args.size,
        today,
    };
    let plan = args
        .what
        .plan_card
        .then(|| the_plan(args, &catalogue, outline));
    let plan = plan.transpose()?;
    let parts = parts(args, plan.as_ref());
    if !outline.on_screen && matches!(parts.as_slice(), [PrintedPage::Paper]) {
        return Err(Failure::wrong_words(NotPrinted::WithoutTexts(&outline.id)));
    }
    // Found before anything is written: a key that is wanted and not there is no half job.
    let key = args.with_key.then(|| catalogue.key_of(outline));
    let key = key.transpose().map_err(Failure::could_not)?;
    let path = place(&catalogue, args.output.as_deref(), &name(args, &outline.id))?;
    let press = PagePress::new(&catalogue, args.force);
    let page = printed.page(&parts);
    press.put(new(&path, printed.pupil), page.as_bytes(), aside)?;
    let beside = key.map(|key| {
        let beside = path.with_file_name(format!("{}-key.html", outline.id));
        let page = key_page(printed, &key);
        let put = press.put(new(&beside, None), page.as_bytes(), aside);
        put.map(|()| beside)
    });
    let beside = beside.transpose()?;
    let asks = matches!(
        parts.as_slice(),
        [PrintedPage::Paper | PrintedPage::Homework]
    );
    let long = printed.too_long();
    if asks && !long.is_empty() {
        remark(aside, words::too_long(&long, args.size.points()));
    }
    let said = words::written(&path, beside.as_deref());
    written(out, &format!("{said}\n"))
}

/// A page that names this pupil, or nobody.
fn new<'a>(path: &'a Path, pupil: Option<&Alias>) -> NewPage<'a> {
    NewPage {
        path,
        pupils: pupil.into_iter().cloned().collect(),
        words: Vec::new(),
    }
}

fn arranged(
    args: &PrintWords,
    registered: Option<&Registered>,
    outline: &Outline,
    standard: crate::domain::time::Elapsed,
) -> Result<Arrangements, Failure> {
    let extra_percent = registered.map(|pupil| pupil.extra_percent);
    let extra_percent = extra_percent.unwrap_or_default();
    let only = args.what.questions.as_deref();
    let only = only.map(|list| questions(list, outline)).transpose()?;
    Ok(Arrangements {
        extra_percent,
        rest_breaks: registered.is_some_and(|pupil| pupil.rest_breaks),
        only: only.flatten(),
        ..Arrangements::usual(with_extra_time(standard, extra_percent))
    })
}

fn parts<'a>(args: &PrintWords, plan: Option<&'a PacePlan>) -> Vec<PrintedPage<'a>> {
    let sheet = args.what.answer_sheet.then_some(PrintedPage::AnswerSheet);
    let card = plan.map(PrintedPage::PlanCard);
    let parts: Vec<_> = sheet.into_iter().chain(card).collect();
    match (parts.is_empty(), args.what.homework) {
        (false, _) => parts,
        (true, true) => vec![PrintedPage::Homework],
        (true, false) => vec![PrintedPage::Paper],
    }
}

fn the_plan(
    args: &PrintWords,
    catalogue: &Catalogue,
    outline: &Outline,
) -> Result<PacePlan, Failure> {
    if let Some(path) = &args.what.plan {
        return named_plan(path, args.pupil.as_ref(), outline);
    }
    let Some(pupil) = &args.pupil else {
        return Err(Failure::wrong_words(NotPrinted::NoPlan));
    };
    let sessions = catalogue.sessions().map_err(Failure::could_not)?;
    let newest = plan::newest_in(&sessions.join(pupil.as_str()), &outline.id);
    let Some(path) = newest else {
        return Err(Failure::could_not(NotPrinted::PlanNotSaved {
            pupil,
            paper: &outline.id,
        }));
    };
    named_plan(&path, Some(pupil), outline)
}

/// `otter-saltmarsh-a-answer-sheet-18pt.html`, `saltmarsh-a-homework-3_11_15-18.html`.
fn name(args: &PrintWords, paper: &str) -> String {
    let pupil = args.pupil.as_ref().map(|pupil| format!("{pupil}-"));
    let kinds = [
        (args.what.homework, "-homework"),
        (args.what.answer_sheet, "-answer-sheet"),
        (args.what.plan_card, "-plan-card"),
    ];
    let kinds = kinds
        .into_iter()
        .filter_map(|(is, kind)| is.then_some(kind));
    let kinds: String = kinds.collect();
    let size = match args.size {
        LetterSize::Twelve => String::new(),
        size => format!("-{}pt", size.points()),
    };
    let only = args.what.questions.as_deref().map(only_these);
    format!(
        "{}{paper}{kinds}{}{size}.html",
        pupil.unwrap_or_default(),
        only.unwrap_or_default()
    )
}

/// `-3_11_15-18`: two pages of different questions are two files.
fn only_these(list: &str) -> String {
    let parts: Vec<_> = list.split(',').map(str::trim).collect();
    let named = format!("-{}", parts.join("_"));
    if named.len() <= LONGEST_LIST {
        return named;
    }
    format!("-{:08x}", crc32fast::hash(named.as_bytes()))
}

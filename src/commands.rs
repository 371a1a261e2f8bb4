//! The words typed: what each command takes, and how it ends.

pub mod aim;
mod bar;
pub mod boundary;
pub mod completions;
pub mod demo;
pub mod doctor;
pub mod drill;
pub mod enter;
pub mod erase;
pub mod evidence;
pub mod export;
pub mod failure;
pub mod feedback;
pub mod forecast;
pub mod gather;
pub mod group;
mod hall;
pub mod hindsight;
mod lines;
pub mod luck;
pub mod mark;
mod named_plan;
mod numbers;
pub mod outlets;
pub mod overview;
mod pages;
pub mod paper;
pub mod plan;
pub mod practise;
pub mod progress;
mod read;
pub mod rename;
pub mod repair;
pub mod review;
mod samples;
pub mod set_aside;
pub mod sit;
mod start;
pub mod tables;
pub mod talk;
pub mod tutor;

use std::ffi::OsString;
use std::io::{self, IsTerminal as _};
use std::path::PathBuf;

use clap::{CommandFactory as _, Parser, Subcommand};

use crate::clock::{Clock, SystemClock, zone_is_refused};
use crate::storage::disk;
use crate::storage::files::folders;
use crate::words::rule::PRACTICE_ONLY;
use crate::words::time::ZONE_REFUSED;
pub use failure::Failure;
use outlets::{Outlets, VisibleText, quietly, remark};

/// Timed practice for multiple-choice maths papers: sit, mark, review and plan
#[derive(Debug, Parser)]
#[command(name = "pacebell", version, after_help = PRACTICE_ONLY)]
pub struct Args {
    /// The folder of sittings [default: ./sessions if it exists, else your data folder]
    #[arg(long, global = true, value_name = "DIR")]
    pub sessions: Option<PathBuf>,
    /// With no command: the start page in lines of text, for screen readers and plain terminals
    #[arg(long)]
    pub plain: bool,
    /// What to do; with no command, the start page opens
    #[command(subcommand)]
    pub command: Option<CommandArgs>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum CommandArgs {
    /// Sit a paper against the clock, or carry on with an unfinished sitting
    Sit(sit::SitArgs),
    /// Try one habit for a short while: filling blanks, or finding the keys
    #[command(subcommand)]
    Drill(drill::DrillWords),
    /// Try missed questions again: a try, a hint, a second try, the working
    Practise(practise::PractiseArgs),
    /// Mark sittings with an answer key: exact marks, awards, luck
    Mark(mark::MarkArgs),
    /// Show what a mark or an award takes, and how likely it is
    Aim(aim::AimArgs),
    /// Show every mark that some guesses could give, and how likely each is
    Luck(luck::LuckArgs),
    /// Work out a group's award boundaries, from marks or from sittings
    Boundary(boundary::BoundaryArgs),
    /// Write a feedback page for a pupil, or one for each pupil in a group
    Feedback(feedback::FeedbackArgs),
    /// Type in an answer sheet that was filled in on paper
    Enter(enter::EnterArgs),
    /// Look back at past sittings: where the time went, replay, notes
    Review(review::ReviewArgs),
    /// Prepare a ten-minute talk about a sitting: findings, lost marks, one step to agree on
    Talk(talk::TalkArgs),
    /// Leave a sitting out of every figure, or count it again
    SetAside(set_aside::SetAsideArgs),
    /// Copy everything kept of a pupil into a folder: files, JSON, CSV, and what each field means
    Export(export::ExportArgs),
    /// Show how a pupil used extra time and rest breaks, on a sheet to print
    Evidence(evidence::EvidenceArgs),
    /// Bring sittings from sticks and other folders together in one folder
    Gather(gather::GatherArgs),
    /// List what is not as it should be in a folder of sittings, each with its remedy
    Doctor(doctor::DoctorArgs),
    /// Keep what can be read of a damaged session file; the file as it was stays beside it
    Repair(repair::RepairArgs),
    /// Give a pupil another alias, in every file
    Rename(rename::RenameArgs),
    /// Erase everything kept of a pupil; asks first
    Erase(erase::EraseArgs),
    /// Show how a group did on each question and on the whole paper
    Group(group::GroupArgs),
    /// Show a group's term on one page: pupils by papers and questions, and who needs a word
    Overview(overview::OverviewArgs),
    /// Show a pupil's season: marks, habits, topics, causes of lost marks
    Progress(progress::ProgressArgs),
    /// Forecast a pupil's mark on a paper, and the chance of each award
    Forecast(forecast::ForecastArgs),
    /// Hold past forecasts beside the marks that came, for a pupil or the whole group
    Hindsight(hindsight::HindsightArgs),
    /// Plan a pupil's time on a paper: which questions to try, and by when
    Plan(plan::PlanArgs),
    /// Make a season of invented sittings to look around in
    Demo(demo::DemoArgs),
    /// Show every job of a tutor in one list, with what it needs to choose from
    Tutor(tutor::TutorArgs),
    /// Check papers and answer keys, or start a new paper
    #[command(subcommand)]
    Paper(paper::PaperWords),
    /// Print what lets a shell complete these commands and their options
    Completions(completions::CompletionsArgs),
}

/// Reads the words and does what they say.
///
/// # Errors
/// What could not be done, as a sentence with its exit code.
pub fn run(words: impl IntoIterator<Item = OsString>) -> Result<(), Failure> {
    let all = match Args::try_parse_from(words) {
        Ok(all) => all,
        Err(error) if error.use_stderr() => return Err(Failure::Usage(error.to_string())),
        Err(help) => return quietly(help.print()),
    };
    let given = all.sessions.as_deref();
    let sessions = || folders::sessions_dir(given).map_err(Failure::could_not);
    disk::keep_the_owners_rights();
    let clock = SystemClock;
    let today = clock.local().date_naive();
    let out_is_read = io::stdout().is_terminal();
    let mut out = VisibleText::new(io::stdout());
    let mut aside = VisibleText::new(io::stderr());
    if zone_is_refused() {
        remark(&mut aside, ZONE_REFUSED);
    }
    match &all.command {
        None => start::run(given, all.plain, sessions()?),
        Some(CommandArgs::Sit(args)) => sit::run(args, sessions()?),
        Some(CommandArgs::Drill(args)) => drill::run(args, given, sessions()?),
        Some(CommandArgs::Practise(args)) => practise::run(args, given, &sessions()?),
        Some(CommandArgs::Mark(args)) => mark::run(args, given, today, &mut out, &mut aside),
        Some(CommandArgs::Aim(args)) => aim::run(args, given, today, &mut out, &mut aside),
        Some(CommandArgs::Luck(args)) => luck::run(args, given, today, &mut out),
        Some(CommandArgs::Boundary(args)) => boundary::run(args, given, &mut out, &mut aside),
        Some(CommandArgs::Enter(args)) => {
            let mut desk = enter::Desk {
                input: &mut io::stdin().lock(),
                asks: io::stdin().is_terminal(),
                out_is_read,
                out: &mut out,
                aside: &mut aside,
            };
            enter::run(args, given, &clock, &mut desk)
        }
        Some(CommandArgs::Feedback(args)) => {
            let watched = io::stderr().is_terminal();
            let mut outlets = Outlets {
                out: &mut out,
                aside: &mut aside,
                watched,
            };
            feedback::run(args, given, clock.local(), &mut outlets)
        }
        Some(CommandArgs::Review(args)) => review::run(
            args,
            args.dir().map_or_else(sessions, |dir| Ok(dir.to_owned()))?,
        ),
        Some(CommandArgs::Talk(args)) => {
            talk::run(args, given, clock.local(), &mut out, &mut aside)
        }
        Some(CommandArgs::SetAside(args)) => set_aside::run(args, given, clock.local(), &mut out),
        Some(CommandArgs::Export(args)) => export::run(args, given, today, &mut out),
        Some(CommandArgs::Evidence(args)) => {
            evidence::run(args, given, clock.local(), &mut out, &mut aside)
        }
        Some(CommandArgs::Gather(args)) => gather::run(args, &sessions()?, &mut out, &mut aside),
        Some(CommandArgs::Doctor(args)) => {
            let dir = args.dir().map_or_else(sessions, |dir| Ok(dir.to_owned()))?;
            doctor::run(&dir, &mut out)
        }
        Some(CommandArgs::Repair(args)) => repair::run(args, clock.local(), &mut out),
        Some(CommandArgs::Rename(args)) => rename::run(args, &sessions()?, &mut out, &mut aside),
        Some(CommandArgs::Erase(args)) => {
            let mut input = io::stdin().lock();
            let now = clock.local();
            erase::run(args, &sessions()?, now, &mut input, &mut out, &mut aside)
        }
        Some(CommandArgs::Group(args)) => group::run(args, given, &mut out, &mut aside),
        Some(CommandArgs::Overview(args)) => {
            overview::run(args, given, today, &mut out, &mut aside)
        }
        Some(CommandArgs::Progress(args)) => {
            progress::run(args, given, today, &mut out, &mut aside)
        }
        Some(CommandArgs::Forecast(args)) => {
            forecast::run(args, given, today, &mut out, &mut aside)
        }
        Some(CommandArgs::Hindsight(args)) => hindsight::run(args, given, &mut out, &mut aside),
        Some(CommandArgs::Plan(args)) => plan::run(args, given, today, &mut out, &mut aside),
        Some(CommandArgs::Demo(args)) => demo::run(args, &mut out),
        Some(CommandArgs::Tutor(args)) => tutor::run(args, given, sessions()?),
        Some(CommandArgs::Completions(args)) => {
            completions::run(args, Args::command(), &mut io::stdout())
        }
        Some(CommandArgs::Paper(args)) => {
            let mut desk = enter::Desk {
                input: &mut io::stdin().lock(),
                asks: io::stdin().is_terminal(),
                out_is_read,
                out: &mut out,
                aside: &mut aside,
            };
            paper::run(args, given, today, &mut desk)
        }
    }
}

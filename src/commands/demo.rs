//! `demo`: fills a folder with a season of an invented group, so that every page has something to show.
//!
//! The season itself is made in [`crate::invented`]; here it is written down.

use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::failure::Failure;
use super::outlets::written;
use super::samples;
use crate::domain::character::ShownPath as _;
use crate::invented::papers::Sample;
use crate::invented::{MOST_PUPILS, MOST_SITTINGS, Made, SittingWanted, season};
use crate::storage::journal::{self, Writer};
use crate::words::demo::season_made;

/// What `demo` takes.
#[derive(Debug, clap::Args)]
pub struct DemoArgs {
    /// The folder to fill: a new one, or an empty one
    #[arg(value_name = "DIR", default_value = "pacebell-demo")]
    dir: PathBuf,
    /// The random seed: the same number makes the same season
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// How many pupils, 1 to 24
    #[arg(long, value_name = "N", default_value_t = 12, value_parser = up_to::<MOST_PUPILS>)]
    pupils: usize,
    /// The most sittings for each pupil, 1 to 6
    #[arg(long, value_name = "N", default_value_t = MOST_SITTINGS, value_parser = up_to::<MOST_SITTINGS>)]
    sittings: usize,
    /// If DIR isn't empty, make a new folder inside it and fill that
    #[arg(long)]
    force: bool,
}

/// No number of this season.
#[derive(Debug, thiserror::Error)]
#[error("give a whole number from 1 to {0}")]
struct NotUpTo(usize);

fn up_to<const MOST: usize>(text: &str) -> Result<usize, NotUpTo> {
    let number = text
        .parse()
        .ok()
        .filter(|number| (1..=MOST).contains(number));
    number.ok_or(NotUpTo(MOST))
}

/// Why there is no season.
#[derive(Debug, thiserror::Error)]
enum DemoError<'a> {
    #[error("{} isn't empty, and nothing in it will be overwritten; name a new folder, or add --force to make one inside it", .0.shown())]
    NotEmpty(&'a Path),
    #[error("every folder name is taken; name a new folder")]
    NoFreeName,
}

/// Makes the season, writes it and says what to try next. Nothing that is there is written over.
///
/// # Errors
/// A folder that holds something already, or that cannot be written to.
pub fn run(args: &DemoArgs, out: &mut dyn Write) -> Result<(), Failure> {
    let dir = place(&args.dir, args.force)?;
    let wanted = SittingWanted {
        seed: args.seed,
        pupils: args.pupils,
        sittings: args.sittings,
    };
    let made = season(wanted).map_err(Failure::could_not)?;
    samples::write(&Sample::SEASON, &dir.join("sample-papers"))?;
    let sessions = dir.join("sessions");
    // All at work before the first is waited for: what takes time is the disk.
    let writers: Result<Vec<_>, _> = made.iter().map(|one| writer_of(&sessions, one)).collect();
    let mut files = Vec::new();
    for mut writer in writers? {
        files.push(writer.finish().map_err(Failure::could_not)?);
    }
    written(out, &told(&dir, args.seed, &made, &files))
}

/// The folder to fill.
fn place(dir: &Path, force: bool) -> Result<PathBuf, Failure> {
    if is_free(dir)? {
        return Ok(dir.to_owned());
    }
    if !force {
        return Err(Failure::could_not(DemoError::NotEmpty(dir)));
    }
    for number in 1_u64.. {
        let name = if number == 1 {
            "demo".to_owned()
        } else {
            format!("demo-{number}")
        };
        let inside = dir.join(name);
        if is_free(&inside)? {
            return Ok(inside);
        }
    }
    Err(Failure::could_not(DemoError::NoFreeName))
}

/// Whether nothing is there, or an empty folder.
fn is_free(dir: &Path) -> Result<bool, Failure> {
    match fs::read_dir(dir) {
        Ok(mut entries) => Ok(entries.next().is_none()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(true),
        // Each system has its own words for a folder that is a file.
        Err(_) if fs::metadata(dir).is_ok_and(|there| !there.is_dir()) => Ok(false),
        Err(error) => Err(samples::refused(dir, error)),
    }
}

fn writer_of(sessions: &Path, made: &Made) -> Result<Writer, Failure> {
    let path = journal::path_for(sessions, &made.header);
    let wake = Box::new(|| {});
    let mut writer = Writer::create(&path, &made.header, wake).map_err(Failure::could_not)?;
    for stamped in &made.events {
        writer.append(stamped);
    }
    Ok(writer)
}

/// What was made, and what to try next.
fn told(dir: &Path, seed: u64, made: &[Made], files: &[PathBuf]) -> String {
    let pupils: BTreeSet<_> = made.iter().map(|one| &one.header.pupil).collect();
    let commands = to_try(dir, made, files);
    season_made(pupils.len(), made.len(), dir, seed, &commands)
}

/// The words for the commands that this program has.
fn to_try(dir: &Path, made: &[Made], files: &[PathBuf]) -> Vec<String> {
    let first = made.first().map(|one| &one.header.pupil);
    let theirs = |one: &Made| Some(&one.header.pupil) == first && one.is_whole();
    let latest = made.iter().zip(files).rfind(|(one, _)| theirs(one));
    let Some((one, file)) = latest else {
        return vec!["pacebell".to_owned()];
    };
    let file = file.strip_prefix(dir).unwrap_or(file).shown();
    let (pupil, paper) = (&one.header.pupil, &one.header.paper.id);
    let (sheet, key) = (
        format!("sample-papers/{paper}.paper.ron"),
        format!("sample-papers/{paper}.key.ron"),
    );
    // A folder: no shell of Windows replaces a star.
    let folder = "sessions";
    let all = [
        ("mark", format!("{file} --key {key}")),
        ("progress", pupil.to_string()),
        ("review", String::new()),
        ("feedback", format!("{file} --key {key} -o {pupil}.html")),
        ("group", format!("--paper {sheet} --key {key} {folder}")),
    ];
    let known = all
        .into_iter()
        .map(|(name, words)| format!("pacebell {name} {words}").trim_end().to_owned());
    std::iter::once("pacebell".to_owned())
        .chain(known)
        .collect()
}

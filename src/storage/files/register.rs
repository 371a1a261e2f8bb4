//! The tutor's register, `register.ron` in the folder of the sittings:
//! `(format: 1, group: "7 Blue", shared_machine: true, pupils: [(alias: "otter", extra_time: 25, remind: 5)])`.
//!
//! The file says what is arranged, and has no field for a reason. A file that is written anew loses
//! the comments of the old one: an alias that is to be forgotten may stand in one of them.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use serde::Deserialize;

use super::locate::Spot;
use super::problem::{FileTrouble, Findings, Problem};
use super::raw::Number;
use super::read::{self, Sound};
use super::text::Shape;
use crate::domain::character::ShownPath as _;
use crate::domain::header::{Alias, MOST_EXTRA_PERCENT};
use crate::domain::mark::Mark;
use crate::domain::practice::WorkingShown;
use crate::domain::register::{REGISTER_FORMAT, Register, Registered};
use crate::domain::time::Elapsed;
use crate::storage::disk::{self, Rights, Size};

/// What the file is called.
pub const REGISTER_NAME: &str = "register.ron";

/// Where the register lies: in the folder of the sittings.
pub fn path_in(sessions: &Path) -> PathBuf {
    sessions.join(REGISTER_NAME)
}

/// The register of a folder of sittings, where there is one.
///
/// # Errors
/// Everything that is wrong with the file.
pub fn load(sessions: &Path) -> Result<Option<Register>, FileTrouble> {
    let path = path_in(sessions);
    if fs::symlink_metadata(&path).is_err() {
        return Ok(None);
    }
    let bytes = disk::read_found(&path, Size::PAPER)
        .map_err(|error| FileTrouble::one(&path, Problem::whole(disk::why_unread(&error))))?;
    from_bytes(&path, &bytes).map(|sound| Some(sound.value))
}

/// Reads a register from the bytes of a file; `path` only names it.
///
/// # Errors
/// Everything that is wrong with them.
pub fn from_bytes(path: &Path, bytes: &[u8]) -> Result<Sound<Register>, FileTrouble> {
    read::sound(path, bytes, REGISTER_FORMAT, RegisterForm::mean)
}

/// Why a register was not saved; what was there before is still there.
#[derive(Debug, thiserror::Error)]
#[error(
    "{}: the register cannot be saved ({source}), but the earlier one is kept; free some space or check who owns the folder, then try again",
    path.shown()
)]
pub struct RegisterNotSaved {
    /// The file.
    path: PathBuf,
    /// The refusal.
    source: io::Error,
}

/// Puts a register in the place of the one that was there; only its owner can read it.
///
/// # Errors
/// The system's refusal; then the old one is still there.
pub fn save(sessions: &Path, register: &Register) -> Result<PathBuf, RegisterNotSaved> {
    let path = path_in(sessions);
    let saved = disk::create_private_dir_all(sessions)
        .and_then(|()| disk::replace(&path, text(register).as_bytes(), Rights::Owner));
    match saved {
        Ok(()) => Ok(path),
        Err(source) => Err(RegisterNotSaved { path, source }),
    }
}

/// What stands at the head of a register that the program wrote.
const HEAD: &str = "\
// The register: what is arranged for each pupil. The start page shows it, and a pupil can't change it.
// Leave a field out where nothing is arranged. Never write a name, or a reason.
//   extra_time       percent added to the paper's time, such as 25
//   rest_breaks      true: the pupil may stop the clock and rest
//   remind           minutes before time's up when blanks are mentioned; 0 for never
//   marks            false: no marks at the end
//   questions_after  true: after a sitting the pupil may open the questions, with their hints
//   working_shown    when practice shows answers and workings: \"at-once\", \"at-end\" of the session, or
//                    \"by-tutor\", never on the screen
//   plain            true: lines of text instead of pages
//   large_steps      true: the clock shows steps of five minutes, and no seconds
//   step_read_out    true: the step agreed last time is read out before a sitting
//   paper_on         the day of the paper that the pupil works towards, such as \"2027-02-04\"
//   keep_until       the last day to keep this pupil's files
// shared_machine: true keeps everybody's marks and past sittings off the screen.
";

/// A register as the text of its file.
pub(in crate::storage) fn text(register: &Register) -> String {
    let group = register.group.as_ref();
    let group = group.map(|group| format!("    group: {},\n", quoted(group)));
    let pupils = register.pupils.iter().map(line).collect::<String>();
    format!(
        "{HEAD}(\n    format: {REGISTER_FORMAT},\n{}    shared_machine: {},\n    pupils: [\n{pupils}    ],\n)\n",
        group.unwrap_or_default(),
        register.shared_machine,
    )
}

/// A text as RON has it in quotation marks.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// A pupil's line: what is as usual is left out.
fn line(pupil: &Registered) -> String {
    let exact = |mark: Mark| match mark.denominator() {
        1 => mark.exact(),
        _ => format!("\"{}\"", mark.exact()),
    };
    let minutes = |span: Elapsed| {
        let millis = i64::try_from(span.as_millis()).unwrap_or(i64::MAX);
        exact(Mark::from_steps(millis, 60_000))
    };
    let day = |day: NaiveDate| format!("\"{}\"", day.format("%Y-%m-%d"));
    let later = Some(pupil.working_shown).filter(|own| *own != WorkingShown::AtOnce);
    let extra = (pupil.extra_percent != Mark::ZERO).then(|| exact(pupil.extra_percent));
    let flag = |on: bool, usual: bool| (on != usual).then(|| on.to_string());
    let fields = [
        ("alias", Some(quoted(pupil.alias.as_str()))),
        ("extra_time", extra),
        ("rest_breaks", flag(pupil.rest_breaks, false)),
        ("remind", pupil.remind.map(minutes)),
        ("marks", flag(pupil.marks, true)),
        ("questions_after", flag(pupil.questions_after, false)),
        ("working_shown", later.map(|own| quoted(own.word()))),
        ("plain", flag(pupil.plain, false)),
        ("large_steps", flag(pupil.large_steps, false)),
        ("step_read_out", flag(pupil.step_read_out, false)),
        ("paper_on", pupil.paper_on.map(day)),
        ("keep_until", pupil.keep_until.map(day)),
    ];
    let said = fields
        .into_iter()
        .filter_map(|(name, value)| Some(format!("{name}: {}", value?)));
    format!("        ({}),\n", said.collect::<Vec<_>>().join(", "))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Register")]
struct RegisterForm {
    #[serde(rename = "format")]
    _format: u32,
    group: Option<String>,
    #[serde(default)]
    shared_machine: bool,
    #[serde(default)]
    pupils: Vec<RegisteredForm>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Pupil")]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a field of the file that a tutor sets by itself"
)]
struct RegisteredForm {
    alias: String,
    extra_time: Option<Number>,
    #[serde(default)]
    rest_breaks: bool,
    remind: Option<Number>,
    #[serde(default = "yes")]
    marks: bool,
    #[serde(default)]
    questions_after: bool,
    working_shown: Option<String>,
    #[serde(default)]
    plain: bool,
    #[serde(default)]
    large_steps: bool,
    #[serde(default)]
    step_read_out: bool,
    paper_on: Option<String>,
    keep_until: Option<String>,
}

const fn yes() -> bool {
    true
}

impl RegisterForm {
    #[expect(
        clippy::unnecessary_wraps,
        reason = "the reader's signature; what is wrong is noted in the findings"
    )]
    fn mean(self, findings: &mut Findings<'_>) -> Option<Register> {
        let top = Spot::top();
        if let Some(group) = &self.group {
            findings.text(&top.at("group"), group, Shape::Line);
        }
        let mut seen = BTreeSet::new();
        let mut pupils = Vec::new();
        for (index, form) in self.pupils.into_iter().enumerate() {
            let spot = top.at("pupils").item(index);
            let Some(pupil) = form.mean(&spot, findings) else {
                continue;
            };
            if !seen.insert(pupil.alias.as_str().to_lowercase()) {
                findings.wrong(
                    &spot.at("alias"),
                    format!(
                        "{} is in the register twice; keep one of the two",
                        pupil.alias
                    ),
                );
            }
            pupils.push(pupil);
        }
        Some(Register {
            group: self.group,
            shared_machine: self.shared_machine,
            pupils,
        })
    }
}

impl RegisteredForm {
    fn mean(self, spot: &Spot, findings: &mut Findings<'_>) -> Option<Registered> {
        let extra = self.extra_time.and_then(|number| {
            let spot = spot.at("extra_time");
            let percent = number.read(&spot, findings)?;
            if !(Mark::ZERO..=Mark::whole(MOST_EXTRA_PERCENT)).contains(&percent) {
                findings.wrong(
                    &spot,
                    format!("extra time is a percentage; write a number from 0 to {MOST_EXTRA_PERCENT}, such as 25"),
                );
            }
            Some(percent)
        });
        let remind = self.remind.and_then(|number| {
            let spot = spot.at("remind");
            if number.read(&spot, findings)? == Mark::ZERO {
                Some(Elapsed::ZERO)
            } else {
                number.minutes(&spot, findings)
            }
        });
        let paper_on = day(self.paper_on.as_deref(), &spot.at("paper_on"), findings);
        let keep_until = day(self.keep_until.as_deref(), &spot.at("keep_until"), findings);
        let working_shown = working(
            self.working_shown.as_deref(),
            &spot.at("working_shown"),
            findings,
        );
        let alias = Alias::new(&self.alias);
        let alias = alias.map_err(|no| findings.wrong(&spot.at("alias"), no));
        Some(Registered {
            alias: alias.ok()?,
            extra_percent: extra.unwrap_or_default(),
            rest_breaks: self.rest_breaks,
            remind,
            marks: self.marks,
            questions_after: self.questions_after,
            working_shown: working_shown.unwrap_or_default(),
            plain: self.plain,
            large_steps: self.large_steps,
            step_read_out: self.step_read_out,
            paper_on,
            keep_until,
        })
    }
}

/// When answers and workings are shown, or a note of what is wrong with it.
fn working(text: Option<&str>, spot: &Spot, findings: &mut Findings<'_>) -> Option<WorkingShown> {
    let text = text?;
    let found = WorkingShown::ALL.iter().find(|(word, _)| *word == text);
    if found.is_none() {
        let [(once, _), (end, _), (tutor, _)] = WorkingShown::ALL;
        findings.wrong(
            spot,
            format!(
                "`{text}` doesn't say when workings are shown; write \"{once}\", \"{end}\" or \"{tutor}\""
            ),
        );
    }
    found.map(|(_, own)| *own)
}

/// A day such as `"2027-02-04"`, or a note of what is wrong with it.
fn day(text: Option<&str>, spot: &Spot, findings: &mut Findings<'_>) -> Option<NaiveDate> {
    let text = text?;
    let day = NaiveDate::parse_from_str(text, "%Y-%m-%d");
    day.map_err(|_not_a_day| {
        findings.wrong(
            spot,
            format!("`{text}` isn't a day; write year-month-day, such as \"2027-02-04\""),
        );
    })
    .ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Register, String> {
        from_bytes(Path::new("register.ron"), text.as_bytes())
            .map(|sound| sound.value)
            .map_err(|trouble| trouble.to_string())
    }

    fn full() -> Register {
        let day = |text: &str| text.parse::<NaiveDate>().ok();
        Register {
            group: Some("7 \"Blue\" \\ 2".to_owned()),
            shared_machine: true,
            pupils: vec![
                Registered {
                    extra_percent: "12 1/3".parse().unwrap(),
                    rest_breaks: true,
                    remind: Some(Elapsed::seconds(100)),
                    marks: false,
                    questions_after: true,
                    working_shown: WorkingShown::ByTheTutor,
                    plain: true,
                    large_steps: true,
                    step_read_out: true,
                    paper_on: day("2027-02-04"),
                    keep_until: day("2027-07-31"),
                    ..Registered::usual(Alias::new("otter").unwrap())
                },
                Registered {
                    remind: Some(Elapsed::ZERO),
                    working_shown: WorkingShown::AtTheEnd,
                    ..Registered::usual(Alias::new("Müße_2-b").unwrap())
                },
            ],
        }
    }

    #[test]
    fn a_register_as_a_tutor_writes_it() {
        let text = "(format: 1, group: \"7 Blue\", shared_machine: true, pupils: [
            (alias: \"otter\", extra_time: 25, rest_breaks: true, remind: 5, marks: false),
            (alias: \"teasel\", extra_time: \"12.5\", keep_until: \"2027-07-31\"),
        ])";
        let register = read(text).unwrap();
        let otter = register.pupil(&Alias::new("OTTER").unwrap()).unwrap();
        assert_eq!(otter.extra_percent, Mark::whole(25));
        assert_eq!(otter.remind, Some(Elapsed::minutes(5)));
        assert!(otter.rest_breaks && !otter.marks && !otter.questions_after);
        let teasel = &register.pupils[1];
        assert_eq!(teasel.extra_percent.to_string(), "12.5");
        assert!(teasel.marks);
        assert_eq!(teasel.working_shown, WorkingShown::AtOnce);
        assert_eq!(teasel.keep_until, "2027-07-31".parse().ok());
        assert!(register.shared_machine);
        assert_eq!(read("(format: 1)").unwrap(), Register::default());
    }

    #[test]
    fn what_is_saved_is_read_again_and_replaces_what_was_there() {
        let dir = tempfile::tempdir().unwrap();
        let sessions = dir.path().join("sessions");
        assert_eq!(load(&sessions), Ok(None));
        save(&sessions, &Register::default()).unwrap();
        assert_eq!(load(&sessions), Ok(Some(Register::default())));
        let path = save(&sessions, &full()).unwrap();
        assert_eq!(load(&sessions), Ok(Some(full())));
        assert_eq!(fs::read_dir(&sessions).unwrap().count(), 1);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let rights = fs::metadata(path).unwrap().permissions().mode() & 0o777;
            assert_eq!(rights, 0o600);
        }
        #[cfg(not(unix))]
        assert!(path.is_file());
    }

    #[test]
    fn each_wrong_field_is_told_with_its_place_and_the_way_out() {
        let wrong = read(
            "(format: 1, pupils: [
  (alias: \"two words\"),
  (alias: \"otter\", extra_time: 401, remind: -1, paper_on: \"4 Feb\", keep_until: \"2027-02-30\"),
  (alias: \"Otter\"),
  (alias: \"heron\", working_shown: \"never\"),
])",
        )
        .unwrap_err();
        let expected = [
            "register.ron:2:11: pupil 1, alias: \"two words\" can't be used as an alias",
            "register.ron:3:32: pupil 2, extra_time: extra time is a percentage; write a number from 0 to 400",
            "register.ron:3:45: pupil 2, remind: `-1` isn't a number of minutes",
            "register.ron:3:59: pupil 2, paper_on: `4 Feb` isn't a day; write year-month-day",
            "register.ron:3:80: pupil 2, keep_until: `2027-02-30` isn't a day",
            "register.ron:4:11: pupil 3, alias: Otter is in the register twice; keep one of the two",
            "register.ron:5:35: pupil 4, working_shown: `never` doesn't say when workings are shown; write \"at-once\", \"at-end\" or \"by-tutor\"",
        ];
        let lines: Vec<_> = wrong.lines().collect();
        assert_eq!(lines.len(), expected.len(), "{wrong}");
        for (line, begins) in lines.iter().zip(expected) {
            assert!(line.starts_with(begins), "{line}\n{begins}");
        }
        let reason = read("(format: 1, pupils: [(alias: \"otter\", reason: \"x\")])").unwrap_err();
        assert!(
            reason.contains("there's no field `reason` here"),
            "{reason}"
        );
        let newer = read("(format: 2)").unwrap_err();
        assert!(newer.contains("newer Pacebell"), "{newer}");
    }

    #[cfg(unix)]
    #[test]
    fn a_pipe_or_a_folder_in_its_place_is_refused_and_not_waited_for() {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(path_in(dir.path())).unwrap();
        let folder = load(dir.path()).unwrap_err().to_string();
        assert!(folder.contains("that's a folder"), "{folder}");
    }
}

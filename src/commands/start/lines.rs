//! The start page line by line: lists by number, then the sitting itself.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::path::Path;

use super::kept_back::key_of;
use super::offer::{offer, papers};
use crate::clock::{Clock as _, SystemClock};
use crate::commands::drill::Keep;
use crate::commands::failure::Failure;
use crate::commands::lines::{Face, LineByLine, program, say};
use crate::commands::read::seen_with;
use crate::commands::samples;
use crate::commands::sit::wanted::{extra_time, questions};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::domain::paper::Outline;
use crate::domain::register::Register;
use crate::domain::time::parse_minutes;
use crate::plain::result_lines;
use crate::screens::start::{Offer, PaperOffer, PastSitting, PastState};
use crate::storage::catalogue::Catalogue;
use crate::storage::journal;
use crate::words::aloud::ranges_aloud;
use crate::words::ask::{Answered, AskRow, Asking};
use crate::words::drill;
use crate::words::result::Ended;
use crate::words::start as words;
use crate::words::time::day;

/// What a question came to, where it was not left.
type Chose<T> = Result<Option<T>, LeftLines>;

/// The program is left, or cannot go on.
enum LeftLines {
    Quit,
    Failed(Failure),
}

impl<E: Into<Failure>> From<E> for LeftLines {
    fn from(error: E) -> Self {
        Self::Failed(error.into())
    }
}

/// Asks who sits what, until somebody quits.
///
/// # Errors
/// A register that cannot be used, or output that nobody takes.
pub(super) fn run(given: Option<&Path>, dir: &Path) -> Result<(), Failure> {
    let mut lines = LineByLine::default();
    loop {
        match home(&mut lines, given, dir) {
            Ok(()) => {}
            Err(LeftLines::Quit) => return Ok(()),
            Err(LeftLines::Failed(failure)) => return Err(failure),
        }
    }
}

#[expect(clippy::too_many_lines, reason = "what is offered first, row by row")]
fn home(lines: &mut LineByLine, given: Option<&Path>, dir: &Path) -> Result<(), LeftLines> {
    let catalogue = Catalogue::open(Some(dir), &[]);
    let register = catalogue.register().map_err(Failure::could_not)?;
    let now = SystemClock.local();
    let offer = offer(&catalogue, register, dir, now, &BTreeSet::new());
    let is_shared = register.is_some_and(|register| register.shared_machine);
    let pupils = offer.listed_pupils();
    let mut rows: Vec<AskRow> = pupils
        .iter()
        .map(|pupil| AskRow::new(pupil.as_str(), open_note(&offer, pupil, is_shared)))
        .collect();
    rows.push(AskRow::new(words::NEW_ALIAS, ""));
    let has_past = !is_shared && !offer.past.is_empty();
    if has_past {
        rows.push(AskRow::new(words::PAST_ROW, ""));
    }
    let mut notes: Vec<String> = Vec::new();
    if is_shared {
        notes.push(words::SHARED_MACHINE.to_owned());
    }
    let who = Asking {
        question: words::WHO.to_owned(),
        notes,
        rows,
        is_first: true,
        ..Asking::default()
    };
    let pupil = match lines.ask(&who)? {
        Answered::Row(place) if place < pupils.len() => pupils.get(place).cloned(),
        Answered::Row(place) if place == pupils.len() => new_alias(lines, &offer)?,
        Answered::Row(_) => return past(lines, &offer, &catalogue),
        Answered::Words(_) => None,
        Answered::Back | Answered::Leave => return Err(LeftLines::Quit),
    };
    let Some(pupil) = pupil else { return Ok(()) };
    let is_new = !offer.has_met(&pupil);
    let learns = is_new && learns(lines)?;
    if is_new && !learns {
        let keep = Keep {
            dir: dir.to_owned(),
            pupil: Some(pupil.clone()),
        };
        keep.declined();
    }
    if learns {
        let words = ["drill", "keys", "--pupil", pupil.as_str()];
        let mut words: Vec<OsString> = words.map(OsString::from).to_vec();
        if let Some(dir) = given {
            words.extend(["--sessions".into(), dir.into()]);
        }
        program(&words, Face::Lines)?;
    }
    let is_open = offer
        .past
        .iter()
        .any(|sitting| sitting.pupil == pupil && matches!(sitting.state, PastState::Open { .. }));
    if !is_open && let Some(due) = offer.due(&pupil) {
        match practises(lines, due)? {
            None => return Ok(()),
            Some(false) => {}
            Some(true) => {
                let mut words: Vec<OsString> = vec!["practise".into(), pupil.as_str().into()];
                if let Some(dir) = given {
                    words.extend(["--sessions".into(), dir.into()]);
                }
                program(&words, Face::Lines)?;
                return Ok(());
            }
        }
    }
    let mut typed: Vec<OsString> = vec!["sit".into()];
    let mut outline = None;
    let mut offer = offer;
    if let Some(folder) = samples::offered(&catalogue).filter(|_| !is_open) {
        let answer = lines.ask(&samples::asking("", &folder))?;
        match samples::answered(&answer, &folder)? {
            Some(said) => say(&[said])?,
            None if answer == Answered::Leave => return Err(LeftLines::Quit),
            None => return Ok(()),
        }
        offer.papers = papers(&Catalogue::open(Some(dir), &[]));
    }
    if !is_open {
        let Some(own) = paper(lines, &offer, &pupil)? else {
            return Ok(());
        };
        typed.push(own.path.clone().into());
        outline = own.paper.as_ref().ok().map(|paper| &paper.outline);
    }
    typed.extend(["--pupil".into(), pupil.as_str().into()]);
    if let Some(dir) = given {
        typed.extend(["--sessions".into(), dir.into()]);
    }
    if is_open || register.and_then(|own| own.pupil(&pupil)).is_some() {
        program(&typed, Face::Lines)?;
        return Ok(());
    }
    let mut arranging = Arranging::new(register, outline);
    while let Some(arranged) = arranging.ask(lines)? {
        let words = [typed.clone(), arranged].concat();
        if program(&words, Face::Lines)? != Some(WRONG_WORDS) {
            break;
        }
    }
    Ok(())
}

/// Whether a new pupil learns the keys first.
fn learns(lines: &mut LineByLine) -> Result<bool, LeftLines> {
    let question = Asking {
        question: drill::LEARN_FIRST.to_owned(),
        rows: vec![
            AskRow::new(drill::STRAIGHT_ON, ""),
            AskRow::new(drill::LEARN, ""),
        ],
        ..Asking::default()
    };
    match lines.ask(&question)? {
        Answered::Row(place) => Ok(place == 1),
        Answered::Words(_) | Answered::Back => Ok(false),
        Answered::Leave => Err(LeftLines::Quit),
    }
}

/// Whether a pupil practises instead of sitting a paper.
fn practises(lines: &mut LineByLine, due: usize) -> Chose<bool> {
    let question = Asking {
        question: words::SIT_OR_PRACTISE.to_owned(),
        rows: vec![
            AskRow::new(words::SIT_A_PAPER, ""),
            AskRow::new(words::practice_due(due), ""),
        ],
        ..Asking::default()
    };
    match lines.ask(&question)? {
        Answered::Row(place) => Ok(Some(place == 1)),
        Answered::Words(_) | Answered::Back => Ok(None),
        Answered::Leave => Err(LeftLines::Quit),
    }
}

/// The exit code of a value that cannot be.
const WRONG_WORDS: i32 = 2;

/// That a pupil has an open sitting, where others may know.
fn open_note(offer: &Offer, pupil: &Alias, is_shared: bool) -> String {
    let mut own = offer.past.iter().filter(|sitting| sitting.pupil == *pupil);
    let said = own.find_map(PastSitting::open_in_words);
    said.filter(|_| !is_shared).unwrap_or_default()
}

/// A new alias, or one that is known however it is written.
fn new_alias(lines: &mut LineByLine, offer: &Offer) -> Chose<Alias> {
    let mut notes = vec![
        words::WHAT_AN_ALIAS_IS.to_owned(),
        words::HOW_AN_ALIAS_LOOKS.to_owned(),
    ];
    loop {
        let question = Asking {
            question: words::NEW_ALIAS.to_owned(),
            notes: std::mem::take(&mut notes),
            ..Asking::default()
        };
        match lines.ask(&question)? {
            Answered::Words(typed) => match Alias::new(&typed) {
                Ok(alias) => {
                    let sat = offer.past.iter().map(|sitting| sitting.pupil.clone());
                    let mut known = offer.listed_pupils().into_iter().chain(sat);
                    let same = known.find(|own| own.is_same(&alias));
                    return Ok(Some(same.unwrap_or(alias)));
                }
                Err(no) => notes.push(no.to_string()),
            },
            Answered::Row(_) | Answered::Back => return Ok(None),
            Answered::Leave => return Err(LeftLines::Quit),
        }
    }
}

fn paper<'a>(lines: &mut LineByLine, offer: &'a Offer, pupil: &Alias) -> Chose<&'a PaperOffer> {
    let sound: Vec<_> = offer
        .papers
        .iter()
        .filter_map(|own| Some((own, own.paper.as_ref().ok()?)))
        .collect();
    let rows = sound
        .iter()
        .map(|(own, paper)| AskRow::new(&paper.outline.title, words::paper(paper, own.has_key)));
    let rows: Vec<AskRow> = rows.collect();
    let notes = if rows.is_empty() {
        vec![
            words::NO_PAPER.to_owned(),
            words::WHAT_A_PAPER_IS.to_owned(),
        ]
    } else {
        Vec::new()
    };
    let question = Asking {
        question: words::which_paper(pupil.as_str()),
        notes,
        rows,
        ..Asking::default()
    };
    match lines.ask(&question)? {
        Answered::Row(place) => Ok(sound.get(place).map(|(own, _)| *own)),
        Answered::Words(_) | Answered::Back => Ok(None),
        Answered::Leave => Err(LeftLines::Quit),
    }
}

/// The words for what somebody arranges who is not in the register, and what was typed for each.
struct Arranging<'a> {
    values: Vec<Option<String>>,
    rows: usize,
    outline: Option<&'a Outline>,
}

impl<'a> Arranging<'a> {
    fn new(register: Option<&Register>, outline: Option<&'a Outline>) -> Self {
        let is_shared = register.is_some_and(|register| register.shared_machine);
        // The last row is on the marks at the end, which a shared machine never shows.
        let rows = words::IN_LINES.len() - usize::from(is_shared);
        Self {
            values: vec![None; rows],
            rows,
            outline,
        }
    }

    /// Asks until the sitting can go on.
    fn ask(&mut self, lines: &mut LineByLine) -> Chose<Vec<OsString>> {
        let table = words::IN_LINES.iter().take(self.rows);
        let mut notes = Vec::new();
        loop {
            let mut rows = vec![AskRow::new(words::GO_ON, "")];
            rows.extend(
                table.clone().zip(&self.values).map(|(row, value)| {
                    AskRow::new(row.name, value.as_deref().unwrap_or(row.usual))
                }),
            );
            let question = Asking {
                question: words::ARRANGE.to_owned(),
                notes: std::mem::take(&mut notes),
                rows,
                ..Asking::default()
            };
            let place = match lines.ask(&question)? {
                Answered::Row(0) => return Ok(Some(self.words())),
                Answered::Row(place) => place - 1,
                Answered::Words(_) | Answered::Back => return Ok(None),
                Answered::Leave => return Err(LeftLines::Quit),
            };
            let (Some(row), Some(value)) = (words::IN_LINES.get(place), self.values.get_mut(place))
            else {
                continue;
            };
            *value = match (row.other, value.is_some()) {
                (Some(_), true) => None,
                (Some(other), false) => Some(other.to_owned()),
                (None, _) => value_of(lines, row, self.outline)?,
            };
            notes.push(words::arranged_as(row, value.as_deref()));
        }
    }

    fn words(&self) -> Vec<OsString> {
        let rows = words::IN_LINES.iter().zip(&self.values);
        let typed = rows.filter_map(|(row, value)| {
            let value = value.as_ref()?;
            Some(match row.other {
                Some(_) => row.flag.into(),
                None => format!("{}={value}", row.flag).into(),
            })
        });
        typed.collect()
    }
}

/// Asks for the value of a row until it is one that can be; nothing where the usual one is to hold.
fn value_of(
    lines: &mut LineByLine,
    row: &words::InLines,
    outline: Option<&Outline>,
) -> Chose<String> {
    let question = Asking {
        question: words::how_to_arrange(row),
        ..Asking::default()
    };
    loop {
        let typed = match lines.ask(&question)? {
            Answered::Words(typed) => typed,
            Answered::Row(_) | Answered::Back => return Ok(None),
            Answered::Leave => return Err(LeftLines::Quit),
        };
        match can_be(row, &typed, outline) {
            Ok(()) => return Ok(Some(typed)),
            Err(failure) => say(&[failure.to_string()])?,
        }
    }
}

/// Whether a value can be, as `sit` would read it.
fn can_be(row: &words::InLines, typed: &str, outline: Option<&Outline>) -> Result<(), Failure> {
    match (row.flag, outline) {
        ("--remind", _) if typed.trim() == "0" => Ok(()),
        ("--minutes" | "--remind", _) => {
            parse_minutes(typed).map_err(Failure::wrong_words).map(drop)
        }
        ("--extra-time", _) => extra_time(typed).map(drop),
        ("--questions", Some(outline)) => questions(typed, outline).map(drop),
        _ => Ok(()),
    }
}

/// One pupil's past sittings, and the result of one.
fn past(lines: &mut LineByLine, offer: &Offer, catalogue: &Catalogue) -> Result<(), LeftLines> {
    let pupils = offer.listed_pupils();
    let sat: Vec<_> = pupils
        .iter()
        .filter(|pupil| offer.past.iter().any(|sitting| sitting.pupil == **pupil))
        .collect();
    let question = Asking {
        question: words::WHOSE_PAST.to_owned(),
        notes: vec![words::YOUR_OWN.to_owned()],
        rows: sat
            .iter()
            .map(|pupil| AskRow::new(pupil.as_str(), ""))
            .collect(),
        ..Asking::default()
    };
    let pupil = match lines.ask(&question)? {
        Answered::Row(place) => sat.get(place),
        Answered::Words(_) | Answered::Back => None,
        Answered::Leave => return Err(LeftLines::Quit),
    };
    let Some(pupil) = pupil else { return Ok(()) };
    let own = offer.past.iter().filter(|sitting| {
        sitting.pupil == **pupil && matches!(sitting.state, PastState::Over { .. })
    });
    let own: Vec<_> = own.collect();
    let rows = own.iter().map(|sitting| {
        let name = format!("{}, {}", day(sitting.date), sitting.paper);
        AskRow::new(name, ranges_aloud(&sitting.result_in_words()))
    });
    let question = Asking {
        question: words::past_of(pupil.as_str()),
        rows: rows.collect(),
        ..Asking::default()
    };
    let sitting = match lines.ask(&question)? {
        Answered::Row(place) => own.get(place),
        Answered::Words(_) | Answered::Back => None,
        Answered::Leave => return Err(LeftLines::Quit),
    };
    let Some(sitting) = sitting else {
        return Ok(());
    };
    let record = journal::read(&sitting.path)?;
    let key = key_of(
        &BTreeSet::new(),
        catalogue,
        &sitting.path,
        &record.header,
        None,
    )?;
    let studied = seen_with(catalogue, &record, key)?;
    if let Some(ended) = Ended::tell(&studied, sitting.path.shown().to_string()) {
        say(&[words::result_of(
            pupil.as_str(),
            sitting.date,
            &sitting.paper,
        )])?;
        say(&result_lines(&ended))?;
    }
    Ok(())
}

//! A class answer list whose rows are pupils' sheets: each pupil is an alias, once.

use std::collections::BTreeMap;
use std::path::Path;

use super::head::shown;
use super::{AnswerList, BLANK};
use crate::domain::event::How;
use crate::domain::header::{Alias, NoAlias};
use crate::domain::labels::Label;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::storage::files::locate::Place;
use crate::storage::files::problem::{FileTrouble, Problem};

/// How many problems are told before reading stops: every one of any class.
pub(super) const MOST_PROBLEMS: usize = 5000;

/// The most sheets of a class: each becomes a file.
const MOST_SHEETS: usize = 10_000;

/// One pupil's sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClassSheet {
    /// Whose it is.
    pub pupil: Alias,
    /// Where the pupil stands in the list.
    pub place: Place,
    /// Every question of the paper in order, with the option chosen, if any, and how sure the pupil was.
    pub answers: Vec<(QuestionNo, Option<Label>, How)>,
}

/// A class's sheets.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClassSheets {
    /// The sheets in the order of the list.
    pub sheets: Vec<ClassSheet>,
    /// Pupils whose cells are all empty: they handed nothing in.
    pub absent: Vec<Alias>,
    /// What somebody may want to know about the list.
    pub notes: Vec<Problem>,
}

/// The pupils of a list as far as it was read.
#[derive(Debug, Default)]
pub(super) struct Pupils {
    /// Pupils who have sittings, in small letters, so that nobody is written in two ways.
    known: BTreeMap<String, Vec<Alias>>,
    /// Those in the list, in small letters, each with its line.
    seen: BTreeMap<String, (Alias, usize)>,
    /// The pupil of the row at hand.
    last: Option<(Alias, usize)>,
}

fn in_small_letters(alias: &Alias) -> String {
    alias.as_str().to_lowercase()
}

/// Reads the sheets of a class; `known` are the pupils who have sittings already.
///
/// # Errors
/// Every cell that is wrong, pupils included; then there are no sheets.
pub fn read(
    path: &Path,
    paper: &Outline,
    blanks: &[String],
    known: impl IntoIterator<Item = Alias>,
) -> Result<ClassSheets, FileTrouble> {
    let mut list = AnswerList::open(path, paper, blanks)?;
    let mut pupils = Pupils::default();
    for alias in known {
        let alike = pupils.known.entry(in_small_letters(&alias));
        alike.or_default().push(alias);
    }
    list.pupils = Some(pupils);
    let mut class = ClassSheets::default();
    while let Some(codes) = list.next_sheet()? {
        let answers = codes.iter().enumerate().map(|(index, code)| {
            let number = QuestionNo::from_index(index);
            (number, option(paper, number, *code), How::Worked)
        });
        let mut answers: Vec<_> = answers.collect();
        for (number, how) in &list.doubts {
            if let Some(answer) = answers.get_mut(number.index()) {
                answer.2 = *how;
            }
        }
        let pupil = list.pupils.as_mut().and_then(|pupils| pupils.last.take());
        let Some((pupil, line)) = pupil else {
            continue;
        };
        if class.sheets.len() == MOST_SHEETS {
            return Err(FileTrouble::one(
                path,
                Problem::whole(format!(
                    "there are more than {MOST_SHEETS} sheets; check that it's the right file"
                )),
            ));
        }
        if list.is_handed_in() {
            class.sheets.push(ClassSheet {
                pupil,
                place: Place { line, col: 1 },
                answers,
            });
        } else {
            class.absent.push(pupil);
        }
    }
    class.notes = list.notes();
    Ok(class)
}

fn option(paper: &Outline, number: QuestionNo, code: u8) -> Option<Label> {
    let place = usize::from(code.checked_sub(BLANK + 1)?);
    paper.labels(number).iter().nth(place)
}

/// An alias that is written with other capitals elsewhere would share its folder on some systems.
enum Alike {
    Earlier(usize),
    OtherCapitals(Alias, usize),
    Known(Alias),
}

impl Pupils {
    fn alike(&self, alias: &Alias) -> Option<Alike> {
        let small = in_small_letters(alias);
        if let Some((own, line)) = self.seen.get(&small) {
            return Some(if own == alias {
                Alike::Earlier(*line)
            } else {
                Alike::OtherCapitals(own.clone(), *line)
            });
        }
        let known = self.known.get(&small).filter(|own| !own.contains(alias));
        known?.first().cloned().map(Alike::Known)
    }
}

impl AnswerList {
    /// Whether any cell of the row has something in it.
    pub(super) fn is_written_on(&self) -> bool {
        self.record.iter().any(|cell| !cell.trim_ascii().is_empty())
    }

    /// Whether any answer of the row has something in it, if only a dash.
    fn is_handed_in(&self) -> bool {
        let mut answers = self.record.iter().skip(1);
        answers.any(|cell| !cell.trim_ascii().is_empty())
    }

    /// Takes the row's pupil, or tells what is wrong with that cell.
    pub(super) fn check_pupil(&mut self, problems: &mut Vec<Problem>) {
        let place = self.place(1);
        let cell = self.record.get(0).unwrap_or_default().trim_ascii();
        let text = shown(cell);
        let wrong = |sentence: String| Problem::whole(sentence).about(place, "pupil (column A)");
        let alias = match str::from_utf8(cell).ok().map(Alias::new) {
            Some(Ok(alias)) => alias,
            Some(Err(_)) if cell.is_empty() => {
                problems.push(wrong(
                    "this sheet has no pupil; write an alias, or delete the row".to_owned(),
                ));
                return;
            }
            Some(Err(NoAlias::Device(_))) => {
                problems.push(wrong(format!(
                    "{text} can't be used as an alias, because Windows reserves that name; choose another"
                )));
                return;
            }
            Some(Err(NoAlias::Characters(_))) | None => {
                problems.push(wrong(format!(
                    "{text} can't be used as an alias; use 1 to 40 letters, digits, - or _, such as otter, and not a real name"
                )));
                return;
            }
        };
        let Some(pupils) = &mut self.pupils else {
            return;
        };
        let alike = pupils.alike(&alias).map(|alike| match alike {
            Alike::Earlier(line) => format!(
                "{alias} is on line {line} too; delete one of the two rows, or correct the alias"
            ),
            Alike::OtherCapitals(own, line) => format!(
                "{alias} differs only in capitals from {own} on line {line}; give the two aliases that nobody mixes up"
            ),
            Alike::Known(own) => format!(
                "{alias} differs only in capitals from the pupil {own}, who has sittings already; write {own}"
            ),
        });
        problems.extend(alike.map(wrong));
        let seen = pupils.seen.entry(in_small_letters(&alias));
        seen.or_insert_with(|| (alias.clone(), place.line));
        pupils.last = Some((alias, place.line));
    }
}

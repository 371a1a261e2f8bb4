//! Whose the sheets of a list are: each pupil once, and no two aliases that differ only in capitals.

use std::collections::BTreeMap;

use super::head::shown;
use crate::domain::header::{Alias, NoAlias};
use crate::storage::files::locate::Place;
use crate::storage::files::problem::Problem;

/// The cell of a row that names its pupil.
pub(super) const PUPIL_CELL: &str = "pupil (column A)";

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

/// An alias that is written with other capitals elsewhere would share its folder on some systems.
enum Alike {
    Earlier(usize),
    OtherCapitals(Alias, usize),
    Known(Alias),
}

impl Pupils {
    /// None so far, beside pupils who have sittings already.
    pub(super) fn beside(known: impl IntoIterator<Item = Alias>) -> Self {
        let mut pupils = Self::default();
        for alias in known {
            let alike = pupils.known.entry(in_small_letters(&alias));
            alike.or_default().push(alias);
        }
        pupils
    }

    /// Whose the row at hand is, with its line; once.
    pub(super) const fn take(&mut self) -> Option<(Alias, usize)> {
        self.last.take()
    }

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

    /// Takes the row's pupil, or tells what is wrong with that cell.
    pub(super) fn check(&mut self, cell: &[u8], place: Place, problems: &mut Vec<Problem>) {
        let text = shown(cell);
        let wrong = |sentence: String| Problem::whole(sentence).about(place, PUPIL_CELL);
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
        let alike = self.alike(&alias).map(|alike| match alike {
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
        let seen = self.seen.entry(in_small_letters(&alias));
        seen.or_insert_with(|| (alias.clone(), place.line));
        self.last = Some((alias, place.line));
    }
}

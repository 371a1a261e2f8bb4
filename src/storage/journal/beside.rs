//! What stands against a sitting among the others in a listing, so that it does not count.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::record::{Listing, Record};
use crate::domain::sheet::{SheetOf, SheetsApart};
use crate::domain::standing::{Exclusion, Use};
use crate::storage::disk;

/// Typed-in sheets of one pupil, paper and day that are not alike, so that none of them counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RivalSheets {
    /// The files, at least two, by the ids of their sittings.
    pub files: Vec<PathBuf>,
    /// What tells them apart.
    pub apart: SheetsApart,
}

/// Why a sitting does not count beside others, and which files stand against it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Barred {
    /// Why.
    pub reason: Exclusion,
    /// The files that say something else, or that replace it.
    pub by: Vec<PathBuf>,
}

impl Record {
    /// Whether its file lies in its pupil's folder. Capitals make no other pupil.
    pub fn is_in_its_place(&self) -> bool {
        let folder = self.path.parent().and_then(Path::file_name);
        let folder = folder.unwrap_or_default().to_string_lossy();
        folder.to_lowercase() == self.header.pupil.as_str().to_lowercase()
    }
}

impl Listing {
    /// The typed-in sheets of one pupil, paper and day of which none counts until one is chosen.
    pub fn rival_sheets(&self) -> Vec<RivalSheets> {
        let disputed = self.records.iter();
        let disputed = disputed.filter(|own| own.withdrawn == Some(Exclusion::Disputed));
        let mut sheets = BTreeMap::<SheetOf, BTreeMap<&str, &Record>>::new();
        for record in disputed {
            if let Some(sheet) = SheetOf::of(&record.header) {
                let alike = sheets.entry(sheet).or_default();
                alike.insert(&record.header.sitting, record);
            }
        }
        let several = sheets.into_values().filter(|alike| alike.len() > 1);
        let rivals = several.map(|alike| {
            let said = alike.values().map(|own| (&own.header, &*own.events));
            RivalSheets {
                apart: SheetsApart::of(&said.collect::<Vec<_>>()),
                files: alike.values().map(|own| own.path.clone()).collect(),
            }
        });
        rivals.collect()
    }

    /// Why the sitting of a file among these is no evidence of its pupil; nothing where it is, or is not here.
    pub fn barred(&self, file: &Path) -> Option<Barred> {
        let name = one_name(file);
        let is_it = |path: &Path| one_name(path) == name;
        let copy = self.copies.iter().find(|copy| is_it(&copy.path));
        let kept = copy.map_or(file, |copy| copy.kept.as_path());
        let record = self.records.iter().find(|own| {
            let path = own.path.as_path();
            path == kept || one_name(path) == one_name(kept)
        })?;
        let reason = record.standing().bars(Use::Evidence)?;
        let against = match reason {
            Exclusion::Disputed => self.disputing(record),
            Exclusion::Replaced => self.replacing(record),
            _ => Vec::new(),
        };
        let by = against.into_iter().filter(|path| !is_it(path));
        let by = by.collect();
        Some(Barred { reason, by })
    }

    /// The files of a sitting, or of sheets beside it, of which none counts.
    fn disputing(&self, record: &Arc<Record>) -> Vec<PathBuf> {
        let rivals = self.rival_sheets().into_iter();
        let rivals = rivals.filter(|sheets| sheets.files.contains(&record.path));
        let copies = self.copies.iter();
        let copies = copies.filter(|copy| copy.kept == record.path && copy.differs);
        let copies = copies.filter(|copy| !copy.set_aside);
        let copies: Vec<_> = copies.map(|copy| copy.path.clone()).collect();
        let kept = (!copies.is_empty()).then(|| record.path.clone());
        let sheets = rivals.flat_map(|sheets| sheets.files);
        let mut all: Vec<_> = sheets.chain(copies).chain(kept).collect();
        all.sort();
        all.dedup();
        all
    }

    /// The sheets that replace a sitting.
    fn replacing(&self, record: &Record) -> Vec<PathBuf> {
        let id = Some(&record.header.sitting);
        let by = self.records.iter().filter(|own| {
            own.header.replaces.as_ref() == id && own.is_closed() && !own.is_set_aside()
        });
        by.map(|own| own.path.clone()).collect()
    }
}

fn one_name(path: &Path) -> PathBuf {
    disk::canonical(path).unwrap_or_else(|_| path.to_owned())
}

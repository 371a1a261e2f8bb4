//! `--csv`: a table beside what is printed, with the metadata that describes it.

use std::collections::BTreeSet;
use std::env;
use std::io::Write;
use std::path::{Path, PathBuf};

use num_format::Locale;

use super::failure::Failure;
use super::pages::{ForceArg, NewPage, PagePress, RemakeWords};
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::reports::overview::outside;
use crate::reports::tabular::{CsvForm, DataTable};
use crate::storage::catalogue::Catalogue;
use crate::storage::disk;

/// Where a table goes, and for whom.
#[derive(Clone, Debug, Default, clap::Args)]
pub struct TableArgs {
    /// Also write the figures to this file as CSV, with FILE-metadata.json (CSVW) beside it
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// Write the CSV so that a spreadsheet opens it: byte order mark, your country's separator and decimal
    /// comma, no text that could be a formula
    #[arg(long, requires = "csv")]
    pub for_spreadsheet: bool,
    #[command(flatten)]
    pub(super) force: ForceArg,
}

/// Why a table is not written.
#[derive(Debug, thiserror::Error)]
enum NoTable<'a> {
    #[error("--csv {} would overwrite a file that is being read; name another file", .0.shown())]
    WritesOverInput(&'a Path),
    #[error("--csv {} is the name of a paper, a key or a sitting; name a file that ends in .csv", .0.shown())]
    Ron(&'a Path),
    #[error("{} is for people outside, and {} would be handed on with it; name another folder with --csv", outside.shown(), table.shown())]
    BesideOutside { outside: PathBuf, table: &'a Path },
}

impl TableArgs {
    /// Checks that the file is none of those that are read: writing over one would lose it.
    ///
    /// # Errors
    /// It is one of them.
    pub(super) fn not_an_input<'a>(
        &self,
        inputs: impl IntoIterator<Item = &'a Path>,
    ) -> Result<(), Failure> {
        let Some(path) = &self.csv else {
            return Ok(());
        };
        if path.extension().is_some_and(|ending| ending == "ron") {
            return Err(Failure::wrong_words(NoTable::Ron(path)));
        }
        let Ok(own) = disk::canonical(path) else {
            return Ok(());
        };
        for input in inputs {
            if disk::canonical(input).is_ok_and(|input| input == own) {
                return Err(Failure::wrong_words(NoTable::WritesOverInput(path)));
            }
        }
        Ok(())
    }

    /// Writes the table where one is wanted; on whom, and the words that make it again, come from the command.
    ///
    /// # Errors
    /// A file that must not be lost, or the system's refusal.
    pub(super) fn write(
        &self,
        catalogue: &Catalogue,
        command: &str,
        about: impl FnOnce(RemakeWords) -> (DataTable, BTreeSet<Alias>, Vec<String>),
        aside: &mut dyn Write,
    ) -> Result<(), Failure> {
        let Some(path) = &self.csv else {
            return Ok(());
        };
        let form = csv_form(self.for_spreadsheet);
        let words = RemakeWords::of(command).with("--csv", [path.as_path()]);
        let words = words.flag("--for-spreadsheet", self.for_spreadsheet);
        let (table, pupils, words) = about(words);
        let page = NewPage {
            path,
            pupils,
            words,
        };
        let press = PagePress::new(catalogue, self.force);
        put_table(&press, page, &table, form, aside)
    }
}

/// For whom a table is written.
pub(super) fn csv_form(for_spreadsheet: bool) -> CsvForm {
    if for_spreadsheet {
        CsvForm::Spreadsheet {
            decimal_comma: has_decimal_comma(|name| env::var(name).ok()),
        }
    } else {
        CsvForm::Rfc4180
    }
}

/// Writes a table with the metadata that describes it.
///
/// # Errors
/// A file that must not be lost, or the system's refusal.
pub(super) fn put_table(
    press: &PagePress<'_>,
    page: NewPage<'_>,
    table: &DataTable,
    form: CsvForm,
    aside: &mut dyn Write,
) -> Result<(), Failure> {
    not_beside_outside(page.path)?;
    let bytes = table.bytes(form).map_err(Failure::could_not)?;
    let name = page.path.file_name().unwrap_or_default().to_string_lossy();
    let metadata = table.metadata(&name, form).map_err(Failure::could_not)?;
    let files = (bytes.as_slice(), metadata.as_bytes());
    press.put_with_metadata(page, files, aside)
}

/// Every figure of the table for people outside is a range, and no pupil has a row: a new table is put in no folder
/// that is handed to them. One that lies there already may be made again, so that erasing a pupil can.
fn not_beside_outside(table: &Path) -> Result<(), Failure> {
    let outside = table.with_file_name(outside::NAME);
    if table == outside || table.exists() || !outside.exists() {
        return Ok(());
    }
    Err(Failure::could_not(NoTable::BesideOutside {
        outside,
        table,
    }))
}

/// Whether numbers have a decimal comma where the user lives: POSIX.1-2017, section 8.2 has the order of the
/// variables, the Unicode CLDR (in `num-format`) the commas.
fn has_decimal_comma(variable: impl Fn(&str) -> Option<String>) -> bool {
    let set = ["LC_ALL", "LC_NUMERIC", "LANG"].into_iter();
    let set = set.filter_map(variable).find(|value| !value.is_empty());
    let Some(set) = set else { return false };
    // language[_territory][.codeset][@modifier]
    let place = set.split(['.', '@']).next().unwrap_or_default();
    let place = place.replace('_', "-");
    let language = place.split('-').next().unwrap_or_default();
    let mut known = [place.as_str(), language].into_iter();
    let locale = known.find_map(|name| Locale::from_name(name).ok());
    locale.is_some_and(|locale| locale.decimal() == ",")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_variable_that_is_set_says_which_decimal_sign() {
        let comma = |set: &[(&str, &str)]| {
            has_decimal_comma(|name| {
                let found = set.iter().find(|(own, _)| *own == name);
                found.map(|(_, value)| (*value).to_owned())
            })
        };
        assert!(!comma(&[]));
        for point in [
            "C",
            "POSIX",
            "C.UTF-8",
            "en_GB.UTF-8",
            "de_CH.UTF-8",
            "es_MX",
            "xx_YY",
            "ja_JP.eucJP",
        ] {
            assert!(!comma(&[("LANG", point)]), "{point}");
        }
        for value in [
            "de_DE.UTF-8",
            "fr_FR",
            "de_AT@euro",
            "pl",
            "en_ZA.UTF-8",
            "cs_CZ.UTF-8",
        ] {
            assert!(comma(&[("LANG", value)]), "{value}");
        }
        let several = [("LANG", "de_DE.UTF-8"), ("LC_NUMERIC", "en_GB.UTF-8")];
        assert!(!comma(&several));
        assert!(comma(&[
            ("LC_ALL", "fr_FR.UTF-8"),
            ("LC_NUMERIC", "en_GB"),
            ("LANG", "C")
        ]));
        assert!(
            comma(&[("LC_ALL", ""), ("LANG", "nl_NL.UTF-8")]),
            "an empty variable is not set"
        );
    }
}

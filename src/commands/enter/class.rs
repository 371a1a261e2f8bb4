//! A class's sheets from a list: every row becomes a sitting, or none does.

use std::collections::BTreeMap;
use std::path::Path;

use super::args::EnterArgs;
use super::desk::{Desk, EnterError};
use super::save::{self, Entering, Fate};
use super::sheet::{SheetAnswers, Typed};
use super::twice;
use crate::commands::failure::{Failure, Failures};
use crate::commands::outlets::quietly;
use crate::commands::pages::note_list;
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;
use crate::storage::files::FileTrouble;
use crate::storage::files::answers::class::{self, ClassSheet, ClassSheets};
use crate::storage::keeping::pages::given_out;
use crate::words::entry;
use crate::words::keeping::written_before;

/// Why a class's sheets are not entered.
#[derive(Debug, thiserror::Error)]
enum ClassError<'a> {
    #[error("{}: this list has no answer sheets; add one row per pupil under the heading", .0.shown())]
    Empty(&'a Path),
    #[error("name the list of the second keying: --twice=FILE.csv")]
    NoSecondList,
}

/// Enters the sheets of a list, and says what became of them.
///
/// # Errors
/// Anything wrong with any row: then nothing is saved.
pub(super) fn enter(
    entering: &Entering<'_>,
    list: &Path,
    args: &EnterArgs,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
    let class = read(entering, list, args)?;
    if class.sheets.is_empty() {
        return Err(Failure::could_not(ClassError::Empty(list)));
    }
    let mut sheets: Vec<(&ClassSheet, SheetAnswers)> = class
        .sheets
        .iter()
        .map(|sheet| (sheet, answers(sheet)))
        .collect();
    match &args.twice {
        None => {}
        Some(Some(second)) => {
            let second_list = Path::new(second);
            let second = read(entering, second_list, args)?;
            lists_must_agree((list, &class), (second_list, &second))?;
        }
        Some(None) if desk.asks => {
            for (sheet, answers) in &mut sheets {
                writeln!(desk.aside, "{}", entry::sheet_of(&sheet.pupil))?;
                *answers = twice::typed_again(&entering.paper.outline, answers, desk)?;
            }
        }
        Some(None) => return Err(Failure::wrong_words(ClassError::NoSecondList)),
    }
    let (mut fresh, mut known, mut refused) = (Vec::new(), Vec::new(), Vec::new());
    for (sheet, answers) in &sheets {
        match entering.fate(&sheet.pupil, answers)? {
            Fate::New(sitting) => fresh.push(*sitting),
            Fate::Known(path) => known.push(path),
            Fate::Refused(refusal) => {
                refused.push(sheet.problem(refusal));
            }
        }
    }
    if !refused.is_empty() {
        let path = list.to_owned();
        let problems = refused;
        return Err(Failure::could_not(FileTrouble { path, problems }));
    }
    let replaced = fresh.iter().filter(|(header, _)| header.replaces.is_some());
    let replaced = replaced.count();
    let paths = save::put(entering.dir, &fresh)?;
    let pupils = class.sheets.iter().map(|sheet| sheet.pupil.clone());
    note_list(
        entering.dir,
        list,
        pupils.chain(class.absent.iter().cloned()),
        desk.aside,
    );
    if !class.notes.is_empty() {
        writeln!(desk.aside, "{}", FileTrouble::lines(list, &class.notes))?;
    }
    let _ = writeln!(
        desk.aside,
        "{}",
        entry::class_saved(paths.len(), replaced, known.len())
    );
    for (header, _) in fresh.iter().filter(|(header, _)| header.replaces.is_some()) {
        let pupil = &header.pupil;
        if let Some(said) = written_before(pupil, &given_out(entering.dir, pupil)) {
            let _ = writeln!(desk.aside, "{said}");
        }
    }
    let mut same = BTreeMap::<_, usize>::new();
    for day in fresh
        .iter()
        .filter_map(|sitting| entering.same_under(sitting))
    {
        *same.entry(day).or_default() += 1;
    }
    for (day, pupils) in same {
        let _ = writeln!(desk.aside, "{}", entry::same_under_another_day(pupils, day));
    }
    for said in entering.about_new_pupils(&fresh) {
        let _ = writeln!(desk.aside, "{said}");
    }
    if !class.absent.is_empty() {
        let _ = writeln!(desk.aside, "{}", entry::absent(&class.absent));
    }
    if desk.out_is_read {
        return Ok(());
    }
    for path in paths.iter().chain(&known) {
        quietly(writeln!(desk.out, "{}", path.shown()))?;
    }
    Ok(())
}

fn read(entering: &Entering<'_>, list: &Path, args: &EnterArgs) -> Result<ClassSheets, Failure> {
    let known = entering
        .records
        .iter()
        .map(|record| record.header.pupil.clone());
    let registered = entering
        .register
        .into_iter()
        .flat_map(|register| &register.pupils);
    let known = known.chain(registered.map(|pupil| pupil.alias.clone()));
    class::read(list, &entering.paper.outline, &args.blank_codes, known).map_err(Failure::could_not)
}

fn answers(sheet: &ClassSheet) -> SheetAnswers {
    let answers = sheet.answers.iter();
    let typed = answers.map(|(number, option, how)| {
        let (option, how) = (*option, *how);
        (*number, Typed { option, how })
    });
    typed.collect()
}

/// Holds two keyings of a class against each other.
///
/// # Errors
/// Every answer that differs, pupil by pupil, and every pupil who is in one of the two only.
fn lists_must_agree(
    (first_list, first): (&Path, &ClassSheets),
    (second_list, second): (&Path, &ClassSheets),
) -> Result<(), Failure> {
    let again = second.sheets.iter();
    let mut in_second: BTreeMap<&Alias, &ClassSheet> =
        again.map(|sheet| (&sheet.pupil, sheet)).collect();
    let mut differing = Failures::default();
    for sheet in &first.sheets {
        let Some(again) = in_second.remove(&sheet.pupil) else {
            differing.add(Failure::could_not(entry::in_one_only(
                &sheet.pupil,
                first_list,
            )));
            continue;
        };
        for parting in twice::differences(&answers(sheet), &answers(again)) {
            let first = (parting.first, first_list, sheet.place.line);
            let second = (parting.second, second_list, again.place.line);
            let said = entry::keyings_differ(&sheet.pupil, parting.number, first, second);
            differing.add(Failure::could_not(said));
        }
    }
    for pupil in in_second.keys() {
        differing.add(Failure::could_not(entry::in_one_only(pupil, second_list)));
    }
    if differing.sentences().is_empty() {
        return Ok(());
    }
    differing.add(Failure::could_not(EnterError::KeyingsDiffer));
    differing.none()
}

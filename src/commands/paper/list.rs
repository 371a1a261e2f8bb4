//! `paper list`: the papers at hand, where they come from, and who has met them.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use clap::Args;

use crate::commands::enter::Desk;
use crate::commands::failure::Failure;
use crate::commands::outlets::{remark, written};
use crate::commands::read::{copies, unread};
use crate::commands::samples;
use crate::domain::header::Alias;
use crate::domain::practice::PracticeLog;
use crate::reports::papers::{PaperRow, PaperRows, json, page};
use crate::season::exposure::{Exposure, Met};
use crate::season::familiarity::Questions;
use crate::storage::catalogue::Catalogue;
use crate::storage::journal::practice_of;

/// What `paper list` takes.
#[derive(Debug, Args)]
pub struct ListWords {
    /// Only these pupils: aliases, session files or folders [default: everybody]
    #[arg(value_name = "PUPIL")]
    pupils: Vec<PathBuf>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Lists the papers; `sessions` is where sittings are kept, if that was said.
///
/// # Errors
/// Words that mean no sitting, or a folder that cannot be looked into.
pub(super) fn list(
    words: &ListWords,
    sessions: Option<&Path>,
    desk: &mut Desk<'_>,
) -> Result<(), Failure> {
    let mut catalogue = Catalogue::open(sessions, &[]);
    if !words.json && samples::ask_at_desk(&catalogue, desk)? {
        catalogue = Catalogue::open(sessions, &[]);
    }
    let dir = catalogue.sessions().map_err(Failure::could_not)?;
    let all = if words.pupils.is_empty() {
        vec![dir.to_owned()]
    } else {
        words.pupils.clone()
    };
    // Nobody may have sat anything yet.
    let wanted = !words.pupils.is_empty() || dir.is_dir();
    let all = if wanted { all } else { Vec::new() };
    let meant = catalogue.sittings(&all)?;
    if !words.pupils.is_empty() {
        let mut failures = crate::commands::failure::Failures::default();
        for missing in &meant.missing {
            failures.add(Failure::could_not(missing));
        }
        failures.none()?;
    }
    for said in unread(&meant.unreadable).chain(copies(&meant.copies)) {
        remark(desk.aside, said);
    }
    let sittings = meant.records.iter().map(|record| Met {
        questions: Questions::of_sitting(
            &record.header,
            catalogue.paper_of(&record.header.paper).as_deref(),
        ),
        header: record.header.clone(),
        withdrawn: record.withdrawn,
    });
    let sittings: Vec<_> = sittings.collect();
    let pupils: BTreeSet<&Alias> = sittings.iter().map(|one| &one.header.pupil).collect();
    let practised: Vec<_> = pupils
        .iter()
        .map(|pupil| ((*pupil).clone(), practised_questions(dir, pupil)))
        .collect();
    let mut rows = PaperRows {
        papers: Vec::new(),
        unusable: Vec::new(),
        pupils: pupils.len(),
    };
    for file in catalogue.papers() {
        match &file.paper {
            Ok(paper) => rows.papers.push(PaperRow {
                file: &file.path,
                paper: std::sync::Arc::clone(paper),
                has_key: catalogue.key_of(&paper.outline).is_ok(),
                exposure: Exposure::of(paper, &sittings, &practised),
            }),
            Err(trouble) => rows.unusable.push((&file.path, trouble.to_string())),
        }
    }
    let text = if words.json {
        json(&rows).map_err(Failure::could_not)?
    } else {
        page(&rows)
    };
    written(desk.out, &text)
}

/// The questions that a pupil has opened in practice.
fn practised_questions(sessions: &Path, pupil: &Alias) -> Questions {
    let read = practice_of(sessions, pupil);
    let tries: Vec<_> = read.logs.iter().flat_map(PracticeLog::tries).collect();
    Questions::of_practice(tries.iter().map(|own| &own.question))
}

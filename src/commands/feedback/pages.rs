//! What the pages of one call share.

use std::path::Path;
use std::sync::Arc;

use chrono::NaiveDate;

use crate::analysis::Studied;
use crate::commands::failure::Failure;
use crate::commands::read::{analysis, practised, steps_beside, studied};
use crate::domain::header::Alias;
use crate::domain::thresholds::Thresholds;
use crate::reports::feedback::PageReader;
use crate::reports::feedback::content::{Asked, EarlierSitting, Feedback, feedback};
use crate::storage::catalogue::{Catalogue, folder_of};
use crate::storage::files::notes;
use crate::storage::journal::{Record, practice_in, practice_of};

/// A sitting that its pupil may go on with.
#[derive(Debug, thiserror::Error)]
#[error(
    "the sitting isn't finished, and its pupil may still carry on; finish it first with `pacebell sit --pupil {0}`"
)]
struct StillOpen<'a>(&'a Alias);

/// What all pages of one call share.
pub(super) struct Pages<'a> {
    /// Keys, papers and earlier sittings.
    pub(super) catalogue: &'a Catalogue,
    /// Whether answers and workings stand beside the hints.
    pub(super) with_working: bool,
    /// Who reads the pages.
    pub(super) reader: PageReader,
    /// The day.
    pub(super) today: NaiveDate,
}

impl Pages<'_> {
    /// What a page says of a sitting.
    ///
    /// # Errors
    /// No key, thresholds that cannot be used, or a sitting that is still open.
    pub(super) fn tell(&self, record: &Record) -> Result<Feedback, Failure> {
        let (header, file) = (&record.header, &record.path);
        let key = self.catalogue.key_of(&header.paper);
        key.map_err(|no_key| Failure::of_file(file, no_key))?;
        let limits = self.catalogue.limits_for(file);
        let limits = limits.map_err(Failure::could_not)?;
        let studied = Studied {
            notes: notes::load(file, &header.sitting).ok(),
            ..studied(self.catalogue, record, &limits)
        };
        let given = self.catalogue.given_sessions();
        let practice = given.map_or_else(
            || practice_in(&folder_of(file)),
            |sessions| practice_of(sessions, &header.pupil),
        );
        let (practised, _) = practised(self.catalogue, &practice, [&studied]);
        let asked = Asked {
            studied: &studied,
            practised: Some(&practised),
            before: &self.before(record, &limits)?,
            steps: &steps_beside(self.catalogue, record)?,
            with_working: self.with_working,
            today: self.today,
        };
        feedback(&asked).ok_or_else(|| Failure::of_file(file, StillOpen(&header.pupil)))
    }

    /// The same pupil's earlier sittings, in the folder of sittings that was named, else in the sitting's own; what
    /// cannot be read among them is nothing to look back on.
    fn before(
        &self,
        record: &Record,
        limits: &Arc<Thresholds>,
    ) -> Result<Vec<EarlierSitting>, Failure> {
        let given = self.catalogue.given_sessions();
        let folder = given.map_or_else(|| folder_of(&record.path), Path::to_owned);
        let listing = self.catalogue.listing(&folder)?;
        let theirs = listing.records.iter();
        let theirs = theirs.filter(|other| other.header.pupil == record.header.pupil);
        let theirs = theirs.filter(|other| other.withdrawn.is_none());
        let before =
            theirs.filter_map(|other| EarlierSitting::of(&record.header, &analysis(other, limits)));
        Ok(before.collect())
    }
}

//! The review with made-up sittings behind it, and what a person would see there.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use pacebell::analysis::{Analysis, Norms, Studied};
use pacebell::cohort::entry::Entry;
use pacebell::commands::review::Reader;
use pacebell::domain::abridged::Abridged;
use pacebell::domain::event::{Event, Stamped};
use pacebell::domain::header::Header;
use pacebell::domain::notes::{Notes, Ruling, Vouched};
use pacebell::domain::standing::Exclusion;
use pacebell::domain::step::AgreedStep;
use pacebell::screens::kit::{Frame, Key};
use pacebell::screens::review::{Listed, Opened, Report, Request, Review, Version};
use pacebell::screens::run::{Arrived, Shelf, fulfil, take};
use pacebell::screens::theme::Theme;
use pacebell::words::thresholds::Thresholds;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Position, Rect, Size};
use ratatui::style::Style;
use ratatui::widgets::Widget;

use crate::made;

/// The size that everything must be usable at.
pub(crate) const USUAL: Size = Size::new(80, 24);

/// Sittings kept in memory in the place of files.
pub(crate) struct Kept {
    sittings: BTreeMap<PathBuf, (Header, Vec<Stamped>)>,
    pub(crate) notes: BTreeMap<PathBuf, Notes>,
    /// Whether keys are at hand.
    with_keys: bool,
    /// Why notes cannot be saved.
    pub(crate) refuses: Option<String>,
    /// What waits to be fetched.
    arrived: Vec<Arrived>,
}

impl Kept {
    fn key(&self, header: &Header) -> Option<pacebell::domain::key::Key> {
        self.with_keys.then(|| made::key(&header.paper.id))
    }

    /// The row of a sitting.
    fn row(&self, path: &Path) -> Listed {
        let (header, log) = &self.sittings[path];
        let (shared, log) = (Arc::new(header.clone()), log.as_slice().into());
        let analysis = Analysis::of(shared, log, Arc::default());
        Listed::read(
            path,
            &Abridged::of(analysis.end()),
            self.key(header).as_ref(),
            false,
        )
    }
}

impl Kept {
    fn notes_of(&mut self, session: &Path) -> &mut Notes {
        let id = &self.sittings[session].0.sitting;
        let notes = self.notes.entry(session.to_owned());
        notes.or_insert_with(|| Notes::new(id))
    }
}

impl Shelf for Kept {
    fn arrived(&mut self) -> Vec<Arrived> {
        std::mem::take(&mut self.arrived)
    }

    fn open(&mut self, path: &Path) -> Result<Opened, String> {
        let found = self.sittings.get(path);
        let (header, events) = found
            .cloned()
            .ok_or("the file is gone; look where it went")?;
        let key = self.key(&header);
        Ok(Opened {
            path: path.to_owned(),
            paper: self
                .with_keys
                .then(|| Arc::new(made::paper(&header.paper.id))),
            key: key
                .map(Arc::new)
                .ok_or_else(|| "There is none here.".to_owned()),
            notes: Ok(self
                .notes
                .get(path)
                .cloned()
                .unwrap_or_else(|| Notes::new(&header.sitting))),
            steps: Vec::new(),
            limits: Arc::new(Thresholds::default()),
            remarks: Vec::new(),
            is_open: !events
                .iter()
                .any(|stamped| matches!(stamped.event, Event::Closed(_))),
            header,
            events,
        })
    }

    fn put_together(&mut self, _version: Version, _files: Vec<PathBuf>) {}

    /// The sittings as files, and the shelf that reads them.
    fn report(&mut self, report: Report) {
        let dir = tempfile::tempdir().unwrap();
        let mut on_disk = report.clone();
        for (path, (header, log)) in &self.sittings {
            let written = made::write(dir.path(), header, log);
            if report == Report::Group(path.clone()) {
                on_disk = Report::Group(written);
            }
        }
        let keys: &[PathBuf] = &[made::sample("")];
        let keys = if self.with_keys { keys } else { &[] };
        let mut files = Reader::new(dir.path(), keys, "P.B.").unwrap();
        files.report(on_disk);
        let Some(Arrived::Report(_, text)) = files.wait() else {
            panic!("the report arrives");
        };
        self.arrived.push(Arrived::Report(report, text));
    }

    fn save(&mut self, session: &Path, notes: &Notes) -> Result<(), String> {
        if let Some(reason) = &self.refuses {
            return Err(reason.clone());
        }
        self.notes.insert(session.to_owned(), notes.clone());
        Ok(())
    }

    fn decide(&mut self, session: &Path, ruling: Ruling) -> Result<Option<Exclusion>, String> {
        if let Some(reason) = &self.refuses {
            return Err(reason.clone());
        }
        let row = self.row(session);
        let row = if ruling.counts {
            row
        } else {
            row.withdrawn(Exclusion::SetAside)
        };
        let place = self.sittings.keys().position(|path| path == session);
        self.arrived
            .push(Arrived::Read(vec![(place.unwrap(), row)]));
        let notes = self.notes_of(session);
        let barred = (!ruling.counts).then_some(Exclusion::SetAside);
        notes.decisions.push(ruling);
        Ok(barred)
    }

    fn agree(&mut self, session: &Path, agreed: AgreedStep) -> Result<(), String> {
        self.notes_of(session).steps.push(agreed);
        Ok(())
    }

    fn vouch(&mut self, session: &Path, vouched: Vouched) -> Result<(), String> {
        self.notes_of(session).vouched.push(vouched);
        Ok(())
    }

    fn initials(&self) -> String {
        "P.B.".into()
    }

    fn local(&self) -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339("2026-11-25T17:00:00+00:00").unwrap()
    }

    fn millis(&self) -> u64 {
        0
    }
}

/// A review and the sittings behind it.
pub(crate) struct Room {
    pub(crate) review: Review,
    pub(crate) kept: Kept,
    pub(crate) size: Size,
}

impl Room {
    /// These sittings, read, with keys and the group they make, or with nothing but themselves.
    pub(crate) fn with(sittings: Vec<(Header, Vec<Stamped>)>, with_keys: bool) -> Self {
        let by_path = |(header, log): (Header, Vec<Stamped>)| {
            let path = format!("{}/{}.session.ron", header.pupil, header.sitting);
            (PathBuf::from(path), (header, log))
        };
        let kept = Kept {
            sittings: sittings.into_iter().map(by_path).collect(),
            notes: BTreeMap::new(),
            with_keys,
            refuses: None,
            arrived: Vec::new(),
        };
        let mut review = Review::new("sessions");
        let rows = kept.sittings.keys().map(|path| kept.row(path));
        take(&mut review, Arrived::Named(rows.collect()));
        take(&mut review, Arrived::AllRead);
        Self {
            review,
            kept,
            size: USUAL,
        }
    }

    /// The season of [`made::season`].
    pub(crate) fn season() -> Self {
        Self::with(made::season(), true)
    }

    /// Presses keys one after another, and does what they ask.
    pub(crate) fn press(&mut self, keys: &[Key]) -> Option<Request> {
        let mut last = None;
        for key in keys {
            let asked = self.review.press(*key, self.size);
            if let Some(ask) = asked.clone() {
                fulfil(&mut self.review, &mut self.kept, ask);
            }
            for arrived in self.kept.arrived() {
                take(&mut self.review, arrived);
            }
            self.bring_group();
            last = asked;
        }
        last
    }

    /// Types letters and digits.
    pub(crate) fn types(&mut self, text: &str) -> Option<Request> {
        let keys: Vec<_> = text.chars().map(Key::Char).collect();
        self.press(&keys)
    }

    /// Opens the first sitting of this pupil.
    pub(crate) fn open(mut self, pupil: &str) -> Self {
        self.types(pupil);
        self.press(&[Key::Enter]);
        self
    }

    fn bring_group(&mut self) {
        let Some((version, files)) = self.review.group_wanted() else {
            return;
        };
        let place = |path: &&PathBuf| {
            let (header, _) = &self.kept.sittings[*path];
            (header.pupil.clone(), header.started)
        };
        let (files, _) = Entry::First.pick(files.iter().collect(), place);
        let members = files.iter().copied().map(|path| {
            let (header, log) = &self.kept.sittings[path];
            let (shared, log) = (Arc::new(header.clone()), log.as_slice().into());
            let analysis = Analysis::of(shared, log, Arc::default());
            Studied::new(analysis, self.kept.key(header).map(Arc::new))
        });
        let norms = Norms::of(&members.collect::<Vec<_>>());
        take(&mut self.review, Arrived::Group(version, norms));
    }

    /// The page in this theme.
    pub(crate) fn painted(&self, theme: &Theme, size: Size) -> Buffer {
        let mut buffer = Buffer::empty(Rect::from((Position::ORIGIN, size)));
        Frame {
            page: &self.review,
            theme: *theme,
        }
        .render(buffer.area, &mut buffer);
        buffer
    }

    /// The words on the page.
    pub(crate) fn text(&self) -> String {
        text(&self.painted(&Theme::plain(), self.size))
    }
}

/// The cells' characters, line by line, empty lines at the end left out.
pub(crate) fn text(buffer: &Buffer) -> String {
    lines(buffer, |cells| cells.iter().map(Cell::symbol).collect())
}

/// The same with every style named around what it is on.
pub(crate) fn styled(buffer: &Buffer) -> String {
    lines(buffer, |cells| {
        let runs = cells.chunk_by(|one, next| one.style() == next.style());
        let run = |run: &[Cell]| {
            let text: String = run.iter().map(Cell::symbol).collect();
            match name(run[0].style()) {
                none if none.is_empty() => text,
                name => format!("<{name}>{text}</>"),
            }
        };
        runs.map(run).collect()
    })
}

fn name(style: Style) -> String {
    let plain = Cell::default().style();
    let mut parts = Vec::new();
    if style.fg != plain.fg {
        parts.push(format!("{:?}", style.fg.unwrap()));
    }
    if style.bg != plain.bg {
        parts.push(format!("on {:?}", style.bg.unwrap()));
    }
    if !style.add_modifier.is_empty() {
        parts.push(format!("{:?}", style.add_modifier));
    }
    parts.join(" ")
}

fn lines(buffer: &Buffer, line: impl Fn(&[Cell]) -> String) -> String {
    let columns = usize::from(buffer.area.width).max(1);
    let lines = buffer.content.chunks(columns).map(line);
    let lines: Vec<_> = lines.map(|line| line.trim_end().to_owned()).collect();
    lines.join("\n").trim_end().to_owned()
}

//! Session files as text, read without the program's own reader.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use super::until;

/// Every session file below `folder`, sorted.
pub(crate) fn sessions(folder: &Path) -> Vec<PathBuf> {
    files(folder, ".session.ron")
}

/// Every file below `folder` whose name ends so, sorted.
pub(crate) fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.to_string_lossy().ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The one session file below `folder`.
pub(crate) fn session(folder: &Path) -> PathBuf {
    let mut found = sessions(folder);
    assert_eq!(found.len(), 1, "{found:?}");
    found.remove(0)
}

/// One line of a session file: its moment, in milliseconds, and what happened, as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Happened {
    pub(crate) at: u64,
    pub(crate) event: String,
}

impl Happened {
    /// The number behind `name:`, such as `since` or `due`.
    pub(crate) fn number(&self, name: &str) -> u64 {
        let (_, behind) = self.event.split_once(&format!("{name}:")).unwrap();
        behind
            .split(|c: char| !c.is_ascii_digit())
            .next()
            .unwrap()
            .parse()
            .unwrap()
    }
}

/// What happened, by the whole lines of a session file.
pub(crate) fn events(session: &Path) -> Vec<Happened> {
    let text = String::from_utf8_lossy(&fs::read(session).unwrap()).into_owned();
    let whole = text.rsplit_once('\n').map_or("", |(whole, _torn)| whole);
    let lines = whole.lines().skip(1);
    let events = lines.filter(|line| !line.contains(",sealed:("));
    events.map(happened).collect()
}

fn happened(line: &str) -> Happened {
    let (record, _sum) = line
        .rsplit_once(") // ")
        .unwrap_or_else(|| panic!("no record: {line}"));
    let (before, event) = record.split_once(",event:").unwrap();
    let (_, at) = before.split_once(",at:").unwrap();
    let (at, _utc) = at.split_once(',').unwrap();
    Happened {
        at: at.parse().unwrap(),
        event: event.to_owned(),
    }
}

/// Every answer to each question, in the order they were given.
pub(crate) fn answers(session: &Path) -> BTreeMap<u16, Vec<char>> {
    let mut answers: BTreeMap<u16, Vec<char>> = BTreeMap::new();
    for happened in events(session) {
        if let Some((question, option)) = answered(&happened.event) {
            answers.entry(question).or_default().push(option);
        }
    }
    answers
}

/// `Answered(5,'E')`.
pub(crate) fn answered(event: &str) -> Option<(u16, char)> {
    pair(event.strip_prefix("Answered(")?.strip_suffix(')')?)
}

/// `5,'E'`.
pub(crate) fn pair(text: &str) -> Option<(u16, char)> {
    let (question, option) = text.split_once(',')?;
    Some((
        question.parse().ok()?,
        option.trim_matches('\'').chars().next()?,
    ))
}

/// Waits until the session file has an event that begins so.
pub(crate) fn wait_for_event(folder: &Path, begins: &str) -> Happened {
    until(&format!("`{begins}` in the file"), || {
        let session = sessions(folder).pop()?;
        events(&session)
            .into_iter()
            .find(|happened| happened.event.starts_with(begins))
    })
}

/// Checks that the program's own reader takes the file, and that its last event begins so.
pub(crate) fn assert_sound(session: &Path, last: &str) {
    let record = pacebell::storage::journal::read(session).unwrap();
    assert!(record.torn.is_none(), "a torn end");
    let events = events(session);
    assert_eq!(record.events.len(), events.len());
    let found = &events.last().unwrap().event;
    assert!(found.starts_with(last), "{found} is last, not {last}");
}

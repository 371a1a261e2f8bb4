//! Another sitting, or the group's median, beside the open one: which, and the two together.

use std::path::PathBuf;

use ratatui::text::Span;

use super::ask::Ask;
use super::compare;
use super::ink::Ink;
use super::listed::{Listed, State};
use super::study::Study;
use crate::screens::press::Press;
use crate::words::numbers::plain;
use crate::words::text::cut;

/// The most sittings that are offered.
const MOST: usize = 500;

/// A sitting that may be put beside the open one.
#[derive(Clone, Debug)]
struct Offered {
    path: PathBuf,
    words: String,
}

/// What is said of a sitting that nobody sat.
fn made(row: &Listed) -> &'static str {
    let invented = row.summary().is_some_and(|own| own.version.invented);
    if invented { "  invented data" } else { "" }
}

/// What stands beside the open sitting.
#[derive(Clone, Debug, Default)]
enum Other {
    /// Nothing yet: one is being chosen.
    #[default]
    Choosing,
    /// The group's median.
    Group,
    /// Another sitting.
    Sitting(Box<Study>),
}

/// The choice, and what was chosen.
#[derive(Clone, Debug, Default)]
pub(super) struct Beside {
    offered: Vec<Offered>,
    at: usize,
    other: Other,
}

impl Beside {
    /// Offers these sittings.
    pub(super) fn offering(rows: Vec<&Listed>) -> Self {
        let offered = rows.into_iter().take(MOST).map(|row| {
            let mark = match &row.state {
                State::Read(summary) => summary.marks.map(|marks| plain(marks.in_time)),
                State::Waiting | State::Wrong(_) => None,
            };
            let mark = mark.map_or_else(String::new, |mark| format!("  mark {mark}"));
            Offered {
                path: row.path.clone(),
                words: format!(
                    "{}  {}  {}{mark}{}",
                    row.pupil,
                    row.when,
                    row.paper,
                    made(row)
                ),
            }
        });
        Self {
            offered: offered.collect(),
            ..Self::default()
        }
    }

    pub(super) const fn is_choosing(&self) -> bool {
        matches!(self.other, Other::Choosing)
    }

    /// Chooses anew.
    pub(super) fn choose(&mut self) {
        self.other = Other::Choosing;
    }

    /// Puts a sitting beside.
    pub(super) fn show(&mut self, study: Study) {
        self.other = Other::Sitting(Box::new(study));
    }

    pub(super) fn study_mut(&mut self) -> Option<&mut Study> {
        match &mut self.other {
            Other::Sitting(study) => Some(study),
            Other::Choosing | Other::Group => None,
        }
    }

    /// Takes a key while one is being chosen; the group comes first where there is one.
    pub(super) fn press(&mut self, press: Press, group: bool, page: usize) -> Option<Ask> {
        let many = self.offered.len() + usize::from(group);
        let last = many.saturating_sub(1);
        let at = self.at.min(last);
        self.at = match press {
            Press::Up => at.saturating_sub(1),
            Press::Down => at + 1,
            Press::PageUp => at.saturating_sub(page),
            Press::PageDown => at + page,
            Press::Home => 0,
            Press::End => last,
            Press::Enter if group && at == 0 => {
                self.other = Other::Group;
                return None;
            }
            Press::Enter => {
                let chosen = self.offered.get(at.checked_sub(usize::from(group))?)?;
                return Some(Ask::Beside(chosen.path.clone()));
            }
            _ => at,
        }
        .min(last);
        None
    }

    pub(super) fn write(&self, ink: &mut Ink<'_>, study: &Study) {
        match &self.other {
            Other::Choosing => self.write_choice(ink, study),
            Other::Group => compare::with_group(ink, study),
            Other::Sitting(other) => compare::with_sitting(ink, study, other),
        }
    }

    fn write_choice(&self, ink: &mut Ink<'_>, study: &Study) {
        ink.plain("What shall stand beside this sitting?");
        ink.pin();
        let group = study
            .group
            .as_ref()
            .map(|group| format!("the group's median on this paper, {} people", group.people));
        let sittings = self.offered.iter().map(|offered| offered.words.clone());
        let rows: Vec<String> = group.into_iter().chain(sittings).collect();
        if rows.is_empty() {
            ink.text("There is no other sitting of this pupil or on this paper, and no group.");
        }
        let at = self.at.min(rows.len().saturating_sub(1));
        for (index, words) in rows.iter().enumerate() {
            let (sign, style) = ink.choose(index == at);
            let text = cut(words, ink.width.saturating_sub(2));
            ink.line(vec![
                Span::raw(sign),
                Span::raw(" "),
                Span::styled(text, style),
            ]);
        }
    }
}

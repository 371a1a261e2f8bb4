//! A job as it stands in the table: its name, and its words with what is chosen first.

use crate::words::tutor::JOBS;

/// A job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TutorJob {
    /// The heading that it stands under.
    pub group: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// The words that do it.
    pub words: Vec<JobWord>,
}

/// A word of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JobWord {
    /// This word.
    Says(&'static str),
    /// A pupil, chosen.
    Pupil,
    /// A paper, chosen.
    Paper,
    /// A paper, chosen, and the answer key beside it.
    PaperAndKey,
    /// A sitting, chosen.
    Sitting,
    /// A CSV file, chosen.
    Table,
    /// The CSV file of a second keying, chosen.
    SecondTable,
    /// A folder, chosen.
    Folder,
    /// A corrected answer key, chosen.
    Key,
    /// The answer key as it was, chosen.
    KeyBefore,
    /// A session file that is damaged, chosen.
    Damaged,
    /// A folder that is not there yet.
    NewFolder,
    /// The folder of sittings.
    Sessions,
    /// A new file for a page.
    Page,
    /// The folder of pages.
    Pages,
    /// The day of a sitting, chosen: today's needs no word.
    Day,
    /// The answer to a question, in words.
    Asked(&'static str),
}

impl TutorJob {
    /// Every job.
    pub fn all() -> Vec<Self> {
        let jobs = JOBS.iter();
        jobs.map(|(group, title, words)| Self {
            group,
            title,
            words: read(words),
        })
        .collect()
    }

    /// Whether it shows pages or asks by itself, so that nothing it said waits to be read.
    pub(super) fn is_pages(&self) -> bool {
        matches!(
            self.words.first(),
            None | Some(JobWord::Says("sit" | "review" | "drill" | "practise"))
        )
    }
}

/// Words parted at blanks, what stands in braces in one piece.
fn read(mut words: &'static str) -> Vec<JobWord> {
    let mut read = Vec::new();
    loop {
        words = words.trim_start();
        if words.is_empty() {
            return read;
        }
        if let Some((chosen, rest)) = words.strip_prefix('{').and_then(|w| w.split_once('}')) {
            read.push(match chosen {
                "pupil" => JobWord::Pupil,
                "paper" => JobWord::Paper,
                "pair" => JobWord::PaperAndKey,
                "sitting" => JobWord::Sitting,
                "table" => JobWord::Table,
                "second" => JobWord::SecondTable,
                "folder" => JobWord::Folder,
                "key" => JobWord::Key,
                "key before" => JobWord::KeyBefore,
                "damaged" => JobWord::Damaged,
                "new folder" => JobWord::NewFolder,
                "sessions" => JobWord::Sessions,
                "day" => JobWord::Day,
                "page" => JobWord::Page,
                "pages" => JobWord::Pages,
                other => JobWord::Asked(other.strip_prefix("ask ").unwrap_or(other)),
            });
            words = rest;
        } else {
            let (word, rest) = words.split_once(' ').unwrap_or((words, ""));
            read.push(JobWord::Says(word));
            words = rest;
        }
    }
}

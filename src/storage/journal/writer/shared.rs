//! What the writer's thread and its owner have in common.

use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use super::log_file::LogFile;
use crate::domain::time::Elapsed;
use crate::storage::journal::line::Chain;
use crate::storage::journal::trouble::Trouble;

/// Called, on the writer's thread or while there is none yet, whenever what `Writer::saved` gives has changed.
pub type Wake = Box<dyn Fn() + Send>;

/// How far saving has got. Events are counted from the sitting's first, so that the third event is
/// on disk when `durable` is 3 or more; the header is on disk before there is a writer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saved {
    /// Events given to the writer, those of an earlier run included.
    pub sent: u64,
    /// Events that are on the disk. It falls back to 0 while the file itself is gone, and is 0 until it is known what a
    /// program that was killed has left there.
    pub durable: u64,
    /// What keeps the writer from saving.
    pub trouble: Option<Trouble>,
    /// How often the whole sitting was written anew because somebody had moved, removed, replaced or changed
    /// its file.
    pub rewritten: u64,
}

impl Saved {
    /// Whether everything is on the disk.
    pub const fn is_all(&self) -> bool {
        self.durable >= self.sent && self.trouble.is_none()
    }
}

/// What the writer's thread and its owner share; never locked while the disk is waited for.
#[derive(Debug)]
pub(super) struct WriterState {
    pub(super) sent: AtomicU64,
    pub(super) durable: AtomicU64,
    /// Whether another thread has looked at the file since the writer last asked.
    pub(super) looked: AtomicBool,
    pub(super) rare: Mutex<Rare>,
}

#[derive(Debug)]
pub(super) struct Rare {
    pub(super) trouble: Option<Trouble>,
    pub(super) path: PathBuf,
    pub(super) rewritten: u64,
}

impl WriterState {
    /// How far saving has got.
    pub(super) fn saved(&self) -> Saved {
        let durable = self.durable.load(Ordering::SeqCst);
        Saved {
            sent: self.sent.load(Ordering::SeqCst),
            durable,
            trouble: self.rare(|rare| rare.trouble.clone()),
            rewritten: self.rare(|rare| rare.rewritten),
        }
    }

    pub(super) fn rare<T>(&self, look: impl FnOnce(&mut Rare) -> T) -> T {
        look(&mut self.rare.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

/// What is known of a file that another program has left.
pub(super) struct TakenUp {
    /// What it is kept as if it has to give way with an end that is not kept yet.
    pub(super) aside: &'static str,
    /// The digest of its bytes, where such an end is.
    pub(super) kept: Option<Vec<u8>>,
}

/// What a thread starts from: a file whose every byte is known.
pub(super) struct WriterStart {
    /// Nothing where it is a new file, all of which is on the disk.
    pub(super) taken_up: Option<TakenUp>,
    pub(super) path: PathBuf,
    pub(super) sheet: Arc<Mutex<LogFile>>,
    pub(super) whole: Vec<u8>,
    pub(super) chain: Chain,
    pub(super) latest: Elapsed,
}

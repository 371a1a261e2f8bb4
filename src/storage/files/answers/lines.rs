//! Which line of a file a byte stands on; only asked once something is wrong.
//!
//! The reader's own count skips empty lines late and lags behind where lines end with a carriage return, so
//! the line ends are counted in the file itself.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// Counts the lines of a file as far as it has been asked.
#[derive(Debug)]
pub(super) struct Lines {
    /// What can be read again; of what came through a pipe the reader's own count has to do.
    path: Option<PathBuf>,
    file: Option<File>,
    counted: u64,
    ends: usize,
}

impl Lines {
    pub(super) fn new(path: &Path, again: bool) -> Self {
        Self {
            path: again.then(|| path.to_owned()),
            file: None,
            counted: 0,
            ends: 0,
        }
    }

    /// The line, from 1, of the last byte of a record that ends before byte `end`; asked in rising order.
    pub(super) fn of(&mut self, end: u64, record: &csv::ByteRecord) -> usize {
        let Some(path) = &self.path else {
            let line = record.position().map_or(1, csv::Position::line);
            return usize::try_from(line).unwrap_or(usize::MAX);
        };
        let upto = end.saturating_sub(1);
        if self.file.is_none() {
            self.file = File::open(path).ok();
        }
        let wanted = upto.saturating_sub(self.counted);
        if let Some(file) = &mut self.file {
            let mut left = wanted;
            let mut chunk = [0; 8192];
            while left > 0 {
                let size = usize::try_from(left).map_or(chunk.len(), |left| left.min(chunk.len()));
                let read = chunk.get_mut(..size).map_or(Ok(0), |part| file.read(part));
                let Ok(read @ 1..) = read else { break };
                let part = chunk.get(..read).unwrap_or_default();
                self.ends += part.split(|byte| *byte == b'\n').skip(1).count();
                left = left.saturating_sub(u64::try_from(read).unwrap_or(left));
            }
            self.counted += wanted;
        }
        self.ends + 1
    }
}

//! Any order of writing, waiting, killing and taking up again, against a real file.

use std::fs;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use pacebell::domain::event::Stamped;
use pacebell::storage::disk::operations::RealDisk;
use pacebell::storage::journal::{self, Writer};
use proptest::prelude::*;

use crate::common::{answer, header};

#[derive(Clone, Copy, Debug)]
enum Step {
    /// So many events.
    Append(u16),
    /// Wait until they are saved.
    Wait,
    /// Kill the program and take up what a power cut left: of the bytes never told to be saved
    /// this share is there, and this many bytes of rubbish behind it.
    Kill { share: u8, rubbish: u8 },
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        3 => (1_u16..6).prop_map(Step::Append),
        2 => Just(Step::Wait),
        1 => (any::<u8>(), prop_oneof![Just(0), 0_u8..40])
            .prop_map(|(share, rubbish)| Step::Kill { share, rubbish }),
    ]
}

struct Run {
    dir: tempfile::TempDir,
    writer: Writer,
    sent: Vec<Stamped>,
    kills: usize,
}

impl Run {
    fn append(&mut self, count: u16) {
        for _ in 0..count {
            let next = u16::try_from(self.sent.len()).unwrap() + 1;
            let number = self.writer.append(&answer(next));
            self.sent.push(answer(next));
            assert_eq!(number, self.sent.len() as u64);
        }
    }

    /// The file as it stands goes to a fresh place, as a disk does that is taken out of a machine.
    fn kill(&mut self, share: u8, rubbish: u8) {
        let durable = usize::try_from(self.writer.saved().durable).unwrap();
        let bytes = fs::read(self.writer.path()).unwrap();
        let ends = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n');
        let safe = ends.map(|(end, _)| end + 1).nth(durable);
        let safe = safe.expect("every line told to be saved is in the file");
        let kept = safe + (bytes.len() - safe) * usize::from(share) / 255;
        let mut left: Vec<u8> = bytes.into_iter().take(kept).collect();
        left.extend(std::iter::repeat_n(0, usize::from(rubbish)));
        self.kills += 1;
        let path: PathBuf = self.dir.path().join(format!("{}.session.ron", self.kills));
        fs::write(&path, &left).unwrap();

        let record = journal::read(&path).unwrap();
        assert!(record.events.len() >= durable, "what was saved is there");
        assert!(self.sent.starts_with(&record.events), "and nothing else");
        assert_eq!(fs::read(&path).unwrap(), left, "reading changes nothing");
        self.writer = Writer::resume(Arc::new(RealDisk), &record, Box::new(|| {})).unwrap();
        self.sent = record.events;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn what_was_told_to_be_saved_is_always_there(steps in prop::collection::vec(step(), 1..30)) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("0.session.ron");
        let writer = Writer::create(&path, &header("otter"), Box::new(|| {})).unwrap();
        let mut run = Run { dir, writer, sent: vec![], kills: 0 };
        for step in steps {
            match step {
                Step::Append(count) => run.append(count),
                Step::Wait => {
                    prop_assert!(run.writer.wait_durable(Duration::from_secs(20)));
                    prop_assert!(run.writer.saved().is_all());
                }
                Step::Kill { share, rubbish } => run.kill(share, rubbish),
            }
        }
        let path = run.writer.finish().unwrap();
        prop_assert_eq!(journal::read(&path).unwrap().events, run.sent);
    }
}

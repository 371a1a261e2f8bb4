//! What a forecast of ten sittings costs, beside reading and marking their files; and one in a `demo` folder of 12
//! pupils with its group's record, on one core.
//!
//! `cargo bench --bench forecast`. The forecast of ten should be the shorter of the two. The files are in the system's
//! cache, as they are when a tutor asks for a second paper.
#![cfg(test)]

#[path = "../common/sat.rs"]
mod sat;
#[path = "../plan/season.rs"]
#[expect(dead_code, reason = "the tests use all of it")]
mod season;
#[path = "../common/written.rs"]
mod written;

use std::hint::black_box;
use std::path::Path;
use std::process::Command;
use std::sync::Arc;

use criterion::{Criterion, criterion_group, criterion_main};
use pacebell::analysis::evidence::Evidence;
use pacebell::analysis::{Analysis, Studied};
use pacebell::domain::header::Alias;
use pacebell::domain::standing::Use;
use pacebell::season::estimate::Estimates;
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::forecast::Forecast;
use pacebell::season::hindsight::{LookBack, Papers, TrackRecord};
use pacebell::season::plan::{Goal, Plan};
use pacebell::storage::catalogue::Catalogue;
use pacebell::storage::files;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use season::{Pupil, sample, share, write};

const SITTINGS: i64 = 10;

/// Ten sittings of one pupil.
fn made(sessions: &Path) {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
    let mut random = ChaCha8Rng::seed_from_u64(3);
    let pupil = Pupil::drawn(&mut random);
    for day in 0..SITTINGS {
        let name = if day % 2 == 0 {
            "saltmarsh-a"
        } else {
            "saltmarsh-b"
        };
        let paper = sample(&format!("{name}.paper.ron"));
        let key = files::key::load(&samples.join(format!("{name}.key.ron"))).unwrap();
        let key: String = key.answers.iter().map(ToString::to_string).collect();
        let sitting = pupil.sits(25, share(&paper), &mut random);
        write(sessions, "otter", day, &paper, &key, &sitting);
    }
}

/// What the files say, as the command reads them, and their papers.
fn read(sessions: &Path) -> (Vec<Evidence>, Papers) {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
    let catalogue = Catalogue::open(Some(sessions), &[samples.join("saltmarsh-b.paper.ron")]);
    let listing = catalogue.listing(sessions).unwrap();
    let mut papers = Papers::new();
    let said = listing.records.iter().filter_map(|record| {
        let header = Arc::new(record.header.clone());
        let analysis = Analysis::of(header, record.events.as_slice().into(), Arc::default());
        let key = catalogue.key_of(&record.header.paper).ok();
        let paper = catalogue.paper_of(&record.header.paper);
        let studied = Studied {
            paper: paper.clone(),
            ..Studied::new(analysis, key)
        };
        let counts = studied.analysis.standing().bars(Use::Evidence).is_none();
        let said = Evidence::of(&studied).filter(|_| counts)?;
        papers.extend(paper.map(|paper| (said.paper.clone(), paper)));
        Some(said)
    });
    (said.collect(), papers)
}

fn compare(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().unwrap();
    made(folder.path());
    let (evidence, _) = read(folder.path());
    assert_eq!(evidence.len(), usize::try_from(SITTINGS).unwrap());
    let paper = sample("saltmarsh-old.paper.ron");
    let otter = Alias::new("otter").unwrap();
    let estimates =
        || Estimates::new(&otter, &paper, &evidence, &MetInPractice::default()).unwrap();
    let mut group = criterion.benchmark_group("ten sittings");
    group.bench_function("read and marked", |bench| {
        bench.iter(|| read(black_box(folder.path())));
    });
    group.bench_function("forecast", |bench| {
        bench.iter(|| Forecast::new(&paper, &estimates()).unwrap());
    });
    let known = estimates();
    group.bench_function("planned", |bench| {
        bench.iter(|| {
            Plan::new(
                &paper,
                &known,
                Goal::Marks,
                &pacebell::domain::thresholds::Thresholds::default(),
            )
        });
    });
    group.finish();
}

fn compare_group(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().unwrap();
    let demo = folder.path().join("demo");
    let mut made = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let made = made.arg("demo").arg(&demo).args(["--pupils", "12"]);
    assert!(made.output().unwrap().status.success());
    let sessions = demo.join("sessions");
    let (evidence, papers) = read(&sessions);
    assert!(TrackRecord::may_widen(&evidence));
    let paper = sample("saltmarsh-old.paper.ron");
    let pupil = &evidence[0].pupil;
    let practised = MetInPractice::default();
    let look = || {
        let look = LookBack::over(&evidence, &practised, &papers);
        TrackRecord::new(look.at(&evidence.iter().collect::<Vec<_>>()))
    };
    let mut group = criterion.benchmark_group("twelve pupils");
    group.sample_size(10);
    group.bench_function("read and marked", |bench| {
        bench.iter(|| read(black_box(&sessions)));
    });
    group.bench_function("forecast with the group's record", |bench| {
        bench.iter(|| {
            let mut estimates =
                Estimates::new(pupil, &paper, &evidence, &MetInPractice::default()).unwrap();
            estimates.model.widening = look().widening();
            Forecast::new(&paper, &estimates).unwrap()
        });
    });
    group.finish();
}

criterion_group!(benches, compare, compare_group);
criterion_main!(benches);

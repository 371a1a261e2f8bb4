//! How long `group` takes over a cohort of answer sheets, and how much memory, against two other ways.
//!
//! `cargo bench --bench cohort` writes a list of a million sheets of 25 questions (seeded; another number may
//! follow as `-- 200000`), then times three programs of their own on it, the best of three: `group` with
//! everything that it works out; reading and splitting the same file with the same CSV crate and doing
//! nothing; and the same table of counts in numpy, where `python3` has it. Peak memory is what the system
//! says of each (`VmHWM`), so on Linux only.

use std::error::Error;
use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::Path;
use std::process::Command;
use std::time::Instant;

use clap::Parser;
use pacebell::commands::{Args, CommandArgs, group};
use rand::RngExt;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

const QUESTIONS: u16 = 25;
const SHEETS: usize = 1_000_000;
const ROUNDS: usize = 3;

fn main() -> Result<(), Box<dyn Error>> {
    let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
    match (words.next().as_deref(), words.next()) {
        (Some("group"), Some(folder)) => timed(|| by_group(Path::new(&folder))),
        (Some("split"), Some(folder)) => timed(|| by_splitting(Path::new(&folder))),
        (sheets, _) => compare(sheets.map_or(Ok(SHEETS), str::parse)?),
    }
}

/// Writes the list and tells how the ways compare.
fn compare(sheets: usize) -> Result<(), Box<dyn Error>> {
    let folder = tempfile::tempdir()?;
    write_paper(folder.path())?;
    write_list(&folder.path().join("answers.csv"), sheets)?;
    let size = fs::metadata(folder.path().join("answers.csv"))?.len();
    let mut out = io::stdout().lock();
    writeln!(
        out,
        "{sheets} answer sheets of {QUESTIONS} questions, {} MB",
        size / 1_000_000
    )?;
    let own = std::env::current_exe()?;
    let path = folder.path().display().to_string();
    let run = |way: &str| best(Command::new(&own).args([way, &path]));
    let split = run("split")?.ok_or("splitting did not run")?;
    let group = run("group")?.ok_or("group did not run")?;
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/benches/cohort_numpy.py");
    let numpy = best(Command::new("python3").args([script, &path]))?;
    let mut line = |name: &str, (seconds, peak): (f64, f64)| {
        writeln!(
            out,
            "{name:<28} {seconds:>7.2} s  {peak:>7.1} MiB  {:>6.2} times splitting",
            seconds / split.0
        )
    };
    line("reading and splitting", split)?;
    line("group", group)?;
    match numpy {
        Some(numpy) => line("counts in numpy", numpy)?,
        None => writeln!(
            io::stdout(),
            "counts in numpy: not run, python3 has no numpy"
        )?,
    }
    Ok(())
}

/// The quickest of a few runs: seconds and MiB; `None` where the program does not run.
fn best(command: &mut Command) -> Result<Option<(f64, f64)>, Box<dyn Error>> {
    let mut best: Option<(f64, f64)> = None;
    for _ in 0..ROUNDS {
        let Ok(done) = command.output() else {
            return Ok(None);
        };
        if !done.status.success() {
            return Ok(None);
        }
        let text = String::from_utf8(done.stdout)?;
        let (seconds, peak) = text.trim().split_once(' ').ok_or("no seconds and MiB")?;
        let found = (seconds.parse()?, peak.parse()?);
        best = Some(best.map_or(found, |best| if found.0 < best.0 { found } else { best }));
    }
    Ok(best)
}

/// Runs it and prints its seconds and the peak of this process in MiB.
fn timed(what: impl FnOnce() -> Result<(), Box<dyn Error>>) -> Result<(), Box<dyn Error>> {
    let begun = now();
    what()?;
    let seconds = begun.elapsed().as_secs_f64();
    writeln!(io::stdout(), "{seconds} {}", peak_mib())?;
    Ok(())
}

#[expect(clippy::disallowed_methods, reason = "a bench measures its own time")]
fn now() -> Instant {
    Instant::now()
}

fn peak_mib() -> f64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kib = line.and_then(|line| line.trim().strip_suffix(" kB")?.parse::<f64>().ok());
    kib.map_or(f64::NAN, |kib| kib / 1024.0)
}

fn by_group(folder: &Path) -> Result<(), Box<dyn Error>> {
    let path = |name: &str| folder.join(name).display().to_string();
    let (paper, key) = (path("bench.paper.ron"), path("bench.key.ron"));
    let answers = path("answers.csv");
    let words = [
        "pacebell", "group", "--json", "--paper", &paper, "--key", &key,
    ];
    let args = Args::try_parse_from(words.iter().chain(&["--answers", &answers]))?;
    let Some(CommandArgs::Group(words)) = args.command else {
        return Err("the words are of another command".into());
    };
    let mut out = Vec::new();
    group::run(&words, None, &mut out, &mut io::stderr()).map_err(|failure| failure.to_string())?;
    if out.is_empty() {
        return Err("group said nothing".into());
    }
    Ok(())
}

fn by_splitting(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut reader = csv::ReaderBuilder::new()
        .buffer_capacity(1 << 16)
        .from_path(folder.join("answers.csv"))?;
    let mut record = csv::ByteRecord::new();
    let mut cells = 0;
    while reader.read_byte_record(&mut record)? {
        cells += record.len();
    }
    if cells == 0 {
        return Err("there was nothing to split".into());
    }
    Ok(())
}

fn write_paper(folder: &Path) -> io::Result<()> {
    let questions = "(),".repeat(usize::from(QUESTIONS));
    let paper = format!(
        "(format: 1, id: \"bench\", title: \"Bench\", minutes: 60, options: \"ABCDE\", \
         rule: (sections: [(name: \"first\", first: 1, last: 15, right: 5, wrong: 0, blank: 0), \
         (name: \"second\", first: 16, last: 25, right: 6, wrong: -1, blank: 0)]), questions: [{questions}])"
    );
    fs::write(folder.join("bench.paper.ron"), paper)?;
    let key = "(format: 1, paper: \"bench\", answers: \"ABCDE ABCDE ABCDE ABCDE ABCDE\")";
    fs::write(folder.join("bench.key.ron"), key)
}

/// Pupils of all kinds on questions that grow harder; who is slow leaves the end blank.
fn write_list(path: &Path, sheets: usize) -> io::Result<()> {
    let mut chance = ChaCha8Rng::seed_from_u64(20_261_125);
    let mut list = BufWriter::new(File::create(path)?);
    let numbers: Vec<String> = (1..=QUESTIONS).map(|number| number.to_string()).collect();
    writeln!(list, "pupil,{}", numbers.join(","))?;
    for sheet in 0..sheets {
        write!(list, "p{sheet:07}")?;
        let measure: f64 = chance.random_range(-2.0..2.0) + chance.random_range(-1.0..1.0);
        let reached = chance.random_range(15..=2 * QUESTIONS);
        for question in 0..QUESTIONS {
            let difficulty = f64::from(question) / 6.0 - 2.0;
            let right = chance.random::<f64>() < 1.0 / (1.0 + (difficulty - measure).exp());
            let key = u8::try_from(question % 5).unwrap_or(0);
            let wrong = (key + chance.random_range(1..5)) % 5;
            if question < reached && chance.random::<f64>() > 0.03 {
                let option = b'A' + if right { key } else { wrong };
                write!(list, ",{}", char::from(option))?;
            } else {
                list.write_all(b",")?;
            }
        }
        list.write_all(b"\n")?;
    }
    list.flush()
}

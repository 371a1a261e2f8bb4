//! A season: who sits which paper when, and what goes wrong around it.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime, TimeDelta};

use super::chance::Dice;
use super::hour::{Hour, Incident, Morning};
use super::mind::Mind;
use super::papers::{A, B, OLD, Sample};
use super::pupil::{ALIASES, Pupil};
use super::question::{Nature, natures};
use crate::domain::event::{Ending, Event, How, Stamped};
use crate::domain::header::{
    Alias, Arrangements, Boot, Checkpoint, Header, Mode, PacePlan, SESSION_FORMAT, sitting_id,
    with_extra_time,
};
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::domain::questions::QuestionList;
use crate::domain::rule::QuestionNo;
use crate::domain::sitting::{Command, Sitting};
use crate::domain::time::Elapsed;
use crate::storage::files::FileTrouble;

/// The most pupils there are aliases for.
pub const MOST_PUPILS: usize = ALIASES.len();

/// The most sittings that one pupil has.
pub const MOST_SITTINGS: usize = ROUNDS.len();

/// Which season is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SittingWanted {
    /// Where all chance comes from.
    pub seed: u64,
    /// How many pupils.
    pub pupils: usize,
    /// How many sittings each has at most.
    pub sittings: usize,
}

/// One invented sitting.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// What was settled before it.
    pub header: Header,
    /// What was recorded.
    pub events: Vec<Stamped>,
    /// How strong its pupil is over the season, on the scale of the logistic curve.
    pub strength: f64,
    /// Wishes that the core refused; a real page offers none of them.
    pub refused: usize,
}

impl Made {
    /// Whether it came to its end: neither left open nor given up.
    pub fn is_whole(&self) -> bool {
        let end = self.events.last().map(|stamped| &stamped.event);
        matches!(end, Some(Event::Closed(ending)) if *ending != Ending::Abandoned)
    }
}

/// A day on which the group sits a paper.
struct Round {
    sample: Sample,
    /// Month and day of 2026.
    day: (u32, u32),
    /// Questions and minutes, where it is only a part.
    part: Option<(u16, u16, u64)>,
}

const fn whole(sample: Sample, month: u32, day: u32) -> Round {
    Round {
        sample,
        day: (month, day),
        part: None,
    }
}

/// The season's rounds, in order.
const ROUNDS: [Round; 6] = [
    whole(OLD, 4, 22),
    whole(B, 6, 24),
    whole(A, 9, 23),
    Round {
        sample: B,
        day: (10, 14),
        part: Some((11, 25, 40)),
    },
    whole(B, 11, 4),
    whole(A, 11, 17),
];
/// The round that only every third pupil sits.
const PART: usize = 3;

/// What happens to whom in which round: pupil, round, seconds from the start, incident.
const INCIDENTS: [(usize, usize, u64, Incident); 8] = [
    (0, 1, 1210, Incident::ClockSet(3600)),
    (2, 2, 1083, Incident::Killed(Elapsed(171_400))),
    (4, 1, 907, Incident::Slept(Elapsed(236_000))),
    (6, 2, 944, Incident::HeldUp(Elapsed(6300))),
    (7, 4, 1415, Incident::PowerCut(Elapsed(428_000))),
    (9, 1, 640, Incident::WindowClosed(Elapsed(48_700))),
    (10, 1, 871, Incident::GivenUp),
    (11, 5, 1326, Incident::LeftOpen),
];
/// Who was not there in which round.
const ABSENT: [(usize, usize); 4] = [(2, 1), (5, 2), (8, 0), (3, 4)];
/// Who sat which round on paper, typed in afterwards.
const ON_PAPER: (usize, usize) = (5, 4);
/// Who has extra time.
const EXTRA_TIME: [usize; 2] = [1, 8];
/// Who may rest.
const RESTS: [usize; 2] = [1, 9];
/// From this round on a pace plan goes along.
const PLANNED_FROM: usize = 2;
/// The plan: questions done with, and by which minute of sixty.
const PLAN: [(u16, i64); 4] = [(5, 8), (10, 18), (15, 31), (20, 46)];

/// All sittings of a season, pupil by pupil in order of time.
///
/// # Errors
/// A sample paper that cannot be read, which would be a fault of the program.
pub fn season(wanted: SittingWanted) -> Result<Vec<Made>, FileTrouble> {
    let mut papers = Vec::new();
    for round in &ROUNDS {
        let (paper, key) = round.sample.load()?;
        let natures = natures(&paper, &key, wanted.seed);
        papers.push((paper, natures));
    }
    let mut made = Vec::new();
    let pupils = (0..wanted.pupils).filter_map(|index| Pupil::invent(wanted.seed, index));
    for pupil in pupils {
        let there = (0..ROUNDS.len()).filter(|round| sits(pupil.index, *round));
        for round in there.take(wanted.sittings) {
            let Some((paper, natures)) = papers.get(round) else {
                continue;
            };
            let desk = MadeUpDesk {
                wanted,
                round,
                paper,
                natures,
            };
            made.extend(desk.sitting(&pupil));
        }
    }
    Ok(made)
}

fn sits(pupil: usize, round: usize) -> bool {
    !ABSENT.contains(&(pupil, round)) && (round != PART || pupil.is_multiple_of(3))
}

/// Where one round is sat.
struct MadeUpDesk<'a> {
    wanted: SittingWanted,
    round: usize,
    paper: &'a Paper,
    natures: &'a [Nature],
}

impl MadeUpDesk<'_> {
    fn sitting(&self, pupil: &Pupil) -> Option<Made> {
        let round = ROUNDS.get(self.round)?;
        let purpose = format!("{} in round {}", pupil.alias, self.round);
        let mut dice = Dice::new(self.wanted.seed, &purpose);
        let start = start(round.day, &mut dice)?;
        let boot = format!("invented-boot-{:016x}", dice.number());
        let morning = Morning::new(start, &boot);
        let header = Arc::new(self.header(pupil, round, start, morning.boot(), &mut dice)?);
        let gone = gone(round)?;
        let form = pupil.form(gone, &mut dice);
        let again = (0..self.round)
            .any(|before| sits(pupil.index, before) && same_questions(before, self.round));
        let hour = morning.begin(Arc::clone(&header), incident(pupil.index, self.round));
        // Chance of its own, so that what is done beside the answers changes none of them.
        let aside = Dice::new(self.wanted.seed, &format!("{purpose}, beside the answers"));
        let hour = Mind::new(hour, pupil, form, self.natures, again, [dice, aside]).sit();
        if (pupil.index, self.round) == ON_PAPER {
            return typed_in(pupil, &header, &hour);
        }
        let header = Header::clone(&header);
        let refused = hour.refused();
        let strength = pupil.middle_strength();
        Some(Made {
            header,
            events: hour.into_events(),
            strength,
            refused,
        })
    }

    fn header(
        &self,
        pupil: &Pupil,
        round: &Round,
        started: DateTime<FixedOffset>,
        boot: Boot,
        dice: &mut Dice,
    ) -> Option<Header> {
        let standard = round.part.map_or(self.paper.allowed, |(_, _, minutes)| {
            Elapsed::minutes(minutes)
        });
        let has = |who: &[usize]| who.contains(&pupil.index);
        let extra_percent = Mark::whole(if has(&EXTRA_TIME) { 25 } else { 0 });
        let sitting = sitting_id(started, dice.number());
        Some(Header {
            format: SESSION_FORMAT,
            sitting,
            pupil: Alias::new(pupil.alias).ok()?,
            mode: Mode::Timed,
            replaces: None,
            paper: self.paper.outline.clone(),
            question_fingerprints: self.paper.question_fingerprints(),
            standard,
            allowed: with_extra_time(standard, extra_percent),
            arrangements: Arrangements {
                extra_percent,
                rest_breaks: has(&RESTS),
                only: round.part.and_then(|(first, last, _)| {
                    QuestionList::range(QuestionNo(first), QuestionNo(last))
                }),
                ..Arrangements::usual(standard)
            },
            plan: (self.round >= PLANNED_FROM && round.part.is_none()).then(|| plan(extra_percent)),
            program: format!("pacebell {}", env!("CARGO_PKG_VERSION")),
            invented: true,
            started,
            boot,
        })
    }
}

fn incident(pupil: usize, round: usize) -> Option<(Elapsed, Incident)> {
    let own = INCIDENTS
        .iter()
        .find(|(who, when, ..)| (*who, *when) == (pupil, round));
    own.map(|(_, _, at, incident)| (Elapsed::seconds(*at), *incident))
}

fn date((month, day): (u32, u32)) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(2026, month, day)
}

/// How much of the season, from 0 to 1, has gone on this round's day.
fn gone(round: &Round) -> Option<f64> {
    let first = date(ROUNDS.first()?.day)?;
    let days = |round: &Round| i32::try_from((date(round.day)? - first).num_days()).ok();
    Some(f64::from(days(round)?) / f64::from(days(ROUNDS.last()?)?))
}

/// Whether two rounds ask the same questions: the older rule goes with the first paper's.
fn same_questions(one: usize, other: usize) -> bool {
    let name = |round: usize| ROUNDS.get(round).map(|round| round.sample.name == B.name);
    name(one) == name(other)
}

/// An afternoon within two days of the round's, on the clock of a country that has summer time.
fn start(day: (u32, u32), dice: &mut Dice) -> Option<DateTime<FixedOffset>> {
    let days = dice.pick(&[(0_i64, 6.0), (-1, 1.0), (1, 2.0), (2, 1.0)])?;
    let date = date(day)?.checked_add_signed(TimeDelta::days(days))?;
    let minutes = dice.pick(&[(965_u32, 5.0), (1000, 2.0), (600, 1.0)])?;
    let late = dice.seconds(20.0, 700.0);
    let late = TimeDelta::milliseconds(i64::try_from(late.as_millis()).ok()?);
    let time = NaiveTime::from_num_seconds_from_midnight_opt(minutes * 60, 0)?;
    let summer = date < NaiveDate::from_ymd_opt(2026, 10, 25)?;
    let zone = FixedOffset::east_opt(if summer { 3600 } else { 0 })?;
    let local = date.and_time(time).and_local_timezone(zone).single()?;
    Some(local + late)
}

/// The plan, stretched by the extra time.
fn plan(extra_percent: Mark) -> PacePlan {
    let stretched = |minutes: i64| {
        let hundredths = (Mark::whole(100) + extra_percent) * minutes;
        hundredths
            .steps(1)
            .map_or(Mark::whole(minutes), |steps| Mark::from_steps(steps, 100))
    };
    let checkpoints = PLAN.iter().map(|(question, minutes)| Checkpoint {
        question: QuestionNo(*question),
        minutes: stretched(*minutes),
    });
    PacePlan {
        checkpoints: checkpoints.collect(),
        leave: None,
        stay: None,
    }
}

/// The same answers as a sheet done on paper and typed in that evening.
fn typed_in(pupil: &Pupil, sat: &Header, hour: &Hour) -> Option<Made> {
    let day = sat.started.date_naive().and_time(NaiveTime::MIN);
    let started = day.and_local_timezone(*sat.started.offset()).single()?;
    let header = Header {
        mode: Mode::Entered,
        arrangements: Arrangements::usual(sat.standard),
        allowed: sat.standard,
        plan: None,
        started,
        boot: Boot {
            id: String::new(),
            zero: 0,
        },
        ..sat.clone()
    };
    let typed = sat.started.to_utc() + TimeDelta::hours(3);
    let mut wishes = Vec::new();
    for row in hour.sitting().rows() {
        let Some(given) = row.in_time else {
            continue;
        };
        wishes.push(Command::Answer(row.number, given.option));
        if given.how == How::Guessed {
            wishes.push(Command::Say(row.number, How::Guessed));
        }
    }
    wishes.push(Command::Finish);
    let mut sitting = Sitting::new(Arc::new(header.clone()));
    let (mut events, mut refused) = (Vec::new(), hour.refused());
    for wish in wishes {
        match sitting.decide(wish, Elapsed::ZERO) {
            Ok(Some(event)) => {
                sitting.apply(Elapsed::ZERO, &event);
                events.push(Stamped {
                    at: Elapsed::ZERO,
                    utc: typed,
                    event,
                });
            }
            Ok(None) => {}
            Err(_) => refused += 1,
        }
    }
    Some(Made {
        header,
        events,
        strength: pupil.middle_strength(),
        refused,
    })
}

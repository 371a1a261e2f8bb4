//! Pupils, papers and sittings by a mechanism of its own: a pupil works against the clock, question after question,
//! each takes its time, and comes out, comes out wrong, or does not come out.
//!
//! It takes nothing from the program, neither a type nor a number: its figures are invented (no source), of a size
//! that a tutor would believe. Abilities and difficulties are logits.

use std::time::Duration;

use rand::{Rng, RngExt};

/// How long a paper is, in questions and in seconds.
pub(crate) const QUESTIONS: u16 = 25;
pub(crate) const SECONDS: u64 = 3600;
/// One in so many options is right.
const OPTIONS: u32 = 5;
/// A question met before is easier by this.
const MEMORY: f64 = 0.35;

/// How far a question is from the paper's start to its end, from 0 to 1.
fn along(number: u16) -> f64 {
    (f64::from(number) - 0.5) / f64::from(QUESTIONS)
}

/// A normal deviate by the method of Box and Muller (1958, *Annals of Mathematical Statistics* 29, from memory).
pub(crate) fn normal(random: &mut impl Rng) -> f64 {
    let radius = (-2.0 * (1.0 - random.random::<f64>()).ln()).sqrt();
    radius * (std::f64::consts::TAU * random.random::<f64>()).cos()
}

fn happens(random: &mut impl Rng, chance: f64) -> bool {
    random.random::<f64>() < chance
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "seconds of an hour"
)]
fn millis(seconds: f64) -> u64 {
    (seconds * 1000.0) as u64
}

/// What a pupil does with blanks before the time is up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Blanks {
    /// Guesses them, and says so.
    Says,
    /// Guesses them, and says nothing.
    Silent,
    /// Leaves them.
    Leaves,
}

/// A world of pupils and papers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct World {
    pub(crate) name: &'static str,
    /// Abilities before the first sitting: mean and SD.
    pub(crate) ability: (f64, f64),
    /// By how much days move an ability (SD): the middle one of the pupils, and the SD of its logarithm among them.
    pub(crate) days: (f64, f64),
    /// What a sitting adds for good, mean and SD among pupils.
    pub(crate) gain: (f64, f64),
    /// What the first sittings add together, half of it the first, half of the rest the next.
    pub(crate) practice: f64,
    /// How many in a hundred say their guesses, and how many guess in silence; the others leave blanks.
    pub(crate) guesses: (u32, u32),
    /// How far papers are harder or easier as a whole (SD).
    pub(crate) papers: f64,
    /// SD of the logarithm of the questions' slopes: two-parameter items where above nought.
    pub(crate) slopes: f64,
    /// The chance that what comes out without being solved is right all the same: three-parameter items where above
    /// nought.
    pub(crate) floor: f64,
    /// What a wrong answer loses in the first, second and last section.
    pub(crate) losses: [i64; 3],
    /// Every second pair of sittings is of the papers of the pair before.
    pub(crate) again: bool,
    /// Whether pupils learn, so that a forecast must do better than any plain rule.
    pub(crate) learning: bool,
    /// Limits of the share inside the 80% interval, and of the bias as a share of the maximum.
    pub(crate) inside: (f64, f64),
    pub(crate) bias: f64,
}

/// A world without change, and what the others differ in.
const STILL: World = World {
    name: "no change",
    ability: (0.2, 1.0),
    days: (0.3, 0.3),
    gain: (0.0, 0.0),
    practice: 0.0,
    guesses: (55, 15),
    papers: 0.2,
    slopes: 0.0,
    floor: 0.0,
    losses: [0; 3],
    again: false,
    learning: false,
    inside: (0.75, 0.85),
    bias: 0.04,
};

pub(crate) const WORLDS: [World; 16] = [
    STILL,
    World {
        name: "even days",
        days: (0.15, 0.3),
        inside: (0.70, 0.88),
        ..STILL
    },
    World {
        name: "wide days",
        days: (0.6, 0.2),
        inside: (0.70, 0.88),
        ..STILL
    },
    World {
        name: "slow learners",
        gain: (0.04, 0.02),
        practice: 0.2,
        learning: true,
        ..STILL
    },
    World {
        name: "fast learners",
        gain: (0.12, 0.04),
        practice: 0.2,
        learning: true,
        bias: 0.07,
        ..STILL
    },
    World {
        name: "plateau",
        gain: (0.0, 0.01),
        practice: 0.9,
        learning: true,
        bias: 0.07,
        ..STILL
    },
    World {
        name: "decliners",
        gain: (-0.05, 0.02),
        ..STILL
    },
    World {
        name: "strong",
        ability: (1.6, 0.6),
        ..STILL
    },
    World {
        name: "weak",
        ability: (-1.0, 0.6),
        ..STILL
    },
    World {
        name: "silent guessers",
        guesses: (0, 100),
        ..STILL
    },
    World {
        name: "a third never guess",
        guesses: (67, 0),
        ..STILL
    },
    World {
        name: "penalties",
        guesses: (30, 10),
        losses: [0, 1, 2],
        ..STILL
    },
    World {
        name: "two parameters",
        slopes: 0.3,
        practice: 0.2,
        ..STILL
    },
    World {
        name: "three parameters",
        slopes: 0.3,
        floor: 0.15,
        practice: 0.2,
        ..STILL
    },
    World {
        name: "uneven papers",
        papers: 0.45,
        ..STILL
    },
    World {
        name: "papers again",
        again: true,
        practice: 0.2,
        ..STILL
    },
];

impl World {
    /// Whether a sitting is of a paper that was met before.
    pub(crate) const fn is_again(&self, sitting: u16) -> bool {
        self.again && sitting % 4 >= 2
    }
}

/// A world by its name.
pub(crate) fn world(name: &str) -> World {
    let mut all = WORLDS.iter();
    *all.find(|world| world.name == name).unwrap()
}

/// One of a world's pupils.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pupil {
    ability: f64,
    days: f64,
    gain: f64,
    /// How many times as long as most they take.
    pace: f64,
    /// How much of what does not come out ends as a wrong answer.
    wrong: f64,
    pub(crate) blanks: Blanks,
}

impl Pupil {
    pub(crate) fn of(world: &World, random: &mut impl Rng) -> Self {
        let said = random.random_range(0..100);
        let (says, silent) = world.guesses;
        Self {
            ability: world.ability.0 + world.ability.1 * normal(random),
            days: world.days.0 * (world.days.1 * normal(random)).exp(),
            gain: world.gain.0 + world.gain.1 * normal(random),
            pace: 1.05 * (0.2 * normal(random)).exp(),
            wrong: 0.3 + 0.5 * random.random::<f64>(),
            blanks: match said {
                said if said < says => Blanks::Says,
                said if said < says + silent => Blanks::Silent,
                _ => Blanks::Leaves,
            },
        }
    }

    /// The ability at a sitting, the first being 0, apart from the day.
    fn at(&self, world: &World, sitting: u16) -> f64 {
        let come = 1.0 - 0.5_f64.powi(i32::from(sitting));
        self.ability + self.gain * f64::from(sitting) + world.practice * come
    }
}

/// A question.
#[derive(Clone, Copy, Debug)]
struct Item {
    difficulty: f64,
    slope: f64,
    seconds: f64,
}

/// The marks of a right and of a wrong answer; a blank has none.
fn marks(world: &World, number: u16) -> (i64, i64) {
    match number {
        ..=10 => (4, -world.losses[0]),
        11..=20 => (5, -world.losses[1]),
        _ => (7, -world.losses[2]),
    }
}

/// The questions of a paper, in order.
#[derive(Clone, Debug)]
pub(crate) struct Items(Vec<Item>);

impl Items {
    pub(crate) fn of(world: &World, random: &mut impl Rng) -> Self {
        let whole = world.papers * normal(random);
        let item = |number| Item {
            difficulty: -2.1 + 3.7 * along(number) + whole + 0.75 * normal(random),
            slope: (world.slopes * normal(random)).exp(),
            seconds: 144.0 * (0.35 + 1.2 * along(number)) * (0.25 * normal(random)).exp(),
        };
        Self((1..=QUESTIONS).map(item).collect())
    }
}

/// What a pupil does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Move {
    Opens(u16),
    /// Chooses the right option, or a wrong one.
    Answers(u16, bool),
    SaysGuess(u16),
    Finishes,
    IsStopped,
}

/// A sitting: what was done at which millisecond, and the mark of it.
#[derive(Clone, Debug)]
pub(crate) struct Sat {
    pub(crate) moves: Vec<(u64, Move)>,
    pub(crate) mark: i64,
}

/// The order of going, and whether blanks are filled whatever the habit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Way<'a> {
    /// These first, in this order; then the others.
    pub(crate) first: &'a [u16],
    pub(crate) fills: bool,
}

impl Way<'_> {
    /// In order, blanks by habit.
    pub(crate) const OWN: Self = Self {
        first: &[],
        fills: false,
    };
}

/// A pupil at a paper: the day and the luck with each question are settled, whatever the order of going.
#[derive(Clone, Debug)]
pub(crate) struct Hour {
    /// Each question's seconds, and what comes of it: right, wrong or nothing.
    tries: Vec<(f64, Option<bool>)>,
    /// Whether a blind guess at it is right.
    lucky: Vec<bool>,
    glance: f64,
}

impl Hour {
    /// A sitting of new questions, or of a paper that was met before.
    pub(crate) fn of(
        world: &World,
        pupil: &Pupil,
        (sitting, again): (u16, bool),
        random: &mut impl Rng,
    ) -> Self {
        let items = Items::of(world, random);
        Self::on(&items, world, pupil, (sitting, again), random)
    }

    /// The same on questions that are given.
    pub(crate) fn on(
        items: &Items,
        world: &World,
        pupil: &Pupil,
        (sitting, again): (u16, bool),
        random: &mut impl Rng,
    ) -> Self {
        let met = if again { MEMORY } else { 0.0 };
        let ability = pupil.at(world, sitting) + met + pupil.days * normal(random);
        let pace = pupil.pace * (0.07 * normal(random)).exp();
        let tries = items.0.iter().map(|item| {
            let logit = item.slope * (ability - item.difficulty);
            let solves = happens(random, 1.0 / (1.0 + (-logit).exp()));
            let seconds = item.seconds * pace * (0.35 * normal(random)).exp();
            let (offers, strikes) = (happens(random, pupil.wrong), happens(random, world.floor));
            match (solves, offers) {
                (true, _) => (seconds.max(12.0), Some(true)),
                (false, true) => (seconds.max(12.0), Some(strikes)),
                (false, false) => ((0.8 * seconds).clamp(15.0, 260.0), None),
            }
        });
        let tries = tries.collect();
        let lucky = (0..QUESTIONS).map(|_| random.random_ratio(1, OPTIONS));
        Self {
            tries,
            lucky: lucky.collect(),
            glance: 2.0 + 2.0 * random.random::<f64>(),
        }
    }

    /// Whether whoever fills blanks would fill this one: not where that loses on average.
    fn is_worth(world: &World, number: u16) -> bool {
        let (right, wrong) = marks(world, number);
        right + i64::from(OPTIONS - 1) * wrong > 0
    }

    /// The sitting.
    pub(crate) fn sat(&self, world: &World, blanks: Blanks, way: Way<'_>) -> Sat {
        let fills = way.fills || blanks != Blanks::Leaves;
        let mut order = way.first.to_vec();
        order.extend((1..=QUESTIONS).filter(|number| !way.first.contains(number)));
        let end = Duration::from_secs(SECONDS).as_secs_f64();
        let (mut at, mut moves, mut mark) = (0.0, Vec::new(), 0_i64);
        let mut blank: Vec<u16> = (1..=QUESTIONS).collect();
        for number in order {
            let (seconds, came) = self.tries[usize::from(number) - 1];
            let left = blank.iter().filter(|own| Self::is_worth(world, **own));
            let kept = if fills {
                self.glance * f64::from(u32::try_from(left.count()).unwrap()) + 5.0
            } else {
                0.0
            };
            let room = end - at - kept;
            if room < 5.0 {
                break;
            }
            moves.push((millis(at), Move::Opens(number)));
            at += seconds.min(room);
            let Some(right) = came.filter(|_| seconds < room) else {
                continue;
            };
            moves.push((millis(at), Move::Answers(number, right)));
            let (won, lost) = marks(world, number);
            mark += if right { won } else { lost };
            blank.retain(|own| *own != number);
        }
        if fills {
            for number in blank.into_iter().filter(|own| Self::is_worth(world, *own)) {
                let right = self.lucky[usize::from(number) - 1];
                moves.push((millis(at), Move::Opens(number)));
                at += self.glance * 0.8;
                moves.push((millis(at), Move::Answers(number, right)));
                if blanks == Blanks::Says {
                    moves.push((millis(at), Move::SaysGuess(number)));
                }
                at += self.glance * 0.2;
                let (won, lost) = marks(world, number);
                mark += if right { won } else { lost };
            }
        }
        if at < end {
            moves.push((millis(at), Move::Finishes));
        } else {
            moves.push((SECONDS * 1000, Move::IsStopped));
        }
        Sat { moves, mark }
    }
}

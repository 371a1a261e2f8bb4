//! Odd logs, made up at random.

use std::fmt;
use std::path::Path;
use std::sync::{Arc, OnceLock};

use chrono::TimeDelta;
use pacebell::analysis::{Analysis, Studied};
use pacebell::domain::event::{AwayClock, Ending, Event, How, Stamped, Stop};
use pacebell::domain::header::{
    Arrangements, Boot, Checkpoint, Header, Mode, PacePlan, with_extra_time,
};
use pacebell::domain::key::{Key, Void};
use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::Paper;
use pacebell::domain::questions::QuestionList;
use pacebell::domain::rule::{QuestionNo, Rule, Section};
use pacebell::domain::time::Elapsed;
use pacebell::storage::files;
use pacebell::storage::journal::line::{self, Chain};
use pacebell::storage::journal::recover;
use proptest::prelude::*;

use crate::{sat, written};

/// The paper that is sat, with its key.
pub(crate) fn paper() -> &'static (Arc<Paper>, Key) {
    static PAPER: OnceLock<(Arc<Paper>, Key)> = OnceLock::new();
    PAPER.get_or_init(|| {
        let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
        let paper = files::paper::load(&dir.join("saltmarsh-a.paper.ron")).unwrap();
        let key = files::key::load(&dir.join("saltmarsh-a.key.ron")).unwrap();
        (Arc::new(paper), key)
    })
}

/// A log, its header, and the key it is held against.
#[derive(Clone)]
pub(crate) struct Odd {
    pub(crate) header: Header,
    pub(crate) log: Vec<Stamped>,
    pub(crate) key: Key,
    /// Whether the review has the key and the paper.
    pub(crate) key_at_hand: bool,
}

impl fmt::Debug for Odd {
    /// What is needed to write it down as a test of its own, and nothing of the paper.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let header = &self.header;
        writeln!(f, "format {}, {:?}", header.format, header.mode)?;
        writeln!(
            f,
            "standard {}, allowed {}",
            header.standard.0, header.allowed.0
        )?;
        writeln!(f, "{:?}, {:?}", header.arrangements, header.plan)?;
        writeln!(
            f,
            "on screen {}, start {}",
            header.paper.on_screen, header.paper.rule.start
        )?;
        writeln!(f, "voids {:?}", self.key.voids)?;
        let mut events = self.log.iter();
        events.try_for_each(|own| writeln!(f, "({}, {:?})", own.at.0, own.event))
    }
}

impl Odd {
    /// The paper of the shelf, with this log's header around these events.
    pub(crate) fn of(header: Header, events: Vec<(u64, Event)>) -> Self {
        let stamp = |(at, event): (u64, Event)| {
            let millis = i64::try_from(at).ok().map(TimeDelta::milliseconds);
            let start = header.started.to_utc();
            let utc = millis.and_then(|span| start.checked_add_signed(span));
            Stamped {
                at: Elapsed(at),
                utc: utc.unwrap_or(start),
                event,
            }
        };
        let mut log: Vec<_> = events.into_iter().map(stamp).collect();
        log.retain(|stamped| stamped.event.format() <= header.format);
        if line::is_sealed_in(header.format) {
            let end = log.iter().position(|s| matches!(s.event, Event::Closed(_)));
            log.truncate(end.map_or(log.len(), |end| end + 1));
        }
        Self {
            header,
            log,
            key: paper().1.clone(),
            key_at_hand: true,
        }
    }

    /// What the log tells.
    pub(crate) fn analysis(&self) -> Analysis {
        let log = self.log.as_slice().into();
        Analysis::of(Arc::new(self.header.clone()), log, Arc::default())
    }

    /// The same with its paper and its key.
    pub(crate) fn studied(&self) -> Studied {
        Studied {
            paper: Some(Arc::clone(&paper().0)),
            ..Studied::new(self.analysis(), Some(Arc::new(self.key.clone())))
        }
    }

    /// The file that holds it.
    pub(crate) fn text(&self) -> String {
        written::file(&self.header, &self.log)
    }

    /// A log that no file can hold says nothing of the program.
    pub(crate) fn is_taken_by_the_reader(&self) {
        let found = recover::scan(self.text().as_bytes()).unwrap();
        assert_eq!(found.damage, None);
        assert_eq!(found.torn, None);
        assert_eq!(found.header, self.header);
        assert!(found.events.len() == self.log.len());
    }
}

/// A header of a sitting of the whole paper, an hour long.
pub(crate) fn header() -> Header {
    let paper = &paper().0;
    Header {
        question_fingerprints: paper.question_fingerprints(),
        ..sat::header("otter", paper)
    }
}

pub(crate) fn boot() -> Boot {
    header().boot
}

pub(crate) fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

/// A rule that takes marks away and pays for blanks.
fn harsh() -> Rule {
    let section = |name: &str, first, last, right: &str, wrong: &str, blank: &str| Section {
        name: name.into(),
        first: QuestionNo(first),
        last: QuestionNo(last),
        right: right.parse().unwrap(),
        wrong: wrong.parse().unwrap(),
        blank: blank.parse().unwrap(),
    };
    Rule {
        start: Mark::whole(3),
        sections: vec![
            section("first", 1, 10, "4", "-1/4", "0"),
            section("last", 11, 25, "6", "-2", "3/2"),
        ],
    }
}

fn lists() -> impl Strategy<Value = Option<QuestionList>> {
    let lists = vec![
        "1-10,13", "13", "1-25", "20-25", "2,4,6,8", "24-40", "26-30",
    ];
    let list = |text: &str| QuestionList::read(text).unwrap();
    prop::option::of(prop::sample::select(lists).prop_map(list))
}

fn plans() -> impl Strategy<Value = Option<PacePlan>> {
    let checkpoint = (1_u16..=25, 0_i64..=70).prop_map(|(question, minutes)| Checkpoint {
        question: QuestionNo(question),
        minutes: Mark::whole(minutes),
    });
    let checkpoints = prop::collection::vec(checkpoint, 0..4);
    let stay = prop::option::of((0_u64..600_000).prop_map(Elapsed));
    let plan = (checkpoints, lists(), stay).prop_map(|(mut checkpoints, leave, stay)| {
        checkpoints.sort_by_key(|point| (point.question, point.minutes));
        PacePlan {
            checkpoints,
            leave,
            stay,
        }
    });
    prop::option::weighted(0.3, plan)
}

fn headers() -> impl Strategy<Value = Header> {
    let standard = prop_oneof![
        4 => Just(Elapsed::minutes(60)),
        2 => Just(Elapsed::minutes(10)),
        1 => Just(Elapsed(1)),
        1 => Just(Elapsed::minutes(24 * 60)),
    ];
    let extra = prop::sample::select(vec!["0", "0", "25", "12.5", "100"]);
    let remind = prop::sample::select(vec![0, 1, 180_000, u64::MAX]);
    (
        (1_u32..=2, standard, extra, remind),
        (lists(), plans(), prop::option::weighted(0.3, Just(harsh()))),
        any::<[bool; 5]>(),
        prop::bool::weighted(0.1),
    )
        .prop_map(|(times, (only, plan, rule), flags, typed)| {
            let (format, standard, extra, remind) = times;
            let [rest_breaks, sleep_counts, away_counts, invented, on_screen] = flags;
            let extra_percent: Mark = extra.parse().unwrap();
            let mut header = Header {
                format,
                standard,
                allowed: with_extra_time(standard, extra_percent),
                arrangements: Arrangements {
                    extra_percent,
                    rest_breaks,
                    sleep_counts,
                    away_counts,
                    remind_before: Elapsed(remind),
                    only,
                },
                plan,
                invented,
                ..header()
            };
            header.paper.on_screen = on_screen;
            if let Some(rule) = rule {
                header.paper.rule = rule;
            }
            if typed {
                header.mode = Mode::Entered;
            }
            // What an older file cannot say, a newer one does.
            if line::write_header(&header, &mut Chain::default()).is_err() || !is_read_back(&header)
            {
                header.format = 2;
            }
            header
        })
}

fn is_read_back(header: &Header) -> bool {
    let text = line::write_header(header, &mut Chain::default()).unwrap();
    recover::scan(text.as_bytes()).is_ok_and(|scan| scan.header == *header)
}

fn questions() -> impl Strategy<Value = QuestionNo> {
    prop_oneof![12 => 1_u16..=25, 1 => 0_u16..=30].prop_map(QuestionNo)
}

fn options() -> impl Strategy<Value = Label> {
    prop::sample::select(vec!['A', 'B', 'C', 'D', 'E', 'E', 'D', 'Z']).prop_map(label)
}

/// A pause in milliseconds.
fn pauses() -> impl Strategy<Value = u64> {
    prop_oneof![
        3 => Just(0),
        3 => 1_u64..4000,
        3 => 4000_u64..400_000,
        1 => 0_u64..100_000_000,
        1 => prop::sample::select(vec![u64::MAX, u64::MAX / 2, 1 << 53, i64::MAX as u64]),
    ]
}

/// An event after a pause; its own times are pauses too, until its moment is known.
#[derive(Clone, Debug)]
enum Bit {
    One(u64, Event),
    /// A question opened, and answered at the end of the stay.
    Stay(QuestionNo, u64, Option<Label>, How),
    /// Some questions keyed in one after another, so many milliseconds apart.
    Row(u16, u16, u64),
}

fn events() -> impl Strategy<Value = Event> {
    let hows = prop::sample::select(vec![How::Worked, How::Unsure, How::Guessed, How::Filled]);
    let stops = prop::sample::select(vec![
        Stop::TerminalLost,
        Stop::Left,
        Stop::LeftByKey,
        Stop::LeftBySignal,
        Stop::Panic,
    ]);
    let clocks = prop::sample::select(vec![AwayClock::Exact, AwayClock::Wall, AwayClock::Unknown]);
    let endings = prop::sample::select(vec![
        Ending::FinishedEarly,
        Ending::TimeUp,
        Ending::GuessRoundDone,
        Ending::Abandoned,
        Ending::Entered,
    ]);
    let single = prop::sample::select(vec![
        Event::ClockHidden,
        Event::ClockShown,
        Event::SweepBegun,
        Event::SweepLeft,
        Event::GuessRoundStarted,
    ]);
    let rests = prop::sample::select(vec![Event::BreakStarted, Event::BreakEnded]);
    let resumed = (
        pauses(),
        any::<bool>(),
        clocks,
        prop::option::of(stops.clone()),
    );
    let resumed = resumed.prop_map(|(since, counts, clock, left)| Event::Resumed {
        since: Elapsed(since),
        counts,
        clock,
        boot: boot(),
        left,
    });
    let slept = (pauses(), any::<bool>()).prop_map(|(span, counts)| Event::Slept {
        span: Elapsed(span),
        counts,
    });
    let filled = prop::collection::vec((questions(), options()), 0..4)
        .prop_map(|answers| Event::Filled { seed: 1, answers });
    prop_oneof![
        6 => questions().prop_map(Event::Opened),
        6 => (questions(), options()).prop_map(|(q, o)| Event::Answered(q, o)),
        2 => questions().prop_map(Event::RubbedOut),
        1 => questions().prop_map(Event::Skipped),
        1 => questions().prop_map(Event::Flagged),
        1 => questions().prop_map(Event::Unflagged),
        2 => (questions(), hows).prop_map(|(q, how)| Event::Said(q, how)),
        1 => (questions(), options()).prop_map(|(q, o)| Event::CrossedOut(q, o)),
        1 => (questions(), options()).prop_map(|(q, o)| Event::CrossedBack(q, o)),
        2 => single,
        3 => rests,
        1 => slept,
        1 => pauses().prop_map(|span| Event::Stalled { span: Elapsed(span) }),
        1 => any::<i64>().prop_map(|millis| Event::ClockChanged { millis }),
        1 => stops.prop_map(Event::Interrupted),
        2 => resumed,
        1 => pauses().prop_map(|due| Event::TimeUp { due: Elapsed(due) }),
        1 => filled,
        1 => endings.prop_map(Event::Closed),
    ]
}

fn bits() -> impl Strategy<Value = Bit> {
    let hows = prop::sample::select(vec![How::Worked, How::Worked, How::Unsure, How::Guessed]);
    let stay = (
        questions(),
        0_u64..900_000,
        prop::option::of(options()),
        hows,
    );
    prop_oneof![
        4 => (pauses(), events()).prop_map(|(pause, event)| Bit::One(pause, event)),
        4 => stay.prop_map(|(q, millis, option, how)| Bit::Stay(q, millis, option, how)),
        1 => (1_u16..=25, 1_u16..=25, 0_u64..12_000)
            .prop_map(|(first, count, apart)| Bit::Row(first, count, apart)),
    ]
}

/// The bits one after another; `still` keeps all of it at the first moment.
fn played(bits: Vec<Bit>, allowed: Elapsed, still: bool) -> Vec<(u64, Event)> {
    let mut at = 0_u64;
    let mut events = Vec::new();
    let mut put = |pause: u64, event: Event| {
        at = at.saturating_add(if still { 0 } else { pause });
        let event = match event {
            // One in two comes at its moment, as a real one does.
            Event::TimeUp { due } if due.0 % 2 == 0 => Event::TimeUp {
                due: allowed.min(Elapsed(at)),
            },
            Event::Resumed {
                since,
                counts,
                clock,
                boot,
                left,
            } if since.0 % 2 == 0 => Event::Resumed {
                since: Elapsed(at.saturating_sub(since.0)),
                counts,
                clock,
                boot,
                left,
            },
            other => other,
        };
        events.push((at, event));
    };
    for bit in bits {
        match bit {
            Bit::One(pause, event) => put(pause, event),
            Bit::Stay(question, millis, option, how) => {
                put(0, Event::Opened(question));
                match option {
                    Some(option) => put(millis, Event::Answered(question, option)),
                    None => put(millis, Event::Skipped(question)),
                }
                if how != How::Worked {
                    put(0, Event::Said(question, how));
                }
            }
            Bit::Row(first, count, apart) => {
                for number in first..first.saturating_add(count) {
                    put(0, Event::Opened(QuestionNo(number)));
                    put(apart, Event::Answered(QuestionNo(number), label('C')));
                }
            }
        }
    }
    events
}

fn endings() -> impl Strategy<Value = Vec<Event>> {
    let due = Elapsed::minutes(60);
    let ways = vec![
        vec![],
        vec![Event::Closed(Ending::FinishedEarly)],
        vec![Event::Closed(Ending::Abandoned)],
        vec![Event::TimeUp { due }, Event::Closed(Ending::TimeUp)],
        vec![
            Event::TimeUp { due },
            Event::GuessRoundStarted,
            Event::Answered(QuestionNo(25), label('B')),
            Event::Filled {
                seed: 7,
                answers: vec![(QuestionNo(24), label('D')), (QuestionNo(3), label('A'))],
            },
            Event::Closed(Ending::GuessRoundDone),
        ],
        vec![Event::BreakStarted, Event::TimeUp { due }],
        vec![Event::BreakStarted, Event::Closed(Ending::Abandoned)],
        vec![Event::SweepBegun],
    ];
    prop::sample::select(ways)
}

fn voids() -> impl Strategy<Value = Vec<(u16, Void)>> {
    let void = prop::sample::select(vec![Void::Dropped, Void::Credited]);
    prop::collection::vec((1_u16..=25, void), 0..3)
}

/// An odd log with its header and key.
pub(crate) fn odd() -> impl Strategy<Value = Odd> {
    let bits = prop_oneof![
        3 => prop::collection::vec(bits(), 0..12),
        2 => prop::collection::vec(bits(), 10..60),
    ];
    let still = prop::bool::weighted(0.15);
    let rest = (still, endings(), voids(), any::<bool>());
    (headers(), bits, rest).prop_map(|(header, bits, (still, ending, voids, key_at_hand))| {
        let ending = ending.into_iter().map(|event| Bit::One(1500, event));
        let bits = bits.into_iter().chain(ending).collect();
        let events = played(bits, header.allowed, still);
        let mut odd = Odd::of(header, events);
        odd.key_at_hand = key_at_hand;
        odd.key.voids = voids
            .into_iter()
            .map(|(number, void)| (QuestionNo(number), void))
            .collect();
        odd
    })
}

//! Every invented sitting was lived through the core, and everything that can happen does.

use std::collections::BTreeSet;
use std::sync::Arc;

use pacebell::domain::event::{Ending, Event, Stamped};
use pacebell::domain::header::Mode;
use pacebell::domain::sitting::{Command, Notice, Sitting};
use pacebell::domain::time::Elapsed;
use pacebell::invented::{MOST_PUPILS, MOST_SITTINGS, Made, SittingWanted, season};

pub(crate) fn made(seed: u64, pupils: usize) -> Vec<Made> {
    let wanted = SittingWanted {
        seed,
        pupils,
        sittings: MOST_SITTINGS,
    };
    season(wanted).unwrap()
}

/// What somebody wished, or the program noticed, for this to have been recorded.
enum Cause {
    Wish(Command),
    Noticed(Notice),
}

fn cause(event: &Event) -> Cause {
    Cause::Wish(match event.clone() {
        Event::Opened(question) => Command::Open(question),
        Event::Answered(question, option) => Command::Answer(question, option),
        Event::RubbedOut(question) => Command::RubOut(question),
        Event::Skipped(question) => Command::Skip(question),
        Event::Flagged(question) | Event::Unflagged(question) => Command::Flag(question),
        Event::Said(question, how) => Command::Say(question, how),
        Event::CrossedOut(question, option) | Event::CrossedBack(question, option) => {
            Command::CrossOut(question, option)
        }
        Event::ClockHidden => Command::HideClock,
        Event::ClockShown => Command::ShowClock,
        Event::SweepBegun => Command::BeginSweep,
        Event::SweepLeft => Command::LeaveSweep,
        Event::BreakStarted => Command::StartBreak,
        Event::BreakEnded => Command::EndBreak,
        Event::TimeUp { .. } => Command::Tick,
        Event::GuessRoundStarted => Command::StartGuessRound,
        Event::Filled { seed, answers } => Command::Fill { seed, answers },
        Event::Closed(Ending::Abandoned) => Command::Abandon,
        Event::Closed(_) => Command::Finish,
        Event::Slept { span, .. } => return Cause::Noticed(Notice::Slept(span)),
        Event::Stalled { span } => return Cause::Noticed(Notice::Stalled(span)),
        Event::ClockChanged { millis } => return Cause::Noticed(Notice::ClockChanged(millis)),
        Event::Interrupted(stop) => return Cause::Noticed(Notice::Interrupt(stop)),
        Event::Resumed {
            since, clock, boot, ..
        } => return Cause::Noticed(Notice::Resume { since, clock, boot }),
        other => panic!("{other:?} is new: say here where it comes from"),
    })
}

#[test]
fn the_core_gives_every_event_again_from_its_wish() {
    for one in made(1, MOST_PUPILS) {
        assert_eq!(one.refused, 0, "{}", one.header.sitting);
        let mut sitting = Sitting::new(Arc::new(one.header));
        let mut latest = Elapsed::ZERO;
        for Stamped { at, event, .. } in &one.events {
            assert!(*at >= latest);
            latest = *at;
            let given = match cause(event) {
                Cause::Wish(command) => sitting.decide(command, *at).unwrap(),
                Cause::Noticed(notice) => sitting.note(notice),
            };
            assert_eq!(given.as_ref(), Some(event), "{}", sitting.header().sitting);
            sitting.apply(*at, event);
        }
    }
}

/// The names of the events, as the source has them.
fn kinds() -> BTreeSet<String> {
    let source = include_str!("../../src/domain/event.rs");
    let (_, body) = source.split_once("pub enum Event {").unwrap();
    let (body, _) = body.split_once("\n}").unwrap();
    let named = |line: &&str| {
        let own = line.strip_prefix("    ");
        own.is_some_and(|own| own.starts_with(char::is_uppercase))
    };
    let name = |line: &str| {
        line.trim()
            .chars()
            .take_while(|c| c.is_alphanumeric())
            .collect()
    };
    body.lines().filter(named).map(name).collect()
}

fn kind(event: &Event) -> String {
    let text = format!("{event:?}");
    text.chars().take_while(|c| c.is_alphanumeric()).collect()
}

#[test]
fn everything_that_can_happen_happens_in_a_season_of_twelve() {
    assert!(kinds().len() >= 18, "{:?}", kinds());
    for seed in 1..=8 {
        let season = made(seed, 12);
        let events = || season.iter().flat_map(|one| &one.events);
        let found: BTreeSet<_> = events().map(|stamped| kind(&stamped.event)).collect();
        assert_eq!(found, kinds(), "seed {seed}");
        for ending in [
            Ending::FinishedEarly,
            Ending::TimeUp,
            Ending::GuessRoundDone,
            Ending::Abandoned,
            Ending::Entered,
        ] {
            let ends = |stamped: &Stamped| stamped.event == Event::Closed(ending);
            assert!(events().any(ends), "seed {seed}: no {ending:?}");
        }
    }
}

#[test]
fn what_goes_wrong_goes_wrong_once_and_to_known_pupils() {
    let season = made(1, 12);
    let with = |wanted: &dyn Fn(&Event) -> bool| {
        let has = |one: &&Made| one.events.iter().any(|stamped| wanted(&stamped.event));
        season.iter().filter(has).count()
    };
    assert_eq!(with(&|event| matches!(event, Event::Slept { .. })), 1);
    assert_eq!(with(&|event| matches!(event, Event::Stalled { .. })), 1);
    assert_eq!(
        with(&|event| matches!(event, Event::ClockChanged { .. })),
        1
    );
    assert_eq!(with(&|event| matches!(event, Event::Resumed { .. })), 3);
    assert_eq!(with(&|event| *event == Event::Closed(Ending::Abandoned)), 1);
    let open = |one: &&Made| !matches!(one.events.last().unwrap().event, Event::Closed(_));
    let open: Vec<_> = season.iter().filter(open).collect();
    assert_eq!(open.len(), 1);
    assert!(matches!(
        open[0].events.last().unwrap().event,
        Event::Interrupted(_)
    ));
    let typed = season.iter().filter(|one| one.header.mode == Mode::Entered);
    assert_eq!(typed.count(), 1);
    let longer = |one: &&Made| one.header.allowed > one.header.standard;
    let pupils: BTreeSet<_> = season
        .iter()
        .filter(longer)
        .map(|one| &one.header.pupil)
        .collect();
    assert_eq!(pupils.len(), 2);
}

#[test]
fn every_sitting_says_that_it_is_invented_and_has_an_id_of_its_own() {
    let season = made(1, MOST_PUPILS);
    assert!(season.iter().all(|one| one.header.invented));
    let ids: BTreeSet<_> = season.iter().map(|one| &one.header.sitting).collect();
    assert_eq!(ids.len(), season.len());
    let version = format!("pacebell {}", env!("CARGO_PKG_VERSION"));
    assert!(season.iter().all(|one| one.header.program == version));
    // A real machine's boot has another name, so nobody's clock is taken for this one.
    let made_up = |one: &Made| {
        one.header.boot.id.starts_with("invented-") || one.header.mode == Mode::Entered
    };
    assert!(season.iter().all(made_up));
}

#[test]
fn a_seed_is_a_season_and_one_pupil_more_changes_nobody_else() {
    let twelve = made(5, 12);
    assert_eq!(twelve, made(5, 12));
    assert_ne!(twelve, made(6, 12));
    let three = made(5, 3);
    assert!(twelve.starts_with(&three) && !three.is_empty());
}

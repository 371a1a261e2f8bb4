//! Keys and lines around time up: nothing after it counts in time, and no guess comes unasked.

use std::sync::Arc;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use pacebell::dialogue::Act;
use pacebell::domain::event::Event;
use pacebell::domain::paper::Paper;
use pacebell::domain::sitting::{Command, Phase, Sitting};
use pacebell::domain::time::Elapsed;
use pacebell::plain::Plain;
use pacebell::screens::sitting::{Ask, Desk as PageDesk, Model, SaveState, opening, update};
use pacebell::screens::theme::Theme;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use ratatui::layout::Size;

use crate::desk::{header, paper, scene};

/// Ten minutes are allowed.
const DUE: u64 = 600_000;

/// A sitting and its log; every act is asked of it at its own moment, as the shell does.
struct Shell {
    paper: Paper,
    sitting: Sitting,
    log: Vec<(Elapsed, Event)>,
}

impl Shell {
    fn new() -> Self {
        let paper = paper("ABCDE");
        let sitting = Sitting::new(Arc::new(header(&paper)));
        Self {
            paper,
            sitting,
            log: Vec::new(),
        }
    }

    fn does(&mut self, acts: Vec<Act>, at: Elapsed, seen: Phase) {
        for act in acts {
            match act {
                Act::Wish(command) => {
                    self.ticks(at);
                    let late = seen == Phase::Running && self.sitting.phase() == Phase::TimeUp;
                    if late && command != Command::Tick {
                        return;
                    }
                    match self.sitting.decide(command, at) {
                        Ok(Some(event)) => self.records(at, event),
                        Ok(None) => {}
                        Err(_refused) => return,
                    }
                }
                Act::FillBlanks(_) | Act::Leave => panic!("nothing of that is asked here"),
            }
        }
    }

    /// What the thread that keeps the time does.
    fn ticks(&mut self, at: Elapsed) {
        if let Ok(Some(event)) = self.sitting.decide(Command::Tick, at) {
            self.records(at, event);
        }
    }

    fn records(&mut self, at: Elapsed, event: Event) {
        self.sitting.apply(at, &event);
        self.log.push((at, event));
    }

    /// No answer was taken at or after the moment, and nothing was guessed.
    fn is_as_it_should_be(&self, told: &str) {
        for (at, event) in &self.log {
            let answers = matches!(
                event,
                Event::Answered(..) | Event::RubbedOut(_) | Event::Said(..)
            );
            assert!(!answers || at.as_millis() < DUE, "{told}: {:?}", self.log);
        }
        assert_eq!(self.sitting.phase(), Phase::TimeUp, "{told}");
        assert!(
            self.sitting
                .rows()
                .iter()
                .all(|row| row.after_time.is_none()),
            "{told}"
        );
        let due = self.sitting.due().unwrap();
        assert_eq!(due.as_millis(), DUE, "{told}");
    }
}

/// A dozen moments within a tenth of a second of time up, in order, and when the clock is looked at.
fn moments(chance: &mut ChaCha8Rng) -> (Vec<u64>, u64) {
    let mut moments: Vec<u64> = (0..12)
        .map(|_| chance.random_range(DUE - 100..=DUE + 100))
        .collect();
    moments.sort_unstable();
    (moments, chance.random_range(DUE..DUE + 120))
}

#[test]
fn five_hundred_sittings_with_keys_around_time_up() {
    use KeyCode::{Char, Enter};
    let keys = [
        'a', 'b', 'C', 'd', 'e', 'g', 'f', 'y', '!', '/', ' ', '?', '-', '*', ',',
    ];
    let (mut in_time, mut too_late) = (0, 0);
    for seed in 0..500 {
        let mut chance = ChaCha8Rng::seed_from_u64(seed);
        let mut shell = Shell::new();
        let mut model = Model::new();
        let (moments, looked) = moments(&mut chance);
        let press = |shell: &mut Shell, model: &mut Model, at: u64, code: KeyCode| {
            let at = Elapsed(at);
            let sitting = shell.sitting.clone();
            let page = PageDesk {
                sitting: &sitting,
                paper: Some(&shell.paper.clone()),
                at,
                saved: SaveState::Saved,
                advice: &[],
                theme: Theme::plain(),
                size: Size::new(80, 24),
            };
            let asked = if at == Elapsed::ZERO {
                opening(model, &page)
            } else {
                update(model, &page, KeyEvent::new(code, KeyModifiers::NONE))
            };
            if let Some(Ask::Acts(acts)) = asked {
                shell.does(acts, at, sitting.phase());
            }
        };
        press(&mut shell, &mut model, 0, Enter);
        for at in moments {
            if at >= looked {
                shell.ticks(Elapsed(at));
            }
            let code = match chance.random_range(0..keys.len() + 4) {
                index if index < keys.len() => Char(keys[index]),
                _ => Enter,
            };
            press(&mut shell, &mut model, at, code);
            if at < DUE {
                in_time += 1;
            } else {
                too_late += 1;
            }
        }
        shell.ticks(Elapsed(DUE + 120));
        let told = format!("seed {seed}");
        shell.is_as_it_should_be(&told);
        // A second later G, then Enter, begins the round, and not before.
        let latest = shell.sitting.latest().as_millis();
        press(&mut shell, &mut model, latest + 999, Char('g'));
        press(&mut shell, &mut model, latest + 999, Enter);
        shell.is_as_it_should_be(&told);
        if shell.sitting.blanks().next().is_some() {
            press(&mut shell, &mut model, latest + 1200, Char('g'));
            shell.is_as_it_should_be(&told);
            press(&mut shell, &mut model, latest + 1400, Enter);
            assert_eq!(shell.sitting.phase(), Phase::GuessRound, "{told}");
        }
    }
    assert!(in_time > 2000 && too_late > 2000, "{in_time} {too_late}");
}

#[test]
fn five_hundred_sittings_with_lines_around_time_up() {
    let lines = [
        "a", "C", "guess", "g", "finish", "y", "sweep", "4b", "", "next", "fill",
    ];
    for seed in 0..500 {
        let mut chance = ChaCha8Rng::seed_from_u64(seed);
        let mut shell = Shell::new();
        let start = scene(&shell.sitting, &shell.paper, Elapsed::ZERO);
        let mut plain = Plain::new(&start);
        let acts = plain.opening(&start).acts;
        shell.does(acts, Elapsed::ZERO, Phase::Running);
        let (moments, looked) = moments(&mut chance);
        for at in moments {
            let at = Elapsed(at);
            if at.as_millis() >= looked {
                while plain
                    .passing(&scene(&shell.sitting, &shell.paper, at))
                    .is_some()
                {}
                shell.ticks(at);
            }
            let line = lines[chance.random_range(0..lines.len())];
            let seen = shell.sitting.phase();
            let sitting = shell.sitting.clone();
            // Finishing is a pupil's own doing, in time; here it would end what is tried.
            let asks = plain.line(&scene(&sitting, &shell.paper, at), line).acts;
            let ends = |act: &Act| *act == Act::Wish(Command::Finish);
            if at.as_millis() < DUE && asks.iter().any(ends) {
                continue;
            }
            shell.does(asks, at, seen);
        }
        shell.ticks(Elapsed(DUE + 120));
        shell.is_as_it_should_be(&format!("seed {seed}"));
    }
}

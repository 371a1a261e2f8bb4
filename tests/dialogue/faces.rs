//! One script of moves, given to the pages as keys and to the lines as words: the same log.

use std::sync::Arc;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use pacebell::dialogue::Act;
use pacebell::domain::event::Event;
use pacebell::domain::labels::Label;
use pacebell::domain::paper::Paper;
use pacebell::domain::sitting::{Command, Phase, Sitting};
use pacebell::domain::time::Elapsed;
use pacebell::screens::sitting::{Ask, Desk as PageDesk, Model, SaveState, opening, update};
use pacebell::screens::theme::Theme;
use proptest::prelude::*;
use ratatui::layout::Size;

use crate::desk::{Desk, header, paper};

/// The pages of a sitting, and a loop that does as they ask.
struct Pages {
    paper: Paper,
    sitting: Sitting,
    model: Model,
    log: Vec<(Elapsed, Event)>,
}

impl Pages {
    fn new(on_screen: bool) -> Self {
        let paper = paper("ABCDE");
        let mut header = header(&paper);
        header.paper.on_screen = on_screen;
        let mut pages = Self {
            paper,
            sitting: Sitting::new(Arc::new(header)),
            model: Model::new(),
            log: Vec::new(),
        };
        let mut model = Model::new();
        let first = opening(&mut model, &pages.desk(Elapsed::ZERO));
        pages.model = model;
        pages.does(first, Elapsed::ZERO);
        pages
    }

    fn desk(&self, at: Elapsed) -> PageDesk<'_> {
        PageDesk {
            sitting: &self.sitting,
            paper: Some(&self.paper),
            at,
            saved: SaveState::Saved,
            advice: &[],
            theme: Theme::plain(),
            size: Size::new(80, 24),
        }
    }

    fn presses(&mut self, at: Elapsed, code: KeyCode) {
        let mut model = std::mem::take(&mut self.model);
        let key = KeyEvent::new(code, KeyModifiers::NONE);
        let asked = update(&mut model, &self.desk(at), key);
        self.model = model;
        self.does(asked, at);
    }

    fn does(&mut self, asked: Option<Ask>, at: Elapsed) {
        let Some(Ask::Acts(acts)) = asked else { return };
        for act in acts {
            match act {
                Act::Wish(command) => self.wish(command, at),
                Act::FillBlanks(blanks) => {
                    let label = Label::new('A').unwrap();
                    let answers = blanks.iter().map(|blank| (*blank, label)).collect();
                    self.wish(Command::Fill { seed: 7, answers }, at);
                }
                Act::Leave => panic!("nobody leaves here"),
            }
        }
    }

    fn wish(&mut self, command: Command, at: Elapsed) {
        if let Some(event) = self.sitting.decide(command, at).unwrap() {
            self.sitting.apply(at, &event);
            self.log.push((at, event));
        }
    }
}

/// How the open question and the sheet stand.
#[derive(Clone, Copy)]
struct Standing {
    blank: bool,
    sweeping: bool,
    clock_hidden: bool,
    /// Of the open question: whether it is answered.
    open: Option<bool>,
}

/// Something that both faces can say.
#[derive(Clone, Copy, Debug)]
enum Step {
    Answer(char),
    Go(char),
    AnswerAt(char, char),
    Out(char),
    Sweep,
    NextFlag,
    NextUnsure,
    Clock,
    Back,
    Next,
    Skip,
    NextBlank,
    Flag,
    RubOut,
    SayNext,
    Break,
    Guess,
    Fill,
    FillDropped,
    Finish,
    FinishDropped,
    /// A letter where `y` was asked for.
    FinishAnswered(char),
    GiveUp,
}

impl Step {
    /// How the lines and the pages say it in this phase; nothing where it is not for it.
    fn said(
        self,
        phase: Phase,
        Standing {
            blank,
            sweeping,
            clock_hidden,
            open,
        }: Standing,
    ) -> Option<(Vec<String>, Vec<KeyCode>)> {
        use KeyCode::{Char, Enter, Esc, Right, Tab};
        let running = phase == Phase::Running;
        let guessing = phase == Phase::GuessRound;
        let (lines, keys): (Vec<&str>, Vec<KeyCode>) = match (self, phase) {
            (Self::Answer(c) | Self::Go(c), _) if running || guessing => {
                let keys = match self {
                    Self::Go(_) if guessing => return None,
                    Self::Go(_) => vec![Char(c), Enter],
                    _ => vec![Char(c)],
                };
                return Some((vec![c.to_string()], keys));
            }
            (Self::AnswerAt(number, c), _) if running && !sweeping => {
                return Some((
                    vec![format!("{number}{c}")],
                    vec![Char(number), Enter, Char(c)],
                ));
            }
            (Self::Out(c), _) if (running || guessing) && open.is_some() => {
                return Some((vec![format!("out {c}")], vec![Char(','), Char(c)]));
            }
            (Self::Sweep, Phase::Running) => (vec!["sweep"], vec![Char('!')]),
            (Self::NextFlag, Phase::Running) => (vec!["next flag"], vec![Char(';')]),
            (Self::NextUnsure, Phase::Running) => (vec!["next unsure"], vec![Char(':')]),
            (Self::Clock, Phase::Running) => {
                let line = if clock_hidden {
                    "show clock"
                } else {
                    "hide clock"
                };
                (vec![line], vec![Char('.')])
            }
            (Self::FinishAnswered(c), Phase::Running | Phase::GuessRound) => {
                return Some((
                    vec!["finish".to_owned(), c.to_string()],
                    vec![Esc, Char('f'), Char('y'), Char(c)],
                ));
            }
            (Self::Back, _) if running || guessing => (vec!["back"], vec![KeyCode::Left]),
            (Self::Next, Phase::Running) => (vec![""], vec![Right]),
            (Self::Next, Phase::GuessRound) => (vec!["next"], vec![Enter]),
            (Self::Skip, _) if running || guessing => (vec!["skip"], vec![Char(' ')]),
            (Self::NextBlank, _) if running || guessing => (vec!["next blank"], vec![Char('/')]),
            (Self::RubOut, _) if running || guessing => (vec!["-"], vec![Char('-')]),
            (Self::Flag, Phase::Running) => (vec!["flag"], vec![Tab]),
            (Self::SayNext, Phase::Running) if open == Some(true) && !sweeping => {
                (vec!["?"], vec![Char('?')])
            }
            // With nothing to mark it helps, and the pages' help is closed again.
            (Self::SayNext, Phase::Running) => (vec!["?"], vec![Char('?'), Esc]),
            (Self::Break, Phase::Running) => (vec!["break"], vec![Esc, Char('b')]),
            (_, Phase::OnBreak) => (vec!["back"], vec![Enter]),
            (Self::Guess, Phase::TimeUp) => (vec!["g"], vec![Char('g'), Enter]),
            (Self::Fill, Phase::GuessRound) if blank => {
                (vec!["fill", "y"], vec![Char('*'), Char('y'), Enter])
            }
            (Self::FillDropped, Phase::GuessRound) if blank => {
                (vec!["fill", "time"], vec![Char('*'), Char('y'), Esc])
            }
            (Self::Finish, Phase::Running | Phase::GuessRound) => {
                (vec!["finish", "y"], vec![Esc, Char('f'), Char('y'), Enter])
            }
            (Self::Finish, Phase::TimeUp) => (vec!["f", "y"], vec![Char('f'), Enter]),
            (Self::FinishDropped, Phase::Running | Phase::GuessRound) => {
                (vec!["finish", "time"], vec![Esc, Char('f'), Char('y'), Esc])
            }
            (Self::FinishDropped, Phase::TimeUp) => (vec!["finish", "time"], vec![Char('f'), Esc]),
            (Self::GiveUp, Phase::Running) => {
                (vec!["give up", "y"], vec![Esc, Char('q'), Char('y'), Enter])
            }
            _ => return None,
        };
        Some((lines.into_iter().map(str::to_owned).collect(), keys))
    }
}

fn steps() -> impl Strategy<Value = Step> {
    prop_oneof![
        8 => prop::sample::select(vec!['a', 'c', 'E', 'x']).prop_map(Step::Answer),
        4 => prop::sample::select(vec!['1', '3', '5']).prop_map(Step::Go),
        2 => prop::sample::select(vec![('2', 'b'), ('4', 'd')])
            .prop_map(|(number, c)| Step::AnswerAt(number, c)),
        3 => prop::sample::select(vec!['a', 'B']).prop_map(Step::Out),
        3 => Just(Step::Sweep),
        2 => Just(Step::NextFlag),
        2 => Just(Step::NextUnsure),
        2 => Just(Step::Back),
        4 => Just(Step::Next),
        4 => Just(Step::Skip),
        3 => Just(Step::NextBlank),
        3 => Just(Step::Flag),
        3 => Just(Step::RubOut),
        3 => Just(Step::SayNext),
        2 => Just(Step::Break),
        6 => Just(Step::Guess),
        2 => Just(Step::Fill),
        2 => Just(Step::FillDropped),
        1 => Just(Step::Finish),
        2 => Just(Step::FinishDropped),
        2 => prop::sample::select(vec!['b', 'D']).prop_map(Step::FinishAnswered),
        2 => Just(Step::Clock),
        1 => Just(Step::GiveUp),
    ]
}

/// Gives both faces the same steps at the same moments.
fn both(on_screen: bool, script: &[(u64, bool, Step)]) -> (Desk, Pages) {
    let mut lines = Desk::with("ABCDE", |header| header.paper.on_screen = on_screen);
    let mut pages = Pages::new(on_screen);
    let mut seconds = 0;
    for (wait, wakes, step) in script {
        seconds += wait;
        let at = Elapsed::seconds(seconds);
        if pages.sitting.is_closed() {
            break;
        }
        let was_up = pages.sitting.due().is_some();
        if *wakes {
            lines.wakes(seconds);
            pages.wish(Command::Tick, at);
        }
        if pages.sitting.due().is_some() && !was_up {
            // Line by line, the first line after time up only hears what there is to do, and on the
            // pages nothing counts in the first second.
            lines.types(seconds, "");
            seconds += 2;
        }
        let at = Elapsed::seconds(seconds);
        let phase = pages.sitting.phase();
        let blank = pages.sitting.blanks().next().is_some();
        let open = pages
            .sitting
            .open()
            .and_then(|open| pages.sitting.row(open));
        let standing = Standing {
            blank,
            sweeping: pages.sitting.is_sweeping(),
            clock_hidden: pages.sitting.clock_hidden(),
            open: open.map(|row| row.in_time.is_some()),
        };
        let Some((typed, keys)) = step.said(phase, standing) else {
            continue;
        };
        // Time up in the midst of a step ends it.
        for line in typed {
            if lines.sitting.phase() == phase {
                lines.types(seconds, &line);
            }
        }
        for key in keys {
            if pages.sitting.phase() == phase {
                pages.presses(at, key);
            }
        }
    }
    (lines, pages)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    /// Whatever is said and whenever, both faces write the same log.
    #[test]
    fn both_faces_end_with_the_same_events(
        on_screen in any::<bool>(),
        script in prop::collection::vec((1_u64..40, any::<bool>(), steps()), 0..50),
    ) {
        let (lines, pages) = both(on_screen, &script);
        prop_assert_eq!(&lines.log, &pages.log, "{}", lines.heard);
        prop_assert_eq!(lines.sitting.rows(), pages.sitting.rows());
    }
}

/// The scripts above reach what they are for.
#[test]
fn a_script_with_all_in_it_goes_through_both_faces() {
    let script = [
        (1, true, Step::Answer('c')),
        (1, true, Step::SayNext),
        (1, true, Step::Flag),
        (1, true, Step::Next),
        (1, true, Step::Skip),
        (1, true, Step::Break),
        (1, true, Step::Break),
        (1, true, Step::Go('5')),
        (1, true, Step::Next),
        (1, true, Step::NextBlank),
        (1, true, Step::Out('b')),
        (1, true, Step::AnswerAt('4', 'd')),
        (1, true, Step::Sweep),
        (1, true, Step::Answer('e')),
        (1, true, Step::Back),
        (1, true, Step::Sweep),
        (1, true, Step::NextFlag),
        (1, true, Step::FinishDropped),
        (1, true, Step::FinishAnswered('b')),
        (1, true, Step::Clock),
        (1, true, Step::Clock),
        (700, true, Step::FinishDropped),
        (1, true, Step::Guess),
        (1, true, Step::Answer('a')),
        (1, true, Step::RubOut),
        (1, true, Step::FillDropped),
        (1, true, Step::Fill),
        (1, true, Step::Finish),
    ];
    let (lines, pages) = both(true, &script);
    assert_eq!(lines.log, pages.log, "{}", lines.heard);
    let has = |wanted: fn(&Event) -> bool| pages.log.iter().any(|(_, event)| wanted(event));
    assert!(has(|event| matches!(event, Event::BreakEnded)));
    assert!(has(|event| matches!(event, Event::Skipped(_))));
    assert!(has(|event| matches!(event, Event::GuessRoundStarted)));
    assert!(has(|event| matches!(event, Event::CrossedOut(..))));
    assert!(has(|event| matches!(event, Event::SweepBegun)));
    assert!(has(|event| matches!(event, Event::SweepLeft)));
    assert!(has(|event| matches!(event, Event::ClockHidden)));
    assert!(has(|event| matches!(event, Event::ClockShown)));
    assert!(has(|event| matches!(event, Event::Filled { .. })));
    assert!(has(|event| matches!(event, Event::Closed(_))));
}

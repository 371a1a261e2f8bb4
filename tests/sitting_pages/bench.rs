//! A sitting with a screen and a made-up clock: what the loop does, without its threads.

use std::collections::BTreeSet;
use std::sync::Arc;

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use pacebell::dialogue::{Act, Scene};
use pacebell::domain::event::Event;
use pacebell::domain::header::{Checkpoint, Header, PacePlan};
use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::Paper;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::{Command, Sitting};
use pacebell::domain::time::Elapsed;
use pacebell::screens::sitting::{
    Ask, Desk, Model, NextChange, SaveState, draw, next_change, opening, top_row, update,
};
use pacebell::screens::theme::Theme;
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};
use ratatui::style::Style;
use ratatui::widgets::Widget as _;

use crate::lantern::paper;
use crate::sat;

pub(crate) const fn q(number: u16) -> QuestionNo {
    QuestionNo(number)
}

/// Whether saving goes well.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Disk {
    Fine,
    Slow,
    Broken,
    BrokenWithNowhereElse,
}

#[derive(Clone)]
pub(crate) struct Bench {
    pub(crate) sitting: Sitting,
    pub(crate) paper: Option<Paper>,
    pub(crate) model: Model,
    pub(crate) at: Elapsed,
    pub(crate) disk: Disk,
    pub(crate) unsaved: BTreeSet<QuestionNo>,
    pub(crate) advice: Vec<String>,
    pub(crate) theme: Theme,
    pub(crate) size: Size,
    /// What was asked that is no wish.
    pub(crate) asked: Vec<Ask>,
    /// What taps have taken so far; the sitting's own moment stays where a test has put it.
    tapped: Elapsed,
}

/// Between two taps: quick, and no key held down.
const TAP: Elapsed = Elapsed(150);
/// Between two repeats of a key held down on a terminal that does not say so.
const REPEAT: Elapsed = Elapsed(33);

impl Bench {
    /// A sitting of 60 minutes whose questions are on the screen, the first one open.
    pub(crate) fn new() -> Self {
        Self::with(|_| {})
    }

    pub(crate) fn with(change: impl FnOnce(&mut Header)) -> Self {
        Self::made(paper(), change)
    }

    /// A sitting of this paper.
    pub(crate) fn of(paper: Paper) -> Self {
        Self::made(paper, |_| {})
    }

    /// What a face of lines would be told.
    pub(crate) fn scene(&self) -> Scene<'_> {
        Scene {
            sitting: &self.sitting,
            paper: self.paper.as_ref(),
            at: self.at,
        }
    }

    /// Does what a face of lines asks.
    pub(crate) fn does(&mut self, acts: Vec<Act>) {
        self.take(Some(Ask::Acts(acts)));
    }

    fn made(whole: Paper, change: impl FnOnce(&mut Header)) -> Self {
        let mut header = sat::header("otter", &whole);
        change(&mut header);
        let paper = header.paper.on_screen.then(|| Paper {
            outline: header.paper.clone(),
            ..whole
        });
        let mut bench = Self {
            sitting: Sitting::new(Arc::new(header)),
            paper,
            model: Model::new(),
            at: Elapsed::ZERO,
            disk: Disk::Fine,
            unsaved: BTreeSet::new(),
            advice: vec!["A wrong answer costs nothing: guess.".into()],
            theme: Theme::plain(),
            size: Size::new(80, 24),
            asked: vec![],
            tapped: Elapsed::ZERO,
        };
        let mut model = Model::new();
        let first = opening(&mut model, &bench.desk());
        bench.model = model;
        bench.take(first);
        bench
    }

    /// The same with a printed paper beside the keyboard.
    pub(crate) fn printed() -> Self {
        Self::with(|header| header.paper.on_screen = false)
    }

    /// The same with a plan: 10 by 20 minutes, 25 by 55.
    pub(crate) fn planned() -> Self {
        Self::with(|header| {
            let stop = |question, minutes| Checkpoint {
                question: q(question),
                minutes: Mark::whole(minutes),
            };
            header.plan = Some(PacePlan {
                checkpoints: vec![stop(10, 20), stop(25, 55)],
                ..PacePlan::default()
            });
        })
    }

    pub(crate) fn desk(&self) -> Desk<'_> {
        let sentence = "The disk is full (No space left on device).";
        let trouble = |elsewhere| SaveState::Trouble {
            sentence,
            elsewhere,
            unsaved: &self.unsaved,
        };
        Desk {
            sitting: &self.sitting,
            paper: self.paper.as_ref(),
            at: self.at,
            saved: match self.disk {
                Disk::Fine => SaveState::Saved,
                Disk::Slow => SaveState::Saving {
                    unsaved: &self.unsaved,
                },
                Disk::Broken => trouble(Some("/home/otter/pacebell")),
                Disk::BrokenWithNowhereElse => trouble(None),
            },
            advice: &self.advice,
            theme: self.theme,
            size: self.size,
        }
    }

    /// Moves the clock to so many seconds; time up happens by itself.
    pub(crate) fn at(&mut self, seconds: u64) -> &mut Self {
        self.at_moment(Elapsed::seconds(seconds))
    }

    pub(crate) fn at_moment(&mut self, at: Elapsed) -> &mut Self {
        self.at = at;
        if let Ok(Some(event)) = self.sitting.decide(Command::Tick, self.at) {
            self.sitting.apply(self.at, &event);
            // Past the second in which nothing counts.
            self.at = self.at + Elapsed::seconds(2);
        }
        self
    }

    /// Taps keys: signs as they stand, and names between `<` and `>`.
    pub(crate) fn keys(&mut self, script: &str) -> &mut Self {
        let mut rest = script;
        while let Some(c) = rest.chars().next() {
            let (code, taken) = match rest.strip_prefix('<').and_then(|r| r.split_once('>')) {
                Some((name, _)) => (named(name), name.len() + 2),
                None => (KeyCode::Char(c), c.len_utf8()),
            };
            rest = rest.get(taken..).unwrap();
            self.press(KeyEvent::new(code, KeyModifiers::NONE));
        }
        self
    }

    /// The same, all of them at the very moment that the sitting has.
    pub(crate) fn keys_at_once(&mut self, script: &str) -> &mut Self {
        for key in script.replace("<enter>", "\n").chars() {
            self.tapped = Elapsed::ZERO;
            let code = if key == '\n' {
                KeyCode::Enter
            } else {
                KeyCode::Char(key)
            };
            self.press_after(Elapsed::ZERO, KeyEvent::new(code, KeyModifiers::NONE));
        }
        self
    }

    pub(crate) fn control(&mut self, c: char) -> &mut Self {
        self.press(KeyEvent::new(KeyCode::Char(c), KeyModifiers::CONTROL))
    }

    /// A key held down, on a terminal that says so.
    pub(crate) fn held(&mut self, code: KeyCode) -> &mut Self {
        let held = KeyEvent::new_with_kind(code, KeyModifiers::NONE, KeyEventKind::Repeat);
        self.press(held)
    }

    /// A key held down for so many presses, on a terminal that does not say so.
    pub(crate) fn hold(&mut self, code: KeyCode, presses: usize) -> &mut Self {
        for _ in 0..presses {
            self.press_after(REPEAT, KeyEvent::new(code, KeyModifiers::NONE));
        }
        self
    }

    /// An arrow, which the scripts of keys call by no name.
    pub(crate) fn arrow(&mut self, code: KeyCode) -> &mut Self {
        self.press(KeyEvent::new(code, KeyModifiers::NONE))
    }

    pub(crate) fn press(&mut self, key: KeyEvent) -> &mut Self {
        self.press_after(TAP, key)
    }

    fn press_after(&mut self, wait: Elapsed, key: KeyEvent) -> &mut Self {
        self.tapped = self.tapped + wait;
        let mut model = self.model.clone();
        let desk = Desk {
            at: self.at + self.tapped,
            ..self.desk()
        };
        let ask = update(&mut model, &desk, key);
        self.model = model;
        self.take(ask);
        self
    }

    /// Does what is asked, up to the first refusal.
    fn take(&mut self, ask: Option<Ask>) {
        match ask {
            Some(Ask::Acts(acts)) if acts != [Act::Leave] => {
                let commands = acts.into_iter().map(|act| match act {
                    Act::Wish(command) => command,
                    Act::FillBlanks(blanks) => {
                        let answers = blanks.iter().map(|q| (*q, label('A'))).collect();
                        Command::Fill { seed: 1, answers }
                    }
                    Act::Leave => unreachable!("leaving comes alone"),
                });
                let commands = commands.collect();
                self.wish(commands);
            }
            Some(other) => self.asked.push(other),
            None => {}
        }
    }

    fn wish(&mut self, commands: Vec<Command>) {
        for command in commands {
            loop {
                match self.sitting.decide(command.clone(), self.at) {
                    Ok(Some(event)) => {
                        self.sitting.apply(self.at, &event);
                        if !matches!(event, Event::TimeUp { .. }) {
                            break;
                        }
                    }
                    Ok(None) => break,
                    Err(refusal) => return self.model.refused(refusal),
                }
            }
        }
    }

    pub(crate) fn next_change(&self) -> Option<NextChange> {
        next_change(&self.model, &self.desk())
    }

    /// This page with its top row drawn anew.
    pub(crate) fn with_top_row(&self, mut page: Buffer) -> Buffer {
        let (place, line) = top_row(&self.model, &self.desk(), page.area);
        let mut row = Buffer::empty(place);
        line.render(place, &mut row);
        page.merge(&row);
        page
    }

    pub(crate) fn buffer(&self) -> Buffer {
        let area = Rect::new(0, 0, self.size.width, self.size.height);
        let mut buffer = Buffer::empty(area);
        draw(&self.model, &self.desk(), area, &mut buffer);
        buffer
    }

    /// The page as lines, without the spaces at their ends.
    pub(crate) fn text(&self) -> String {
        let buffer = self.buffer();
        let width = usize::from(self.size.width).max(1);
        let rows = buffer.content().chunks(width);
        let lines = rows.map(|row| {
            let line: String = row.iter().map(ratatui::buffer::Cell::symbol).collect();
            line.trim_end().to_owned()
        });
        lines.collect::<Vec<_>>().join("\n")
    }

    /// Everything with a style, run by run: where it stands, what it says, how.
    pub(crate) fn styles(&self) -> String {
        let buffer = self.buffer();
        let width = usize::from(self.size.width);
        let mut out = Vec::new();
        for (y, row) in buffer.content().chunks(width).enumerate() {
            let mut run = (String::new(), plain());
            for cell in row {
                if cell.style() != run.1 {
                    out.extend(told(y, &run));
                    run = (String::new(), cell.style());
                }
                run.0.push_str(cell.symbol());
            }
            out.extend(told(y, &run));
        }
        out.join("\n")
    }

    /// The line that holds `words`, or nothing.
    pub(crate) fn line(&self, words: &str) -> Option<String> {
        let text = self.text();
        text.lines()
            .find(|line| line.contains(words))
            .map(str::to_owned)
    }

    /// The message line: the last but the keys.
    pub(crate) fn message(&self) -> String {
        let text = self.text();
        let in_trouble = matches!(self.disk, Disk::Broken | Disk::BrokenWithNowhereElse);
        let foot = if in_trouble && self.size.height >= 22 {
            3
        } else {
            2
        };
        text.split('\n')
            .rev()
            .nth(foot)
            .unwrap_or_default()
            .to_owned()
    }

    pub(crate) fn answer(&self, question: u16) -> Option<char> {
        let row = self.sitting.row(q(question))?;
        row.standing().map(|given| given.option.as_char())
    }
}

fn plain() -> Style {
    ratatui::buffer::Cell::EMPTY.style()
}

fn told(y: usize, (text, style): &(String, Style)) -> Option<String> {
    let shows = *style != plain() && !text.is_empty();
    let colour = match style.fg {
        Some(ratatui::style::Color::Reset) | None => String::new(),
        Some(colour) => format!(" {colour}"),
    };
    shows.then(|| format!("{y:>2} {text:?} {:?}{colour}", style.add_modifier))
}

pub(crate) fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

fn named(name: &str) -> KeyCode {
    match name {
        "enter" => KeyCode::Enter,
        "esc" => KeyCode::Esc,
        "tab" => KeyCode::Tab,
        "back" => KeyCode::Backspace,
        "right" => KeyCode::Right,
        "left" => KeyCode::Left,
        "home" => KeyCode::Home,
        "end" => KeyCode::End,
        "down" => KeyCode::PageDown,
        "up" => KeyCode::PageUp,
        "f1" => KeyCode::F(1),
        "f2" => KeyCode::F(2),
        "f3" => KeyCode::F(3),
        _ => KeyCode::F(12),
    }
}

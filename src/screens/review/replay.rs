//! Replay: a cursor over the hour, and the sheet, the clock and the mark as they stood then.

use ratatui::text::Span;

use super::ink::Ink;
use super::lanes::Axis;
use super::study::Study;
use super::words;
use crate::domain::marking::{Outcome, SittingMark, mark_sitting};
use crate::domain::sitting::{Row, Sitting};
use crate::domain::time::Elapsed;
use crate::screens::press::Press;
use crate::words::numbers::plain;
use crate::words::text::{cut, fit, fit_right};

/// How much faster than the hour itself it plays.
const SPEEDS: [u64; 8] = [1, 2, 5, 10, 30, 60, 120, 240];

/// The page is drawn no more often than this, in milliseconds.
const SHORTEST_WAIT: u64 = 50;

/// What one key moves the cursor by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    Event,
    Minute,
    Question,
}

impl Step {
    const ALL: [Self; 3] = [Self::Event, Self::Minute, Self::Question];

    const fn word(self) -> &'static str {
        match self {
            Self::Event => "event",
            Self::Minute => "minute",
            Self::Question => "question",
        }
    }

    fn turn(self, forwards: bool) -> Self {
        let at = Self::ALL.iter().position(|own| *own == self).unwrap_or(0);
        let next = (at + if forwards { 1 } else { Self::ALL.len() - 1 }) % Self::ALL.len();
        Self::ALL.get(next).copied().unwrap_or(self)
    }
}

/// The cursor over the hour, and how things stood there.
#[derive(Clone, Debug)]
pub(super) struct Player {
    at: Elapsed,
    step: Step,
    /// Which of the speeds.
    speed: usize,
    plays: bool,
    /// The sitting as it stood.
    sitting: Sitting,
    marks: Option<SittingMark>,
    /// How many events hold.
    count: usize,
}

impl Player {
    /// At the first moment, standing.
    pub(super) fn new(study: &Study) -> Self {
        let sitting = study.replay.at(Elapsed::ZERO);
        Self {
            at: Elapsed::ZERO,
            step: Step::Event,
            speed: 5,
            plays: false,
            marks: marks(study, &sitting),
            sitting,
            count: study.replay.count_at(Elapsed::ZERO),
        }
    }

    fn go(&mut self, study: &Study, at: Elapsed) {
        self.at = at.min(end(study));
        let count = study.replay.count_at(self.at);
        if count != self.count {
            self.count = count;
            self.sitting = study.replay.after(count);
            self.marks = marks(study, &self.sitting);
        }
    }

    fn speed(&self) -> u64 {
        SPEEDS.get(self.speed).copied().unwrap_or(1)
    }

    /// Takes a key.
    pub(super) fn press(&mut self, study: &Study, press: Press) {
        match press {
            Press::Left | Press::Right => {
                self.plays = false;
                let to = self.next(study, press == Press::Right);
                self.go(study, to);
            }
            Press::Up | Press::Down => self.step = self.step.turn(press == Press::Down),
            Press::Home | Press::PageUp => {
                self.plays = false;
                self.go(study, Elapsed::ZERO);
            }
            Press::End | Press::PageDown => {
                self.plays = false;
                self.go(study, end(study));
            }
            Press::Char(' ') => {
                if !self.plays && self.at == end(study) {
                    self.go(study, Elapsed::ZERO);
                }
                self.plays = !self.plays;
            }
            Press::Char('+' | '=') => self.speed = (self.speed + 1).min(SPEEDS.len() - 1),
            Press::Char('-' | '_') => self.speed = self.speed.saturating_sub(1),
            _ => {}
        }
    }

    /// Where one step leads.
    fn next(&self, study: &Study, forwards: bool) -> Elapsed {
        let (at, last) = (self.at, end(study));
        let nearest = |moments: &mut dyn Iterator<Item = Elapsed>| {
            if forwards {
                moments.filter(|moment| *moment > at).min().unwrap_or(last)
            } else {
                moments
                    .filter(|moment| *moment < at)
                    .max()
                    .unwrap_or_default()
            }
        };
        match self.step {
            Step::Event => nearest(&mut study.replay.moments().iter().copied()),
            Step::Question => nearest(&mut study.pacing.stays.iter().map(|stay| stay.from)),
            Step::Minute => {
                let used = study.replay.used(at).as_millis();
                let minute = if forwards {
                    (used / 60_000).saturating_add(1)
                } else {
                    used.saturating_sub(1) / 60_000
                };
                let to = study.replay.moment_of(Elapsed::minutes(minute));
                let past_the_end = Elapsed::minutes(minute) > study.pacing.whole.used;
                if forwards && (past_the_end || to <= at) {
                    last
                } else if !forwards && at > study.pacing.whole.ended {
                    // From the guess round back to the moment at which time was up.
                    study.pacing.whole.ended
                } else {
                    to
                }
            }
        }
    }

    /// So many milliseconds have passed.
    pub(super) fn passed(&mut self, study: &Study, millis: u64) {
        if self.plays {
            let span = Elapsed(millis.saturating_mul(self.speed()));
            self.go(study, self.at + span);
            self.plays = self.at < end(study);
        }
    }

    /// Milliseconds until the page changes by itself: the next event, or the next second shown.
    pub(super) fn next_change(&self, study: &Study) -> Option<u64> {
        let moments = study.replay.moments();
        let event = moments
            .get(self.count)
            .map(|moment| moment.since(self.at).as_millis());
        let second = 1000 - self.at.as_millis() % 1000;
        let next = event.map_or(second, |event| event.min(second));
        self.plays
            .then(|| next.div_ceil(self.speed()).max(SHORTEST_WAIT))
    }
}

fn marks(study: &Study, sitting: &Sitting) -> Option<SittingMark> {
    let known = study.known.as_ref()?;
    Some(mark_sitting(
        sitting,
        &known.key,
        &study.opened.header.paper.rule,
    ))
}

/// The last moment that there is anything of.
fn end(study: &Study) -> Elapsed {
    let last = study.replay.moments().last().copied().unwrap_or_default();
    last.max(study.pacing.whole.ended)
}

pub(super) fn write(ink: &mut Ink<'_>, study: &Study, player: &Player) {
    let header = &study.opened.header;
    let used = study.replay.used(player.at);
    let left = header.allowed.since(used).countdown();
    let (at, sitting) = (player.at.stopwatch(), &player.sitting);
    let stands = words::phase(sitting.phase());
    let open = sitting
        .open()
        .map_or_else(String::new, |open| format!(", Q{open} open"));
    ink.heading(&format!(
        "{at} after the start: {} used, {left} left, {stands}{open}",
        used.stopwatch()
    ));
    ink.plain(&mark_words(player));
    let how = if player.plays { "Plays" } else { "Stands" };
    let now = just_now(study, player.count.checked_sub(1));
    ink.plain(&format!(
        "{how}. Steps by {}, {}x. {now}",
        player.step.word(),
        player.speed()
    ));
    ink.plain(&cursor(study, player.at, ink.width));
    ink.pin();
    let (left, right) = (ink.width >= super::ink::WIDE, ink.room());
    if left {
        ink.two(
            |ink| sheet(ink, study, sitting),
            |ink| around(ink, study, player.count, right),
        );
    } else {
        sheet(ink, study, sitting);
    }
}

fn mark_words(player: &Player) -> String {
    let answered = player
        .sitting
        .rows()
        .iter()
        .filter(|row| row.in_time.is_some())
        .count();
    let answered = format!("{answered} of {} answered", player.sitting.rows().len());
    let Some(marks) = &player.marks else {
        return format!("No key, so no mark. {answered} in time.");
    };
    let (in_time, round) = (marks.in_time, &marks.with_guess_round);
    let guesses = if round.total == in_time {
        String::new()
    } else {
        format!(" ({} with the guesses)", plain(round.total))
    };
    format!(
        "Mark had the bell rung now: {} of {}{guesses}; {answered}.",
        plain(in_time),
        plain(round.max)
    )
}

/// The event that has just happened.
fn just_now(study: &Study, index: Option<usize>) -> String {
    let stamped = index.and_then(|index| study.replay.log().get(index));
    stamped.map_or_else(String::new, |stamped| {
        format!("Last: {}.", words::event(&stamped.event))
    })
}

/// The hour as a line, with the cursor on it and a stroke at every first answer.
fn cursor(study: &Study, at: Elapsed, width: usize) -> String {
    let axis = Axis {
        columns: width.max(1),
        ended: end(study),
    };
    let mut line = vec!['─'; axis.columns];
    let mut put = |at: Elapsed, c: char| {
        if let Some(cell) = line.get_mut(axis.column(at)) {
            *cell = c;
        }
    };
    for choice in &study.pacing.choices {
        put(choice.at, '┴');
    }
    for gap in &study.pacing.gaps {
        put(gap.from, ':');
    }
    put(at, '#');
    line.into_iter().collect()
}

/// The answer sheet as it stood, as many columns of rows as there is room for.
fn sheet(ink: &mut Ink<'_>, study: &Study, sitting: &Sitting) {
    let rows = sitting.rows();
    let outline = &study.opened.header.paper;
    let letters = rows
        .iter()
        .map(|row| outline.labels(row.number).len())
        .max()
        .unwrap_or(0);
    // Open, number, sign, the letters with brackets, flag, how, and two blanks after them.
    let cell = 7 + 2 * letters + 1 + 4;
    let across = (ink.width / cell).max(1);
    let down = rows.len().div_ceil(across).max(1);
    for line in 0..down {
        let mut spans = Vec::new();
        for row in (0..across).filter_map(|column| rows.get(column * down + line)) {
            let open = sitting.open() == Some(row.number);
            let style = if open {
                ink.theme.chosen
            } else {
                ratatui::style::Style::new()
            };
            let text = fit(&row_words(study, row, open), cell - 2);
            spans.push(Span::styled(text, style));
            spans.push(Span::raw("  "));
        }
        ink.line(spans);
    }
    ink.plain("> open ! flag ? unsure g guess * late + right x wrong");
}

fn row_words(study: &Study, row: &Row, open: bool) -> String {
    let outline = &study.opened.header.paper;
    let known = study.known.as_ref();
    let standing = row.standing();
    let outcome = known.and_then(|known| {
        let right = known.key.accepts(row.number, standing?.option);
        let void = known.key.voids.contains_key(&row.number);
        Some(match (void, right) {
            (true, _) => Outcome::Void,
            (false, true) => Outcome::Right,
            (false, false) => Outcome::Wrong,
        })
    });
    let mut letters = String::new();
    for label in outline.labels(row.number).iter() {
        let chosen = standing.is_some_and(|given| given.option == label);
        let before = standing.is_some_and(|given| {
            let labels = outline.labels(row.number);
            let place = labels.index(given.option);
            place.is_some() && place.map(|place| place + 1) == labels.index(label)
        });
        letters.push(match (chosen, before) {
            (true, _) => '[',
            (false, true) => ']',
            (false, false) => ' ',
        });
        letters.push(label.as_char());
    }
    let last = outline.labels(row.number).iter().last();
    let closes = standing.is_some_and(|given| Some(given.option) == last);
    letters.push(if closes { ']' } else { ' ' });
    let said = match standing.map(|given| given.how) {
        Some(crate::domain::event::How::Unsure) => "?",
        Some(how) if how.is_luck() => "g",
        _ => " ",
    };
    let late = if row.in_time.is_none() && row.after_time.is_some() {
        "*"
    } else {
        " "
    };
    format!(
        "{}{} {}{letters}{}{said}{late}",
        if open { ">" } else { " " },
        fit_right(&row.number.to_string(), 3),
        words::sign(outcome),
        if row.flagged { "!" } else { " " },
    )
}

/// The events around the cursor, the last that holds marked.
fn around(ink: &mut Ink<'_>, study: &Study, count: usize, rows: usize) {
    ink.heading("What happened");
    let rows = rows.saturating_sub(1).max(1);
    let first = count.saturating_sub(rows.div_ceil(2) + 1);
    let log = study
        .replay
        .log()
        .iter()
        .zip(study.replay.moments())
        .enumerate();
    for (index, (stamped, at)) in log.skip(first).take(rows) {
        let now = index + 1 == count;
        let sign = if now { ">" } else { " " };
        let style = if now {
            ink.theme.chosen
        } else {
            ratatui::style::Style::new()
        };
        let text = format!(
            "{}  {}",
            fit_right(&at.stopwatch(), 6),
            words::event(&stamped.event)
        );
        let text = cut(&text, ink.width.saturating_sub(2));
        ink.line(vec![
            Span::raw(sign),
            Span::raw(" "),
            Span::styled(text, style),
        ]);
    }
}

//! The loop behind the pages of a sitting.

use std::io;
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::Duration;

use ratatui::layout::Size;

use super::Leaving;
use crate::dialogue::Act;
use crate::domain::character::ShownPath as _;
use crate::domain::event::Stop;
use crate::domain::paper::Paper;
use crate::domain::sitting::{Phase, Sitting};
use crate::domain::time::Elapsed;
use crate::screens::sitting::{self, Ask, Desk, Model, NextChange, SaveState};
use crate::screens::theme::Theme;
use crate::seat::{Shared, View};
use crate::term::{self, Inbox, Screen};
use crate::words::absence::welcome_back;
use crate::words::sitting::around::SAVED_ANEW;

/// A page waits no longer than this for something to happen.
const LONGEST_WAIT: Duration = Duration::from_secs(3600);

/// What a sitting's page needs beside the sitting itself.
pub struct Surroundings<'a> {
    /// The questions, where they are at hand.
    pub paper: Option<&'a Paper>,
    /// The styles.
    pub theme: Theme,
    /// Whether the clock shows large steps only.
    pub large_steps: bool,
    /// What a guess is worth on the blanks of a sitting, a short line each.
    pub advice: &'a dyn Fn(&Sitting) -> Vec<String>,
    /// Where else a sitting could be saved.
    pub elsewhere: Option<&'a Path>,
}

/// Shows a sitting until it is over or left.
///
/// # Errors
/// A terminal that cannot be written to; the sitting itself is safe.
pub fn sit(
    screen: &mut Screen,
    inbox: &Receiver<Inbox>,
    seat: &Shared,
    around: &Surroundings<'_>,
) -> io::Result<Leaving> {
    let mut model = Model::of(&seat.view().sitting, around.large_steps);
    if let Some(away) = seat.away() {
        model.say(welcome_back(away));
    }
    let elsewhere = around.elsewhere.map(|dir| dir.shown().to_string());
    let mut size = Size::default();
    let mut begun = false;
    // What the page shows, and how long its clock alone goes on.
    let mut drawn: Option<(View, NextChange)> = None;
    loop {
        let view = seat.view();
        let is_to_tell = seat.is_to_tell_of_a_touch();
        let clock_alone = !is_to_tell && drawn.take().is_some_and(|own| is_later(&view, &own));
        if is_to_tell {
            model.say(SAVED_ANEW);
        }
        let trouble = view.trouble.as_ref().map(ToString::to_string);
        let advice = if model.may_advise(view.sitting.phase()) {
            (around.advice)(&view.sitting)
        } else {
            Vec::new()
        };
        let mut desk = Desk {
            sitting: &view.sitting,
            paper: around.paper,
            at: view.at,
            saved: save_state(&view, trouble.as_deref(), elsewhere.as_deref()),
            advice: &advice,
            theme: around.theme,
            size,
        };
        if !begun {
            begun = true;
            if let Some(Ask::Acts(acts)) = sitting::opening(&mut model, &desk) {
                done(acts, seat, view.sitting.phase(), &mut model);
            }
            continue;
        }
        // What is not on the disk yet would be lost with the page, and so would the way out.
        if view.sitting.is_closed() && view.all_saved {
            return Ok(Leaving::Done);
        }
        let mut is_drawn =
            clock_alone && screen.draw_row(|area| sitting::top_row(&model, &desk, area))?;
        if !is_drawn && (size == Size::default() || screen.is_due()) {
            is_drawn = true;
            screen.draw(|area, buf| {
                size = area.as_size();
                desk.size = size;
                sitting::draw(&model, &desk, area, buf)
            })?;
        }
        let next = sitting::next_change(&model, &desk);
        // A key is answered before the file has its turn.
        seat.hand_on();
        let told = term::next_within(inbox, wait(next, view.at));
        let only_waited = told == Err(RecvTimeoutError::Timeout);
        let asked = match told {
            Ok(Inbox::Key(key)) => {
                // Keys are told from a held one by when they come, not by when the page was drawn.
                desk.at = seat.now();
                sitting::update(&mut model, &desk, key)
            }
            Ok(Inbox::Pasted) => {
                model.pasted();
                None
            }
            Ok(Inbox::Back) => {
                screen.take_back()?;
                None
            }
            Ok(Inbox::Stop(signal)) => {
                seat.interrupt(Stop::LeftBySignal);
                return Ok(Leaving::Stopped(signal));
            }
            Ok(Inbox::Lost) | Err(RecvTimeoutError::Disconnected) => {
                seat.interrupt(Stop::TerminalLost);
                return Ok(Leaving::Lost);
            }
            Ok(Inbox::Resized) => {
                sitting::looked(&mut model, &desk);
                None
            }
            Ok(Inbox::Wake) | Err(RecvTimeoutError::Timeout) => None,
        };
        let stays = match asked {
            Some(ask) => {
                let seen = view.sitting.phase();
                fulfil(ask, screen, seat, around, seen, &mut model)?
            }
            None => true,
        };
        if !stays {
            if view.sitting.is_closed() {
                return Ok(Leaving::Done);
            }
            seat.interrupt(Stop::LeftByKey);
            return Ok(Leaving::Left);
        }
        let still = next.filter(|_| is_drawn && only_waited);
        drawn = still.map(|next| (view, next));
    }
}

/// How long a page stays as it is by itself.
fn wait(next: Option<NextChange>, at: Elapsed) -> Duration {
    next.map_or(LONGEST_WAIT, |next| {
        Duration::from_millis(next.at.since(at).as_millis())
    })
}

/// Whether nothing but the clock went on since a page was drawn.
fn is_later(view: &View, (before, next): &(View, NextChange)) -> bool {
    next.is_clock_alone(view.at)
        && Arc::ptr_eq(&view.sitting, &before.sitting)
        && view.all_saved == before.all_saved
        && view.unsaved == before.unsaved
        && view.trouble == before.trouble
}

fn save_state<'a>(
    view: &'a View,
    trouble: Option<&'a str>,
    elsewhere: Option<&'a str>,
) -> SaveState<'a> {
    let unsaved = &view.unsaved;
    match trouble {
        Some(sentence) => SaveState::Trouble {
            sentence,
            elsewhere,
            unsaved,
        },
        None if view.all_saved => SaveState::Saved,
        None => SaveState::Saving { unsaved },
    }
}

/// Does these, up to the first refusal, which is shown; gives whether the page stays. `seen` is where
/// the sitting stood on the page.
fn done(acts: Vec<Act>, seat: &Shared, seen: Phase, model: &mut Model) -> bool {
    for act in acts {
        let granted = match act {
            Act::Wish(command) => seat.wish_before_drawing(command, seen),
            Act::FillBlanks(blanks) => seat.fill_blanks(&blanks, rand::random()),
            Act::Leave => return false,
        };
        if let Err(refusal) = granted {
            model.refused(refusal);
            break;
        }
    }
    true
}

/// Does what is asked; gives whether the page stays.
fn fulfil(
    ask: Ask,
    screen: &mut Screen,
    seat: &Shared,
    around: &Surroundings<'_>,
    seen: Phase,
    model: &mut Model,
) -> io::Result<bool> {
    match ask {
        Ask::Acts(acts) => return Ok(done(acts, seat, seen, model)),
        Ask::SaveElsewhere => {
            if let Some(dir) = around.elsewhere {
                seat.save_in(dir);
            }
        }
        Ask::TryAgain => seat.try_now(),
        Ask::Redraw => screen.repaint()?,
    }
    Ok(true)
}

//! What each key does on each part of the start page.

use ratatui::layout::Size;

use super::form::ROWS;
use super::model::{Asked, HomeRow, Page, Start};
use super::offer::Choice;
use crate::domain::header::Alias;
use crate::tui::frame::{KeyHelp, Message, body_height, is_too_small};
use crate::tui::press::Press;
use crate::tui::theme::Theme;

/// The longest alias, so that more cannot be typed.
const LONGEST_ALIAS: usize = 40;

impl Start {
    /// Takes a key, in a window of this size; a choice ends the page.
    ///
    /// In a window too small for the page only Ctrl-C is heard, since nobody sees what is chosen.
    pub fn press(&mut self, press: Press, size: Size) -> Option<Choice> {
        let asked = std::mem::take(&mut self.asked);
        if press == Press::Stop {
            return self.ask_to_quit(asked);
        }
        if is_too_small(size) {
            return None;
        }
        self.message = None;
        if asked == Asked::Quit && press == Press::Enter {
            return Some(Choice::Quit);
        }
        match self.page {
            Page::Pupil => return self.on_pupils(press, size),
            Page::NewAlias => self.on_alias(press),
            Page::GoOn => return self.on_go_on(press, size),
            Page::Paper => self.on_papers(press, size),
            Page::Arrange => self.on_form(press),
            Page::ReadOut => return self.on_read_out(press, size, asked),
            Page::Past => return self.on_past(press, size),
            Page::Notices => match press {
                Press::Esc | Press::Enter => self.turn_to(Page::Pupil),
                _ => self.scroll_by(press, size),
            },
        }
        None
    }

    fn ask_to_quit(&mut self, asked: Asked) -> Option<Choice> {
        if asked == Asked::Quit {
            return Some(Choice::Quit);
        }
        self.asked = Asked::Quit;
        let text = "Quit? Enter quits. Any other key stays.";
        self.message = Some(Message::Notice(text.to_owned()));
        None
    }

    fn on_pupils(&mut self, press: Press, size: Size) -> Option<Choice> {
        let rows = self.home_rows();
        match press {
            Press::Esc => self.ask_to_quit(Asked::Nothing),
            Press::Enter => {
                match rows.get(self.picks.home.at).copied()? {
                    HomeRow::Pupil(index) => self.pupil_chosen(index),
                    HomeRow::NewAlias => self.turn_to(Page::NewAlias),
                    HomeRow::Past => self.open_past(),
                    HomeRow::Notices => self.turn_to(Page::Notices),
                    HomeRow::Quit => return Some(Choice::Quit),
                }
                None
            }
            _ => {
                let names: Vec<_> = rows.iter().map(|row| self.home_name(*row)).collect();
                self.picks.home.press(press, &names, body_height(size));
                None
            }
        }
    }

    fn on_alias(&mut self, press: Press) {
        match press {
            Press::Esc => {
                self.typed.clear();
                self.turn_to(Page::Pupil);
            }
            Press::Enter => self.alias_typed(),
            Press::Backspace => drop(self.typed.pop()),
            Press::Char(c) if self.typed.chars().count() < LONGEST_ALIAS => {
                self.typed.push(c);
                if Alias::new(&self.typed).is_err() {
                    self.typed.pop();
                    let text = "An alias has letters, digits, - and _ only, and begins with no -.";
                    self.message = Some(Message::Trouble(text.to_owned()));
                }
            }
            _ => {}
        }
    }

    fn on_go_on(&mut self, press: Press, size: Size) -> Option<Choice> {
        let open = self.open_sittings();
        match press {
            Press::Esc => self.turn_to(Page::Pupil),
            Press::Enter => match open.into_iter().nth(self.picks.go_on.at) {
                Some((_, path)) => return Some(Choice::GoOn { path }),
                None => self.turn_to(Page::Paper),
            },
            _ => {
                let mut names: Vec<_> = open.iter().map(|_| "Go on with it".to_owned()).collect();
                names.push("Another paper".to_owned());
                self.picks.go_on.press(press, &names, body_height(size));
            }
        }
        None
    }

    fn on_papers(&mut self, press: Press, size: Size) {
        match press {
            Press::Esc => self.turn_to(Page::Pupil),
            Press::Enter => self.paper_chosen(),
            _ => {
                let title = |paper: &super::PaperOffer| match &paper.paper {
                    Ok(paper) => paper.outline.title.clone(),
                    Err(_) => String::new(),
                };
                let names: Vec<_> = self.offer.papers.iter().map(title).collect();
                let before = self.picks.paper.at;
                // A row takes two lines.
                self.picks.paper.press(press, &names, body_height(size) / 2);
                if before != self.picks.paper.at {
                    self.form = None;
                }
            }
        }
    }

    fn on_form(&mut self, press: Press) {
        let Some(form) = &mut self.form else {
            return self.turn_to(Page::Paper);
        };
        let taken = match press {
            Press::Esc if form.typing.take().is_some() => Ok(()),
            Press::Esc => return self.turn_to(Page::Paper),
            Press::Char(c) => {
                form.type_in(c);
                Ok(())
            }
            Press::Backspace => {
                form.rub();
                Ok(())
            }
            Press::Enter if form.typing.is_some() => form.take_typed(),
            Press::Enter => return self.turn_to(Page::ReadOut),
            Press::Other | Press::Stop => Ok(()),
            Press::Up
            | Press::Down
            | Press::Left
            | Press::Right
            | Press::PageUp
            | Press::PageDown
            | Press::Home
            | Press::End => form.take_typed().map(|()| match press {
                Press::Up => form.go(form.at.saturating_sub(1)),
                Press::Down => form.go(form.at + 1),
                Press::Left => form.turn(false),
                Press::Right => form.turn(true),
                Press::PageUp | Press::Home => form.go(0),
                _ => form.go(ROWS.len()),
            }),
        };
        if let Err(text) = taken {
            self.message = Some(Message::Trouble(text));
        }
    }

    /// S, then Enter: two keys, so that a held one never starts a clock.
    fn on_read_out(&mut self, press: Press, size: Size, asked: Asked) -> Option<Choice> {
        match press {
            Press::Esc => self.turn_to(Page::Arrange),
            Press::Char('s' | 'S') => {
                self.asked = Asked::Start;
                let text = "Ready? Enter starts the clock at once. Any other key waits.";
                self.message = Some(Message::Notice(text.to_owned()));
            }
            Press::Enter if asked == Asked::Start => return self.seating(),
            Press::Enter => {
                let text = "Press S first, then Enter: the clock starts at once.";
                self.message = Some(Message::Notice(text.to_owned()));
            }
            _ => self.scroll_by(press, size),
        }
        None
    }

    /// Opens the past of the pupil last chosen, or of the first who has one.
    fn open_past(&mut self) {
        if self.past().next().is_none() {
            let first = self.offer.past.first().map(|sitting| &sitting.pupil);
            let place = self.pupils.iter().position(|own| Some(own) == first);
            self.pupil = place.unwrap_or(0);
        }
        self.picks.past.at = 0;
        self.turn_to(Page::Past);
    }

    fn on_past(&mut self, press: Press, size: Size) -> Option<Choice> {
        match press {
            Press::Esc => self.turn_to(Page::Pupil),
            Press::Left | Press::Right => {
                let many = self.pupils.len().max(1);
                let by = if press == Press::Right { 1 } else { many - 1 };
                self.pupil = (self.pupil + by) % many;
                self.picks.past.at = 0;
            }
            Press::Enter => {
                let open = self.past().nth(self.picks.past.at)?;
                if open.open_in_words().is_some() {
                    let path = &open.path;
                    let place = self.open_sittings().iter().position(|(_, own)| own == path);
                    self.picks.go_on.at = place.unwrap_or(0);
                    self.turn_to(Page::GoOn);
                } else {
                    let text = format!("This one is over. It is kept in {}", open.path.display());
                    self.message = Some(Message::Notice(text));
                }
            }
            _ => {
                let names: Vec<_> = self.past().map(|sitting| sitting.paper.clone()).collect();
                self.picks.past.press(press, &names, body_height(size) / 2);
            }
        }
        None
    }

    fn scroll_by(&mut self, press: Press, size: Size) {
        let height = body_height(size);
        let last = self.body(size, &Theme::plain()).furthest(height);
        self.scroll = match press {
            Press::Up => self.scroll.min(last).saturating_sub(1),
            Press::Down => self.scroll + 1,
            Press::PageUp => self.scroll.min(last).saturating_sub(height),
            Press::PageDown => self.scroll + height,
            Press::Home => 0,
            Press::End => last,
            _ => self.scroll,
        }
        .min(last);
    }

    /// The keys that work now.
    pub(super) fn keys(&self) -> &'static [KeyHelp] {
        match (self.asked, self.page) {
            (Asked::Quit, _) => &[("Enter", "quit"), ("any other key", "stay")],
            (Asked::Start, _) => &[("Enter", "start the clock"), ("any other key", "wait")],
            (Asked::Nothing, Page::Pupil) => &[
                ("Up Down", "choose"),
                ("letters", "find"),
                ("Enter", "take"),
                ("Esc", "quit, asks first"),
            ],
            (Asked::Nothing, Page::NewAlias) => &[
                ("letters", "write"),
                ("Backspace", "rub out"),
                ("Enter", "take"),
                ("Esc", "back"),
            ],
            (Asked::Nothing, Page::GoOn) => {
                &[("Up Down", "choose"), ("Enter", "take"), ("Esc", "back")]
            }
            (Asked::Nothing, Page::Paper) => &[
                ("Up Down", "choose"),
                ("letters", "find"),
                ("Enter", "take"),
                ("Esc", "back"),
            ],
            (Asked::Nothing, Page::Arrange) => {
                if self.form.as_ref().is_some_and(|form| form.typing.is_some()) {
                    &[
                        ("digits", "write"),
                        ("Backspace", "rub out"),
                        ("Enter", "take"),
                        ("Esc", "leave as it was"),
                    ]
                } else {
                    &[
                        ("Up Down", "row"),
                        ("Left Right", "change"),
                        ("digits", "type a value"),
                        ("Enter", "go on"),
                        ("Esc", "back"),
                    ]
                }
            }
            (Asked::Nothing, Page::ReadOut) => &[
                ("Up Down", "read on"),
                ("S then Enter", "start the clock"),
                ("Esc", "back"),
            ],
            (Asked::Nothing, Page::Past) => &[
                ("Up Down", "choose"),
                ("Left Right", "another pupil"),
                ("Enter", "open"),
                ("Esc", "back"),
            ],
            (Asked::Nothing, Page::Notices) => &[("Up Down", "read on"), ("Esc", "back")],
        }
    }
}

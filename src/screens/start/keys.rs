//! What each key does on each part of the start page.

use ratatui::layout::Size;

use super::form::ROWS;
use super::model::{Asked, HomeRow, Page, Start};
use super::offer::{Choice, PastSitting};
use super::picker::Picker;
use crate::domain::header::Alias;
use crate::screens::frame::{Message, body_height, is_too_small};
use crate::screens::press::Press;
use crate::screens::theme::Theme;

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
        if self.help {
            self.on_help(press, size);
            return None;
        }
        if press == Press::Help {
            (self.help, self.scroll) = (true, 0);
            return None;
        }
        match self.page {
            Page::Pupil => return self.on_pupils(press, size),
            Page::NewAlias => self.on_alias(press),
            Page::GoOn => return self.on_go_on(press, size, asked),
            Page::Paper => self.on_papers(press, size),
            Page::Arrange => self.on_form(press),
            Page::ReadOut => return self.on_read_out(press, size, asked),
            Page::PastPupil => self.on_past_pupils(press, size),
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

    fn on_help(&mut self, press: Press, size: Size) {
        match press {
            Press::Esc | Press::Enter | Press::Help => (self.help, self.scroll) = (false, 0),
            _ => self.scroll_by(press, size),
        }
    }

    fn on_pupils(&mut self, press: Press, size: Size) -> Option<Choice> {
        let rows = self.home_rows();
        match press {
            Press::Esc => self.ask_to_quit(Asked::Nothing),
            Press::Enter => {
                match rows.get(self.picks.home.at).copied()? {
                    HomeRow::Pupil(index) => self.pupil_chosen(index),
                    HomeRow::NewAlias => self.turn_to(Page::NewAlias),
                    HomeRow::Past => self.turn_to(Page::PastPupil),
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
                self.picks.alias.clear();
                self.turn_to(Page::Pupil);
            }
            Press::Enter => self.alias_typed(),
            Press::Backspace => drop(self.picks.alias.pop()),
            Press::Char(c) => {
                if let Err(text) = self.type_alias(c) {
                    self.message = Some(Message::Trouble(text));
                }
            }
            _ => {}
        }
    }

    /// Takes a character into the alias, or says why no alias has it there.
    fn type_alias(&mut self, c: char) -> Result<(), String> {
        let typed = &self.picks.alias;
        let longer = format!("{typed}{c}");
        if typed.chars().count() == LONGEST_ALIAS {
            return Err(format!(
                "An alias has {LONGEST_ALIAS} characters at the most."
            ));
        }
        // An alias is trimmed when it is read: blanks must not even be typed.
        if !Alias::new(&longer).is_ok_and(|alias| alias.as_str() == longer) {
            let what = match c {
                '-' => "A - cannot begin an alias".to_owned(),
                ' ' => "A space cannot be in an alias".to_owned(),
                _ => format!("{c} cannot be in an alias"),
            };
            return Err(format!("{what}: letters, digits, - and _ can."));
        }
        self.picks.alias = longer;
        Ok(())
    }

    /// S, then Enter: the row may be another pupil's, and its clock would run.
    fn on_go_on(&mut self, press: Press, size: Size, asked: Asked) -> Option<Choice> {
        let chosen = self.open_chosen();
        let enter = if chosen.is_some_and(PastSitting::is_time_up) {
            "opens the guess round"
        } else {
            "starts the clock"
        };
        let who = self.who();
        match (press, chosen) {
            (Press::Esc, _) => self.turn_to(Page::Pupil),
            (Press::Enter, None) => self.turn_to(Page::Paper),
            (Press::Enter, Some(open)) if asked == Asked::GoOn => {
                return Some(Choice::GoOn {
                    path: open.path.clone(),
                });
            }
            (Press::Enter, Some(_)) => {
                let text = format!("Are you {who}? Press S first, then Enter {enter} at once.");
                self.message = Some(Message::Notice(text));
            }
            (Press::Char('s' | 'S'), Some(_)) => {
                let text =
                    format!("Are you {who}? Enter {enter} at once. Any other key goes back.");
                (self.asked, self.message) = (Asked::GoOn, Some(Message::Notice(text)));
            }
            _ => {
                let open = self.open_sittings().len();
                let mut names = vec!["Go on with it".to_owned(); open];
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
            Press::Other | Press::Stop | Press::Help | Press::F(_) => Ok(()),
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
                let text = "Ready? Enter starts the clock at once. Any other key goes back.";
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

    fn on_past_pupils(&mut self, press: Press, size: Size) {
        let pupils = self.past_pupils();
        match press {
            Press::Esc => self.turn_to(Page::Pupil),
            Press::Enter => {
                if let Some(pupil) = pupils.get(self.picks.past_pupil.at) {
                    self.pupil = *pupil;
                    self.picks.past = Picker::default();
                    self.turn_to(Page::Past);
                }
            }
            _ => {
                let name = |place: &usize| self.home_name(HomeRow::Pupil(*place));
                let names: Vec<_> = pupils.iter().map(name).collect();
                self.picks
                    .past_pupil
                    .press(press, &names, body_height(size));
            }
        }
    }

    fn on_past(&mut self, press: Press, size: Size) -> Option<Choice> {
        match press {
            Press::Esc => self.turn_to(Page::PastPupil),
            Press::Enter => {
                let past = self.past().nth(self.picks.past.at)?;
                let path = past.path.clone();
                if past.open_in_words().is_none() {
                    return Some(Choice::Look { path });
                }
                let open = self.open_sittings();
                let place = open.iter().position(|own| own.path == path);
                self.picks.go_on = Picker::on(place.unwrap_or(0));
                self.turn_to(Page::GoOn);
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
}

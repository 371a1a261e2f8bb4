//! What each key does on each page.

use ratatui::layout::Size;

use super::ask::Ask;
use super::model::{Look, Page, Review, Tab};
use super::order::{Against, QuestionsBy};
use super::study::Study;
use super::writing::{Writing, Wrote};
use super::{findings, time};
use crate::domain::marking::Outcome;
use crate::domain::rule::QuestionNo;
use crate::screens::frame::{Message, body_height, is_too_small};
use crate::screens::press::Press;
use crate::screens::theme::Theme;

impl Review {
    /// Takes a key, in a window of this size; what a page cannot do itself comes back.
    ///
    /// In a window too small for the page only Ctrl-C is heard.
    pub fn press(&mut self, press: Press, size: Size) -> Option<Ask> {
        let asked = std::mem::take(&mut self.asked_to_leave);
        if press == Press::Stop {
            return self.ask_to_leave(asked);
        }
        if is_too_small(size) {
            return None;
        }
        self.message = None;
        if asked && press == Press::Enter {
            return Some(Ask::Leave);
        }
        if let Some(writing) = &mut self.writing {
            let wrote = writing.press(press);
            return self.wrote(wrote);
        }
        match self.page {
            Page::List => self.on_list(press, size),
            Page::Wrong(_) => {
                if matches!(press, Press::Esc | Press::Enter) {
                    self.page = Page::List;
                }
                None
            }
            Page::Report(_) => self.on_report(press, size),
            Page::Sitting => self.on_sitting(press, size),
        }
    }

    fn ask_to_leave(&mut self, asked: bool) -> Option<Ask> {
        if asked {
            return Some(Ask::Leave);
        }
        self.asked_to_leave = true;
        let text = "Leave the review? Enter leaves. Any other key stays.";
        self.message = Some(Message::Notice(text.to_owned()));
        None
    }

    fn wrote(&mut self, wrote: Wrote) -> Option<Ask> {
        match wrote {
            Wrote::On => return None,
            Wrote::Dropped => self.writing = None,
            Wrote::Keep(saying) => {
                self.writing = None;
                return Some(Ask::Say(saying));
            }
        }
        None
    }

    fn on_list(&mut self, press: Press, size: Size) -> Option<Ask> {
        match press {
            Press::Enter => return self.open_chosen(),
            Press::F(2 | 3) => return self.open_report(press),
            Press::Esc if self.list.unfilter() => {}
            Press::Esc => return self.ask_to_leave(false),
            _ => self.list.press(press, body_height(size).saturating_sub(2)),
        }
        None
    }

    fn on_report(&mut self, press: Press, size: Size) -> Option<Ask> {
        match press {
            Press::Esc => self.page = Page::List,
            Press::F(2 | 3) => return self.open_report(press),
            _ => self.scroll(press, size),
        }
        None
    }

    fn on_sitting(&mut self, press: Press, size: Size) -> Option<Ask> {
        let (study, look) = self.open.as_deref_mut()?;
        let typed = std::mem::take(&mut look.typed);
        match press {
            Press::Char(c) if c.is_ascii_digit() && typed.len() < 3 => {
                look.typed = format!("{typed}{c}");
                return None;
            }
            Press::Backspace if !typed.is_empty() => {
                look.typed = typed;
                look.typed.pop();
                return None;
            }
            Press::Enter if !typed.is_empty() => {
                self.jump(&typed);
                return None;
            }
            Press::Esc if !typed.is_empty() => return None,
            Press::Esc => {
                self.page = Page::List;
                return None;
            }
            Press::Char('e' | 'E') if has_question(look.tab) => {
                self.set_cause();
                return None;
            }
            Press::Char('n' | 'N') => {
                self.write_note();
                return None;
            }
            Press::Left | Press::Right if look.tab != Tab::Replay => {
                look.tab = look.tab.turn(press == Press::Right);
                look.scroll = 0;
                return None;
            }
            _ => {}
        }
        if let Press::Char(c) = press
            && let Some(tab) = Tab::by_letter(c)
        {
            look.tab = tab;
            look.scroll = 0;
            return None;
        }
        match look.tab {
            Tab::Time => on_time(study, look, press, size),
            Tab::Lanes => match press {
                Press::Enter => look.tab = Tab::Question,
                _ => choose(look, press, &study.numbers(), body_height(size)),
            },
            Tab::Findings => on_findings(study, look, press),
            Tab::Question => match press {
                Press::Up | Press::Down | Press::Home | Press::End => {
                    look.scroll = 0;
                    choose(look, press, &study.numbers(), 1);
                }
                _ => self.scroll(press, size),
            },
            Tab::Replay => look.player.press(study, press),
            Tab::Marks | Tab::Curve => self.scroll(press, size),
            Tab::Beside => return self.on_beside(press, size),
        }
        None
    }

    fn jump(&mut self, typed: &str) {
        let Some((study, look)) = self.open.as_deref_mut() else {
            return;
        };
        let question = typed.parse().ok().map(QuestionNo);
        if let Some(question) = question.filter(|question| study.facts(*question).is_some()) {
            look.question = question;
            look.scroll = 0;
            look.tab = Tab::Question;
        } else {
            let text = format!("There is no question {typed} in this sitting.");
            self.message = Some(Message::Trouble(text));
        }
    }

    fn set_cause(&mut self) {
        let Some((study, look)) = self.open.as_deref() else {
            return;
        };
        let number = look.question;
        let outcome = study.facts(number).and_then(|facts| facts.outcome);
        let text = match (&study.opened.notes, outcome) {
            (Err(reason), _) => reason.clone(),
            (_, Some(Outcome::Right | Outcome::Void)) => {
                format!("No mark was lost on question {number}, so there is no cause to set.")
            }
            (Ok(notes), _) => {
                let words = notes.questions.get(&number).map(|said| said.text.clone());
                let before = notes.cause(number);
                let writing = Writing::cause(number, before, words.unwrap_or_default());
                self.writing = Some(writing);
                return;
            }
        };
        self.message = Some(Message::Trouble(text));
    }

    fn write_note(&mut self) {
        let Some((study, look)) = self.open.as_deref() else {
            return;
        };
        let question = has_question(look.tab).then_some(look.question);
        match &study.opened.notes {
            Err(reason) => self.message = Some(Message::Trouble(reason.clone())),
            Ok(notes) => {
                let said = match question {
                    Some(number) => notes.questions.get(&number),
                    None => notes.whole.as_ref(),
                };
                self.writing = Some(Writing::Note {
                    question,
                    text: said.map(|said| said.text.clone()).unwrap_or_default(),
                    cause: said.and_then(|said| said.cause),
                });
            }
        }
    }

    fn on_beside(&mut self, press: Press, size: Size) -> Option<Ask> {
        let group = self
            .open
            .as_deref()
            .is_some_and(|(study, _)| study.group.is_some());
        if !self.beside.is_choosing() {
            match press {
                Press::Char('o' | 'O') | Press::Enter => self.beside.choose(),
                _ => self.scroll(press, size),
            }
            return None;
        }
        self.beside.press(press, group, body_height(size))
    }

    /// Scrolls a page of text.
    fn scroll(&mut self, press: Press, size: Size) {
        let height = body_height(size);
        let last = self.written(size, &Theme::plain()).furthest();
        let scroll = match (&mut self.page, self.open.as_deref_mut()) {
            (Page::Report(shown), _) => &mut shown.scroll,
            (_, Some((_, look))) => &mut look.scroll,
            _ => return,
        };
        let now = (*scroll).min(last);
        *scroll = match press {
            Press::Up => now.saturating_sub(1),
            Press::Down => now + 1,
            Press::PageUp => now.saturating_sub(height),
            Press::PageDown => now + height,
            Press::Home => 0,
            Press::End => last,
            _ => now,
        }
        .min(last);
    }
}

/// Whether a page acts on one question.
pub(super) const fn has_question(tab: Tab) -> bool {
    matches!(tab, Tab::Time | Tab::Lanes | Tab::Question)
}

fn on_time(study: &Study, look: &mut Look, press: Press, size: Size) {
    match press {
        Press::Enter => look.tab = Tab::Question,
        Press::Char('s' | 'S') => {
            look.by = match look.by {
                QuestionsBy::Number => QuestionsBy::Time,
                QuestionsBy::Time => QuestionsBy::Number,
            };
        }
        Press::Char('g' | 'G') if study.group.is_some() => {
            look.against = match look.against {
                Against::Plan => Against::Group,
                Against::Group => Against::Plan,
            };
        }
        _ => choose(
            look,
            press,
            &time::numbers(study, look.by),
            body_height(size),
        ),
    }
}

fn on_findings(study: &Study, look: &mut Look, press: Press) {
    let shown = findings::shown(study, look);
    let last = shown.len().saturating_sub(1);
    match press {
        Press::Up => look.finding = look.finding.min(last).saturating_sub(1),
        Press::Down => look.finding = (look.finding + 1).min(last),
        Press::Home | Press::PageUp => look.finding = 0,
        Press::End | Press::PageDown => look.finding = last,
        Press::Char('a' | 'A') => {
            look.every_finding = !look.every_finding;
            look.finding = 0;
        }
        Press::Enter => {
            let told = shown.get(look.finding.min(last));
            if let Some(question) = told.and_then(|told| told.questions.first()) {
                look.question = *question;
                look.scroll = 0;
                look.tab = Tab::Question;
            }
        }
        _ => {}
    }
}

/// Moves the chosen question through `numbers`.
fn choose(look: &mut Look, press: Press, numbers: &[QuestionNo], page: usize) {
    let last = numbers.len().saturating_sub(1);
    let at = numbers
        .iter()
        .position(|own| *own == look.question)
        .unwrap_or(0);
    let to = match press {
        Press::Up => at.saturating_sub(1),
        Press::Down => at + 1,
        Press::PageUp => at.saturating_sub(page),
        Press::PageDown => at + page,
        Press::Home => 0,
        Press::End => last,
        _ => at,
    };
    if let Some(number) = numbers.get(to.min(last)) {
        look.question = *number;
    }
}

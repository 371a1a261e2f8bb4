//! What stands on each part of the start page.

use ratatui::text::{Line, Span};

use super::form::{CURSOR, ROWS};
use super::keys::Act;
use super::offer::{PastSitting, PastState};
use super::state::{HomeRow, Stage, Start};
use crate::domain::paper::Paper;
use crate::screens::kit::{Body, KeyMap, Message, Page, PageWriter, Room};
use crate::screens::theme::Theme;
use crate::season::familiarity::{Familiarity, Questions};
use crate::words::count::counted;
use crate::words::drill;
use crate::words::instructions::{OwnAims, read_out, time_allowed};
use crate::words::samples;
use crate::words::start as words;
use crate::words::step::{YOUR_STEP, to_do};
use crate::words::text::wrap;
use crate::words::time::day;

impl Page for Start {
    type Act = Act;

    fn trail(&self, theme: Theme) -> Line<'static> {
        if self.help {
            return Line::styled(words::HELP, theme.heading);
        }
        let here = match self.page {
            Stage::Pupil | Stage::NewAlias | Stage::Learn | Stage::GoOn | Stage::Practice => 0,
            Stage::Paper => 1,
            Stage::Arrange => 2,
            Stage::ReadOut => 3,
            Stage::PastPupil | Stage::Past => {
                return Line::styled(words::PAST_SITTINGS, theme.heading);
            }
            Stage::Notices => {
                return Line::styled(words::NOT_READ, theme.heading);
            }
        };
        let steps = ["1 pupil", "2 paper", "3 arrangements", "4 read out"];
        let mut spans = vec![Span::styled("Start:", theme.heading)];
        for (place, step) in steps.into_iter().enumerate() {
            spans.push(if place == here {
                Span::styled(format!(" [{step}]"), theme.heading)
            } else {
                Span::raw(format!("  {step} "))
            });
        }
        spans.into()
    }

    fn keys(&self) -> KeyMap<Act> {
        self.key_map()
    }

    fn body(&self, room: Room) -> Body {
        let mut page = PageWriter::new(room, self.scroll);
        match self.page {
            _ if self.help => self.help_page(&mut page),
            Stage::Pupil => self.pupils_page(&mut page),
            Stage::NewAlias => self.alias_page(&mut page),
            Stage::Learn => self.learn_page(&mut page),
            Stage::GoOn => self.go_on_page(&mut page),
            Stage::Practice => self.practice_page(&mut page),
            Stage::Paper => self.papers_page(&mut page),
            Stage::Arrange => self.form_page(&mut page),
            Stage::ReadOut => self.read_out_page(&mut page),
            Stage::PastPupil => self.past_pupils_page(&mut page),
            Stage::Past => self.past_page(&mut page),
            Stage::Notices => self.notices_page(&mut page),
        }
        page.body
    }

    fn message(&self) -> Option<Message> {
        self.message.clone()
    }
}

impl Start {
    /// The steps, then the arrangements, then the keys of the page that the help was opened on.
    fn help_page(&self, page: &mut PageWriter) {
        page.heading("Steps");
        for (step, text) in words::STEPS {
            page.text(&format!("{step}: {text}"));
        }
        page.block(words::ARRANGEMENTS);
        for row in ROWS {
            page.text(&format!("{}: {}", row.name(), row.explained()));
        }
        page.keys(&self.part_keys(), &Self::help_map());
    }

    fn pupils_page(&self, page: &mut PageWriter) {
        page.heading(words::WHO);
        page.text(words::CHOOSE_ALIAS);
        page.blank();
        for (place, row) in self.lists.home.rows().iter().copied().enumerate() {
            if row == HomeRow::NewAlias && place > 0 {
                page.blank();
            }
            let note = match row {
                HomeRow::Pupil(index) => self.open_note(index),
                HomeRow::Notices => counted(self.offer.notices.len(), "file"),
                HomeRow::NewAlias | HomeRow::Past | HomeRow::Quit => String::new(),
            };
            page.row(place == self.lists.home.at(), &self.home_name(row), &note);
        }
        page.blank();
        if self.is_shared() {
            page.text(words::SHARED_MACHINE);
        }
        page.text(&words::kept_in(&self.offer.sessions));
    }

    fn open_note(&self, pupil: usize) -> String {
        if self.is_shared() {
            return String::new();
        }
        let mut open = self.offer.past.iter().filter(|sitting| {
            Some(&sitting.pupil) == self.pupils.get(pupil)
                && matches!(sitting.state, PastState::Open { .. })
        });
        let first = open.next().and_then(PastSitting::open_in_words);
        match (first, open.count()) {
            (None, _) => String::new(),
            (Some(said), 0) => format!("open: {said}"),
            (Some(_), more) => format!("{} sittings open", more + 1),
        }
    }

    fn alias_page(&self, page: &mut PageWriter) {
        page.heading(words::NEW_ALIAS);
        page.text(words::WHAT_AN_ALIAS_IS);
        page.text(words::HOW_AN_ALIAS_LOOKS);
        page.blank();
        page.row(true, &format!("Alias: {}{CURSOR}", self.lists.alias), "");
    }

    fn learn_page(&self, page: &mut PageWriter) {
        page.heading(self.who());
        page.text(drill::LEARN_FIRST);
        page.blank();
        for (place, learns) in self.lists.learn.rows().iter().enumerate() {
            let name = if *learns {
                drill::LEARN
            } else {
                drill::STRAIGHT_ON
            };
            page.row(place == self.lists.learn.at(), name, "");
        }
    }

    fn practice_page(&self, page: &mut PageWriter) {
        page.heading(self.who());
        page.text(words::SIT_OR_PRACTISE);
        page.blank();
        for (place, practises) in self.lists.practice.rows().iter().enumerate() {
            let name = match self.due() {
                Some(due) if *practises => words::practice_due(due),
                _ => words::SIT_A_PAPER.to_owned(),
            };
            page.row(place == self.lists.practice.at(), &name, "");
        }
    }

    fn go_on_page(&self, page: &mut PageWriter) {
        let open = self.open_sittings();
        let said = |sitting: &PastSitting| sitting.open_in_words().unwrap_or_default();
        let question = words::go_on(self.who(), open.len());
        for line in wrap(&question, page.width) {
            page.heading(&line);
        }
        page.blank();
        for (place, sitting) in open.iter().enumerate() {
            let chosen = place == self.lists.go_on.at();
            page.row(chosen, words::GO_ON_WITH_IT, "");
            page.below_row(chosen, &said(sitting), true);
        }
        page.row(self.lists.go_on.at() == open.len(), "Another paper", "");
        page.blank();
        let chosen = self.open_chosen();
        if let Some(damage) = chosen.and_then(PastSitting::damage_in_words) {
            page.text(&damage);
        }
        page.text(&words::below_the_choice(
            self.who(),
            chosen.map(PastSitting::goes_on),
        ));
        let step = chosen.and_then(|_| self.offer.step_of(self.who()));
        if let Some(step) = step {
            page.block(YOUR_STEP);
            page.text(&to_do(step));
        }
    }

    fn papers_page(&self, page: &mut PageWriter) {
        page.heading(&words::which_paper(self.who()));
        page.blank();
        if self.offer.papers.is_empty() {
            page.text(words::NO_PAPER);
            page.text(words::WHAT_A_PAPER_IS);
            if let Some(carried) = &self.offer.samples {
                page.blank();
                page.text(carried);
                page.text(samples::W_FIRST);
            }
        }
        for (place, offer) in self.offer.papers.iter().enumerate() {
            let chosen = place == self.lists.paper.at();
            let file = offer.path.file_name().unwrap_or_default();
            let file = file.to_string_lossy();
            match &offer.paper {
                Ok(paper) => {
                    page.row(chosen, &paper.outline.title, &self.sat_before(paper));
                    page.below_row(chosen, &words::paper(paper, offer.has_key), chosen);
                    if page.width >= 100 {
                        page.below_row(chosen, &format!("file: {file}"), false);
                    }
                }
                Err(reason) => {
                    page.row(chosen, &file, words::CANNOT_BE_READ);
                    page.below_row(chosen, reason, chosen);
                }
            }
        }
    }

    /// When the pupil met the questions of this paper before.
    fn sat_before(&self, paper: &Paper) -> String {
        if self.is_shared() {
            return String::new();
        }
        let questions = Questions::of_paper(paper);
        let is_of = |sitting: &&PastSitting| {
            Familiarity::of(&questions, [&sitting.questions]).is_sat_before()
        };
        self.past().find(is_of).map_or_else(String::new, |sitting| {
            words::sat_on(sitting.date, sitting.paper == paper.outline.title)
        })
    }

    fn form_page(&self, page: &mut PageWriter) {
        let (Some(form), Some(paper)) = (&self.form, self.paper()) else {
            return;
        };
        page.heading(&format!("{}: {}", self.who(), paper.outline.title));
        let extra = form.arrangements().extra_percent;
        page.text(&format!(
            "Time allowed: {}",
            time_allowed(form.standard(), extra)
        ));
        if form.is_bound() {
            page.text(words::BOUND);
        }
        page.blank();
        // Each row explained where there is room, else the chosen one.
        let roomy = page.height >= page.body.lines.len() + 2 * ROWS.len();
        for (place, row) in ROWS.into_iter().enumerate() {
            let chosen = place == form.at;
            let value = if form.is_bound() {
                format!("{:<19}{}", row.name(), form.value(row))
            } else {
                format!("{:<19}< {} >", row.name(), form.value(row))
            };
            page.row(chosen, &value, form.note(row));
            if !form.is_bound() && (roomy || chosen) {
                page.below_row(chosen, row.explained(), false);
            }
        }
    }

    fn read_out_page(&self, page: &mut PageWriter) {
        let (Some(form), Some(paper)) = (&self.form, self.paper()) else {
            return;
        };
        page.heading(&format!("{}: {}", self.who(), paper.outline.title));
        page.text(words::READ_THIS_OUT);
        let arranged = form.arrangements();
        let own = OwnAims {
            plan: self.offer.plan.as_ref(),
            step: self.offer.step_of(self.who()),
        };
        for block in read_out(paper, form.standard(), &arranged, own, self.offer.today) {
            page.blank();
            page.heading(block.heading);
            for line in &block.lines {
                page.text(line);
            }
        }
        page.blank();
        page.heading("Keys");
        for line in words::keys(paper, arranged.rest_breaks) {
            page.text(&line);
        }
    }

    fn past_pupils_page(&self, page: &mut PageWriter) {
        page.heading(words::WHOSE_PAST);
        page.text(words::YOUR_OWN);
        page.blank();
        for (place, pupil) in self.lists.past_pupil.rows().iter().enumerate() {
            let name = self.home_name(HomeRow::Pupil(*pupil));
            page.row(place == self.lists.past_pupil.at(), &name, "");
        }
    }

    /// Only the pupil chosen on the way in, since nobody is to be held against another here.
    fn past_page(&self, page: &mut PageWriter) {
        page.heading(&words::past_of(self.who()));
        page.blank();
        let mut none = true;
        for (place, sitting) in self.past().enumerate() {
            none = false;
            let chosen = place == self.lists.past.at();
            let name = format!("{}  {}", day(sitting.date), sitting.paper);
            if page.width >= 110 {
                page.row(chosen, &name, &sitting.result_in_words());
            } else {
                page.row(chosen, &name, "");
                page.below_row(chosen, &sitting.result_in_words(), chosen);
            }
        }
        if none {
            page.text("None yet.");
        }
    }

    fn notices_page(&self, page: &mut PageWriter) {
        page.text(words::NOTHING_CHANGED);
        for notice in &self.offer.notices {
            page.blank();
            page.text(notice);
        }
    }
}

//! What stands on each part of the start page.

use ratatui::text::{Line, Span};

use super::form::{CURSOR, ROWS};
use super::keys::Act;
use super::offer::{PaperOffer, PastSitting, PastState};
use super::state::{HomeRow, Stage, Start};
use crate::domain::mark::Mark;
use crate::domain::paper::Paper;
use crate::screens::kit::{Body, KeyMap, Message, Page, PageWriter, Room};
use crate::screens::theme::Theme;
use crate::words::count::counted;
use crate::words::instructions::{read_out, time_allowed};
use crate::words::text::wrap;
use crate::words::time::{date_in_words, time_in_words};

/// The keys of a sitting, in five lines, read out before it.
fn sitting_keys(paper: &Paper) -> [String; 5] {
    let labels = &paper.outline.options;
    let number = if labels.are_digits() {
        "# and a number"
    } else {
        "A number"
    };
    [
        format!("{} answers. Backspace rubs the answer out.", labels.range()),
        format!("Arrows and Enter move. {number}, then Enter, goes to that question."),
        "Space leaves a question for later. Tab puts a flag beside it.".to_owned(),
        "- says that the last answer is unsure, or a guess.".to_owned(),
        "F1 or ? helps. Esc opens the menu: rest break, finish early.".to_owned(),
    ]
}

/// The steps and what else the page can do, each with what is to be known of it.
const STEPS: [(&str, &str); 5] = [
    (
        "1 pupil",
        "An alias, never a real name. A sitting left open can be gone on with: S, then Enter.",
    ),
    (
        "2 paper",
        "Files that end in .paper.ron. With a key beside it, the marks can be shown at the end.",
    ),
    (
        "3 arrangements",
        "What this sitting is to be like; see below.",
    ),
    (
        "4 read out",
        "Everything the pupil must know. S, then Enter: the clock starts at once.",
    ),
    (
        "Past sittings",
        "What came of a pupil's own sittings. Enter shows a result again.",
    ),
];

impl Page for Start {
    type Act = Act;

    fn trail(&self, theme: Theme) -> Line<'static> {
        if self.help {
            return Line::styled("Pacebell: help for the start", theme.heading);
        }
        let here = match self.page {
            Stage::Pupil | Stage::NewAlias | Stage::GoOn => 0,
            Stage::Paper => 1,
            Stage::Arrange => 2,
            Stage::ReadOut => 3,
            Stage::PastPupil | Stage::Past => {
                return Line::styled("Pacebell: past sittings", theme.heading);
            }
            Stage::Notices => {
                return Line::styled("Pacebell: what could not be read", theme.heading);
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
            Stage::GoOn => self.go_on_page(&mut page),
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
        for (step, text) in STEPS {
            page.text(&format!("{step}: {text}"));
        }
        page.block("Arrangements: Left and Right change a row, or type a value");
        for row in ROWS {
            page.text(&format!("{}: {}", row.name(), row.explained()));
        }
        page.keys(&self.part_keys(), &Self::help_map());
    }

    fn pupils_page(&self, page: &mut PageWriter) {
        page.heading("Who is sitting?");
        page.text("Choose an alias, or write a new one.");
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
        page.text(&format!("Sittings are kept in {}", self.offer.sessions));
    }

    fn open_note(&self, pupil: usize) -> String {
        let mut open = self.offer.past.iter().filter(|sitting| {
            Some(&sitting.pupil) == self.pupils.get(pupil)
                && matches!(sitting.state, PastState::Open { .. })
        });
        let first = open.next().and_then(PastSitting::open_in_words);
        match (first, open.count()) {
            (None, _) => String::new(),
            (Some(words), 0) => format!("open: {words}"),
            (Some(_), more) => format!("{} sittings open", more + 1),
        }
    }

    fn alias_page(&self, page: &mut PageWriter) {
        page.heading("A new alias");
        page.text(
            "An alias stands in files and on screens instead of a name: an animal, a colour, a \
             place. Never a real name, and nothing that tells who it is.",
        );
        page.text("1 to 40 letters, digits, - or _. For example: otter, blue-7.");
        page.blank();
        page.row(true, &format!("Alias: {}{CURSOR}", self.lists.alias), "");
    }

    fn go_on_page(&self, page: &mut PageWriter) {
        let open = self.open_sittings();
        let words = |sitting: &&PastSitting| sitting.open_in_words().unwrap_or_default();
        let first = open.first().map(words).unwrap_or_default();
        let question = match open.len() {
            1 => format!("{} has a sitting open: {first}. Go on with it?", self.who()),
            many => format!("{} has {many} sittings open. Go on with one?", self.who()),
        };
        for line in wrap(&question, page.width) {
            page.heading(&line);
        }
        page.blank();
        for (place, sitting) in open.iter().enumerate() {
            let chosen = place == self.lists.go_on.at();
            page.row(chosen, "Go on with it", "");
            page.below_row(chosen, &words(sitting), true);
        }
        page.row(self.lists.go_on.at() == open.len(), "Another paper", "");
        page.blank();
        page.text(&match self.open_chosen() {
            None => "What is open stays open. Enter goes on to the papers.".to_owned(),
            Some(open) if open.is_time_up() => format!(
                "Time is up; the guess round is left. Are you {}? Press S, then Enter.",
                self.who()
            ),
            Some(_) => format!(
                "Are you {}? Press S, then Enter: the clock runs.",
                self.who()
            ),
        });
    }

    fn papers_page(&self, page: &mut PageWriter) {
        page.heading(&format!("{}: which paper?", self.who()));
        page.blank();
        if self.offer.papers.is_empty() {
            page.text("No paper was found.");
            page.text(
                "A paper is a file whose name ends in .paper.ron. Put one into the folder that \
                 Pacebell is started from, then start Pacebell again.",
            );
        }
        for (place, offer) in self.offer.papers.iter().enumerate() {
            let chosen = place == self.lists.paper.at();
            let file = offer.path.file_name().unwrap_or_default();
            let file = file.to_string_lossy();
            match &offer.paper {
                Ok(paper) => {
                    page.row(chosen, &paper.outline.title, &self.sat_before(paper));
                    page.below_row(chosen, &paper_in_words(paper, offer), chosen);
                    if page.width >= 100 {
                        page.below_row(chosen, &format!("file: {file}"), false);
                    }
                }
                Err(reason) => {
                    page.row(chosen, &file, "! cannot be read");
                    page.below_row(chosen, reason, chosen);
                }
            }
        }
    }

    /// When the pupil sat this paper before.
    fn sat_before(&self, paper: &Paper) -> String {
        let title = &paper.outline.title;
        self.past()
            .find(|sitting| sitting.paper == *title)
            .map_or_else(String::new, |sitting| {
                format!("sat on {}", date_in_words(sitting.date))
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
        page.blank();
        // Each row explained where there is room, else the chosen one.
        let roomy = page.height >= page.body.lines.len() + 2 * ROWS.len();
        for (place, row) in ROWS.into_iter().enumerate() {
            let chosen = place == form.at;
            let value = format!("{:<17}< {} >", row.name(), form.value(row));
            page.row(chosen, &value, form.note(row));
            if roomy || chosen {
                page.below_row(chosen, row.explained(), false);
            }
        }
    }

    fn read_out_page(&self, page: &mut PageWriter) {
        let (Some(form), Some(paper)) = (&self.form, self.paper()) else {
            return;
        };
        page.heading(&format!("{}: {}", self.who(), paper.outline.title));
        page.text("Read this out. Press S, then Enter: the clock starts.");
        let arranged = form.arrangements();
        for block in read_out(paper, form.standard(), &arranged, self.offer.today) {
            page.blank();
            page.heading(block.heading);
            for line in &block.lines {
                page.text(line);
            }
        }
        page.blank();
        page.heading("Keys");
        for line in sitting_keys(paper) {
            page.text(&line);
        }
    }

    fn past_pupils_page(&self, page: &mut PageWriter) {
        page.heading("Whose past sittings?");
        page.text("Choose your own alias.");
        page.blank();
        for (place, pupil) in self.lists.past_pupil.rows().iter().enumerate() {
            let name = self.home_name(HomeRow::Pupil(*pupil));
            page.row(place == self.lists.past_pupil.at(), &name, "");
        }
    }

    /// Only the pupil chosen on the way in, since nobody is to be held against another here.
    fn past_page(&self, page: &mut PageWriter) {
        page.heading(&format!("Past sittings of {}", self.who()));
        page.blank();
        let mut none = true;
        for (place, sitting) in self.past().enumerate() {
            none = false;
            let chosen = place == self.lists.past.at();
            let name = format!("{}  {}", date_in_words(sitting.date), sitting.paper);
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
        page.text("These files could not be read. Nothing in them was changed.");
        for notice in &self.offer.notices {
            page.blank();
            page.text(notice);
        }
    }
}

/// `25 questions, 60 minutes, 135 marks. On the screen. The key is here.`
fn paper_in_words(paper: &Paper, offer: &PaperOffer) -> String {
    let rule = &paper.outline.rule;
    let section = |s: &crate::domain::rule::Section| {
        let many = i64::from(s.last.0.saturating_sub(s.first.0)) + 1;
        s.best() * many
    };
    let most: Mark = rule.sections.iter().map(section).sum::<Mark>() + rule.start;
    let place = if paper.outline.on_screen {
        "On the screen."
    } else {
        "On paper."
    };
    let key = if offer.has_key {
        "Key here."
    } else {
        "No key here."
    };
    format!(
        "{}, {}, {most} marks. {place} {key}",
        counted(paper.outline.questions, "question"),
        time_in_words(paper.allowed)
    )
}

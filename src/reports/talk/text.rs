//! The sheet as text.

use super::{TalkSheet, named};
use crate::domain::step::Step;
use crate::words::step::{agreed_and_when, to_do};
use crate::words::talk as words;
use crate::words::text::wrap;

/// The columns of the text.
const WIDTH: usize = 78;

/// The text, ended by a line end.
pub fn text(sheet: &TalkSheet) -> String {
    let mut page = SheetLines::default();
    page.plain(&words::title(&sheet.header.pupil));
    page.plain(&words::about(&sheet.header));
    for notice in &sheet.notices {
        page.plain(notice);
    }
    page.plain(words::WHAT_IT_IS);
    if let Some(before) = &sheet.before {
        page.heading(words::LAST_STEP);
        page.plain(&agreed_and_when(before));
    }
    page.heading(words::PUPIL_FIRST);
    for question in words::ASK_FIRST {
        page.plain(question);
    }
    page.heading(words::FINDINGS);
    if sheet.findings.is_empty() {
        page.plain(words::NO_FINDINGS);
    } else {
        page.plain(&words::what_lines_are(&sheet.file));
    }
    for (number, own) in (1..).zip(&sheet.findings) {
        let tone = words::tone(own.finding.tone());
        page.indented(&format!("{number}. "), &format!("{tone}: {}", own.words()));
        let (lines, more) = named(&own.log);
        for line in lines.iter().chain(&more) {
            page.indented("   - ", line);
        }
    }
    page.heading(words::LOST);
    match &sheet.lost {
        Err(why) => page.plain(why),
        Ok(all) if all.is_empty() => page.plain(words::NONE_LOST),
        Ok(all) => {
            page.plain(words::HOW_LOST);
            for own in all {
                let said = words::lost(own.question, own.given, own.marks, own.time, own.visits);
                page.indented("- ", &said);
                if let Some(cause) = own.cause {
                    page.indented("  ", &format!("{} {cause}.", words::TUTORS_CAUSE));
                }
            }
        }
    }
    page.heading(words::STEP);
    match sheet.standing() {
        Some((step, _)) => {
            page.plain(&to_do(step));
            page.plain(match step {
                Step::Listed(_) => words::JUDGED_LATER,
                Step::OwnWords(_) => words::NOT_JUDGED,
            });
        }
        None => page.plain(&words::how_to_agree(&sheet.file)),
    }
    if let Some(own) = sheet.own.as_ref().filter(|own| !own.state.is_open()) {
        page.plain(&agreed_and_when(own));
    }
    page.blank();
    for line in &sheet.remember {
        page.plain(line);
    }
    page.0.join("\n") + "\n"
}

/// The lines so far.
#[derive(Default)]
struct SheetLines(Vec<String>);

impl SheetLines {
    fn blank(&mut self) {
        self.0.push(String::new());
    }

    fn heading(&mut self, text: &str) {
        self.blank();
        self.plain(text);
    }

    fn plain(&mut self, text: &str) {
        self.0.extend(wrap(text, WIDTH));
    }

    fn indented(&mut self, first: &str, text: &str) {
        let room = WIDTH.saturating_sub(first.len());
        let indent = " ".repeat(first.len());
        for (place, line) in wrap(text, room).into_iter().enumerate() {
            let before = if place == 0 { first } else { &indent };
            self.0.push(format!("{before}{line}"));
        }
    }
}

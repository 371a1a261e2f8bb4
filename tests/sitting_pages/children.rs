//! A child sits whole papers: before each answer every option has been on the page, and the
//! terminal's cursor stands on the open question.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crossterm::event::KeyCode;
use pacebell::domain::labels::Label;
use pacebell::domain::paper::Paper;
use pacebell::domain::rule::QuestionNo;
use pacebell::plain::Plain;
use pacebell::screens::sitting::{draw, question_fits};
use pacebell::screens::theme::Theme;
use pacebell::storage::files::paper::load;
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};

use crate::bench::Bench;

/// The papers that come with the program, by name.
fn sample_papers() -> Vec<(PathBuf, Paper)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
    let files = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let mut papers: Vec<PathBuf> = files
        .filter(|path| path.to_string_lossy().ends_with(".paper.ron"))
        .collect();
    papers.sort();
    assert!(papers.len() >= 3, "{papers:?}");
    papers
        .into_iter()
        .map(|path| (path.clone(), load(&path).unwrap()))
        .collect()
}

/// The letters whose options are on the page: the letter, and behind it where its words begin.
fn on_the_page(bench: &Bench, paper: &Paper, question: QuestionNo) -> BTreeSet<char> {
    let text = bench.text();
    let labels = paper.outline.labels(question);
    let options = &paper.question(question).unwrap().options;
    let shown = labels.iter().zip(options).filter(|(label, option)| {
        let begins = option.split_whitespace().next().unwrap();
        let marks = [format!(" {label}  {begins}"), format!("[{label}] {begins}")];
        marks.iter().any(|mark| text.contains(mark.as_str()))
    });
    shown.map(|(label, _)| label.as_char()).collect()
}

/// The line on which the cursor stands, from there on.
fn at_the_cursor(bench: &Bench) -> String {
    let area = Rect::new(0, 0, bench.size.width, bench.size.height);
    let at = draw(&bench.model, &bench.desk(), area, &mut Buffer::empty(area));
    let buffer = bench.buffer();
    (at.x..area.width)
        .map(|x| buffer[(x, at.y)].symbol().to_owned())
        .collect()
}

/// Answers every question with a letter that changes from one to the next.
fn sits(name: &str, paper: &Paper, size: Size, theme: Theme) {
    let mut bench = Bench::of(paper.clone());
    bench.size = size;
    bench.theme = theme;
    for number in 1..=paper.outline.questions {
        let question = QuestionNo(number);
        let place = format!("{name} {number} at {}x{}", size.width, size.height);
        assert_eq!(bench.sitting.open(), Some(question), "{place}");
        let here = at_the_cursor(&bench);
        let on_its_row = here.starts_with(&format!(">{number:>2} "));
        let on_its_head = here.starts_with(&format!("Question {number}"));
        assert!(
            on_its_row || on_its_head,
            "{place}: the cursor is on {here:?}"
        );
        let letters: Vec<char> = {
            let labels = paper.outline.labels(question);
            labels.iter().map(Label::as_char).collect()
        };
        let mut seen = on_the_page(&bench, paper, question);
        if question_fits(paper, question, size) {
            assert_eq!(seen.len(), letters.len(), "{place}\n{}", bench.text());
        }
        for _ in 0..12 {
            if seen.len() == letters.len() {
                break;
            }
            bench.arrow(KeyCode::Down);
            assert_eq!(
                bench.sitting.open(),
                Some(question),
                "{place}: it reads on first"
            );
            seen.extend(on_the_page(&bench, paper, question));
        }
        assert_eq!(seen.len(), letters.len(), "{place}\n{}", bench.text());
        let letter = letters[usize::from(number) % letters.len()];
        bench.keys(&letter.to_lowercase().to_string());
        assert_eq!(bench.answer(number), Some(letter), "{place}");
        bench.keys("<right>");
    }
    assert_eq!(bench.sitting.blanks().count(), 0);
    bench.keys("<esc>fy<enter>");
    assert!(bench.sitting.is_closed());
}

#[test]
fn every_sample_paper_is_sat_from_the_pages_alone() {
    for (path, paper) in sample_papers() {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(paper.outline.on_screen, "{name}");
        for (width, height) in [(60, 18), (80, 24), (120, 40)] {
            let size = Size::new(width, height);
            for theme in [Theme::plain(), Theme::colour()] {
                sits(&name, &paper, size, theme);
            }
            for number in 1..=paper.outline.questions {
                let fits = question_fits(&paper, QuestionNo(number), size);
                assert!(fits || width == 60, "{name} {number} at {width}x{height}");
            }
        }
    }
}

#[test]
fn every_sample_paper_is_sat_by_ear() {
    for (path, paper) in sample_papers() {
        let bench = Bench::of(paper.clone());
        let mut plain = Plain::new(&bench.scene());
        let mut bench = Bench::of(paper.clone());
        let mut heard = plain.opening(&bench.scene()).said;
        for number in 1..=paper.outline.questions {
            let question = QuestionNo(number);
            let labels = paper.outline.labels(question);
            let options = &paper.question(question).unwrap().options;
            for (label, option) in labels.iter().zip(options) {
                let line = format!("{label}: {option}");
                assert!(heard.contains(&line), "{path:?} {number}: {heard:?}");
            }
            let drawn = heard.join("\n");
            let drawn = drawn
                .chars()
                .find(|c| ('\u{2500}'..='\u{259f}').contains(c));
            assert_eq!(drawn, None, "{path:?} {number}: a figure is told in words");
            let letter = labels
                .iter()
                .nth(usize::from(number) % labels.len())
                .unwrap();
            let reply = plain.line(&bench.scene(), &format!("{letter}\n"));
            bench.does(reply.acts);
            assert_eq!(bench.answer(number), Some(letter.as_char()));
            let reply = plain.line(&bench.scene(), "\n");
            heard = reply.said;
            bench.does(reply.acts);
        }
        assert!(heard.join(" ").contains("Nothing is blank."), "{heard:?}");
    }
}

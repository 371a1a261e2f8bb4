//! A question's words, figure and options, arranged so that all of it is in sight where it can be.
//!
//! Arrangements are tried from the roomiest to the tightest: options below one another, several in a
//! row, beside the figure, the figure without its empty lines. What still does not fit scrolls.

use std::collections::BTreeSet;
use std::ops::Range;

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::pieces::LONGEST_LINE;
use crate::domain::labels::{Label, Labels};
use crate::domain::paper::Question;
use crate::screens::theme::Theme;
use crate::words::sitting::page as words;
use crate::words::text;

/// The columns before an option's words: its letter, in brackets where it is chosen.
const SIGN: usize = 4;
/// Blanks between two options of a row, and between a figure and the options beside it.
const BETWEEN: usize = 3;

/// What stands beside the options of one question.
#[derive(Clone, Copy)]
pub(super) struct OptionSigns<'a> {
    /// The option chosen.
    pub(super) chosen: Option<Label>,
    /// The options crossed out.
    pub(super) crossed: &'a BTreeSet<Label>,
    /// The styles.
    pub(super) theme: Theme,
}

/// A question as lines, and where each option is in them.
pub(super) struct QuestionLines {
    pub(super) lines: Vec<Line<'static>>,
    pub(super) options: Vec<(Label, Range<usize>)>,
}

/// How a question is arranged.
#[derive(Clone, Copy)]
struct Layout {
    /// Empty lines before each part.
    gaps: Gaps,
    options: Placing,
    /// The figure goes without its empty lines.
    compact: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Gaps {
    All,
    Between,
    None,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Placing {
    Below,
    InRows,
    BesideFigure,
}

/// From the roomiest to the tightest.
fn plans() -> impl Iterator<Item = Layout> {
    let placings = [Placing::Below, Placing::InRows, Placing::BesideFigure];
    [false, true].into_iter().flat_map(move |compact| {
        placings.into_iter().flat_map(move |options| {
            [Gaps::All, Gaps::Between, Gaps::None].map(|gaps| Layout {
                gaps,
                options,
                compact,
            })
        })
    })
}

/// The question in so many columns and lines; where it cannot fit, the shortest there is.
pub(super) fn arrange(
    question: &Question,
    labels: &Labels,
    marked: OptionSigns<'_>,
    (width, height): (usize, usize),
) -> QuestionLines {
    let parts = Parts::of(question, labels, width);
    let mut shortest: Option<QuestionLines> = None;
    for plan in plans() {
        let Some(arranged) = parts.arranged(plan, marked) else {
            continue;
        };
        if arranged.lines.len() <= height {
            return arranged;
        }
        let is_shorter = |best: &QuestionLines| arranged.lines.len() < best.lines.len();
        if shortest.as_ref().is_none_or(is_shorter) {
            shortest = Some(arranged);
        }
    }
    shortest.unwrap_or(QuestionLines {
        lines: Vec::new(),
        options: Vec::new(),
    })
}

/// Whether all of the question fits in so many columns and lines.
pub(super) fn fits(question: &Question, labels: &Labels, room: (usize, usize)) -> bool {
    let none = BTreeSet::new();
    let marked = OptionSigns {
        chosen: None,
        crossed: &none,
        theme: Theme::plain(),
    };
    let (width, height) = room;
    let parts = Parts::of(question, labels, width);
    let figure = parts.figure.iter().map(|line| text::width(line)).max();
    if figure.is_some_and(|widest| widest > width) {
        return false;
    }
    // Without gaps they are as short as they can be.
    let mut tight = plans().filter(|plan| plan.gaps == Gaps::None);
    tight.any(|plan| {
        let arranged = parts.arranged(plan, marked);
        arranged.is_some_and(|arranged| arranged.lines.len() <= height)
    })
}

/// The figure's lines, without the blanks that all of them begin with.
pub(super) fn figure_lines(question: &Question) -> Vec<String> {
    let cleaned = text::clean_lines(question.figure.as_deref().unwrap_or_default());
    let lines: Vec<&str> = cleaned.lines().map(str::trim_end).collect();
    let indent = |line: &&str| line.len() - line.trim_start_matches(' ').len();
    let filled = lines.iter().filter(|line| !line.is_empty());
    let common = filled.map(indent).min().unwrap_or(0);
    let cut = |line: &&str| line.get(common..).unwrap_or_default().to_owned();
    lines.iter().map(cut).collect()
}

struct Parts<'a> {
    stem: Vec<String>,
    figure: Vec<String>,
    options: Vec<(Label, &'a str)>,
    width: usize,
}

impl<'a> Parts<'a> {
    fn of(question: &'a Question, labels: &Labels, width: usize) -> Self {
        let reading = width.min(LONGEST_LINE);
        let stem = question.stem.as_deref();
        let options = question.options.iter().map(String::as_str);
        Self {
            stem: stem.map_or_else(Vec::new, |stem| text::wrap(stem, reading)),
            figure: figure_lines(question),
            options: labels.iter().zip(options).collect(),
            width,
        }
    }

    fn reading(&self) -> usize {
        self.width.min(LONGEST_LINE)
    }

    /// The lines of a plan; none where it is no other than a roomier one.
    fn arranged(&self, plan: Layout, marked: OptionSigns<'_>) -> Option<QuestionLines> {
        if plan.compact && self.figure.iter().all(|line| !line.is_empty()) {
            return None;
        }
        let mut to = QuestionLines {
            lines: Vec::new(),
            options: Vec::new(),
        };
        let gap = |to: &mut QuestionLines| {
            let first = to.lines.is_empty();
            if plan.gaps == Gaps::All || (plan.gaps == Gaps::Between && !first) {
                to.lines.push(Line::default());
            }
        };
        if !self.stem.is_empty() {
            gap(&mut to);
            to.lines.extend(self.stem.iter().cloned().map(Line::raw));
        }
        let figure = self.figure(plan.compact);
        if plan.options == Placing::BesideFigure {
            if figure.is_empty() || self.options.is_empty() {
                return None;
            }
            gap(&mut to);
            self.beside(&figure, marked, &mut to)?;
            return Some(to);
        }
        if !figure.is_empty() {
            gap(&mut to);
            to.lines.extend(figure.into_iter().map(Line::raw));
        }
        if !self.options.is_empty() {
            gap(&mut to);
            match plan.options {
                Placing::InRows => self.in_rows(marked, &mut to)?,
                _ => self.below(self.reading(), marked, &mut to),
            }
        }
        Some(to)
    }

    /// The figure, as far in as an option's words where there is room.
    fn figure(&self, compact: bool) -> Vec<String> {
        let widest = self.figure.iter().map(|line| text::width(line)).max();
        let spare = self.width.saturating_sub(widest.unwrap_or(0));
        let indent = " ".repeat(spare.min(SIGN));
        let lines = self.figure.iter();
        lines
            .filter(|line| !compact || !line.is_empty())
            .map(|line| text::cut(&format!("{indent}{line}"), self.width))
            .collect()
    }

    fn below(&self, width: usize, marked: OptionSigns<'_>, to: &mut QuestionLines) {
        for (label, option) in &self.options {
            let start = to.lines.len();
            to.lines.extend(option_lines(*label, option, width, marked));
            to.options.push((*label, start..to.lines.len()));
        }
    }

    /// As many to a row as there is room for, all cells as wide as the widest.
    fn in_rows(&self, marked: OptionSigns<'_>, to: &mut QuestionLines) -> Option<()> {
        let widest = self
            .options
            .iter()
            .map(|(_, option)| text::width(option))
            .max()?;
        let cell = SIGN + widest;
        let reading = self.reading();
        let columns = (reading + BETWEEN) / (cell + BETWEEN);
        if columns < 2 || self.options.iter().any(|(_, option)| option.contains('\n')) {
            return None;
        }
        let rows = self.options.len().div_ceil(columns);
        let columns = self.options.len().div_ceil(rows);
        for row in self.options.chunks(columns) {
            let at = to.lines.len();
            let mut line = Line::default();
            for (label, option) in row {
                let (sign, style) = sign_of(*label, marked);
                let fill = " ".repeat(widest.saturating_sub(text::width(option)));
                line.push_span(Span::styled(
                    format!("{sign}{}", text::clean(option)),
                    style,
                ));
                line.push_span(Span::raw(fill + &" ".repeat(BETWEEN)));
                to.options.push((*label, at..at + 1));
            }
            to.lines.push(line);
        }
        Some(())
    }

    /// The options at the right of the figure.
    fn beside(
        &self,
        figure: &[String],
        marked: OptionSigns<'_>,
        to: &mut QuestionLines,
    ) -> Option<()> {
        let widest = figure.iter().map(|line| text::width(line)).max()?;
        let left = widest + BETWEEN;
        let room = self.width.checked_sub(left)?.min(LONGEST_LINE);
        let longest = self
            .options
            .iter()
            .map(|(_, option)| text::width(option))
            .max()?;
        // Options that would have to be wrapped are easier to read below.
        if longest + SIGN > room {
            return None;
        }
        let start = to.lines.len();
        let rows = figure.len().max(self.options.len());
        for row in 0..rows {
            let drawn = figure.get(row).map_or("", String::as_str);
            let pad = " ".repeat(left.saturating_sub(text::width(drawn)));
            let mut line = Line::from(Span::raw(format!("{drawn}{pad}")));
            if let Some((label, option)) = self.options.get(row) {
                let (sign, style) = sign_of(*label, marked);
                line.push_span(Span::styled(
                    format!("{sign}{}", text::clean(option)),
                    style,
                ));
                to.options.push((*label, start + row..start + row + 1));
            }
            to.lines.push(line);
        }
        Some(())
    }
}

/// The letter before an option: in brackets where it is chosen, a word in its place where it is
/// crossed out.
fn sign_of(label: Label, marked: OptionSigns<'_>) -> (String, Style) {
    if marked.chosen == Some(label) {
        (format!("[{label}] "), marked.theme.filled)
    } else if marked.crossed.contains(&label) {
        (format!("{:<SIGN$}", words::OUT), Style::new())
    } else {
        (format!(" {label}  "), Style::new())
    }
}

fn option_lines(
    label: Label,
    option: &str,
    width: usize,
    marked: OptionSigns<'_>,
) -> impl Iterator<Item = Line<'static>> {
    let (sign, style) = sign_of(label, marked);
    let wrapped = text::wrap(option, width.saturating_sub(SIGN)).into_iter();
    wrapped.enumerate().map(move |(index, text)| {
        let before = if index == 0 {
            sign.clone()
        } else {
            " ".repeat(SIGN)
        };
        Line::from(vec![Span::raw(before), Span::raw(text)]).style(style)
    })
}

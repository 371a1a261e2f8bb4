//! A question as it is printed: its words, its figure, its options.

use maud::{Markup, html};

use crate::domain::labels::Label;
use crate::domain::paper::Question;
use crate::reports::document::tidy::{lines, tidy};
use crate::words::text::width;

/// A figure drawn with characters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// Its lines, as a page may have them.
    pub lines: String,
    /// The same in words.
    pub words: Option<String>,
}

impl Drawing {
    /// A question's figure, where it has one.
    pub fn of(question: &Question) -> Option<Self> {
        Some(Self {
            lines: lines(question.figure.as_deref()?),
            words: question.figure_words.clone(),
        })
    }

    /// How many columns it takes.
    pub fn columns(&self) -> usize {
        self.lines.lines().map(width).max().unwrap_or_default()
    }
}

/// A question's words, its line ends kept.
pub fn stem(text: &str) -> Markup {
    html! { p class="stem" { (lines(text)) } }
}

/// A figure as it is drawn, with its words for those who do not see it.
pub fn figure(drawing: &Drawing) -> Markup {
    let said = drawing.words.as_deref().map(tidy);
    html! {
        pre role=[said.as_ref().map(|_| "img")] aria-label=[said] { (drawing.lines) }
    }
}

/// The options with their texts, as many on a line as fit.
pub fn options<'a>(all: impl IntoIterator<Item = (Label, &'a str)>) -> Markup {
    html! {
        p class="options" {
            @for (label, option) in all {
                span { strong { (label) } " " (tidy(option)) } " "
            }
        }
    }
}

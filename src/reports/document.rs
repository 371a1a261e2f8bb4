//! One HTML document around every page: its head, its style sheet, its rules for paper.
//!
//! A page stands alone: no script, no network, no file beside it. Every text that came from a file goes
//! through [`tidy`](tidy::tidy) and then through the template's own escaping; nothing is ever put in as it
//! stands but the style sheet.

pub mod style;
pub mod tidy;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::domain::generator::GENERATOR;
use style::LetterSize;
use tidy::label;

/// More of a title than this is cut off by browsers and search (html-validate, rule `long-title`).
const LONGEST_TITLE: usize = 70;

/// A whole page around its inside, in letters of 12 points on paper.
pub fn document(title: &str, inside: &Markup) -> String {
    document_in(LetterSize::Twelve, title, inside)
}

/// The same in letters of another size.
pub fn document_in(size: LetterSize, title: &str, inside: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="generator" content=(GENERATOR);
                title { (label(title, LONGEST_TITLE)) }
                style { (PreEscaped(style::sheet(size))) }
            }
            body { main class="sheet" { (inside) } }
        }
    };
    page.into_string() + "\n"
}

//! The page beside an export: which files there are, and what each field in them means.

use maud::{Markup, html};

use crate::domain::header::Alias;
use crate::reports::document::document;
use crate::reports::document::tidy::tidy;
use crate::reports::tabular::DataTable;
use crate::words::export as words;

/// The page.
pub fn fields_page(pupil: &Alias, files: &[String], tables: &[(&str, DataTable)]) -> String {
    let inside = html! {
        h1 { (words::title(pupil)) }
        p { (words::HOW_TO_IMPORT) }
        h2 { (words::FILES) }
        ul { @for file in files { li { (tidy(file)) } } }
        @for (title, fields) in words::FIELDS { (listed(title, fields.iter().copied())) }
        @for (name, table) in tables {
            (listed(name, table.columns.iter().map(|own| (own.name.as_str(), own.about.as_str()))))
        }
    };
    document(&words::title(pupil), &inside)
}

fn listed<'a>(title: &str, fields: impl Iterator<Item = (&'a str, &'a str)>) -> Markup {
    html! {
        h2 { (title) }
        table class="facts" {
            tbody {
                @for (name, about) in fields { tr { th scope="row" { (name) } td { (about) } } }
            }
        }
    }
}

//! The page beside an export: which files there are, and what each field in them means.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::domain::header::Alias;
use crate::reports::tabular::DataTable;
use crate::words::export as words;

const STYLE: &str = "body{font:12pt/1.5 sans-serif;margin:2em auto;max-width:50em;padding:0 1em;color:#111;background:#fff}\
table{border-collapse:collapse;width:100%;margin:1em 0}\
th,td{border:1px solid #555;padding:.25em .5em;text-align:left;vertical-align:top;font-weight:normal}";

/// The page.
pub fn fields_page(pupil: &Alias, files: &[String], tables: &[(&str, DataTable)]) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                title { (words::title(pupil)) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                h1 { (words::title(pupil)) }
                p { (words::HOW_TO_IMPORT) }
                h2 { (words::FILES) }
                ul { @for file in files { li { (file) } } }
                @for (title, fields) in words::FIELDS { (listed(title, fields.iter().copied())) }
                @for (name, table) in tables {
                    (listed(name, table.columns.iter().map(|own| (own.name.as_str(), own.about.as_str()))))
                }
            }
        }
    };
    page.into_string() + "\n"
}

fn listed<'a>(title: &str, fields: impl Iterator<Item = (&'a str, &'a str)>) -> Markup {
    html! {
        h2 { (title) }
        table {
            @for (name, about) in fields { tr { th scope="row" { (name) } td { (about) } } }
        }
    }
}

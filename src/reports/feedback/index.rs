//! The tutor's list of a group's pages: by alias, never by mark.

use maud::{Markup, html};

use crate::domain::header::INVENTED;
use crate::domain::mark::Mark;
use crate::reports::document::document;
use crate::reports::document::tidy::tidy;
use crate::reports::feedback::content::{Feedback, Marks};
use crate::words::feedback as words;
use crate::words::notices::last_of_all;
use crate::words::numbers::plain;
use crate::words::time::day;

/// One page of the group.
#[derive(Clone, Copy, Debug)]
pub struct IndexEntry<'a> {
    /// The file's name.
    pub file: &'a str,
    /// What stands in it.
    pub feedback: &'a Feedback,
}

/// Writes the list; `troubles` are the sittings that got no page, each with its reason.
pub fn index(entries: &[IndexEntry<'_>], troubles: &[String]) -> String {
    let mut sorted: Vec<_> = entries.iter().collect();
    sorted.sort_by_key(|entry| {
        let pupil = entry.feedback.pupil.as_str();
        (pupil.to_lowercase(), pupil, entry.feedback.day, entry.file)
    });
    let invented = entries.iter().any(|entry| entry.feedback.invented);
    let inside = html! {
        header {
            h1 { "Feedback pages" }
            @if invented { p { strong { (INVENTED) } } }
            p { (words::FOR_THE_TUTOR) }
        }
        section aria-labelledby="pages" {
            h2 id="pages" { "By alias" }
            div class="wide" { (table(&sorted)) }
        }
        @if !troubles.is_empty() {
            section aria-labelledby="troubles" {
                h2 id="troubles" { (words::WITHOUT_A_PAGE) }
                ul { @for trouble in troubles { li { (tidy(trouble)) } } }
            }
        }
        @if let Some(first) = sorted.first() {
            section aria-labelledby="rules" {
                h2 id="rules" { "Please remember" }
                @for line in last_of_all(&first.feedback.outline, first.feedback.today) {
                    p { (tidy(&line)) }
                }
            }
        }
    };
    document("Feedback pages", &inside)
}

fn table(entries: &[&IndexEntry<'_>]) -> Markup {
    html! {
        table {
            caption { (words::LIST_ORDER) }
            thead {
                tr {
                    th scope="col" { "Pupil" }
                    th scope="col" { "Sitting" }
                    th scope="col" class="number" { "In time" }
                    th scope="col" class="number" { "With guesses" }
                    th scope="col" class="number" { "Most" }
                    th scope="col" class="number" { "Blanks" }
                    th scope="col" { (words::AWARD_IN_TIME) }
                }
            }
            tbody { @for entry in entries { (row(entry)) } }
        }
    }
}

fn row(entry: &IndexEntry<'_>) -> Markup {
    let feedback = entry.feedback;
    let title = tidy(&feedback.outline.title);
    let marks = feedback.marks.as_ref();
    let number = |pick: fn(&Marks) -> Option<Mark>| {
        marks.and_then(pick).map_or_else(|| "-".to_owned(), plain)
    };
    let award = marks
        .and_then(|marks| marks.award.as_deref())
        .unwrap_or("-");
    html! {
        tr {
            th scope="row" { a href=(link(entry.file)) { bdi { (feedback.pupil) } } }
            td { (title) ", " (day(feedback.day)) }
            td class="number" { (number(|marks| Some(marks.in_time))) }
            td class="number" { (number(|marks| marks.with_guess_round)) }
            td class="number" { (number(|marks| Some(marks.max))) }
            td class="number" { (feedback.blanks) }
            td { (tidy(award)) }
        }
    }
}

/// A file's name as a link to it (RFC 3986: all but the unreserved characters as `%` and two digits).
fn link(file: &str) -> String {
    use std::fmt::Write as _;
    file.bytes().fold(String::new(), |mut link, byte| {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            link.push(char::from(byte));
        } else {
            // Writing to a string cannot go wrong.
            let _ = write!(link, "%{byte:02X}");
        }
        link
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_link_holds_nothing_but_plain_signs() {
        assert_eq!(link("feedback-otter_2.html"), "feedback-otter_2.html");
        assert_eq!(link("ä \"<"), "%C3%A4%20%22%3C");
    }
}

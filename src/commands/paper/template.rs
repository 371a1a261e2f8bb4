//! The text of a new paper and a new key: everything that may be filled in, explained where it stands.

use std::fmt::Write;

use crate::domain::labels::{Label, Labels};
use crate::domain::mark::Mark;
use crate::domain::paper::Fingerprint;
use crate::domain::rule::{Rule, Section};
use crate::storage::files::key::KEY_FORMAT;
use crate::storage::files::paper::{PAPER_FORMAT, most_marks};

/// A new paper, as the words describe it.
pub(super) struct New {
    pub(super) name: String,
    pub(super) title: String,
    /// As typed: a whole number, a decimal or a fraction.
    pub(super) minutes: String,
    pub(super) options: Labels,
    pub(super) rule: Rule,
    pub(super) answers: Vec<Label>,
}

/// A text in quotation marks, with what RON wants escaped.
fn quoted(text: &str) -> String {
    ron::to_string(text).unwrap_or_else(|_| format!("{text:?}"))
}

/// An exact number: plain when it is whole, in quotation marks when it is a fraction.
fn number(mark: Mark) -> String {
    if mark.denominator() == 1 {
        mark.exact()
    } else {
        format!("\"{}\"", mark.exact())
    }
}

/// The text of `NAME.paper.ron`.
pub(super) fn paper(new: &New) -> String {
    let name = &new.name;
    let options = new.options.to_string();
    let texts: Vec<String> = (1..=new.options.len())
        .map(|n| format!("\"{n}/8\""))
        .collect();
    let texts = texts.join(", ");
    let sections: String = new.rule.sections.iter().map(section).collect();
    let questions = (1..=new.answers.len()).fold(String::new(), |mut list, n| {
        // Writing to a text cannot go wrong.
        let _ = writeln!(list, "        (topics: []), // {n}");
        list
    });
    let (low, middle, high) = boundaries(&new.rule);
    let title = quoted(&new.title);
    let typed = &new.minutes;
    let minutes = if typed.contains('/') {
        quoted(typed)
    } else {
        typed.clone()
    };
    format!(
        r#"// A paper for Pacebell.
//
// Anything after // on a line is a comment for you; the program ignores it. Texts are in quotation
// marks, lists in [ ], things that belong together in ( ), and a comma follows every entry.
// To use one of the lines that begin with //, delete the two slashes.
// After each change, check the file:
//     pacebell paper check {name}.paper.ron {name}.key.ron
(
    // The form of this file. Leave it as it is.
    format: {PAPER_FORMAT},

    // The paper's short name: letters, digits, - and _. Sittings and the key name the paper by it.
    id: "{name}",
    title: {title},

    // The time allowed, before any extra time: 60, 22.5 or "1/2".
    minutes: {minutes},

    // The options' letters, or digits, in the order in which they are printed.
    options: "{options}",

    // What you read out before the start.
    // conditions: ["You have {typed} minutes.", "No calculators."],

    // When, and by whom (initials), the marking rule below was last checked with the organiser's
    // own. Rules change: until this is filled in, and again a year later, any advice drawn from
    // the rule says to check it first.
    // rule_checked: (on: "2026-01-31", by: "AB"),

    // The marking rule. Marks are exact: 4, -1, 1.5 or "1/4".
    rule: (
        // Marks that everybody starts with; none if this is left out.
        // start: 0,

        // Questions next to each other that are worth the same: marks for a right answer, for a
        // wrong one (-1 takes one away) and for a blank.
        sections: [
{sections}        ],
    ),

    // The awards, lowest first, each with the lowest mark that reaches it.
    // awards: [(name: "dunlin", boundary: {low}), (name: "curlew", boundary: {middle}), (name: "tern", boundary: {high})],

    // The same in earlier years, for forecasts: a ( ) for each year. It needs the awards above.
    // past: [(year: 2025, boundaries: {{"dunlin": {low}, "curlew": {middle}, "tern": {high}}})],

    // How a group's awards are shared out, for setting boundaries: the share that gets any award, how
    // the awards share it (lowest first), and on which side of a quota a boundary falls where no mark
    // meets it: nearest, not_above or at_least. It needs the awards above.
    // shares: (top: "2/5", ratio: "5:3:2", tie: nearest),

    // Where the questions come from, and what gives you the right to use them.
    // source: "written for this group",
    // right_to_use: "our own",

    // The questions in order, a ( ) for each. A printed paper needs no more. For a paper on the
    // screen, give each question a stem and option texts:
    //
    //     (
    //         topics: ["fractions"],
    //         stem: "What is 1/8 of 1?",
    //         options: [{texts}],
    //     ),
    //
    // Every field of a question may be left out:
    //     topics    what it is about, one or more words of your own: ["fractions", "area"]
    //     stem      its words; \n in them begins a new line
    //     figure    a drawing in plain characters, at most 60 wide, shown as it is; between
    //               r" and " it can have several lines
    //     figure_words   a sentence or two that tell a listener what the figure shows, without
    //               giving the answer
    //     options   the options' texts, one for each letter
    //     labels    this question's own option letters, where they differ from the paper's
    questions: [
{questions}    ],
)
"#
    )
}

fn section(section: &Section) -> String {
    format!(
        "            (name: {}, first: {}, last: {}, right: {}, wrong: {}, blank: {}),\n",
        quoted(&section.name),
        section.first,
        section.last,
        number(section.right),
        number(section.wrong),
        number(section.blank)
    )
}

/// Three boundaries to begin with, at two, three and four fifths of the marks.
fn boundaries(rule: &Rule) -> (String, String, String) {
    let grid = rule.grid().unwrap_or(1);
    let steps = most_marks(rule).steps(grid).unwrap_or(0).max(0);
    let part = |fifths: i64| {
        let whole = steps * fifths / (grid * 5);
        // On a paper of few marks whole numbers would fall together.
        let part = if steps >= 5 * grid {
            Mark::whole(whole)
        } else {
            Mark::from_steps(steps * fifths, grid * 5)
        };
        number(part)
    };
    (part(2), part(3), part(4))
}

/// The text of `NAME.key.ron`.
pub(super) fn key(new: &New, fingerprint: &Fingerprint) -> String {
    let name = &new.name;
    let letters: Vec<String> = new.answers.iter().map(Label::to_string).collect();
    let letters: Vec<String> = letters.chunks(5).map(<[String]>::concat).collect();
    let answers = letters.join(" ");
    let last = new.answers.len();
    let wrong = |answer: Option<&Label>| -> Vec<String> {
        let wrong = new.options.iter().filter(|label| Some(label) != answer);
        wrong.map(|label| label.to_string()).collect()
    };
    let (first_wrong, last_wrong) = (wrong(new.answers.first()), wrong(new.answers.last()));
    let distractor = first_wrong.first().map_or("", String::as_str);
    let also = last_wrong.last().map_or("", String::as_str);
    format!(
        r#"// The answer key of {name}.paper.ron. Keep it where pupils cannot find it: the program needs it only
// for marking, not for the sitting.
//
// Anything after // on a line is a comment for you. To use one of the lines that begin with //, delete
// the two slashes. After each change, run:
//     pacebell paper check {name}.paper.ron {name}.key.ron
(
    // The form of this file. Leave it as it is.
    format: {KEY_FORMAT},

    // The id of its paper.
    paper: "{name}",

    // The fingerprint: which version of the paper's questions the key is for. When you change a question, the check
    // says so, and what to write here once you have seen that the answers are still right.
    fingerprint: "{fingerprint}",

    // The right answers in order; spaces between them are ignored.
    answers: "{answers}",

    // Questions that accept other options as well: the number, then the letter or letters.
    // also_right: {{{last}: "{also}"}},

    // Questions that do not count: dropped takes one out of the paper, credited gives everybody the
    // marks of a right answer.
    // void: {{{last}: dropped}},

    // What there is to say about a question, by its number, for trying it again and for feedback.
    // Every field may be left out:
    //     hint          a nudge, not the answer
    //     working       the way to the answer in full
    //     distractors   for a wrong option: what a pupil who chose it probably did
    // notes: {{
    //     1: (
    //         hint: "Draw it first.",
    //         working: "Half of 12 is 6.",
    //         distractors: {{"{distractor}": "doubled instead of halving"}},
    //     ),
    // }},
)
"#
    )
}

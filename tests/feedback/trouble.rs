//! Texts from files that try to be more than text.

use pacebell::domain::event::Ending;

use crate::made::Made;
use crate::markup::well_formed;
use crate::sittings;

const NASTY: &str = "<b>\"&'</style><script>alert(1)</script>\u{0}\u{1b}[31m\u{202e}\u{2028}x";

fn poisoned() -> Made {
    let mut made = sittings::in_time();
    made.header.paper.title = NASTY.into();
    for section in &mut made.header.paper.rule.sections {
        section.name = NASTY.into();
    }
    for award in &mut made.header.paper.awards {
        award.name = NASTY.into();
    }
    if let Some(checked) = &mut made.header.paper.rule_checked {
        checked.by = NASTY.into();
    }
    for note in made.key.notes.values_mut() {
        note.hint = Some(NASTY.into());
        note.working = Some(NASTY.into());
        for lure in note.distractors.values_mut() {
            *lure = NASTY.into();
        }
    }
    for question in &mut made.paper.questions {
        question.stem = Some(NASTY.into());
        question.figure = Some(NASTY.into());
        question.figure_words = Some(NASTY.into());
        question.options.fill(NASTY.into());
    }
    made.with_working = true;
    made
}

#[test]
fn text_stays_text() {
    let page = poisoned().page();
    assert_eq!(well_formed(&page), Ok(()));
    for word in ["<script", "<b>", "\u{0}", "\u{1b}", "\u{202e}", "\u{2028}"] {
        assert!(!page.contains(word), "{word:?}");
    }
    assert_eq!(page.matches("</style>").count(), 1);
    // Title, sections and awards came through as text; so did each missed question's stem, figure and its words,
    // five options, hint and working.
    assert!(page.matches("&lt;b&gt;&quot;&amp;").count() >= 3 + 9 * 10);
}

#[test]
fn topics_stand_where_there_is_no_stem_and_are_text_too() {
    let mut made = sittings::in_time();
    for question in &mut made.paper.questions {
        question.stem = None;
        question.topics = vec![NASTY.into()];
    }
    let page = made.page();
    assert_eq!(well_formed(&page), Ok(()));
    assert!(page.contains("About &lt;b&gt;"));
}

#[test]
fn an_open_sitting_has_no_page_yet() {
    let open = Made::of("saltmarsh-a", "otter").straight(1, 60, "rrr");
    assert_eq!(open.asked(), None);
    assert!(open.close(Ending::FinishedEarly).asked().is_some());
}

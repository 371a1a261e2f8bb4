//! Made-up sittings of every kind that a page is written for.

use pacebell::domain::event::Ending;
use pacebell::domain::header::{Checkpoint, Mode, PacePlan};
use pacebell::domain::mark::Mark;
use pacebell::domain::rule::QuestionNo;

use crate::made::Made;

/// Fifteen right in time, a long stay, four blanks guessed after time was up.
pub(crate) fn in_time() -> Made {
    Made::of("saltmarsh-a", "otter")
        .after("2026-11-03", 6)
        .after("2026-11-10", 5)
        .straight(1, 95, "rrrrrrr")
        .work(8, 490, 'w')
        .straight(9, 110, "rrwrwrrw")
        .straight(17, 150, "rrwrr")
        .time_up(&[(22, 'w'), (23, 'r'), (24, 'w'), (25, 'w')])
}

/// Everything answered in time, with a plan that was kept.
pub(crate) fn swept() -> Made {
    let mut made = Made::of("saltmarsh-a", "heron");
    made.header.plan = Some(PacePlan {
        checkpoints: [(10, 20), (20, 50)]
            .map(|(question, minutes)| Checkpoint {
                question: QuestionNo(question),
                minutes: Mark::whole(minutes),
            })
            .to_vec(),
        ..PacePlan::default()
    });
    made.straight(1, 100, "rrrrrrrrrr")
        .straight(11, 150, "rrrrrrrwrr")
        .work(21, 900, 'r')
        .straight(22, 6, "wrww")
        .guess(22)
        .guess(23)
        .guess(24)
        .guess(25)
        .time_up(&[])
}

/// A rule that takes marks away and starts with some, on a paper nobody has checked this year.
pub(crate) fn penalties() -> Made {
    let mut made = Made::of("saltmarsh-old", "wren");
    made.header.paper.rule_checked = None;
    made.straight(1, 120, "rrrwrrwrrr-w-r-w-w")
        .close(Ending::FinishedEarly)
}

/// A printed paper, each question keyed as it was worked.
pub(crate) fn printed() -> Made {
    let mut made = Made::of("saltmarsh-b", "plover");
    made.header.paper.on_screen = false;
    made.straight(1, 130, "rrwrrrrw-rrwrw--rwrw").time_up(&[])
}

/// A printed paper, answers keyed six at a time.
pub(crate) fn batched() -> Made {
    let mut made = Made::of("saltmarsh-b", "dunlin");
    made.header.paper.on_screen = false;
    made.work(1, 1200, '-')
        .straight(1, 4, "rrwrrr")
        .work(7, 1200, '-')
        .straight(7, 4, "rwrwrr")
        .work(13, 900, '-')
        .straight(13, 4, "rwrwrr")
        .time_up(&[])
}

/// Typed in from paper.
pub(crate) fn entered() -> Made {
    let mut made = Made::of("saltmarsh-b", "teal");
    made.header.mode = Mode::Entered;
    made.straight(1, 0, "rrwrrrrw-rrwrw--rwrwwww--")
        .close(Ending::Entered)
}

/// Given up after six questions.
pub(crate) fn abandoned() -> Made {
    Made::of("saltmarsh-a", "stoat")
        .straight(1, 80, "rrwr-r")
        .close(Ending::Abandoned)
}

/// Nothing answered at all.
pub(crate) fn blank() -> Made {
    Made::of("saltmarsh-a", "vole")
        .work(1, 40, '-')
        .time_up(&[])
}

/// Everything right.
pub(crate) fn all_right() -> Made {
    Made::of("saltmarsh-a", "kite")
        .straight(1, 120, &"r".repeat(25))
        .close(Ending::FinishedEarly)
}

/// All but one wrong, long texts and a wide figure, answers and workings asked for.
pub(crate) fn crowded() -> Made {
    let mut made = Made::of("saltmarsh-a", "a-very-long-alias-of-exactly-forty-chars");
    let long = "unreasonably long words that somebody typed into a file ".repeat(20);
    made.header.paper.title = format!("A title of {long}");
    for section in &mut made.header.paper.rule.sections {
        section.name = format!("section with {long}");
    }
    for award in &mut made.header.paper.awards {
        award.name = format!("award of {long}");
    }
    for note in made.key.notes.values_mut() {
        note.hint = Some(format!("A hint of {long}"));
        note.working = Some(format!("A working of {long}"));
    }
    for question in &mut made.paper.questions {
        question.stem = Some(format!("A stem of {long}"));
    }
    let fourth = made.paper.questions.get_mut(3).unwrap();
    fourth.figure = Some(format!("a\n{}\nb", "=".repeat(60)));
    made.with_working = true;
    made.after("2025-11-03", 16)
        .after("2026-11-10", 15)
        .after("2026-11-12", 15)
        .after("2026-11-13", 15)
        .straight(1, 130, "rwwwwww")
        .work(8, 490, 'w')
        .work(9, 410, 'w')
        .straight(10, 110, "wwwwwwww")
        .time_up(&[(22, 'w'), (23, 'r'), (24, 'w'), (25, 'w')])
}

/// All of them, by name.
pub(crate) fn all() -> Vec<(&'static str, Made)> {
    vec![
        ("in-time", in_time()),
        ("swept", swept()),
        ("penalties", penalties()),
        ("printed", printed()),
        ("batched", batched()),
        ("entered", entered()),
        ("abandoned", abandoned()),
        ("blank", blank()),
        ("all-right", all_right()),
        ("crowded", crowded()),
        ("with-working", {
            let mut made = in_time();
            made.with_working = true;
            made
        }),
    ]
}

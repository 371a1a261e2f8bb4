//! What must add up in any log, by the definition of its parts.

use pacebell::analysis::findings::{Seen, findings, told};
use pacebell::analysis::{Analysis, Basis, Norms, Studied, cut};
use pacebell::domain::event::How;
use pacebell::domain::mark::Mark;
use pacebell::domain::marking::{Marked, Outcome, Take, answers, mark};
use pacebell::domain::sitting::Sitting;
use pacebell::domain::thresholds::Thresholds;
use pacebell::domain::time::Elapsed;
use pacebell::words::findings as words;

use crate::strange::Odd;

/// Visits, breaks and absences fill the time from the first moment to the last.
pub(crate) fn times(odd: &Odd, analysis: &Analysis) {
    let whole = analysis.whole();
    let open = whole.questions + whole.waited;
    let parts = [open, whole.idle, whole.breaks, whole.away];
    assert_eq!(sum(parts), u128::from(whole.ended.0), "{whole:?}");
    assert!(whole.used <= whole.ended && whole.used <= odd.header.allowed);
    let passes = analysis.passes();
    assert_eq!(passes.first + passes.later, whole.questions);
    assert_eq!(analysis.used_at(whole.ended), whole.used);
    if let Some(all) = analysis.time_on_all(|_| true) {
        assert_eq!(all, whole.questions);
    }
    for pace in analysis.questions() {
        let time = analysis.time_on(pace.number);
        assert!(time.is_none_or(|time| time <= whole.questions));
        for moment in [pace.opened, pace.answered] {
            assert!(moment.is_none_or(|at| at <= whole.ended), "{pace:?}");
        }
    }
    for stay in analysis.stays() {
        assert!(stay.from <= stay.to && stay.to <= whole.ended, "{stay:?}");
    }
    for gap in analysis.gaps() {
        assert!(gap.from < gap.to && gap.to <= whole.ended, "{gap:?}");
    }
    let choices = analysis.choices();
    assert!(choices.is_sorted_by_key(|choice| choice.at));
    for choice in choices {
        assert!(choice.at <= whole.ended && choice.took <= choice.at);
        assert!(choice.used <= whole.used, "{choice:?}");
    }
    if let Some(sweep) = analysis.sweep() {
        assert!(sweep.from <= sweep.to && sweep.to <= whole.ended);
        assert!(sweep.took <= whole.ended && sweep.left <= odd.header.allowed);
    }
    assert!(
        analysis
            .unused()
            .is_none_or(|left| left <= odd.header.allowed)
    );
}

fn sum(spans: impl IntoIterator<Item = Elapsed>) -> u128 {
    spans.into_iter().map(|span| u128::from(span.0)).sum()
}

/// The three marks, the mark of every moment and the findings.
pub(crate) fn marks(odd: &Odd, studied: &Studied) {
    let keyed = studied.keyed.as_ref().unwrap();
    let marks = &keyed.marks;
    let rule = &odd.header.paper.rule;
    let asked = odd.header.questions().count();
    for sheet in [&marks.in_time, &marks.with_guess_round, &marks.worked] {
        let counted = sheet.sections.iter();
        let counted = counted.map(|own| own.right + own.wrong + own.blank + own.void);
        assert_eq!(counted.sum::<usize>(), asked);
        assert_eq!(sheet.questions.len(), asked);
        let sections: Mark = sheet.sections.iter().map(|own| own.marks).sum();
        assert_eq!(rule.start + sections, sheet.total);
        assert!(sheet.total <= sheet.max);
        assert_eq!(sheet.max, marks.max());
    }
    after_time(odd, &marks.in_time, &marks.with_guess_round);
    let guessed = marks.with_guess_round.questions.iter();
    let guessed = guessed.filter(|own| own.answer.how.is_some_and(How::is_luck));
    let counted = guessed.filter(|own| own.outcome != Outcome::Void);
    assert_eq!(counted.count(), marks.luck.guesses);
    for (own, worked) in marks.in_time.questions.iter().zip(&marks.worked.questions) {
        let luck = own.answer.how.is_some_and(How::is_luck);
        assert_eq!(worked.answer.given, own.answer.given.filter(|_| !luck));
    }

    let earned = &keyed.earned;
    let points = &earned.by_minute;
    assert!(
        points.is_sorted_by(|one, next| one.at < next.at),
        "{points:?}"
    );
    assert!(points.is_sorted_by_key(|point| point.used), "{points:?}");
    assert_eq!(points.last().unwrap().mark, marks.in_time.total);
    assert_eq!(points.last().unwrap().at, studied.analysis.whole().ended);
    let in_time = |then: &Sitting| mark(&answers(then, Take::InTime), &odd.key, rule).total;
    let replay = studied.analysis.replay();
    for point in points {
        let then = cut(&odd.header, &odd.log, point.at);
        assert_eq!(in_time(&then), point.mark, "at {:?}", point.at);
        assert_eq!(replay.at(point.at).rows(), then.rows());
        assert_eq!(replay.used(point.at), point.used);
    }
    let quarters: Mark = earned.quarters.iter().map(|own| own.earned).sum();
    if studied.analysis.whole().used > Elapsed::ZERO {
        assert_eq!(points[0].mark + quarters, marks.in_time.total);
    }
    let empty = mark(
        &answers(&Sitting::new(odd.header.clone().into()), Take::InTime),
        &odd.key,
        rule,
    );
    let sections: Mark = earned.sections.iter().map(|own| own.earned).sum();
    assert_eq!(empty.total + sections, marks.in_time.total);

    let limits = Thresholds::default();
    let norms = Norms::of([studied; 5]);
    for norms in [None, Some(&norms)] {
        for keyed in [None, Some(keyed)] {
            let analysis = &studied.analysis;
            let all = findings(&Basis {
                analysis,
                keyed,
                norms,
            });
            assert!(told(&all, &limits).len() <= 6);
            for finding in &all {
                assert!(
                    finding.stake.is_finite() && finding.stake >= 0.0,
                    "{finding:?}"
                );
                match finding.seen {
                    // A checkpoint may stand on a question that this sitting did not ask.
                    Seen::Late { of, .. } => assert!(of > 0, "{finding:?}"),
                    _ => assert!(finding.questions().iter().all(|own| odd.header.asks(*own))),
                }
                assert!(!words::for_tutor(finding, &limits).is_empty());
                assert!(words::for_pupil(finding).is_none_or(|text| !text.is_empty()));
            }
        }
    }
}

/// The guess round adds to blanks alone: each question answered in time keeps its mark.
fn after_time(odd: &Odd, in_time: &Marked, with: &Marked) {
    for (own, later) in in_time.questions.iter().zip(&with.questions) {
        let rule = odd.header.paper.rule.section(own.answer.number).unwrap();
        assert!(!own.answer.after_time);
        if later.answer.after_time {
            assert_eq!(own.answer.given, None);
            let void = own.outcome == Outcome::Void;
            assert!(void || own.marks == rule.blank);
        } else {
            assert_eq!((own.outcome, own.marks), (later.outcome, later.marks));
        }
    }
}

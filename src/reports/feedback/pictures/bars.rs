//! Time on each question: a bar a question, with a sign and a word for what became of it.

use maud::{Markup, html};

use super::{frame, n};
use crate::domain::time::Elapsed;
use crate::reports::feedback::content::QuestionBar;
use crate::words::feedback::{self as words, State};

const WIDTH: f64 = 330.0;
const ROW: f64 = 24.0;
/// Where the bars begin.
const LEFT: f64 = 118.0;
/// The longest bar.
const LONGEST: f64 = 150.0;

/// The longest time or share of the plan: what both halves of a picture are drawn to.
pub fn longest(bars: &[QuestionBar]) -> Elapsed {
    let each = bars
        .iter()
        .map(|bar| bar.planned.max(bar.time.unwrap_or_default()));
    each.max().unwrap_or_default()
}

/// Draws some bars, `longest` being as long as a bar gets.
pub fn bars(id: &str, bars: &[QuestionBar], longest: Elapsed) -> Markup {
    let (Some(first), Some(last)) = (bars.first(), bars.last()) else {
        return html! {};
    };
    let title = words::bars_title(first.number, last.number);
    let each = bars.iter();
    let said: Vec<_> = each
        .map(|bar| words::bar(bar.number, bar.state, bar.time))
        .collect();
    let scale = LONGEST / longest.as_seconds().max(1.0);
    let inside = html! {
        @for (row, bar) in (0_u16..).zip(bars) { (drawn(bar, f64::from(row) * ROW, scale)) }
    };
    let height = ROW * crate::stats::real(bars.len());
    frame(id, (WIDTH, height), &title, &said.join(" "), &inside)
}

fn drawn(bar: &QuestionBar, top: f64, scale: f64) -> Markup {
    let base = n(top + 17.5);
    let word = bar.state.word();
    let end = |span: Elapsed| LEFT + span.as_seconds() * scale;
    let plan = end(bar.planned);
    html! {
        text class="end" x="28" y=(base) { (bar.number) }
        (sign(bar.state, 44.0, top + 12.0))
        text x="58" y=(base) { (word) }
        @match bar.time.map(|time| (time, words::no_time(bar.state, time))) {
            Some((_, Some(said))) => { text x=(n(LEFT)) y=(base) { (said) } }
            Some((time, None)) => {
                rect class={ "bar-" (word) } x=(n(LEFT)) y=(n(top + 5.0))
                    width=(n((end(time) - LEFT).max(1.0))) height="14" {}
                path class="plan" d=(format!("M{} {}V{}", n(plan), n(top + 2.0), n(top + 22.0))) {}
                text x=(n(end(time).max(plan) + 7.0)) y=(base) { (time.stopwatch()) }
            }
            None => { text x=(n(LEFT)) y=(base) { "entered together" } }
        }
    }
}

/// A tick, a ring, a dash, a cross-bar or a square: each told apart by its shape alone.
pub fn sign(state: State, x: f64, y: f64) -> Markup {
    let shape = match state {
        State::Right => format!("M{} {}l4 5l7 -10", n(x - 5.5), n(y + 0.5)),
        State::Wrong => format!("M{} {}a5 5 0 1 0 10 0a5 5 0 1 0 -10 0z", n(x - 5.0), n(y)),
        State::Blank => format!("M{} {}h10", n(x - 5.0), n(y)),
        State::Void => format!("M{} {}h10m-10 5h10", n(x - 5.0), n(y - 2.5)),
        State::Answered => format!("M{} {}h9v9h-9z", n(x - 4.5), n(y - 4.5)),
    };
    html! { path class={ "sign-" (state.word()) } d=(shape) {} }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::rule::QuestionNo;

    fn bar(number: u16, state: State, seconds: Option<u64>) -> QuestionBar {
        QuestionBar {
            number: QuestionNo(number),
            state,
            time: seconds.map(Elapsed::seconds),
            planned: Elapsed::seconds(50),
        }
    }

    #[test]
    fn the_longest_time_fills_the_width_and_others_are_in_proportion() {
        let all = [
            bar(1, State::Right, Some(100)),
            bar(2, State::Wrong, Some(25)),
            bar(3, State::Blank, None),
        ];
        assert_eq!(longest(&all), Elapsed::seconds(100));
        let drawn = bars("b", &all, longest(&all)).into_string();
        assert!(
            drawn.contains(
                "<rect class=\"bar-right\" x=\"118\" y=\"5\" width=\"150\" height=\"14\">"
            )
        );
        assert!(drawn.contains("<rect class=\"bar-wrong\" x=\"118\" y=\"29\" width=\"37.5\""));
        // 50 of 100 seconds: half of 150.
        assert!(drawn.contains("<path class=\"plan\" d=\"M193 2V22\">"));
        assert!(drawn.contains("Question 1: right, 1 min 40 s. Question 2: wrong, 25 seconds. Question 3: blank, no time of its own."));
        assert!(drawn.contains(">entered together</text>"));
        assert_eq!(bars("b", &[], Elapsed::ZERO).into_string(), "");
    }

    #[test]
    fn no_time_at_all_is_drawn_without_harm() {
        let mut one = bar(1, State::Blank, Some(0));
        one.planned = Elapsed::ZERO;
        let drawn = bars("b", &[one], Elapsed::ZERO).into_string();
        assert!(drawn.contains(">not opened</text>") && !drawn.contains("NaN"));
        // Whoever answers has had the question open.
        let drawn = bars("b", &[bar(1, State::Right, Some(0))], Elapsed::ZERO).into_string();
        assert!(
            drawn.contains("Question 1: right, under a second.") && !drawn.contains("not opened")
        );
    }
}

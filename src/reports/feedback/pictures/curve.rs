//! Marks by the minute: the mark had the bell rung then, as a line of steps, with the boundaries.

use maud::{Markup, html};

use super::{frame, n};
use crate::domain::paper::Award;
use crate::domain::time::Elapsed;
use crate::reports::document::tidy::{label, tidy};
use crate::reports::feedback::content::Curve;
use crate::words::feedback as words;
use crate::words::numbers::plain;

const WIDTH: f64 = 340.0;
const HEIGHT: f64 = 264.0;
const LEFT: f64 = 44.0;
const RIGHT: f64 = 326.0;
const TOP: f64 = 28.0;
const BOTTOM: f64 = 216.0;
/// Names of boundaries that are nearer to each other than this would lie on one another.
const NAME: f64 = 20.0;

/// From which mark to which the picture goes, in steps of so many.
#[derive(Clone, Copy, Debug, PartialEq)]
struct CurveScale {
    low: f64,
    high: f64,
    step: f64,
}

impl CurveScale {
    /// The smallest round steps, of which six at most hold everything.
    fn over(low: f64, high: f64) -> Self {
        let span = (high - low.min(0.0)).max(1.0);
        let mut step = 1.0;
        let mut factors = [2.0, 2.5, 2.0].into_iter().cycle();
        while span / step > 5.0 {
            step *= factors.next().unwrap_or(10.0);
        }
        Self {
            low: (low.min(0.0) / step).floor() * step,
            high: (high.max(1.0) / step).ceil() * step,
            step,
        }
    }

    fn y(self, mark: f64) -> f64 {
        BOTTOM - (mark - self.low) / (self.high - self.low) * (BOTTOM - TOP)
    }

    fn ticks(self) -> Vec<f64> {
        let mut ticks = vec![self.low];
        while let Some(last) = ticks.last().filter(|last| **last + self.step <= self.high) {
            ticks.push(last + self.step);
        }
        ticks
    }
}

/// Draws the curve with some boundaries.
pub fn curve(id: &str, curve: &Curve, awards: &[Award]) -> Markup {
    let marks = || curve.steps.iter().map(|step| step.mark.to_f64());
    let bounds = awards.iter().map(|award| award.boundary.to_f64());
    let high = marks().chain(bounds).fold(0.0, f64::max);
    let scale = CurveScale::over(marks().fold(0.0, f64::min), high);
    let allowed = curve.allowed.as_seconds().max(1.0);
    let x = |used: Elapsed| LEFT + (used.as_seconds() / allowed).min(1.0) * (RIGHT - LEFT);
    let inside = html! {
        @for tick in scale.ticks() {
            path class="grid" d=(format!("M{} {}H{}", n(LEFT), n(scale.y(tick)), n(RIGHT))) {}
            text class="end" x=(n(LEFT - 7.0)) y=(n(scale.y(tick) + 5.5)) { (n(tick)) }
        }
        text x="4" y="14" { "marks" }
        @for quarter in quarters(curve.allowed) {
            path class="axis" d=(format!("M{} {}v6", n(x(quarter)), n(BOTTOM))) {}
            text class="middle" x=(n(x(quarter))) y=(n(BOTTOM + 22.0)) { (minutes(quarter)) }
        }
        text class="end" x=(n(RIGHT + 10.0)) y=(n(BOTTOM + 43.0)) { "minutes used" }
        path class="axis" d=(format!("M{} {}V{}H{}", n(LEFT), n(TOP), n(BOTTOM), n(RIGHT))) {}
        (boundaries(awards, scale))
        path class="line" d=(line(curve, scale, x)) {}
        @if let Some(last) = curve.steps.last() {
            circle class="dot" cx=(n(x(last.used))) cy=(n(scale.y(last.mark.to_f64()))) r="5" {}
        }
    };
    frame(
        id,
        (WIDTH, HEIGHT),
        words::BY_THE_MINUTE,
        &in_words(curve, awards),
        &inside,
    )
}

fn line(curve: &Curve, scale: CurveScale, x: impl Fn(Elapsed) -> f64) -> String {
    let points = curve.steps.iter().enumerate().map(|(index, step)| {
        let (x, y) = (n(x(step.used)), n(scale.y(step.mark.to_f64())));
        if index == 0 {
            format!("M{x} {y}")
        } else {
            format!("H{x}V{y}")
        }
    });
    points.collect()
}

/// Boundaries from the highest down; a name that would lie on the one above goes below its own line.
fn boundaries(awards: &[Award], scale: CurveScale) -> Markup {
    let mut sorted: Vec<_> = awards.iter().collect();
    sorted.sort_by_key(|award| std::cmp::Reverse(award.boundary));
    let mut above = f64::NEG_INFINITY;
    let placed = sorted.into_iter().map(|award| {
        let y = scale.y(award.boundary.to_f64());
        let name = if y - 6.0 - above < NAME {
            y + 17.0
        } else {
            y - 6.0
        };
        above = name;
        (award, y, name)
    });
    html! {
        @for (award, y, name) in placed {
            path class="award" d=(format!("M{} {}H{}", n(LEFT), n(y), n(RIGHT))) {}
            text class="halo" x=(n(LEFT + 8.0)) y=(n(name)) {
                (label(&award.name, 20)) " " (plain(award.boundary))
            }
        }
    }
}

/// The quarters of the time allowed, the beginning and the end included.
fn quarters(allowed: Elapsed) -> impl Iterator<Item = Elapsed> {
    (0..=4).map(move |quarter| Elapsed(allowed.as_millis() * quarter / 4))
}

/// `45`, `18.8`.
fn minutes(span: Elapsed) -> String {
    n(span.as_seconds() / 60.0)
}

/// The mark at each quarter of the time allowed that was reached, and at the end; then the boundaries.
fn in_words(curve: &Curve, awards: &[Award]) -> String {
    let last = curve.steps.last();
    let reached = quarters(curve.allowed)
        .skip(1)
        .filter(|quarter| last.is_some_and(|last| *quarter < last.used));
    let reached = reached.filter_map(|quarter| {
        Some(words::mark_after(
            Some(&minutes(quarter)),
            curve.at(quarter)?,
        ))
    });
    let end = last.map(|last| words::mark_after(None, last.mark));
    let lines = awards.iter();
    let lines = lines.map(|award| words::line_at(award.boundary, &tidy(&award.name)));
    reached
        .chain(end)
        .chain(lines)
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::mark::Mark;
    use crate::reports::feedback::content::Step;

    fn climbing() -> Curve {
        let step = |(minutes, mark): (u64, i64)| Step {
            used: Elapsed::minutes(minutes),
            mark: Mark::whole(mark),
        };
        Curve {
            steps: [(0, 0), (10, 4), (20, 8), (60, 8)].map(step).to_vec(),
            allowed: Elapsed::minutes(60),
        }
    }

    /// 282 units for 60 minutes: 10 minutes are 47. Marks 0 to 10 over 188 units: 18.8 a mark.
    #[test]
    fn steps_go_across_then_up() {
        let dunlin = Award {
            name: "dunlin".into(),
            boundary: Mark::whole(10),
        };
        let drawn = curve("minutes", &climbing(), &[dunlin]).into_string();
        assert!(
            drawn.contains("d=\"M44 216H91V140.8H138V65.6H326V65.6\""),
            "{drawn}"
        );
        assert!(
            drawn.contains("<path class=\"award\" d=\"M44 28H326\">"),
            "{drawn}"
        );
        assert!(drawn.contains(
            "After 15 minutes: 4. After 30 minutes: 8. After 45 minutes: 8. At the end: 8. Line at 10 for dunlin."
        ));
    }

    #[test]
    fn the_scale_is_round_and_holds_negative_marks() {
        let scale = CurveScale::over(-3.0, 9.0);
        assert_eq!((scale.low, scale.high, scale.step), (-5.0, 10.0, 5.0));
        assert_eq!(scale.ticks(), [-5.0, 0.0, 5.0, 10.0]);
        let scale = CurveScale::over(0.0, 76.0);
        assert_eq!((scale.low, scale.high, scale.step), (0.0, 80.0, 20.0));
        let none = CurveScale::over(0.0, 0.0);
        assert_eq!((none.low, none.high), (0.0, 1.0));
    }

    #[test]
    fn names_of_near_boundaries_do_not_lie_on_one_another() {
        let award = |name: &str, boundary| Award {
            name: name.into(),
            boundary: Mark::whole(boundary),
        };
        let scale = CurveScale::over(0.0, 100.0);
        let drawn = boundaries(&[award("low", 95), award("high", 97)], scale).into_string();
        let heights: Vec<f64> = drawn
            .split(" y=\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next()?.parse().ok())
            .collect();
        assert_eq!(heights.len(), 2);
        assert!((heights[0] - heights[1]).abs() >= NAME, "{heights:?}");
    }
}

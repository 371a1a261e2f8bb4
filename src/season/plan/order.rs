//! Another order than the paper's, and what it should bring.
//!
//! The questions that bring most for their time come first. What a pupil gets through in order, in each of the
//! equally likely cases, is the time that they have; only the ratios of the times matter.

use crate::domain::rule::QuestionNo;
use crate::season::model::{PaperAhead, Way, reached};
use crate::stats::{real, steps};

/// A gain below this is not worth another order, in marks (chosen by simulation: where the group says how hard the
/// questions are, about half of a promised gain came true; where it does not, nothing did).
const LEAST_GAIN: f64 = 0.5;
/// The part of a promised gain that came true.
const CAME_TRUE: f64 = 0.5;

/// The best other order.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherOrder {
    /// The questions that come first, in order; all of them where no other order is better.
    pub first: Vec<QuestionNo>,
    /// What it should bring over going in order, in marks.
    pub gain: f64,
    /// How far that may be off since the difficulties are not known (SD, in marks).
    pub sd: f64,
    /// Whether it is worth offering.
    pub offered: bool,
    pub(super) way: Way,
}

impl OtherOrder {
    /// Tries every cut between what brings much for its time and what brings little; it is offered only where it
    /// `may_be` at all.
    pub(super) fn best(ahead: &PaperAhead, seconds: &[f64], may_be: bool) -> Self {
        let in_order = ahead.in_order();
        let worth = ahead.worth();
        let gains: Vec<f64> = worth
            .iter()
            .map(|own| own.reached - own.unreached)
            .collect();
        let densities: Vec<f64> = gains
            .iter()
            .zip(seconds)
            .map(|(gain, took)| gain / took)
            .collect();
        let budgets: Vec<f64> = in_order
            .reached
            .iter()
            .map(|own| dot(own, seconds))
            .collect();
        let base = means(&in_order, seconds.len());
        let mut cuts = densities.clone();
        cuts.sort_by(f64::total_cmp);
        cuts.pop();
        let mut best = (0.0, in_order.clone(), seconds.len());
        for cut in cuts {
            let is_first = |at: &usize| densities.get(*at).is_some_and(|own| *own > cut);
            let (mut order, rest): (Vec<_>, Vec<_>) = (0..seconds.len()).partition(is_first);
            let first = order.len();
            order.extend(rest);
            let reached = budgets.iter().map(|budget| spent(&order, seconds, *budget));
            let way = Way {
                reached: reached.collect(),
                order,
            };
            let gain = dot(&means(&way, seconds.len()), &gains) - dot(&base, &gains);
            if gain > best.0 + 1e-9 {
                best = (gain, way, first);
            }
        }
        let (gain, way, first) = best;
        let grid = steps(ahead.grid);
        let moved = means(&way, seconds.len());
        let squares = moved.iter().zip(&base).zip(&worth);
        let squares = squares.map(|((now, before), own)| ((now - before) * own.doubt).powi(2));
        let (gain, sd) = (gain / grid, squares.sum::<f64>().sqrt() / grid);
        let first = way.order.iter().take(first);
        Self {
            first: first
                .filter_map(|at| Some(ahead.questions.get(*at)?.number))
                .collect(),
            offered: may_be && gain > sd.max(LEAST_GAIN),
            gain,
            sd,
            way,
        }
    }

    /// What may be promised of it, in marks.
    pub fn promise(&self) -> f64 {
        self.gain * CAME_TRUE
    }
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

/// How much of each question is got to on average, in order of the paper.
fn means(way: &Way, questions: usize) -> Vec<f64> {
    let mut means = vec![0.0; questions];
    for (place, at) in way.order.iter().enumerate() {
        if let Some(own) = means.get_mut(*at) {
            *own = reached(way, place);
        }
    }
    means
}

/// How much of each question is got to in a time, in the order of work: all of the first, a part of one, nothing of the
/// rest.
fn spent(order: &[usize], seconds: &[f64], mut budget: f64) -> Vec<f64> {
    let part = |at: &usize| {
        let takes = seconds.get(*at).copied().unwrap_or_default();
        let part = if takes <= budget * (1.0 + 1e-12) {
            1.0
        } else {
            budget / takes
        };
        budget = (budget - takes).max(0.0);
        part
    };
    order.iter().map(part).collect()
}

/// The share of the paper that a pupil gets through in order in the time that these questions take.
pub(super) fn share_for(seconds: &[f64], tried: &[bool]) -> f64 {
    let own = seconds.iter().zip(tried).filter(|(_, tried)| **tried);
    let whole = own.map(|(took, _)| took).sum();
    let all: Vec<usize> = (0..seconds.len()).collect();
    let parts: f64 = spent(&all, seconds, whole).iter().sum();
    parts / real(seconds.len().max(1))
}

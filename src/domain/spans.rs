//! Stretches of a sitting: breaks, absences, visits.

use super::time::Elapsed;

/// Stretches of time in the order they happened; the last may still go on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spans {
    past: Vec<(Elapsed, Elapsed)>,
    open: Option<Elapsed>,
}

impl Spans {
    /// Begins a stretch, unless one is going on.
    pub fn begin(&mut self, at: Elapsed) {
        self.open.get_or_insert(at);
    }

    /// Ends the stretch that is going on.
    pub fn end(&mut self, at: Elapsed) {
        if let Some(from) = self.open.take() {
            self.add(from, at);
        }
    }

    /// Adds a stretch known from its two ends; what an earlier one already holds is not added twice.
    pub fn add(&mut self, from: Elapsed, to: Elapsed) {
        let from = self.past.last().map_or(from, |(_, ended)| from.max(*ended));
        if to > from {
            self.past.push((from, to));
        }
    }

    /// Whether a stretch is going on.
    pub const fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Every stretch, the one that is going on cut off at `now`.
    pub fn until(&self, now: Elapsed) -> impl Iterator<Item = (Elapsed, Elapsed)> + '_ {
        let going_on = self.open.map(|from| (from, now));
        self.past
            .iter()
            .copied()
            .chain(going_on)
            .map(move |(from, to)| (from.min(now), to.min(now)))
    }

    /// How many stretches there are.
    pub fn count(&self) -> usize {
        self.past.len() + usize::from(self.open.is_some())
    }

    /// How much of `from..to` these stretches cover.
    pub fn overlap(&self, from: Elapsed, to: Elapsed) -> Elapsed {
        let covered = |(start, end): (Elapsed, Elapsed)| end.min(to).since(start.max(from));
        self.until(to)
            .map(covered)
            .fold(Elapsed::ZERO, std::ops::Add::add)
    }

    /// Together, how long they are up to `now`.
    pub fn total(&self, now: Elapsed) -> Elapsed {
        self.overlap(Elapsed::ZERO, now)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stretches_cover_what_lies_in_them_once() {
        let mut spans = Spans::default();
        spans.add(Elapsed(10), Elapsed(20));
        spans.add(Elapsed(15), Elapsed(25));
        spans.begin(Elapsed(40));
        spans.begin(Elapsed(45));
        assert_eq!(spans.overlap(Elapsed(0), Elapsed(50)), Elapsed(25));
        assert_eq!(spans.overlap(Elapsed(12), Elapsed(18)), Elapsed(6));
        assert_eq!(spans.total(Elapsed(41)), Elapsed(16));
        spans.end(Elapsed(60));
        assert!(!spans.is_open());
        assert_eq!(spans.total(Elapsed(100)), Elapsed(35));
        assert_eq!(spans.count(), 3);
    }
}

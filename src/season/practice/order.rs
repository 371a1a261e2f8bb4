//! An order in which neighbours have no topic in common, where there is one.

use std::collections::{BTreeMap, BTreeSet};

/// How many steps are looked at before one more pair of neighbours with a common topic is put up with. What each
/// topic asks for alone settles sets of questions with one topic each, without a step back.
const MOST_STEPS: usize = 50_000;

/// Puts questions into an order with as few neighbours that share a topic as there can be, else as given: of all such
/// orders the one that begins with the earliest, and so on. Gives their places.
///
/// Fewest are found in every set of questions with one topic each, and in any set that takes no more steps than the
/// most allowed, all sets of eight among them; in others there may be more pairs than there need be.
pub(super) fn arranged(topics: &[BTreeSet<&str>]) -> Vec<usize> {
    let everything = || (0..topics.len()).collect();
    (0..topics.len())
        .find_map(|pairs| {
            let mut search = OrderSearch {
                topics,
                left: topics.iter().map(|_| true).collect(),
                order: Vec::new(),
                steps: 0,
            };
            search.goes_on(pairs).then_some(search.order)
        })
        .unwrap_or_else(everything)
}

struct OrderSearch<'a> {
    topics: &'a [BTreeSet<&'a str>],
    /// Which are not placed yet.
    left: Vec<bool>,
    order: Vec<usize>,
    steps: usize,
}

impl OrderSearch<'_> {
    /// Places what is left, with at most so many pairs.
    fn goes_on(&mut self, pairs: usize) -> bool {
        if self.order.len() == self.topics.len() {
            return true;
        }
        self.steps += 1;
        if self.steps > MOST_STEPS || self.least() > pairs {
            return false;
        }
        for place in 0..self.topics.len() {
            if self.left.get(place) != Some(&true) {
                continue;
            }
            let cost = usize::from(self.shares_with_last(place));
            let Some(rest) = pairs.checked_sub(cost) else {
                continue;
            };
            self.put(place, true);
            if self.goes_on(rest) {
                return true;
            }
            self.put(place, false);
        }
        false
    }

    fn put(&mut self, place: usize, placed: bool) {
        if let Some(left) = self.left.get_mut(place) {
            *left = !placed;
        }
        if placed {
            self.order.push(place);
        } else {
            self.order.pop();
        }
    }

    fn last(&self) -> Option<&BTreeSet<&str>> {
        self.topics.get(*self.order.last()?)
    }

    fn shares_with_last(&self, place: usize) -> bool {
        let own = self.topics.get(place);
        let both = self.last().zip(own);
        both.is_some_and(|(last, own)| !last.is_disjoint(own))
    }

    /// The fewest pairs that any one topic makes among what is left: so many questions of it, the last one placed
    /// perhaps another, need one of another topic between each two.
    fn least(&self) -> usize {
        let left = self.topics.iter().zip(&self.left);
        let left: Vec<_> = left
            .filter_map(|(topics, left)| left.then_some(topics))
            .collect();
        let mut counts = BTreeMap::<&str, usize>::new();
        for topic in left.iter().copied().flatten() {
            *counts.entry(topic).or_default() += 1;
        }
        let last = self.last();
        let fewest = counts.into_iter().map(|(topic, count)| {
            let before = usize::from(last.is_some_and(|last| last.contains(topic)));
            let others = left.len() - count;
            (count + before).saturating_sub(others + 1)
        });
        fewest.max().unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sets<'a>(topics: &[&'a str]) -> Vec<BTreeSet<&'a str>> {
        let split = |text: &'a str| text.split(' ').filter(|word| !word.is_empty()).collect();
        topics.iter().copied().map(split).collect()
    }

    fn pairs(topics: &[BTreeSet<&str>], order: &[usize]) -> usize {
        let shares = |pair: &[usize]| !topics[pair[0]].is_disjoint(&topics[pair[1]]);
        order.windows(2).filter(|pair| shares(pair)).count()
    }

    /// Every order of so many, one by one.
    fn orders(many: usize) -> Vec<Vec<usize>> {
        let mut all = vec![vec![]];
        for _ in 0..many {
            let longer = |order: &Vec<usize>| {
                let rest = (0..many).filter(|place| !order.contains(place));
                let more = rest.map(|place| [order.clone(), vec![place]].concat());
                more.collect::<Vec<_>>()
            };
            all = all.iter().flat_map(longer).collect();
        }
        all
    }

    #[test]
    fn what_comes_first_stays_first_where_topics_allow_it() {
        let of = |topics: &[&str]| arranged(&sets(topics));
        assert_eq!(of(&[]), [] as [usize; 0]);
        assert_eq!(of(&["a", "b", "c"]), [0, 1, 2]);
        assert_eq!(of(&["a", "a", "b"]), [0, 2, 1]);
        assert_eq!(
            of(&["b", "a", "a"]),
            [1, 0, 2],
            "the only one without a pair"
        );
        assert_eq!(of(&["", "", ""]), [0, 1, 2], "no topic is none in common");
        assert_eq!(of(&["a b", "b c", "c", "a"]), [0, 2, 3, 1]);
        assert_eq!(of(&["a", "a", "a"]), [0, 1, 2], "only one order");
    }

    /// One topic that half of a long list has: it can just be parted.
    #[test]
    fn a_long_list_takes_no_search() {
        let long: Vec<&str> = (0..199).map(|n| if n < 100 { "a" } else { "b" }).collect();
        let topics = sets(&long);
        assert_eq!(pairs(&topics, &arranged(&topics)), 0);
        let worse: Vec<&str> = (0..200).map(|n| if n < 150 { "a" } else { "" }).collect();
        let topics = sets(&worse);
        // 150 in 51 groups around 50 others.
        assert_eq!(pairs(&topics, &arranged(&topics)), 99);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

        /// Every order is tried: none has fewer pairs, and of those with as few, none begins with earlier ones.
        #[test]
        fn no_order_has_fewer_neighbours_with_a_common_topic(
            drawn in proptest::collection::vec(proptest::collection::btree_set(0_usize..4, 0..3), 0..7)
        ) {
            const NAMES: [&str; 4] = ["angles", "primes", "counting", "fractions"];
            let topics: Vec<BTreeSet<&str>> =
                drawn.iter().map(|own| own.iter().map(|one| NAMES[*one]).collect()).collect();
            let best = orders(topics.len()).into_iter().min_by_key(|order| (pairs(&topics, order), order.clone()));
            prop_assert_eq!(Some(arranged(&topics)), best);
        }
    }
}

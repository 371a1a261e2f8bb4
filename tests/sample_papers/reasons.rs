//! The reasons given for wrong options: where a reason names a miscount or a rule left out, that
//! mistake is made here on purpose, and must lead to the very option it stands beside.

use std::collections::BTreeSet;

use crate::files;
use crate::tools::{Exact, area, corner, fraction, mixed, part_way, two_unknowns};

/// Holds what a mistake gives against the number that the option at a letter begins with.
fn leads_to(id: &str, no: usize, mistakes: &[(char, String)]) {
    let (paper, key) = (files::paper(id), files::key(id));
    for (letter, wrong) in mistakes {
        let index = "ABCDE".find(*letter).unwrap();
        let option = &paper.questions[no - 1].options[index];
        let number = option.trim_end_matches(|sign: char| !"0123456789½".contains(sign));
        let number = number.split(' ').next().unwrap();
        assert!(key.notes[&no].distractors.contains_key(&letter.to_string()));
        assert_eq!(number, wrong, "{id} question {no}, option {letter}");
    }
}

fn count<T>(things: impl Iterator<Item = T>) -> String {
    things.count().to_string()
}

/// Gives every row of three numbers below `limit`.
fn threes(limit: u32) -> impl Iterator<Item = [u32; 3]> {
    (0..limit.pow(3)).map(move |n| [n / limit / limit, n / limit % limit, n % limit])
}

#[test]
fn miscounted_flags_and_boat_numbers_give_the_options_of_paper_a() {
    let flags = || threes(3);
    let breaks = |[a, b, c]: &[u32; 3]| a == b || b == c;
    let once_turned = count(
        flags()
            .filter(|flag| !breaks(flag))
            .flat_map(|flag| [flag, flag]),
    );
    leads_to(
        "saltmarsh-a",
        5,
        &[
            ('B', count(flags().filter(breaks))),
            ('C', count(flags().filter(|[a, b, _]| a != b))),
            ('D', once_turned),
            ('E', count(flags())),
        ],
    );
    let right = || threes(10).filter(|[a, b, c]| a * b * c == 36);
    let sets: BTreeSet<[u32; 3]> = right()
        .map(|mut set| {
            set.sort_unstable();
            set
        })
        .collect();
    let different = |set: &&[u32; 3]| set[0] != set[1] && set[1] != set[2];
    assert_eq!(sets.iter().filter(different).count(), 2);
    assert!(sets.contains(&[1, 6, 6]));
    leads_to(
        "saltmarsh-a",
        12,
        &[
            (
                'A',
                count(right().filter(|[a, b, c]| a + b + c == 11 && a != b && b != c && a != c)),
            ),
            ('C', ((2 + 1) * 6).to_string()),
            ('D', count(right())),
            ('E', (sets.len() * 6).to_string()),
        ],
    );
}

#[test]
fn painted_ones_left_out_give_the_options_of_paper_a() {
    let ones = |at: u32, last: u32| {
        let digit = move |post: &u32| post / 10_u32.pow(at) % 10 == 1;
        (1..=last).filter(digit).count()
    };
    let posts = (1..=150_u32).filter(|post| post.to_string().contains('1'));
    leads_to(
        "saltmarsh-a",
        18,
        &[
            ('A', (ones(0, 150) + ones(1, 150)).to_string()),
            ('B', (ones(0, 150) + ones(2, 150)).to_string()),
            ('C', count(posts)),
            (
                'D',
                (ones(0, 150) + ones(1, 150) + ones(2, 149)).to_string(),
            ),
        ],
    );
}

#[test]
fn rules_left_out_give_the_numberings_of_paper_a() {
    let different = |digits: &[u32]| (1..=6).all(|digit| digits.contains(&digit));
    let doubled = || (11..=66_u32).map(|ibis| [ibis / 10, ibis % 10, 2 * ibis / 10, 2 * ibis % 10]);
    let allowed = |four: &[u32; 4]| four.iter().all(|digit| (1..=6).contains(digit));
    let twice = |four: &[u32; 4]| (0..4).any(|at| four[at + 1..].contains(&four[at]));
    let pairs = || doubled().filter(allowed).filter(|four| !twice(four));
    let knots = |four: [u32; 4]| {
        let knot = (1..=6).flat_map(|tens| (1..=6).map(move |ones| [tens, ones]));
        knot.filter(move |knot| different(&[&four[..], knot].concat()))
    };
    assert!(doubled().filter(allowed).any(|four| four == [1, 2, 2, 4]));
    assert!(pairs().any(|four| four == [1, 6, 3, 2]));
    leads_to(
        "saltmarsh-a",
        22,
        &[
            ('A', count(pairs())),
            (
                'B',
                count(pairs().filter(|four| *four != [1, 6, 3, 2]).flat_map(knots)),
            ),
            ('D', ((pairs().count() + 1) * 2).to_string()),
            ('E', (pairs().flat_map(knots).count() * 2).to_string()),
        ],
    );
}

#[test]
fn wrong_rope_triangles_give_the_options_of_paper_a() {
    let splits = || threes(25).filter(|[a, b, c]| a * b * c > 0 && a + b + c == 24);
    let sorted = || splits().filter(|[a, b, c]| a <= b && b <= c);
    let real = |[a, b, c]: &[u32; 3]| a + b > *c && b + c > *a && a + c > *b;
    let flat = |[a, b, c]: &[u32; 3]| a + b >= *c;
    leads_to(
        "saltmarsh-a",
        23,
        &[
            (
                'A',
                count(sorted().filter(real).filter(|[a, b, c]| a < b && b < c)),
            ),
            ('C', count(sorted().filter(flat))),
            ('D', count(sorted())),
            ('E', count(splits().filter(real))),
        ],
    );
}

#[test]
fn half_seen_patterns_give_the_options_of_paper_a() {
    let piles = 1..=30;
    let pattern = |pile: &i32| pile % 7 == 0 || pile % 7 == 2;
    leads_to(
        "saltmarsh-a",
        24,
        &[
            ('A', count(piles.clone().filter(|pile| pile % 7 == 0))),
            ('B', count(piles.clone().filter(|pile| pile % 7 == 2))),
            ('C', count(piles.clone().filter(|pile| pile % 5 == 0))),
            ('D', count(piles.filter(pattern).filter(|&pile| pile != 2))),
        ],
    );
}

#[test]
fn parts_of_the_sail_give_the_options_of_paper_a() {
    let [p, q, r, s] = [corner(0, 12), corner(12, 12), corner(12, 0), corner(0, 0)];
    let (top, side) = (corner(6, 12), corner(12, 6));
    let whole = area(&[p, q, r, s]);
    let (left, low, small) = (
        area(&[p, s, top]),
        area(&[r, s, side]),
        area(&[top, q, side]),
    );
    leads_to(
        "saltmarsh-a",
        19,
        &[
            ('A', mixed(left)),
            ('C', mixed(whole - left - low)),
            ('D', mixed(left + low + small)),
            ('E', mixed(whole - left)),
        ],
    );
}

#[test]
fn parts_of_the_marsh_give_the_options_of_paper_a() {
    let [p, q, r] = [corner(0, 0), corner(12, 0), corner(0, 10)];
    let (third, middle) = (
        part_way(p, q, fraction(1, 3)),
        part_way(p, r, fraction(1, 2)),
    );
    let crossing = part_way(third, r, fraction(2, 5));
    assert_eq!(
        area(&[middle, q, crossing]),
        Exact::from(0),
        "X is on both ditches"
    );
    leads_to(
        "saltmarsh-a",
        25,
        &[
            ('A', mixed(area(&[p, crossing, middle]))),
            ('B', mixed(area(&[p, third, crossing]))),
            ('C', mixed(area(&[p, third, middle]))),
            ('E', mixed(area(&[p, third, r]))),
        ],
    );
}

#[test]
fn rules_left_out_give_the_counts_of_paper_b() {
    let pairs = || (0..9_usize).flat_map(|one| (one + 1..9).map(move |other| (one, other)));
    let apart = || pairs().filter(|(one, other)| one / 3 != other / 3 && one % 3 != other % 3);
    let corner = |barrel: usize| barrel / 3 != 1 && barrel % 3 != 1;
    let corners = move |&(one, other): &(usize, usize)| {
        [one, other].into_iter().filter(move |&b| corner(b)).count()
    };
    leads_to(
        "saltmarsh-b",
        12,
        &[
            ('A', count(apart().filter(|pair| corners(pair) == 0))),
            ('B', count(apart().filter(|pair| corners(pair) == 1))),
            (
                'D',
                apart()
                    .map(|pair| corners(&pair))
                    .sum::<usize>()
                    .to_string(),
            ),
            ('E', count(apart())),
        ],
    );
    let tickets = |free: &dyn Fn(u32, u32) -> bool| {
        count((100..1000).filter(|ticket| free(ticket / 100, ticket % 10)))
    };
    leads_to(
        "saltmarsh-b",
        17,
        &[
            ('A', tickets(&|first, last| first > 2 * last && last > 0)),
            ('C', tickets(&|first, last| first >= 2 * last)),
            ('D', tickets(&|first, last| first > last)),
            ('E', tickets(&|first, last| 2 * first > last)),
        ],
    );
    let lamps = || {
        (0..1_u32 << 5).filter(|lamps| {
            let lit = |no: u32| lamps >> (no - 1) & 1 == 1;
            lit(3) && !(lit(1) && lit(2)) && (!lit(5) || lit(4))
        })
    };
    leads_to(
        "saltmarsh-b",
        15,
        &[
            ('A', count(lamps().filter(|lit| lit.count_ones() > 3))),
            ('B', count(lamps().filter(|lit| lit.count_ones() == 3))),
            ('C', count(lamps().filter(|lit| lit.count_ones() < 3))),
            ('E', count(lamps())),
        ],
    );
}

#[test]
fn miscounted_herons_and_flashes_give_the_options_of_paper_b() {
    let sets = || (0..1_u32 << 9).filter(|set| set.count_ones() == 3);
    let ring = |set: u32| set << 1 | set >> 8;
    let side_by_side = |set: &u32| set & ring(*set) & ring(ring(*set) & 0x1ff) & 0x1ff != 0;
    let apart = |set: &u32| set & ring(*set) == 0;
    leads_to(
        "saltmarsh-b",
        22,
        &[
            ('B', count(sets().filter(|set| set & (set << 1) == 0))),
            ('C', count(sets().filter(|set| !side_by_side(set)))),
            ('D', count(sets())),
            ('E', count(sets().filter(apart).flat_map(|set| [set; 3]))),
        ],
    );
    let lit = |second: u32| {
        [4, 6, 10]
            .iter()
            .filter(|&every| second.is_multiple_of(*every))
            .count()
    };
    let seconds = || (1..=600_u32).map(lit);
    let single = [4, 6, 10].map(|every| 600 / every);
    let both = [12, 20, 30].map(|every| 600 / every);
    leads_to(
        "saltmarsh-b",
        24,
        &[
            ('A', count(seconds().filter(|&lamps| lamps == 2))),
            ('B', count(seconds().filter(|&lamps| lamps == 1))),
            ('C', single[0].to_string()),
            (
                'D',
                (single.iter().sum::<u32>() - both.iter().sum::<u32>()).to_string(),
            ),
        ],
    );
}

#[test]
fn a_leak_forgotten_gives_the_times_of_paper_b() {
    let paper = files::paper("saltmarsh-b");
    let time = |hours: Exact| crate::tools::hours_and_minutes((hours * 60).to_integer());
    let later = |lifted: i64| Exact::from(8) + fraction(lifted - 4 * 8, 10);
    let (dock, leak) = two_unknowns([1, 8, 80], [1, 16, 96]);
    let options = &paper.questions[24].options;
    assert_eq!(options[0], time(later(10 * 8)));
    assert_eq!(options[2], time(later(6 * 16)));
    assert_eq!(options[3], time(Exact::from(8 + 8)));
    assert_eq!(options[4], time(dock / (Exact::from(4) - leak)));
}

#[test]
fn steps_left_out_give_the_options_of_both_papers() {
    let (rafts, punts) = (8, 6);
    assert_eq!(
        (4 * rafts + 3 * punts, 4 * (rafts - 2)),
        (50, 3 * (punts + 2))
    );
    leads_to(
        "saltmarsh-a",
        20,
        &[
            ('B', (punts + 2).to_string()),
            ('C', (punts + 2 + 2).to_string()),
            ('D', (rafts + punts).to_string()),
            ('E', (3 * (punts + 2)).to_string()),
        ],
    );
    let start = 96;
    let left = start - start / 4 - 6;
    assert_eq!(left + left / 2, start + 3);
    leads_to(
        "saltmarsh-b",
        20,
        &[
            ('A', (start / 4).to_string()),
            ('B', (left / 2).to_string()),
            ('C', left.to_string()),
            ('D', (start - start / 4).to_string()),
        ],
    );
    let around = |wide: i32, high: i32| 2 * (wide + high);
    leads_to(
        "saltmarsh-b",
        19,
        &[
            ('A', around(4, 4).to_string()),
            ('B', around(8, 5).to_string()),
            ('D', (around(10, 6) + around(8, 5)).to_string()),
            ('E', (10 * 6 + 8 * 5 - 4 * 4).to_string()),
        ],
    );
    let (water, floor) = (60 * 40 * 15, 60 * 40);
    let under = |base: i64| fraction(base * 15, floor);
    assert_eq!(under(20 * 30) - under(20 * 20), fraction(5, 4));
    let standing = fraction(water, floor - 20 * 20);
    let lying = fraction(water, floor - 20 * 30);
    leads_to(
        "saltmarsh-b",
        23,
        &[
            ('A', mixed(Exact::from(0))),
            ('D', mixed(standing - 15)),
            ('E', mixed(lying - 15)),
        ],
    );
    assert_eq!(
        files::paper("saltmarsh-b").questions[22].options[1],
        "1¼ cm"
    );
}

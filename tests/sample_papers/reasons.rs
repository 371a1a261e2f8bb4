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
fn clashing_or_missed_rings_give_the_options_of_paper_a() {
    let twos = |ring: u32| ring.trailing_zeros();
    let used =
        |keep: &dyn Fn(u32) -> bool| -> Vec<u32> { (1..=40).filter(|&ring| keep(ring)).collect() };
    let clashes = |rings: &[u32]| rings.iter().any(|ring| rings.contains(&(2 * ring)));
    let odd = used(&|ring| twos(ring) == 0);
    let without_16 = used(&|ring| twos(ring) % 2 == 0 && ring != 16);
    let with_32 = used(&|ring| twos(ring) != 1 && twos(ring) != 3);
    let no_fours = used(&|ring| ring % 4 != 0);
    assert!(!clashes(&odd) && !clashes(&without_16));
    assert!(clashes(&with_32) && clashes(&no_fours));
    leads_to(
        "saltmarsh-a",
        22,
        &[
            ('A', odd.len().to_string()),
            ('B', without_16.len().to_string()),
            ('D', with_32.len().to_string()),
            ('E', no_fours.len().to_string()),
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
    let backwards = |hours: u32, minutes: u32| {
        let times = (0..hours).flat_map(move |hour| (0..minutes).map(move |m| (hour, m)));
        times.filter(|(hour, minute)| hour / 10 == minute % 10 && hour % 10 == minute / 10)
    };
    leads_to(
        "saltmarsh-b",
        12,
        &[
            ('A', count(backwards(20, 60))),
            ('B', count(backwards(24, 60).filter(|&time| time != (0, 0)))),
            ('D', count(backwards(26, 60))),
            ('E', count(backwards(24, 100))),
        ],
    );
    let sums = || threes(10).filter(|[first, middle, last]| *middle == first + last);
    let pairs = || (1..=9).flat_map(|first| (0..=9).map(move |last| (first, last)));
    leads_to(
        "saltmarsh-b",
        17,
        &[
            (
                'A',
                count(sums().filter(|[first, _, last]| first * last > 0)),
            ),
            ('C', count(sums())),
            ('D', count(pairs().filter(|&(_, last)| last > 0))),
            ('E', count(pairs())),
        ],
    );
}

#[test]
fn miscounted_herons_and_piles_give_the_options_of_paper_b() {
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
    let rows: Vec<u32> = (2..=105)
        .filter(|&rows| (1..=105).any(|top| (top..top + rows).sum::<u32>() == 105))
        .collect();
    let rows = || rows.iter();
    leads_to(
        "saltmarsh-b",
        24,
        &[
            ('A', count(rows().filter(|&rows| rows % 2 == 1))),
            ('B', count(rows().filter(|&rows| rows % 2 == 0))),
            ('C', count(rows().filter(|&&rows| rows <= 7))),
            ('D', count(rows().filter(|&&rows| rows != 14))),
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

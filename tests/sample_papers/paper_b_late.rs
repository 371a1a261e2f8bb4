//! Paper B, questions 14 to 25, worked out from their stems.

use crate::files::Question;
use crate::proofs::Proof;
use crate::tools::{Exact, edge_length, fraction, hours_and_minutes, mixed, only, two_unknowns};

pub(crate) const PROOFS: [Proof; 12] = [
    clock_hands,
    lamps_on_the_mast,
    two_sluices,
    free_tickets,
    ferries_met,
    two_cloths,
    string_of_beads,
    mudball,
    herons_on_posts,
    block_in_the_tank,
    flashes_of_three_lamps,
    leaking_dock,
];

fn clock_hands(_: &Question) -> String {
    // Half degrees: the hour hand goes one a minute, the minute hand twelve.
    let (mut hour_hand, mut minute_hand) = (0, 0);
    for _ in 0..3 * 60 + 40 {
        hour_hand = (hour_hand + 1) % 720;
        minute_hand = (minute_hand + 12) % 720;
    }
    let between = i64::abs(hour_hand - minute_hand);
    format!("{}°", mixed(fraction(between.min(720 - between), 2)))
}

fn lamps_on_the_mast(_: &Question) -> String {
    let allowed = (0..1_u32 << 5).filter(|lamps| {
        let lit = |no: u32| lamps >> (no - 1) & 1 == 1;
        lit(3) && !(lit(1) && lit(2)) && (!lit(5) || lit(4)) && lamps.count_ones() >= 3
    });
    allowed.count().to_string()
}

fn two_sluices(_: &Question) -> String {
    // A pool of 1440 tubs, so that both sluices let out whole tubs in a minute.
    let (wide, narrow) = (1440 / (6 * 60), 1440 / (12 * 60));
    let (mut left, mut minutes) = (1440, 0);
    while left > 0 {
        left -= if minutes < 3 * 60 {
            narrow
        } else {
            narrow + wide
        };
        minutes += 1;
    }
    assert_eq!(left, 0);
    hours_and_minutes(minutes)
}

fn free_tickets(_: &Question) -> String {
    let free = |ticket: &u32| ticket / 100 > 2 * (ticket % 10);
    assert!(free(&703) && !free(&603));
    (100..1000).filter(free).count().to_string()
}

fn ferries_met(_: &Question) -> String {
    // Minutes after 12:00. I am t minutes from Wendle; the other, gone at g, is t - g from
    // Tolley: we are at one place when t + (t - g) is the whole trip.
    let gone = (-100..100).map(|turn| 8 * turn);
    let met = gone.filter(|&gone| {
        let at = fraction(50 + gone, 2);
        at > Exact::from(0) && at < Exact::from(50)
    });
    met.count().to_string()
}

fn two_cloths(_: &Question) -> String {
    // The overlap is the square at the corner that makes the covered area right.
    let cloth = |left: i32, top: i32, wide: i32, high: i32| {
        (left..left + wide).flat_map(move |x| (top..top + high).map(move |y| (x, y)))
    };
    let shapes = (1..5).map(|side| {
        let mut covered: Vec<_> = cloth(0, 0, 10, 6)
            .chain(cloth(10 - side, 6 - side, 8, 5))
            .collect();
        covered.sort_unstable();
        covered.dedup();
        covered
    });
    let shape = only(shapes.filter(|covered| covered.len() == 84));
    format!("{} m", edge_length(&shape))
}

fn string_of_beads(_: &Question) -> String {
    let fits = |start: &i64| {
        let left = fraction(3 * start, 4) - 6;
        left + left / 2 == Exact::from(start + 3)
    };
    only((1..10_000).filter(fits)).to_string()
}

fn mudball(question: &Question) -> String {
    let (teams, shells) = (["Avocets", "Dunlins", "Plovers", "Terns"], [7, 3, 4, 2]);
    let matches = [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)];
    let mut found = Vec::new();
    for season in 0..3_u32.pow(6) {
        let mut earned = [0; 4];
        let mut draws = Vec::new();
        for (&(one, other), turn) in matches.iter().zip(0..) {
            match season / 3_u32.pow(turn) % 3 {
                0 => earned[one] += 3,
                1 => earned[other] += 3,
                _ => {
                    earned[one] += 1;
                    earned[other] += 1;
                    draws.push(format!("{} and {}", teams[one], teams[other]));
                }
            }
        }
        if earned == shells {
            found.push(draws);
        }
    }
    only(
        only(found)
            .into_iter()
            .filter(|draw| question.options.contains(draw)),
    )
}

fn herons_on_posts(_: &Question) -> String {
    let apart = |set: &u32| {
        let taken = |post: u32| set >> (post % 9) & 1 == 1;
        set.count_ones() == 3 && (0..9).all(|post| !(taken(post) && taken(post + 1)))
    };
    (0..1_u32 << 9).filter(apart).count().to_string()
}

fn block_in_the_tank(_: &Question) -> String {
    // The deepest the water can be with the block's part of the floor taken away, or over its top.
    let depth = |base: i64, height: i64| {
        let (floor, water) = (60 * 40, 60 * 40 * 15);
        let beside = fraction(water, floor - base);
        if beside <= Exact::from(height) {
            beside
        } else {
            fraction(water + base * height, floor)
        }
    };
    let (standing, lying) = (depth(20 * 20, 30), depth(20 * 30, 20));
    assert!(standing < Exact::from(30), "its top stays dry");
    format!("{} cm", mixed(lying - standing))
}

fn flashes_of_three_lamps(_: &Question) -> String {
    let seen = |second: &u32| [4, 6, 10].iter().any(|every| second.is_multiple_of(*every));
    (1..=10 * 60).filter(seen).count().to_string()
}

fn leaking_dock(_: &Question) -> String {
    // What the pumps lift is the full dock and what leaked in: dock + hours x leak.
    let (dock, leak) = two_unknowns([1, 8, 10 * 8], [1, 16, 6 * 16]);
    let after_eight = dock + leak * 8 - Exact::from(4 * 8);
    assert!(
        after_eight > Exact::from(0),
        "the dock is not dry before more pumps come"
    );
    let hours = Exact::from(8) + after_eight / (Exact::from(10) - leak);
    hours_and_minutes((hours * 60).to_integer())
}

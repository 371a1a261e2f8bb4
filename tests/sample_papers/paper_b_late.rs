//! Paper B, questions 14 to 25, worked out from their stems.

use crate::files::Question;
use crate::proofs::Proof;
use crate::tools::{Exact, area, corner, fraction, hours_and_minutes, mixed, only, two_unknowns};

pub(crate) const PROOFS: [Proof; 12] = [
    clock_hands,
    round_table,
    two_sluices,
    lucky_numbers,
    ferries_met,
    side_by_side_squares,
    shells_given,
    mudball,
    herons_on_posts,
    holes_in_the_block,
    piles_of_barrels,
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

fn round_table(_: &Question) -> String {
    let tables = (0..1_u32 << 7).filter(|table| {
        let honest = |seat: u32| table >> (seat % 7) & 1 == 1;
        (0..7).all(|seat| honest(seat) == (!honest(seat + 6) && !honest(seat + 1)))
    });
    let counts: Vec<u32> = tables.map(u32::count_ones).collect();
    assert!(!counts.is_empty());
    only(counts).to_string()
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

fn lucky_numbers(_: &Question) -> String {
    let lucky = |number: &u32| number / 10 % 10 == number / 100 + number % 10;
    assert!(lucky(&374) && !lucky(&347));
    (100..1000).filter(lucky).count().to_string()
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

fn side_by_side_squares(_: &Question) -> String {
    let (a, c, f) = (corner(0, 0), corner(10, 10), corner(10 + 6, 6));
    format!("{} m²", mixed(area(&[a, c, f])))
}

fn shells_given(_: &Question) -> String {
    let mut all = Vec::new();
    for pell in 5..1000 {
        let fits = |ruan: &i32| pell - 5 == ruan + 5 && pell + 5 == 2 * (ruan - 5);
        all.extend((5..1000).filter(fits).map(|ruan| pell + ruan));
    }
    only(all).to_string()
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

fn holes_in_the_block(_: &Question) -> String {
    let inside = |at: i32| (0..5).contains(&at);
    let salt = |[x, y, z]: [i32; 3]| {
        let middles = [x, y, z].iter().filter(|&&at| at == 2).count();
        inside(x) && inside(y) && inside(z) && middles < 2
    };
    let mut faces = 0;
    for cube in 0..125 {
        let cube = [cube / 25, cube / 5 % 5, cube % 5];
        for side in 0..3 {
            for step in [-1, 1] {
                let mut beside = cube;
                beside[side] += step;
                faces += i32::from(salt(cube) && !salt(beside));
            }
        }
    }
    format!("{faces} cm²")
}

fn piles_of_barrels(_: &Question) -> String {
    let mut piles = 0;
    for top in 1..=105_u32 {
        for rows in 2..=105_u32 {
            piles += u32::from((top..top + rows).sum::<u32>() == 105);
        }
    }
    piles.to_string()
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

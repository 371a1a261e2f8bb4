//! Paper B, questions 1 to 13, worked out from their stems.

use crate::files::Question;
use crate::proofs::Proof;
use crate::tools::{edge_length, fraction, mixed, only, orders, place};

pub(crate) const PROOFS: [Proof; 13] = [
    change_for_salt,
    birds_on_the_chart,
    sea_map,
    lookout,
    ropes_between_posts,
    odd_moorings,
    fourth_boat,
    eels_in_buckets,
    geese_and_terns,
    cross_of_pans,
    window_rectangles,
    two_barrels,
    boats_with_six_oars,
];

fn change_for_salt(_: &Question) -> String {
    let mut purse = 50;
    for _sack in 0..6 {
        purse -= 7;
    }
    purse.to_string()
}

fn birds_on_the_chart(question: &Question) -> String {
    let chart = question.figure.as_deref().unwrap();
    let birds = |kind: &str| {
        let row = chart.lines().find(|line| line.starts_with(kind)).unwrap();
        6 * row.matches('#').count()
    };
    assert!(chart.contains("Each # stands for 6 birds."));
    (birds("curlew") + birds("plover") - birds("dunlin")).to_string()
}

fn sea_map(_: &Question) -> String {
    // Halves of a kilometre: the map and the sea are in the same ratio.
    let far = only((1..1000).filter(|halves| fraction(2, 5) == fraction(9 * 2, *halves)));
    format!("{} km", mixed(fraction(far, 2)))
}

fn lookout(_: &Question) -> String {
    let winds = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    let mut facing: usize = 0;
    for _ in 0..225 {
        facing = (facing + 1) % 360;
    }
    for _ in 0..90 {
        facing = (facing + 359) % 360;
    }
    assert_eq!(facing % 45, 0);
    winds[facing / 45].to_owned()
}

fn ropes_between_posts(_: &Question) -> String {
    let ropes = (0..6).flat_map(|one| (0..6).map(move |other| (one, other)));
    ropes.filter(|(one, other)| one < other).count().to_string()
}

fn odd_moorings(_: &Question) -> String {
    let north: Vec<u32> = (1..200).step_by(2).collect();
    let three = north
        .windows(3)
        .filter(|three| three.iter().sum::<u32>() == 81);
    only(three.map(|three| three[2])).to_string()
}

fn fourth_boat(_: &Question) -> String {
    let boats = ["Dabchick", "Heron", "Lapwing", "Osprey", "Wigeon"];
    let fits = |order: &Vec<&str>| {
        let at = |boat| place(order, &boat);
        at("Heron") < at("Lapwing")
            && at("Osprey") < at("Wigeon")
            && at("Osprey") > at("Lapwing")
            && at("Dabchick") > at("Osprey")
            && at("Dabchick") != 4
    };
    only(
        orders(&boats)
            .iter()
            .filter(|order| fits(order))
            .map(|order| order[3]),
    )
    .to_owned()
}

fn eels_in_buckets(_: &Question) -> String {
    let fits = |eels: &u32| [4, 6, 9].iter().all(|bucket| eels % bucket == 1);
    (2..1000).find(fits).unwrap().to_string()
}

fn geese_and_terns(_: &Question) -> String {
    let ducks = only((1..1000).filter(|ducks| fraction(90, *ducks) == fraction(3, 4)));
    only((1..1000).filter(|terns| fraction(ducks, *terns) == fraction(6, 5))).to_string()
}

fn cross_of_pans(_: &Question) -> String {
    let cross = [(1, 0), (0, 1), (1, 1), (2, 1), (1, 2)];
    let side = fraction(60, i64::try_from(edge_length(&cross)).unwrap());
    format!("{} m²", mixed(side * side * 5))
}

fn window_rectangles(question: &Question) -> String {
    let picture = question.picture();
    let seen = |row: usize, column: usize| picture[row][column];
    let level = |row, left, right| (left..=right).all(|at| !" │".contains(seen(row, at)));
    let upright = |column, top, low| (top..=low).all(|at| !" ─".contains(seen(at, column)));
    // Only corners where lines cross or turn can be corners of a rectangle.
    let turn = |row, column| !" │─".contains(seen(row, column));
    let mut count = 0;
    for top in 0..picture.len() {
        for low in top + 1..picture.len() {
            for left in 0..picture[0].len() {
                for right in left + 1..picture[0].len() {
                    let turns = turn(top, left) && turn(top, right);
                    let turns = turns && turn(low, left) && turn(low, right);
                    let levels = level(top, left, right) && level(low, left, right);
                    let uprights = upright(left, top, low) && upright(right, top, low);
                    count += usize::from(turns && levels && uprights);
                }
            }
        }
    }
    count.to_string()
}

fn two_barrels(question: &Question) -> String {
    let drawn = question.picture();
    assert_eq!(
        drawn.iter().flatten().filter(|&&sign| sign == '○').count(),
        9
    );
    let corner = |barrel: usize| barrel / 3 != 1 && barrel % 3 != 1;
    let pairs = (0..9).flat_map(|one| (one + 1..9).map(move |other| (one, other)));
    pairs
        .filter(|(one, other)| one / 3 != other / 3 && one % 3 != other % 3)
        .filter(|&(one, other)| corner(one) || corner(other))
        .count()
        .to_string()
}

fn boats_with_six_oars(_: &Question) -> String {
    only((0..=17).filter(|six| 6 * six + 2 * (17 - six) == 62)).to_string()
}

//! Paper A, questions 14 to 25, worked out from their stems.

use crate::files::Question;
use crate::proofs::Proof;
use crate::tools::{
    Exact, area, corner, fraction, hours_and_minutes, mixed, only, orders, part_way,
};

pub(crate) const PROOFS: [Proof; 12] = [
    path_round_the_pan,
    open_sluice,
    rain_tank,
    rowing_with_the_tide,
    painted_ones,
    sail_patch,
    ropes_on_rafts_and_punts,
    laps_of_the_ring,
    numbers_of_three_boats,
    rope_triangles,
    shell_game,
    crossed_ditches,
];

fn path_round_the_pan(_: &Question) -> String {
    let squares = (-1..13).flat_map(|x| (-1..9).map(move |y| (x, y)));
    let path = squares.filter(|&(x, y)| !((0..12).contains(&x) && (0..8).contains(&y)));
    format!("{} m²", path.count())
}

fn open_sluice(_: &Question) -> String {
    let right = |sluice: i32| {
        let (asa, bede, cass) = (sluice <= 3, sluice % 2 == 0, sluice == 3 || sluice == 4);
        usize::from(asa) + usize::from(bede) + usize::from(cass)
    };
    only((1..=5).filter(|&sluice| right(sluice) == 1)).to_string()
}

fn rain_tank(_: &Question) -> String {
    let fits = |full: &i64| fraction(*full, 3) + 40 == fraction(3 * full, 5);
    format!("{} litres", only((1..10_000).filter(fits)))
}

fn rowing_with_the_tide(_: &Question) -> String {
    // Places in sixtieths of a kilometre, so that km an hour are sixtieths a minute.
    let (far, mut at, mut minutes) = (8 * 60, 0, 0);
    while at < far {
        at += 6 - 2;
        minutes += 1;
    }
    while at > 0 {
        at -= 6 + 2;
        minutes += 1;
    }
    hours_and_minutes(minutes)
}

fn painted_ones(_: &Question) -> String {
    let painted: String = (1..=150).map(|post| post.to_string()).collect();
    painted.matches('1').count().to_string()
}

fn sail_patch(_: &Question) -> String {
    let (middle_of_pq, middle_of_qr) = (corner(6, 12), corner(12, 6));
    format!(
        "{} m²",
        mixed(area(&[corner(0, 0), middle_of_pq, middle_of_qr]))
    )
}

fn ropes_on_rafts_and_punts(_: &Question) -> String {
    let mut found = Vec::new();
    for rafts in 2..50 {
        let fits = |punts: &i32| 4 * rafts + 3 * punts == 50 && 4 * (rafts - 2) == 3 * (punts + 2);
        found.extend((0..50).filter(fits));
    }
    only(found).to_string()
}

fn laps_of_the_ring(_: &Question) -> String {
    // Each distance is a number of laps: 12 minutes of both, 60 minutes of the difference.
    let mut laps = Vec::new();
    for asa in 1..2000 {
        for bo in asa + 1..2000 {
            let apart = fraction(12, asa) + fraction(12, bo) == Exact::from(1);
            if apart && fraction(60, asa) - fraction(60, bo) == Exact::from(1) {
                laps.push(asa);
            }
        }
    }
    format!("{} minutes", only(laps))
}

fn numbers_of_three_boats(_: &Question) -> String {
    let number = |tens: i32, ones: i32| 10 * tens + ones;
    let numbered = orders(&[1, 2, 3, 4, 5, 6]);
    numbered
        .iter()
        .filter(|d| number(d[0], d[1]) == 2 * number(d[2], d[3]))
        .count()
        .to_string()
}

fn rope_triangles(_: &Question) -> String {
    let mut triangles = 0;
    for short in 1..24 {
        for middle in short..24 {
            triangles += (middle..24)
                .filter(|long| short + middle + long == 24 && short + middle > *long)
                .count();
        }
    }
    triangles.to_string()
}

fn shell_game(_: &Question) -> String {
    let mut mover_wins = vec![false];
    for pile in 1..=30_usize {
        let winning = [1, 3, 4]
            .into_iter()
            .filter_map(|take| pile.checked_sub(take));
        let wins = winning.into_iter().any(|left| !mover_wins[left]);
        mover_wins.push(wins);
    }
    mover_wins[1..]
        .iter()
        .filter(|&&wins| !wins)
        .count()
        .to_string()
}

fn crossed_ditches(_: &Question) -> String {
    // Stretching a triangle keeps ratios of areas, so any triangle of area 60 will do.
    let [p, q, r] = [corner(0, 0), corner(12, 0), corner(0, 10)];
    assert_eq!(area(&[p, q, r]), Exact::from(60));
    let third = part_way(p, q, fraction(1, 3));
    let middle = part_way(p, r, fraction(1, 2));
    let on_ditch = |from, to, point| area(&[from, to, point]) == Exact::from(0);
    let places = (0..=60).map(|part| part_way(third, r, fraction(part, 60)));
    let crossing = only(places.filter(|&place| on_ditch(middle, q, place)));
    format!("{} hectares", mixed(area(&[p, third, crossing, middle])))
}

//! Paper A, questions 1 to 13, worked out from their stems.

use crate::files::Question;
use crate::proofs::Proof;
use crate::tools::{edge_length, fraction, mixed, only, orders, place};

pub(crate) const PROOFS: [Proof; 13] = [
    people_on_the_ferry,
    low_water,
    salt_in_the_pan,
    round_the_pan,
    signal_flags,
    boats_in_the_harbour,
    beside_the_gull,
    shells_in_rows,
    boat_paint,
    sail_angle,
    plank_paths,
    boat_numbers,
    ferry_fares,
];

fn people_on_the_ferry(_: &Question) -> String {
    let mut board: Vec<u32> = (0..24).collect();
    board.drain(..9);
    board.extend(100..105);
    board.len().to_string()
}

fn low_water(_: &Question) -> String {
    let (mut hour, mut minute) = (9, 47);
    for _ in 0..6 * 60 + 25 {
        minute += 1;
        if minute == 60 {
            (hour, minute) = (hour + 1, 0);
        }
    }
    format!("{hour:02}:{minute:02}")
}

fn salt_in_the_pan(_: &Question) -> String {
    let bagged = fraction(2, 5) * 60;
    let barrel = fraction(1, 2) * (fraction(60, 1) - bagged);
    format!("{} kg", mixed(fraction(60, 1) - bagged - barrel))
}

fn round_the_pan(_: &Question) -> String {
    let rows = (0..7).flat_map(|y| (0..10).map(move |x| (x, y)));
    let pan: Vec<(i32, i32)> = rows.filter(|&(x, y)| y < 4 || x < 6).collect();
    format!("{} m", edge_length(&pan))
}

fn signal_flags(_: &Question) -> String {
    let mut flags = 0;
    for top in 0..3 {
        for middle in 0..3 {
            flags += (0..3)
                .filter(|&bottom| top != middle && middle != bottom)
                .count();
        }
    }
    flags.to_string()
}

fn boats_in_the_harbour(_: &Question) -> String {
    only((0..1000).filter(|boats| fraction(2 * boats + 6, 4) == fraction(7, 1))).to_string()
}

fn beside_the_gull(_: &Question) -> String {
    let birds = ["curlew", "gull", "heron", "plover", "ruff", "tern"];
    let mut found = Vec::new();
    for row in orders(&birds) {
        let at = |bird| place(&row, &bird);
        let next = |one, other| at(one).abs_diff(at(other)) == 1;
        let ends = at("curlew").abs_diff(at("gull")) == 5;
        let plover = next("plover", "heron") && next("plover", "tern");
        if ends && plover && next("ruff", "curlew") && !next("tern", "ruff") {
            found.extend(birds.into_iter().filter(|&bird| next(bird, "gull")));
        }
    }
    format!("the {}", only(found))
}

fn shells_in_rows(_: &Question) -> String {
    only((41..70).filter(|shells| shells % 5 == 3 && shells % 7 == 0)).to_string()
}

fn boat_paint(_: &Question) -> String {
    // Thirds of a litre, so that a part need not be a whole number.
    let thirds = only((1..1000).filter(|part| 5 * part == 2 * part + 3 * 12));
    format!("{} litres", mixed(fraction(thirds * (2 + 5 + 3), 3)))
}

fn sail_angle(_: &Question) -> String {
    // Tenths of a degree.
    let third = (1..1800).filter(|third| 2 * (third + 300) + third == 1800);
    format!("{}°", mixed(fraction(only(third), 10)))
}

fn plank_paths(question: &Question) -> String {
    fn ways(map: &[Vec<char>], row: usize, column: usize) -> usize {
        let seen = |r: usize, c: usize| map.get(r).and_then(|line| line.get(c)).copied();
        if seen(row, column) == Some('F') {
            return 1;
        }
        let mut count = 0;
        if seen(row, column + 1) == Some('─') {
            count += ways(map, row, column + 4);
        }
        if seen(row + 1, column) == Some('│') {
            count += ways(map, row + 2, column);
        }
        count
    }
    ways(&question.picture(), 0, 0).to_string()
}

fn boat_numbers(_: &Question) -> String {
    let digits = |number: u32| [number / 100, number / 10 % 10, number % 10];
    let right = (100..1000).map(digits).filter(|[a, b, c]| {
        let different = a != b && b != c && a != c;
        different && a * b * c == 36
    });
    right.count().to_string()
}

fn ferry_fares(_: &Question) -> String {
    // Fifths of a penny, so that a fare need not be a whole number.
    let mut both = Vec::new();
    for adult in 0..5 * 34 {
        let fits = |child: &i64| 2 * adult + 3 * child == 5 * 31 && 3 * adult + 2 * child == 5 * 34;
        both.extend((0..5 * 34).filter(fits).map(|child| adult + child));
    }
    format!("{} pence", mixed(fraction(only(both), 5)))
}

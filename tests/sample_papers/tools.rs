//! What several proofs share: orders of things, exact fractions, areas, and finding the only
//! answer of a search.

use num_rational::Ratio;

/// An exact fraction.
pub(crate) type Exact = Ratio<i64>;

/// A corner in the plane.
pub(crate) type Corner = (Exact, Exact);

/// Gives `top / bottom` exactly.
pub(crate) fn fraction(top: i64, bottom: i64) -> Exact {
    Exact::new(top, bottom)
}

/// Gives the corner with whole coordinates.
pub(crate) fn corner(x: i64, y: i64) -> Corner {
    (Exact::from(x), Exact::from(y))
}

/// Gives the only thing a search found; a stem with no answer or with two is a fault.
pub(crate) fn only<T: PartialEq + std::fmt::Debug>(found: impl IntoIterator<Item = T>) -> T {
    let mut found: Vec<T> = found.into_iter().collect();
    found.dedup();
    assert_eq!(
        found.len(),
        1,
        "the stem must have one answer, not {found:?}"
    );
    found.remove(0)
}

/// Gives every order of the things.
pub(crate) fn orders<T: Copy>(things: &[T]) -> Vec<Vec<T>> {
    if things.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (at, &first) in things.iter().enumerate() {
        let mut rest = things.to_vec();
        rest.remove(at);
        for mut order in orders(&rest) {
            order.insert(0, first);
            all.push(order);
        }
    }
    all
}

/// Gives the place of a thing in a row, from 0.
pub(crate) fn place<T: PartialEq>(row: &[T], thing: &T) -> usize {
    row.iter().position(|other| other == thing).unwrap()
}

/// Solves two facts `a x + b y = c`, each given as `[a, b, c]`, exactly (Cramer's rule).
pub(crate) fn two_unknowns(first: [i64; 3], second: [i64; 3]) -> (Exact, Exact) {
    let cross = |one: usize, other: usize| first[one] * second[other] - first[other] * second[one];
    let bottom = cross(0, 1);
    assert_ne!(bottom, 0, "the two facts must settle both unknowns");
    (fraction(cross(2, 1), bottom), fraction(cross(0, 2), bottom))
}

/// Gives the area inside a ring of corners (the shoelace formula; from memory).
pub(crate) fn area(corners: &[Corner]) -> Exact {
    let next = corners.iter().cycle().skip(1);
    let twice = corners.iter().zip(next).map(|(p, q)| p.0 * q.1 - q.0 * p.1);
    let twice = twice.fold(Exact::from(0), |sum, part| sum + part);
    if twice < Exact::from(0) {
        -twice / 2
    } else {
        twice / 2
    }
}

/// Gives the point a given part of the way from one corner to another.
pub(crate) fn part_way(from: Corner, to: Corner, part: Exact) -> Corner {
    (
        from.0 + (to.0 - from.0) * part,
        from.1 + (to.1 - from.1) * part,
    )
}

/// Counts the unit edges between a square of `cells` and what is not one.
pub(crate) fn edge_length(cells: &[(i32, i32)]) -> usize {
    let around = |&(x, y): &(i32, i32)| [(x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)];
    cells
        .iter()
        .flat_map(around)
        .filter(|cell| !cells.contains(cell))
        .count()
}

/// Writes a number as a child would: whole, or with halves, quarters or thirds.
pub(crate) fn mixed(value: Exact) -> String {
    let part = match (*value.fract().numer(), *value.denom()) {
        (0, _) => return value.to_integer().to_string(),
        (1, 2) => '½',
        (1, 4) => '¼',
        (3, 4) => '¾',
        (2, 3) => '⅔',
        other => panic!("no option is written like {other:?}"),
    };
    match value.to_integer() {
        0 => part.to_string(),
        whole => format!("{whole}{part}"),
    }
}

/// Writes whole minutes as hours and minutes.
pub(crate) fn hours_and_minutes(minutes: i64) -> String {
    let hours = match minutes / 60 {
        1 => "1 hour".to_owned(),
        more => format!("{more} hours"),
    };
    match minutes % 60 {
        0 => hours,
        left => format!("{hours} {left} minutes"),
    }
}

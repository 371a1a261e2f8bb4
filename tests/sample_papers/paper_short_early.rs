//! The short paper, questions 1 to 10: answers and distractors, worked out from the stems.

use crate::files::Question;
use crate::tools::{Exact, fraction, only, orders, place};
use crate::worked::{Worked, Working, count, parts, texts, whole};

pub(crate) const WORKINGS: [Working; 10] = [
    water_on_the_post,
    boxes_of_eggs,
    long_field,
    soup_and_bread,
    four_huts,
    nets_on_hooks,
    flags_and_lamps,
    shared_crabs,
    square_of_posts,
    huts_without_fours,
];

fn water_on_the_post(_: &Question) -> Worked {
    let said = |height: i32| {
        let side = if height < 0 { "below" } else { "above" };
        format!("{} cm {side} the mark", height.abs())
    };
    texts(
        said(-15 + 40 - 32),
        [15 + 40 - 32, -15 + 40, -15 + 40 + 32].map(said),
    )
}

fn boxes_of_eggs(_: &Question) -> Worked {
    let eggs = only((1..1000).filter(|eggs| 5 * eggs + 2 == 3 * eggs + 26));
    whole(eggs, [(26 - 2) / (5 + 3), (26 + 2) / (5 - 3), 2 * eggs], "")
}

fn long_field(_: &Question) -> Worked {
    let wide = |sides: i64| only((1..100).filter(|wide| sides * (wide + 3 * wide) == 56));
    whole(wide(2), [wide(1), 3 * wide(2), 3 * wide(1)], " m")
}

fn soup_and_bread(_: &Question) -> Worked {
    const EEL: u32 = 0;
    const RYE: u32 = 0;
    let meals = || (0..4_u32).flat_map(|soup| (0..3_u32).map(move |bread| (soup, bread)));
    whole(
        count(meals().filter(|&(soup, bread)| soup != EEL || bread == RYE)),
        [
            4 + 3,
            count(meals().filter(|&(soup, _)| soup != EEL)),
            count(meals()),
        ],
        "",
    )
}

fn four_huts(_: &Question) -> Worked {
    let rows = orders(&["blue", "green", "red", "white"]);
    let at = |row: &[&str], hut: &str| place(row, &hut);
    let ends = |row: &&Vec<&str>| {
        let (red, white) = (at(row, "red"), at(row, "white"));
        red.abs_diff(white) == 3 && white < red
    };
    let beside_white = |east: &str, west: &str| {
        let known = rows.iter().filter(ends);
        let known = known.filter(|row| at(row, east) > at(row, west));
        format!("the {} one", only(known.map(|row| row[1])))
    };
    let without_the_last_clue: Vec<&str> = rows.iter().filter(ends).map(|row| row[1]).collect();
    assert_eq!(without_the_last_clue, ["blue", "green"]);
    texts(
        beside_white("green", "blue"),
        [
            beside_white("blue", "green"),
            "the red one".to_owned(),
            "you cannot tell".to_owned(),
        ],
    )
}

fn nets_on_hooks(_: &Question) -> Worked {
    let now = only((0..=48).filter(|nets| fraction(*nets, 48) == fraction(3, 8)));
    let more = only((0..=48).filter(|more| fraction(now + more, 48) == fraction(2, 3)));
    whole(more, [now, 48 - now, now + more], "")
}

fn flags_and_lamps(_: &Question) -> Worked {
    let first = |fits: &dyn Fn(i64) -> bool| (101..1000).find(|metre| fits(*metre)).unwrap();
    whole(
        first(&|metre| metre % 6 == 0 && metre % 8 == 0),
        [
            first(&|metre| metre % 6 == 0),
            first(&|metre| metre % 8 == 0),
            first(&|metre| metre % (6 * 8) == 0),
        ],
        " m",
    )
}

fn shared_crabs(_: &Question) -> Worked {
    let shared = |part: Exact| only((1..1000).filter(|all| part * *all + 25 == Exact::from(*all)));
    let all = shared(fraction(1, 3) + fraction(1, 4));
    parts(
        Exact::from(all),
        [
            fraction(all, 4),
            fraction(all, 3),
            Exact::from(shared(fraction(1 + 1, 3 + 4))),
        ],
        "",
    )
}

fn square_of_posts(_: &Question) -> Worked {
    let posts = [(1, 3), (4, 7), (8, 4)];
    let apart = |p: (i32, i32), q: (i32, i32)| (p.0 - q.0).pow(2) + (p.1 - q.1).pow(2);
    // Of the six distances in a square four are sides, and two are diagonals.
    let square = |fourth: &(i32, i32)| {
        let four = [posts[0], posts[1], posts[2], *fourth];
        let pairs = (0..4).flat_map(|p| (p + 1..4).map(move |q| (p, q)));
        let mut all: Vec<i32> = pairs.map(|(p, q)| apart(four[p], four[q])).collect();
        all.sort_unstable();
        all[0] > 0 && all[0] == all[3] && all[4] == all[5] && all[4] == 2 * all[0]
    };
    let map = (-50..50).flat_map(|x| (-50..50).map(move |y| (x, y)));
    let said = |(x, y): (i32, i32)| format!("({x}, {y})");
    // The fourth corner of a slanting shape, opposite the post at `of`.
    let opposite = |of: usize| {
        let sum = posts
            .iter()
            .fold((0, 0), |sum, p| (sum.0 + p.0, sum.1 + p.1));
        (sum.0 - 2 * posts[of].0, sum.1 - 2 * posts[of].1)
    };
    let (right, down) = (posts[2].0 - posts[1].0, posts[1].1 - posts[2].1);
    texts(
        said(only(map.filter(square))),
        [
            opposite(2),
            (posts[0].0 + down, posts[0].1 - right),
            opposite(0),
        ]
        .map(said),
    )
}

fn huts_without_fours(_: &Question) -> Worked {
    let fortieth = |used: &dyn Fn(i64) -> bool| (1..).filter(|hut| used(*hut)).nth(39).unwrap();
    let no_four = |hut: i64| !hut.to_string().contains('4');
    whole(
        fortieth(&no_four),
        [
            fortieth(&|hut| hut % 10 != 4),
            fortieth(&|hut| hut / 10 != 4),
            fortieth(&|hut| no_four(hut) || hut == 54),
        ],
        "",
    )
}

//! The first paper: its answers and its distractors, worked out from the stems.

use crate::files::Question;
use crate::tools::{edge_length, only, orders, place};
use crate::worked::{Worked, Working, count, texts, whole};

pub(crate) const WORKINGS: [Working; 12] = [
    beads_in_the_jar,
    mats_in_an_l,
    plain_eggs,
    third_duck,
    lamp_signals,
    sacks_and_a_stone,
    tide_bell,
    dark_squares,
    folded_strip,
    stones_in_the_bag,
    crabs_of_four,
    windows_of_four_huts,
];

fn beads_in_the_jar(_: &Question) -> Worked {
    let taken = 17 + 26;
    // 10 tens less 4, and 3 ones from 10, with no ten handed on.
    let unchanged = (10 - taken / 10) * 10 + (10 - taken % 10);
    whole(100 - 17 - 26, [taken, unchanged, 100 - 17], "")
}

fn mats_in_an_l(question: &Question) -> Worked {
    let picture = question.picture();
    let mats = [(0, 0), (0, 1), (1, 1)];
    for &(x, y) in &mats {
        let (left, top) = (4 * x, 2 * y);
        let drawn = |column: usize, row: usize| picture[row][column];
        assert_eq!(drawn(left + 2, top + 1), ' ');
        assert_eq!([drawn(left + 2, top), drawn(left + 2, top + 2)], ['─'; 2]);
        assert_eq!([drawn(left, top + 1), drawn(left + 4, top + 1)], ['│'; 2]);
    }
    let cells = mats.map(|(x, y)| (i32::try_from(x).unwrap(), i32::try_from(y).unwrap()));
    let sides = i64::try_from(edge_length(&cells)).unwrap();
    whole(sides * 2, [sides, 3 * 2 * 2, (sides - 1) * 2], " m")
}

fn plain_eggs(_: &Question) -> Worked {
    let plain = only((0..=20).filter(|plain| 2 * (20 - plain) == 3 * plain));
    whole(plain, [2, 20 / (3 + 2), 20 - plain], "")
}

fn third_duck(_: &Question) -> Worked {
    let at = |line: &[&str], duck: &str| place(line, &duck);
    let first_clues =
        |line: &[&str]| at(line, "Moss") < at(line, "Pip") && at(line, "Pip") < at(line, "Reed");
    let all = orders(&["Moss", "Pip", "Reed", "Sedge"]);
    let line = only(all.iter().filter(|line| {
        let sedge = at(line, "Sedge");
        first_clues(line) && at(line, "Moss") < sedge && sedge < at(line, "Pip")
    }));
    let three = orders(&["Moss", "Pip", "Reed"]);
    let three = only(three.iter().filter(|line| first_clues(line)));
    texts(
        line[2].to_owned(),
        [line[0], three[2], line[1]].map(str::to_owned),
    )
}

fn lamp_signals(_: &Question) -> Worked {
    const OFF: u32 = 0;
    let signals = || (0..3_u32).flat_map(|upper| (0..3).map(move |lower| (upper, lower)));
    let lit = |lamp: u32| lamp != OFF;
    whole(
        count(signals().filter(|&(upper, lower)| lit(upper) || lit(lower))),
        [
            count(signals().filter(|&(upper, lower)| lit(upper) && lit(lower))),
            count(signals().filter(|(upper, lower)| upper != lower)),
            count(signals()),
        ],
        "",
    )
}

fn sacks_and_a_stone(_: &Question) -> Worked {
    let sack = only((1..100).filter(|sack| 4 * sack + 8 == 32));
    whole(sack, [32 / 4, (32 + 8) / 4, 4 * sack], " kg")
}

fn tide_bell(_: &Question) -> Worked {
    let ring = |nth: u32| {
        let minutes = 9 * 60 + 50 + nth * 25;
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
    };
    texts(ring(3), [ring(1), ring(2), ring(4)])
}

fn dark_squares(question: &Question) -> Worked {
    let flag = question.picture();
    let squares = || flag.iter().flat_map(|row| row[..7].iter().step_by(2));
    assert!(squares().all(|square| "#.".contains(*square)));
    let (dark, all) = (
        count(squares().filter(|&&square| square == '#')),
        count(squares()),
    );
    assert_eq!(all, 12);
    let more = only((0..12).filter(|more| 4 * (dark + more) == 3 * all));
    whole(more, [all / 2 - dark, all - dark - more, dark], "")
}

fn folded_strip(question: &Question) -> Worked {
    let picture = question.picture();
    assert!(picture[0].len() < picture[1].len());
    let upper = only((1..20).filter(|upper| upper + (upper + 4) == 20));
    whole(upper, [20 / 2, upper + 4, 20 - 4], " cm")
}

fn stones_in_the_bag(_: &Question) -> Worked {
    let stones = [1, 3, 4];
    let bags = 1..1_u32 << 3;
    let weight = |bag: u32| -> i64 {
        let inside = (0..3_usize).filter(|at| bag >> at & 1 == 1);
        inside.map(|at| stones[at]).sum()
    };
    let possible = |kg: &i64| bags.clone().any(|bag| weight(bag) == *kg);
    whole(
        count((1..100).filter(possible)),
        [3, count(bags.clone()), stones.iter().sum()],
        "",
    )
}

fn crabs_of_four(_: &Question) -> Worked {
    let catches = orders(&[2, 3, 5, 7]);
    let catch = only(
        catches
            .iter()
            .filter(|c| c[0] + c[1] == 10 && c[0] + c[2] == 8),
    );
    whole(catch[3], [catch[0], catch[2], catch[1]], "")
}

fn windows_of_four_huts(_: &Question) -> Worked {
    let row = |first: i64| [0, 1, 2, 3].map(|hut| first + 2 * hut);
    let huts = only(
        (0..44)
            .map(row)
            .filter(|huts| huts.iter().sum::<i64>() == 44),
    );
    whole(huts[3], [huts[0], 44 / 4, huts[2]], "")
}

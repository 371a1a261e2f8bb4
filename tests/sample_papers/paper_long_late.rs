//! The long paper, questions 15 to 28: answers and distractors, worked out from the stems.

use crate::files::Question;
use crate::tools::{Exact, area, corner, fraction, only, orders, part_way};
use crate::worked::{Worked, Working, count, parts, whole};

pub(crate) const WORKINGS: [Working; 14] = [
    wood_on_the_map,
    seven_flags,
    triangle_in_the_field,
    two_gifts,
    hopping_heron,
    cleaned_and_painted,
    sizes_of_boxes,
    huts_taken_away,
    sheet_of_tin,
    code_of_the_lock,
    hundred_numbers,
    three_pools,
    doubling_game,
    gulls_in_a_ring,
];

fn wood_on_the_map(_: &Question) -> Worked {
    // The map's square kilometre is 4 cm by 4 cm.
    let square = count((0..4).flat_map(|x| (0..4).map(move |y| (x, y))));
    let by_less = |by: i64| fraction(24, by);
    parts(
        by_less(square),
        [
            by_less(2 * 4),
            by_less(4),
            Exact::from(24 * 4),
            Exact::from(24 * square),
        ],
        " km²",
    )
}

fn seven_flags(_: &Question) -> Worked {
    let flags = || 0..1_u32 << 7;
    let red = |row: u32, at: u32| row >> at & 1 == 1;
    let reds = |row: u32, at: u32| (at..at + 3).filter(|at| red(row, *at)).count();
    let four_red = |row: &u32| row.count_ones() == 4;
    let no_three_red = |row: &u32| (0..5).all(|at| reds(*row, at) < 3);
    let no_three_white = |row: &u32| (0..5).all(|at| reds(*row, at) > 0);
    let both = |row: &u32| no_three_red(row) && no_three_white(row);
    whole(
        count(flags().filter(four_red).filter(both)),
        [
            count(flags().filter(four_red).filter(no_three_red)),
            count(flags().filter(four_red).filter(no_three_white)),
            count(flags().filter(four_red)),
            count(flags().filter(both)),
        ],
        "",
    )
}

fn triangle_in_the_field(_: &Question) -> Worked {
    // Stretching a triangle keeps ratios of areas, so any triangle of area 80 will do.
    let [p, q, r] = [corner(3, 16), corner(0, 0), corner(10, 0)];
    assert_eq!(area(&[p, q, r]), Exact::from(80));
    let on_qr = part_way(q, r, fraction(2, 5));
    let inside = part_way(p, on_qr, fraction(1, 4));
    parts(
        area(&[p, inside, r]),
        [
            area(&[p, inside, q]),
            area(&[p, q, r]) / 4,
            area(&[inside, on_qr, r]),
            area(&[p, on_qr, r]),
        ],
        " hectares",
    )
}

fn two_gifts(_: &Question) -> Worked {
    let in_the_end = |start: i64| {
        let (mut wyn, mut perrin) = (Exact::from(start), Exact::from(start));
        let first = wyn / 3;
        (wyn, perrin) = (wyn - first, perrin + first);
        let second = perrin / 2;
        (wyn, perrin) = (wyn + second, perrin - second);
        [wyn, perrin]
    };
    let start = |fits: &dyn Fn([Exact; 2]) -> bool| {
        Exact::from(only((1..1000).filter(|start| fits(in_the_end(*start)))))
    };
    let right = start(&|[wyn, perrin]| wyn - perrin == Exact::from(20));
    let [wyn, perrin] = in_the_end(right.to_integer());
    parts(
        right,
        [
            right / 3,
            start(&|[wyn, _]| wyn == Exact::from(20)),
            perrin,
            wyn,
        ],
        "",
    )
}

fn hopping_heron(_: &Question) -> Worked {
    // Every flight is a row of hops left or right, a bit for each; its trail is where they lead.
    let flights = |hops: u32| {
        (0..1_u32 << hops).map(move |flight| {
            let hop = |at: u32| if flight >> at & 1 == 1 { 1 } else { -1 };
            let posts = (0..hops).scan(0_i32, |post, at| {
                *post += hop(at);
                Some(*post)
            });
            posts.collect::<Vec<i32>>()
        })
    };
    let home = |trail: &Vec<i32>| trail.last() == Some(&0);
    let on_posts = |trail: &Vec<i32>| trail.iter().all(|post| post.abs() <= 2);
    let back_each_time = |trail: &Vec<i32>| trail.iter().skip(1).step_by(2).all(|post| *post == 0);
    whole(
        count(flights(6).filter(home).filter(on_posts)),
        [
            count(flights(4).filter(home).filter(on_posts)),
            count(flights(6).filter(back_each_time)),
            count(flights(6).filter(home)),
            count(flights(6)),
        ],
        "",
    )
}

fn cleaned_and_painted(question: &Question) -> Worked {
    let table = question.figure.as_deref().unwrap();
    let hours = |boat: &str| {
        let row = table.lines().find(|line| line.starts_with(boat)).unwrap();
        let mut numbers = row
            .split_whitespace()
            .filter_map(|word| word.parse::<i64>().ok());
        [numbers.next().unwrap(), numbers.next().unwrap()]
    };
    let boats = ["Auk", "Brent", "Coot"].map(hours);
    let took = |cleaning: &[usize], painting: &[usize]| {
        let (mut clean, mut now) = ([0; 3], 0);
        for &boat in cleaning {
            now += boats[boat][0];
            clean[boat] = now;
        }
        let painted = |now: i64, boat: &usize| now.max(clean[*boat]) + boats[*boat][1];
        painting.iter().fold(0, painted)
    };
    let all = orders(&[0, 1, 2]);
    let best = all
        .iter()
        .flat_map(|ash| all.iter().map(move |bryn| took(ash, bryn)));
    let worst = all.iter().map(|order| took(order, order)).max().unwrap();
    assert_eq!(took(&[2, 0, 1], &[2, 0, 1]), worst);
    assert_eq!(took(&[1, 0, 2], &[1, 0, 2]), 12);
    whole(
        best.min().unwrap(),
        [
            boats.iter().map(|boat| boat[0]).sum(),
            took(&[0, 1, 2], &[0, 1, 2]),
            worst,
            boats.iter().flatten().sum(),
        ],
        " hours",
    )
}

fn sizes_of_boxes(_: &Question) -> Worked {
    let sizes = |fits: &dyn Fn(i64) -> bool| count((1..=100).filter(|size| fits(*size)));
    whole(
        sizes(&|size| 100 % size == 4),
        [
            sizes(&|size| 100 % size == 4 && size != 96),
            sizes(&|size| 100 % size == 0),
            sizes(&|size| 96 % size == 0 && size > 1),
            sizes(&|size| 96 % size == 0),
        ],
        "",
    )
}

fn huts_taken_away(_: &Question) -> Worked {
    let villages = (5..500).flat_map(|huts| (1..500).map(move |windows| (huts, windows)));
    let same = |(huts, windows): (i64, i64), fewer: i64, more: i64| {
        (huts - fewer) * (windows + more) == huts * windows
    };
    let (huts, windows) = only(villages.filter(|&of| same(of, 3, 2) && same(of, 5, 4)));
    whole(
        huts * windows,
        [windows, huts, (huts - 5) * windows, (huts - 3) * windows],
        "",
    )
}

fn sheet_of_tin(_: &Question) -> Worked {
    // A triangle is rows of small ones with sides of 10 cm: 1, 3, 5 and so on.
    let small = |side: i64| (0..side).map(|row| 2 * row + 1).sum::<i64>();
    let grams = |side: i64| small(side) * 40 / small(2);
    let (sheet, cut) = (grams(9), [2, 3, 4].map(grams));
    whole(
        sheet - cut.iter().sum::<i64>(),
        [
            cut.iter().sum(),
            sheet - cut[0] - cut[1],
            sheet - cut[0],
            sheet,
        ],
        " g",
    )
}

fn code_of_the_lock(_: &Question) -> Worked {
    let codes = || (111..=999_i64).map(|code| [code / 100, code / 10 % 10, code % 10]);
    let codes = || codes().filter(|code| !code.contains(&0));
    let apart = |[one, two, three]: &[i64; 3]| [one - two, two - three].map(i64::abs);
    let open = |code: &[i64; 3]| apart(code).iter().all(|by| *by >= 5);
    assert!(open(&[6, 1, 6]), "as the stem says");
    let pairs = (1..10_i64).flat_map(|one| (1..10_i64).map(move |two| one - two));
    whole(
        count(codes().filter(open)),
        [
            count(codes().filter(|code| apart(code) == [5, 5])),
            count(pairs.filter(|by| by.abs() >= 5)),
            count(codes().filter(open).filter(|code| code[1] > 5)),
            count(codes().filter(open).filter(|code| code[0] != code[2])),
        ],
        "",
    )
}

fn hundred_numbers(_: &Question) -> Worked {
    let next = |last: &i64| Some(if last % 2 == 0 { last / 2 } else { last + 9 });
    let written: Vec<i64> = std::iter::successors(Some(7), next).take(100).collect();
    let again = 1 + written[1..].iter().position(|number| *number == 7).unwrap();
    let round: i64 = written[..again].iter().sum();
    let rounds = 100 / i64::try_from(again).unwrap();
    whole(
        written.iter().sum(),
        [
            100 / 10 * round,
            100 * written[0],
            rounds * round,
            rounds * round + written[1],
        ],
        "",
    )
}

fn three_pools(_: &Question) -> Worked {
    let held = || {
        let two = (1..90).flat_map(|p| (1..90).map(move |q| (p, q, 90 - p - q)));
        two.filter(|(.., r)| *r > 0)
    };
    let steady = only(held().filter(|&(p, q, r)| {
        let to_q = fraction(p, 2);
        let (to_r, back) = (fraction(q, 3), fraction(q, 6));
        let to_p = fraction(r, 4);
        to_q == back + to_p && to_r + back == to_q && to_p == to_r
    }));
    let forgetful =
        only(held().filter(|&(p, q, r)| {
            fraction(p, 2) == fraction(q, 3) && fraction(q, 3) == fraction(r, 4)
        }));
    let (p, q, r) = steady;
    assert_eq!(p, q);
    whole(r, [r / 4, p, 90 / 3, forgetful.2], " litres")
}

fn doubling_game(_: &Question) -> Worked {
    let mut second_wins = [false; 50];
    for start in (1..50_usize).rev() {
        let left_to_the_other = [start + 1, 2 * start];
        // At 50 or more the game is won already.
        second_wins[start] = left_to_the_other
            .iter()
            .all(|&number| number < 50 && !second_wins[number]);
    }
    let starts = |fits: &dyn Fn(usize) -> bool| count((1..=24).filter(|start| fits(*start)));
    whole(
        starts(&|start| second_wins[start]),
        [
            starts(&|start| second_wins[start] && start > 13),
            starts(&|start| second_wins[start] && start > 1),
            starts(&|start| start % 2 == 0),
            starts(&|start| !second_wins[start]),
        ],
        "",
    )
}

fn gulls_in_a_ring(_: &Question) -> Worked {
    let all = orders(&[0_usize, 1, 2, 3, 4, 5]);
    let flown = |way: &[usize], may: &dyn Fn(usize) -> bool| {
        way.iter()
            .enumerate()
            .all(|(from, to)| may((6 + to - from) % 6))
    };
    let ring = |way: &&Vec<usize>| flown(way, &|by| [0, 1, 5].contains(&by));
    let moved = |way: &[usize]| (0..6).filter(|from| way[*from] != *from).count();
    let row = |way: &&Vec<usize>| {
        way.iter()
            .enumerate()
            .all(|(from, to)| from.abs_diff(*to) <= 1)
    };
    let swapped = |way: &[usize]| (0..6).all(|from| way[way[from]] == from);
    whole(
        count(all.iter().filter(ring)),
        [
            count(all.iter().filter(ring).filter(|way| moved(way) == 6)),
            count(all.iter().filter(ring).filter(|way| moved(way) <= 2)),
            count(all.iter().filter(row)),
            count(all.iter().filter(ring).filter(|way| swapped(way))),
        ],
        "",
    )
}

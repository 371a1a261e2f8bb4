//! The long paper, questions 1 to 14: answers and distractors, worked out from the stems.

use crate::files::Question;
use crate::tools::{Exact, edge_length, fraction, only};
use crate::worked::{Worked, Working, count, parts, texts, whole};

pub(crate) const WORKINGS: [Working; 14] = [
    ropes_bought_and_sold,
    tide_table,
    pieces_of_rope,
    two_boatyards,
    turning_lamp,
    shared_oars,
    motors_oars_and_sails,
    buoys_with_lamps,
    drying_brine,
    four_fences,
    tipped_crate,
    nets_and_floats,
    crab_in_the_ring,
    rafts_in_an_l,
];

fn ropes_bought_and_sold(_: &Question) -> Worked {
    let (paid, got) = (
        (0..12).step_by(3).count() * 10,
        (0..12).step_by(2).count() * 9,
    );
    let [paid, got] = [paid, got].map(|crowns| i64::try_from(crowns).unwrap());
    whole(got - paid, [got - 12 * (10 / 3), paid, got, got + paid], "")
}

fn tide_table(question: &Question) -> Worked {
    let table = question.figure.as_deref().unwrap();
    let tides: Vec<[i32; 2]> = ["Monday", "Tuesday"]
        .iter()
        .map(|day| {
            let row = table.lines().find(|line| line.starts_with(day)).unwrap();
            let mut times = row.split_whitespace().skip(1).map(|time| {
                let (hours, minutes) = time.split_once(':').unwrap();
                60 * hours.parse::<i32>().unwrap() + minutes.parse::<i32>().unwrap()
            });
            [times.next().unwrap(), times.next().unwrap()]
        })
        .collect();
    let later = only([0, 1].map(|tide| tides[1][tide] - tides[0][tide]));
    let said = |minutes: i32| format!("{:02}:{:02}", minutes / 60, minutes % 60);
    let [high, low] = tides[0];
    let days_on = |start: i32, days: i32| said(start + days * later);
    assert_eq!(4 * later, 200);
    texts(
        days_on(low, 4),
        [
            days_on(high, 4),
            said(low + 2 * 60),
            days_on(low, 3),
            days_on(low, 5),
        ],
    )
}

fn pieces_of_rope(_: &Question) -> Worked {
    let piece = fraction(3, 4);
    let (mut left, mut cut) = (Exact::from(5), Vec::new());
    while left >= piece {
        left -= piece;
        cut.push(left);
    }
    parts(
        left,
        [
            Exact::from(1) - piece,
            (Exact::from(5) / piece).fract(),
            piece,
            cut[4],
        ],
        " m",
    )
}

fn two_boatyards(_: &Question) -> Worked {
    let hours = only((1..1000).filter(|hours| 12 + 3 * hours == 4 + 5 * hours));
    let difference = 12 - 4;
    whole(
        hours,
        [
            difference / (3 + 5),
            (12 + 4) / (3 + 5),
            difference,
            12 + 3 * hours,
        ],
        "",
    )
}

fn turning_lamp(_: &Question) -> Worked {
    let facing = |degrees: i64| {
        let mut turned = (1..1000).map(|second| (second, 50 * second));
        turned.find(|(_, turned)| turned % 360 == degrees).unwrap()
    };
    let (north, turned) = facing(0);
    whole(
        north,
        [turned / 360, 360 / 50, 360 / 50 + 1, facing(180).0],
        "",
    )
}

fn shared_oars(_: &Question) -> Worked {
    let shares = |least: i64, step: i64| {
        let one = move || (0..=12).filter(move |oars| *oars >= least && oars % step == 0);
        let all = one().flat_map(move |red| one().map(move |blue| [red, blue, 12 - red - blue]));
        all.filter(move |[.., green]| *green >= least && green % step == 0)
    };
    let equal = |[red, blue, green]: &[i64; 3]| red == blue && blue == green;
    let rising = |[red, blue, green]: &[i64; 3]| red <= blue && blue <= green;
    whole(
        count(shares(2, 2)),
        [
            count(shares(2, 2).filter(rising)),
            count(shares(2, 2).filter(|share| !equal(share))),
            count(shares(0, 2)),
            count(shares(1, 1)),
        ],
        "",
    )
}

/// What may be said of a fleet, where each boat has a motor or not, oars or not, red sails or not.
type Claim = fn(&[[bool; 3]]) -> bool;

fn motors_oars_and_sails(question: &Question) -> Worked {
    // Every fleet of kinds of boat that the two facts allow.
    let kinds = (0..8_u32).map(|kind| [kind & 1 == 1, kind & 2 == 2, kind & 4 == 4]);
    let allowed: Vec<[bool; 3]> = kinds
        .filter(|[motor, oars, red]| !(*motor && *oars) && (!red || *oars))
        .collect();
    let fleets = (0..1_u32 << allowed.len()).map(|fleet| {
        let boats = allowed.iter().enumerate();
        let boats = boats.filter(move |(at, _)| fleet >> at & 1 == 1);
        boats.map(|(_, boat)| *boat).collect::<Vec<_>>()
    });
    let fleets: Vec<Vec<[bool; 3]>> = fleets.collect();
    let holds: [Claim; 5] = [
        |fleet| fleet.iter().all(|[_, oars, red]| !oars || *red),
        |fleet| fleet.iter().all(|[motor, oars, _]| *motor || *oars),
        |fleet| fleet.iter().all(|[motor, _, red]| *red || *motor),
        |fleet| fleet.iter().any(|[motor, _, red]| *red && *motor),
        |fleet| !fleet.iter().any(|[motor, _, red]| *red && *motor),
    ];
    let said = [
        "All boats with oars have red sails.",
        "All boats without a motor have oars.",
        "All boats without red sails have a motor.",
        "Some boats with red sails have a motor.",
        "No boat with red sails has a motor.",
    ];
    assert_eq!(question.options, said);
    let must = |at: &usize| fleets.iter().all(|fleet| holds[*at](fleet));
    let others: Vec<usize> = (0..5).filter(|at| !must(at)).collect();
    let others: [usize; 4] = others.try_into().unwrap();
    texts(
        said[only((0..5).filter(must))].to_owned(),
        others.map(|at| said[at].to_owned()),
    )
}

fn buoys_with_lamps(_: &Question) -> Worked {
    let of = |fits: &dyn Fn(i64) -> bool| count((1..=200).filter(|buoy| fits(*buoy)));
    let (six, nine) = (|buoy: i64| buoy % 6 == 0, |buoy: i64| buoy % 9 == 0);
    whole(
        of(&|buoy| six(buoy) && !nine(buoy)),
        [
            of(&|buoy| six(buoy) && buoy % (6 * 9) != 0),
            of(&six),
            of(&|buoy| six(buoy) || nine(buoy)),
            of(&six) + of(&nine),
        ],
        "",
    )
}

fn drying_brine(_: &Question) -> Worked {
    let salt = fraction(20, 10);
    let dried = (1..80).map(|quarters| fraction(quarters, 4));
    let dried = only(dried.filter(|dried| salt / (Exact::from(20) - dried) == fraction(1, 8)));
    parts(
        dried,
        [
            (fraction(1, 8) - fraction(1, 10)) * 20,
            salt,
            fraction(20, 8),
            Exact::from(20) - dried,
        ],
        " kg",
    )
}

fn four_fences(_: &Question) -> Worked {
    // Wherever the paths lie, the edge of the grass is as long.
    let grass = |along: i32, across: i32| {
        let garden = (0..12).flat_map(|x| (0..9).map(move |y| (x, y)));
        garden
            .filter(|(x, y)| *x != across && *y != along)
            .collect::<Vec<_>>()
    };
    let lawns = (1..8).flat_map(|along| (1..11).map(move |across| (along, across)));
    let lawns: Vec<Vec<(i32, i32)>> = lawns.map(|(along, across)| grass(along, across)).collect();
    let fences = only(lawns.iter().map(|lawn| edge_length(lawn)));
    let green = only(lawns.iter().map(Vec::len));
    whole(
        i64::try_from(fences).unwrap(),
        [
            2 * (11 + 8),
            2 * (12 + 9),
            4 * 12 + 4 * 9,
            i64::try_from(green).unwrap(),
        ],
        " m",
    )
}

fn tipped_crate(_: &Question) -> Worked {
    // A tip is over the right-hand edge: where that was, the near side is then.
    let near = |tips: i64| {
        let (mut near, mut base, mut high) = (0, 3, 1);
        for _ in 0..tips {
            near += base;
            (base, high) = (high, base);
        }
        (near, base)
    };
    let (side, base) = near(9);
    whole(side, [near(8).0, 9 * (1 + 3) / 2, side + base, 9 * 3], " m")
}

fn nets_and_floats(_: &Question) -> Worked {
    let bought = (0..=100).flat_map(|nets| (0..=100).map(move |floats| (nets, floats)));
    let mut things: Vec<i64> = bought
        .filter(|(nets, floats)| 7 * nets + 4 * floats == 100)
        .map(|(nets, floats)| nets + floats)
        .collect();
    things.sort_unstable();
    assert_eq!(things, [12 + 4, 8 + 11, 4 + 18, 25]);
    let rounded_up = 100 / 7 + 1;
    whole(things[0], [rounded_up, things[1], things[2], things[3]], "")
}

fn crab_in_the_ring(_: &Question) -> Worked {
    let on = |post: i64| (post - 1) % 10 + 1;
    let after = |jumps: u32| (0..jumps).fold(1, |post, _| on(post + post));
    let one_by_one = (0..49).fold(1, |post, _| on(post + 1));
    whole(after(49), [after(50), after(48), on(4 + 4), one_by_one], "")
}

fn rafts_in_an_l(question: &Question) -> Worked {
    let picture = question.picture();
    let drawn = |row: usize, columns: &mut dyn Iterator<Item = usize>| {
        let there = |column: &usize| picture[row].get(*column) == Some(&'#');
        columns
            .filter(there)
            .map(|column| (row, column))
            .collect::<Vec<_>>()
    };
    let rafts: Vec<_> = (0..3).flat_map(|row| drawn(row, &mut (0..6))).collect();
    let shown: Vec<_> = (0..3).flat_map(|row| drawn(row, &mut (6..20))).collect();
    assert_eq!(rafts.len(), 9);
    // Two columns of the drawing are one raft.
    let at = |raft: usize| (rafts[raft].0, rafts[raft].1 / 2);
    let threes = || {
        let pairs = (0..9).flat_map(|a| (a + 1..9).map(move |b| (a, b)));
        pairs.flat_map(|(a, b)| (b + 1..9).map(move |c| [a, b, c]))
    };
    let span = |three: &[usize; 3], part: fn((usize, usize)) -> usize| {
        let places = three.map(|raft| part(at(raft)));
        places.iter().max().unwrap() - places.iter().min().unwrap()
    };
    let bent = |three: &[usize; 3]| span(three, |p| p.0) == 1 && span(three, |p| p.1) == 1;
    let straight = |three: &[usize; 3]| {
        let (down, along) = (span(three, |p| p.0), span(three, |p| p.1));
        (down, along) == (0, 2) || (down, along) == (2, 0)
    };
    // The same three places, pushed to the top and to the left.
    let pushed = |places: [(usize, usize); 3]| {
        let top = places.iter().map(|place| place.0).min().unwrap();
        let left = places.iter().map(|place| place.1).min().unwrap();
        places.map(|(row, column)| (row - top, column - left))
    };
    let shown: [(usize, usize); 3] = shown.try_into().unwrap();
    let shown = pushed(shown).map(|(row, column)| (row, column / 2));
    let as_shown = |three: &[usize; 3]| pushed(three.map(at)) == shown;
    let all = count(threes().filter(bent));
    let one_way = count(threes().filter(as_shown));
    whole(
        all,
        [
            one_way,
            all - one_way,
            all + count(threes().filter(straight)),
            count(threes()),
        ],
        "",
    )
}

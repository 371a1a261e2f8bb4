//! The short paper, questions 11 to 20: answers and distractors, worked out from the stems.

use crate::files::Question;
use crate::tools::{Exact, area, corner, fraction, only, orders, place};
use crate::worked::{Worked, Working, count, parts, texts, whole};

pub(crate) const WORKINGS: [Working; 10] = [
    three_pieces_of_rope,
    six_berths,
    mussels_and_whelks,
    third_of_a_rectangle,
    teal_on_the_pool,
    bridges_there_and_back,
    people_and_boats,
    folded_ribbon,
    wheels_of_the_lock,
    three_races,
];

fn three_pieces_of_rope(_: &Question) -> Worked {
    let cut = |first: i64| [first, first + 2, 2 * (first + 2)];
    let [first, second, third] = only(
        (1..46)
            .map(cut)
            .filter(|pieces| pieces.iter().sum::<i64>() == 46),
    );
    whole(third, [first, second, 2 * first], " m")
}

fn six_berths(question: &Question) -> Worked {
    assert_eq!(question.figure.as_deref(), Some("[1] [2] [3]\n[4] [5] [6]"));
    let boats = ["Auk", "Brent", "Coot", "Diver", "Eider", "Fulmar"];
    let at = |row: &[&str], boat: &str| place(row, &boat);
    let all = orders(&boats);
    let beside = |lie: &[&str]| {
        let (auk, diver) = (at(lie, "Auk"), at(lie, "Diver"));
        auk / 3 == diver / 3 && auk.abs_diff(diver) == 1
    };
    let placed = |lie: &&Vec<&str>| lie[1] == "Auk" && lie[3] == "Eider" && beside(lie);
    let below = |lie: &&Vec<&str>| at(lie, "Brent") == at(lie, "Coot") + 3;
    let lie = only(all.iter().filter(placed).filter(below));
    assert!(all.iter().filter(placed).count() > 1);
    let berth = |boat: &str| format!("berth {}", at(lie, boat) + 1);
    texts(
        berth("Fulmar"),
        [berth("Diver"), berth("Brent"), "you cannot tell".to_owned()],
    )
}

fn mussels_and_whelks(_: &Question) -> Worked {
    let bags = (1..100).flat_map(|mussels| (1..100).map(move |whelks| (mussels, whelks)));
    let (mussels, whelks) = only(bags.filter(|(mussels, whelks)| 7 * mussels + 11 * whelks == 100));
    whole(mussels + whelks, [whelks, mussels, 100 / 11], "")
}

fn third_of_a_rectangle(_: &Question) -> Worked {
    let [p, q, r, s] = [corner(0, 4), corner(9, 4), corner(9, 0), corner(0, 0)];
    let third = area(&[p, q, r, s]) / 3;
    let places = (1..36).map(|quarters| fraction(quarters, 4));
    let long = only(places.filter(|&long| area(&[p, s, (long, Exact::from(0))]) == third));
    let without_half = third / 4;
    parts(long, [without_half / 2, without_half, fraction(9, 2)], " m")
}

fn teal_on_the_pool(_: &Question) -> Worked {
    let teal = |birds: i64| fraction(2 * birds, 7);
    let birds = only((1..1000).filter(|&birds| (teal(birds) + 12) * 2 == Exact::from(birds + 12)));
    parts(
        Exact::from(birds),
        [
            teal(birds),
            Exact::from(birds) - teal(birds),
            Exact::from(birds + 12),
        ],
        "",
    )
}

fn bridges_there_and_back(_: &Question) -> Worked {
    // Bridges 0 to 2 lead to Mid Island, 3 and 4 on to Tolley; 5 is the long one.
    let over_the_island = (0..3).flat_map(|near| (3..5).map(move |far| vec![near, far]));
    let ways: Vec<Vec<u32>> = over_the_island.chain([vec![5]]).collect();
    let walks = || {
        ways.iter()
            .flat_map(|out| ways.iter().map(move |back| (out, back)))
    };
    let apart = |(out, back): &(&Vec<u32>, &Vec<u32>)| out.iter().all(|b| !back.contains(b));
    let island = |way: &[u32]| way.len() == 2;
    whole(
        count(walks().filter(apart)),
        [
            count(
                walks()
                    .filter(apart)
                    .filter(|(out, back)| island(out) && island(back)),
            ),
            count(walks().filter(|(out, back)| out != back)),
            count(walks()),
        ],
        "",
    )
}

fn people_and_boats(_: &Question) -> Worked {
    let boats = only((1..1000).filter(|boats| 4 * boats + 6 == 5 * (boats - 1) + 2));
    whole(4 * boats + 6, [boats, 4 * boats, 5 * boats], "")
}

fn folded_ribbon(_: &Question) -> Worked {
    // The ribbon lies along 0 < y < 4, and is folded along the line y = x; what was left of that
    // line then lies along 0 < x < 4. Squares of 1 cm are cut by their diagonals, and a quarter of
    // one, in its middle a third of a centimetre from a side or more, is inside an arm or outside.
    let covered = |left: i64| {
        let middles = [(3, 1), (1, 3), (5, 3), (3, 5)];
        let squares = (-40..40).flat_map(|x| (-40..40).map(move |y| (6 * x, 6 * y)));
        let quarters = squares.flat_map(|(x, y)| middles.map(|(dx, dy)| (x + dx, y + dy)));
        let strip = |side: i64| 0 < side && side < 6 * 4;
        let inside = |&(x, y): &(i64, i64)| {
            let kept = strip(y) && x < 6 * (30 - left);
            let turned = strip(x) && y > -6 * left;
            x > y && (kept || turned)
        };
        fraction(count(quarters.filter(inside)), 4)
    };
    let area = only((8..=22).map(covered));
    let (square, ribbon) = (Exact::from(4 * 4), Exact::from(30 * 4));
    parts(
        area,
        [ribbon - square, ribbon - square / 2 / 2, ribbon],
        " cm²",
    )
}

fn wheels_of_the_lock(_: &Question) -> Worked {
    let wheels = || 1..=6_u32;
    let settings = || {
        let two = wheels().flat_map(move |a| wheels().map(move |b| [a, b]));
        two.flat_map(move |[a, b]| wheels().map(move |c| [a, b, c]))
    };
    assert_eq!(settings().count(), 216);
    let product = |setting: &[u32; 3]| setting.iter().product::<u32>();
    let evens = |setting: &[u32; 3]| setting.iter().filter(|n| n.is_multiple_of(2)).count();
    let fours = |setting: &[u32; 3]| product(setting).is_multiple_of(4);
    let one_four = |setting: &[u32; 3]| setting.contains(&4) && evens(setting) == 1;
    let one_two_or_six = |setting: &[u32; 3]| !setting.contains(&4) && evens(setting) == 1;
    whole(
        count(settings().filter(fours)),
        [
            count(
                settings()
                    .filter(fours)
                    .filter(|setting| !one_four(setting)),
            ),
            count(settings().filter(|setting| !one_two_or_six(setting))),
            count(settings().filter(|setting| evens(setting) > 0)),
        ],
        "",
    )
}

fn three_races(_: &Question) -> Worked {
    let crews = ["Moss", "Reed", "Rush", "Sedge"];
    let races = orders(&[0_usize, 1, 2, 3]);
    let mut seasons = Vec::new();
    for one in &races {
        for two in &races {
            for three in &races {
                let mut shells = [0; 4];
                for race in [one, two, three] {
                    for (&crew, prize) in race.iter().zip([5, 3, 2, 0]) {
                        shells[crew] += prize;
                    }
                }
                if shells == [2, 5, 13, 10] {
                    seasons.push([one, two, three]);
                }
            }
        }
    }
    assert!(seasons.len() > 1, "there are several ways to end as told");
    let of_sedge: Vec<&Vec<usize>> = seasons
        .iter()
        .map(|season| *only(season.iter().filter(|race| race[2] == 3)))
        .collect();
    let last = only(of_sedge.iter().map(|race| race[3]));
    let winner = only(of_sedge.iter().map(|race| race[0]));
    let elsewhere = only(
        seasons
            .iter()
            .flatten()
            .map(|race| race[3])
            .filter(|&crew| crew != last),
    );
    texts(
        crews[last].to_owned(),
        [crews[elsewhere], crews[winner], "you cannot tell"].map(str::to_owned),
    )
}

//! The fields of `--json` by name and type. Scripts rely on them: a field once given keeps its name and its
//! type; new ones may come beside it. Marks are exact strings, times seconds, what is undefined is null.
#![cfg(test)]

#[path = "common/kinds.rs"]
mod kinds;
#[path = "common/old.rs"]
mod old;
#[path = "contract/season.rs"]
mod season;
#[path = "common/typed.rs"]
mod typed;

use kinds::KINDS;
use old::OldFiles;
use pacebell::domain::thresholds::Limit;
use serde_json::Value;

/// What a field may be.
#[derive(Clone, Copy, Debug)]
enum Is {
    Text,
    /// An exact mark: `"62"`, `"-1"`, `"123/4"`.
    Marks,
    Number,
    /// A whole number from nought.
    Count,
    Yes,
    List,
    Object,
    /// One of these words.
    Word(&'static [&'static str]),
    /// The same, or null.
    Perhaps(&'static Self),
}

use Is::{Count, List, Marks, Number, Object, Perhaps, Text, Word, Yes};

impl Is {
    fn takes(self, value: &Value) -> bool {
        match self {
            Text => value.is_string(),
            Marks => value.as_str().is_some_and(is_exact),
            Number => value.is_number(),
            Count => value.is_u64(),
            Yes => value.is_boolean(),
            List => value.is_array(),
            Object => value.is_object(),
            Word(words) => value.as_str().is_some_and(|word| words.contains(&word)),
            Perhaps(is) => value.is_null() || is.takes(value),
        }
    }
}

/// A whole number, or a fraction in its lowest terms.
fn is_exact(text: &str) -> bool {
    let text = text.strip_prefix('-').unwrap_or(text);
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    match text.split_once('/') {
        None => digits(text),
        Some((top, bottom)) => digits(top) && digits(bottom) && bottom != "0" && bottom != "1",
    }
}

/// Each field is there, null included, and is what it should be.
#[track_caller]
fn has(value: &Value, fields: &[(&str, Is)]) {
    for (name, is) in fields {
        let field = value.get(*name);
        assert!(
            field.is_some_and(|field| is.takes(field)),
            "`{name}` is no {is:?}: {field:?} in {value}"
        );
    }
}

/// The items of a list, of which there must be some.
#[track_caller]
fn items<'a>(value: &'a Value, name: &str) -> &'a [Value] {
    let items = value[name].as_array().map_or(&[][..], Vec::as_slice);
    assert!(!items.is_empty(), "`{name}` has nothing in it: {value}");
    items
}

#[track_caller]
fn told(files: &OldFiles, words: &str) -> Value {
    let answer = files.run(&format!("{words} --json --sessions sessions"));
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    serde_json::from_str(&answer.out)
        .unwrap_or_else(|error| panic!("{words}: {error}: {}", answer.out))
}

#[track_caller]
fn is_told_whether_it_counts(marked: &Value) {
    let fields = [
        ("counts", Yes),
        ("why_not", Perhaps(&Text)),
        ("set_aside", Perhaps(&Object)),
        ("disputed", Yes),
    ];
    has(marked, &fields);
}

#[track_caller]
fn is_marked(marked: &Value) {
    has(
        marked,
        &[
            ("sitting", Text),
            ("pupil", Text),
            ("paper", Text),
            ("mark", Object),
            ("sections", List),
            ("questions", List),
            ("awards", List),
            ("luck", Object),
            ("findings", List),
        ],
    );
    is_told_whether_it_counts(marked);
    has(
        &marked["mark"],
        &[
            ("in_time", Marks),
            ("with_guess_round", Marks),
            ("worked", Marks),
            ("max", Marks),
        ],
    );
    for section in items(marked, "sections") {
        has(
            section,
            &[
                ("name", Text),
                ("right", Count),
                ("wrong", Count),
                ("blank", Count),
                ("void", Count),
                ("marks", Marks),
                ("max", Marks),
            ],
        );
    }
    for question in items(marked, "questions") {
        has(
            question,
            &[
                ("number", Count),
                ("given", Perhaps(&Text)),
                ("outcome", Word(&["right", "wrong", "blank", "void"])),
                (
                    "how",
                    Perhaps(&Word(&["worked", "unsure", "guessed", "filled"])),
                ),
                ("after_time", Yes),
                ("marks", Marks),
                ("seconds", Perhaps(&Number)),
                ("visits", Perhaps(&Count)),
                ("changes", Perhaps(&Count)),
            ],
        );
    }
    for award in items(marked, "awards") {
        has(
            award,
            &[
                ("name", Text),
                ("boundary", Marks),
                ("reached_in_time", Yes),
                ("reached_with_guess_round", Yes),
                ("short_by", Marks),
            ],
        );
    }
    has(
        &marked["luck"],
        &[
            ("guesses", Count),
            ("expected", Number),
            ("actual", Marks),
            ("at_least_this", Perhaps(&Number)),
        ],
    );
    for finding in items(marked, "findings") {
        has(
            finding,
            &[
                ("kind", Word(&KINDS)),
                ("questions", List),
                ("seconds", Perhaps(&Number)),
                ("marks", Perhaps(&Marks)),
                ("threshold", Perhaps(&Text)),
                ("text", Text),
            ],
        );
        let questions = finding["questions"].as_array().unwrap();
        assert!(questions.iter().all(Value::is_u64), "{finding}");
        let limit = finding["threshold"].as_str();
        assert!(
            limit.is_none_or(|name| Limit::named(name).is_some()),
            "no limit of this name: {finding}"
        );
    }
}

#[test]
fn mark_gives_one_object_or_a_list() {
    let files = OldFiles::copied();
    for words in [
        "mark @marten-old --key @old.key",
        "mark @teasel-a --key @a.key --under @old.paper",
    ] {
        is_marked(&told(&files, words));
    }
    let several = told(
        &files,
        "mark teasel --key @a.key --key @b.key --key @old.key",
    );
    let several = several.as_array().unwrap();
    assert_eq!(several.len(), 3);
    several.iter().for_each(is_marked);
}

#[test]
fn group_gives_figures_of_the_paper_and_of_each_question() {
    let files = OldFiles::copied();
    let sheets = "pupil,1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17,18,19,20,21,22,23,24,25\n\
        heron,C,D,B,E,A,B,D,E,C,A,C,B,D,C,A,E,D,E,B,A,A,C,B,E,D\n\
        knot,C,D,B,E,A,A,D,E,C,A,C,NA,D,C,A,A,D,B,B,A,,,,,\n\
        plover,C,A,B,E,A,B,C,E,B,A,D,B,A,NA,A,E,A,E,D,C,A,,,,\n";
    std::fs::write(files.path().join("answers.csv"), sheets).unwrap();
    for sheets in ["sessions", "--answers answers.csv --blank-codes NA"] {
        let group = told(
            &files,
            &format!("group {sheets} --paper @a.paper --key @a.key --no-progress"),
        );
        has(
            &group,
            &[
                ("people", Count),
                ("max", Marks),
                ("mean", Number),
                ("sd", Number),
                ("sd_population", Number),
                ("median", Number),
                ("q1", Number),
                ("q3", Number),
                ("kr20", Number),
                ("alpha", Number),
                ("sem", Number),
                ("questions", List),
                ("marks", List),
            ],
        );
        for question in items(&group, "questions") {
            has(
                question,
                &[
                    ("number", Count),
                    ("facility", Number),
                    ("discrimination", Perhaps(&Number)),
                    ("upper_lower_27", Number),
                    ("omitted", Count),
                    ("not_reached", Count),
                    ("blank", Count),
                    ("options", Object),
                    ("median_seconds", Perhaps(&Number)),
                    ("rasch", Perhaps(&Object)),
                ],
            );
            for option in ["A", "B", "C", "D", "E", "blank"] {
                has(
                    &question["options"][option],
                    &[("count", Count), ("mean_rest", Perhaps(&Number))],
                );
            }
            if question["rasch"].is_object() {
                has(
                    &question["rasch"],
                    &[
                        ("difficulty", Perhaps(&Number)),
                        ("se", Perhaps(&Number)),
                        ("infit", Perhaps(&Number)),
                        ("outfit", Perhaps(&Number)),
                    ],
                );
            }
        }
        for row in items(&group, "marks") {
            has(row, &[("mark", Marks), ("count", Count)]);
        }
        let timed = items(&group, "questions")
            .iter()
            .any(|question| question["median_seconds"].is_number());
        assert_eq!(timed, sheets == "sessions", "a list has no times");
    }
}

#[test]
fn aim_gives_counts_and_combinations() {
    let files = OldFiles::copied();
    let aim = told(&files, "aim @a.paper --mark 62 --chance 0.9,0.6,0.2");
    let fields = [
        ("mark", Marks),
        ("max", Marks),
        ("fewest_right", Perhaps(&Count)),
        ("in_order", Perhaps(&Count)),
        ("combinations", Perhaps(&List)),
        ("chance", Perhaps(&Number)),
    ];
    has(&aim, &fields);
    has(
        &aim,
        &[
            ("fewest_right", Count),
            ("in_order", Count),
            ("chance", Number),
        ],
    );
    for combination in items(&aim, "combinations") {
        let counts = combination.as_array().unwrap();
        assert_eq!(counts.len(), 3, "one for each section");
        assert!(counts.iter().all(Value::is_u64), "{combination}");
    }
    let unreachable = told(&files, "aim @a.paper --mark 126");
    has(&unreachable, &fields);
    assert!(
        unreachable["fewest_right"].is_null() && unreachable["in_order"].is_null(),
        "{unreachable}"
    );
    assert!(
        unreachable["chance"].is_null(),
        "it was not asked for: {unreachable}"
    );

    let aim = told(&files, "aim @a.paper --award gold --pupil marten");
    has(
        &aim["pupil"],
        &[
            ("alias", Text),
            ("sittings", Count),
            ("full_sittings", Count),
            ("group_sittings", Count),
            ("declined", Perhaps(&Text)),
            ("expected", Number),
            ("sd", Number),
            ("range_80", Perhaps(&Object)),
            ("chances", List),
            ("caution", Text),
        ],
    );
    assert!(aim["pupil"]["range_80"].is_null());
    for chance in items(&aim["pupil"], "chances") {
        has(chance, &[("number", Count), ("chance", Number)]);
    }
}

#[test]
fn luck_gives_a_distribution_of_exact_marks() {
    let files = OldFiles::copied();
    for words in [
        "luck @a.paper --guesses 3,18,21-25",
        "luck @old.paper --guesses 18-25 --total --right 1-12",
    ] {
        let luck = told(&files, words);
        has(
            &luck,
            &[("expected", Number), ("sd", Number), ("distribution", List)],
        );
        let rows = items(&luck, "distribution");
        for row in rows {
            has(row, &[("marks", Marks), ("chance", Number)]);
        }
        let whole: f64 = rows.iter().map(|row| row["chance"].as_f64().unwrap()).sum();
        assert!(
            (whole - 1.0).abs() < 1e-9,
            "{words}: the chances make {whole}"
        );
    }
}

#[test]
fn boundary_gives_the_best_award_first() {
    let files = OldFiles::copied();
    std::fs::write(
        files.path().join("marks.csv"),
        "mark\n60\n61.5\n1/4\n80\n95\n20\n77\n",
    )
    .unwrap();
    let words = "boundary --marks marks.csv --top 50% --ratio 3:2:1 --names dunlin,curlew,tern --places 2 --bootstrap 3";
    let boundary = told(&files, words);
    has(
        &boundary,
        &[("people", Count), ("awards", List), ("places", Object)],
    );
    for award in items(&boundary, "awards") {
        has(
            award,
            &[
                ("name", Text),
                ("quota", Number),
                ("boundary", Perhaps(&Marks)),
                ("count", Count),
                ("share", Number),
                ("range_80", Perhaps(&List)),
            ],
        );
    }
    let names: Vec<_> = items(&boundary, "awards")
        .iter()
        .map(|award| &award["name"])
        .collect();
    assert_eq!(names, ["tern", "curlew", "dunlin"]);
    has(
        &boundary["places"],
        &[
            ("cap", Count),
            ("boundary", Perhaps(&Marks)),
            ("count", Count),
        ],
    );
}

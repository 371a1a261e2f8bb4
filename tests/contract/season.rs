//! What is said of a pupil's season: `progress`, `forecast`, `plan`.

use serde_json::Value;

use super::old::OldFiles;
use super::{Count, Is, List, Marks, Number, Object, Perhaps, Text, Word, Yes, has, items, told};

const EXACT_RANGE: [(&str, Is); 2] = [("low", Marks), ("high", Marks)];

const STATES: [&str; 5] = ["open", "done", "not_done", "not_judged", "withdrawn"];

const VERDICTS: [&str; 4] = ["two_only", "level", "rising", "falling"];

/// Names are `snake_case` all the way down, and an object is what stands outside.
#[track_caller]
fn is_named_well(value: &Value) {
    match value {
        Value::Object(fields) => {
            for (name, field) in fields {
                let letters = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
                assert!(name.chars().all(letters), "{name}");
                is_named_well(field);
            }
        }
        Value::Array(items) => items.iter().for_each(is_named_well),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

#[test]
fn progress_gives_the_season_sitting_by_sitting() {
    let files = OldFiles::copied();
    let progress = told(&files, "progress marten");
    is_named_well(&progress);
    has(
        &progress,
        &[
            ("pupil", Text),
            ("sittings", List),
            ("compared", Count),
            ("trends", List),
            ("topics", List),
            ("causes", List),
            ("not_marked", List),
            ("official", Yes),
            ("scale", Perhaps(&Object)),
            ("practice", Object),
            ("steps", List),
        ],
    );
    for sitting in items(&progress, "sittings") {
        has(
            sitting,
            &[
                ("sitting", Text),
                ("paper", Text),
                ("blanks", Count),
                ("sinks", Count),
                ("sweep", Perhaps(&Object)),
                ("worth", Perhaps(&Marks)),
            ],
        );
        let mark = ["in_time", "with_guess_round", "worked", "luck_out", "max"];
        has(&sitting["mark"], &mark.map(|name| (name, Marks)));
        let error = ("standard_error", Perhaps(&Number));
        has(&sitting["mark"], &[error, ("range_80", Perhaps(&Object))]);
        for margin in items(sitting, "margins") {
            has(
                margin,
                &[("award", Text), ("boundary", Marks), ("over", Marks)],
            );
        }
    }
    assert!(!items(&progress, "trends").is_empty());
    for trend in items(&progress, "trends") {
        has(
            trend,
            &[
                ("values", List),
                ("slope", Number),
                ("standard_error", Perhaps(&Number)),
                ("p", Perhaps(&Number)),
                ("error_from", Word(&["measurement", "residual"])),
                ("verdict", Word(&VERDICTS)),
            ],
        );
    }
    for topic in items(&progress, "topics") {
        has(
            topic,
            &[
                ("topic", Text),
                ("right", Count),
                ("asked", Count),
                ("share", Number),
                ("low", Number),
                ("high", Number),
                ("missed", Marks),
                ("within_reach", Number),
            ],
        );
    }
}

#[test]
fn forecast_gives_the_mark_and_the_chance_of_each_award() {
    let files = OldFiles::copied();
    let forecast = told(&files, "forecast marten --paper @b.paper");
    is_named_well(&forecast);
    has(
        &forecast,
        &[
            ("pupil", Text),
            ("paper", Text),
            ("declined", Perhaps(&Text)),
            ("max", Marks),
            ("expected", Number),
            ("sd", Number),
            ("interval_80", Object),
            ("awards", List),
            ("marks", List),
            ("sources", Object),
        ],
    );
    has(&forecast["interval_80"], &EXACT_RANGE);
    for award in items(&forecast, "awards") {
        has(
            award,
            &[
                ("name", Text),
                ("chance", Number),
                ("range_80", Perhaps(&Object)),
            ],
        );
        assert!(
            items(award, "boundaries")
                .iter()
                .all(|mark| Marks.takes(mark))
        );
    }
    for row in items(&forecast, "marks") {
        has(row, &[("marks", Marks), ("chance", Number)]);
    }
}

#[test]
fn plan_gives_what_to_try_and_until_when() {
    let files = OldFiles::copied();
    for goal in ["", " --for gold"] {
        let plan = told(&files, &format!("plan marten --paper @b.paper{goal}"));
        is_named_well(&plan);
        let award = if goal.is_empty() {
            Perhaps(&Number)
        } else {
            Number
        };
        has(
            &plan,
            &[
                ("pupil", Text),
                ("paper", Text),
                ("goal", Word(&["marks", "award"])),
                ("seconds_allowed", Number),
                ("reserve_seconds", Number),
                ("chance_in_time", Perhaps(&Number)),
                ("leave_after_seconds", Perhaps(&Number)),
                ("questions", List),
                ("declined", Perhaps(&Text)),
                ("sources", Object),
            ],
        );
        assert_eq!(plan["award"].is_null(), goal.is_empty());
        assert_eq!(plan["boundary"].is_null(), goal.is_empty());
        for outlook in ["plan", "in_order", "in_order_rest_blank"] {
            let outlook = &plan[outlook];
            has(
                outlook,
                &[
                    ("expected", Number),
                    ("interval_80", Object),
                    ("chance", award),
                ],
            );
            has(&outlook["interval_80"], &EXACT_RANGE);
            assert!(items(outlook, "tried").iter().all(Value::is_u64));
        }
        for checkpoint in items(&plan, "checkpoints") {
            has(checkpoint, &[("question", Count), ("minutes", Marks)]);
        }
        for question in items(&plan, "questions") {
            has(
                question,
                &[
                    ("number", Count),
                    ("seconds", Number),
                    ("chance", Number),
                    ("rest", Word(&["try", "guess", "blank"])),
                ],
            );
        }
    }
}

const HELD: [(&str, Is); 5] = [
    ("judged", Count),
    ("inside", Count),
    ("not_forecast", Count),
    ("expected", Perhaps(&Object)),
    ("too_few", Yes),
];

#[test]
fn hindsight_gives_what_was_said_beside_what_came() {
    let files = OldFiles::copied();
    let seen = told(&files, "hindsight");
    is_named_well(&seen);
    has(&seen, &HELD);
    has(
        &seen,
        &[
            ("pupil", Perhaps(&Text)),
            ("mean_error", Perhaps(&Number)),
            ("mean_absolute_error", Perhaps(&Number)),
            ("brier", Perhaps(&Number)),
            ("widening", Perhaps(&Number)),
            ("sittings", List),
            ("pupils", List),
            ("seasons", List),
            ("bands", List),
            ("reasons", List),
            ("official", Yes),
            ("caution", Text),
        ],
    );
    for part in items(&seen, "pupils").iter().chain(items(&seen, "seasons")) {
        has(part, &[("name", Text)]);
        has(part, &HELD);
    }
    let reasons = Word(&["not_whole", "too_few", "no_paper", "too_fine"]);
    for reason in items(&seen, "reasons") {
        has(reason, &[("reason", reasons), ("count", Count)]);
    }
    for sitting in items(&seen, "sittings") {
        let said = sitting["not_forecast"].is_null();
        let (figure, range, held) = if said {
            (Number, Object, Yes)
        } else {
            (Perhaps(&Number), Perhaps(&Object), Perhaps(&Yes))
        };
        has(
            sitting,
            &[
                ("sitting", Text),
                ("pupil", Text),
                ("paper", Text),
                ("started", Text),
                ("sittings_before", Count),
                ("mark", Marks),
                ("max", Marks),
                ("expected", figure),
                ("sd", figure),
                ("interval_80", range),
                ("inside", held),
                ("awards", List),
            ],
        );
        if said {
            has(&sitting["interval_80"], &EXACT_RANGE);
        }
    }
}

/// Two questions tried again in one session: what `progress` says of practice.
#[test]
fn progress_says_what_was_tried_again() {
    let files = OldFiles::copied();
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_pacebell"));
    command.args(["practise", "marten", "--plain"]);
    command
        .current_dir(files.path())
        .envs(crate::old::user::at_home(files.path()));
    let done = super::typed::typed(&mut command, "a\nb\nc\nthe sign\n\nstop\n");
    assert_eq!(done.status.code(), Some(0), "{done:?}");
    let progress = told(&files, "progress marten");
    is_named_well(&progress);
    let practice = &progress["practice"];
    let counts = ["sessions", "due", "waiting", "too_early", "secure"].map(|name| (name, Count));
    has(practice, &counts);
    has(
        practice,
        &[
            ("paper_on", Perhaps(&Text)),
            ("next", Perhaps(&Object)),
            ("second_tries", Object),
            ("by_guessing", Perhaps(&Object)),
            ("questions", List),
            ("catches", List),
        ],
    );
    has(&practice["next"], &[("on", Text), ("questions", Count)]);
    has(
        &practice["second_tries"],
        &[
            ("both", Count),
            ("first_only", Count),
            ("second_only", Count),
            ("neither", Count),
            ("p", Perhaps(&Number)),
        ],
    );
    has(
        &practice["by_guessing"],
        &[
            ("missed", Count),
            ("right", Count),
            ("expected", Number),
            ("at_least", Count),
            ("chance", Number),
        ],
    );
    assert!(!items(practice, "questions").is_empty());
    for question in items(practice, "questions") {
        has(
            question,
            &[
                ("paper", Text),
                ("number", Count),
                ("missed", Word(&["wrong_worked", "wrong", "blank"])),
                ("topics", List),
                ("tries", Count),
                ("rights", Count),
                ("state", Word(&["due", "waiting", "too_early", "secure"])),
                ("on", Perhaps(&Text)),
            ],
        );
    }
}

#[test]
fn a_talk_gives_findings_with_their_lines_lost_marks_and_the_step() {
    let files = OldFiles::copied();
    let sheet = told(&files, "talk @marten-a --step checkpoints");
    is_named_well(&sheet);
    let top = [
        ("sitting", Text),
        ("pupil", Text),
        ("paper", Text),
        ("findings", List),
        ("lost", Perhaps(&List)),
        ("step", Perhaps(&Object)),
        ("judged", Perhaps(&Object)),
    ];
    has(&sheet, &top);
    for finding in items(&sheet, "findings") {
        let fields = [
            ("kind", Text),
            ("questions", List),
            ("text", Text),
            ("log", List),
        ];
        has(finding, &fields);
        for line in items(finding, "log") {
            has(
                line,
                &[("line", Count), ("seconds", Number), ("event", Text)],
            );
        }
    }
    for lost in items(&sheet, "lost") {
        let fields = [
            ("number", Count),
            ("given", Perhaps(&Text)),
            ("outcome", Word(&["wrong", "blank"])),
            ("marks", Marks),
            ("seconds", Perhaps(&Number)),
            ("visits", Perhaps(&Count)),
            ("cause", Perhaps(&Text)),
        ];
        has(lost, &fields);
    }
    let step = [
        ("about", Text),
        ("agreed_on", Text),
        ("by", Text),
        ("kind", Perhaps(&Text)),
        ("text", Perhaps(&Text)),
        ("state", Word(&STATES)),
        ("judged_by", Perhaps(&Text)),
        ("why_unknown", Perhaps(&Text)),
        ("said", Text),
    ];
    has(&sheet["step"], &step);
    let progress = told(&files, "progress marten");
    has(&items(&progress, "steps")[0], &step);
}

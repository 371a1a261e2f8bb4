//! A time of a sitting comes from its analysis, and a limit from the thresholds.

use std::collections::BTreeSet;

use syn::visit::{self, Visit};

use crate::paths::{Map, Target, written};
use crate::sources::{Known, Source, compare, in_ours, made_up};

/// Raw times and visits read where only judged ones belong; sittings made where none are held.
const RAW: &Known = &[];

/// Spans that stand in the code and are no threshold, with what says so.
const SPANS: &Known = &[
    (
        &["analysis::earned::QUARTER"],
        "marks are told by quarters of an hour",
    ),
    (&[], "stand beside the thresholds of the same name"),
    (
        &[
            "clock::watch::CHANGE_MS",
            "clock::watch::LOOK_MS",
            "clock::watch::SLEEP_MS",
            "clock::watch::STALL_MS",
        ],
        "how two clocks are told apart; measured, see the file",
    ),
    (
        &[
            "commands::sit::plain::LONGEST_WAIT",
            "screens::run::drill::LONGEST_WAIT",
            "screens::run::review::LONGEST_WAIT",
            "screens::run::sitting::LONGEST_WAIT",
        ],
        "a wait that nothing ends",
    ),
    (&["domain::drill::SWEEP_TIME"], "how long a drill is"),
    (
        &["domain::time::LONGEST_MINUTES"],
        "the longest paper: a day",
    ),
    (
        &["invented::hour::LOOK", "invented::hour::UPTIME"],
        "of an invented pupil",
    ),
    (
        &["dialogue::held::HELD", "dialogue::held::HELD_LETTER"],
        "how quickly a held key repeats",
    ),
    (&["term::burst::WITHIN"], "nobody types as fast"),
    (
        &["dialogue::state::DEAF", "dialogue::state::DEAF_UNTIL_TOLD"],
        "how long a key or a line may be on its way to a page that has gone",
    ),
    (&["words::time::LAST_MINUTES"], "when the clock stands out"),
    (
        &[
            "seat::LAST_WAIT",
            "commands::practise::SOON",
            "seat::TELL_AGAIN",
            "seat::keep_time::LOOK",
            "storage::disk::PAUSE",
            "storage::journal::record::BETWEEN_LOOKS",
            "storage::journal::heartbeat::BEATS_APART",
            "storage::journal::lock::LISTEN",
            "storage::journal::writer::PATIENCE",
            "storage::journal::writer::thread::LOOK",
            "storage::journal::writer::thread::OTHERS_LOOK",
            "storage::journal::writer::thread::AGAIN",
            "term::listen::GRACE",
        ],
        "how long a thread waits for the system",
    ),
    (&["stats::summary::RAPID_CAP_MS"], "source beside it"),
];

/// The rooms, or files, that may look at the raw visits of a sitting.
const JUDGES: [&str; 2] = ["src/domain", "src/analysis"];

/// The rooms, or files, that may begin a sitting's state.
const HOLDERS: [&str; 6] = [
    "src/domain",
    "src/analysis",
    "src/seat",
    "src/storage",
    "src/invented",
    "src/commands/enter",
];

struct Calls {
    found: BTreeSet<String>,
}

impl<'ast> Visit<'ast> for Calls {
    fn visit_expr_method_call(&mut self, call: &'ast syn::ExprMethodCall) {
        self.found.insert(call.method.to_string());
        visit::visit_expr_method_call(self, call);
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        let mut tokens = call.tokens.clone().into_iter().peekable();
        while let Some(token) = tokens.next() {
            if let proc_macro2::TokenTree::Punct(dot) = &token
                && dot.as_char() == '.'
                && let Some(proc_macro2::TokenTree::Ident(name)) = tokens.peek()
            {
                self.found.insert(name.to_string());
            }
        }
    }
}

fn lies_in(path: &str, places: &[&str]) -> bool {
    places.iter().any(|place| {
        path.strip_prefix(place)
            .is_some_and(|rest| rest.starts_with(['/', '.']))
    })
}

/// Methods of `Sitting` itself that give a raw time away.
fn raw_methods(source: &Source) -> Vec<String> {
    let blocks = source.plain.items.iter().filter_map(|item| match item {
        syn::Item::Impl(block) => Some(block),
        _ => None,
    });
    let of_sitting = blocks.filter(
        |block| matches!(&*block.self_ty, syn::Type::Path(of) if of.path.is_ident("Sitting")),
    );
    of_sitting
        .flat_map(|block| &block.items)
        .filter_map(|item| match item {
            syn::ImplItem::Fn(method) => Some(method.sig.ident.to_string()),
            _ => None,
        })
        .filter(|name| name == "time_on")
        .collect()
}

fn raw(sources: &[Source]) -> BTreeSet<String> {
    let map = Map::of(sources);
    let mut found = BTreeSet::new();
    for source in sources {
        let mut calls = Calls {
            found: BTreeSet::new(),
        };
        source
            .plain
            .items
            .iter()
            .for_each(|item| calls.visit_item(item));
        if calls.found.contains("visits") && !lies_in(&source.path, &JUDGES) {
            found.insert(format!("{} reads visits", source.path));
        }
        for name in raw_methods(source) {
            found.insert(format!("{} gives Sitting::{name}", source.path));
        }
        if lies_in(&source.path, &HOLDERS) {
            continue;
        }
        for path in written(&source.module, &source.plain.items) {
            if let Target::Item(_, name, rest) = map.resolve(&path.module, &path.path)
                && name == "Sitting"
                && rest == ["new"]
            {
                found.insert(format!("{} makes a Sitting", source.path));
            }
        }
    }
    found
}

/// The constants that are a span of time, by their type, their value or their name.
struct Spans {
    found: Vec<String>,
}

impl Spans {
    fn look(&mut self, name: &syn::Ident, ty: &syn::Type, value: &syn::Expr) {
        const UNITS: [&str; 3] = ["_MS", "SECONDS", "MINUTES"];
        let name = name.to_string();
        let is = |path: &syn::Path| {
            let last = path.segments.last().map(|part| part.ident.to_string());
            matches!(last.as_deref(), Some("Elapsed" | "Duration" | "TimeDelta"))
        };
        let typed = matches!(ty, syn::Type::Path(ty) if is(&ty.path));
        let made = matches!(value, syn::Expr::Call(call)
            if matches!(&*call.func, syn::Expr::Path(path)
                if path.path.segments.iter().any(|part| part.ident == "Elapsed" || part.ident == "Duration")));
        if typed || made || UNITS.iter().any(|unit| name.contains(unit)) {
            self.found.push(name);
        }
    }
}

impl<'ast> Visit<'ast> for Spans {
    fn visit_item_const(&mut self, item: &'ast syn::ItemConst) {
        self.look(&item.ident, &item.ty, &item.expr);
    }

    fn visit_impl_item_const(&mut self, item: &'ast syn::ImplItemConst) {
        self.look(&item.ident, &item.ty, &item.expr);
    }
}

fn spans(sources: &[Source]) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for source in sources {
        if lies_in(&source.path, &["src/domain/thresholds"]) {
            continue;
        }
        let mut all = Spans { found: Vec::new() };
        source
            .plain
            .items
            .iter()
            .for_each(|item| all.visit_item(item));
        for name in all.found {
            found.insert(format!("{}::{name}", source.module.join("::")));
        }
    }
    found
}

#[test]
fn only_the_analysis_judges_times() {
    compare("times come from the analysis", &in_ours(raw), RAW);
}

#[test]
fn spans_of_time_are_thresholds_or_listed() {
    compare(
        "a span of time is a threshold, or listed",
        &in_ours(spans),
        SPANS,
    );
}

#[test]
fn a_raw_time_is_found() {
    let sitting = "pub struct Sitting; impl Sitting { pub fn new() {} pub fn time_on(&self) {} }";
    let reader = "use crate::domain::Sitting; fn f(s: &Sitting) { Sitting::new(); s.visits(); }";
    let sources = made_up(&[
        ("src/domain.rs", sitting),
        ("src/reports.rs", reader),
        (
            "src/reports/more.rs",
            "fn f() { format!(\"{}\", s.visits()) }",
        ),
        ("src/analysis/line.rs", reader),
    ]);
    let found: Vec<_> = raw(&sources).into_iter().collect();
    assert_eq!(
        found,
        [
            "src/domain.rs gives Sitting::time_on",
            "src/reports.rs makes a Sitting",
            "src/reports.rs reads visits",
            "src/reports/more.rs reads visits",
        ]
    );
}

#[test]
fn a_span_is_found_by_its_type_its_value_and_its_name() {
    let sources = made_up(&[
        (
            "src/a.rs",
            "const A: Duration = X; const B: u32 = f(3); const C_MS: i64 = 4; struct S; \
             impl S { const D: Self = Elapsed::minutes(3); }",
        ),
        ("src/domain/thresholds.rs", "const E: Elapsed = Elapsed(3);"),
    ]);
    let found: Vec<_> = spans(&sources).into_iter().collect();
    assert_eq!(found, ["a::A", "a::C_MS", "a::D"]);
}

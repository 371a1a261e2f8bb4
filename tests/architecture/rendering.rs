//! What people read is put into words in one room, and files are replaced in one.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use syn::visit::{self, Visit};
use syn::{BinOp, Expr, Lit};

use crate::paths::{Map, Target, written};
use crate::sources::{Known, Source, compare, in_ours, made_up};

/// The rooms above `words`, which take their sentences and signs from it.
const ABOVE: [&str; 5] = ["dialogue", "plain", "reports", "screens", "commands"];

/// Plurals, wraps, dates and signs made above `words`.
const RENDERED: &Known = &[(
    &[
        "src/commands/enter/sheet.rs holds a sign",
        "src/plain/word.rs holds a sign",
        "src/reports/aim/picture.rs holds a sign",
    ],
    "a key to press, a word to type or a digit of a picture",
)];

/// Files written past `storage::disk`.
const WRITTEN: &Known = &[];

/// Paths said as the disk has them.
const RAW_PATHS: &Known = &[(
    &["src/storage/disk/canonical.rs"],
    "a test's look at a path, which nobody reads",
)];

/// What stands beside a question or an answer and means something: as `words::Sign` has them.
const SIGNS: [&str; 8] = ["+", "x", "o", "~", "?", "??", "*", "F"];

/// Packages that wrap, cut and measure text.
const WRAPS: [&str; 4] = [
    "textwrap",
    "unicode_truncate",
    "unicode_width",
    "unicode_segmentation",
];

#[derive(Default)]
struct Literals {
    found: BTreeSet<&'static str>,
}

/// Whether it makes a key of a character.
fn names_a_key(path: &syn::Path) -> bool {
    let names: Vec<_> = path.segments.iter().map(|part| &part.ident).collect();
    matches!(names[..], [key, char] if key == "Key" && char == "Char")
}

fn text_of(expr: &Expr) -> Option<String> {
    match expr {
        Expr::Lit(literal) => match &literal.lit {
            Lit::Str(text) => Some(text.value()),
            Lit::Char(sign) => Some(sign.value().to_string()),
            _ => None,
        },
        Expr::Block(block) => match block.block.stmts.as_slice() {
            [syn::Stmt::Expr(inner, None)] => text_of(inner),
            _ => None,
        },
        _ => None,
    }
}

fn is_one(expr: &Expr) -> bool {
    matches!(expr, Expr::Lit(literal)
        if matches!(&literal.lit, Lit::Int(number) if number.base10_digits() == "1"))
}

/// A comparison with one, or with a minute, an hour or the like that is one.
fn asks_for_one(condition: &Expr) -> bool {
    matches!(condition, Expr::Binary(both)
        if matches!(both.op, BinOp::Eq(_) | BinOp::Ne(_)) && is_one(&both.right))
}

impl Literals {
    fn date(&mut self, text: &str) {
        if ["%Y", "%d", "%-d", "%H", "%b", "%B"]
            .iter()
            .any(|part| text.contains(part))
        {
            self.found.insert("formats a date");
        }
    }
}

impl<'ast> Visit<'ast> for Literals {
    fn visit_expr_if(&mut self, choice: &'ast syn::ExprIf) {
        let ends = choice
            .else_branch
            .as_ref()
            .and_then(|(_, other)| text_of(other));
        let begins = match choice.then_branch.stmts.as_slice() {
            [syn::Stmt::Expr(inner, None)] => text_of(inner),
            _ => None,
        };
        if asks_for_one(&choice.cond) && begins.is_some() && ends.is_some() {
            self.found.insert("makes a plural");
        }
        visit::visit_expr_if(self, choice);
    }

    fn visit_expr_match(&mut self, choice: &'ast syn::ExprMatch) {
        let one = choice.arms.iter().any(|arm| {
            matches!(&arm.pat, syn::Pat::Lit(literal)
                if matches!(&literal.lit, Lit::Int(number) if number.base10_digits() == "1"))
        });
        if one && choice.arms.iter().all(|arm| text_of(&arm.body).is_some()) {
            self.found.insert("makes a plural");
        }
        visit::visit_expr_match(self, choice);
    }

    fn visit_expr_lit(&mut self, literal: &'ast syn::ExprLit) {
        match &literal.lit {
            Lit::Str(text) => {
                self.date(&text.value());
                if SIGNS.contains(&text.value().as_str()) {
                    self.found.insert("holds a sign");
                }
            }
            Lit::Char(sign) if SIGNS.contains(&sign.value().to_string().as_str()) => {
                self.found.insert("holds a sign");
            }
            _ => {}
        }
    }

    fn visit_pat(&mut self, _: &'ast syn::Pat) {}

    fn visit_expr_call(&mut self, call: &'ast syn::ExprCall) {
        // A key to press is no sign that is shown.
        if !matches!(&*call.func, Expr::Path(of) if names_a_key(&of.path)) {
            visit::visit_expr_call(self, call);
        }
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        // A pattern in `matches!` is a key that was pressed, not a sign that is shown.
        if call.path.is_ident("matches") {
            return;
        }
        let whole = call.tokens.to_string();
        self.date(&whole);
        if SIGNS
            .iter()
            .any(|sign| whole.contains(&format!("\"{sign}\"")))
        {
            self.found.insert("holds a sign");
        }
    }
}

fn rendered(sources: &[Source]) -> BTreeSet<String> {
    let map = Map::of(sources);
    let mut found = BTreeSet::new();
    for source in sources
        .iter()
        .filter(|source| ABOVE.contains(&source.room()))
    {
        let mut literals = Literals::default();
        source
            .plain
            .items
            .iter()
            .for_each(|item| literals.visit_item(item));
        let mut say = |what: &str| found.insert(format!("{} {what}", source.path));
        for what in literals.found {
            say(what);
        }
        for path in written(&source.module, &source.plain.items) {
            if let Target::Outside(outside) = map.resolve(&path.module, &path.path)
                && WRAPS.contains(&outside[0].as_str())
            {
                say("wraps, cuts or measures text");
            }
        }
    }
    found
}

fn files_written(sources: &[Source]) -> BTreeSet<String> {
    let map = Map::of(sources);
    let mut found = BTreeSet::new();
    for source in sources {
        if source.path.starts_with("src/storage/disk") {
            continue;
        }
        for path in written(&source.module, &source.plain.items) {
            if let Target::Outside(outside) = map.resolve(&path.module, &path.path)
                && let [first, second, third] = outside.as_slice()
                && (first, second) == (&"std".to_owned(), &"fs".to_owned())
                && ["rename", "write"].contains(&third.as_str())
            {
                found.insert(format!("{} uses fs::{third}", source.path));
            }
        }
    }
    found
}

/// The files with a path as the disk has it, whose name may hold a line's end.
fn raw_paths<'a>(texts: impl Iterator<Item = (&'a str, String)>) -> BTreeSet<String> {
    let raw = texts.filter(|(_, text)| text.contains(".display()"));
    raw.map(|(path, _)| path.to_owned()).collect()
}

#[test]
fn a_path_is_said_on_one_line() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let paths: Vec<_> = in_ours(|ours| ours.iter().map(|own| own.path.clone()).collect());
    let texts = paths.iter().map(|path| {
        let text = fs::read_to_string(root.join(path)).unwrap();
        (path.as_str(), text)
    });
    compare(
        "a path is said by `ShownPath`",
        &raw_paths(texts),
        RAW_PATHS,
    );
    let made_up = [
        ("src/a.rs", "f(path.shown())"),
        ("src/b.rs", "path.display()"),
    ];
    let made_up = made_up.map(|(path, text)| (path, text.to_owned()));
    let found: Vec<_> = raw_paths(made_up.into_iter()).into_iter().collect();
    assert_eq!(found, ["src/b.rs"]);
}

#[test]
fn text_is_made_in_words_only() {
    compare(
        "what people read is made in words",
        &in_ours(rendered),
        RENDERED,
    );
}

#[test]
fn files_are_replaced_by_the_disk_only() {
    compare(
        "files are replaced by storage::disk",
        &in_ours(files_written),
        WRITTEN,
    );
}

#[test]
fn plurals_dates_signs_and_wraps_are_found_above_words_alone() {
    let plural = "fn f(n: u8) -> &'static str { if n == 1 { \"mark\" } else { \"marks\" } }";
    let in_match = "fn f(n: u8) -> &'static str { match n { 1 => \"\", _ => \"s\" } }";
    let date = "fn f(d: Day) { format!(\"{}\", d.format(\"%-d %b\")); }";
    let sign = "fn f() -> &'static str { \"+\" }";
    let wrap = "use unicode_width as w; fn f() { w::of(\"\"); }";
    for (body, what) in [
        (plural, "makes a plural"),
        (in_match, "makes a plural"),
        (date, "formats a date"),
        (sign, "holds a sign"),
        (wrap, "wraps, cuts or measures text"),
    ] {
        let above = made_up(&[("src/reports/a.rs", body), ("src/words/a.rs", body)]);
        let found: Vec<_> = rendered(&above).into_iter().collect();
        assert_eq!(found, [format!("src/reports/a.rs {what}")]);
    }
    let pressed = "fn f(k: char) -> bool { match k { '+' => true, _ => matches!(k, \"x\") } }";
    assert!(rendered(&made_up(&[("src/screens/a.rs", pressed)])).is_empty());
    let key = "const HELP: &[Key] = &[Key::Char('?')];";
    assert!(rendered(&made_up(&[("src/screens/a.rs", key)])).is_empty());
}

#[test]
fn a_file_written_past_the_disk_is_found() {
    let body =
        "use std::fs::{self, rename}; fn f() { rename(a, b); fs::write(a, b); fs::read(a); }";
    let sources = made_up(&[("src/commands/a.rs", body), ("src/storage/disk.rs", body)]);
    let found: Vec<_> = files_written(&sources).into_iter().collect();
    assert_eq!(
        found,
        [
            "src/commands/a.rs uses fs::rename",
            "src/commands/a.rs uses fs::write"
        ]
    );
}

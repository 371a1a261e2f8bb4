//! What the program never reaches from `main` is not kept for the tests' sake.
//!
//! A path leads to one item; a method call may mean any method of that name, and a word in a macro
//! or an attribute anything so called. So nothing that is used is ever reported, and little that is
//! not used stays hidden.

use std::collections::{BTreeMap, BTreeSet};

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{ImplItem, Item};

use crate::paths::{Map, Target, paths_in};
use crate::sources::{Known, Source, attributes_of, compare, in_ours, made_up};

/// What only tests use, and why it is kept.
const KNOWN: &Known = &[
    (
        &[
            "screens::sitting::page::Page",
            "storage::journal::lock::Lock::is_locked",
        ],
        "no command reaches it",
    ),
    (
        &[
            "stats::luck::Distribution::pmf",
            "stats::rasch::measure::bayes",
            "stats::tally::ItemMarks::NUMBER_RIGHT",
        ],
        "the checks against published figures need it",
    ),
];

/// An item, or a method with the type it belongs to.
type Name = (Vec<String>, Option<String>, String);

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Use {
    /// A path, resolved.
    Thing(Name),
    /// A method call by name.
    Method(String),
    /// A word that nobody has parsed.
    Word(String),
}

struct Uses<'a> {
    map: &'a Map,
    module: Vec<String>,
    owner: Option<(Vec<String>, String)>,
    found: BTreeSet<Use>,
}

impl Uses<'_> {
    fn path(&mut self, path: &[String]) {
        if path.first().is_some_and(|first| first == "Self") {
            if let (Some((module, owner)), Some(name)) = (self.owner.clone(), path.get(1)) {
                self.found
                    .insert(Use::Thing((module, Some(owner), name.clone())));
            }
            return;
        }
        match self.map.resolve(&self.module, path) {
            Target::Item(module, name, rest) => {
                if let Some(method) = rest.first() {
                    let method = method.clone();
                    self.found
                        .insert(Use::Thing((module.clone(), Some(name.clone()), method)));
                }
                self.found.insert(Use::Thing((module, None, name)));
            }
            Target::Outside(path) if path.len() > 1 => {
                self.found.insert(Use::Method(path[path.len() - 1].clone()));
            }
            Target::Outside(_) | Target::Module(_) => {}
        }
    }

    fn tokens(&mut self, tokens: &TokenStream) {
        for path in paths_in(tokens.clone()) {
            self.path(&path);
            let words = path.into_iter().map(Use::Word);
            self.found.extend(words);
        }
        self.literals(tokens.clone());
    }

    /// Names in texts: `"{name}"` in a format, `default = "path"` in an attribute.
    fn literals(&mut self, tokens: TokenStream) {
        for token in tokens {
            match token {
                TokenTree::Group(group) => self.literals(group.stream()),
                TokenTree::Literal(text) => {
                    let text = text.to_string();
                    let words = text.split(|sign: char| !sign.is_alphanumeric() && sign != '_');
                    self.found
                        .extend(words.map(|word| Use::Word(word.to_owned())));
                }
                TokenTree::Ident(_) | TokenTree::Punct(_) => {}
            }
        }
    }
}

impl<'ast> Visit<'ast> for Uses<'_> {
    fn visit_item_use(&mut self, _: &'ast syn::ItemUse) {}

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let names: Vec<_> = path
            .segments
            .iter()
            .map(|part| part.ident.to_string())
            .collect();
        self.path(&names);
        visit::visit_path(self, path);
    }

    fn visit_expr_method_call(&mut self, call: &'ast syn::ExprMethodCall) {
        self.found.insert(Use::Method(call.method.to_string()));
        visit::visit_expr_method_call(self, call);
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        self.visit_path(&call.path);
        self.tokens(&call.tokens);
    }

    fn visit_attribute(&mut self, attribute: &'ast syn::Attribute) {
        if let syn::Meta::List(list) = &attribute.meta
            && !attribute.path().is_ident("doc")
        {
            self.tokens(&list.tokens);
        }
    }
}

/// What each item uses; the items of a name, however they are reached.
#[derive(Default)]
struct Graph {
    uses: BTreeMap<Name, BTreeSet<Use>>,
    open: BTreeSet<Name>,
    by_name: BTreeMap<String, Vec<Name>>,
    /// Blocks that live as soon as their type does: implementations of traits.
    with_type: BTreeMap<Name, BTreeSet<Use>>,
}

impl Graph {
    fn of(sources: &[Source]) -> Self {
        let map = Map::of(sources);
        let mut graph = Self::default();
        for source in sources {
            graph.enter(&map, &source.module, &source.plain.items);
        }
        for name in graph.uses.keys() {
            graph
                .by_name
                .entry(name.2.clone())
                .or_default()
                .push(name.clone());
        }
        graph
    }

    fn add(&mut self, name: Name, open: bool, found: BTreeSet<Use>) {
        if open {
            self.open.insert(name.clone());
        }
        self.uses.entry(name).or_default().extend(found);
    }

    fn enter(&mut self, map: &Map, module: &[String], items: &[Item]) {
        for item in items {
            let mut uses = Uses {
                map,
                module: module.to_vec(),
                owner: None,
                found: BTreeSet::new(),
            };
            let thing = |ident: &syn::Ident, vis: Option<&syn::Visibility>| {
                let open = vis.is_some_and(|vis| !matches!(vis, syn::Visibility::Inherited));
                ((module.to_vec(), None, ident.to_string()), open)
            };
            let (name, open) = match item {
                Item::Const(item) => thing(&item.ident, Some(&item.vis)),
                Item::Enum(item) => thing(&item.ident, Some(&item.vis)),
                Item::Fn(item) => thing(&item.sig.ident, Some(&item.vis)),
                Item::Static(item) => thing(&item.ident, Some(&item.vis)),
                Item::Struct(item) => thing(&item.ident, Some(&item.vis)),
                Item::Trait(item) => thing(&item.ident, Some(&item.vis)),
                Item::Type(item) => thing(&item.ident, Some(&item.vis)),
                Item::Macro(item) => match &item.ident {
                    Some(ident) => thing(ident, None),
                    None => continue,
                },
                Item::Mod(item) => {
                    if let Some((_, inside)) = &item.content {
                        let inner = [module, &[item.ident.to_string()]].concat();
                        self.enter(map, &inner, inside);
                    }
                    continue;
                }
                Item::Impl(block) => {
                    self.block(map, module, block);
                    continue;
                }
                _ => continue,
            };
            uses.owner = Some((module.to_vec(), name.2.clone()));
            uses.visit_item(item);
            self.add(name, open, uses.found);
        }
    }

    fn block(&mut self, map: &Map, module: &[String], block: &syn::ItemImpl) {
        let mut of = &*block.self_ty;
        while let syn::Type::Reference(inner) = of {
            of = &inner.elem;
        }
        let syn::Type::Path(of) = of else {
            return;
        };
        let path: Vec<_> = of
            .path
            .segments
            .iter()
            .map(|part| part.ident.to_string())
            .collect();
        let owner = match map.resolve(module, &path) {
            Target::Item(module, name, _) => (module, name),
            Target::Outside(_) | Target::Module(_) => (Vec::new(), "main".to_owned()),
        };
        let fresh = || Uses {
            map,
            module: module.to_vec(),
            owner: Some(owner.clone()),
            found: BTreeSet::new(),
        };
        if block.trait_.is_some() {
            let mut uses = fresh();
            uses.visit_item_impl(block);
            let whole = (owner.0.clone(), None, owner.1.clone());
            self.with_type.entry(whole).or_default().extend(uses.found);
            return;
        }
        for inside in &block.items {
            let (ident, vis) = match inside {
                ImplItem::Fn(method) => (&method.sig.ident, &method.vis),
                ImplItem::Const(constant) => (&constant.ident, &constant.vis),
                _ => continue,
            };
            let mut uses = fresh();
            uses.visit_impl_item(inside);
            let name = (owner.0.clone(), Some(owner.1.clone()), ident.to_string());
            let open = !matches!(vis, syn::Visibility::Inherited);
            self.add(name, open, uses.found);
        }
    }

    fn reached(&self) -> BTreeSet<Name> {
        let main = (vec!["main".to_owned()], None, "main".to_owned());
        let outside = (Vec::new(), None, "main".to_owned());
        let mut seen: BTreeSet<Name> = BTreeSet::new();
        let mut next = vec![main, outside];
        while let Some(name) = next.pop() {
            if !seen.insert(name.clone()) {
                continue;
            }
            let own = self.uses.get(&name).into_iter().flatten();
            let with_type = self.with_type.get(&name).into_iter().flatten();
            for one in own.chain(with_type) {
                match one {
                    Use::Thing(thing) => next.push(thing.clone()),
                    Use::Method(word) => {
                        let all = self.by_name.get(word).into_iter().flatten();
                        next.extend(all.filter(|name| name.1.is_some()).cloned());
                    }
                    Use::Word(word) => {
                        next.extend(self.by_name.get(word).into_iter().flatten().cloned());
                    }
                }
            }
        }
        seen
    }
}

fn unused(sources: &[Source]) -> BTreeSet<String> {
    let graph = Graph::of(sources);
    let reached = graph.reached();
    graph
        .open
        .iter()
        .filter(|name| !reached.contains(*name))
        .map(|(module, owner, name)| {
            let parts = module.iter().chain(owner).chain([name]);
            parts.map(String::as_str).collect::<Vec<_>>().join("::")
        })
        .collect()
}

#[test]
fn nothing_public_is_kept_for_tests_alone() {
    compare("what only tests use goes", &in_ours(unused), KNOWN);
}

#[test]
fn what_main_never_reaches_is_found() {
    let sources = made_up(&[
        ("src/main.rs", "fn main() { pacebell::a::run(); }"),
        ("src/lib.rs", "pub mod a;"),
        (
            "src/a.rs",
            "pub fn run() { Thing::new().go(); format!(\"{WIDTH}\"); }
             pub struct Thing;
             impl Thing { pub fn new() -> Self { Self } pub fn go(&self) { inner() } pub fn idle(&self) {} }
             impl Drop for Thing { fn drop(&mut self) { on_drop() } }
             pub const WIDTH: u8 = 3;
             pub fn inner() {}
             pub fn on_drop() {}
             pub fn lonely() { pair() }
             pub fn pair() { lonely() }
             #[cfg(test)] mod tests { fn f() { super::lonely(); } }",
        ),
    ]);
    let found: Vec<_> = unused(&sources).into_iter().collect();
    assert_eq!(found, ["a::Thing::idle", "a::lonely", "a::pair"]);
}

#[test]
fn attributes_and_traits_count_as_uses() {
    assert!(!attributes_of(&syn::parse_str("#[serde(default)] struct A;").unwrap()).is_empty());
    let sources = made_up(&[
        ("src/main.rs", "fn main() { let _: pacebell::a::Thing; }"),
        (
            "src/a.rs",
            "#[derive(Deserialize)] pub struct Thing { #[serde(default = \"three\")] n: u8 }
             pub fn three() -> u8 { 3 }
             impl Clone for Thing { fn clone(&self) -> Self { copied() } }
             pub fn copied() {}",
        ),
    ]);
    assert!(unused(&sources).is_empty());
}

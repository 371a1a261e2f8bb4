//! Which file a path in the sources leads to: `use` trees, `self`, `super`, globs, paths in bodies
//! and in macros; through every re-export to the file that defines the thing.

use std::collections::{BTreeMap, BTreeSet};

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Item, UseTree, Visibility};

use crate::sources::Source;

/// How a path stands in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    /// `use a::b;`
    Import,
    /// `pub use a::b;`, which passes a name on.
    PassedOn,
    /// In a body, a signature or a macro.
    Written,
}

/// A path as it is written, and where.
#[derive(Clone, Debug)]
pub(crate) struct Written {
    pub(crate) module: Vec<String>,
    pub(crate) path: Vec<String>,
    pub(crate) form: Form,
}

/// Where a path leads.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Target {
    /// An item of ours: its module, its name, and what follows (a variant, a method).
    Item(Vec<String>, String, Vec<String>),
    /// A module of ours.
    Module(Vec<String>),
    /// Something of a package or of the language, with every alias resolved.
    Outside(Vec<String>),
}

#[derive(Default)]
struct Module {
    file: String,
    /// Types and traits, which something can follow after `::`.
    types: BTreeSet<String>,
    /// Functions, constants and macros.
    values: BTreeSet<String>,
    uses: BTreeMap<String, Vec<Vec<String>>>,
    globs: Vec<Vec<String>>,
}

/// All modules, and what each name in them means.
pub(crate) struct Map {
    modules: BTreeMap<Vec<String>, Module>,
}

impl Map {
    pub(crate) fn of(sources: &[Source]) -> Self {
        let mut map = Self {
            modules: BTreeMap::from([(Vec::new(), Module::default())]),
        };
        for source in sources {
            map.enter(&source.path, &source.module, &source.whole.items);
        }
        map
    }

    fn enter(&mut self, file: &str, at: &[String], items: &[Item]) {
        let mut uses = Uses::default();
        for item in items {
            uses.visit_item(item);
        }
        // A module may stand twice, for one system and for another.
        let module = self.modules.entry(at.to_vec()).or_default();
        file.clone_into(&mut module.file);
        for item in items {
            if let Some((name, is_type)) = name_of(item) {
                let names = if is_type {
                    &mut module.types
                } else {
                    &mut module.values
                };
                names.insert(name);
            }
        }
        for (path, alias) in uses.found {
            match alias {
                Some(name) => module.uses.entry(name).or_default().push(path),
                None => module.globs.push(path),
            }
        }
        for item in items {
            if let Item::Mod(inner) = item
                && let Some((_, inside)) = &inner.content
            {
                let inner_at = [at, &[inner.ident.to_string()]].concat();
                self.enter(file, &inner_at, inside);
            }
        }
    }

    /// The file that holds a module.
    pub(crate) fn file(&self, module: &[String]) -> Option<&str> {
        self.modules.get(module).map(|found| found.file.as_str())
    }

    /// Where a path leads that is written in `from`.
    pub(crate) fn resolve(&self, from: &[String], path: &[String]) -> Target {
        self.seek(from, path, 0)
            .unwrap_or_else(|| Target::Outside(path.to_vec()))
    }

    fn seek(&self, from: &[String], path: &[String], depth: usize) -> Option<Target> {
        if depth > 12 {
            return None;
        }
        match path.first().map(String::as_str) {
            Some("crate" | "pacebell") => self.walk(&[], &path[1..], depth),
            Some("self") => self.walk(from, &path[1..], depth),
            Some("super") => {
                let up = &from[..from.len().saturating_sub(1)];
                match path.get(1).map(String::as_str) {
                    Some("super") => self.seek(up, &path[1..], depth),
                    _ => self.walk(up, &path[1..], depth),
                }
            }
            _ => self.walk(from, path, depth),
        }
    }

    fn walk(&self, base: &[String], rest: &[String], depth: usize) -> Option<Target> {
        let Some((first, after)) = rest.split_first() else {
            return Some(Target::Module(base.to_vec()));
        };
        let module = self.modules.get(base)?;
        let child = [base, std::slice::from_ref(first)].concat();
        let is_child = self.modules.contains_key(&child);
        if is_child && !after.is_empty() {
            return self.walk(&child, after, depth);
        }
        let is_item =
            module.types.contains(first) || after.is_empty() && module.values.contains(first);
        if is_item {
            return Some(Target::Item(base.to_vec(), first.clone(), after.to_vec()));
        }
        let mut outside = None;
        for named in module.uses.get(first).into_iter().flatten() {
            let whole = [named, after].concat();
            // `use rand;` names a package, and not itself.
            let itself = named.len() == 1 && named[0] == *first;
            let led = (!itself).then(|| self.seek(base, &whole, depth + 1));
            match led.flatten() {
                Some(Target::Outside(path)) => outside = Some(Target::Outside(path)),
                Some(ours) => return Some(ours),
                None => outside = Some(Target::Outside(whole)),
            }
        }
        if outside.is_some() {
            return outside;
        }
        if is_child {
            return Some(Target::Module(child));
        }
        module
            .globs
            .iter()
            .find_map(|glob| match self.seek(base, glob, depth + 1)? {
                Target::Module(inner) if inner != base => self.walk(&inner, rest, depth + 1),
                _ => None,
            })
    }
}

/// The name of an item, and whether it is a type's.
fn name_of(item: &Item) -> Option<(String, bool)> {
    match item {
        Item::Const(item) => Some((item.ident.to_string(), false)),
        Item::Enum(item) => Some((item.ident.to_string(), true)),
        Item::Fn(item) => Some((item.sig.ident.to_string(), false)),
        Item::Macro(item) => item.ident.as_ref().map(|name| (name.to_string(), false)),
        Item::Static(item) => Some((item.ident.to_string(), false)),
        Item::Struct(item) => Some((item.ident.to_string(), true)),
        Item::Trait(item) => Some((item.ident.to_string(), true)),
        Item::Type(item) => Some((item.ident.to_string(), true)),
        _ => None,
    }
}

/// The names that a `use` brings in: the path and the name, none for a glob.
fn flat(tree: &UseTree, before: &[String], into: &mut Vec<(Vec<String>, Option<String>)>) {
    let with = |name: &syn::Ident| [before, &[name.to_string()]].concat();
    match tree {
        UseTree::Path(path) => flat(&path.tree, &with(&path.ident), into),
        UseTree::Name(name) if name.ident == "self" => {
            into.push((before.to_vec(), before.last().cloned()));
        }
        UseTree::Name(name) => into.push((with(&name.ident), Some(name.ident.to_string()))),
        UseTree::Rename(name) if name.ident == "self" => {
            into.push((before.to_vec(), Some(name.rename.to_string())));
        }
        UseTree::Rename(name) => into.push((with(&name.ident), Some(name.rename.to_string()))),
        UseTree::Glob(_) => into.push((before.to_vec(), None)),
        UseTree::Group(group) => group.items.iter().for_each(|item| flat(item, before, into)),
    }
}

/// The `use` of a module and of the bodies in it, without its inner modules.
#[derive(Default)]
struct Uses {
    found: Vec<(Vec<String>, Option<String>)>,
}

impl<'ast> Visit<'ast> for Uses {
    fn visit_item_mod(&mut self, _: &'ast syn::ItemMod) {}

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        flat(&item.tree, &[], &mut self.found);
    }
}

/// Every path of some items, as written.
pub(crate) fn written(module: &[String], items: &[Item]) -> Vec<Written> {
    let mut all = Paths {
        module: module.to_vec(),
        found: Vec::new(),
    };
    for item in items {
        all.visit_item(item);
    }
    all.found
}

struct Paths {
    module: Vec<String>,
    found: Vec<Written>,
}

impl Paths {
    fn push(&mut self, path: Vec<String>, form: Form) {
        self.found.push(Written {
            module: self.module.clone(),
            path,
            form,
        });
    }
}

impl<'ast> Visit<'ast> for Paths {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        self.module.push(item.ident.to_string());
        visit::visit_item_mod(self, item);
        self.module.pop();
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        let form = match item.vis {
            Visibility::Inherited => Form::Import,
            _ => Form::PassedOn,
        };
        let mut flattened = Vec::new();
        flat(&item.tree, &[], &mut flattened);
        for (path, _) in flattened {
            self.push(path, form);
        }
    }

    fn visit_visibility(&mut self, _: &'ast Visibility) {}

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let names = path.segments.iter().map(|part| part.ident.to_string());
        self.push(names.collect(), Form::Written);
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        self.visit_path(&call.path);
        for path in paths_in(call.tokens.clone()) {
            self.push(path, Form::Written);
        }
    }
}

/// The paths in tokens that nobody has parsed, as in a macro.
pub(crate) fn paths_in(tokens: TokenStream) -> Vec<Vec<String>> {
    let mut found: Vec<Vec<String>> = Vec::new();
    let mut colons = 0;
    for token in tokens {
        match token {
            TokenTree::Ident(name) => {
                match found.last_mut() {
                    Some(path) if colons == 2 => path.push(name.to_string()),
                    _ => found.push(vec![name.to_string()]),
                }
                colons = 0;
            }
            TokenTree::Punct(sign) if sign.as_char() == ':' => colons += 1,
            TokenTree::Group(group) => {
                found.extend(paths_in(group.stream()));
                // What follows a group begins anew.
                colons = 0;
            }
            TokenTree::Punct(_) | TokenTree::Literal(_) => colons = 0,
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sources::made_up;

    fn leads(from: &str, path: &str) -> Target {
        let sources = made_up(&[
            ("src/lib.rs", "pub mod a; pub mod b;"),
            (
                "src/a.rs",
                "mod deep; pub use deep::Thing; pub use self::deep::other as another;",
            ),
            ("src/a/deep.rs", "pub struct Thing; pub fn other() {}"),
            (
                "src/b.rs",
                "use crate::{a::{self, Thing as Named}, a as short}; use std::fs; use crate::a::*; mod inner { use super::super::a; }",
            ),
        ]);
        let split = |text: &str| -> Vec<String> { text.split("::").map(str::to_owned).collect() };
        Map::of(&sources).resolve(&split(from), &split(path))
    }

    fn item(module: &[&str], name: &str, rest: &[&str]) -> Target {
        let owned = |parts: &[&str]| parts.iter().map(|part| (*part).to_owned()).collect();
        Target::Item(owned(module), name.to_owned(), owned(rest))
    }

    #[test]
    fn every_form_of_an_import_leads_to_the_file_that_defines_the_thing() {
        let thing = item(&["a", "deep"], "Thing", &[]);
        for path in [
            "Named",
            "a::Thing",
            "short::Thing",
            "crate::a::Thing",
            "Thing",
        ] {
            assert_eq!(leads("b", path), thing, "{path}");
        }
        assert_eq!(leads("b::inner", "a::Thing"), thing);
        assert_eq!(leads("b::inner", "super::super::a::Thing"), thing);
        assert_eq!(leads("a::deep", "self::Thing"), thing);
        assert_eq!(leads("b", "another"), item(&["a", "deep"], "other", &[]));
        assert_eq!(
            leads("b", "Named::new"),
            item(&["a", "deep"], "Thing", &["new"])
        );
    }

    #[test]
    fn a_path_out_of_the_house_is_resolved_as_well() {
        let out = Target::Outside(["std", "fs", "write"].map(str::to_owned).to_vec());
        assert_eq!(leads("b", "fs::write"), out);
    }

    #[test]
    fn paths_in_bodies_and_macros_are_seen() {
        let file = syn::parse_file("fn f() { x::y::z(); vec![p::q, (r::s)]; }").unwrap();
        let seen: Vec<_> = written(&[], &file.items)
            .into_iter()
            .map(|written| written.path.join("::"))
            .collect();
        assert_eq!(seen, ["x::y::z", "vec", "p::q", "r::s"]);
    }
}

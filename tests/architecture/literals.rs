//! The texts in quotation marks of a source as `syn` reads them: those that people may be shown.

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Attribute, Item, Lit};

/// What says something to a programmer only, when something is broken.
const BROKEN: [&str; 4] = ["panic", "unreachable", "assert", "debug_assert"];

/// Which attributes are read besides the code.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Attributes {
    None,
    /// Those in which an error has its sentence.
    OfErrors,
}

struct Literals {
    attributes: Attributes,
    texts: Vec<String>,
}

/// Every text of some items, in order; escapes are read, what stands in braces is as it was written.
pub(crate) fn literals<'a>(
    items: impl IntoIterator<Item = &'a Item>,
    attributes: Attributes,
) -> Vec<String> {
    let mut found = Literals {
        attributes,
        texts: Vec::new(),
    };
    for item in items {
        found.visit_item(item);
    }
    found.texts
}

impl Literals {
    fn take(&mut self, literal: &Lit) {
        if let Lit::Str(text) = literal {
            self.texts.push(text.value());
        }
    }

    fn take_all(&mut self, tokens: TokenStream) {
        for token in tokens {
            match token {
                TokenTree::Group(group) => self.take_all(group.stream()),
                TokenTree::Literal(literal) => self.take(&Lit::new(literal)),
                TokenTree::Ident(_) | TokenTree::Punct(_) => {}
            }
        }
    }
}

impl<'ast> Visit<'ast> for Literals {
    fn visit_attribute(&mut self, attribute: &'ast Attribute) {
        if self.attributes == Attributes::OfErrors
            && attribute.path().is_ident("error")
            && let Ok(list) = attribute.meta.require_list()
        {
            self.take_all(list.tokens.clone());
        }
    }

    fn visit_lit(&mut self, literal: &'ast Lit) {
        self.take(literal);
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        if !BROKEN.iter().any(|name| call.path.is_ident(name)) {
            self.take_all(call.tokens.clone());
        }
    }

    fn visit_expr_method_call(&mut self, call: &'ast syn::ExprMethodCall) {
        if call.method == "expect" {
            self.visit_expr(&call.receiver);
        } else {
            visit::visit_expr_method_call(self, call);
        }
    }
}

#[test]
fn an_errors_sentence_is_read_where_attributes_are() {
    let source = "
        /// no
        #[error(\"one {0}\")] #[serde(rename = \"no\")] struct A;
        fn f() { say(\"two\"); format!(\"three {n}\"); assert!(true, \"no\"); x.expect(\"no\"); '\"'; }
    ";
    let file = syn::parse_file(source).unwrap();
    let read = |attributes| literals(&file.items, attributes);
    assert_eq!(read(Attributes::OfErrors), ["one {0}", "two", "three {n}"]);
    assert_eq!(read(Attributes::None), ["two", "three {n}"]);
}

//! The walker finds every value where it was written.

use pacebell::storage::files::locate::{Place, Places, Spot};
use proptest::prelude::*;

/// A value to be written.
#[derive(Clone, Debug)]
enum Value {
    /// A number, a word, a string, a character, as it is written.
    Plain(String),
    List(Vec<Self>),
    Struct(Vec<(String, Self)>),
    Map(Vec<(String, Self)>),
    Some(Box<Self>),
}

fn value() -> impl Strategy<Value = Value> {
    let plain = prop_oneof![
        "-?[0-9]{1,4}(\\.[0-9]{1,2})?".prop_map(String::from),
        "[a-z]{1,5}".prop_map(|word| word),
        Just("()".to_owned()),
        Just("'\\''".to_owned()),
        Just("'\"'".to_owned()),
        Just("r#\"raw \" ) ] // \"#".to_owned()),
        Just("r\"\\\"".to_owned()),
        "[a-zé0-9(){}\\[\\],:/*' ]{0,8}".prop_map(|text| format!("\"{text}\\\"\\\\\"")),
    ];
    plain
        .prop_map(Value::Plain)
        .prop_recursive(4, 40, 4, |inner| {
            let fields = prop::collection::btree_map("[a-z]{2,5}", inner.clone(), 1..4);
            let keyed = prop::collection::btree_map("[A-Zé]{1,3}", inner.clone(), 0..4);
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..4).prop_map(Value::List),
                fields.prop_map(|map| Value::Struct(map.into_iter().collect())),
                keyed.prop_map(|map| Value::Map(map.into_iter().collect())),
                inner.prop_map(|value| Value::Some(Box::new(value))),
            ]
        })
}

/// Writes a value and remembers where each part of it begins.
struct Pen {
    text: String,
    gaps: Vec<usize>,
    written: Vec<(Spot, Place)>,
}

impl Pen {
    /// White space and comments, in turn.
    fn gap(&mut self) {
        const GAPS: [&str; 6] = [
            "",
            " ",
            "\n  ",
            " // ( [ \" é\n",
            "/* /* ' */ { */",
            "\t\r\n",
        ];
        let next = self.gaps.pop().unwrap_or(0);
        self.gaps.insert(0, next);
        self.text.push_str(GAPS[next % GAPS.len()]);
    }

    fn value(&mut self, value: &Value, spot: &Spot) {
        self.gap();
        if !matches!(value, Value::Some(_)) {
            let line = self.text.matches('\n').count() + 1;
            let col = self.text.chars().rev().take_while(|c| *c != '\n').count() + 1;
            self.written.push((spot.clone(), Place { line, col }));
        }
        match value {
            Value::Plain(text) => self.text.push_str(text),
            Value::Some(inner) => {
                self.text.push_str("Some(");
                self.value(inner, spot);
                self.gap();
                self.text.push(')');
            }
            Value::List(list) => {
                self.text.push('[');
                for (index, value) in list.iter().enumerate() {
                    self.comma(index);
                    self.value(value, &spot.item(index));
                }
                self.end("]");
            }
            Value::Struct(fields) => {
                self.text
                    .push_str(if fields.len() == 2 { "Name(" } else { "(" });
                self.entries(fields, spot, str::to_owned);
                self.end(")");
            }
            Value::Map(entries) => {
                self.text.push('{');
                self.entries(entries, spot, |name| format!("\"{name}\""));
                self.end("}");
            }
        }
    }

    fn entries(&mut self, entries: &[(String, Value)], spot: &Spot, show: fn(&str) -> String) {
        for (index, (name, value)) in entries.iter().enumerate() {
            self.comma(index);
            self.gap();
            self.text.push_str(&show(name));
            self.gap();
            self.text.push(':');
            self.value(value, &spot.at(name));
        }
    }

    fn comma(&mut self, index: usize) {
        if index > 0 {
            self.gap();
            self.text.push(',');
        }
    }

    /// Every other time with a trailing comma.
    fn end(&mut self, close: &str) {
        self.gap();
        let open = self.text.ends_with(['(', '[', '{']);
        let trailing = !open && self.text.len().is_multiple_of(2) && !self.text.ends_with("*/");
        self.text.push_str(if trailing { "," } else { "" });
        self.gap();
        self.text.push_str(close);
    }
}

proptest! {
    #[test]
    fn every_value_is_found_where_it_was_written(value in value(), gaps in prop::collection::vec(0_usize..6, 1..9)) {
        let mut pen = Pen { text: String::new(), gaps, written: Vec::new() };
        pen.text.push_str("#![enable(implicit_some)]");
        pen.value(&value, &Spot::top());
        pen.gap();
        let places = Places::new(&pen.text);
        for (spot, place) in &pen.written {
            prop_assert_eq!(places.place(spot), *place, "{} in {}", spot, &pen.text);
            prop_assert!(places.written(spot).is_some());
        }
    }
}

#[test]
fn what_is_not_written_is_found_at_the_nearest_value_around_it() {
    let places = Places::new("(\n  a: [1, (b: 2)],\n)");
    let a = Spot::top().at("a");
    let at = |spot: &Spot| {
        let Place { line, col } = places.place(spot);
        (line, col)
    };
    assert_eq!(at(&a), (2, 6));
    assert_eq!(at(&a.item(1).at("b")), (2, 14));
    assert_eq!(at(&a.item(1).at("c").item(3)), (2, 10));
    assert_eq!(at(&a.item(7)), (2, 6));
    assert_eq!(at(&Spot::top().at("z")), (1, 1));
    assert_eq!(places.written(&Spot::top().at("z")), None);
    assert_eq!(a.item(1).at("b").to_string(), "a, entry 2, b");
}

#[test]
fn a_characters_column_counts_what_is_written_not_what_is_meant() {
    for (text, columns) in [
        ("\"ab\"", vec![2, 3]),
        ("\"é\\n\\\"x\"", vec![2, 3, 5, 7]),
        ("\"\\u{e9}\\x41b\"", vec![2, 8, 12]),
        ("\"\\xC3\\xA9b\"", vec![2, 10]),
        ("r#\"\\n\"#", vec![4, 5]),
        ("\"a\\\n   b\"", vec![2, 4]),
    ] {
        let meant: String = ron::from_str(text).unwrap();
        assert_eq!(meant.chars().count(), columns.len(), "{text}");
        let places = Places::new(text);
        let found = (0..columns.len()).map(|index| places.place_of_char(&Spot::top(), index).col);
        assert_eq!(found.collect::<Vec<_>>(), columns, "{text}");
    }
}

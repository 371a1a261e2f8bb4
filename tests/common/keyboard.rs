//! Every key of a keyboard, pressed on a page: what works is named, and what is named works.

use std::fmt::Debug;

use pacebell::screens::kit::{Frame, Key, Page};
use pacebell::screens::theme::Theme;
use ratatui::buffer::{Buffer, Cell};
use ratatui::layout::{Rect, Size};
use ratatui::style::Modifier;
use ratatui::widgets::Widget as _;

use keys::{keyboard, names};

#[path = "keys.rs"]
mod keys;

/// A window in which everything can be read at once.
const ROOMY: Size = Size::new(300, 200);
/// The names in a text, as `Up Down`, `S then Enter`, `1 to 9, 0`, `any other key`.
fn named(text: &str) -> Vec<String> {
    if text == "1 to 9, 0" {
        return ('0'..='9').map(String::from).collect();
    }
    let filler = ["then", "twice", "or"];
    let mut words: Vec<&str> = text.split(' ').collect();
    words.retain(|word| !filler.contains(word));
    if words.first() == Some(&"number") {
        // What ends the number does nothing before it.
        words.truncate(1);
    }
    words.into_iter().map(str::to_owned).collect()
}

fn drawn(page: &impl Page, size: Size) -> Buffer {
    let mut buffer = Buffer::empty(Rect::new(0, 0, size.width, size.height));
    let theme = Theme::plain();
    Frame { page, theme }.render(buffer.area, &mut buffer);
    buffer
}

fn lines(buffer: &Buffer) -> Vec<String> {
    let rows = buffer.content.chunks(usize::from(buffer.area.width));
    let line = |row: &[Cell]| row.iter().map(Cell::symbol).collect::<String>();
    rows.map(|row| line(row).trim_end().to_owned()).collect()
}

/// The keys that the foot names: they stand in bold.
fn at_the_foot(buffer: &Buffer) -> Vec<String> {
    let columns = usize::from(buffer.area.width);
    let foot = buffer.content.len() - 2 * columns;
    let mut texts = vec![String::new()];
    for cell in buffer.content.iter().skip(foot) {
        if cell.modifier.contains(Modifier::BOLD) {
            texts.last_mut().unwrap().push_str(cell.symbol());
        } else if texts.last().is_some_and(|text| !text.is_empty()) {
            texts.push(String::new());
        }
    }
    texts.retain(|text| !text.is_empty());
    texts
}

/// The keys that stand in the help below a heading.
fn in_the_help(lines: &[String], heading: &str) -> Vec<String> {
    let below = lines.iter().skip_while(|line| line.trim() != heading);
    let block = below.skip(1).take_while(|line| !line.trim().is_empty());
    // Where a line goes on, it stands further in.
    let first = block.filter(|line| !line.starts_with("   "));
    let names = first.filter_map(|line| line.split_once(": "));
    names.map(|(names, _)| names.trim().to_owned()).collect()
}

/// Presses every key on a page, and on its help where it has one: a key acts if and only if the
/// foot or the help names it, and one that does not act changes nothing. `press` gives whether
/// something came of it.
pub(crate) fn every_key_that_works_is_named<P>(
    what: &str,
    page: &P,
    press: impl Fn(&mut P, Key) -> bool,
) where
    P: Page<Act: Clone + Debug> + Clone,
{
    let foot = at_the_foot(&drawn(page, ROOMY));
    assert!(!foot.is_empty(), "{what}");
    // Some pages have a heading `Keys` themselves; only help has the other one.
    let keys_of = |page: &P| {
        let lines = lines(&drawn(page, ROOMY));
        let of_help = in_the_help(&lines, "Keys of the help");
        (in_the_help(&lines, "Keys"), of_help)
    };
    let (_, own) = keys_of(page);
    if !own.is_empty() {
        return walk(what, page, &foot, &own, &press);
    }
    let mut helped = page.clone();
    press(&mut helped, Key::F(1));
    let (of_page, of_help) = keys_of(&helped);
    if of_help.is_empty() {
        return walk(what, page, &foot, &[], &press);
    }
    walk(what, page, &foot, &of_page, &press);
    let foot = at_the_foot(&drawn(&helped, ROOMY));
    walk(&format!("{what}: help"), &helped, &foot, &of_help, &press);
}

fn walk<P>(
    what: &str,
    page: &P,
    foot: &[String],
    help: &[String],
    press: &impl Fn(&mut P, Key) -> bool,
) where
    P: Page<Act: Clone + Debug> + Clone,
{
    let keys = page.keys();
    let every = foot.iter().any(|text| text == "any other key");
    let foot: Vec<String> = foot.iter().flat_map(|text| named(text)).collect();
    let help: Vec<String> = help.iter().flat_map(|text| named(text)).collect();
    for key in keyboard() {
        let by = |all: &[String]| all.iter().any(|name| names(name, key));
        let act = keys.act(key);
        assert_eq!(
            act.is_some(),
            every || by(&foot) || by(&help),
            "{what}: {key} does {act:?}; the foot has {foot:?}, the help {help:?}"
        );
        if act.is_none() {
            let mut pressed = page.clone();
            assert!(!press(&mut pressed, key), "{what}: {key}");
            let size = Size::new(80, 24);
            assert_eq!(drawn(&pressed, size), drawn(page, size), "{what}: {key}");
        }
    }
}

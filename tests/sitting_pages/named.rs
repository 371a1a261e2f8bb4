//! Every key of a keyboard, pressed on the pages of a sitting: what works is named, and what is
//! named works.

use std::thread;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use pacebell::screens::kit::Key;
use ratatui::layout::Size;
use ratatui::style::Modifier;

use crate::bench::Bench;
use crate::keys::{keyboard, names};

/// Here the foot has room for every key.
const ROOMY: Size = Size::new(300, 200);
/// Here help is one column: the keys, a blank line, the signs.
const NARROW: Size = Size::new(77, 200);
/// What a page says to a key that does nothing on it.
const NOTHING: [&str; 14] = [
    "does nothing here.",
    "There's no option ",
    "Esc goes back.",
    "Enter ends the break.",
    "Every answer in the sweep is a guess.",
    "Cross out which?",
    "The keyboard is set to another alphabet.",
    "Answers are locked now.",
    "Type y first, then press Enter.",
    "Everything already fits on the page.",
    "That key is only for trouble with saving.",
    "There's nowhere else to save.",
    "Ctrl-Z doesn't work here",
    ", or Esc to cancel.",
];
/// They work on every page: leaving, which help names, and painting the screen anew.
const EVERYWHERE: [Key; 2] = [Key::STOP, Key::Ctrl('l')];
/// Keys that do what a named one does.
const ALIKE: [(Key, Key); 3] = [
    (Key::Char('?'), Key::F(1)),
    (Key::Up, Key::Left),
    (Key::Down, Key::Right),
];

/// A page and how to come to it.
struct Case {
    name: &'static str,
    make: fn() -> Bench,
    /// More keys that do what a named one does.
    alike: &'static [(Key, Key)],
    /// What any key that is not named may do here.
    others: Option<Key>,
    /// The page below, where keys that are not named may do what they do there.
    below: Option<fn() -> Bench>,
    /// Named keys that lead to where the page is.
    idle: &'static [Key],
}

fn event(key: Key) -> Option<KeyEvent> {
    let (code, held) = match key {
        Key::Up => (KeyCode::Up, KeyModifiers::NONE),
        Key::Down => (KeyCode::Down, KeyModifiers::NONE),
        Key::Left => (KeyCode::Left, KeyModifiers::NONE),
        Key::Right => (KeyCode::Right, KeyModifiers::NONE),
        Key::PageUp => (KeyCode::PageUp, KeyModifiers::NONE),
        Key::PageDown => (KeyCode::PageDown, KeyModifiers::NONE),
        Key::Home => (KeyCode::Home, KeyModifiers::NONE),
        Key::End => (KeyCode::End, KeyModifiers::NONE),
        Key::Enter => (KeyCode::Enter, KeyModifiers::NONE),
        Key::Esc => (KeyCode::Esc, KeyModifiers::NONE),
        Key::Tab => (KeyCode::Tab, KeyModifiers::NONE),
        Key::BackTab => (KeyCode::BackTab, KeyModifiers::SHIFT),
        Key::Backspace => (KeyCode::Backspace, KeyModifiers::NONE),
        Key::F(number) => (KeyCode::F(number), KeyModifiers::NONE),
        Key::Char(c) => (KeyCode::Char(c), KeyModifiers::NONE),
        // Terminals send it for Backspace.
        Key::Ctrl('h') => return None,
        Key::Ctrl(c) => (KeyCode::Char(c), KeyModifiers::CONTROL),
        Key::Alt(c) => (KeyCode::Char(c), KeyModifiers::ALT),
        Key::Other(code) => (code, KeyModifiers::NONE),
    };
    Some(KeyEvent::new(code, held))
}

/// The keys in a text, as `A to E`, `Enter, Right`, `#7 Enter`, `n, then Enter`, `Arrows`.
fn named(text: &str) -> Vec<String> {
    // The comma is a key as well as what stands between keys.
    if text.starts_with(',') {
        return vec![",".to_owned()];
    }
    // F is a key of the menu that Esc opens.
    if text == "Esc then F" {
        return vec!["Esc".to_owned()];
    }
    if let Some((first, last)) = text.split_once(" to ") {
        let char = |text: &str| text.chars().next().unwrap_or_default();
        return (char(first)..=char(last)).map(String::from).collect();
    }
    // What comes after does nothing before it.
    let first = text.split(", then").next().unwrap_or_default();
    let words = first.split([' ', ',']).filter(|word| !word.is_empty());
    let names = words.flat_map(|word| match word {
        "Arrows" => vec!["Up", "Down", "Left", "Right"],
        "#7" | "#" => vec!["#"],
        "7" | "12" | "0-9" => vec!["digits"],
        "twice" => vec![],
        word => vec![word],
    });
    names.map(String::from).collect()
}

/// What stands in bold, row by row, with the column where it begins.
fn bold(bench: &mut Bench, size: Size) -> Vec<Vec<(usize, String)>> {
    let before = std::mem::replace(&mut bench.size, size);
    let buffer = bench.buffer();
    bench.size = before;
    let rows = buffer.content.chunks(usize::from(size.width));
    rows.map(|row| {
        let mut runs: Vec<(usize, String)> = Vec::new();
        let mut on = false;
        for (column, cell) in row.iter().enumerate() {
            let is_bold = cell.modifier.contains(Modifier::BOLD);
            match runs.last_mut() {
                Some((_, run)) if on && is_bold => run.push_str(cell.symbol()),
                _ if is_bold => runs.push((column, cell.symbol().to_owned())),
                _ => {}
            }
            on = is_bold;
        }
        runs
    })
    .collect()
}

/// The keys that the foot names.
fn at_the_foot(bench: &mut Bench) -> Vec<String> {
    let rows = bold(bench, ROOMY);
    let foot = rows.into_iter().skip(usize::from(ROOMY.height) - 2);
    foot.flatten().flat_map(|(_, run)| named(&run)).collect()
}

/// The keys that help, or a page that is words only, lists at the left, above the signs.
fn listed(bench: &mut Bench) -> Vec<String> {
    let rows = bold(bench, NARROW);
    let rows = rows.into_iter().take(usize::from(NARROW.height) - 3);
    let above = rows
        .skip(1)
        .take_while(|runs| !runs.iter().any(|(_, run)| run.trim() == "Signs"));
    let at_the_left = above.flatten().filter(|(column, _)| *column == 0);
    // A heading is in bold to the end of its line.
    let keys = at_the_left.filter(|(_, run)| run.chars().count() < usize::from(NARROW.width));
    // Whether there is more to read, the page itself says.
    keys.flat_map(|(_, run)| named(&run))
        .filter(|name| name != "PageDown" && name != "Down")
        // A count at the head of the sheet is no key.
        .filter(|name| !name.chars().all(|c| c.is_ascii_digit()))
        .collect()
}

/// The keys that read on, where there is more than the page shows.
fn reads_on(bench: &Bench) -> Vec<String> {
    let text = bench.text();
    let keys = [
        ("Down", "Down: more"),
        ("PageDown", "Down: more"),
        ("Up", "Up: more"),
        ("PageUp", "Up: more"),
        ("Up", "Up and Down"),
        ("PageUp", "Up and Down"),
    ];
    // While the letter of an option is waited for, arrows are not taken.
    let waits = text.contains("Cross out which?");
    let shown = keys
        .iter()
        .filter(|(key, line)| text.contains(line) && !(waits && ["Down", "Up"].contains(key)));
    shown.map(|(key, _)| (*key).to_owned()).collect()
}

/// A page, how the sitting is, and what the page says to a key.
type Effect = (String, String, String);

fn effect(bench: &Bench) -> Effect {
    let sitting = format!("{:?} {:?}", bench.sitting, bench.asked);
    (page(bench), sitting, bench.message())
}

fn after(page: &Bench, key: Key) -> Effect {
    let mut bench = page.clone();
    if let Some(event) = event(key) {
        bench.press(event);
    }
    effect(&bench)
}

/// The page without its message line.
fn page(bench: &Bench) -> String {
    let text = bench.text();
    let lines: Vec<&str> = text.split('\n').collect();
    let message = lines.len() - 3;
    let others = lines.iter().enumerate().filter(|(row, _)| *row != message);
    let others: Vec<&str> = others.map(|(_, line)| *line).collect();
    others.join("\n")
}

/// Whether a key did more than to say that it does nothing.
fn works(before: &Effect, after: &Effect) -> bool {
    let (shown, sitting, message) = after;
    let unsaid = message.is_empty() || *message == before.2;
    let quiet = unsaid || NOTHING.iter().any(|nothing| message.contains(nothing));
    *shown != before.0 || *sitting != before.1 || !quiet
}

/// Question 4, too long for the page, is answered; 2 has a flag, the others are blank.
fn running() -> Bench {
    let mut bench = Bench::with(|header| header.arrangements.rest_breaks = true);
    bench.keys("2<enter><tab>4<enter>b");
    bench
}

fn then(mut bench: Bench, keys: &str) -> Bench {
    bench.keys(keys);
    bench
}

/// Questions 1 and 2 are guessed, 2 is open.
fn guessing() -> Bench {
    let mut bench = Bench::new();
    bench.at(3600).keys("g<enter>ab");
    bench.keys("<left>");
    bench
}

fn late() -> Bench {
    let mut bench = Bench::new();
    bench.at(3600).keys("<esc>");
    bench
}

fn full() -> Bench {
    let mut bench = Bench::new();
    for _ in 1..=25 {
        bench.keys("aa<right>");
    }
    bench.at(3600).keys("x");
    bench
}

const fn case(name: &'static str, make: fn() -> Bench) -> Case {
    Case {
        name,
        make,
        alike: &[],
        others: None,
        below: None,
        idle: &[],
    }
}

/// What is wrong with the keys of a page.
fn wrong_keys(case: &Case) -> Vec<String> {
    let mut wrong = Vec::new();
    let own = (case.make)();
    let below = case.below.map(|below| below());
    let foot = at_the_foot(&mut own.clone());
    assert!(!foot.is_empty(), "{}", case.name);
    let mut named = foot;
    named.extend(reads_on(&own));
    if !case.name.contains("help") {
        named.extend(listed(&mut own.clone()));
    }
    let mut helped = own.clone();
    if named.iter().any(|name| name == "F1") && !case.name.contains("menu") {
        helped.keys("<f1>");
        named.extend(listed(&mut helped));
    }
    let before = effect(&own);
    for key in keyboard() {
        if EVERYWHERE.contains(&key) || event(key).is_none() {
            continue;
        }
        let is_named = |key: Key| named.iter().any(|name| names(name, key));
        let mut alike = case.alike.iter().chain(&ALIKE);
        let alike = alike.find(|(own, other)| *own == key && is_named(*other));
        let name = case.name;
        let effect = after(&own, key);
        let works = works(&before, &effect);
        if is_named(key) {
            if !works && !case.idle.contains(&key) {
                wrong.push(format!("{name}: {key} is named and does nothing"));
            }
        } else if let Some((_, other)) = alike {
            if effect != after(&own, *other) {
                wrong.push(format!("{name}: {key} is not {other}"));
            }
        } else if works {
            let other = case.others.map(|other| after(&own, other));
            let below = below.as_ref().map(|below| after(below, key));
            if other.as_ref() != Some(&effect) && below.as_ref() != Some(&effect) {
                wrong.push(format!("{name}: {key} works and is not named"));
            }
        }
    }
    wrong
}

#[test]
fn every_key_that_works_is_named_and_no_other_works() {
    const CLOSES: &[(Key, Key)] = &[(Key::Enter, Key::Esc)];
    const CLOSES_HELP: &[(Key, Key)] = &[
        (Key::Enter, Key::Esc),
        (Key::F(1), Key::Esc),
        (Key::Char('?'), Key::Esc),
    ];
    let cases = [
        case("running", running),
        Case {
            idle: &[Key::End],
            ..case("last question", || then(running(), "<end>a"))
        },
        Case {
            below: Some(running),
            ..case("number", || then(running(), "12"))
        },
        Case {
            alike: CLOSES_HELP,
            ..case("help", || then(running(), "<f1>"))
        },
        Case {
            alike: CLOSES,
            ..case("menu", || then(running(), "<esc>"))
        },
        case("finish", || then(running(), "<esc>f")),
        Case {
            others: Some(Key::Esc),
            ..case("finish, second step", || then(running(), "<esc>fy"))
        },
        case("give up", || then(running(), "<esc>q")),
        case("rest break", || then(running(), "<esc>b")),
        case("time up", late),
        Case {
            others: Some(Key::Esc),
            ..case("time up, guess?", || then(late(), "g"))
        },
        Case {
            others: Some(Key::Esc),
            ..case("time up, finish?", || then(late(), "f"))
        },
        case("time up, no blank", full),
        case("guess round", guessing),
        case("asked whether to fill", || then(guessing(), "*")),
        case("asked whether to leave", || then(running(), "<esc>l")),
        case("sweep", || then(running(), "!ab")),
        Case {
            alike: &[
                (Key::Enter, Key::Esc),
                (Key::Backspace, Key::Esc),
                (Key::Char(','), Key::Esc),
            ],
            ..case("crossing out", || then(running(), ","))
        },
        Case {
            alike: &[(Key::Enter, Key::Esc), (Key::Char('='), Key::Esc)],
            ..case("at a glance", || then(running(), "="))
        },
        case("a number at a glance", || then(running(), "=1")),
        Case {
            alike: CLOSES,
            ..case("guess menu", || then(guessing(), "<esc>"))
        },
        case("guess check", || then(guessing(), "<esc>f")),
    ];
    let (first, second) = cases.split_at(cases.len() / 2);
    let wrong: Vec<String> = thread::scope(|scope| {
        let half = scope.spawn(|| first.iter().flat_map(wrong_keys).collect::<Vec<_>>());
        let rest: Vec<_> = second.iter().flat_map(wrong_keys).collect();
        half.join().unwrap().into_iter().chain(rest).collect()
    });
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

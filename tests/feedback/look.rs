//! Contrast, size and spacing, read out of the page's own style sheet.
#![expect(
    clippy::string_slice,
    reason = "cuts at ASCII signs that were just found"
)]

use std::collections::BTreeMap;

use pacebell::reports::document::style::{COLOURS, Role};

use crate::sittings;

/// Relative luminance (WCAG 2.2, definition of "relative luminance").
fn luminance(hex: &str) -> f64 {
    let channel = |at: usize| {
        let value = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
        if value <= 0.04045 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
}

/// Contrast ratio (WCAG 2.2, definition of "contrast ratio").
fn contrast(one: &str, other: &str) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// The sets of colours that the page sets, in order: light, dark, printed.
fn sets(page: &str) -> Vec<BTreeMap<String, String>> {
    let sets = page.split(":root{").skip(1);
    let set = |text: &str| {
        let inside = text.split('}').next().unwrap();
        let each = inside.split(';').filter_map(|one| {
            let (name, value) = one.split_once(':')?;
            Some((name.trim_start_matches("--").to_owned(), value.to_owned()))
        });
        each.collect()
    };
    sets.map(set).collect()
}

/// WCAG 2.2: 1.4.3 asks 4.5:1 of text, 1.4.11 asks 3:1 of what carries a meaning.
#[test]
fn every_text_and_every_shape_stands_out_from_every_ground() {
    let page = sittings::in_time().page();
    let sets = sets(&page);
    assert_eq!(sets.len(), 3);
    let named = |role| COLOURS.iter().filter(move |colour| colour.role == role);
    for set in &sets {
        for ground in named(Role::Ground) {
            for (role, least) in [(Role::Text, 4.5), (Role::Shape, 3.0)] {
                for colour in named(role) {
                    let found = contrast(&set[colour.name], &set[ground.name]);
                    assert!(
                        found >= least,
                        "{} on {}: {found:.2}",
                        colour.name,
                        ground.name
                    );
                }
            }
        }
    }
}

/// WCAG's own end points: black on white is 21:1, a colour on itself 1:1.
#[test]
fn contrast_has_its_known_ends() {
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    assert!((contrast("#767676", "#ffffff") - 4.54).abs() < 0.01); // from memory: the lightest grey that passes
    assert!((contrast("#123456", "#123456") - 1.0).abs() < 1e-9);
}

/// Text is drawn in a text colour only: in the page's rules and in its pictures.
#[test]
fn no_text_takes_the_colour_of_a_shape() {
    let page = sittings::in_time().page();
    let style = page
        .split("<style>")
        .nth(1)
        .unwrap()
        .split("</style>")
        .next()
        .unwrap();
    let text = |name: &str| {
        COLOURS
            .iter()
            .any(|c| c.name == name && c.role == Role::Text)
    };
    let used = style.split("color:var(--").skip(1);
    let used: Vec<_> = used.filter_map(|rest| rest.split(')').next()).collect();
    assert!(used.len() >= 3);
    assert!(used.iter().all(|name| text(name)), "{used:?}");
    let svg_text = style
        .lines()
        .find(|line| line.starts_with("text{"))
        .unwrap();
    assert!(svg_text.contains("fill:var(--ink)"));
}

#[test]
fn letters_are_twelve_points_and_more_and_nothing_leans_or_shouts() {
    let page = sittings::in_time().page();
    let style = page
        .split("<style>")
        .nth(1)
        .unwrap()
        .split("</style>")
        .next()
        .unwrap();
    for word in [
        "italic",
        "underline",
        "uppercase",
        "small-caps",
        "justify",
        "animation",
        "transition",
        "blink",
    ] {
        assert!(!style.contains(word), "{word}");
    }
    // 1rem is 12 points in print and a reader's own size, usually 16 pixels, on a screen.
    assert!(style.contains("font:1rem/1.5 Arial") && style.contains("html{font-size:12pt}"));
    let sizes = style.split("font-size:").skip(1);
    for size in sizes.filter_map(|rest| rest.split([';', '}']).next()) {
        let large = match size.strip_suffix("rem") {
            Some(rem) => rem.parse::<f64>().unwrap() >= 1.0,
            None => size == "12pt",
        };
        assert!(large, "{size}");
    }
}

#[test]
fn right_wrong_and_blank_are_told_without_any_colour() {
    let page = sittings::in_time().page();
    for word in ["right", "wrong", "blank"] {
        assert!(page.contains(&format!("class=\"sign-{word}\"")), "{word}");
        assert!(page.contains(&format!(">{word}</text>")), "{word}");
    }
}

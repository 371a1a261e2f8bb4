//! The page as markup: well formed, closed in itself, the same every time.

use crate::markup::well_formed;
use crate::sittings;

#[test]
fn every_page_is_well_formed() {
    for (name, made) in sittings::all() {
        assert_eq!(well_formed(&made.page()), Ok(()), "{name}");
    }
}

#[test]
fn the_reader_of_these_tests_sees_what_is_wrong() {
    let page = |inside: &str| format!("<!DOCTYPE html><p id=\"a\">{inside}</p>");
    assert_eq!(well_formed(&page("<b>x</b> &amp; y")), Ok(()));
    for wrong in ["<b>x", "</b>", "a & b", "<b id=\"a\">x</b>", "<b c>x</b>"] {
        assert!(well_formed(&page(wrong)).is_err(), "{wrong}");
    }
}

#[test]
fn a_page_stands_alone() {
    for (name, made) in sittings::all() {
        let page = made.page();
        let held = [
            "http",
            "<script",
            "src=",
            "url(",
            "@import",
            "<link",
            "<iframe",
            "<img",
            "onload",
            "javascript:",
        ];
        for word in held {
            assert!(!page.contains(word), "{name}: {word}");
        }
        assert!(page.contains("<html lang=\"en\">") && page.contains("<meta charset=\"utf-8\">"));
    }
}

#[test]
fn the_same_sitting_gives_the_same_bytes() {
    for (name, made) in sittings::all() {
        assert_eq!(made.page(), made.page(), "{name}");
    }
}

#[test]
fn every_picture_has_its_words() {
    for (name, made) in sittings::all() {
        let page = made.page();
        for picture in page.split("<svg ").skip(1) {
            let picture = picture.split("</svg>").next().unwrap();
            assert!(picture.contains("role=\"img\""), "{name}");
            assert!(picture.contains("<title id="), "{name}");
            assert!(picture.contains("<desc id="), "{name}");
        }
    }
    let page = sittings::in_time().page();
    assert_eq!(page.matches("<svg ").count(), 3);
    assert!(page.contains("Question 8: wrong, 8 min 10 s."));
    assert!(page.contains("Line at 54 for dunlin."));
}

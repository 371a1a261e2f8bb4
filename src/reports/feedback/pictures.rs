//! Pictures as inline SVG, each with its words for those who do not see it.
//!
//! One unit is one pixel at the page's own size, so that letters in a picture are as large as those
//! around it. Numbers are written with one decimal at most: the same sitting gives the same bytes.

pub mod bars;
pub mod curve;

use maud::{Markup, html};

/// A number as a picture writes it.
pub fn n(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    // No `-0`.
    let tenths = if tenths == 0.0 { 0.0 } else { tenths };
    format!("{tenths}")
}

/// The frame of a picture: its size, its title and its description.
pub fn frame(
    id: &str,
    size: (f64, f64),
    title: &str,
    description: &str,
    inside: &Markup,
) -> Markup {
    let (width, height) = (n(size.0), n(size.1));
    let title_id = format!("{id}-title");
    let description_id = format!("{id}-words");
    html! {
        svg viewBox=(format!("0 0 {width} {height}")) width=(width) height=(height) role="img"
            aria-labelledby=(title_id) aria-describedby=(description_id) {
            title id=(title_id) { (title) }
            desc id=(description_id) { (description) }
            (inside)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_one_decimal_at_most() {
        for (value, written) in [(1.0, "1"), (1.25, "1.3"), (-0.01, "0"), (12.04, "12")] {
            assert_eq!(n(value), written);
        }
    }

    #[test]
    fn a_frame_names_its_words() {
        let drawn = frame("f", (10.0, 5.5), "<t>", "a & b", &html! { g {} }).into_string();
        assert_eq!(
            drawn,
            "<svg viewBox=\"0 0 10 5.5\" width=\"10\" height=\"5.5\" role=\"img\" \
             aria-labelledby=\"f-title\" aria-describedby=\"f-words\">\
             <title id=\"f-title\">&lt;t&gt;</title><desc id=\"f-words\">a &amp; b</desc><g></g></svg>"
        );
    }
}

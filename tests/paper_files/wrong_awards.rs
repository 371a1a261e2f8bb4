//! What can be wrong with awards and earlier years' boundaries.

use crate::wrong_papers::check;

#[test]
fn awards_and_earlier_years() {
    check(&[
        (
            "boundary: \"25/2\"",
            "boundary: «6",
            &[
                "award 2, boundary: the boundary 6 isn't above 6, the one for \"shell\"; write the lowest award first, each boundary above the one before",
            ],
        ),
        (
            "boundary: \"25/2\"",
            "boundary: «5.5",
            &[
                "award 2, boundary: the boundary 5.5 isn't above 6, the one for \"shell\"; write the lowest award first, each boundary above the one before",
            ],
        ),
        (
            "boundary: \"25/2\"",
            "boundary: «16",
            &[
                "award 2, boundary: the boundary 16 is above 15.5, the paper's highest mark; lower it, or correct the rule",
            ],
        ),
        (
            "boundary: 6",
            "boundary: «-1",
            &["award 1, boundary: the boundary -1 is below 0; write 0 or more"],
        ),
        (
            "boundary: 6",
            "boundary: «\"six\"",
            &[
                "award 1, boundary: `six` isn't a number of marks: write a whole number, a decimal or a fraction, such as 4, -1, 1.5, \"1/4\" or \"12 1/3\", up to 1000000",
            ],
        ),
        (
            "name: \"pearl\", boundary: \"25/2\")],",
            "name: \"pearl\", boundary: \"25/2\"), (name: «\"shell\", boundary: 13)],",
            &["award 3, name: there are two awards named \"shell\"; give each its own name"],
        ),
        (
            "\"pearl\": 12",
            "\"perl\": «12",
            &[
                "past year 1, boundaries, perl: the paper has no award \"perl\"; use one of shell, pearl",
            ],
        ),
        (
            "\"pearl\": 12",
            "\"pearl\": «5",
            &[
                "past year 1, boundaries, pearl: in 2025 the boundary 5 isn't above 5, the one for \"shell\"; keep the order of the awards",
            ],
        ),
        (
            "\"shell\": 5}",
            "\"shell\": «-5}",
            &["past year 1, boundaries, shell: the boundary -5 is below 0; write 0 or more"],
        ),
        (
            "\"shell\": 5})",
            "\"shell\": 5}), (year: «2025, boundaries: {})",
            &["past year 2, year: the year 2025 is there twice; keep one of the two"],
        ),
        (
            "\"pearl\": 12",
            "\"pearl\": 11, «\"pearl\": 12",
            &["past year 1, boundaries, pearl: this is there twice; keep one of the two"],
        ),
        (
            "awards: [(name: \"shell\", boundary: 6), (name: \"pearl\", boundary: \"25/2\")],\n    past: [(year: 2025, boundaries: {\"pearl\": 12, \"shell\": 5})]",
            "past: [(year: 2025, boundaries: {\"pearl\": «12})]",
            &[
                "past year 1, boundaries, pearl: the paper has no award \"pearl\"; list its awards in the field `awards`",
            ],
        ),
    ]);
}

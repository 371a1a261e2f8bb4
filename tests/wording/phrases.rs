//! Phrases that sound translated or old, and words for an act that has another one.
//!
//! A phrase is a row of words; `a/b` is either, `!a` before or behind is a word that spares it, `#` is a
//! number without a fraction, `.` the end of a clause.

use crate::text::tokens;

/// Phrases to avoid, each with what to write.
pub(crate) const PHRASES: &[(&str, &str)] = &[
    (
        "!there/where/what is/was no/none !longer/more/less",
        "can't be, isn't, there's no",
    ),
    ("held/hold against", "compared with, checked with"),
    ("!there/where are/were none", "there aren't any"),
    ("stands/stood !for/out", "is, comes"),
    ("stand above/beside/under/over", "comes first, is next to"),
    ("mend/mends/mended/mending", "put right, fix"),
    ("come/comes/came/coming by !itself", "earn, get"),
    ("taken/took up", "carry on with"),
    ("take up an/a/it/the", "carry on with"),
    ("go/goes/gone/going/went on with", "carry on with"),
    ("at hand", "here, available"),
    ("what came/comes/become/became of", "past sittings, result"),
    ("in all .", "altogether"),
    ("in all of", "altogether"),
    ("asks/asked for no", "don't need"),
    ("no mark/marks is/are asked", "won't be marked"),
    ("shall", "should, will"),
    ("!at hand/hands/handed/handing in", "finish"),
    ("handing-in", "finishing"),
    ("end/ends/ended/ending early", "finish"),
    (
        "!before/after/when/until/moment/once time is up",
        "time's up",
    ),
    ("well worked", "well done"),
    ("no news", "means little"),
    ("the bell", "time's up"),
    ("# %", "25%"),
    ("# per cent", "25%"),
    ("# of a mark", "about 7.6 marks"),
    ("of a group of", "of 12"),
    ("people ( n )", "people"),
    ("# minutes # seconds", "2 min 24 s"),
    ("clock runs/ran", "the clock is running, keeps running"),
    ("took no notice", "is not affected"),
    ("has/have something to", "there's a problem in"),
    ("the hour says/went", "your time"),
    ("key/keys lie/lies", "is, are"),
    ("lies ahead", "in the future"),
    ("still undone", "left to do"),
    ("enough for it", "to reach it"),
    ("as good as it gets", "you can't do better than that"),
    ("has/have he/she", "does he have"),
    ("!all the way round", "perimeter, distance round"),
    ("cannot read it", "that's a folder, can't be read"),
    ("nobody can set", "the computer's clock"),
    ("when to be where", "which question to reach by when"),
    ("holds everything", "checks everything"),
    ("on it is/was", "say it straight"),
    ("nought/noughts", "zero"),
    ("anew", "again"),
    (
        "whence/thereof/hereby/herein/whereof/thus/hence",
        "everyday words",
    ),
    (
        "gray/color/colors/center/favorite/behavior/organizer/math",
        "British spelling",
    ),
    (
        "recognize/recognized/organize/organized/analyze/analyzed",
        "British spelling",
    ),
];

/// Whether a token fits a part of a phrase.
fn fits(token: Option<&str>, part: &str) -> bool {
    match (part, token) {
        (".", None) => true,
        (".", Some(token)) => token.chars().all(|c| !c.is_alphanumeric() && c != '%'),
        ("#", Some(token)) => {
            token.starts_with(|c: char| c.is_ascii_digit()) && !token.contains(['/', '%', ':'])
        }
        (_, Some(token)) => part.split('/').any(|one| one == token),
        (_, None) => false,
    }
}

/// Where a phrase begins in the tokens of a text.
fn places(phrase: &str, found: &[String]) -> Vec<usize> {
    let (spares, parts): (Vec<_>, Vec<_>) = (0..)
        .zip(phrase.split(' '))
        .partition(|(_, part)| part.starts_with('!'));
    let before = usize::from(phrase.starts_with('!'));
    let at = |place: Option<usize>| place.and_then(|at| found.get(at)).map(String::as_str);
    let is_here = |start: &usize| {
        let token = |step: usize| at((start + step).checked_sub(before));
        let mut spares = spares.iter();
        parts.iter().all(|(step, part)| fits(token(*step), part))
            && !spares.any(|(step, part)| fits(token(*step), part.trim_start_matches('!')))
    };
    (0..found.len()).filter(is_here).collect()
}

/// The phrases of a text, each with what is around it.
pub(crate) fn phrases(text: &str) -> Vec<(&'static str, String)> {
    let found = tokens(text);
    let around = |at: &usize| found[at.saturating_sub(5)..found.len().min(at + 8)].join(" ");
    PHRASES
        .iter()
        .flat_map(|(phrase, _)| {
            places(phrase, &found)
                .into_iter()
                .map(|at| (*phrase, around(&at)))
        })
        .collect()
}

#[test]
fn each_phrase_bites_and_spares_its_neighbours() {
    for (text, times) in [
        ("z is no option here: A to E.", 1),
        ("There is no key. Where there is none, ask.", 0),
        ("our current rules stand above this program", 1),
        ("Six birds stand in a row.", 0),
        ("the clock stood; a thing to mend", 2),
        ("12 in all, and so in all three sections", 1),
        ("no mark is asked for", 1),
        ("You have handed in. Time is up.", 2),
        ("Time's up. Hand it in before time is up.", 0),
        ("It is no longer at hand in this file", 1),
        (
            "no sign stands for it, nothing stands out, a star stands here",
            1,
        ),
        ("25 % or 0 %; 25% or %Y %B", 2),
        ("7.60 of a mark, 1/3 of a mark", 1),
        ("of a group of 12 people (n)", 2),
        ("Is a directory (os error)", 0),
        ("A shallow recommendation", 0),
    ] {
        assert_eq!(phrases(text).len(), times, "{text}: {:?}", phrases(text));
    }
}

//! How old a reader has to be.
//!
//! The Flesch-Kincaid grade (Kincaid, Fishburne, Rogers and Chissom, 1975, Navy Research Branch
//! Report 8-75; its three constants are written from memory): 0.39 × words per sentence +
//! 11.8 × syllables per word - 15.59. A grade is a school year, which begins five years after birth.

use crate::text::{is_whole, sentences, words};

/// What is counted of a text; captions and parts of sentences are left out, which would make it look easier.
#[derive(Default, Clone, Copy)]
pub(crate) struct Counts {
    pub(crate) sentences: u32,
    pub(crate) words: u32,
    pub(crate) syllables: u32,
}

impl Counts {
    pub(crate) fn of<'a>(texts: impl IntoIterator<Item = &'a str>) -> Self {
        let whole = texts.into_iter().flat_map(sentences);
        let mut all = Self::default();
        for sentence in whole.filter(|sentence| is_whole(sentence)) {
            all.sentences += 1;
            for word in words(&sentence) {
                all.words += 1;
                all.syllables += syllables(&word);
            }
        }
        all
    }

    /// In years; of no sentence there is none.
    pub(crate) fn reading_age(self) -> Option<f64> {
        let [sentences, words, syllables] =
            [self.sentences, self.words, self.syllables].map(f64::from);
        let grade = 0.39 * words / sentences + 11.8 * syllables / words - 15.59;
        (self.sentences > 0).then_some(grade + 5.0)
    }
}

fn is_vowel(c: char) -> bool {
    "aeiouyéè".contains(c)
}

/// Syllables by the runs of vowels; numbers, letters and signs have one.
pub(crate) fn syllables(word: &str) -> u32 {
    let word = word.to_lowercase();
    word.split(['-', '/', '’']).map(of_part).sum::<u32>().max(1)
}

fn of_part(part: &str) -> u32 {
    let letters: Vec<char> = part.chars().filter(|c| c.is_alphabetic()).collect();
    let pairs = letters
        .iter()
        .enumerate()
        .map(|(at, c)| (at.checked_sub(1).map(|at| letters[at]), *c));
    let starts = pairs.filter(|(before, c)| is_vowel(*c) && !before.is_some_and(is_vowel));
    let runs = u32::try_from(starts.count()).unwrap();
    let parted =
        u32::try_from(letters.windows(3).filter(|three| are_apart(three)).count()).unwrap();
    (runs + parted)
        .saturating_sub(u32::from(has_silent_end(&letters)))
        .max(u32::from(!part.is_empty()))
}

/// Whether two vowels side by side are spoken apart: `going`, `triangle`, `usual`, not `question`, `special`, `equal`.
fn are_apart(three: &[char]) -> bool {
    match three {
        [before, 'i', 'n'] => "oyu".contains(*before),
        [before, 'i', 'a'] => !"tcsgx".contains(*before),
        [before, 'u', 'a'] => !"qg".contains(*before),
        _ => false,
    }
}

/// Whether the last run of vowels is an `e` that is not spoken: `time`, `times`, `tried`, not `table`, `passes`, `started`.
fn has_silent_end(letters: &[char]) -> bool {
    let is_spoken = match letters {
        [.., a, 'l', 'e'] | [.., a, 'l', 'e', 's'] => !is_vowel(*a),
        [.., a, 'e'] => is_vowel(*a),
        [.., a, 'e', 'd'] => is_vowel(*a) || "td".contains(*a),
        [.., 'c' | 's', 'h', 'e', 's'] => true,
        [.., a, 'e', 's'] => is_vowel(*a) || "sxzcg".contains(*a),
        _ => true,
    };
    !is_spoken
}

#[test]
fn syllables_are_those_counted_by_hand_but_for_few() {
    let by_hand = [
        ("question", 2),
        ("answer", 2),
        ("minutes", 2),
        ("mark", 1),
        ("marks", 1),
        ("time", 1),
        ("times", 1),
        ("table", 2),
        ("paper", 2),
        ("section", 2),
        ("practice", 2),
        ("official", 3),
        ("result", 2),
        ("organiser", 4),
        ("rules", 1),
        ("always", 2),
        ("computer", 3),
        ("asleep", 2),
        ("continue", 3),
        ("started", 2),
        ("finished", 2),
        ("passed", 1),
        ("choose", 1),
        ("letter", 2),
        ("guessed", 1),
        ("guesses", 2),
        ("area", 3),
        ("triangle", 3),
        ("rectangle", 3),
        ("perimeter", 4),
        ("altogether", 4),
        ("different", 3),
        ("people", 2),
        ("colours", 2),
        ("beside", 2),
        ("every", 2),
        ("quiet", 2),
        ("being", 2),
        ("science", 2),
        ("usually", 4),
        ("you're", 1),
        ("can't", 1),
        ("going", 2),
        ("tried", 1),
        ("boundary", 3),
        ("whole", 1),
        ("already", 3),
        ("evening", 2),
        ("saved", 1),
        ("reminder", 3),
    ];
    assert_eq!(by_hand.len(), 50);
    let told: u32 = by_hand.iter().map(|(word, _)| syllables(word)).sum();
    let true_sum: u32 = by_hand.iter().map(|(_, count)| count).sum();
    let wrong: Vec<_> = by_hand
        .iter()
        .filter(|(word, count)| syllables(word) != *count)
        .map(|(word, _)| *word)
        .collect();
    assert_eq!(
        wrong,
        ["area", "every", "quiet", "being", "science", "evening"]
    );
    assert_eq!((told, true_sum), (103, 105));
}

#[test]
fn a_text_counted_by_hand_has_its_age() {
    // 2 sentences, 9 words, 11 syllables: 0.39 × 4.5 + 11.8 × 11 / 9 - 15.59 + 5.
    let counts = Counts::of(["Put a flag on it. Questions 3 and 20 can wait. Marks in time"]);
    assert_eq!(
        (counts.sentences, counts.words, counts.syllables),
        (2, 11, 12)
    );
    assert!(Counts::of(["Marks in time"]).reading_age().is_none());
}

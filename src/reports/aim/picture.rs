//! The picture of an aim: right answers of the first section across, of the second up, and the
//! boundary lines through it.

use super::aimed::Aimed;
use crate::domain::mark::Mark;
use crate::domain::rule::{Rule, Section};
use crate::odds::aim::{mark_with, size};
use crate::reports::text::COLUMNS;
use crate::words::aim as words;
use crate::words::numbers::plain;
use crate::words::text::{cut, wrap_whole};

/// The most cells across at three columns each, and at two.
const WIDE: usize = 24;
const NARROW: usize = 36;
/// The most rows.
const ROWS: usize = 21;
/// The sign of the mark aimed at.
const AIM: char = '#';

/// A boundary and the letter for it.
struct BoundaryLine {
    name: String,
    mark: Mark,
    letter: char,
}

/// What is drawn: how far each axis goes and in which steps.
struct AimPicture<'a> {
    rule: &'a Rule,
    lines: Vec<BoundaryLine>,
    aim: Mark,
    others: &'a [usize],
    across: RightAnswers,
    up: RightAnswers,
}

/// Right answers along one side.
struct RightAnswers {
    last: usize,
    step: usize,
}

impl RightAnswers {
    fn new(section: Option<&Section>, most: usize) -> Self {
        let last = section.map_or(0, size);
        Self {
            last,
            step: last.div_ceil(most).max(1),
        }
    }

    fn cells(&self) -> impl DoubleEndedIterator<Item = usize> + use<> {
        let step = self.step;
        (0..=self.last / step).map(move |cell| cell * step)
    }
}

/// The picture, with what it shows above and its signs below.
pub(super) fn picture(aimed: &Aimed<'_>) -> Vec<String> {
    let rule = &aimed.outline.rule;
    let mut sections = rule.sections.iter();
    let (first, second) = (sections.next(), sections.next());
    let picture = AimPicture {
        rule,
        lines: lines(aimed),
        aim: aimed.needed.mark,
        others: aimed.others,
        across: RightAnswers::new(first, NARROW),
        up: RightAnswers::new(second, ROWS - 1),
    };
    let name = |section: Option<&Section>| section.map(|s| cut(&s.name, 20)).unwrap_or_default();
    let mut drawn = wrap_whole(
        &title(aimed, &name(first), second.map(|_| name(second))),
        COLUMNS,
    );
    drawn.extend(
        picture
            .up
            .cells()
            .rev()
            .map(|up| picture.row(up, second.is_some())),
    );
    drawn.extend(picture.scale(&name(first)));
    drawn.extend(wrap_whole(&picture.signs(), COLUMNS));
    drawn
}

/// The awards, lowest first; a letter is the first of the name, or a number where two would share it.
fn lines(aimed: &Aimed<'_>) -> Vec<BoundaryLine> {
    let awards = &aimed.outline.awards;
    let first = |name: &str| {
        name.chars()
            .next()
            .filter(char::is_ascii_alphabetic)
            .map(|c| c.to_ascii_uppercase())
    };
    let letters: Vec<_> = awards.iter().map(|award| first(&award.name)).collect();
    let alone =
        |letter: &Option<char>| letters.iter().filter(|other| *other == letter).count() == 1;
    let all_alone = letters
        .iter()
        .all(|letter| letter.is_some() && alone(letter));
    let numbered =
        |index: usize| char::from_digit(u32::try_from(index + 1).unwrap_or(0), 10).unwrap_or('+');
    let line = |(index, award): (usize, &crate::domain::paper::Award)| BoundaryLine {
        name: cut(&award.name, 20),
        mark: award.boundary,
        letter: letters
            .get(index)
            .copied()
            .flatten()
            .filter(|_| all_alone)
            .unwrap_or_else(|| numbered(index)),
    };
    awards.iter().enumerate().map(line).collect()
}

fn title(aimed: &Aimed<'_>, first: &str, second: Option<String>) -> String {
    let Some(second) = second else {
        return words::picture_of_one(first);
    };
    let others = aimed.outline.rule.sections.iter().skip(2).zip(aimed.others);
    let others = others.map(|(section, right)| (*right, cut(&section.name, 20)));
    words::picture_of_two(first, &second, &others.collect::<Vec<_>>())
}

impl AimPicture<'_> {
    fn width(&self) -> usize {
        if self.across.step == 1 && self.across.last < WIDE {
            3
        } else {
            2
        }
    }

    fn mark(&self, across: usize, up: usize) -> Mark {
        let right: Vec<_> = [across, up].iter().chain(self.others).copied().collect();
        // With one section there is no second to count.
        let sections = self.rule.sections.len();
        mark_with(self.rule, right.get(..sections).unwrap_or(&right))
    }

    fn row(&self, up: usize, with_scale: bool) -> String {
        let scale = if with_scale {
            up.to_string()
        } else {
            String::new()
        };
        let width = self.width();
        let cells = self
            .across
            .cells()
            .map(|across| format!("{:>width$}", self.sign(across, up)));
        format!("{scale:>4} |{}", cells.collect::<String>())
    }

    /// The aim's sign on its line; else the best award reached, a capital on the award's own line.
    fn sign(&self, across: usize, up: usize) -> char {
        if self.on_line(self.aim, across, up) {
            return AIM;
        }
        let mark = self.mark(across, up);
        let reached = self.lines.iter().rfind(|line| mark >= line.mark);
        match reached {
            Some(line) if self.on_line(line.mark, across, up) => line.letter,
            Some(line) => line.letter.to_ascii_lowercase(),
            None if self.lines.is_empty() && mark >= self.aim => '^',
            None => '.',
        }
    }

    /// Whether a mark is reached here, and not one cell to the left or below.
    fn on_line(&self, line: Mark, across: usize, up: usize) -> bool {
        let left = across
            .checked_sub(self.across.step)
            .map(|across| self.mark(across, up));
        let below = up.checked_sub(self.up.step).map(|up| self.mark(across, up));
        let short = |mark: Option<Mark>| mark.is_some_and(|mark| mark < line);
        self.mark(across, up) >= line && (short(left) || short(below))
    }

    fn scale(&self, first: &str) -> Vec<String> {
        let width = self.width();
        let cells = self.across.cells().count();
        let line = format!("     +{}", "-".repeat(cells * width));
        let mut numbers = String::from("      ");
        for (index, across) in self.across.cells().enumerate() {
            let end = 6 + (index + 1) * width;
            let shown = width == 3 || index % 5 == 0;
            let text = if shown {
                across.to_string()
            } else {
                String::new()
            };
            let space = end.saturating_sub(numbers.chars().count());
            let cell = format!("{text:>space$}");
            numbers.push_str(&cell);
        }
        vec![
            line,
            numbers.trim_end().to_owned(),
            format!("      right in {first}"),
        ]
    }

    fn signs(&self) -> String {
        let mut signs = vec![format!("{AIM} {}", words::the_aim(self.aim))];
        let lines = self.lines.iter().filter(|line| line.mark != self.aim);
        signs.extend(
            lines.map(|line| format!("{} {} {}", line.letter, line.name, plain(line.mark))),
        );
        let beyond = self.lines.iter().find(|line| line.mark == self.aim);
        if let Some(line) = beyond {
            signs.push(format!(
                "{} {}",
                line.letter.to_ascii_lowercase(),
                line.name
            ));
        }
        if self.lines.is_empty() {
            signs.push("^ above it".into());
        }
        signs.push(". below".into());
        let signs = signs.join(", ");
        if self.lines.is_empty() {
            format!("{signs}.")
        } else {
            format!("{signs}. {}", words::CAPITALS)
        }
    }
}

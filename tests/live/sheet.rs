//! The answer sheet as the screen shows it.

use std::collections::BTreeMap;

/// One row of the sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Row {
    /// The option filled in.
    pub(crate) chosen: Option<char>,
    /// The signs behind the options: how it was come by, a flag, not saved yet.
    pub(crate) signs: String,
    /// Whether the keys act on it.
    pub(crate) open: bool,
    /// Its state's sign.
    pub(crate) state: char,
}

impl Row {
    /// Whether the page says that the answer is on the disk.
    pub(crate) fn is_saved(&self) -> bool {
        !self.signs.contains('\'')
    }
}

/// The rows in sight.
pub(crate) fn rows(screen: &str) -> BTreeMap<u16, Row> {
    screen.lines().filter_map(row).collect()
}

/// `> 5 +  A  B  C  D [E]   F  │Question 5`.
fn row(line: &str) -> Option<(u16, Row)> {
    let (row, _question) = line.split_once('│')?;
    let open = row.starts_with('>');
    let row = row.trim_start_matches('>').trim_start();
    let (number, row) = row.split_once(' ')?;
    let mut rest = row.chars();
    let state = rest.next().filter(|state| " o+~".contains(*state))?;
    let options: String = rest.by_ref().skip(1).take(15).collect();
    let chosen = options
        .split_once('[')
        .and_then(|(_, option)| option.chars().next());
    let signs = rest.filter(|sign| *sign != ' ').collect();
    Some((
        number.parse().ok()?,
        Row {
            chosen,
            signs,
            open,
            state,
        },
    ))
}

/// The seconds on the clock: `4:59 left`.
pub(crate) fn seconds_left(screen: &str) -> Option<u64> {
    let (before, _) = screen.lines().next()?.split_once(" left")?;
    let (minutes, seconds) = before.split_whitespace().last()?.split_once(':')?;
    Some(60 * minutes.parse::<u64>().ok()? + seconds.parse::<u64>().ok()?)
}

/// The question that is open.
pub(crate) fn open(screen: &str) -> Option<u16> {
    rows(screen)
        .into_iter()
        .find(|(_, row)| row.open)
        .map(|(number, _)| number)
}

#[test]
fn a_row_of_the_sheet_is_read_as_it_stands() {
    let screen = "otter   Paper    0:11 left   saved\n2 blank   │Q\n  1 +  A  B [C] D  E       │A\n> 5 ~  A  B  C  D [E] g F'│B\n";
    let rows = rows(screen);
    let first = Row {
        chosen: Some('C'),
        signs: String::new(),
        open: false,
        state: '+',
    };
    let fifth = Row {
        chosen: Some('E'),
        signs: "gF'".into(),
        open: true,
        state: '~',
    };
    assert_eq!(rows, BTreeMap::from([(1, first), (5, fifth)]));
    assert_eq!((seconds_left(screen), open(screen)), (Some(11), Some(5)));
}

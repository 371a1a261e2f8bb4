//! Rows of which one is chosen: with the arrows, or by letters.

use super::moves::Move;

/// The longest filter.
const LONGEST_FILTER: usize = 40;

/// Rows in their order, and which of them is chosen: always one of them, unless there is none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct List<T> {
    rows: Vec<T>,
    at: usize,
    /// Whether somebody has chosen the row; until then it is the top one.
    moved: bool,
    /// The letters typed: towards a row, or to show only the rows that have them.
    filter: String,
}

impl<T> Default for List<T> {
    fn default() -> Self {
        Self::new(Vec::new())
    }
}

impl<T> List<T> {
    /// These rows, the first of them chosen.
    pub const fn new(rows: Vec<T>) -> Self {
        Self {
            rows,
            at: 0,
            moved: false,
            filter: String::new(),
        }
    }

    /// These rows, and the one at `at` chosen.
    pub fn on(rows: Vec<T>, at: usize) -> Self {
        let at = at.min(rows.len().saturating_sub(1));
        Self {
            at,
            moved: true,
            ..Self::new(rows)
        }
    }

    /// The rows.
    pub fn rows(&self) -> &[T] {
        &self.rows
    }

    /// The place of the chosen row.
    pub const fn at(&self) -> usize {
        self.at
    }

    /// The chosen row.
    pub fn chosen(&self) -> Option<&T> {
        self.rows.get(self.at)
    }

    /// The letters typed.
    pub fn filter(&self) -> &str {
        &self.filter
    }

    /// Moves to another row; `page` rows make a page.
    pub fn go(&mut self, by: Move, page: usize) {
        self.at = by.from(self.at, self.rows.len().saturating_sub(1), page);
        self.moved = true;
    }

    /// Goes to a row that begins with what was typed; a letter that leads nowhere so begins anew
    /// with the next row down, and round, so that the same letter goes through all its rows.
    pub fn find(&mut self, c: char, name: impl Fn(&T) -> String) {
        let from = |first: usize, typed: &str| {
            let rows = self.rows.iter().enumerate();
            let mut rows = rows.cycle().skip(first).take(self.rows.len());
            rows.find(|(_, row)| name(row).to_lowercase().starts_with(typed))
                .map(|(at, _)| at)
        };
        let letter: String = c.to_lowercase().collect();
        let longer = format!("{}{letter}", self.filter);
        let (here, next) = if self.filter.is_empty() {
            (0, 0)
        } else {
            (self.at, self.at + 1)
        };
        let found = from(here, &longer)
            .map(|at| (at, longer))
            .or_else(|| from(next, &letter).map(|at| (at, letter)));
        if let Some(found) = found {
            (self.at, self.filter) = found;
            self.moved = true;
        } else {
            self.filter.clear();
        }
    }

    /// Moves to another row, and lets go of the letters typed towards one.
    pub fn walk(&mut self, by: Move, page: usize) {
        self.filter.clear();
        self.go(by, page);
    }

    /// Takes a letter into the filter; the rows that have it are still to be shown.
    pub fn type_in(&mut self, c: char) {
        if self.filter.chars().count() < LONGEST_FILTER {
            self.filter.push(c);
        }
        self.moved = false;
    }

    /// Takes the last letter of the filter away; the rows are still to be shown.
    pub fn rub_out(&mut self) {
        self.filter.pop();
        self.moved = false;
    }

    /// Takes the filter away, and says whether there was one; the rows are still to be shown.
    pub fn unfilter(&mut self) -> bool {
        let was = !self.filter.is_empty();
        self.filter.clear();
        was
    }

    /// Lets go of the chosen row, for the top one.
    pub const fn start_at_the_top(&mut self) {
        self.moved = false;
    }
}

impl<T: PartialEq> List<T> {
    /// Shows other rows: the one that somebody chose stays chosen if it is among them, else the top
    /// one is.
    pub fn show(&mut self, rows: Vec<T>) {
        let chosen = self.chosen().filter(|_| self.moved);
        let place = chosen.and_then(|chosen| rows.iter().position(|row| row == chosen));
        self.at = place.unwrap_or(0);
        self.rows = rows;
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn names(names: &[&str]) -> List<String> {
        List::new(names.iter().copied().map(String::from).collect())
    }

    #[test]
    fn letters_lead_to_the_row_that_begins_with_them() {
        let mut list = names(&["heron", "Otter", "owl", "New alias"]);
        let mut at = |letter| {
            list.find(letter, String::clone);
            list.at()
        };
        assert_eq!(at('o'), 1);
        assert_eq!(at('W'), 2);
        assert_eq!(at('n'), 3, "a new word begins");
        assert_eq!(at('z'), 3);
    }

    #[test]
    fn the_same_letter_goes_through_all_its_rows() {
        let mut list = names(&["newt", "Nightjar", "owl", "New alias"]);
        let mut at = |letter| {
            list.find(letter, String::clone);
            list.at()
        };
        assert_eq!(["n", "n", "n", "n"].map(|_| at('n')), [0, 1, 3, 0]);
        assert_eq!(at('i'), 1, "the word is longer now");
        assert_eq!(at('n'), 3);
        assert_eq!(['e', 'w', ' '].map(&mut at), [3, 3, 3]);
    }

    #[test]
    fn the_row_that_somebody_chose_stays_chosen_and_else_it_is_the_top_one() {
        let mut list = List::new(vec![3, 1]);
        list.show(vec![5, 3, 1]);
        assert_eq!(list.chosen(), Some(&5), "nobody has moved");
        list.go(Move::Down, 1);
        list.show(vec![9, 5, 3, 1]);
        assert_eq!(list.chosen(), Some(&3));
        list.show(vec![9, 1]);
        assert_eq!(list.chosen(), Some(&9), "it is gone");
        list.type_in('1');
        list.show(vec![2, 9]);
        assert_eq!((list.chosen(), list.filter()), (Some(&2), "1"));
        assert!(list.unfilter() && !list.unfilter());
    }

    proptest! {
        #[test]
        fn the_chosen_row_is_always_one_of_them(
            lengths in prop::collection::vec(0_usize..6, 1..6),
            moves in prop::collection::vec(0_usize..8, 0..30),
        ) {
            let mut list = List::new(Vec::new());
            let mut lengths = lengths.into_iter().cycle();
            for step in moves {
                match step {
                    0 => list.go(Move::Up, 2),
                    1 => list.go(Move::Down, 2),
                    2 => list.go(Move::PageUp, 2),
                    3 => list.go(Move::PageDown, 2),
                    4 => list.go(Move::Last, 2),
                    5 => list.find('3', usize::to_string),
                    6 => list = List::on((0..lengths.next().unwrap()).collect(), 4),
                    _ => list.show((0..lengths.next().unwrap()).collect()),
                }
                prop_assert_eq!(list.chosen().is_none(), list.rows().is_empty());
            }
        }
    }
}

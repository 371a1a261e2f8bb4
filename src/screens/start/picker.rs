//! One row chosen out of several, with the arrows or by typing how it begins.

use crate::screens::press::Press;

/// Which row is chosen, and the letters typed towards another.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Picker {
    pub(super) at: usize,
    typed: String,
}

impl Picker {
    /// A list with row `at` chosen.
    pub(super) const fn on(at: usize) -> Self {
        Self {
            at,
            typed: String::new(),
        }
    }

    /// Moves by a key over rows with these names; `page` rows make a page.
    pub(super) fn press(&mut self, press: Press, names: &[String], page: usize) {
        let last = names.len().saturating_sub(1);
        if let Press::Char(c) = press {
            self.typed(c, names);
            return;
        }
        self.typed.clear();
        self.at = match press {
            Press::Up => self.at.saturating_sub(1),
            Press::Down => self.at + 1,
            Press::PageUp => self.at.saturating_sub(page.max(1)),
            Press::PageDown => self.at + page.max(1),
            Press::Home => 0,
            Press::End => last,
            Press::Left
            | Press::Right
            | Press::Enter
            | Press::Esc
            | Press::Backspace
            | Press::Stop
            | Press::Help
            | Press::Char(_)
            | Press::F(_)
            | Press::Other => self.at,
        }
        .min(last);
    }

    /// Goes to a row that begins with what was typed; a letter that leads nowhere so begins anew
    /// with the next row down, and round, so that the same letter goes through all its rows.
    fn typed(&mut self, c: char, names: &[String]) {
        let from = |first: usize, typed: &str| {
            let rows = names.iter().enumerate();
            let mut rows = rows.cycle().skip(first).take(names.len());
            rows.find(|(_, name)| name.to_lowercase().starts_with(typed))
                .map(|(at, _)| at)
        };
        let letter: String = c.to_lowercase().collect();
        let longer = format!("{}{letter}", self.typed);
        let (here, next) = if self.typed.is_empty() {
            (0, 0)
        } else {
            (self.at, self.at + 1)
        };
        let found = from(here, &longer)
            .map(|at| (at, longer))
            .or_else(|| from(next, &letter).map(|at| (at, letter)));
        if let Some(found) = found {
            (self.at, self.typed) = found;
        } else {
            self.typed.clear();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_lead_to_the_row_that_begins_with_them() {
        let names = ["heron", "Otter", "owl", "New alias"].map(String::from);
        let mut picker = Picker::default();
        let mut at = |press| {
            picker.press(press, &names, 10);
            picker.at
        };
        assert_eq!(at(Press::Char('o')), 1);
        assert_eq!(at(Press::Char('W')), 2);
        assert_eq!(at(Press::Char('n')), 3, "a new word begins");
        assert_eq!(at(Press::Char('z')), 3);
        assert_eq!(at(Press::Down), 3);
        assert_eq!(at(Press::Home), 0);
        assert_eq!(at(Press::PageDown), 3);
    }

    #[test]
    fn the_same_letter_goes_through_all_its_rows() {
        let names = ["newt", "Nightjar", "owl", "New alias"].map(String::from);
        let mut picker = Picker::default();
        let mut at = |letter| {
            picker.press(Press::Char(letter), &names, 10);
            picker.at
        };
        assert_eq!(["n", "n", "n", "n"].map(|_| at('n')), [0, 1, 3, 0]);
        assert_eq!(at('i'), 1, "the word is longer now");
        assert_eq!(at('n'), 3);
        assert_eq!(['e', 'w', ' '].map(&mut at), [3, 3, 3]);
    }

    #[test]
    fn an_empty_list_stands_still() {
        let mut picker = Picker::default();
        for press in [Press::Down, Press::End, Press::Char('x'), Press::PageDown] {
            picker.press(press, &[], 0);
            assert_eq!(picker.at, 0);
        }
    }
}

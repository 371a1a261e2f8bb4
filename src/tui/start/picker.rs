//! One row chosen out of several, with the arrows or by typing how it begins.

use crate::tui::press::Press;

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
            | Press::Char(_)
            | Press::Other => self.at,
        }
        .min(last);
    }

    /// Goes to the first row that begins with what was typed; a letter that leads nowhere begins
    /// anew, and one that leads nowhere by itself is forgotten.
    fn typed(&mut self, c: char, names: &[String]) {
        let starts = |typed: &str| {
            names
                .iter()
                .position(|name| name.to_lowercase().starts_with(typed))
        };
        let letter: String = c.to_lowercase().collect();
        for typed in [format!("{}{letter}", self.typed), letter] {
            if let Some(at) = starts(&typed) {
                (self.at, self.typed) = (at, typed);
                return;
            }
        }
        self.typed.clear();
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
    fn an_empty_list_stands_still() {
        let mut picker = Picker::default();
        for press in [Press::Down, Press::End, Press::Char('x'), Press::PageDown] {
            picker.press(press, &[], 0);
            assert_eq!(picker.at, 0);
        }
    }
}

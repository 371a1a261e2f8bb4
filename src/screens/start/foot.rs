//! The keys that work now, for the foot of each page.

use super::model::{Asked, Page, Start};
use crate::screens::frame::KeyHelp;

impl Start {
    /// The keys that work now.
    pub(super) fn keys(&self) -> &'static [KeyHelp] {
        match (self.asked, self.page) {
            (Asked::Quit, _) => &[("Enter", "quit"), ("any other key", "stay")],
            (Asked::Start, _) => &[("Enter", "start the clock"), ("any other key", "go back")],
            (Asked::GoOn, _) => &[("Enter", "go on with it"), ("any other key", "go back")],
            (Asked::Nothing, _) if self.help => &[("Up Down", "read on"), ("Esc", "back")],
            (Asked::Nothing, Page::Pupil) => &[
                ("Up Down", "choose"),
                ("letters", "find"),
                ("Enter", "take"),
                ("Esc", "quit, asks first"),
                ("F1", "help"),
            ],
            (Asked::Nothing, Page::NewAlias) => &[
                ("letters", "write"),
                ("Backspace", "rub out"),
                ("Enter", "take"),
                ("Esc", "back"),
                ("F1", "help"),
            ],
            (Asked::Nothing, Page::GoOn) if self.open_chosen().is_none() => &[
                ("Up Down", "choose"),
                ("Enter", "take"),
                ("Esc", "back"),
                ("F1", "help"),
            ],
            (Asked::Nothing, Page::GoOn) => &[
                ("Up Down", "choose"),
                ("S then Enter", "go on with it"),
                ("Esc", "back"),
                ("F1", "help"),
            ],
            (Asked::Nothing, Page::Paper | Page::PastPupil) => &[
                ("Up Down", "choose"),
                ("letters", "find"),
                ("Enter", "take"),
                ("Esc", "back"),
                ("F1", "help"),
            ],
            (Asked::Nothing, Page::Arrange) => {
                if self.form.as_ref().is_some_and(|form| form.typing.is_some()) {
                    &[
                        ("digits", "write"),
                        ("Backspace", "rub out"),
                        ("Enter", "take"),
                        ("Esc", "leave as it was"),
                        ("F1", "help"),
                    ]
                } else {
                    &[
                        ("Up Down", "row"),
                        ("Left Right", "change"),
                        ("digits", "type a value"),
                        ("Enter", "go on"),
                        ("Esc", "back"),
                        ("F1", "help"),
                    ]
                }
            }
            (Asked::Nothing, Page::ReadOut) => &[
                ("Up Down", "read on"),
                ("S then Enter", "start the clock"),
                ("Esc", "back"),
                ("F1", "help"),
            ],
            (Asked::Nothing, Page::Past) => &[
                ("Up Down", "choose"),
                ("Enter", "open"),
                ("Esc", "back"),
                ("F1", "help"),
            ],
            (Asked::Nothing, Page::Notices) => &[("Up Down", "read on"), ("Esc", "back")],
        }
    }
}

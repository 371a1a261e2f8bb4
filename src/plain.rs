//! The sitting line by line, for screen readers and plain terminals.
//!
//! No page, no colour, no drawn lines, nothing that moves by itself: a line typed gets lines said.
//! A label answers the open question, a number opens one, everything else is a word, so that no
//! letter is ever taken for a command. What time it is is said when asked, at the checkpoints of a
//! pace plan, at the reminder and at time up.
//!
//! [`Plain`] is pure: it reads lines as moves of the [`dialogue`](crate::dialogue) and says what
//! comes of them; the shell reads lines, prints lines and records events. The shell asks the sitting
//! with the moment that it gave to [`Plain::line`], so that what was said is what happens.

mod aloud;
mod around;
mod asked;
mod help;
mod lines;
mod practising;
mod typed;
mod word;

pub use around::{BeforeStart, before_start, read_out_lines, result_lines, words_before_start};
pub use asked::{Asked, Next};
pub use lines::{Plain, Spoken};
pub use practising::{PractisedLine, after_move, practised_line, question_lines};

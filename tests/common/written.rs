//! A sitting's file, written without the program's own writer of files.

use pacebell::domain::event::Stamped;
use pacebell::domain::header::Header;
use pacebell::storage::journal::line::{Chain, write_event, write_header};

/// The text of a session file, without the line that seals it.
pub(crate) fn file(header: &Header, log: &[Stamped]) -> String {
    let mut chain = Chain::default();
    let mut text = write_header(header, &mut chain).unwrap();
    for stamped in log {
        text += &write_event(stamped, &mut chain).unwrap();
    }
    text
}

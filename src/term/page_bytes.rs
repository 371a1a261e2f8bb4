//! What a page sends, gathered, so that it leaves in one piece: a terminal never shows half of it, and the system is
//! asked once.

use std::cell::RefCell;
use std::io::{self, Write, stdout};
use std::rc::Rc;

/// Bytes on their way to the terminal; clones share them.
#[derive(Clone, Debug, Default)]
pub(super) struct PageBytes(Rc<RefCell<Vec<u8>>>);

impl PageBytes {
    /// Sends them.
    ///
    /// # Errors
    /// A terminal that takes nothing.
    pub(super) fn send(&self) -> io::Result<()> {
        let mut bytes = self.0.borrow_mut();
        let mut output = stdout().lock();
        let sent = output.write_all(&bytes).and_then(|()| output.flush());
        bytes.clear();
        sent
    }
}

impl Write for PageBytes {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.borrow_mut().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    /// Old consoles are told by calls, which would come before what is gathered.
    fn flush(&mut self) -> io::Result<()> {
        if cfg!(windows) { self.send() } else { Ok(()) }
    }
}

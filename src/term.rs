//! Takes the terminal and gives it back, whatever happens.
//!
//! One thread reads keys, one waits for signals, one notices that the terminal is gone; all they do
//! is send. The loop that receives owns the screen. A flag read between two polls would not do: on
//! a terminal that is gone the poll of crossterm 0.29 never returns and spins.

mod boxes;
#[cfg(any(windows, test))]
mod burst;
mod gate;
mod inbox;
mod listen;
mod page_bytes;
#[cfg(unix)]
mod typed;

use std::io::{self, IsTerminal, stdout};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use boxes::take_boxes_off;
use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
#[cfg(windows)]
use crossterm::event::{DisableMouseCapture, EnableMouseCapture};
use crossterm::terminal::{
    Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use crossterm::{cursor, execute};
use page_bytes::PageBytes;
use ratatui::backend::{Backend, CrosstermBackend};
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect, Size};
use ratatui::text::Line;
use ratatui::widgets::Widget;

pub use boxes::{boxes_are_unwanted, without_boxes};
pub use gate::{next, next_within, read_as_they_come, read_one_by_one, while_another_reads};
pub use inbox::Inbox;
pub use listen::{Listener, listen, listen_to_signals};

/// Why there is no screen.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TermError {
    /// Input or output is no terminal.
    #[error("there's no terminal to show pages in; run this in a terminal window, or add --plain")]
    NoTerminal,
    /// The terminal cannot move its cursor.
    #[error("this terminal (TERM=dumb) cannot show pages; add --plain")]
    Dumb,
    /// The terminal would not.
    #[error("the terminal cannot be used: {0}; add --plain")]
    Io(#[source] io::Error),
}

/// What has to be put right before the program dies on a panic: the last words are written.
pub type LastWords = Arc<dyn Fn() + Send + Sync>;

/// Whether the terminal is ours at the moment, so that it is given back once.
static TAKEN: AtomicBool = AtomicBool::new(false);

/// The variable that asks for lines in place of pages.
pub const LINES_WANTED: &str = "PACEBELL_PLAIN";

/// Whether lines are wanted in place of pages: `PACEBELL_PLAIN` is set to anything but `0`, or the terminal
/// cannot move its cursor (`TERM=dumb`).
pub fn lines_are_wanted() -> bool {
    let is_set = |value: std::ffi::OsString| !value.is_empty() && value != "0";
    std::env::var_os(LINES_WANTED).is_some_and(is_set) || is_dumb()
}

fn is_dumb() -> bool {
    std::env::var_os("TERM").is_some_and(|term| term == "dumb")
}

/// The terminal, taken.
pub struct Screen {
    terminal: CrosstermBackend<PageBytes>,
    /// What the terminal is to be sent.
    bytes: PageBytes,
    /// What it shows, as large as the window when it was last drawn.
    shown: Buffer,
    /// Where the next page is drawn.
    next: Buffer,
    cursor: Position,
    /// Whether pages go without box characters.
    no_boxes: bool,
    /// How many pages were left out since the last one.
    left_out: u32,
}

/// While keys wait, one page in so many is drawn.
const PAGES_LEFT_OUT: u32 = 31;

impl Screen {
    /// Takes the terminal: raw keys, the other screen, pastes told apart from keys.
    pub fn enter() -> Result<Self, TermError> {
        if !io::stdin().is_terminal() || !stdout().is_terminal() {
            return Err(TermError::NoTerminal);
        }
        if is_dumb() {
            return Err(TermError::Dumb);
        }
        // Our theme decides about colour; crossterm 0.29 would reset bold and reversed with it.
        crossterm::style::force_color_output(true);
        take_terminal().map_err(TermError::Io)?;
        let bytes = PageBytes::default();
        let size = window_size().map_err(|error| {
            give_back();
            TermError::Io(error)
        })?;
        let empty = Buffer::empty(Rect::from((Position::ORIGIN, size)));
        Ok(Self {
            terminal: CrosstermBackend::new(bytes.clone()),
            bytes,
            shown: empty.clone(),
            next: empty,
            cursor: Position::ORIGIN,
            no_boxes: boxes_are_unwanted(),
            left_out: 0,
        })
    }

    /// Whether a page is to be drawn now: where keys wait that will change it again, only some are.
    pub fn is_due(&mut self) -> bool {
        let is_due = self.left_out >= PAGES_LEFT_OUT || !gate::a_key_waits();
        self.left_out = if is_due { 0 } else { self.left_out + 1 };
        is_due
    }

    /// Draws one frame; only the cells that changed are sent, in one piece. The page says where the cursor stands.
    pub fn draw(&mut self, page: impl FnOnce(Rect, &mut Buffer) -> Position) -> io::Result<()> {
        let size = window_size()?;
        if size != self.shown.area.as_size() {
            self.resize(size)?;
        }
        self.next.reset();
        self.cursor = page(self.next.area, &mut self.next);
        if self.no_boxes {
            take_boxes_off(&mut self.next);
        }
        self.terminal.draw(self.shown.diff_iter(&self.next))?;
        std::mem::swap(&mut self.shown, &mut self.next);
        self.send()
    }

    /// Draws one row of the page that is shown anew, the rest of which stays as it is. Gives whether the window is
    /// still as large; where it isn't, the whole page is to be drawn.
    pub fn draw_row(
        &mut self,
        row: impl FnOnce(Rect) -> (Rect, Line<'static>),
    ) -> io::Result<bool> {
        if window_size()? != self.shown.area.as_size() {
            return Ok(false);
        }
        let (place, line) = row(self.shown.area);
        let place = Rect { height: 1, ..place }.intersection(self.shown.area);
        if place.is_empty() {
            return Ok(false);
        }
        let mut drawn = Buffer::empty(place);
        line.render(place, &mut drawn);
        if self.no_boxes {
            take_boxes_off(&mut drawn);
        }
        let begins = self.shown.index_of(place.x, place.y);
        let cells = begins..begins + usize::from(place.width);
        let shown = self.shown.content.get_mut(cells).unwrap_or_default();
        let before = Buffer {
            area: place,
            content: shown.to_vec(),
        };
        self.terminal.draw(before.diff_iter(&drawn))?;
        shown.clone_from_slice(&drawn.content);
        self.send()?;
        Ok(true)
    }

    /// Puts the cursor where it belongs, and sends all that was drawn.
    fn send(&mut self) -> io::Result<()> {
        self.terminal.show_cursor()?;
        self.terminal.set_cursor_position(self.cursor)?;
        self.bytes.send()
    }

    fn resize(&mut self, size: Size) -> io::Result<()> {
        let empty = Buffer::empty(Rect::from((Position::ORIGIN, size)));
        self.shown = empty.clone();
        self.next = empty;
        self.terminal.clear()
    }

    /// Sends the whole of the next frame, without asking the terminal anything.
    pub fn repaint(&mut self) -> io::Result<()> {
        self.resize(window_size()?)
    }

    /// Takes the terminal again after the program was stopped and goes on.
    pub fn take_back(&mut self) -> io::Result<()> {
        // Raw mode was lost without crossterm knowing: turning it on alone would do nothing.
        let _ = disable_raw_mode();
        take_terminal()?;
        self.repaint()
    }

    /// Gives the terminal back. A hang-up may also be sent to a program whose terminal is still there, so it is given
    /// back where it takes anything; where it is gone, whatever it is told is an error.
    pub fn leave(self) {
        give_back();
        drop(self);
    }
}

/// The most columns and rows that are drawn. The largest screens have 7680 by 4320 pixels: 960 by 360 of the smallest
/// letters that can be read. A terminal may say that it has 65535 by 65535, and no machine has memory for these.
const MOST_COLUMNS: u16 = 1000;
/// See [`MOST_COLUMNS`].
const MOST_ROWS: u16 = 500;

/// The window's size, as far as it is drawn.
fn window_size() -> io::Result<Size> {
    told_size().map(drawn)
}

/// How much of a window is drawn.
fn drawn(told: Size) -> Size {
    Size::new(told.width.min(MOST_COLUMNS), told.height.min(MOST_ROWS))
}

/// What the terminal says. It is asked of the output itself, a page at a time: crossterm opens the terminal anew for it.
#[cfg(unix)]
fn told_size() -> io::Result<Size> {
    let told = rustix::termios::tcgetwinsize(stdout());
    match told {
        Ok(told) if told.ws_col > 0 && told.ws_row > 0 => Ok(Size::new(told.ws_col, told.ws_row)),
        _ => crossterm::terminal::size().map(Size::from),
    }
}

#[cfg(not(unix))]
fn told_size() -> io::Result<Size> {
    crossterm::terminal::size().map(Size::from)
}

fn take_terminal() -> io::Result<()> {
    enable_raw_mode()?;
    TAKEN.store(true, Ordering::SeqCst);
    // An old console knows no bracketed paste; then a paste comes as keys, and no single key ends
    // anything.
    let _ = execute!(stdout(), EnableBracketedPaste);
    // While a Windows console takes the mouse itself, a click in the window holds up whatever the program writes.
    #[cfg(windows)]
    let _ = execute!(stdout(), EnableMouseCapture);
    // A program that was killed leaves the other screen on with its page: entering it then clears nothing,
    // and a first page is drawn as if on an empty screen.
    execute!(
        stdout(),
        EnterAlternateScreen,
        Clear(ClearType::All),
        cursor::SetCursorStyle::SteadyBlock
    )
}

/// Gives the terminal back; safe to call at any time, from any thread, more than once.
pub fn give_back() {
    if TAKEN.swap(false, Ordering::SeqCst) {
        #[cfg(windows)]
        let _ = execute!(stdout(), DisableMouseCapture);
        let _ = execute!(
            stdout(),
            DisableBracketedPaste,
            LeaveAlternateScreen,
            cursor::SetCursorStyle::DefaultUserShape,
            cursor::Show
        );
        let _ = disable_raw_mode();
    }
}

/// Makes a panic give the terminal back before its message, so that both can be read.
///
/// A panic on another thread than the main one ends the program: the page would go on being drawn
/// over the shell. Whatever happened is on the disk, or is being written by `last_words`.
pub fn guard_panics(last_words: LastWords) {
    let main = std::thread::current().id();
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        give_back();
        before(panic);
        last_words();
        if std::thread::current().id() != main {
            std::process::abort();
        }
    }));
}

//! What is typed, from the bytes that a terminal sends: keys, and where a paste begins and ends.
//!
//! A terminal puts `ESC [ 200 ~` before what is pasted and `ESC [ 201 ~` behind it (xterm, "Bracketed Paste
//! Mode"). Where the second never comes, the keyboard would be dead: so a paste is over once nothing more of it
//! comes. It is told from typing by how it comes, many bytes at once; no clock is needed.

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

use super::inbox::Inbox;

const ESC: u8 = 0x1b;
const PASTE_BEGINS: &[u8] = b"\x1b[200~";
const PASTE_ENDS: &[u8] = b"\x1b[201~";

/// No key sends as many bytes.
const LONGEST_KEY: usize = 64;

/// More bytes at once than a key sends: a part of a paste.
const A_PART: usize = 16;

/// After so many reads without a part, [`LULL`] each at most, a paste is over: a second.
const LULLS: u32 = 10;

/// How long is waited for more of a paste, in milliseconds.
const LULL: u32 = 100;

/// How long is waited for the rest of a key, in milliseconds. Escape alone is a key, and the beginning of others.
const REST_OF_A_KEY: u32 = 50;

/// So many keys at once are nobody's typing, nor what was typed while the program was busy: a terminal holds some
/// thousands at most. What comes behind them is taken for a paste.
const MOST_AT_ONCE: usize = 8192;

/// Where the bytes have got to.
#[derive(Debug, Default)]
pub(super) struct Typed {
    /// A key that is not whole yet; in a paste what may be its end.
    begun: Vec<u8>,
    /// In a paste: how many reads are left without a part of it.
    paste: Option<u32>,
    /// How many keys came together.
    keys: usize,
}

impl Typed {
    /// How many milliseconds may pass before [`Self::pause`]; nothing where nothing is waited for.
    pub(super) fn patience(&self) -> Option<u32> {
        if self.paste.is_some() {
            Some(LULL)
        } else {
            (!self.begun.is_empty()).then_some(REST_OF_A_KEY)
        }
    }

    /// Whether more is wanted at once than a single byte, though keys are read one by one.
    pub(super) const fn is_in_paste(&self) -> bool {
        self.paste.is_some()
    }

    /// Takes what was read, and gives what it means; so many bytes were `there` to be read.
    pub(super) fn take(&mut self, bytes: &[u8], there: usize, send: &mut dyn FnMut(Inbox)) {
        let is_a_part = there.max(bytes.len()) >= A_PART;
        match &mut self.paste {
            Some(left) if is_a_part => *left = LULLS,
            Some(0) => self.end_paste(send),
            Some(left) => *left -= 1,
            None if is_a_part => {}
            // Keys that come singly are somebody's, however many.
            None => self.keys = 0,
        }
        for byte in bytes {
            self.take_byte(*byte, send);
        }
    }

    /// Nothing more has come for as long as [`Self::patience`] says.
    pub(super) fn pause(&mut self, send: &mut dyn FnMut(Inbox)) {
        match &mut self.paste {
            Some(0) => self.end_paste(send),
            Some(left) => *left -= 1,
            None => {
                let begun = std::mem::take(&mut self.begun);
                if begun == [ESC] {
                    self.key(KeyEvent::new(KeyCode::Esc, KeyModifiers::NONE), send);
                }
            }
        }
    }

    fn end_paste(&mut self, send: &mut dyn FnMut(Inbox)) {
        self.paste = None;
        self.begun.clear();
        send(Inbox::Pasted);
    }

    fn take_byte(&mut self, byte: u8, send: &mut dyn FnMut(Inbox)) {
        if self.paste.is_some() {
            self.begun.push(byte);
            if self.begun == PASTE_ENDS {
                self.end_paste(send);
            } else if !PASTE_ENDS.starts_with(&self.begun) {
                self.begun.clear();
                self.begun.extend((byte == ESC).then_some(ESC));
            }
            return;
        }
        // Escape twice is that key, and whatever the second one begins.
        if self.begun == [ESC] && byte == ESC {
            self.key(KeyEvent::new(KeyCode::Esc, KeyModifiers::NONE), send);
            return;
        }
        self.begun.push(byte);
        if self.begun == PASTE_BEGINS {
            self.begun.clear();
            self.paste = Some(LULLS);
            return;
        }
        if self.begun == [ESC] || PASTE_BEGINS.starts_with(&self.begun) {
            return;
        }
        let read = terminput::Event::parse_from(&self.begun);
        if matches!(read, Ok(None)) && self.begun.len() < LONGEST_KEY {
            return;
        }
        let begun = std::mem::take(&mut self.begun);
        match read {
            Ok(Some(terminput::Event::Key(event))) => self.key(key_of(event), send),
            // What isn't UTF-8 is no key, but the character behind it is one.
            Err(_) if begun.first() != Some(&ESC) && begun.len() > 1 => self.take_byte(byte, send),
            Ok(_) | Err(_) => {}
        }
    }

    fn key(&mut self, key: KeyEvent, send: &mut dyn FnMut(Inbox)) {
        self.keys += 1;
        if self.keys > MOST_AT_ONCE {
            self.paste = Some(LULLS);
            self.keys = 0;
        } else if key.kind != KeyEventKind::Release {
            // A release would make every key act twice.
            send(Inbox::Key(key));
        }
    }
}

fn key_of(event: terminput::KeyEvent) -> KeyEvent {
    use terminput::KeyCode as Code;
    let held = [
        (terminput::KeyModifiers::SHIFT, KeyModifiers::SHIFT),
        (terminput::KeyModifiers::CTRL, KeyModifiers::CONTROL),
        (terminput::KeyModifiers::ALT, KeyModifiers::ALT),
        (terminput::KeyModifiers::SUPER, KeyModifiers::SUPER),
        (terminput::KeyModifiers::HYPER, KeyModifiers::HYPER),
        (terminput::KeyModifiers::META, KeyModifiers::META),
    ];
    let held = held.into_iter();
    let held = held.filter_map(|(own, same)| event.modifiers.contains(own).then_some(same));
    let held: KeyModifiers = held.collect();
    let code = match event.code {
        Code::Backspace => KeyCode::Backspace,
        Code::Enter => KeyCode::Enter,
        Code::Left => KeyCode::Left,
        Code::Right => KeyCode::Right,
        Code::Up => KeyCode::Up,
        Code::Down => KeyCode::Down,
        Code::Home => KeyCode::Home,
        Code::End => KeyCode::End,
        Code::PageUp => KeyCode::PageUp,
        Code::PageDown => KeyCode::PageDown,
        Code::Tab if held.contains(KeyModifiers::SHIFT) => KeyCode::BackTab,
        Code::Tab => KeyCode::Tab,
        Code::Delete => KeyCode::Delete,
        Code::Insert => KeyCode::Insert,
        Code::F(number) => KeyCode::F(number),
        Code::Char(c) => KeyCode::Char(c),
        Code::Esc => KeyCode::Esc,
        Code::CapsLock => KeyCode::CapsLock,
        Code::ScrollLock => KeyCode::ScrollLock,
        Code::NumLock => KeyCode::NumLock,
        Code::PrintScreen => KeyCode::PrintScreen,
        Code::Pause => KeyCode::Pause,
        Code::Menu => KeyCode::Menu,
        Code::KeypadBegin => KeyCode::KeypadBegin,
        // Keys that no page has.
        Code::Media(_) | Code::Modifier(..) => KeyCode::Null,
    };
    let kind = match event.kind {
        terminput::KeyEventKind::Press => KeyEventKind::Press,
        terminput::KeyEventKind::Repeat => KeyEventKind::Repeat,
        terminput::KeyEventKind::Release => KeyEventKind::Release,
    };
    KeyEvent::new_with_kind(code, held, kind)
}

#[cfg(test)]
mod tests;

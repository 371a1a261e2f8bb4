use super::*;

/// What comes of parts that are read one after another, a pause after each where there is one.
fn typed(parts: &[(&[u8], u32)]) -> Vec<Inbox> {
    let (mut typed, mut came) = (Typed::default(), Vec::new());
    for (bytes, pauses) in parts {
        typed.take(bytes, bytes.len(), &mut |message| came.push(message));
        for _ in 0..*pauses {
            typed.pause(&mut |message| came.push(message));
        }
    }
    came
}

fn key(code: KeyCode) -> Inbox {
    Inbox::Key(KeyEvent::new(code, KeyModifiers::NONE))
}

fn letter(c: char) -> Inbox {
    key(KeyCode::Char(c))
}

/// Sequences as xterm sends them ("`XTerm` Control Sequences", PC-style function keys), and as the Linux console
/// does; from memory.
#[test]
fn keys_are_what_terminals_send_for_them_however_the_bytes_come() {
    let with = |code, held| Inbox::Key(KeyEvent::new(code, held));
    let known: [(&[u8], Inbox); 24] = [
        (b"a", letter('a')),
        ("\u{e9}".as_bytes(), letter('\u{e9}')),
        ("\u{1f600}".as_bytes(), letter('\u{1f600}')),
        (b"A", with(KeyCode::Char('A'), KeyModifiers::SHIFT)),
        (b"\r", key(KeyCode::Enter)),
        (b"\t", key(KeyCode::Tab)),
        (b"\x7f", key(KeyCode::Backspace)),
        (b"\x03", with(KeyCode::Char('c'), KeyModifiers::CONTROL)),
        (b"\x1b[A", key(KeyCode::Up)),
        (b"\x1b[B", key(KeyCode::Down)),
        (b"\x1bOC", key(KeyCode::Right)),
        (b"\x1b[D", key(KeyCode::Left)),
        (b"\x1b[H", key(KeyCode::Home)),
        (b"\x1b[F", key(KeyCode::End)),
        (b"\x1b[3~", key(KeyCode::Delete)),
        (b"\x1b[5~", key(KeyCode::PageUp)),
        (b"\x1b[6~", key(KeyCode::PageDown)),
        (b"\x1bOP", key(KeyCode::F(1))),
        (b"\x1b[[A", key(KeyCode::F(1))),
        (b"\x1b[12~", key(KeyCode::F(2))),
        (b"\x1b[24~", key(KeyCode::F(12))),
        (b"\x1b[Z", with(KeyCode::BackTab, KeyModifiers::SHIFT)),
        (b"\x1ba", with(KeyCode::Char('a'), KeyModifiers::ALT)),
        (b"\x1b[1;5C", with(KeyCode::Right, KeyModifiers::CONTROL)),
    ];
    for (bytes, expected) in &known {
        assert_eq!(
            typed(&[(bytes, 0)]),
            std::slice::from_ref(expected),
            "{bytes:?}"
        );
        let one_by_one: Vec<_> = bytes.chunks(1).map(|byte| (byte, 0)).collect();
        assert_eq!(
            typed(&one_by_one),
            std::slice::from_ref(expected),
            "{bytes:?}"
        );
    }
    let all: Vec<u8> = known.iter().flat_map(|(bytes, _)| bytes.to_vec()).collect();
    let expected: Vec<_> = known.into_iter().map(|(_, key)| key).collect();
    assert_eq!(typed(&[(&all, 1)]), expected);
}

#[test]
fn escape_is_a_key_once_nothing_comes_behind_it() {
    assert_eq!(typed(&[(b"\x1b", 0)]), []);
    assert_eq!(typed(&[(b"\x1b", 1)]), [key(KeyCode::Esc)]);
    assert_eq!(
        typed(&[(b"\x1b\x1b", 1)]),
        [key(KeyCode::Esc), key(KeyCode::Esc)]
    );
    assert_eq!(
        typed(&[(b"\x1b\x1b[A", 1)]),
        [key(KeyCode::Esc), key(KeyCode::Up)]
    );
    assert_eq!(
        typed(&[(b"\x1b", 1), (b"[A", 0)]),
        [
            key(KeyCode::Esc),
            letter('['),
            Inbox::Key(KeyEvent::new(KeyCode::Char('A'), KeyModifiers::SHIFT))
        ]
    );
    let begun = Typed {
        begun: vec![ESC],
        ..Typed::default()
    };
    assert_eq!(begun.patience(), Some(REST_OF_A_KEY));
    assert_eq!(Typed::default().patience(), None);
}

/// A sequence that is cut off would otherwise take the next key with it.
#[test]
fn what_never_becomes_a_key_takes_no_other_with_it() {
    assert_eq!(typed(&[(b"\x1b[1;", 1), (b"b", 0)]), [letter('b')]);
    assert_eq!(typed(&[(b"\xc3", 1), (b"b", 0)]), [letter('b')]);
    assert_eq!(typed(&[(b"\xc3b\xffc", 0)]), [letter('b'), letter('c')]);
    // Longer than any key: what is left of it is typed, and the keys behind it are there.
    let endless = [
        b"\x1b[?".to_vec(),
        vec![b'1'; LONGEST_KEY],
        b"\x1b[Ab".to_vec(),
    ]
    .concat();
    let came = typed(&[(&endless, 0)]);
    assert!(came.ends_with(&[key(KeyCode::Up), letter('b')]), "{came:?}");
}

#[test]
fn a_paste_is_no_key_and_ends_where_the_terminal_says() {
    let pasted = b"\x1b[200~BBBB\x1b[20\x1b[201~c";
    assert_eq!(typed(&[(pasted, 0)]), [Inbox::Pasted, letter('c')]);
    let one_by_one: Vec<_> = pasted.chunks(1).map(|byte| (byte, 0)).collect();
    // So slow a paste is over after ten reads; what is left of it can't be told from typing.
    assert!(typed(&one_by_one).contains(&Inbox::Pasted));
    let slow: Vec<(&[u8], u32)> = vec![
        (b"\x1b[200~", 2),
        (b"BBBBBBBBBBBBBBBBBBBB", 9),
        (b"BBBBBBBBBBBBBBBBBBBB", 9),
        (b"\x1b[201~", 0),
        (b"d", 0),
    ];
    assert_eq!(typed(&slow), [Inbox::Pasted, letter('d')]);
}

/// Ten waits of a tenth of a second.
#[test]
fn a_paste_without_an_end_is_over_after_a_second() {
    assert_eq!(LULL * LULLS, 1000);
    let begun = Typed {
        paste: Some(LULLS),
        ..Typed::default()
    };
    assert_eq!(begun.patience(), Some(LULL));
    let quiet: [(&[u8], u32); 2] = [(b"\x1b[200~BBBB", LULLS + 1), (b"c", 0)];
    assert_eq!(typed(&quiet), [Inbox::Pasted, letter('c')]);
    // Somebody who goes on typing does not keep it open.
    let mut keys: Vec<(&[u8], u32)> = vec![(b"\x1b[200~BBBB", 0)];
    keys.extend((0..12).map(|_| (b"c".as_slice(), 0)));
    let came = typed(&keys);
    assert_eq!(came, [Inbox::Pasted, letter('c'), letter('c')]);
}

#[test]
fn thousands_of_keys_come_through_and_a_megabyte_of_letters_does_not() {
    let queued = vec![b'b'; MOST_AT_ONCE];
    assert_eq!(typed(&[(&queued, 0)]).len(), MOST_AT_ONCE);
    let letters = vec![b'b'; 1 << 20];
    let came = typed(&[(&letters, LULLS + 1), (b"c", 0)]);
    assert_eq!(came.len(), MOST_AT_ONCE + 2);
    assert_eq!(came[MOST_AT_ONCE..], [Inbox::Pasted, letter('c')]);
    // Read one by one it is as many, and somebody who types behind it is heard after some keys.
    let (mut typed_singly, mut came) = (Typed::default(), Vec::new());
    for left in (0..20_000_usize).rev() {
        typed_singly.take(b"b", left + 1, &mut |message| came.push(message));
    }
    assert!(came.len() < MOST_AT_ONCE + 20, "{}", came.len());
    // A key held down for an hour comes singly.
    let held: Vec<(&[u8], u32)> = vec![(b"b", 0); MOST_AT_ONCE + 9];
    assert_eq!(typed(&held).len(), MOST_AT_ONCE + 9);
}

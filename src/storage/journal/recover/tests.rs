//! Files cut, flipped and patched at every place.

use proptest::prelude::*;

use super::*;
use crate::domain::event::Event;
use crate::domain::rule::QuestionNo;
use crate::storage::journal::samples;

fn file_of(events: &[Stamped]) -> Vec<u8> {
    let mut chain = Chain::default();
    let mut text = line::write_header(&samples::header(), &mut chain).unwrap();
    for stamped in events {
        text.push_str(&line::write_event(stamped, &mut chain).unwrap());
    }
    text.into_bytes()
}

fn three_events() -> Vec<Stamped> {
    vec![
        samples::stamped(0, Event::Opened(QuestionNo(1))),
        samples::stamped(700, Event::Skipped(QuestionNo(1))),
        samples::stamped(700, Event::Opened(QuestionNo(2))),
    ]
}

fn line_ends(bytes: &[u8]) -> Vec<usize> {
    let ends = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n');
    ends.map(|(index, _)| index + 1).collect()
}

#[test]
fn a_whole_file_is_read_to_its_end() {
    let bytes = file_of(&three_events());
    let found = scan(&bytes).unwrap();
    assert_eq!(found.header, samples::header());
    assert_eq!(found.events, three_events());
    assert_eq!((found.torn, found.damage), (None, None));
    assert_eq!(found.good, bytes.len());
    assert_eq!(found.chain.next, 4);
}

#[test]
fn a_cut_at_any_byte_keeps_the_lines_before_it_and_tells_of_the_rest() {
    let bytes = file_of(&three_events());
    let ends = line_ends(&bytes);
    for cut in 0..=bytes.len() {
        let whole = ends.iter().filter(|end| **end <= cut).count();
        match scan(&bytes[..cut]) {
            Err(no) => assert_eq!((no, whole), (NoSession::NoHeader, 0), "cut at {cut}"),
            Ok(found) => {
                assert_eq!(found.events, three_events()[..whole - 1], "cut at {cut}");
                assert_eq!(found.damage, None, "cut at {cut}");
                assert_eq!(found.good, ends[whole - 1], "cut at {cut}");
                let rest = cut - found.good;
                let torn = (rest > 0).then_some(Torn {
                    line: whole + 1,
                    bytes: rest,
                });
                assert_eq!(found.torn, torn, "cut at {cut}");
            }
        }
    }
}

#[test]
fn a_single_flipped_bit_anywhere_is_found() {
    let bytes = file_of(&three_events());
    for index in 0..bytes.len() {
        for bit in 0..8 {
            let mut flipped = bytes.clone();
            flipped[index] ^= 1 << bit;
            if let Ok(found) = scan(&flipped) {
                assert!(
                    found.torn.is_some() != found.damage.is_some(),
                    "bit {bit} of byte {index}"
                );
                assert!(three_events().starts_with(&found.events));
                assert!(found.good <= index, "the flipped line is not taken as good");
            }
        }
    }
}

#[test]
fn a_tail_of_zeros_or_half_a_letter_is_torn() {
    for tail in [&[0; 300][..], &[0xc3], b"\n", b"(n:4,at", &[0xff, b'\n']] {
        let mut bytes = file_of(&three_events());
        let good = bytes.len();
        bytes.extend_from_slice(tail);
        let found = scan(&bytes).unwrap();
        assert_eq!(found.events.len(), 3, "{tail:?}");
        assert_eq!(found.good, good, "{tail:?}");
        let torn = Torn {
            line: 5,
            bytes: tail.len(),
        };
        assert_eq!(found.torn, Some(torn), "{tail:?}");
    }
}

#[test]
fn a_line_lost_or_moved_is_damage() {
    let bytes = file_of(&three_events());
    let ends = line_ends(&bytes);
    let lines: Vec<&[u8]> = bytes.split_inclusive(|b| *b == b'\n').collect();
    let lost = [lines[0], lines[1], lines[3]].concat();
    let found = scan(&lost).unwrap();
    assert_eq!(found.damage.unwrap().line, 3, "the last line has moved up");
    let swapped = [lines[0], lines[2], lines[1], lines[3]].concat();
    let found = scan(&swapped).unwrap();
    let damage = Damage {
        line: 2,
        what: Wrong::Checksum,
    };
    assert_eq!(found.damage, Some(damage));
    assert_eq!(found.good, ends[0]);
    let doubled = [&bytes, lines[3]].concat();
    assert!(scan(&doubled).unwrap().damage.is_some());
    let crlf = String::from_utf8(bytes).unwrap().replace('\n', "\r\n");
    assert!(matches!(
        scan(crlf.as_bytes()),
        Err(NoSession::BadHeader(Wrong::NoChecksum))
    ));
}

#[test]
fn a_last_line_that_checks_and_goes_back_in_time_is_damage_not_torn() {
    let mut events = three_events();
    events.push(samples::stamped(699, Event::BreakStarted));
    let found = scan(&file_of(&events)).unwrap();
    assert_eq!(found.torn, None);
    let damage = Damage {
        line: 5,
        what: Wrong::Backwards,
    };
    assert_eq!(found.damage, Some(damage));
    assert_eq!(found.events, three_events());
}

proptest! {
    /// Bytes of any kind behind, over or instead of a file never make an event that was not there.
    #[test]
    fn patches_never_make_an_event(at in 0_usize..2000, patch in prop::collection::vec(any::<u8>(), 1..40)) {
        let mut bytes = file_of(&three_events());
        let from = at.min(bytes.len());
        let to = (from + patch.len()).min(bytes.len());
        bytes.splice(from..to, patch);
        if let Ok(found) = scan(&bytes) {
            prop_assert!(three_events().starts_with(&found.events));
            prop_assert!(found.good <= bytes.len());
        }
        let _no_panic = scan(&bytes[from..]);
    }

    #[test]
    fn any_events_come_back(picks in prop::collection::vec((0_usize..18, 0_u64..5000), 0..40)) {
        let kinds = samples::one_of_each();
        let mut at = 0;
        let events: Vec<_> = picks
            .into_iter()
            .map(|(kind, gap)| {
                at += gap;
                samples::stamped(at, kinds[kind].clone())
            })
            .collect();
        let found = scan(&file_of(&events)).unwrap();
        prop_assert_eq!(found.events, events);
        prop_assert!(found.torn.is_none() && found.damage.is_none());
    }
}

//! Files cut, flipped and patched at every place.

use proptest::prelude::*;

use super::*;
use crate::domain::event::{Ending, Event};
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
}

/// A file of a sitting that has ended: sealed where its format is.
fn ended(header: &Header) -> Vec<u8> {
    let mut chain = Chain::default();
    let mut text = line::write_header(header, &mut chain).unwrap();
    for stamped in three_events().into_iter().chain([end()]) {
        text.push_str(&line::write_event(&stamped, &mut chain).unwrap());
    }
    if line::is_sealed_in(header.format) {
        text += &line::write_seal(text.as_bytes(), &mut chain).unwrap();
    }
    text.into_bytes()
}

fn end() -> Stamped {
    samples::stamped(900, Event::Closed(Ending::FinishedEarly))
}

fn crlf(bytes: &[u8]) -> Vec<u8> {
    let text = str::from_utf8(bytes).unwrap();
    text.replace('\n', "\r\n").into_bytes()
}

#[test]
fn line_ends_and_a_mark_before_the_text_change_nothing() {
    let marked = |bytes: &[u8]| [&b"\xef\xbb\xbf"[..], bytes].concat();
    for bytes in [
        file_of(&three_events()),
        ended(&samples::header()),
        ended(&samples::first_header()),
    ] {
        let plain = scan(&bytes).unwrap();
        for other in [crlf(&bytes), marked(&bytes), marked(&crlf(&bytes))] {
            let found = scan(&other).unwrap();
            assert_eq!(found.good, other.len());
            let good = plain.good;
            assert_eq!(Scan { good, ..found }, plain);
        }
    }
}

/// What a tool has given CRLF goes on with LF.
#[test]
fn lines_may_end_in_either_way_in_one_file() {
    let bytes = ended(&samples::header());
    let ends = line_ends(&bytes);
    for cut in &ends {
        let mixed = [&crlf(&bytes[..*cut]), &bytes[*cut..]].concat();
        let found = scan(&mixed).unwrap();
        assert!(found.sealed && found.damage.is_none(), "{cut}");
        assert_eq!(found.chain, scan(&bytes).unwrap().chain);
    }
}

#[test]
fn an_ended_sitting_is_sealed_and_a_cut_between_leaves_it_ended() {
    let bytes = ended(&samples::header());
    let ends = line_ends(&bytes);
    let closed = ends[4];
    let whole = scan(&bytes).unwrap();
    assert!(whole.sealed && whole.torn.is_none() && whole.damage.is_none());
    assert_eq!((whole.good, whole.events.len()), (bytes.len(), 4));
    for cut in closed..bytes.len() {
        let tails: [&[u8]; 2] = [&[], &[0; 3]];
        for tail in tails {
            let cut_off = [&bytes[..cut], tail].concat();
            if cut_off.len() > bytes.len() {
                continue;
            }
            let found = scan(&cut_off).unwrap();
            assert_eq!(found.events.last(), Some(&end()), "cut at {cut}");
            assert_eq!((found.sealed, found.torn), (false, None), "cut at {cut}");
            assert_eq!((found.damage, found.good), (None, closed), "cut at {cut}");
        }
        let returned = [&bytes[..cut], b"\r"].concat();
        assert_eq!(scan(&returned).unwrap().damage, None, "cut at {cut}");
    }
}

#[test]
fn a_flip_in_the_seal_and_anything_behind_it_is_damage_that_names_the_line() {
    let bytes = ended(&samples::header());
    let closed = line_ends(&bytes)[4];
    for index in closed..bytes.len() {
        for bit in 0..8 {
            let mut flipped = bytes.clone();
            flipped[index] ^= 1 << bit;
            let found = scan(&flipped).unwrap();
            let damage = found.damage.unwrap();
            assert_eq!(damage.line, 6, "bit {bit} of byte {index}");
            assert_eq!((found.torn, found.good), (None, closed));
        }
    }
    let tails: [&[u8]; 5] = [b"\n", b"\0", b"x", b"(n:6,at:9", b"\r\n"];
    for tail in tails {
        let longer = [&bytes[..], tail].concat();
        let damage = scan(&longer).unwrap().damage;
        let line = 7;
        assert_eq!(
            damage,
            Some(Damage {
                line,
                what: Wrong::AfterEnd
            }),
            "{tail:?}"
        );
    }
}

/// Whatever bit of a sealed file is flipped, nobody takes it for a sitting that is still open; neither a
/// file that a kill left unsealed, but for the word itself that ends it.
#[test]
fn a_flip_never_makes_an_ended_sitting_an_open_one() {
    let sealed = ended(&samples::header());
    let unsealed = sealed[..line_ends(&sealed)[4]].to_vec();
    for (bytes, is_sealed) in [(&sealed, true), (&unsealed, false)] {
        let word = bytes
            .windows(7)
            .position(|part| part == b"Closed(")
            .unwrap();
        for index in line_ends(bytes)[0]..bytes.len() {
            for bit in 0..8 {
                let mut flipped = bytes.clone();
                flipped[index] ^= 1 << bit;
                let found = scan(&flipped).unwrap();
                let what = format!("bit {bit} of byte {index}: {found:?}");
                assert!(found.damage.is_some() && found.torn.is_none(), "{what}");
                let in_the_word = (word - 7..word + 7).contains(&index);
                let over = found.is_over() || found.behind.ended;
                assert!(over || (in_the_word && !is_sealed), "{what}");
            }
        }
    }
}

#[test]
fn what_lies_behind_a_damage_tells_until_when_the_sitting_went_on() {
    let bytes = file_of(&three_events());
    let ends = line_ends(&bytes);
    for (from, to, latest) in [(0, 1, 700), (1, 2, 700), (2, 3, 0)] {
        let mut spoilt = bytes.clone();
        spoilt[ends[from] + 5] ^= 2;
        let found = scan(&spoilt).unwrap();
        assert_eq!(found.good, ends[from]);
        let told = found.behind.latest.map(|(at, _)| at.as_millis());
        assert_eq!(told.unwrap_or_default(), latest, "line {to}");
        assert!(!found.behind.ended);
    }
    // Digits that are wrong take the line behind them along, and no further.
    let mut spoilt = bytes.clone();
    spoilt[ends[1] - 2] = b'z';
    assert_eq!(
        scan(&spoilt)
            .unwrap()
            .behind
            .latest
            .map(|(at, _)| at.as_millis()),
        Some(700)
    );
}

/// Lines that check, each in its place, and yet do not belong behind the end.
#[test]
fn a_wrong_count_a_wrong_digest_and_a_further_event_are_damage() {
    let bytes = ended(&samples::header());
    let before = &bytes[..line_ends(&bytes)[4]];
    let chain = scan(before).unwrap().chain;
    let what = |line: &str| {
        let damage = scan(&[before, line.as_bytes()].concat()).unwrap().damage;
        let Damage { line, what } = damage.unwrap();
        assert_eq!(line, 6);
        what
    };
    let mut ahead = Chain { next: 9, ..chain };
    let counted = line::write_seal(before, &mut ahead).unwrap();
    let numbered = Wrong::Number {
        wanted: 5,
        found: 9,
    };
    assert_eq!(what(&counted), numbered);
    let other = line::write_seal(b"other", &mut chain.clone()).unwrap();
    assert_eq!(what(&other), Wrong::SealedDigest);
    let late = samples::stamped(901, Event::BreakStarted);
    let late = line::write_event(&late, &mut chain.clone()).unwrap();
    assert_eq!(what(&late), Wrong::AfterEnd);
    let right = line::write_seal(before, &mut chain.clone()).unwrap();
    let miscounted = reseal(&right.replace("lines:5", "lines:4"), chain);
    let lines = Wrong::SealedLines {
        there: 5,
        stated: 4,
    };
    assert_eq!(what(&miscounted), lines);
    let said = what(&miscounted).to_string();
    assert_eq!(said, "it seals 4 lines, but there are 5 before it");
}

/// The line with the checksum that fits what it says now.
fn reseal(line: &str, chain: Chain) -> String {
    let (text, _) = line.rsplit_once(" // ").unwrap();
    let mut hash = crc32fast::Hasher::new();
    hash.update(format!("{:08x}{text}", chain.crc).as_bytes());
    format!("{text} // {:08x}\n", hash.finalize())
}

#[test]
fn a_seal_without_an_end_before_it_is_damage() {
    let open = file_of(&three_events());
    let mut chain = scan(&open).unwrap().chain;
    let seal = line::write_seal(&open, &mut chain).unwrap();
    let found = scan(&[&open, seal.as_bytes()].concat()).unwrap();
    let damage = found.damage.unwrap();
    assert!(
        damage.line == 5 && matches!(damage.what, Wrong::Record(_)),
        "{damage:?}"
    );
}

#[test]
fn a_file_of_format_1_has_no_seal_and_may_be_torn_behind_its_end() {
    let bytes = ended(&samples::first_header());
    let whole = scan(&bytes).unwrap();
    assert_eq!(whole.header, samples::first_header());
    assert_eq!(
        (whole.sealed, whole.torn, whole.damage),
        (false, None, None)
    );
    let torn = [&bytes[..], b"(n:5"].concat();
    assert!(scan(&torn).unwrap().torn.is_some());
}

#[test]
fn an_event_that_nobody_knows_is_damage_that_names_its_line() {
    let open = file_of(&three_events());
    let chain = scan(&open).unwrap().chain;
    let event = "(n:4,at:900,utc:\"2026-11-25T09:12:00.900Z\",event:Yodelled(3)) // 0";
    let line = reseal(event, chain);
    let found = scan(&[&open, line.as_bytes()].concat()).unwrap();
    let damage = found.damage.unwrap();
    let told = damage.what.to_string();
    assert!(damage.line == 5 && told.contains("Yodelled"), "{told}");
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
    fn any_events_come_back(picks in prop::collection::vec((0_usize..1000, 0_u64..5000), 0..40)) {
        // The end of a sitting comes last, and nothing behind it.
        let mut kinds = samples::one_of_each();
        kinds.pop();
        let mut at = 0;
        let events: Vec<_> = picks
            .into_iter()
            .map(|(kind, gap)| {
                at += gap;
                samples::stamped(at, kinds[kind % kinds.len()].clone())
            })
            .collect();
        let found = scan(&file_of(&events)).unwrap();
        prop_assert_eq!(found.events, events);
        prop_assert!(found.torn.is_none() && found.damage.is_none());
    }
}

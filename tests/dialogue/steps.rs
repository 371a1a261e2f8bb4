//! Moves without a face.

use std::sync::Arc;

use pacebell::dialogue::{Act, Confirm, Dialogue, Move, Scene};
use pacebell::domain::event::{Ending, How};
use pacebell::domain::labels::Label;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::Paper;
use pacebell::domain::rule::QuestionNo;
use pacebell::domain::sitting::{Command, Phase, Refusal, Sitting};
use pacebell::domain::time::Elapsed;
use pacebell::words::sitting::{FillOffer, LookAgain, Said, SweepSaid};
use proptest::prelude::*;

use crate::desk::{header, paper, scene};

fn label(c: char) -> Label {
    Label::new(c).unwrap()
}

const fn q(number: u16) -> QuestionNo {
    QuestionNo(number)
}

/// A sitting that does what a dialogue asks, and nothing else.
#[derive(Clone)]
struct Table {
    paper: Paper,
    sitting: Sitting,
    dialogue: Dialogue,
    at: Elapsed,
    left: bool,
}

impl Table {
    fn new(on_screen: bool) -> Self {
        let paper = paper("ABCDE");
        let mut header = header(&paper);
        header.paper.on_screen = on_screen;
        let sitting = Sitting::new(Arc::new(header));
        let mut dialogue = Dialogue::begin(&scene(&sitting, &paper, Elapsed::ZERO));
        let first = dialogue.opening(&scene(&sitting, &paper, Elapsed::ZERO));
        let mut table = Self {
            paper,
            sitting,
            dialogue,
            at: Elapsed::ZERO,
            left: false,
        };
        table.does(&first.acts);
        table
    }

    fn scene(&self) -> Scene<'_> {
        scene(&self.sitting, &self.paper, self.at)
    }

    /// Every act is granted.
    fn does(&mut self, acts: &[Act]) {
        for act in acts {
            match act {
                Act::Wish(command) => self.wish(command),
                Act::FillBlanks(blanks) => {
                    let answers = blanks.iter().map(|q| (*q, label('A'))).collect();
                    self.wish(&Command::Fill { seed: 7, answers });
                }
                Act::Leave => self.left = true,
            }
        }
    }

    fn wish(&mut self, command: &Command) {
        let decided = self.sitting.decide(command.clone(), self.at);
        let event = decided.unwrap_or_else(|refusal| panic!("{command:?}: {refusal}"));
        if let Some(event) = event {
            self.sitting.apply(self.at, &event);
        }
    }

    fn at(&mut self, seconds: u64) -> &mut Self {
        self.at = Elapsed::seconds(seconds);
        self
    }

    fn hears(&mut self, said: Move) -> Vec<Said> {
        let mut dialogue = self.dialogue;
        let reply = dialogue.hear(said, &self.scene());
        self.dialogue = dialogue;
        self.does(&reply.acts);
        reply.said
    }

    fn script(&mut self, moves: &[Move]) -> &mut Self {
        for said in moves {
            self.hears(*said);
        }
        self
    }
}

fn every_move() -> Vec<Move> {
    let mut moves = vec![
        Move::Answer(label('A'), None),
        Move::Answer(label('E'), Some(How::Unsure)),
        Move::Answer(label('B'), Some(How::Filled)),
        Move::Answer(label('Z'), None),
        Move::Say(How::Worked),
        Move::Say(How::Unsure),
        Move::Say(How::Guessed),
        Move::Say(How::Filled),
        Move::AnswerAt(q(3), label('B'), None),
        Move::AnswerAt(q(4), label('C'), Some(How::Unsure)),
        Move::AnswerAt(q(4), label('C'), Some(How::Filled)),
        Move::AnswerAt(q(6), label('C'), None),
        Move::AnswerAt(q(1), label('Z'), None),
        Move::CrossOut(label('A')),
        Move::CrossOut(label('Z')),
        Move::NextUnsure,
        Move::Sweep,
        Move::Next,
        Move::Previous,
        Move::First,
        Move::Last,
        Move::NextBlank,
        Move::NextFlag,
        Move::Skip,
        Move::Flag,
        Move::RubOut,
        Move::SayNext,
        Move::HideClock,
        Move::ShowClock,
        Move::StartBreak,
        Move::EndBreak,
        Move::Guess,
        Move::Fill,
        Move::TakeFillsBack,
        Move::Finish,
        Move::GiveUp,
        Move::Leave,
        Move::Confirm,
        Move::Cancel,
        Move::Listen,
    ];
    moves.extend((0..=6).map(|number| Move::Go(q(number))));
    moves
}

/// Whether the move does something or asks for it once more; time up happens by itself.
fn has_effect(table: &Table, said: Move) -> bool {
    let mut dialogue = table.dialogue;
    let reply = dialogue.hear(said, &table.scene());
    let acts = reply
        .acts
        .iter()
        .any(|act| *act != Act::Wish(Command::Tick));
    acts || (said.asks().is_some() && dialogue.asked(&table.scene()) == said.asks())
}

/// Wherever a sitting stands: a move has an effect if and only if it is offered, every act of
/// every move is granted, and no single move ends, leaves or fills.
fn offers_what_works(on_screen: bool) {
    let step = (0_u64..40, any::<bool>(), any::<prop::sample::Index>());
    let steps = prop::collection::vec(step, 0..60);
    proptest!(ProptestConfig::with_cases(128), |(steps in steps)| {
        let every = every_move();
        let mut table = Table::new(on_screen);
        let mut seconds = 0;
        for (wait, wakes, pick) in steps {
            seconds += wait;
            table.at(seconds);
            if wakes && !table.sitting.is_closed() {
                table.wish(&Command::Tick);
            }
            for said in &every {
                let offered = table.dialogue.offers(*said, &table.scene());
                if !matches!(said, Move::Cancel | Move::Listen) {
                    prop_assert_eq!(
                        has_effect(&table, *said), offered,
                        "{:?} in {:?}", said, table.sitting.phase()
                    );
                }
                let mut after = table.clone();
                after.hears(*said);
                if *said != Move::Confirm {
                    prop_assert_eq!(after.sitting.is_closed(), table.sitting.is_closed());
                    let filled = after.scene().fills().count() > table.scene().fills().count();
                    prop_assert!(!after.left && !filled, "{:?}", said);
                }
            }
            table.hears(every[pick.index(every.len())]);
            if table.left {
                break;
            }
        }
    });
}

#[test]
fn what_is_offered_on_a_screen_is_what_works() {
    offers_what_works(true);
}

#[test]
fn what_is_offered_in_lines_is_what_works() {
    offers_what_works(false);
}

#[test]
fn what_was_asked_is_dropped_by_anything_else_and_by_time_up() {
    for between in [Move::Cancel, Move::Flag, Move::Leave, Move::GiveUp] {
        let mut table = Table::new(true);
        table.script(&[Move::Finish, between]);
        assert_ne!(table.dialogue.asked(&table.scene()), Some(Confirm::Finish));
    }
    let mut late = Table::new(true);
    late.at(599).hears(Move::Finish);
    assert_eq!(late.dialogue.asked(&late.scene()), Some(Confirm::Finish));
    late.at(600);
    assert_eq!(
        late.hears(Move::Confirm).get(1),
        Some(&Said::TooLate { answer: false })
    );
    assert_eq!(late.sitting.phase(), Phase::TimeUp);
    late.at(601).hears(Move::Confirm);
    assert_eq!(late.sitting.phase(), Phase::TimeUp, "it was dropped");
    late.script(&[Move::Finish, Move::Confirm]);
    assert_eq!(late.sitting.phase(), Phase::Closed(Ending::GuessRoundDone));
}

#[test]
fn time_up_is_heard_before_anything_counts() {
    let mut table = Table::new(true);
    table.at(600).wish(&Command::Tick);
    assert!(table.dialogue.owes_time_up(&table.scene()));
    let said = table.hears(Move::Guess);
    assert_eq!(said[0], Said::TimeIsUp { on_screen: true });
    assert_eq!(said[1], Said::TooLate { answer: false });
    assert_eq!(table.sitting.phase(), Phase::TimeUp);
    // Nothing counts in the first second, whatever has been said by then.
    table.at = Elapsed(600_999);
    table.script(&[Move::Guess, Move::Confirm]);
    assert_eq!(table.sitting.phase(), Phase::TimeUp);
    table.at = Elapsed(601_000);
    table.hears(Move::Guess);
    assert_eq!(table.sitting.phase(), Phase::TimeUp, "it asks first");
    table.hears(Move::Confirm);
    assert_eq!(table.sitting.phase(), Phase::GuessRound);
    // What was announced at the moment itself is not said twice, and Enter alone is not too late.
    let mut announced = Table::new(true);
    announced.at(600).wish(&Command::Tick);
    let mut dialogue = announced.dialogue;
    let due = dialogue.due(&announced.scene());
    assert_eq!(due, Some(Said::TimeIsUpNow { on_screen: true }));
    assert_eq!(dialogue.due(&announced.scene()), None);
    announced.dialogue = dialogue;
    let blanks = (1..=5).map(q).collect();
    assert_eq!(
        announced.hears(Move::Listen),
        [Said::AfterTime { blanks, last: None }]
    );
}

#[test]
fn the_guess_round_opens_only_what_was_blank() {
    let mut table = Table::new(true);
    table.script(&[Move::Next, Move::Answer(label('B'), None)]);
    table.at(600).wish(&Command::Tick);
    table
        .at(602)
        .script(&[Move::Listen, Move::Guess, Move::Confirm]);
    assert_eq!(table.scene().current(), Some(q(1)));
    assert_eq!(
        table.hears(Move::Go(q(2))),
        [Said::Refused(Refusal::AnsweredInTime)]
    );
    table.hears(Move::Go(q(5)));
    table.hears(Move::Answer(label('C'), Some(How::Unsure)));
    assert_eq!(
        table.scene().current(),
        Some(q(1)),
        "round the end to what was passed by"
    );
    let given = table.sitting.row(q(5)).and_then(|row| row.after_time);
    assert_eq!(given.map(|given| given.how), Some(How::Guessed));
}

#[test]
fn a_printed_paper_waits_for_a_number() {
    let mut table = Table::new(false);
    assert_eq!(table.sitting.open(), None);
    for said in [Move::Answer(label('A'), None), Move::Skip, Move::Flag] {
        assert_eq!(table.hears(said), [Said::WhichQuestion]);
    }
    table.script(&[Move::Go(q(3)), Move::Answer(label('A'), None)]);
    assert_eq!(table.sitting.blanks().count(), 4);
}

#[test]
fn the_last_question_is_not_gone_on_from() {
    let mut table = Table::new(true);
    table.hears(Move::Last);
    let said = table.hears(Move::Skip);
    assert!(
        matches!(
            said[..],
            [
                Said::LeftForLater { last: true, .. },
                Said::LastQuestion { .. }
            ]
        ),
        "{said:?}"
    );
    assert_eq!(table.sitting.open(), Some(q(5)));
    assert!(matches!(
        table.hears(Move::Next)[..],
        [Said::LastQuestion { .. }]
    ));
    table.hears(Move::NextBlank);
    assert_eq!(table.sitting.open(), Some(q(1)));
}

#[test]
fn fills_are_taken_back_and_guesses_stay() {
    let mut table = Table::new(true);
    table.at(600).wish(&Command::Tick);
    table
        .at(602)
        .script(&[Move::Listen, Move::Guess, Move::Confirm]);
    table.hears(Move::Answer(label('D'), None));
    table.script(&[Move::Fill, Move::Confirm]);
    assert_eq!(table.sitting.blanks().count(), 0);
    assert_eq!(table.hears(Move::TakeFillsBack), [Said::FillsTakenBack]);
    assert_eq!(
        table.sitting.blanks().collect::<Vec<_>>(),
        [2, 3, 4, 5].map(q)
    );
    let mut dropped = table.clone();
    dropped.hears(Move::Fill);
    assert_eq!(dropped.hears(Move::Cancel), [Said::NotFilled]);
}

#[test]
fn blanks_on_which_a_guess_loses_are_not_filled() {
    let mut table = Table::new(true);
    // 1 right and -1 wrong of five: a blind guess loses 3/5, between the last two it gains nothing.
    let mut header = header(&table.paper);
    for section in &mut header.paper.rule.sections {
        (section.right, section.wrong) = (Mark::whole(1), Mark::whole(-1));
    }
    table.sitting = Sitting::new(Arc::new(header));
    table.wish(&Command::CrossOut(q(2), label('A')));
    for option in ['B', 'C'] {
        table.wish(&Command::CrossOut(q(2), label(option)));
    }
    table.at(600).wish(&Command::Tick);
    table
        .at(602)
        .script(&[Move::Listen, Move::Guess, Move::Confirm]);
    let even = FillOffer {
        blanks: 5,
        filled: 1,
    };
    assert_eq!(table.hears(Move::Fill), [Said::AskFill(even)]);
    assert_eq!(
        Said::AskFill(even).spoken(&[]),
        [
            "Fill 1 blank at random? 4 stay blank: a guess there loses marks on average. \
          Type y to fill; anything else carries on."
        ]
    );
    table.hears(Move::Confirm);
    let blanks: Vec<_> = table.sitting.blanks().collect();
    assert_eq!(blanks, [1, 3, 4, 5].map(q));
    assert!(!table.dialogue.offers(Move::Fill, &table.scene()));
    assert_eq!(table.hears(Move::Fill), [Said::NothingToFill]);
}

#[test]
fn only_the_program_says_that_an_answer_was_filled() {
    let mut table = Table::new(true);
    table.hears(Move::Answer(label('A'), Some(How::Filled)));
    assert_eq!(table.sitting.blanks().count(), 5);
    table.script(&[Move::Answer(label('A'), None), Move::Say(How::Filled)]);
    let given = table.sitting.row(q(1)).and_then(|row| row.in_time);
    assert_eq!(given.map(|given| given.how), Some(How::Worked));
    table.script(&[Move::GiveUp, Move::Confirm]);
    assert_eq!(table.sitting.phase(), Phase::Closed(Ending::Abandoned));
    assert_eq!(
        table.hears(Move::Flag),
        [Said::Refused(Refusal::Finished)],
        "nothing more is heard"
    );
}

#[test]
fn a_sweep_goes_through_the_blanks_and_says_guess_of_each() {
    let mut table = Table::new(true);
    table.script(&[Move::Next, Move::Answer(label('B'), None), Move::Next]);
    table.script(&[Move::Next, Move::Answer(label('B'), Some(How::Unsure))]);
    assert_eq!(
        table.hears(Move::Sweep),
        [Said::Sweep(SweepSaid::Begun { blanks: 3 })]
    );
    assert_eq!(table.scene().current(), Some(q(1)));
    table.hears(Move::Answer(label('A'), None));
    assert_eq!(table.scene().current(), Some(q(3)));
    assert_eq!(
        table.hears(Move::SayNext),
        [Said::Sweep(SweepSaid::OnlyGuesses)]
    );
    table.hears(Move::Next);
    assert_eq!(table.scene().current(), Some(q(5)), "4 has its answer");
    table.hears(Move::Previous);
    table.hears(Move::Previous);
    assert_eq!(
        table.scene().current(),
        Some(q(1)),
        "a guess can be changed"
    );
    table.hears(Move::Answer(label('C'), None));
    assert_eq!(table.scene().current(), Some(q(3)));
    // Every way out of it leaves it.
    let mut gone = table.clone();
    gone.hears(Move::Go(q(2)));
    assert!(!gone.sitting.is_sweeping());
    assert_eq!(gone.sitting.open(), Some(q(2)));
    table.hears(Move::Answer(label('D'), None));
    let said = table.hears(Move::Answer(label('E'), None));
    let next = Said::AllAnswered(LookAgain {
        flags: false,
        unsure: true,
    });
    assert_eq!(said.last(), Some(&next));
    assert!(
        !table.sitting.is_sweeping(),
        "with the last blank it is over"
    );
    let how = |number| table.sitting.row(q(number)).unwrap().in_time.unwrap().how;
    assert_eq!([1, 3, 5].map(how), [How::Guessed; 3]);
    assert_eq!((how(2), how(4)), (How::Worked, How::Unsure));
}

#[test]
fn a_rest_break_goes_back_to_the_sweep() {
    for leaves in [false, true] {
        let mut table = Table::new(true);
        table.script(&[Move::Answer(label('B'), None), Move::Sweep]);
        table.script(&[Move::Answer(label('A'), None)]);
        if leaves {
            table.script(&[Move::Leave, Move::Confirm]);
        } else {
            assert_eq!(table.hears(Move::StartBreak), [Said::OnBreak]);
        }
        assert_eq!(table.sitting.phase(), Phase::OnBreak);
        table.at(60);
        assert_eq!(
            table.hears(Move::EndBreak),
            [
                Said::ClockRunsAgain,
                Said::Sweep(SweepSaid::Begun { blanks: 3 })
            ]
        );
        assert_eq!(table.scene().current(), Some(q(3)));
        table.hears(Move::Answer(label('D'), None));
        assert_eq!(table.scene().current(), Some(q(4)), "the next blank opens");
        let how = |number| table.sitting.row(q(number)).unwrap().in_time.unwrap().how;
        assert_eq!(
            [1, 2, 3].map(how),
            [How::Worked, How::Guessed, How::Guessed]
        );
    }
}

#[test]
fn a_changed_answer_keeps_its_word() {
    let mut table = Table::new(true);
    for (first, second, how) in [
        (Some(How::Unsure), None, How::Unsure),
        (Some(How::Guessed), None, How::Guessed),
        (Some(How::Guessed), Some(How::Worked), How::Worked),
        (None, None, How::Worked),
    ] {
        table.script(&[
            Move::Answer(label('A'), first),
            Move::Answer(label('B'), second),
        ]);
        let given = table.sitting.row(q(1)).and_then(|row| row.in_time).unwrap();
        assert_eq!((given.option, given.how), (label('B'), how));
        table.hears(Move::RubOut);
    }
}

#[test]
fn where_rest_breaks_are_arranged_leaving_is_one() {
    let mut table = Table::new(true);
    table.script(&[Move::Leave, Move::Confirm]);
    assert!(table.left);
    assert_eq!(table.sitting.phase(), Phase::OnBreak);
}

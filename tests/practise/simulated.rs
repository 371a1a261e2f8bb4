//! Simulated pupils who forget and learn, and what the schedule makes of them. Their figures are invented (no source).

use std::collections::{BTreeMap, BTreeSet};

use pacebell::domain::practice::{RoundMove, RoundStage};
use pacebell::domain::rule::QuestionNo;
use pacebell::season::practice::{PracticeState, gap_days};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::days::{Diary, day, pairs, paper};

/// What a pupil still knows of a question: the day of the last working, and how well it sat.
#[derive(Clone, Copy, Default)]
struct Memory {
    last: i64,
    halving: f64,
}

impl Memory {
    /// The chance of a right answer: it halves towards a guess after some days, later each time it is learnt.
    fn chance(self, today: i64) -> f64 {
        if self.halving == 0.0 {
            return 0.25;
        }
        #[expect(clippy::cast_precision_loss, reason = "days of a season")]
        let days = (today - self.last) as f64;
        0.2 + 0.75 * 0.5_f64.powf(days / self.halving)
    }

    fn learn(&mut self, today: i64) {
        self.halving = if self.halving == 0.0 {
            6.0
        } else {
            self.halving * 2.0
        };
        self.last = today;
    }
}

/// One pupil: two sittings with so many missed, then practice on some days up to the paper.
fn season(seed: u64) -> (Diary, i64, BTreeMap<QuestionNo, Vec<i64>>) {
    const TOPICS: [&str; 4] = ["angles", "primes", "counting", "fractions"];
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let paper_on = random.random_range(12..80);
    let drawn: Vec<&str> = (0..20)
        .map(|_| TOPICS[random.random_range(0..TOPICS.len())])
        .collect();
    let mut diary = Diary::new(&[paper("Reed", 20, &drawn)]);
    let answers: String = (0..20)
        .map(|_| ['B', 'C', 'c', '-'][random.random_range(0..4_usize)])
        .collect();
    diary.sits(0, 0, &answers);
    let mut memory = BTreeMap::<QuestionNo, Memory>::new();
    let mut tried = BTreeMap::<QuestionNo, Vec<i64>>::new();
    // Some practise daily, some twice a week; nobody does more than so many in a session.
    let (every, most) = (random.random_range(1..4), random.random_range(10..15));
    for today in (0..paper_on).step_by(every) {
        let mut due = diary.season().due(day(today), Some(day(paper_on)));
        assert_neighbours(&due);
        due.truncate(most);
        let mut rest = due.len();
        diary.practises_by(today, due, |round, _| {
            let open = round.question().unwrap().which.question;
            let own = memory.entry(open).or_default();
            match round.stage() {
                RoundStage::First { .. } => {
                    tried.entry(open).or_default().push(today);
                    let right = random.random_bool(own.chance(today));
                    RoundMove::Answer(if right { 'B' } else { 'C' })
                }
                RoundStage::Second { .. } => RoundMove::Answer('B'),
                RoundStage::Over { .. } | RoundStage::Ended => {
                    own.learn(today);
                    rest -= 1;
                    RoundMove::Next
                }
            }
        });
        assert_eq!(rest, 0);
    }
    (diary, paper_on, tried)
}

/// With one topic a question, no neighbours share one as long as none has more than half of them, one more than the others
/// at the most.
fn assert_neighbours(due: &[pacebell::domain::practice::RoundQuestion]) {
    let mut counts = BTreeMap::<&str, usize>::new();
    for topic in due.iter().flat_map(|own| own.topics()) {
        *counts.entry(topic).or_default() += 1;
    }
    let most = counts.values().max().copied().unwrap_or(0);
    let least = (2 * most).saturating_sub(due.len() + 1);
    assert_eq!(pairs(due), least, "{counts:?}");
}

#[test]
fn every_missed_question_comes_back_before_the_paper_and_no_sooner_than_its_gap() {
    let (mut secure, mut all) = (0, 0);
    for seed in 0..60 {
        let (diary, paper_on, tried) = season(seed);
        let season = diary.season();
        let missed: BTreeSet<_> = season
            .missed()
            .map(|own| own.round.which.question)
            .collect();
        let back: BTreeSet<_> = tried.keys().copied().collect();
        assert_eq!(missed, back, "seed {seed}, paper on day {paper_on}");
        for (question, days) in &tried {
            for pair in days.windows(2) {
                let left = u32::try_from(paper_on - pair[0]).unwrap();
                let gap = i64::from(gap_days(Some(left)));
                assert!(
                    pair[1] - pair[0] >= gap,
                    "seed {seed}, {question}: {days:?}"
                );
            }
            assert!(days.iter().all(|day| *day < paper_on));
        }
        for own in season.missed() {
            all += 1;
            let state = own.state(day(paper_on), Some(day(paper_on)));
            let is_secure = state == Some(PracticeState::Secure);
            secure += usize::from(is_secure);
            if is_secure {
                let rights = own.rights();
                assert!(rights.len() >= 2);
                let span = day(paper_on) - rights.last().unwrap().at.date_naive();
                assert!(span.num_days() >= 14);
            }
        }
    }
    assert!(
        secure * 3 > all && secure < all,
        "{secure} of {all}: some are learnt, some not"
    );
}

/// Pupils who know nothing and guess each time: a question is called secure about as often as two right guesses in a row
/// come up, and far less often than for those who learn.
#[test]
fn somebody_who_only_guesses_is_seldom_called_secure() {
    let (mut secure, mut all) = (0, 0);
    for seed in 0..40 {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut diary = Diary::new(&[paper("Reed", 10, &[])]);
        diary.sits(0, 0, "CCCCCCCCCC");
        for today in [1, 8, 15, 22] {
            let due = diary.season().due(day(today), None);
            diary.practises_by(today, due, |round, _| match round.stage() {
                // A guess among the four options that are left.
                RoundStage::First { .. } => {
                    RoundMove::Answer(['A', 'B', 'D', 'E'][random.random_range(0..4_usize)])
                }
                RoundStage::Second { wrong } if wrong.as_char() == 'A' => RoundMove::Answer('D'),
                RoundStage::Second { .. } => RoundMove::Answer('A'),
                RoundStage::Over { .. } | RoundStage::Ended => RoundMove::Next,
            });
        }
        for own in diary.season().missed() {
            all += 1;
            secure += usize::from(own.state(day(60), None) == Some(PracticeState::Secure));
        }
    }
    // Two rights in a row somewhere in four tries with a chance of 1/4 each: the 256 equally likely outcomes are counted.
    let outcomes = 0..256_u32;
    let lucky = outcomes.filter(|outcome| {
        let tries: Vec<bool> = (0..4).map(|n| (outcome >> (2 * n)) % 4 == 0).collect();
        tries.windows(2).any(|pair| pair[0] && pair[1])
    });
    let expected = f64::from(u32::try_from(lucky.count()).unwrap()) / 256.0 * 400.0;
    let seen = f64::from(u32::try_from(secure).unwrap());
    assert_eq!(all, 400);
    assert!(
        (seen - expected).abs() < 4.0 * 7.5,
        "{seen} of 400, about {expected}"
    );
}

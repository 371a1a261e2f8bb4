//! The range of a mark: between which marks the next one lies in 8 of 10 cases.
//!
//! Every range of a mark is cut here, from the distribution of the mark that may come. After one sitting alone that
//! is [`NextMark`]: nothing is taken for granted of the pupil but that they stay as they are.

use std::collections::BTreeMap;
use std::sync::{Mutex, OnceLock, PoisonError};

use crate::domain::event::How;
use crate::domain::mark::Mark;
use crate::domain::marking::{Marked, Outcome, QuestionMark};
use crate::domain::paper::Outline;
use crate::domain::rule::Section;
use crate::season::model::paper::is_narrow;
use crate::season::model::priors::{Priors, QUESTIONS_A_LOGIT};
use crate::stats::ability;
use crate::stats::beta::Beta;
use crate::stats::kernel::slices;
use crate::stats::luck::{AlikeQuestions, Distribution, PossibleGain, mixture};
use crate::stats::{rasch, real};
use statrs::distribution::{ContinuousCDF, Normal};

/// The share of next marks that a range holds.
pub const SHARE: f64 = 0.8;
/// Fewer questions than this say nothing about another day.
const FEWEST_QUESTIONS: usize = 10;
/// In how many equally likely slices a part's chance is laid out.
const CHANCES: usize = 9;
/// In how many equally likely slices the days are laid out.
const DAYS: usize = 5;
/// A section is taken in parts, since questions get harder along it: of this many questions or more, and at most so
/// many of them. Both chosen by simulation.
const PART: usize = 5;
const MOST_PARTS: usize = 5;
/// A part counts for half a question more that is right and half a one that is not (Jeffreys 1946, *Proceedings of
/// the Royal Society A* 186, from memory), a short one for less: for this share of its questions each way, chosen so
/// that a sheet with everything right has a range that ends there.
const LENT: f64 = 0.5;
const LENT_SHARE: f64 = 0.05;
/// What a whole paper more or less to get through is worth in logits: three in ten right on the questions about where a
/// pupil stops (common practice, no source).
const LOGITS_A_PAPER: f64 = 0.3 * 25.0 / QUESTIONS_A_LOGIT;

/// The marks that leave out the same share of a distribution, in grid steps, at both ends.
pub fn middle(marks: &Distribution, grid: i64) -> Option<(Mark, Mark)> {
    let outside = (1.0 - SHARE) / 2.0;
    let mark = |share| Some(Mark::from_steps(marks.quantile(share)?, grid));
    Some((mark(outside)?, mark(1.0 - outside)?))
}

/// How many standard errors a range reaches each way in the normal distribution.
pub fn deviates() -> f64 {
    Normal::standard().inverse_cdf(f64::midpoint(SHARE, 1.0))
}

/// What one sitting says of its mark on another day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnotherDay {
    /// Between which marks it lies in 8 of 10 cases.
    Between((Mark, Mark)),
    /// Nothing, since every answer was said or filled as a guess.
    OnlyGuesses,
}

impl AnotherDay {
    /// After a marked sheet; `None` where nothing can be said and there is no more to say of it.
    pub fn after(marked: &Marked, outline: &Outline) -> Option<Self> {
        if has_only_guesses(marked) {
            return Some(Self::OnlyGuesses);
        }
        let range = NextMark::after(marked, outline)?.range()?;
        Some(Self::Between(range))
    }

    /// The range, where there is one.
    pub const fn range(self) -> Option<(Mark, Mark)> {
        match self {
            Self::Between(range) => Some(range),
            Self::OnlyGuesses => None,
        }
    }
}

fn has_only_guesses(marked: &Marked) -> bool {
    let mut given = marked.questions.iter().filter_map(|own| own.answer.how);
    given.next().is_some_and(How::is_luck) && given.all(How::is_luck)
}

/// The mark of another sitting like one that was sat: other questions of the same kind, another day, and a pupil who
/// has not changed.
///
/// A binomial for each part of the paper (stratified as in Feldt 1984, *Educational and Psychological Measurement*
/// 44, from memory), whose chance is known from the part's own answers alone (a beta distribution). Both days move all
/// chances together, in logits; what is not right is wrong or blank as often as it was. As many
/// are guessed again, with the chance of a guess on any day, however they came out. The rest is exact convolution, so the mark stays within what the
/// paper can give.
#[derive(Clone, Debug, PartialEq)]
pub struct NextMark {
    marks: Distribution,
    grid: i64,
}

impl NextMark {
    /// Takes a marked sheet of ten questions or more; `None` for a shorter one, for one with guesses only and for marks
    /// too fine to compute with.
    pub fn after(marked: &Marked, outline: &Outline) -> Option<Self> {
        if has_only_guesses(marked) {
            return None;
        }
        let grid = outline.rule.grid()?;
        let questions = marked.questions.iter();
        let counting = questions.filter(|own| own.outcome != Outcome::Void);
        let counting: Vec<_> = counting.collect();
        if counting.len() < FEWEST_QUESTIONS {
            return None;
        }
        let parts = parts(&counting, outline, grid)?;
        let gains = parts.iter();
        if !is_narrow(gains.flat_map(|own| std::iter::repeat_n(Some(own.gains), own.questions))) {
            return None;
        }
        let brought: Mark = counting.iter().map(|question| question.marks).sum();
        let base = Distribution::certain((marked.total - brought).steps(grid)?);
        let day = |shift: f64| {
            let mut parts = parts.iter();
            parts.try_fold(base.clone(), |sum, part| sum.with(&part.on(shift)?))
        };
        let days: Vec<_> = both_days()
            .iter()
            .copied()
            .map(day)
            .collect::<Option<_>>()?;
        let days: Vec<_> = days.iter().map(|total| (1.0, total)).collect();
        Some(Self {
            marks: mixture(&days)?,
            grid,
        })
    }

    /// Between which marks it lies in 8 of 10 cases.
    pub fn range(&self) -> Option<(Mark, Mark)> {
        middle(&self.marks, self.grid)
    }

    /// The standard error of a single mark, in marks: two of them lie apart by the error of both.
    pub fn standard_error(&self) -> f64 {
        self.marks.sd() / crate::stats::steps(self.grid) / std::f64::consts::SQRT_2
    }
}

/// How far two sittings lie apart by the day, the paper and how far the pupil gets (in logits), as equally likely values:
/// the days are the model's, of a pupil of whom nothing is known.
fn both_days() -> &'static [f64] {
    // They are the same for everybody, and a group's term asks for hundreds of ranges.
    static APART: OnceLock<Vec<f64>> = OnceLock::new();
    APART.get_or_init(days_apart)
}

fn days_apart() -> Vec<f64> {
    let priors = Priors::default();
    let (.., reach) = priors.reach;
    let other = priors.paper.hypot(reach * LOGITS_A_PAPER);
    let spreads = priors
        .days
        .map(|(day, likely)| (day.hypot(other) * std::f64::consts::SQRT_2, likely));
    let weight = |gap: f64| {
        let normal = |sd: f64| (-(gap / sd).powi(2) / 2.0).exp() / sd;
        spreads
            .iter()
            .map(|(sd, likely)| likely * normal(*sd))
            .sum::<f64>()
    };
    let values = slices(ability::grid().map(|gap| (gap, weight(gap))), DAYS);
    // A slice's mean hides how wide the slice is: the values are stretched to the variance of them all.
    let squares = |values: &mut dyn Iterator<Item = f64>| values.map(|gap| gap * gap).sum::<f64>();
    let whole: f64 = spreads.iter().map(|(_, likely)| likely).sum();
    let variance = spreads
        .iter()
        .map(|(sd, likely)| likely / whole * sd * sd)
        .sum::<f64>();
    let of_slices = squares(&mut values.iter().copied()) / real(values.len().max(1));
    let stretch = (variance / of_slices).sqrt();
    values.into_iter().map(|gap| gap * stretch).collect()
}

/// The parts of a paper as another sitting would have them.
fn parts(counting: &[&QuestionMark], outline: &Outline, grid: i64) -> Option<Vec<PartChances>> {
    let all = PartCounts::of(counting, outline);
    let usual = (real(all.wrong) + 0.5) / (real(all.wrong + all.blank) + 1.0);
    let guesses = all.guessed > 0;
    let mut parts = Vec::new();
    for section in &outline.rule.sections {
        let own = counting.iter().copied();
        let own: Vec<_> = own.filter(|own| section.holds(own.answer.number)).collect();
        let many = (own.len() / PART).clamp(1, MOST_PARTS);
        for part in own.chunks(own.len().div_ceil(many).max(1)) {
            let tally = PartCounts::of(part, outline);
            parts.push(PartChances::new(section, tally, usual, guesses, grid)?);
        }
    }
    Some(parts)
}

/// How many questions came out how; said guesses apart, since how they came out says nothing.
#[derive(Clone, Copy, Default)]
struct PartCounts {
    right: usize,
    wrong: usize,
    blank: usize,
    guessed: usize,
    /// The sum of the guesses' chances: one option of all.
    luck: f64,
}

impl PartCounts {
    fn of(questions: &[&QuestionMark], outline: &Outline) -> Self {
        let mut tally = Self::default();
        for own in questions {
            if own.answer.how.is_some_and(How::is_luck) {
                tally.guessed += 1;
                tally.luck += 1.0 / real(outline.labels(own.answer.number).len());
                continue;
            }
            match own.outcome {
                Outcome::Blank => tally.blank += 1,
                Outcome::Right => tally.right += 1,
                Outcome::Wrong | Outcome::Void => tally.wrong += 1,
            }
        }
        tally
    }
}

/// One case of what is not known of a part.
#[derive(Clone, Copy, Debug)]
struct Case {
    /// The share of questions that aren't guessed.
    worked: f64,
    /// The chance of one of those to be right, in logits.
    right: f64,
}

/// The equally likely chances of a beta distribution.
fn chances(yes: f64, no: f64) -> Option<Vec<f64>> {
    // A group's term asks for hundreds of ranges, and parts of a few questions have few counts.
    static KNOWN: Mutex<BTreeMap<(u64, u64), Vec<f64>>> = Mutex::new(BTreeMap::new());
    let key = (yes.to_bits(), no.to_bits());
    let known = || KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(found) = known().get(&key).cloned() {
        return Some(found);
    }
    let new = Beta::new(yes, no)?.nodes(CHANCES)?;
    known().insert(key, new.clone());
    Some(new)
}

/// Equally likely cases: of the chances of two beta distributions, each with each, those that bring about as much are one
/// case. `worked` is nothing where nobody guesses.
fn cases(worked: Option<(f64, f64)>, right: (f64, f64), luck: f64) -> Option<Vec<Case>> {
    let rights = chances(right.0, right.1)?;
    let workeds = worked.map_or_else(|| Some(vec![1.0]), |(yes, no)| chances(yes, no))?;
    let mut pairs: Vec<_> = workeds
        .iter()
        .flat_map(|worked| rights.iter().map(move |right| (*worked, *right)))
        .collect();
    pairs.sort_by(|one, other| {
        let brings = |(worked, right): &(f64, f64)| worked * right + (1.0 - worked) * luck;
        brings(one).total_cmp(&brings(other))
    });
    let logit = |p: f64| (p / (1.0 - p)).ln();
    let cases = pairs
        .chunks(workeds.len())
        .map(|alike| {
            let worked: f64 = alike.iter().map(|(worked, _)| worked).sum();
            let right: f64 = alike.iter().map(|(worked, right)| worked * right).sum();
            Case {
                worked: worked / real(alike.len()),
                right: logit(right / worked),
            }
        })
        .collect();
    Some(cases)
}

/// A part of a section as another sitting would have it.
struct PartChances {
    questions: usize,
    /// The chance of a guess to be right.
    luck: f64,
    /// What a right, a wrong and a blank answer give, in grid steps.
    gains: [i64; 3],
    /// In which ways they come out together.
    alike: AlikeQuestions,
    /// Equally likely cases.
    cases: Vec<Case>,
    /// Of what is worked out and not right, the share that is wrong.
    wrong: f64,
}

impl PartChances {
    /// `usual` is what share of all that is worked out and not right is wrong: it counts as one answer more. Whoever
    /// guesses nowhere is taken not to guess.
    fn new(
        section: &Section,
        own: PartCounts,
        usual: f64,
        guesses: bool,
        grid: i64,
    ) -> Option<Self> {
        let PartCounts {
            right,
            wrong,
            blank,
            guessed,
            luck,
        } = own;
        let worked = right + wrong + blank;
        let lent = (LENT_SHARE * real(worked + guessed)).min(LENT);
        let luck = luck / real(guessed.max(1));
        let counts = (real(worked) + lent, real(guessed) + lent);
        let chances = (real(right) + lent, real(wrong + blank) + lent);
        let gains = [
            section.right.steps(grid)?,
            section.wrong.steps(grid)?,
            section.blank.steps(grid)?,
        ];
        Some(Self {
            questions: worked + guessed,
            luck,
            gains,
            alike: AlikeQuestions::new(worked + guessed, gains)?,
            cases: cases(guesses.then_some(counts), chances, luck)?,
            wrong: (real(wrong) + usual) / (real(wrong + blank) + 1.0),
        })
    }

    /// What the part may give on a day that lies `shift` logits off.
    fn on(&self, shift: f64) -> Option<Vec<PossibleGain>> {
        let chances = self.cases.iter().map(|case| {
            let own = rasch::chance(case.right + shift);
            let guessed = 1.0 - case.worked;
            let right = case.worked * own + guessed * self.luck;
            let wrong = case.worked * (1.0 - own) * self.wrong + guessed * (1.0 - self.luck);
            [right, wrong, (1.0 - right - wrong).max(0.0)]
        });
        let part = self.alike.mixture(&chances.collect::<Vec<_>>())?;
        Some(
            part.iter()
                .map(|(gain, p)| PossibleGain { gain, p })
                .collect(),
        )
    }
}

//! Answers keyed in a batch from a printed paper: their own times say nothing.

use super::sweep::Sweep;
use super::timeline::{Choice, Timeline, sum};
use crate::domain::header::{Header, Mode};
use crate::domain::mark::Mark;
use crate::domain::rule::QuestionNo;
use crate::domain::thresholds::{Limit, Thresholds};
use crate::domain::time::Elapsed;

/// Answers keyed one right after another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    /// The questions, in the order they were keyed.
    pub questions: Vec<QuestionNo>,
    /// When the first was keyed.
    pub from: Elapsed,
    /// When the last was.
    pub to: Elapsed,
    /// The time on all of them together: the only time they have.
    pub time: Elapsed,
}

/// How far times on single questions can be used.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Trust {
    /// Each question has its own time.
    #[default]
    Own,
    /// Some answers were keyed in batches and have one time a block; the others have their own.
    Blocks(Vec<Block>),
    /// So many answers were keyed in batches that no question's time is worth showing.
    Withheld {
        /// The blocks.
        blocks: Vec<Block>,
        /// How many questions were first answered in batches.
        batched: usize,
        /// Of how many that the sitting asked.
        asked: usize,
    },
    /// The sheet was typed in afterwards: there are no times.
    NoTimes,
}

impl Trust {
    /// Whether a question has a time of its own.
    pub fn holds(&self, question: QuestionNo) -> bool {
        match self {
            Self::Own => true,
            Self::Blocks(blocks) => !blocks.iter().any(|b| b.questions.contains(&question)),
            Self::Withheld { .. } | Self::NoTimes => false,
        }
    }

    /// Whether any question has a time of its own.
    pub const fn any(&self) -> bool {
        matches!(self, Self::Own | Self::Blocks(_))
    }

    /// The blocks keyed in a batch.
    pub fn blocks(&self) -> &[Block] {
        match self {
            Self::Blocks(blocks) | Self::Withheld { blocks, .. } => blocks,
            Self::Own | Self::NoTimes => &[],
        }
    }
}

/// Looks for batches where the paper lay beside the screen: first answers close together, said guesses and
/// what a sweep filled left out, since nobody keyed those from what was worked out before.
pub(super) fn trust(
    header: &Header,
    line: &Timeline,
    swept: Option<&Sweep>,
    limits: &Thresholds,
) -> Trust {
    if header.mode == Mode::Entered {
        return Trust::NoTimes;
    }
    if header.paper.on_screen {
        return Trust::Own;
    }
    let mut first: Vec<&Choice> = Vec::new();
    let filled = swept.map_or(&[][..], |sweep| &sweep.filled);
    let guessed = |question| {
        let given = line.question(question).and_then(|pace| pace.sheet.in_time);
        given.is_some_and(|given| given.how.is_luck())
    };
    let worked = |choice: &&Choice| !guessed(choice.question) && !filled.contains(&choice.question);
    for choice in line.choices.iter().filter(worked) {
        if first.iter().all(|seen| seen.question != choice.question) {
            first.push(choice);
        }
    }
    let gap = limits.span(Limit::BatchGapSeconds);
    let blocks: Vec<_> = first
        .chunk_by(|one, next| next.at.since(one.at) < gap)
        .filter(|run| run.len() >= limits.count(Limit::BatchAnswers))
        .filter_map(|run| block(run, line))
        .collect();
    let batched: usize = blocks.iter().map(|block| block.questions.len()).sum();
    let whole = |count: usize| Mark::whole(i64::try_from(count).unwrap_or(i64::MAX));
    let asked = line.questions.len();
    let most = limits.get(Limit::BatchShare) * i64::try_from(asked).unwrap_or(i64::MAX);
    if blocks.is_empty() {
        Trust::Own
    } else if whole(batched) > most {
        Trust::Withheld {
            blocks,
            batched,
            asked,
        }
    } else {
        Trust::Blocks(blocks)
    }
}

fn block(run: &[&Choice], line: &Timeline) -> Option<Block> {
    let questions: Vec<_> = run.iter().map(|choice| choice.question).collect();
    let own = line.questions.iter();
    let own = own.filter(|pace| questions.contains(&pace.number));
    Some(Block {
        from: run.first()?.at,
        to: run.last()?.at,
        time: sum(own.map(|pace| pace.time)),
        questions,
    })
}

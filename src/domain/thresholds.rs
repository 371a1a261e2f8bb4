//! Every threshold by which a sitting is judged, in one place: its name, its usual value, its source.
//!
//! A tutor can change each of them in one file; no such number is anywhere else in the program.

use std::collections::BTreeMap;

use crate::domain::mark::Mark;
use crate::domain::time::Elapsed;

/// The source of a threshold that nobody has published.
pub const NO_SOURCE: &str = "common practice, no source";

/// A threshold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// First answers closer together than this were keyed in a batch; said guesses and what a sweep filled
    /// are never in one.
    BatchGapSeconds,
    /// This many of them make a batch.
    BatchAnswers,
    /// With a greater share of the paper in batches no question's time is shown.
    BatchShare,
    /// A sweep is a run of stays no longer than this (its last one up to its fill) that gave two questions or
    /// more the first answer they ever had, kept to the end; a first pass is none.
    SweepSeconds,
    /// The last fill of a sweep lies within this share of the time allowed before the end of the sitting. With
    /// the paper beside the screen a run that fills more than half of the questions is keying, and no sweep.
    SweepShare,
    /// A long stay is over this many times the planned time ...
    LongTimes,
    /// ... and over the planned time by more than this.
    LongOverSeconds,
    /// A wrong answer is quick below this share of the pupil's middle time on the other worked questions of
    /// its section, and of a group's middle time on it where that is less.
    QuickShare,
    /// A pace needs at least this many other questions; else a tenth of the group's mean time (NT10) is used.
    QuickLeast,
    /// An answer below this is rushed, where neither the pupil's pace on its section nor a group's is known. A
    /// question open for less before another one was taken up, or a look elsewhere and back, is not left and gone
    /// back to.
    RushedFloorSeconds,
    /// A question is easy when at least this share of the group got it right.
    EasyShare,
    /// A group has at least this many people.
    GroupLeast,
    /// This many visits to a question are to and fro.
    ManyVisits,
    /// A start is judged by this many first answers.
    StartAnswers,
    /// A slow start takes this many times the planned time.
    StartTimes,
    /// A sitting ended early if at least this much time was left; then no long stay cost anything.
    EarlySeconds,
    /// Time is unused when at least this share of the time allowed was left, with marks lost.
    UnusedShare,
    /// A pace is far ahead of the plan when a checkpoint was done within this share of its time: no praise
    /// where answers up to it are wrong, or nobody can say.
    AheadShare,
    /// A checkpoint may be passed so much late. It is kept when at its moment, or at one within this time
    /// after it, every question asked up to it has an answer, or was opened and is not open.
    LateSeconds,
    /// A sitting that used less than this share of its time may be a false start: the tutor is asked.
    ShortShare,
    /// Luck is worth a word when it is at least this unlikely.
    LuckChance,
    /// At most this many things are said in one talk.
    TalkMost,
    /// At most this many of them are praise, if there is more than that to say.
    PraiseMost,
    /// Who needs a word is judged by so many days, the last of them that of the newest sitting.
    WordDays,
    /// At most this many pupils are named.
    WordNames,
    /// Room for this many of them is kept for praise, where somebody has earned some.
    WordPraise,
    /// This many blanks on which a guess gains are worth a word.
    WordBlanks,
    /// Long stays that cost marks are a habit when they are in at least this many sittings ...
    WordLongSittings,
    /// ... of so many.
    WordLongOf,
    /// A mark is beyond a pupil's own ranges when it is beyond those of so many sittings before.
    WordRanges,
    /// This many questions due for longer than [`Self::WordDays`] are worth a word.
    WordDue,
    /// Practice on this many days of [`Self::WordDays`] is worth praise.
    WordPractised,
}

/// What a threshold is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct About {
    /// Its name in the tutor's file.
    pub name: &'static str,
    /// Its usual value, as written there.
    pub usual: Mark,
    /// The least it can be.
    pub least: Mark,
    /// The most it can be.
    pub most: Mark,
    /// What it decides.
    pub decides: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

const fn about(
    name: &'static str,
    usual: Mark,
    (least, most): (i64, i64),
    decides: &'static str,
    source: &'static str,
) -> About {
    About {
        name,
        usual,
        least: Mark::whole(least),
        most: Mark::whole(most),
        decides,
        source,
    }
}

impl Limit {
    /// All of them.
    pub const ALL: [Self; 32] = [
        Self::BatchGapSeconds,
        Self::BatchAnswers,
        Self::BatchShare,
        Self::SweepSeconds,
        Self::SweepShare,
        Self::LongTimes,
        Self::LongOverSeconds,
        Self::QuickShare,
        Self::QuickLeast,
        Self::RushedFloorSeconds,
        Self::EasyShare,
        Self::GroupLeast,
        Self::ManyVisits,
        Self::StartAnswers,
        Self::StartTimes,
        Self::EarlySeconds,
        Self::UnusedShare,
        Self::AheadShare,
        Self::LateSeconds,
        Self::ShortShare,
        Self::LuckChance,
        Self::TalkMost,
        Self::PraiseMost,
        Self::WordDays,
        Self::WordNames,
        Self::WordPraise,
        Self::WordBlanks,
        Self::WordLongSittings,
        Self::WordLongOf,
        Self::WordRanges,
        Self::WordDue,
        Self::WordPractised,
    ];

    /// What it is.
    #[expect(
        clippy::too_many_lines,
        reason = "a table, one threshold after another"
    )]
    pub fn about(self) -> About {
        let whole = Mark::whole;
        let of = Mark::from_steps;
        let day = (0, 86_400);
        match self {
            Self::BatchGapSeconds => about(
                "batch_gap_seconds",
                whole(10),
                day,
                "first answers closer together than this were entered in a batch",
                NO_SOURCE,
            ),
            Self::BatchAnswers => about(
                "batch_answers",
                whole(3),
                (2, 200),
                "this many answers close together make a batch",
                NO_SOURCE,
            ),
            Self::BatchShare => about(
                "batch_share",
                of(1, 4),
                (0, 1),
                "if batches make up more than this share of the paper, no times are shown",
                NO_SOURCE,
            ),
            Self::SweepSeconds => about(
                "sweep_seconds",
                whole(20),
                day,
                "a sweep is a run of visits no longer than this that fills blanks",
                NO_SOURCE,
            ),
            Self::SweepShare => about(
                "sweep_share",
                of(1, 10),
                (0, 1),
                "a sweep ends this close to the end of the sitting, as a share of the time allowed",
                NO_SOURCE,
            ),
            Self::LongTimes => about(
                "long_times",
                whole(2),
                (1, 100),
                "a long stay is over this many times the planned time",
                NO_SOURCE,
            ),
            Self::LongOverSeconds => about(
                "long_over_seconds",
                whole(120),
                day,
                "a long stay is also over the planned time by more than this",
                NO_SOURCE,
            ),
            Self::QuickShare => about(
                "quick_share",
                of(1, 4),
                (0, 1),
                "a wrong answer is quick if it took less than this share of the usual time in its section",
                NO_SOURCE,
            ),
            Self::QuickLeast => about(
                "quick_least",
                whole(3),
                (1, 200),
                "a usual time needs at least this many other questions in the section",
                NO_SOURCE,
            ),
            Self::RushedFloorSeconds => about(
                "rushed_floor_seconds",
                whole(10),
                day,
                "an answer faster than this is rushed, if no usual time is known; a question open for less was not left",
                NO_SOURCE,
            ),
            Self::EasyShare => about(
                "easy_share",
                of(7, 10),
                (0, 1),
                "a question is easy if at least this share of the group got it right",
                NO_SOURCE,
            ),
            Self::GroupLeast => about(
                "group_least",
                whole(5),
                (2, 1000),
                "a group has at least this many people",
                NO_SOURCE,
            ),
            Self::ManyVisits => about(
                "many_visits",
                whole(4),
                (2, 1000),
                "this many visits to one question count as going to and fro",
                NO_SOURCE,
            ),
            Self::StartAnswers => about(
                "start_answers",
                whole(5),
                (1, 200),
                "a start is judged by this many first answers",
                NO_SOURCE,
            ),
            Self::StartTimes => about(
                "start_times",
                of(5, 4),
                (0, 100),
                "a slow start takes this many times the planned time",
                NO_SOURCE,
            ),
            Self::EarlySeconds => about(
                "early_seconds",
                whole(60),
                day,
                "a sitting was finished before time was up if at least this much time was left",
                NO_SOURCE,
            ),
            Self::UnusedShare => about(
                "unused_share",
                of(1, 10),
                (0, 1),
                "time is unused if at least this share of it was left and marks were lost",
                NO_SOURCE,
            ),
            Self::AheadShare => about(
                "ahead_share",
                of(3, 4),
                (0, 1),
                "a checkpoint done within this share of its time is far ahead of the plan",
                NO_SOURCE,
            ),
            Self::LateSeconds => about(
                "late_seconds",
                whole(60),
                day,
                "a checkpoint may be passed this late",
                NO_SOURCE,
            ),
            Self::ShortShare => about(
                "short_share",
                of(1, 4),
                (0, 1),
                "the tutor is asked whether a sitting counts if it used less than this share of its time",
                NO_SOURCE,
            ),
            Self::LuckChance => about(
                "luck_chance",
                of(1, 8),
                (0, 1),
                "luck is mentioned when it is at least this unlikely",
                NO_SOURCE,
            ),
            Self::TalkMost => about(
                "talk_most",
                whole(6),
                (1, 100),
                "a talk says at most this many things",
                NO_SOURCE,
            ),
            Self::PraiseMost => about(
                "praise_most",
                whole(2),
                (0, 100),
                "at most this many of those things are praise, if there is more to say",
                NO_SOURCE,
            ),
            Self::WordDays => about(
                "word_days",
                whole(7),
                (1, 366),
                "who needs a word is judged by this many days, up to the newest sitting",
                NO_SOURCE,
            ),
            Self::WordNames => about(
                "word_names",
                whole(5),
                (1, 1000),
                "at most this many pupils are named as needing a word",
                NO_SOURCE,
            ),
            Self::WordPraise => about(
                "word_praise",
                whole(2),
                (0, 1000),
                "this many of those names are kept for praise, if there is some",
                NO_SOURCE,
            ),
            Self::WordBlanks => about(
                "word_blanks",
                whole(2),
                (1, 200),
                "this many blanks on which a guess gains are worth a word",
                NO_SOURCE,
            ),
            Self::WordLongSittings => about(
                "word_long_sittings",
                whole(2),
                (1, 100),
                "long stays are a habit if they cost marks in at least this many recent sittings",
                NO_SOURCE,
            ),
            Self::WordLongOf => about(
                "word_long_of",
                whole(3),
                (1, 100),
                "this many sittings are recent when a habit is judged",
                NO_SOURCE,
            ),
            Self::WordRanges => about(
                "word_ranges",
                whole(2),
                (1, 100),
                "a mark is outside a pupil's own ranges if it is outside those of this many sittings before",
                NO_SOURCE,
            ),
            Self::WordDue => about(
                "word_due",
                whole(3),
                (1, 1000),
                "this many overdue questions to practise are worth a word",
                NO_SOURCE,
            ),
            Self::WordPractised => about(
                "word_practised",
                whole(2),
                (1, 366),
                "practice on this many days is worth praise",
                NO_SOURCE,
            ),
        }
    }

    /// The one with this name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|limit| limit.about().name == name)
    }
}

/// The thresholds in use: the usual ones, and those that the tutor has changed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Thresholds {
    own: BTreeMap<Limit, Mark>,
}

impl Thresholds {
    /// Changes one; false, and nothing is changed, if the value is out of range.
    pub fn set(&mut self, limit: Limit, value: Mark) -> bool {
        let about = limit.about();
        let fine = (about.least..=about.most).contains(&value);
        if fine {
            self.own.insert(limit, value);
        }
        fine
    }

    /// Whether the tutor has changed it.
    pub fn is_own(&self, limit: Limit) -> bool {
        self.own.contains_key(&limit)
    }

    /// Its value.
    pub fn get(&self, limit: Limit) -> Mark {
        let own = self.own.get(&limit).copied();
        own.unwrap_or_else(|| limit.about().usual)
    }

    /// Its value as a real number.
    pub fn real(&self, limit: Limit) -> f64 {
        self.get(limit).to_f64()
    }

    /// Its value in seconds as a span, rounded to the millisecond.
    pub fn span(&self, limit: Limit) -> Elapsed {
        Elapsed(whole(self.real(limit) * 1000.0))
    }

    /// Its value as a count, rounded.
    pub fn count(&self, limit: Limit) -> usize {
        usize::try_from(whole(self.real(limit))).unwrap_or(usize::MAX)
    }

    /// A span multiplied by its value, rounded to the millisecond.
    pub fn times(&self, limit: Limit, span: Elapsed) -> Elapsed {
        Elapsed(whole(self.real(limit) * span.as_seconds() * 1000.0))
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "thresholds are never below zero, and a float too large stops at the largest integer"
)]
fn whole(value: f64) -> u64 {
    value.round().max(0.0) as u64
}

//! An invented pupil: a strength, a speed, a style, and habits that get better over the season.

use super::chance::Dice;

/// What stands for names: animals and plants of the marsh, none of them anybody's name.
pub(super) const ALIASES: [&str; 24] = [
    "marten", "teasel", "lapwing", "sedge", "dormouse", "yarrow", "siskin", "samphire", "vole",
    "burdock", "plover", "thrift", "stoat", "bracken", "avocet", "sorrel", "newt", "fennel",
    "shrew", "comfrey", "godwit", "tansy", "polecat", "bulrush",
];

/// How somebody goes about a paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Style {
    /// One after another, looks over it at the end.
    Steady,
    /// Answers fast, hands in early.
    Quick,
    /// Does not let go of a question.
    Thorough,
    /// Goes to and fro.
    Restless,
}

/// An invented pupil.
#[derive(Clone, Debug)]
pub(super) struct Pupil {
    pub(super) index: usize,
    pub(super) alias: &'static str,
    /// On the scale of the questions, at the season's start.
    strength: f64,
    /// How much of it comes over the season.
    growth: f64,
    /// How long for what takes an average pupil one.
    pub(super) pace: f64,
    pub(super) style: Style,
    /// How surely blanks are filled in time and stuck questions are left, from 0 to 1, at the start.
    habit: f64,
    /// How much of it comes over the season.
    habit_growth: f64,
    /// Whether the guess round is left to the program.
    pub(super) fills: bool,
    seed: u64,
}

/// A pupil at one time of the season.
#[derive(Clone, Copy, Debug)]
pub(super) struct PupilForm {
    pub(super) strength: f64,
    pub(super) habit: f64,
}

impl Pupil {
    /// The pupil of this place; nothing past the last alias.
    pub(super) fn invent(seed: u64, index: usize) -> Option<Self> {
        let alias = ALIASES.get(index)?;
        let mut all = Dice::new(seed, "everybody");
        let mut own = Dice::new(seed, alias);
        // Steps of the golden ratio spread any number of pupils evenly, whatever their number.
        let along = f64::from(u32::try_from(index).ok()?);
        let spread = (all.unit() + along * 0.618_034).fract();
        let styles = [
            Style::Steady,
            Style::Quick,
            Style::Thorough,
            Style::Restless,
        ];
        let turn = usize::try_from(all.number() % 4).ok()?;
        let style = *styles.get((turn + index) % styles.len())?;
        let pace = match style {
            Style::Quick => 0.85,
            Style::Steady | Style::Restless => 1.0,
            Style::Thorough => 1.15,
        };
        Some(Self {
            index,
            alias,
            strength: -1.2 + 2.2 * spread + 0.1 * own.bell(),
            growth: own.between(0.5, 0.9),
            pace: pace * own.factor(0.08),
            style,
            habit: own.between(0.05, 0.5),
            habit_growth: own.between(0.4, 0.6),
            fills: (index + turn).is_multiple_of(3),
            seed,
        })
    }

    /// How the pupil is when so much of the season, from 0 to 1, has gone.
    pub(super) fn form(&self, gone: f64, dice: &mut Dice) -> PupilForm {
        let habit = self.habit + self.habit_growth * gone + 0.06 * dice.bell();
        PupilForm {
            strength: self.strength + self.growth * gone + 0.12 * dice.bell(),
            habit: habit.clamp(0.0, 1.0),
        }
    }

    /// How strong the pupil is over the season.
    pub(super) fn middle_strength(&self) -> f64 {
        self.strength + self.growth / 2.0
    }

    /// How much better or worse this topic goes than the others.
    pub(super) fn leaning(&self, topic: &str) -> f64 {
        0.6 * Dice::new(self.seed, &format!("{} {topic}", self.alias)).bell()
    }
}

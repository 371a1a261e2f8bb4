//! A group's term in words: who needs a word and why, what the tables hold, and what people outside are told.

mod word_reason;

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;

use crate::domain::character::ShownPath as _;
use crate::domain::event::How;
use crate::domain::header::Alias;
use crate::domain::key::Key;
use crate::domain::mark::Mark;
use crate::domain::marking::Outcome;
use crate::domain::paper::Outline;
use crate::domain::rule::QuestionNo;
use crate::domain::time::Elapsed;
use crate::season::overview::{
    MarkBand, OutsideSize, OverviewAnswer, OverviewSheet, PaperColumn, PercentBand, PracticeSoFar,
    PupilRow, SheetEnd, WordWeek,
};
use crate::season::step::FollowedStep;
use crate::words::columns::NamedColumn;
use crate::words::count::{counted, counted_as};
use crate::words::numbers::{plain, q_list_of_some};
use crate::words::sign::Sign;
use crate::words::step::{in_short, state};
use crate::words::time::{day, day_near, month};

pub use word_reason::{name, reason};

/// The page's title in a browser.
pub const TITLE: &str = "The group's term";
/// The same for people outside.
pub const OUTSIDE_TITLE: &str = "The group's term, for people outside";
/// Whose eyes the page is for.
pub const FOR_THE_TUTOR: &str = "For the tutor: it names pupils by alias, so don't hand it on. For practice only: not an official result.";
/// Heads who needs a word.
pub const WORDS: &str = "Who needs a word";
/// Where nobody does.
pub const NOBODY: &str = "Nothing stood out in these days.";
/// How the names are chosen.
pub const HOW_CHOSEN: &str = "Names are in order of alias. Where there's more to say than room, those come first for whom most marks are at stake; some room is kept for praise.";
/// Heads the marks.
pub const MARKS: &str = "Marks";
/// What the table of marks holds.
pub const MARKS_NOTE: &str = "The mark in time, with the guess round in brackets if there was one; then the best award in time. Range: another sitting like this one would fall there 8 times in 10. Again: the paper had been sat before.";
/// Over the table of marks.
pub const MARKS_CAPTION: &str = "Everybody's marks on every paper";
/// Over the table of the ends.
pub const ENDS_CAPTION: &str = "How everybody's sittings ended";
/// Heads the letters.
pub const LETTERS: &str = "Letters, question by question";
/// Above the pictures of the marks.
pub const SEASON: &str = "Season";
/// What the pictures of the marks hold.
pub const SEASON_NOTE: &str = "Season: each dot is a mark, each bar its range, from nothing at the foot to full marks at the top, in the order in which they were sat.";
/// Heads how the sittings ended.
pub const ENDS: &str = "Blanks, unused time and the sweep";
/// What the table of the ends holds.
pub const ENDS_NOTE: &str = "Blanks are questions without an answer when time was up. Unused is the time left by whoever finished early. A sweep fills the last blanks before time is up.";
/// Heads the pupils one by one.
pub const PUPIL_BY_PUPIL: &str = "Pupil by pupil";
/// Heads the sweep habit.
pub const HABIT: &str = "The sweep habit";
/// What the table of the habit holds.
pub const HABIT_NOTE: &str = "How many sittings of each paper ended in which way. Answer sheets that were typed in aren't counted.";
/// Where nobody has sat anything.
pub const NOTHING: &str =
    "No whole sitting counts yet. `pacebell sit` starts one; --sessions says where they are kept.";
/// Heads of the tables.
pub const PUPIL: &str = "Pupil";
/// See [`PUPIL`].
pub const PAPER: &str = "Paper";
/// See [`PUPIL`].
pub const DATE: &str = "Date";
/// See [`PUPIL`].
pub const IN_TIME: &str = "In time";
/// See [`PUPIL`].
pub const RANGE: &str = "Range";
/// See [`PUPIL`].
pub const AWARD: &str = "Award";
/// See [`PUPIL`].
pub const BLANK: &str = "Blank";
/// See [`PUPIL`].
pub const UNUSED: &str = "Unused";
/// See [`PUPIL`].
pub const SWEPT: &str = "Swept";
/// See [`PUPIL`].
pub const PRACTICE: &str = "Practice";
/// The step agreed with a pupil.
pub const STEP: &str = "Step";
/// See [`PUPIL`].
pub const KEY: &str = "Key";
/// See [`PUPIL`].
pub const RIGHT: &str = "Right";
/// See [`PUPIL`].
pub const PEOPLE: &str = "People";
/// See [`PUPIL`].
pub const QUESTION: &str = "Question";
/// See [`PUPIL`].
pub const SECTION: &str = "Section";

/// What a figure that is not known has in its place.
pub const NONE: &str = "-";

/// The heading for people outside.
pub fn outside_heading(group: Option<&str>) -> String {
    group.map_or_else(
        || OUTSIDE_TITLE.to_owned(),
        |group| format!("{group}: the term, for people outside"),
    )
}

/// The heading: the group, how many pupils and papers, from when to when.
pub fn heading(group: Option<&str>, pupils: usize, days: Option<(NaiveDate, NaiveDate)>) -> String {
    let group = group.unwrap_or(TITLE);
    let pupils = counted(pupils, "pupil");
    days.map_or_else(
        || format!("{group}: {pupils}"),
        |days| format!("{group}: {pupils}, {}", span(days)),
    )
}

/// From one day to another.
pub fn span((from, to): (NaiveDate, NaiveDate)) -> String {
    if from == to {
        return day(to);
    }
    format!("{} to {}", day_near(from, to), day(to))
}

/// By which days it is judged who needs a word.
pub fn week(week: WordWeek) -> String {
    format!(
        "From {}, the newest sitting's day.",
        span((week.from, week.to))
    )
}

/// A paper's name: its title, and whether it was sat again.
pub fn paper(column: &PaperColumn) -> String {
    let title = &column.outline.title;
    match column.time {
        0 | 1 => title.clone(),
        2 => format!("{title}, again"),
        time => format!("{title}, time {time}"),
    }
}

/// A paper in a narrow head: `P3`.
pub fn short_paper(place: usize) -> String {
    format!("P{place}")
}

/// The same with the paper's name: `P3 Saltmarsh Shield: practice paper A`.
pub fn name_with_number(place: usize, column: &PaperColumn) -> String {
    format!("{} {}", short_paper(place), paper(column))
}

/// The same with the days on which it was sat.
pub fn numbered_paper(place: usize, column: &PaperColumn) -> String {
    format!("{} {}", short_paper(place), letters(column))
}

/// A mark with the guess round in brackets, where there was one.
pub fn mark(sheet: &OverviewSheet) -> String {
    let Some(own) = &sheet.marks else {
        return NONE.to_owned();
    };
    let in_time = plain(own.in_time);
    if own.with_guess_round == own.in_time {
        in_time
    } else {
        format!("{in_time} ({})", plain(own.with_guess_round))
    }
}

/// The same out of the most there could be.
pub fn mark_of(sheet: &OverviewSheet) -> String {
    let max = sheet.marks.as_ref().map(|own| plain(own.max));
    max.map_or_else(
        || NONE.to_owned(),
        |max| format!("{} of {max}", mark(sheet)),
    )
}

/// The range of a mark.
pub fn range(sheet: &OverviewSheet) -> String {
    let range = sheet.marks.as_ref().and_then(|own| own.range?.range());
    range.map_or_else(
        || NONE.to_owned(),
        |(low, high)| format!("{}-{}", plain(low), plain(high)),
    )
}

/// The range under a mark on a page.
pub fn range_below(sheet: &OverviewSheet) -> Option<String> {
    let (low, high) = sheet.marks.as_ref()?.range?.range()?;
    Some(format!("range {} to {}", plain(low), plain(high)))
}

/// The award that a mark in time reaches.
pub fn award(sheet: &OverviewSheet) -> String {
    let award = sheet.marks.as_ref().and_then(|own| own.award.clone());
    award.unwrap_or_else(|| NONE.to_owned())
}

/// The time not used, in a column.
pub fn unused(unused: Option<Elapsed>) -> String {
    unused.map_or_else(|| NONE.to_owned(), Elapsed::stopwatch)
}

/// What a sweep filled, in a column; a dash where something stayed blank, as in the sweep habit.
pub fn swept(sheet: &OverviewSheet) -> String {
    filled_by_sweep(sheet).map_or_else(|| NONE.to_owned(), |filled| filled.to_string())
}

/// How many blanks a sweep filled that left none.
fn filled_by_sweep(sheet: &OverviewSheet) -> Option<usize> {
    let sweep = sheet.sweep.filter(|_| sheet.end == Some(SheetEnd::Swept));
    sweep.map(|sweep| sweep.filled)
}

/// How a sheet ended, in a few short lines.
pub fn ended(sheet: &OverviewSheet) -> Vec<String> {
    let blanks = match sheet.blanks.len() {
        0 => "no blanks".to_owned(),
        blanks => format!("{blanks} blank"),
    };
    if sheet.end.is_none() {
        return vec![blanks, "typed in".to_owned()];
    }
    let unused = sheet
        .unused
        .map(|left| format!("{} unused", left.stopwatch()));
    let swept = filled_by_sweep(sheet).map(|filled| format!("swept {filled}"));
    [blanks].into_iter().chain(unused).chain(swept).collect()
}

/// What a pupil has still to practise.
pub fn practice(practice: &PracticeSoFar, near: NaiveDate) -> String {
    let due = match practice.due {
        0 => "nothing due".to_owned(),
        due => format!("{due} due"),
    };
    let last = practice.last.map_or_else(
        || "none so far".to_owned(),
        |last| format!("last on {}", day_near(last, near)),
    );
    format!("{due}, {last}")
}

/// Heads the letters on a paper.
pub fn letters(column: &PaperColumn) -> String {
    let days = column.days().map(span);
    let days = days.map_or_else(String::new, |days| format!(", {days}"));
    format!("{}{days}", paper(column))
}

/// The same with the most marks there could be.
pub fn letters_of(column: &PaperColumn) -> String {
    let marks = column
        .sheets
        .values()
        .find_map(|sheet| sheet.marks.as_ref());
    let max = marks.map_or_else(String::new, |own| format!(", out of {}", plain(own.max)));
    format!("{}{max}", letters(column))
}

/// What the letters and signs are.
pub fn letters_note() -> String {
    let sign = |sign: Sign| format!("{} {}", sign.mark(), sign.means());
    let signs = [
        Sign::Right,
        Sign::Wrong,
        Sign::Blank,
        Sign::Unsure,
        Sign::Guess,
        Sign::Filled,
    ];
    format!(
        "The letter chosen when time was up, with its signs: {}. Guesses after time was up aren't shown.",
        signs.map(sign).join(", ")
    )
}

/// The letter chosen, with what became of it.
pub fn letter(answer: Option<&OverviewAnswer>) -> String {
    let Some((answer, given)) = answer.and_then(|own| Some((own, own.given?))) else {
        return Sign::Blank.mark().to_owned();
    };
    let outcome = match answer.outcome {
        Some(Outcome::Right) => Sign::Right.mark(),
        Some(Outcome::Wrong) => Sign::Wrong.mark(),
        Some(Outcome::Blank | Outcome::Void) | None => "",
    };
    format!("{given}{outcome}")
}

/// What a key accepts.
pub fn accepted(key: &Key, outline: &Outline, number: QuestionNo) -> String {
    let labels = outline.labels(number).iter();
    let accepted = labels.filter(|label| key.accepts(number, *label));
    accepted.map(|label| label.to_string()).collect()
}

/// How an answer was found, where not by working.
pub const fn how(answer: &OverviewAnswer) -> Option<&'static str> {
    match (answer.given, answer.how) {
        (None, _) | (_, None | Some(How::Worked)) => None,
        (_, Some(How::Unsure)) => Some(Sign::Unsure.mark()),
        (_, Some(How::Guessed)) => Some(Sign::Guess.mark()),
        (_, Some(How::Filled)) => Some(Sign::Filled.mark()),
    }
}

/// One pupil's sitting as a sentence.
pub fn sheet_aloud(column: &PaperColumn, sheet: &OverviewSheet) -> String {
    let mark = sheet.marks.as_ref().map_or_else(
        || "not marked".to_owned(),
        |_| format!("mark in time {}", mark_of(sheet)),
    );
    let award = sheet.marks.as_ref().and_then(|own| own.award.clone());
    let all: Vec<_> = [mark]
        .into_iter()
        .chain(range_below(sheet))
        .chain(award)
        .chain(ended(sheet))
        .collect();
    format!(
        "{}, {}: {}.",
        paper(column),
        day(sheet.day()),
        all.join(", ")
    )
}

/// What everybody chose on one question, as a sentence: who was right is left out, since most are.
pub fn question_aloud(column: &PaperColumn, number: QuestionNo) -> String {
    let right = column
        .right(number)
        .map(|right| format!("{right} of {} right", column.sheets.len()));
    let mut chose = BTreeMap::<String, Vec<&str>>::new();
    for (pupil, sheet) in &column.sheets {
        let Some(own) = sheet.answer(number) else {
            continue;
        };
        if own.outcome != Some(Outcome::Right) {
            let given = own
                .given
                .map_or_else(|| "blank".to_owned(), |given| given.to_string());
            chose.entry(given).or_default().push(pupil.as_str());
        }
    }
    let chose = chose
        .iter()
        .map(|(given, pupils)| format!("{given} by {}", pupils.join(" and ")));
    let chose = chose.map(|own| own.replace("blank by", "blank of"));
    let all: Vec<_> = right.into_iter().chain(chose).collect();
    format!("Question {number}: {}.", all.join(", "))
}

/// What a pupil has to practise, as a sentence.
pub fn practice_aloud(own: &PracticeSoFar, near: NaiveDate) -> String {
    format!("Practice: {}.", practice(own, near))
}

/// The last step agreed with a pupil, and what became of it.
pub fn step(row: &PupilRow) -> Option<String> {
    let last = row.steps.last()?;
    let step = last.agreed.step.as_ref()?;
    Some(format!(
        "{STEP}: {}; {}",
        in_short(step),
        state(&last.state)
    ))
}

/// A step in a few words, empty where it is withdrawn.
pub fn step_in_short(followed: &FollowedStep) -> String {
    followed
        .agreed
        .step
        .as_ref()
        .map_or_else(String::new, in_short)
}

/// Which questions of a paper are void.
pub fn void(questions: &[QuestionNo]) -> Option<String> {
    (!questions.is_empty()).then(|| format!("Void: {}.", q_list_of_some(questions)))
}

/// The ways in which a sitting ends, each with its words.
pub const ENDINGS: [(SheetEnd, &str); 4] = [
    (SheetEnd::Swept, "Last blanks filled by a sweep"),
    (SheetEnd::NoBlank, "No blank without a sweep"),
    (SheetEnd::LeftFree, "Blanks left, a guess would gain"),
    (SheetEnd::Left, "Blanks left, a guess gains nothing"),
];

/// The same in a narrow column.
pub const SHORT_ENDINGS: [&str; 4] = ["Swept", "No blank", "Guess gains", "Gains nothing"];

/// What the short names of the endings mean.
pub const SHORT_ENDINGS_NOTE: &str = "Swept: the last blanks were filled before time was up. No blank: none, without a sweep. Guess gains: blanks were left where a guess gains on average. Gains nothing: blanks were left where it doesn't.";

/// The picture of the sweep habit in words.
pub fn habit(column: &PaperColumn) -> String {
    let each = ENDINGS.map(|(end, says)| format!("{}: {}", lower(says), column.ended(end)));
    format!("{}: {}.", paper(column), each.join(", "))
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

/// The title of the picture of a pupil's marks.
pub fn picture(pupil: &Alias) -> String {
    format!("{pupil}: marks over the season")
}

/// The picture of a pupil's marks in words.
pub fn picture_words(sheets: &[(String, &OverviewSheet)]) -> String {
    let each = sheets.iter().map(|(paper, sheet)| {
        let range = range_below(sheet).map_or_else(String::new, |range| format!(", {range}"));
        format!("{paper}: {}{range}", mark_of(sheet))
    });
    each.collect::<Vec<_>>().join("; ")
}

/// Where the page was written.
pub fn written(page: &Path) -> String {
    format!("The page to look at and to print is in {}.", page.shown())
}

/// Where the tables were written.
pub fn tables_written(folder: &Path, tables: usize) -> String {
    format!(
        "{} in {}.",
        counted_as(tables, "table is", "tables are"),
        folder.shown()
    )
}

/// What people outside are told of how the page is made, and of what it isn't.
pub const OUTSIDE_NOTES: [&str; 6] = [
    "No pupil has a row here. For practice only: not an official result.",
    "This doesn't measure a pupil, a teacher or a school. With so few people chance is large, and guesses are among the right answers.",
    "Papers differ in difficulty, and people differ from paper to paper, so don't read papers side by side as progress.",
    "Every figure is a range. People are counted in whole tens in the order in which they sat, so up to nine may be left out.",
    "Fewer than twenty people have no figures for single questions, fewer than ten one range only, of the first five, and fewer than five nothing.",
    "Marks and answers are those given in time, each pupil's first whole sitting.",
];

/// What the tutor is told of handing the page on.
pub const OUTSIDE_ONCE: &str = "give out only one version of the page for people outside: a sheet corrected, set aside, brought late or erased since then lets two versions be compared";

/// The day on which the page was made.
pub fn outside_made(on: NaiveDate) -> String {
    format!("Made on {}.", day(on))
}

/// In which months a paper was sat.
pub fn outside_months((first, last): (NaiveDate, NaiveDate)) -> String {
    if first == last {
        format!("Sat in {}.", month(first))
    } else {
        format!("Sat from {} to {}.", month(first), month(last))
    }
}

/// How many people are counted.
pub fn outside_size(size: OutsideSize) -> String {
    match size {
        OutsideSize::TooFew => "Fewer than five people: nothing is told.".to_owned(),
        OutsideSize::Few => "Fewer than ten people: one range only, of the first five.".to_owned(),
        OutsideSize::Tens(people) => {
            format!("{people} people are counted; up to nine more may have sat.")
        }
    }
}

/// The most marks of a paper.
pub fn outside_max(max: Mark) -> String {
    format!("Marks are out of {}.", plain(max))
}

/// Where the mean mark lies, and whose it is.
pub fn outside_mean(size: OutsideSize, band: PercentBand) -> String {
    let whose = match size {
        OutsideSize::Tens(_) => "Their",
        OutsideSize::Few | OutsideSize::TooFew => "The first five people's",
    };
    let (low, high) = band;
    format!("{whose} mean mark is between {low}% and {high}% of all marks.")
}

/// A range of a share.
pub fn outside_band((low, high): PercentBand) -> String {
    format!("{low}% to {high}%")
}

/// Heads the share of right answers in each section.
pub const OUTSIDE_SECTIONS: &str = "Right answers by section";
/// Heads the people by marks.
pub const OUTSIDE_MARKS: &str = "People by marks";
/// Heads the questions.
pub const OUTSIDE_QUESTIONS: &str = "People right by question";
/// Where there is no key.
pub const OUTSIDE_NO_KEY: &str =
    "There's no answer key for this paper, so nothing more can be told.";

/// A band of marks.
pub fn outside_marks(band: &MarkBand) -> String {
    match (band.from, band.below) {
        (None, Some(below)) => format!("below {}", plain(below)),
        (Some(from), Some(below)) => format!("{} to below {}", plain(from), plain(below)),
        (Some(from), None) => format!("{} and more", plain(from)),
        (None, None) => "all".to_owned(),
    }
}

/// What share had nothing blank.
pub fn outside_complete(band: PercentBand) -> String {
    format!(
        "Nothing blank when time was up: {} of them.",
        outside_band(band)
    )
}

/// The table of pupils by papers.
pub const SHEETS_TABLE: &str = "A group's term: one row for each pupil and paper";
/// See [`SHEETS_TABLE`].
pub const SHEETS: [NamedColumn; 20] = [
    ("pupil", "The pupil's alias"),
    ("paper", "The paper's id"),
    ("version", "Which version of the paper's questions"),
    ("title", "The paper's title"),
    (
        "time",
        "1 for the pupil's first sitting of the paper, 2 for the second, and so on",
    ),
    ("sitting", "The sitting's id"),
    ("date", "The day it was sat"),
    ("in_time", "The mark for the answers given in time"),
    ("with_guess_round", "The mark with the guesses after time"),
    ("max", "The most marks there could be"),
    (
        "range_low",
        "Another sitting's mark would be at least this, 8 times in 10 with range_high",
    ),
    (
        "range_high",
        "Another sitting's mark would be at most this, 8 times in 10 with range_low",
    ),
    ("award", "The best award that the mark in time reaches"),
    (
        "typed_in",
        "Whether the sheet was done on paper and typed in",
    ),
    ("blank", "How many questions were blank when time was up"),
    (
        "unused_seconds",
        "The time left by whoever finished early, in seconds",
    ),
    ("swept", "How many blanks a sweep filled; empty without one"),
    ("sweep_seconds", "How long the sweep took, in seconds"),
    (
        "sweep_complete",
        "Whether nothing was blank after the sweep",
    ),
    (
        "ended",
        "swept, no_blank, left_free (a guess on the blanks gains on average) or left; empty if typed in",
    ),
];
/// The table of pupils by questions.
pub const ANSWERS_TABLE: &str = "A group's term: one row for each pupil, paper and question";
/// See [`ANSWERS_TABLE`].
pub const ANSWERS: [NamedColumn; 9] = [
    ("pupil", "The pupil's alias"),
    ("paper", "The paper's id"),
    ("version", "Which version of the paper's questions"),
    (
        "time",
        "1 for the pupil's first sitting of the paper, 2 for the second, and so on",
    ),
    ("question", "The question's number"),
    (
        "given",
        "The letter chosen when time was up; empty if blank",
    ),
    ("how", "worked, unsure, guessed or filled; empty if blank"),
    (
        "outcome",
        "right, wrong, blank or void; empty without an answer key",
    ),
    (
        "after_time",
        "The letter given after time was up, if the question was blank",
    ),
];
/// The table of who needs a word.
pub const WORDS_TABLE: &str = "Who needs a word: one row for each reason";
/// See [`WORDS_TABLE`].
pub const WORDS_COLUMNS: [NamedColumn; 5] = [
    ("pupil", "The pupil's alias"),
    ("place", "The number of the reason among this pupil's"),
    (
        "kind",
        "blanks, unused_time, long_stays, below_range, above_range, practice_due, first_sweep, second_pass, practised, step_done or step_not_done",
    ),
    ("praise", "Whether it is praise"),
    ("evidence", "The reason in words, with its evidence"),
];
/// The table of the sweep habit.
pub const HABIT_TABLE: &str = "The sweep habit: one row for each paper";
/// See [`HABIT_TABLE`].
pub const HABIT_COLUMNS: [NamedColumn; 9] = [
    ("paper", "The paper's id"),
    ("version", "Which version of the paper's questions"),
    ("title", "The paper's title"),
    (
        "time",
        "1 for each pupil's first sitting of the paper, 2 for the second, and so on",
    ),
    ("timed", "How many sittings were under the clock"),
    ("swept", "How many ended with nothing blank after a sweep"),
    (
        "no_blank",
        "How many ended with nothing blank, without a sweep",
    ),
    (
        "left_free",
        "How many ended with blanks on which a guess gains on average",
    ),
    (
        "left",
        "How many ended with blanks on which a guess gains nothing",
    ),
];
/// The table of practice.
pub const PRACTICE_TABLE: &str = "Practice: one row for each pupil";
/// See [`PRACTICE_TABLE`].
pub const PRACTICE_COLUMNS: [NamedColumn; 3] = [
    ("pupil", "The pupil's alias"),
    (
        "due",
        "How many missed questions were due on the day of the newest sitting",
    ),
    (
        "last",
        "The last day with practice; empty if there was none",
    ),
];
/// The table of the steps.
pub const STEPS_TABLE: &str =
    "Steps agreed in talks: one row for each sitting that was talked about";
/// See [`STEPS_TABLE`].
pub const STEPS_COLUMNS: [NamedColumn; 7] = [
    ("pupil", "The pupil's alias"),
    ("sitting", "The id of the sitting that was talked about"),
    ("agreed", "The day on which it was agreed, or withdrawn"),
    ("step", "The step in words; empty where it was withdrawn"),
    ("state", "open, done, not_done, not_judged or withdrawn"),
    (
        "judged_by",
        "The id of the sitting after which it is no longer open",
    ),
    (
        "evidence",
        "Whether it was kept, in words, with what shows it",
    ),
];
/// The table for people outside.
pub const OUTSIDE_TABLE: &str = "A group's term for people outside: one row for each figure";
/// See [`OUTSIDE_TABLE`].
pub const OUTSIDE_COLUMNS: [NamedColumn; 9] = [
    ("paper", "The paper's id"),
    ("version", "Which version of the paper's questions"),
    ("title", "The paper's title"),
    (
        "people",
        "How many people are counted, in whole tens; empty below ten",
    ),
    (
        "figure",
        "mean_percent (below ten people of the first five), section_right_percent, people_by_marks_percent, people_right_percent or people_without_blank_percent",
    ),
    (
        "of",
        "The section, the lowest mark of the band or the question; empty where it is the whole paper",
    ),
    (
        "below",
        "The marks of the band stay below this; empty in the last, and for other figures",
    ),
    ("low", "The figure is at least this, in percent"),
    ("high", "The figure is at most this, in percent"),
];

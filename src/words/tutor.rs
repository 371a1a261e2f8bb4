//! The tutor's jobs, each with the words that do it, and what their page says.

use chrono::NaiveDate;

use crate::domain::header::Alias;
use crate::words::time::day;

/// A job: the heading it stands under, what it is called, and the words typed for it. In braces
/// stands what is asked first: `pupil`, `paper`, `pair` (a paper and its key), `sitting`, `table` (a CSV file), `second`
/// (the CSV file of a second keying), `folder`, `key` and `key before` (answer keys), `damaged` (a session file),
/// `new folder`,
/// `day` (when it was sat), or `ask`
/// and a question to be answered in words; `sessions` and `pages` are folders, `page` is a new file in the latter.
pub type JobLine = (&'static str, &'static str, &'static str);

/// Every job, in the order of a tutor's week. One line is one job.
pub const JOBS: &[JobLine] = &[
    (SIT, "Open the start page for pupils", ""),
    (SIT, "Sit a paper", "sit {paper} --pupil {pupil}"),
    (
        SIT,
        "Carry on with an unfinished sitting",
        "sit --pupil {pupil}",
    ),
    (
        SIT,
        "Type in a pupil's answer sheet",
        "enter {paper} --pupil {pupil} {day}",
    ),
    (
        SIT,
        "Type in a class's answer sheets from a list",
        "enter {paper} --from {table} {day}",
    ),
    (
        SIT,
        "Type in a class's sheets from two lists, to be sure",
        "enter {paper} --from {table} {second} {day}",
    ),
    (
        SIT,
        "Replace a class's sheets by a corrected list",
        "enter {paper} --from {table} {day} --again",
    ),
    (
        SIT,
        "Type in a pupil's answer sheet, twice to be sure",
        "enter {paper} --pupil {pupil} {day} --twice",
    ),
    (
        SIT,
        "Replace an answer sheet that was typed in",
        "enter {paper} --pupil {pupil} {day} --again",
    ),
    (
        SIT,
        "Try the sweep for 90 seconds",
        "drill sweep {paper} --pupil {pupil}",
    ),
    (SIT, "Learn the keys", "drill keys --pupil {pupil}"),
    (SIT, "Try missed questions again", "practise {pupil}"),
    (
        SIT,
        "Try chosen questions again",
        "practise {pupil} --paper {paper} --questions {ask Which questions? For example 3,11,15-18}",
    ),
    (MARK, "Mark one sitting", "mark {sitting}"),
    (MARK, "Mark all of a pupil's sittings", "mark {pupil}"),
    (
        MARK,
        "See which marks a corrected key changes",
        "mark {sessions} --key {key} --was {key before}",
    ),
    (
        MARK,
        "Save a pupil's marks for a spreadsheet",
        "mark {pupil} --csv {ask Which new file? For example marks.csv} --for-spreadsheet",
    ),
    (
        MARK,
        "Save everybody's marks for a spreadsheet",
        "mark {sessions} --csv {ask Which new file? For example marks.csv} --for-spreadsheet",
    ),
    (LOOK_BACK, "Look at where each minute went", "review"),
    (
        LOOK_BACK,
        "Write a feedback page",
        "feedback {sitting} -o {page}",
    ),
    (
        LOOK_BACK,
        "Write a feedback page with workings",
        "feedback {sitting} -o {page} --with-working",
    ),
    (
        LOOK_BACK,
        "Write a feedback page with a sentence of your own",
        "feedback {sitting} -o {page} --sentence {ask What would you like to say to the pupil?}",
    ),
    (
        LOOK_BACK,
        "Write a short page for a pupil's parents",
        "feedback {sitting} --for parents -o {page}",
    ),
    (
        LOOK_BACK,
        "Write everybody's feedback as one file to print",
        "feedback {sessions} --join",
    ),
    (
        LOOK_BACK,
        "Prepare a talk with a pupil about a sitting",
        "talk {sitting}",
    ),
    (
        LOOK_BACK,
        "Keep the step agreed in a talk",
        "talk {sitting} --step {ask Which step? sweep 3:00, stay 4:00, checkpoint 10 by 12:00, checkpoints or flags}",
    ),
    (
        LOOK_BACK,
        "Keep a step agreed in your own words",
        "talk {sitting} --step-text {ask What did you agree on?}",
    ),
    (
        LOOK_BACK,
        "Withdraw the step agreed in a talk",
        "talk {sitting} --withdraw",
    ),
    (LOOK_BACK, "See a pupil's season", "progress {pupil}"),
    (
        LOOK_BACK,
        "Save a pupil's season for a spreadsheet",
        "progress {pupil} --csv {ask Which new file? For example season.csv} --for-spreadsheet",
    ),
    (
        LOOK_BACK,
        "Write a feedback page for each sitting",
        "feedback {sessions} --group {pages}",
    ),
    (
        LOOK_BACK,
        "Leave a sitting out of every figure",
        "set-aside {sitting} --because {ask Why, in a few words?}",
    ),
    (
        LOOK_BACK,
        "Count a sitting that was left out",
        "set-aside {sitting} --back",
    ),
    (
        GROUP,
        "See how a group did on a paper",
        "group --paper {paper} {sessions}",
    ),
    (
        GROUP,
        "Save a group's figures for a spreadsheet",
        "group --paper {paper} {sessions} --csv {ask Which new file? For example group.csv} --for-spreadsheet",
    ),
    (
        GROUP,
        "See a group's term, and who needs a word",
        "overview",
    ),
    (
        GROUP,
        "Save a group's term for a spreadsheet",
        "overview --csv {new folder} --for-spreadsheet",
    ),
    (
        GROUP,
        "Write a group's term for people outside",
        "overview --outside",
    ),
    (
        GROUP,
        "See how a class list did on a paper",
        "group --paper {paper} --answers {table}",
    ),
    (
        GROUP,
        "Work out boundaries from a list of marks",
        "boundary --marks {table} --top {ask What share gets an award? For example 40%} --ratio {ask How do the awards share it, lowest first? For example 5:3:2}",
    ),
    (
        GROUP,
        "Work out boundaries from a class list",
        "boundary --paper {paper} --answers {table} --top {ask What share gets an award? For example 40%} --ratio {ask How do the awards share it, lowest first? For example 5:3:2}",
    ),
    (
        PLAN,
        "Plan a pupil's time on a paper",
        "plan {pupil} --paper {paper}",
    ),
    (
        PLAN,
        "Print a pupil's plan as a card to carry",
        "paper print {paper} --plan-card --pupil {pupil}",
    ),
    (
        PLAN,
        "Forecast a pupil's mark",
        "forecast {pupil} --paper {paper}",
    ),
    (PLAN, "See how past forecasts turned out", "hindsight"),
    (
        PLAN,
        "See how one pupil's forecasts turned out",
        "hindsight {pupil}",
    ),
    (
        PLAN,
        "See what a mark takes",
        "aim {paper} --mark {ask Which mark? For example 80}",
    ),
    (
        PLAN,
        "See what a mark takes for one pupil",
        "aim {paper} --mark {ask Which mark? For example 80} --pupil {pupil}",
    ),
    (
        PLAN,
        "See what guesses can give",
        "luck {paper} --guesses {ask Which questions are guessed? For example 3,18,21-25}",
    ),
    (PAPERS, "See every paper that is found", "paper list"),
    (
        PAPERS,
        "Check a paper and its answer key",
        "paper check {pair}",
    ),
    (
        PAPERS,
        "Check an answer key by typing it in again",
        "paper check {pair} --twice",
    ),
    (PAPERS, "Print a paper", "paper print {paper}"),
    (
        PAPERS,
        "Print a paper in large letters (18 pt)",
        "paper print {paper} --size 18",
    ),
    (
        PAPERS,
        "Print homework: some questions, with room for working",
        "paper print {paper} --homework --questions {ask Which questions? For example 3,11,15-18}",
    ),
    (
        PAPERS,
        "Print an answer sheet",
        "paper print {paper} --answer-sheet",
    ),
    (
        PAPERS,
        "Print a paper's answer key for yourself",
        "paper print {paper} --with-key",
    ),
    (
        PAPERS,
        "Start a new paper",
        "paper new {ask What is it called? Letters, digits, - and _} --questions {ask How many questions?} --minutes {ask How many minutes?} --sections {ask The marks of each section? For example 1-10:4,11-20:5,21-25:7} --answers {ask The right answers in order? For example BDACE CABDE}",
    ),
    (PAPERS, "Make an invented season to look around in", "demo"),
    (
        FILES,
        "Bring in sittings from a stick or another folder",
        "gather {folder}",
    ),
    (FILES, "Look for damaged and left-over files", "doctor"),
    (FILES, "Repair a damaged session file", "repair {damaged}"),
    (
        FILES,
        "Give a pupil another alias",
        "rename {pupil} {ask Which new alias? Not a real name.}",
    ),
    (
        FILES,
        "Join two aliases of one pupil",
        "rename {pupil} {ask Which alias is kept?} --join",
    ),
    (
        FILES,
        "Write a sheet on extra time and rest breaks",
        "evidence {pupil}",
    ),
    (
        FILES,
        "Copy everything kept of a pupil",
        "export {pupil} {new folder}",
    ),
    (FILES, "Erase everything kept of a pupil", "erase {pupil}"),
];

const SIT: &str = "Sittings";
const MARK: &str = "Marks";
const LOOK_BACK: &str = "Looking back";
const GROUP: &str = "A group";
const PLAN: &str = "Planning";
const PAPERS: &str = "Papers";
const FILES: &str = "Pupils' files";

/// Where one is.
pub const TITLE: &str = "Pacebell: for the tutor";

/// Asks what is to be done.
pub const WHICH_JOB: &str = "What would you like to do?";
/// See [`WHICH_JOB`].
pub const WHICH_PUPIL: &str = "Which pupil?";
/// See [`WHICH_JOB`].
pub const WHICH_PAPER: &str = "Which paper?";
/// See [`WHICH_JOB`].
pub const WHICH_SITTING: &str = "Which sitting?";
/// See [`WHICH_JOB`].
pub const WHICH_TABLE: &str = "Which list? CSV files here and in the folder of sittings:";
/// See [`WHICH_JOB`].
pub const WHICH_SECOND: &str = "Which list has the second keying?";
/// See [`WHICH_JOB`].
pub const WHICH_KEY: &str = "Which file is the corrected key?";
/// See [`WHICH_JOB`].
pub const WHICH_KEY_BEFORE: &str = "Which file is the key as it was?";
/// See [`WHICH_JOB`].
pub const WHICH_DAMAGED: &str = "Which session file? These are damaged:";
/// See [`WHICH_JOB`].
pub const WHICH_FILE: &str = "Which session file? None here is damaged.";
/// See [`WHICH_JOB`].
pub const WHICH_NEW_FOLDER: &str = "Into which new folder?";
/// See [`WHICH_JOB`].
pub const WHICH_FOLDER: &str = "Which folder?";

/// See [`WHICH_JOB`].
pub const WHICH_DAY: &str = "Which day was it sat?";

/// The row for a folder that is not in the list, and what is asked then.
pub const ANOTHER_FOLDER: &str = "Another folder";
/// See [`ANOTHER_FOLDER`].
pub const TYPE_FOLDER: &str =
    "Which folder? Type where it is, such as D:\\sessions or /media/stick.";

/// The row for a file that is not in the list, and what is asked then.
pub const ANOTHER_FILE: &str = "Another file";
/// See [`ANOTHER_FILE`].
pub const TYPE_FILE: &str = "Which file? Type where it is.";
/// See [`ANOTHER_FOLDER`].
pub const TYPE_NEW_FOLDER: &str = "Into which new folder? Type where it is to be.";

/// The row for a day that is not today, and what is asked then.
pub const ANOTHER_DAY: &str = "Another day";
/// See [`ANOTHER_DAY`].
pub const TYPE_DAY: &str = "Which day? Year-month-day, such as 2026-11-25.";
/// See [`ANOTHER_DAY`].
pub const NO_SUCH_DAY: &str = "That isn't a day up to today. Write it like 2026-11-25.";

/// The row for today.
pub fn today(date: NaiveDate) -> String {
    format!("Today, {}", day(date))
}

/// The row for a pupil who is not in the list, and what is asked then.
pub const ANOTHER_PUPIL: &str = "Another alias";
/// See [`ANOTHER_PUPIL`].
pub const TYPE_ALIAS: &str = "Which alias? Letters, digits, - and _, and not a real name.";

/// Before the page comes back.
pub const PRESS_ENTER: &str = "Press Enter to go back to the list.";

/// What a word of the shell would be: the command that does a job.
pub fn same_as(words: &str) -> String {
    if words.is_empty() {
        "pacebell".to_owned()
    } else {
        format!("pacebell {words}")
    }
}

/// That pupils' files are past the day to keep them.
pub fn past_keeping<'a>(pupils: impl Iterator<Item = (&'a Alias, NaiveDate)>) -> Option<String> {
    let told: Vec<_> = pupils
        .map(|(alias, until)| format!("{alias} ({})", day(until)))
        .collect();
    (!told.is_empty()).then(|| {
        format!(
            "Past the day to keep their files: {}. To delete them, type: pacebell erase PUPIL",
            told.join(", ")
        )
    })
}

/// That a job could not be begun.
pub fn not_begun(reason: impl std::fmt::Display) -> String {
    format!("That could not be started: {reason}")
}

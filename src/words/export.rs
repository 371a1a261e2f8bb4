//! What an export says of itself: each field of its files by name.

use std::fmt::Display;
use std::path::Path;

use super::count::counted;
use crate::domain::character::ShownPath as _;
use crate::domain::header::Alias;

/// The heading of the page.
pub fn title(pupil: &Alias) -> String {
    format!("Everything kept of {pupil}")
}

/// How to take it in again.
pub const HOW_TO_IMPORT: &str = "The folder `sessions` holds the files as they were kept. To take them in elsewhere, \
     type: pacebell gather DIR, with the name of this folder.";
/// Above the list of files.
pub const FILES: &str = "Files as they were kept";

/// What was exported.
pub fn exported(pupil: &Alias, sittings: usize, files: usize, dir: &Path) -> String {
    format!(
        "{pupil}: {} and {} altogether are in {}; its index.html names each field.",
        counted(sittings, "sitting"),
        counted(files, "file"),
        dir.shown()
    )
}

/// All of an export is in its folder, and the system refused the last of what makes it stay there.
pub fn not_surely_on_disk(dir: &Path, error: impl Display) -> String {
    format!(
        "{}: everything is there, but the system didn't confirm that it's on the disk ({error}); look into the folder before you rely on it",
        dir.shown()
    )
}

/// Fields with what they mean.
pub type Fields = &'static [(&'static str, &'static str)];

/// The fields of every file but the tables, which name their own.
pub const FIELDS: [(&str, Fields); 6] = [
    (
        "Session files and sittings.json: before the start",
        &[
            ("header", "what was settled before the start"),
            ("format", "the version of the file's form"),
            ("sitting", "the sitting's id"),
            ("pupil", "the pupil's alias"),
            ("mode", "timed, or entered from a sheet done on paper"),
            ("replaces", "the id of the sheet that this one replaces"),
            ("paper", "the marking part of the paper, as it was"),
            ("id", "the paper's id"),
            ("title", "the paper's title"),
            ("fingerprint", "which version of the questions it was"),
            (
                "questions",
                "how many questions; under arrangements, which of them",
            ),
            ("options", "the letters to choose from"),
            ("own_options", "questions with letters of their own"),
            ("rule", "the marking rule"),
            ("start", "marks before the first question"),
            (
                "sections",
                "parts of the paper: name, first, last, and what right, wrong and blank bring",
            ),
            ("name", "the name of a section or an award"),
            ("first", "a section's first question"),
            ("last", "a section's last question"),
            ("right", "marks for a right answer"),
            ("wrong", "marks for a wrong answer"),
            ("blank", "marks for a blank"),
            ("awards", "the awards"),
            ("boundary", "the lowest mark for an award"),
            ("rule_checked", "when the rule was last checked"),
            ("on", "the day of that check"),
            ("by", "whose initials"),
            ("on_screen", "whether the questions were on the screen"),
            ("question_fingerprints", "each question's fingerprint"),
            ("standard", "the paper's own time, in milliseconds"),
            ("allowed", "the time allowed, in milliseconds"),
            ("arrangements", "what was arranged"),
            ("extra_percent", "extra time, in percent"),
            ("rest_breaks", "whether rest breaks stop the clock"),
            ("sleep_counts", "whether time asleep counts as used"),
            ("away_counts", "whether time away counts as used"),
            (
                "remind_before",
                "how long before time up blanks are mentioned, in milliseconds",
            ),
            ("plan", "the pace plan"),
            ("checkpoints", "questions to have reached by a moment"),
            ("question", "the question of a checkpoint"),
            ("minutes", "minutes used by then"),
            ("leave", "questions left for the end"),
            ("stay", "the longest stay on a question, in milliseconds"),
            ("program", "the program's version"),
            ("invented", "true where nobody sat"),
            ("started", "the date and time of the start"),
            ("boot", "which start of the computer it was"),
            ("zero", "the computer's clock at the start of the sitting"),
        ],
    ),
    (
        "Session files and sittings.json: events",
        &[
            ("events", "what happened, in order"),
            ("n", "the line's number, in session files only"),
            ("at", "milliseconds since the start"),
            ("millis", "a length of time, in milliseconds"),
            ("utc", "the date and time, in UTC"),
            ("event", "what happened"),
            ("Opened", "a question was opened"),
            ("Answered", "an option was chosen"),
            ("RubbedOut", "an answer was taken away"),
            ("Skipped", "a question was left for later"),
            ("Flagged, Unflagged", "a flag was set or taken away"),
            (
                "Said",
                "the pupil said how an answer came about: worked, unsure, guessed",
            ),
            (
                "CrossedOut, Restored",
                "an option was crossed out, or taken back",
            ),
            ("ClockHidden, ClockShown", "the clock was hidden or shown"),
            ("SweepBegun, SweepLeft", "filling the blanks began or ended"),
            ("BreakStarted, BreakEnded", "a rest break"),
            (
                "Slept, ClockChanged, Stopped, Resumed",
                "the computer slept, its clock was changed, the program was left or carried on",
            ),
            (
                "TimeUp, GuessRoundStarted, Filled, Closed",
                "time was up, guessing began, blanks were filled, the sitting ended",
            ),
            (
                "due, since, span, seed, answers, boot",
                "when time was up, since when somebody was away, for how long, and what was filled at random",
            ),
            ("sealed", "how many lines the file has, and their SHA-256"),
        ],
    ),
    (
        "Practice files",
        &[
            ("record", "what the line holds: the start, or an event"),
            (
                "practice, started, program",
                "the session's id, its start, the program's version",
            ),
            (
                "paper, fingerprint, question, words",
                "which question of which version of a paper, and the fingerprint of its words",
            ),
            (
                "Tried",
                "a letter was chosen: option, and unaided where no hint came before it",
            ),
            (
                "HintShown, WorkingShown, Stopped",
                "the hint or the working was shown, the session ended",
            ),
            ("Catch", "what the pupil said was the catch"),
        ],
    ),
    (
        "Notes files",
        &[
            (
                "decisions",
                "whether the sitting counts: at, counts, because, by; the last one holds",
            ),
            ("whole", "a note on the sitting: cause, text, by, at"),
            ("questions", "notes on questions"),
            (
                "evidence",
                "ticks for the evidence sheet: at, timed, supervised, sentence, by",
            ),
            ("earlier", "notes that others have replaced: question, said"),
        ],
    ),
    (
        "register.ron",
        &[
            ("alias", "the pupil's alias"),
            ("extra_time", "extra time, in percent"),
            (
                "rest_breaks, remind, marks, questions_after, working_shown, plain, large_steps, step_read_out",
                "what is arranged",
            ),
            (
                "paper_on",
                "the day of the paper that the pupil works towards",
            ),
            ("keep_until", "the last day to keep the files"),
        ],
    ),
    (
        "marks.json",
        &[
            ("mark", "the mark: in_time, with_guess_round, worked, max"),
            ("in_time", "the mark when time was up"),
            (
                "with_guess_round",
                "the mark with the guesses after time was up",
            ),
            ("worked", "the mark without guesses"),
            ("max", "the most there could be"),
            (
                "sections",
                "right, wrong, blank, void, marks and max of each section",
            ),
            ("void", "questions that don't count"),
            ("marks", "what a section or a question brought"),
            ("questions", "each question"),
            ("number", "its number"),
            ("given", "the letter that was chosen"),
            ("outcome", "right, wrong, blank or void"),
            ("how", "worked, unsure, guessed or filled"),
            ("after_time", "whether it was answered after time was up"),
            (
                "seconds",
                "time on the question, or in a finding, in seconds",
            ),
            ("visits", "how often it was opened"),
            ("changes", "how often the answer was changed"),
            ("reached_in_time", "whether the award was reached in time"),
            (
                "reached_with_guess_round",
                "the same with the guesses after time was up",
            ),
            ("short_by", "how many marks were missing"),
            ("luck", "what the guesses brought"),
            ("guesses", "how many guesses"),
            ("expected", "what they would bring on average"),
            ("actual", "what they brought"),
            ("at_least_this", "how likely that much or more is"),
            ("findings", "what the log shows"),
            ("kind", "the kind of finding"),
            ("threshold", "the limit that it was compared with"),
            ("text", "the finding as a sentence"),
            ("counts", "whether it counts in the pupil's figures"),
            (
                "why_not",
                "why it doesn't count: set_aside, disputed, replaced, open or given_up",
            ),
            (
                "set_aside",
                "why it doesn't count, where the tutor has set it aside: because, by, at",
            ),
            ("because", "the tutor's reason"),
            (
                "disputed",
                "whether two files of the sitting say different things",
            ),
        ],
    ),
];

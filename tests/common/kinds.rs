//! The kinds of findings that `--json` promises, written down here and not taken from the program.

pub(crate) const KINDS: [&str; 19] = [
    "sink",
    "long_and_right",
    "long_stay",
    "rushed",
    "left_easy",
    "changed_to_wrong",
    "changed_to_right",
    "blanks",
    "sweep",
    "to_and_fro",
    "slow_start",
    "ended_early",
    "unused_time",
    "luck",
    "checkpoint_late",
    "checkpoints_kept",
    "second_pass",
    "section_all_right",
    "no_blank",
];

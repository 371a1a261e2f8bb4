//! The running program in a pseudo-terminal, held to its promises.
#![cfg(test)]
#![cfg(target_os = "linux")]

#[path = "live/away.rs"]
mod away;
mod common;
#[path = "live/faults.rs"]
mod faults;
#[path = "live/kills.rs"]
mod kills;
#[path = "live/marks_kept_back.rs"]
mod marks_kept_back;
#[path = "live/memory.rs"]
mod memory;
#[path = "live/queued.rs"]
mod queued;
#[path = "live/samples.rs"]
mod samples;
#[path = "live/sheet.rs"]
mod sheet;
#[path = "live/sitting.rs"]
mod sitting;
#[path = "live/staying_alive.rs"]
mod staying_alive;
#[path = "live/steps.rs"]
mod steps;
#[path = "live/touching.rs"]
mod touching;
#[path = "common/tree.rs"]
mod tree;
#[path = "live/tutor.rs"]
mod tutor;
#[path = "common/typed.rs"]
mod typed;

/// What waits longest waits side by side; each goes by its name.
#[test]
fn absences_time_up_and_a_terminal_that_hangs() {
    let each: [(&str, fn()); 3] = [
        (
            "killed before its taking up is in the file, an absence is no time sat",
            away::killed_before_its_taking_up_is_in_the_file_an_absence_is_no_time_sat,
        ),
        (
            "a sitting runs out of time by itself, and its marks are those of hand arithmetic",
            sitting::a_sitting_runs_out_of_time_by_itself_and_its_marks_are_those_of_hand_arithmetic,
        ),
        (
            "a terminal that hangs holds up neither time up nor the end",
            staying_alive::a_terminal_that_hangs_holds_up_neither_time_up_nor_the_end,
        ),
    ];
    std::thread::scope(|scope| {
        for (name, test) in each {
            let thread = std::thread::Builder::new().name(name.to_owned());
            thread.spawn_scoped(scope, test).unwrap();
        }
    });
}

//! Processes as the system sees them (Linux: `/proc`, proc(5)).

use std::fs;
use std::process::Command;
use std::time::Duration;

/// Sends a signal by name, such as `KILL`.
pub(crate) fn signal(process: u32, name: &str) {
    let sent = Command::new("kill")
        .args(["-s", name, &process.to_string()])
        .status();
    assert!(sent.unwrap().success());
}

/// The fields of `/proc/PID/stat` from the third on, so that the state is the first.
fn stat(process: u32) -> Option<Vec<String>> {
    let text = fs::read_to_string(format!("/proc/{process}/stat")).ok()?;
    let (_name_in_brackets, rest) = text.rsplit_once(") ")?;
    Some(rest.split_whitespace().map(str::to_owned).collect())
}

/// The process's state: `S` sleeping, `R` running, `T` stopped; nothing when it is gone.
pub(crate) fn state(process: u32) -> Option<String> {
    stat(process)?.into_iter().next()
}

/// Processor time used so far, `utime` and `stime` (fields 14 and 15), in steps of 10 ms.
pub(crate) fn processor_time(process: u32) -> Duration {
    let fields = stat(process).unwrap();
    let ticks: u64 = fields[11..13]
        .iter()
        .map(|field| field.parse::<u64>().unwrap())
        .sum();
    Duration::from_millis(10 * ticks)
}

/// A line of `/proc/PID/status`, in kB.
pub(crate) fn memory(process: u32, name: &str) -> u64 {
    let text = fs::read_to_string(format!("/proc/{process}/status")).unwrap();
    let line = text.lines().find(|line| line.starts_with(name)).unwrap();
    line.split_whitespace().nth(1).unwrap().parse().unwrap()
}

/// The process that `parent` has started, once there is one.
pub(crate) fn child_of(parent: u32) -> u32 {
    let is_child = |process: &u32| stat(*process).is_some_and(|stat| stat[1] == parent.to_string());
    super::until("the program's process", || {
        let entries = fs::read_dir("/proc").unwrap().flatten();
        let mut processes = entries.filter_map(|entry| entry.file_name().to_str()?.parse().ok());
        processes.find(is_child)
    })
}

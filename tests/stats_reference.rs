//! Holds the statistics against tables computed by other programs and against published examples.
//!
//! The tables and their sources are in `tests/reference/`.

#[cfg(test)]
#[path = "stats_reference/reading.rs"]
mod reading;

#[cfg(test)]
#[path = "stats_reference/luck.rs"]
mod luck;

#[cfg(test)]
#[path = "stats_reference/summary.rs"]
mod summary;

#[cfg(test)]
#[path = "stats_reference/interval.rs"]
mod interval;

#[cfg(test)]
#[path = "stats_reference/cohort.rs"]
mod cohort;

#[cfg(test)]
#[path = "stats_reference/item.rs"]
mod item;

#[cfg(test)]
#[path = "stats_reference/reliability.rs"]
mod reliability;

#[cfg(test)]
#[path = "stats_reference/boundary.rs"]
mod boundary;

#[cfg(test)]
#[path = "stats_reference/rasch.rs"]
mod rasch;

//! `mark` through the front door: files in, page, table, JSON and exit codes out.

#[cfg(test)]
#[path = "marks/made.rs"]
mod made;

#[cfg(test)]
#[path = "marks/page.rs"]
mod page;

#[cfg(test)]
#[path = "common/paths.rs"]
mod paths;

#[cfg(test)]
#[path = "marks/pupils.rs"]
mod pupils;

#[cfg(test)]
#[path = "common/sat.rs"]
mod sat;

#[cfg(test)]
#[path = "marks/trouble.rs"]
mod trouble;

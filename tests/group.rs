//! The command `group`: figures from class answer lists and from sittings, through the front door.

#[cfg(test)]
#[path = "group/room.rs"]
mod room;

#[cfg(test)]
#[path = "group/reference_cohorts.rs"]
mod reference_cohorts;

#[cfg(test)]
#[path = "group/by_hand.rs"]
mod by_hand;

#[cfg(test)]
#[path = "group/wrong_lists.rs"]
mod wrong_lists;

#[cfg(test)]
#[path = "common/papers.rs"]
mod papers;
#[cfg(test)]
#[path = "common/sat.rs"]
mod sat;
#[cfg(test)]
#[path = "common/written.rs"]
mod written;

#[cfg(test)]
#[path = "group/from_sittings.rs"]
mod from_sittings;

#[cfg(test)]
#[path = "group/pages.rs"]
mod pages;

#[cfg(test)]
#[path = "group/remarks.rs"]
mod remarks;

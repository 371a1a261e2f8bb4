//! What pages and tables' descriptions say of where they come from, so that they are known again.

/// The name of the program, as the head of a page (HTML, "Standard metadata names") and the description of a table
/// have it.
pub const GENERATOR: &str = "Pacebell";

//! The pages on the screen. Views draw and decide nothing.

pub mod sitting;
pub mod theme;

//! The pages on the screen. Views draw and decide nothing.

pub mod frame;
pub mod press;
pub mod result;
pub mod start;
pub mod theme;

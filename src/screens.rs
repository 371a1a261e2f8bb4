//! The pages on the screen, and the loops behind them. Views draw and decide nothing.

pub mod ask;
pub mod drill;
pub mod kit;
pub mod practise;
pub mod result;
pub mod review;
pub mod run;
pub mod sitting;
pub mod start;
pub mod theme;

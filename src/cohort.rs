//! A group on one paper, and papers on one scale. Pure.

pub mod boundaries;
pub mod entry;
pub mod items;
pub mod prior_means;
pub mod scale;

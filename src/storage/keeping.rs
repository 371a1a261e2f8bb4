//! A tutor's files as a whole: what is held on a pupil, a pupil renamed, erased or handed over, folders brought
//! together.
//!
//! Each of these takes many steps on the disk and may be killed at any of them. What it is about stands in
//! `unfinished.ron` until it is done; run again, it goes on from whatever is there. A new file is on the disk
//! before an old one goes.

mod claim;
mod digest;
mod erase;
mod error;
mod export;
mod found;
mod gather;
mod held;
mod known_by;
pub mod pages;
mod rename;
mod sweep;
mod unfinished;

pub use erase::{Erased, Erasure, PageFate, Reason, Unreached, finish_erasure};
pub use error::NotKept;
pub use export::{ExportFile, export_files, finish_export, take_back_export, unfinished_export};
pub use found::LeftBehind;
pub(in crate::storage) use found::is_other_register;
pub use gather::{GatherReport, OtherRegister, gather};
pub use held::{HeldFile, Holdings};
pub use rename::{RenamedPupil, Renaming};
pub use unfinished::PageAgain;

//! A pupil's sittings together: estimates, forecast, plan, aim, progress. Pure.

pub mod aim;
pub mod estimate;
pub mod exposure;
pub mod familiarity;
pub mod forecast;
pub mod hindsight;
pub mod mark_range;
pub mod model;
pub mod overview;
pub mod plan;
pub mod practice;
pub mod progress;
pub mod step;

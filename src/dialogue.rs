//! One dialogue of a sitting, without a screen: what may be said now, and what comes of it.
//!
//! A face (the pages, the lines) reads its keys or its words as a [`Move`], gives it to
//! [`Dialogue::hear`], does the [`Act`]s of the [`Reply`] and shows what was [`Said`] in its own
//! way. Which answers are taken when, where a jump, a skip or a guess goes, what is asked once more
//! before it is done, and what is said at which moment stands here and nowhere else, so that a
//! sitting is the same sitting whichever face it has.
//!
//! Nothing that ends a sitting, leaves it or fills it at random is done on one move; every act is
//! one that `Sitting::decide` grants.
//!
//! [`Said`]: crate::words::sitting::Said

mod announced;
mod confirm;
mod guessing;
mod hear;
mod held;
mod moves;
mod offers;
mod pace;
mod reply;
mod running;
mod scene;
mod state;
mod sweep;

pub use confirm::Confirm;
pub use held::HeldKey;
pub use moves::Move;
pub use offers::MoveOffer;
pub use pace::{AgainstPlan, Pace};
pub use reply::{Act, Reply};
pub use scene::Scene;
pub use state::Dialogue;

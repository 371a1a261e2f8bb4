//! `enter` through the front door: an answer sheet in, a session without times out.

#[cfg(test)]
#[path = "common/typed.rs"]
mod typed;

#[cfg(test)]
#[path = "common/user.rs"]
mod user;

#[cfg(test)]
#[path = "enter/piped.rs"]
mod piped;

#[cfg(test)]
#[path = "enter/asked.rs"]
mod asked;

#[cfg(test)]
#[path = "enter/class.rs"]
mod class;

#[cfg(test)]
#[path = "enter/killed.rs"]
mod killed;

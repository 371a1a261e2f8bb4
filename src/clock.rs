//! The only reader of the time.

//! Takes the terminal and gives it back.

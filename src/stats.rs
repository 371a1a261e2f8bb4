//! Free functions over numbers: they know no paper, no file and no clock.

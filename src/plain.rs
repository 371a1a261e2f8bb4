//! The sitting line by line, for screen readers and plain terminals.

//! A sitting with its clock and its journal.

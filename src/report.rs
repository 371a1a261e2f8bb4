//! Marks as text, table and JSON.

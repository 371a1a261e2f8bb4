//! Where tests lay their files that sync thousands of times.

/// A folder of its own, in memory where the system has such a place: nothing in it waits for a real disk, and what a
/// disk does wrong is made up.
pub(crate) fn folder() -> tempfile::TempDir {
    let memory = tempfile::tempdir_in("/dev/shm");
    memory
        .or_else(|_there_is_none| tempfile::tempdir())
        .unwrap()
}

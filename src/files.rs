//! Papers, keys and folders on the disk.

//! The built program on a disk with a countdown, by a C library put before the system's own.

use std::io::Write as _;
use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

/// The library, built once; nothing where there is no C compiler.
pub(crate) fn library() -> Option<&'static str> {
    static LIBRARY: OnceLock<Option<String>> = OnceLock::new();
    LIBRARY.get_or_init(build).as_deref()
}

fn build() -> Option<String> {
    let library = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("killing_disk-{}.so", std::process::id()));
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/shim/killing_disk.c");
    let built = Command::new("cc")
        .args(["-shared", "-fPIC", "-O1", "-Wall", "-Werror", "-o"])
        .arg(&library)
        .args([source, "-ldl"])
        .output();
    let Ok(built) = built else {
        let _ = writeln!(std::io::stderr(), "skipped: no C compiler (`cc`)");
        return None;
    };
    let said = String::from_utf8_lossy(&built.stderr);
    assert!(built.status.success(), "{said}");
    Some(library.to_str().unwrap().to_owned())
}

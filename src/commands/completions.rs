//! `completions`: the script with which a shell completes what is typed.

use std::io::Write;

use clap::Command;
use clap_complete::{Shell, generate};

use super::failure::Failure;
use super::outlets::{NAME, quietly};

/// What `completions` takes.
#[derive(Debug, clap::Args)]
pub struct CompletionsArgs {
    /// The shell
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

/// Writes the script for a command, to be loaded by the shell or kept in its folder of completions.
///
/// # Errors
/// Output that cannot be written.
pub(super) fn run(
    args: &CompletionsArgs,
    mut command: Command,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let mut script = Vec::new();
    generate(args.shell, &mut command, NAME, &mut script);
    quietly(out.write_all(&script).and_then(|()| out.flush()))
}

//! Writes what a package has beside the program: `package_files FOLDER` makes a man page for each command in
//! `FOLDER/man` and a script for each shell in `FOLDER/completions`. An example, so that the program carries none of it.

use std::error::Error;
use std::fs;
use std::path::PathBuf;

use clap::{CommandFactory as _, ValueEnum as _};
use clap_complete::{Shell, generate_to};
use pacebell::commands::Args;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args_os().nth(1).map(PathBuf::from);
    let folder = folder.ok_or("name the folder to write to")?;
    let man = folder.join("man");
    fs::create_dir_all(&man)?;
    clap_mangen::generate_to(Args::command(), &man)?;
    let completions = folder.join("completions");
    fs::create_dir_all(&completions)?;
    for shell in Shell::value_variants() {
        generate_to(*shell, &mut Args::command(), "pacebell", &completions)?;
    }
    Ok(())
}

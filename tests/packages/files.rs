//! Writes what a package has beside the program: `package_files FOLDER DATE` makes a man page for each command in
//! `FOLDER/man` and a script for each shell in `FOLDER/completions`. An example, so that the program carries none of it.

#[path = "pages.rs"]
mod pages;

use std::error::Error;
use std::fs;
use std::path::PathBuf;

use clap::{CommandFactory as _, ValueEnum as _};
use clap_complete::{Shell, generate_to};
use pacebell::commands::Args;

fn main() -> Result<(), Box<dyn Error>> {
    let mut words = std::env::args_os().skip(1);
    let (folder, date) = (words.next(), words.next());
    let (folder, date) = folder
        .zip(date)
        .ok_or("name the folder to write to, and the day that the pages say")?;
    let folder = PathBuf::from(folder);
    let man = folder.join("man");
    fs::create_dir_all(&man)?;
    for (name, text) in pages::man_pages(&date.to_string_lossy())? {
        fs::write(man.join(name), text)?;
    }
    let completions = folder.join("completions");
    fs::create_dir_all(&completions)?;
    for shell in Shell::value_variants() {
        generate_to(*shell, &mut Args::command(), "pacebell", &completions)?;
    }
    Ok(())
}

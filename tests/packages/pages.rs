//! Man pages of a command and of every command below it.

use std::io;

use clap::{Arg, Command, CommandFactory as _};
use clap_mangen::Man;
use pacebell::commands::Args;

/// Each page by its file's name; `date` is the day that it says.
pub(crate) fn man_pages(date: &str) -> io::Result<Vec<(String, Vec<u8>)>> {
    let mut program = Args::command().disable_help_subcommand(true);
    program.build();
    let mut pages = Vec::new();
    add(&program, date, &mut pages)?;
    Ok(pages)
}

fn add(command: &Command, date: &str, pages: &mut Vec<(String, Vec<u8>)>) -> io::Result<()> {
    let name = command.get_display_name().unwrap_or(command.get_name());
    let page = Man::new(command.clone().mut_args(with_its_other_names))
        .title(name.to_uppercase())
        .date(date)
        .manual("Pacebell");
    let mut text = Vec::new();
    page.render(&mut text)?;
    pages.push((format!("{name}.1"), text));
    for own in command.get_subcommands() {
        add(own, date, pages)?;
    }
    Ok(())
}

/// An option whose help names what else it is called, as `--help` does and the page by itself does not.
fn with_its_other_names(own: Arg) -> Arg {
    let Some(names) = own.get_visible_aliases().filter(|names| !names.is_empty()) else {
        return own;
    };
    let names = names.iter().map(|name| format!("--{name}"));
    let names = names.collect::<Vec<_>>().join(", ");
    let help = own.get_long_help().or(own.get_help());
    let help = help.map_or_else(String::new, ToString::to_string);
    own.help(format!("{help} [aliases: {names}]"))
        .long_help(None)
}

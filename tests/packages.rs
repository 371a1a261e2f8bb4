//! What is installed beside the program says what its `--help` says; `.ci/package` installs and uses it.

#![cfg(test)]

#[path = "packages/pages.rs"]
mod pages;

use std::collections::{BTreeMap, BTreeSet};
use std::process::{Command, Stdio};

/// What a run of the program prints; nothing stands on its standard error.
fn printed(words: &[&str]) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_pacebell"));
    let done = program.args(words).output().unwrap();
    assert!(done.status.success() && done.stderr.is_empty(), "{done:?}");
    String::from_utf8(done.stdout).unwrap()
}

/// The options of every command, by its words, as its help lists them.
fn helps() -> BTreeMap<String, BTreeSet<String>> {
    let mut all = BTreeMap::new();
    let mut left = vec![String::new()];
    while let Some(command) = left.pop() {
        let words: Vec<_> = command.split_whitespace().chain(["--help"]).collect();
        let help = printed(&words);
        let commands = help.split_once("Commands:\n").map_or("", |(_, rest)| rest);
        let rows = commands.lines().take_while(|line| !line.is_empty());
        // A row that goes on is set in further.
        let rows = rows.filter(|line| !line.starts_with("   "));
        let names = rows.filter_map(|line| line.split_whitespace().next());
        left.extend(
            names
                .filter(|name| *name != "help")
                .map(|name| format!("{command} {name}").trim().to_owned()),
        );
        let options = help.lines().map(str::trim_start);
        let options = options.filter(|line| line.starts_with('-'));
        let long = options.filter_map(|line| {
            line.split([' ', ',', '=', '[', ']'])
                .find(|w| w.starts_with("--"))
        });
        all.insert(command, long.map(str::to_owned).collect());
    }
    all
}

#[test]
fn every_shell_is_told_every_command_and_option() {
    let helps = helps();
    assert!(
        helps.contains_key("paper print") && helps["sit"].contains("--extra-time"),
        "{helps:?}"
    );
    for (shell, before) in [
        ("bash", "--"),
        ("zsh", "--"),
        ("fish", " -l "),
        ("elvish", "--"),
        ("powershell", "'--"),
    ] {
        let script = printed(&["completions", shell]);
        let words: BTreeSet<_> = script
            .split(|c: char| !(c.is_alphanumeric() || c == '-'))
            .collect();
        for (command, options) in &helps {
            let name = command.split_whitespace().last();
            assert!(
                name.is_none_or(|name| words.contains(name)),
                "{shell}: {command}"
            );
            for option in options {
                let option = option.trim_start_matches('-');
                let wanted = format!("{before}{option}");
                let ends =
                    |rest: &str| !rest.starts_with(|c: char| c.is_alphanumeric() || c == '-');
                let named = script.split(&wanted).skip(1).any(ends);
                assert!(named, "{shell}: {command} {option}");
            }
        }
    }
}

#[test]
fn every_command_has_a_man_page_that_names_its_options_and_is_well_formed() {
    let pages: BTreeMap<_, _> = pages::man_pages("2026-11-27")
        .unwrap()
        .into_iter()
        .collect();
    let helps = helps();
    assert_eq!(pages.len(), helps.len());
    for (command, options) in &helps {
        let name = format!("pacebell {command}");
        let name = name.trim().replace(' ', "-");
        let page = &pages[&format!("{name}.1")];
        let text = String::from_utf8(page.clone()).unwrap().replace("\\-", "-");
        assert!(
            text.contains(&format!(".TH {} 1 2026-11-27", name.to_uppercase())),
            "{text}"
        );
        for option in options {
            assert!(text.contains(option.as_str()), "{name}: {option}");
        }
        // Where a formatter of man pages is installed, it finds no error.
        for (program, words) in [
            ("mandoc", &["-T", "lint", "-W", "error"][..]),
            ("groff", &["-man", "-ww", "-z", "-Tutf8"][..]),
        ] {
            let mut formatter = Command::new(program);
            let formatter = formatter.args(words).stdin(Stdio::piped());
            let formatter = formatter.stdout(Stdio::piped()).stderr(Stdio::piped());
            let Ok(mut formatter) = formatter.spawn() else {
                continue;
            };
            std::io::Write::write_all(formatter.stdin.as_mut().unwrap(), page).unwrap();
            let said = formatter.wait_with_output().unwrap();
            let said = [said.stdout, said.stderr].concat();
            assert!(
                said.is_empty(),
                "{name}: {}",
                String::from_utf8_lossy(&said)
            );
        }
    }
}

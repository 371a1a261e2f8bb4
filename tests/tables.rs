//! Figures as CSV for other programs: what is written, read back by readers that are not ours, is what `--json` says.
#![cfg(test)]

#[path = "common/old.rs"]
mod old;

use std::fs;
use std::path::Path;
use std::process::Command;

use old::OldFiles;
use serde_json::Value;

/// A command with a table, the name of the table's list in its JSON and the columns to hold against it.
const TABLES: [(&str, &str); 3] = [
    ("mark marten teasel lapwing", "mark"),
    ("progress marten", "season"),
    ("group --paper @a.paper --key @a.key sessions", "group"),
];

fn run(files: &OldFiles, words: &str, env: &[(&str, &str)]) -> (Option<i32>, String) {
    let words: Vec<_> = words.split(' ').map(|word| files.meant(word)).collect();
    let answer = Command::new(env!("CARGO_BIN_EXE_pacebell"))
        .args(&words)
        .current_dir(files.path())
        .env_clear()
        .envs(old::user::at_home(files.path()))
        .envs(env.iter().copied())
        .output()
        .unwrap();
    (
        answer.status.code(),
        String::from_utf8(answer.stderr).unwrap(),
    )
}

fn json(files: &OldFiles, words: &str) -> Value {
    let answer = files.run(&format!("{words} --json"));
    assert_eq!(answer.code, Some(0), "{words}: {}", answer.err);
    serde_json::from_str(&answer.out).unwrap()
}

/// RFC 4180's grammar, section 2, read without the library that wrote it.
fn records(text: &str, separator: char) -> Vec<Vec<String>> {
    let (mut all, mut record, mut cell) = (Vec::new(), Vec::new(), String::new());
    let (mut quoted, mut chars) = (false, text.chars().peekable());
    while let Some(c) = chars.next() {
        match c {
            '"' if quoted && chars.peek() == Some(&'"') => {
                chars.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            c if c == separator && !quoted => record.push(std::mem::take(&mut cell)),
            '\r' if !quoted => {
                assert_eq!(chars.next(), Some('\n'), "records end with CRLF");
                record.push(std::mem::take(&mut cell));
                all.push(std::mem::take(&mut record));
            }
            c => cell.push(c),
        }
    }
    assert!(
        cell.is_empty() && record.is_empty() && !quoted,
        "the last record ends too"
    );
    all
}

fn column<'a>(table: &'a [Vec<String>], name: &str) -> Vec<&'a str> {
    let place = table[0].iter().position(|own| own == name);
    let place = place.unwrap_or_else(|| panic!("no column {name} in {:?}", table[0]));
    table[1..].iter().map(|row| row[place].as_str()).collect()
}

/// A cell as a number, a fraction where a mark is exact; `None` where it is empty.
fn number(cell: &str) -> Option<f64> {
    let (above, below) = cell.split_once('/').unwrap_or((cell, "1"));
    let above = (!cell.is_empty()).then(|| above.replace(',', ".").parse::<f64>().unwrap());
    Some(above? / below.parse::<f64>().unwrap())
}

/// A value of the JSON as a number: marks are exact strings there.
fn value(value: &Value) -> Option<f64> {
    let Some(text) = value.as_str() else {
        return value.as_f64();
    };
    let (above, below) = text.split_once('/').unwrap_or((text, "1"));
    Some(above.parse::<f64>().unwrap() / below.parse::<f64>().unwrap())
}

/// Equal to 14 figures: a spreadsheet shows 15, and reading JSON back may lose the last bit.
fn same(table: &[Vec<String>], name: &str, expected: impl Iterator<Item = Option<f64>>) {
    let found: Vec<_> = column(table, name).into_iter().map(number).collect();
    let expected: Vec<_> = expected.collect();
    let near = |found: Option<f64>, expected: Option<f64>| match (found, expected) {
        (Some(found), Some(expected)) => (found - expected).abs() <= 1e-14 * expected.abs(),
        (found, expected) => found == expected,
    };
    let mut pairs = found.iter().zip(&expected);
    let all = found.len() == expected.len() && pairs.all(|(one, other)| near(*one, *other));
    assert!(all, "{name}: {found:?} {expected:?}");
    // None of these pupils swept, and they are too few for a scale.
    let may_be_empty = ["sweep_seconds", "worth", "worth_high"].contains(&name);
    let defined = may_be_empty || found.iter().any(Option::is_some);
    assert!(defined, "{name} is empty throughout");
}

fn check(kind: &str, table: &[Vec<String>], json: &Value) {
    assert!(table.iter().all(|row| row.len() == table[0].len()));
    let at = |rows: &Value, path: &str| -> Vec<Option<f64>> {
        let rows = rows.as_array().unwrap().iter();
        rows.map(|row| row.pointer(path).and_then(value)).collect()
    };
    match kind {
        "mark" => {
            for (name, path) in [
                ("in_time", "/mark/in_time"),
                ("with_guess_round", "/mark/with_guess_round"),
                ("worked", "/mark/worked"),
                ("max", "/mark/max"),
                ("guesses_expected", "/luck/expected"),
            ] {
                same(table, name, at(json, path).into_iter());
            }
            // Each row's questions add up to its mark, where the rule starts from nothing.
            let totals = column(table, "in_time");
            for (row, total) in table[1..].iter().zip(totals) {
                let marks = table[0].iter().zip(row);
                let marks = marks.filter(|(name, _)| name.starts_with("marks_"));
                let sum: f64 = marks.filter_map(|(_, cell)| number(cell)).sum();
                assert_eq!(Some(sum), number(total));
            }
            let ids: Vec<_> = json
                .as_array()
                .unwrap()
                .iter()
                .map(|row| row["sitting"].as_str().unwrap())
                .collect();
            assert_eq!(column(table, "sitting"), ids);
        }
        "season" => {
            let rows = &json["sittings"];
            for (name, path) in [
                ("in_time", "/mark/in_time"),
                ("luck_out", "/mark/luck_out"),
                ("standard_error", "/mark/standard_error"),
                ("over_boundary", "/margins/0/over"),
                ("blanks", "/blanks"),
                ("sweep_seconds", "/sweep/seconds"),
                ("worth", "/worth"),
                ("worth_high", "/worth_80/high"),
            ] {
                same(table, name, at(rows, path).into_iter());
            }
        }
        _ => {
            let rows = &json["questions"];
            for name in [
                "facility",
                "discrimination",
                "upper_lower_27",
                "omitted",
                "median_seconds",
            ] {
                same(table, name, at(rows, &format!("/{name}")).into_iter());
            }
            same(table, "C_count", at(rows, "/options/C/count").into_iter());
            same(
                table,
                "C_mean_rest",
                at(rows, "/options/C/mean_rest").into_iter(),
            );
        }
    }
}

#[test]
fn a_table_holds_what_json_says() {
    let files = OldFiles::copied();
    for (words, kind) in TABLES {
        let expected = json(&files, words);
        let (code, err) = run(&files, &format!("{words} --csv out.csv"), &[]);
        assert_eq!(code, Some(0), "{err}");
        let text = fs::read_to_string(files.path().join("out.csv")).unwrap();
        check(kind, &records(&text, ','), &expected);
    }
}

#[test]
fn a_spreadsheet_gets_the_countrys_signs() {
    let files = OldFiles::copied();
    for (words, kind) in TABLES {
        let expected = json(&files, words);
        let words = format!("{words} --csv out.csv --for-spreadsheet");
        for (locale, separator) in [("de_DE.UTF-8", ';'), ("en_GB.UTF-8", ',')] {
            let (code, err) = run(
                &files,
                &words,
                &[("LC_ALL", locale), ("LANG", "fr_FR.UTF-8")],
            );
            assert_eq!(code, Some(0), "{err}");
            let text = fs::read_to_string(files.path().join("out.csv")).unwrap();
            let text = text.strip_prefix('\u{feff}').unwrap();
            let table = records(text, separator);
            check(kind, &table, &expected);
            let other = if separator == ';' { '.' } else { ',' };
            let decimal = |cell: &&String| {
                cell.parse::<f64>().is_ok() || cell.replace(',', ".").parse::<f64>().is_ok()
            };
            let decimals = table.iter().flatten().filter(decimal);
            assert!(decimals.clone().any(|cell| cell.contains(['.', ','])));
            assert!(
                !decimals.clone().any(|cell| cell.contains(other)),
                "{table:?}"
            );
            assert_eq!(separator == ',', !text.contains(';'), "{text}");
        }
    }
}

/// The column `award` is one thing in both tables, and the boundary held against is named by its own.
#[test]
fn an_award_is_the_one_reached_in_every_table() {
    let files = OldFiles::copied();
    let mut of_all = Vec::new();
    for pupil in ["marten", "teasel", "lapwing"] {
        let table = |words: String| {
            let (code, err) = run(&files, &format!("{words} --csv out.csv"), &[]);
            assert_eq!(code, Some(0), "{err}");
            records(
                &fs::read_to_string(files.path().join("out.csv")).unwrap(),
                ',',
            )
        };
        let awards = |table: &[Vec<String>]| -> std::collections::BTreeMap<String, String> {
            let ids = column(table, "sitting").into_iter().map(str::to_owned);
            let awards = column(table, "award").into_iter().map(str::to_owned);
            ids.zip(awards).collect()
        };
        let (mark, season) = (
            table(format!("mark {pupil}")),
            table(format!("progress {pupil}")),
        );
        assert_eq!(awards(&mark), awards(&season));
        of_all.extend(awards(&season).into_values());
        for row in &season[1..] {
            let cell = |name: &str| &row[season[0].iter().position(|own| own == name).unwrap()];
            let is_over = number(cell("over_boundary")).is_some_and(|over| over >= 0.0);
            assert_eq!(is_over, !cell("award").is_empty(), "{row:?}");
        }
    }
    assert!(of_all.iter().any(String::is_empty) && of_all.iter().any(|own| !own.is_empty()));
}

#[cfg(unix)]
#[test]
fn a_table_is_its_owners_alone_and_never_written_over_what_is_read() {
    use std::os::unix::fs::PermissionsExt;
    let files = OldFiles::copied();
    assert_eq!(run(&files, "progress marten --csv out.csv", &[]).0, Some(0));
    for name in ["out.csv", "out.csv-metadata.json"] {
        let about = fs::metadata(files.path().join(name)).unwrap();
        assert_eq!(about.permissions().mode() & 0o777, 0o600, "{name}");
    }
    let sitting = files.sitting("marten", "a");
    let before = fs::read(files.path().join(&sitting)).unwrap();
    for words in [
        format!("mark sessions --csv {sitting}"),
        format!("mark {sitting} --csv sessions/../{sitting}"),
        "group --paper @a.paper --answers out.csv --csv ./out.csv".to_owned(),
        "progress marten --for-spreadsheet".to_owned(),
    ] {
        assert_eq!(run(&files, &words, &[]).0, Some(2), "{words}");
    }
    assert_eq!(fs::read(files.path().join(&sitting)).unwrap(), before);
}

/// Nobody named the file beside a table, so a link there is nobody's wish.
#[cfg(unix)]
#[test]
fn no_link_leads_what_describes_a_table_elsewhere() {
    let files = OldFiles::copied();
    let beside = files.path().join("out.csv-metadata.json");
    let theirs = files.path().join("theirs");
    let link = |to: &str| {
        let _nothing_may_be_there = fs::remove_file(&beside);
        std::os::unix::fs::symlink(to, &beside).unwrap();
    };
    // At first, and again once the table is known.
    for _ in 0..2 {
        fs::write(&theirs, "theirs").unwrap();
        for (to, is_there) in [("theirs", true), ("nowhere", false)] {
            link(to);
            let (code, err) = run(&files, "progress marten --csv out.csv", &[]);
            assert_eq!(code, Some(1), "{to}: {err}");
            assert!(err.contains("out.csv-metadata.json"), "{err}");
            assert_eq!(fs::read_to_string(&theirs).unwrap(), "theirs");
            assert_eq!(files.path().join(to).exists(), is_there, "{to}");
        }
        link("theirs");
        let (code, err) = run(&files, "progress marten --csv out.csv --force", &[]);
        assert_eq!(code, Some(0), "{err}");
        assert_eq!(fs::read_to_string(&theirs).unwrap(), "theirs");
        assert!(fs::symlink_metadata(&beside).unwrap().is_file());
    }
    // A link of the table's own name that leads nowhere makes nothing there.
    fs::remove_file(files.path().join("out.csv")).unwrap();
    std::os::unix::fs::symlink("nowhere", files.path().join("out.csv")).unwrap();
    let (code, _) = run(&files, "progress marten --csv out.csv", &[]);
    assert_eq!(code, Some(1));
    assert!(!files.path().join("nowhere").exists());
}

/// Through a pipe there is only the table.
#[cfg(unix)]
#[test]
fn a_table_may_go_through_a_pipe() {
    let files = OldFiles::copied();
    let answer = files.run("progress marten --json --csv /dev/stderr");
    assert_eq!(answer.code, Some(0));
    check(
        "season",
        &records(&answer.err, ','),
        &serde_json::from_str(&answer.out).unwrap(),
    );
}

/// Runs a program that may not be there.
fn tool(program: &str, words: &[&str], folder: &Path) -> Option<(bool, String)> {
    let answer = Command::new(program)
        .args(words)
        .current_dir(folder)
        .env("HOME", folder)
        .output()
        .ok()?;
    let said = [answer.stdout, answer.stderr].concat();
    Some((
        answer.status.success(),
        String::from_utf8_lossy(&said).into_owned(),
    ))
}

/// Needs `csvwvalidate` of the Python package `csvw`, a reader of the W3C's recommendation; its path may be given in
/// `PACEBELL_CSVWVALIDATE`.
#[test]
#[ignore = "needs csvwvalidate"]
fn the_metadata_satisfies_another_reader_of_the_w3c_recommendation() {
    let program =
        std::env::var("PACEBELL_CSVWVALIDATE").unwrap_or_else(|_unset| "csvwvalidate".to_owned());
    let files = OldFiles::copied();
    for (words, _) in TABLES {
        for (more, locale) in [
            ("", "C"),
            (" --for-spreadsheet", "de_DE"),
            (" --for-spreadsheet", "en_GB"),
        ] {
            let (code, err) = run(
                &files,
                // The one before was spoilt below, so it is no longer the program's own.
                &format!("{words} --csv out.csv --force{more}"),
                &[("LC_ALL", locale)],
            );
            assert_eq!(code, Some(0), "{err}");
            let metadata = "out.csv-metadata.json";
            let (ok, said) =
                tool(&program, &[metadata], files.path()).expect("csvwvalidate is there");
            assert!(ok && said.contains("OK"), "{words}{more}: {said}");
            // It would notice: a text where the metadata promise a number.
            let table = files.path().join("out.csv");
            let text = fs::read_to_string(&table).unwrap();
            let spoilt: Vec<_> = text
                .lines()
                .map(|line| line.replace(|c: char| c.is_ascii_digit(), "x"))
                .collect();
            fs::write(&table, spoilt.join("\r\n")).unwrap();
            let (ok, said) = tool(&program, &[metadata], files.path()).unwrap();
            assert!(!ok || !said.contains("OK"), "{words}{more}: {said}");
        }
    }
}

/// Needs `LibreOffice` (`soffice`): opens each table as a spreadsheet does and writes its own CSV of it.
#[test]
#[ignore = "needs LibreOffice"]
fn a_spreadsheet_reads_back_what_was_written() {
    let files = OldFiles::copied();
    for (words, kind) in TABLES {
        let expected = json(&files, words);
        // 44 or 59 is the separator, 34 the quote, 76 UTF-8, 1 the first line; the language decides the decimal
        // sign (1031 German, 2057 British); then no quoting of text, and numbers as they are stored.
        for (locale, separator, language) in [("de_DE", 59, 1031), ("en_GB", 44, 2057)] {
            let words = format!("{words} --csv out.csv --for-spreadsheet");
            let (code, err) = run(&files, &words, &[("LC_ALL", locale)]);
            assert_eq!(code, Some(0), "{err}");
            let read = format!("--infilter=CSV:{separator},34,76,1,,{language},false,true,false");
            let (ok, said) = tool(
                "soffice",
                &["--headless", &read, "--convert-to", "ods", "out.csv"],
                files.path(),
            )
            .expect("LibreOffice is there");
            assert!(ok, "{said}");
            let write = "csv:Text - txt - csv (StarCalc):44,34,76,1,,2057,false,false,false";
            let back = [
                "--headless",
                "--convert-to",
                write,
                "--outdir",
                "back",
                "out.ods",
            ];
            let (ok, said) = tool("soffice", &back, files.path()).unwrap();
            assert!(ok, "{said}");
            let text = fs::read_to_string(files.path().join("back/out.csv")).unwrap();
            let text = text.trim_start_matches('\u{feff}').replace('\n', "\r\n");
            check(kind, &records(&text, ','), &expected);
        }
    }
}

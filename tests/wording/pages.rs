//! What a person is shown, as texts: pages of the terminal and of the browser, with their lines put together again.

use std::fs;
use std::path::{Path, PathBuf};

/// The files of a folder of tests with this start and end, in order.
pub(crate) fn files(folder: &str, start: &str, end: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests")
        .join(folder);
    let mut found: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            let name = path.file_name().unwrap().to_string_lossy();
            name.starts_with(start) && name.ends_with(end)
        })
        .collect();
    found.sort();
    found
}

/// Lines of a page put together to paragraphs: one that fills its column goes on in the next.
pub(crate) fn of_terminal(page: &str) -> String {
    let width = page.lines().map(|line| line.chars().count()).max();
    let width = width.unwrap_or_default();
    let mut columns = [String::new(), String::new()];
    let mut last = [(0, 0), (0, 0)];
    for line in page.lines() {
        let split: Vec<_> = line.splitn(2, '│').collect();
        let (left, right) = match split[..] {
            [left, right]
                if right.chars().count() > left.chars().count() && !right.contains('│') =>
            {
                (left, right)
            }
            _ => (line, ""),
        };
        let room = [
            if right.is_empty() {
                width
            } else {
                left.chars().count()
            },
            width.saturating_sub(left.chars().count() + 1),
        ];
        for (side, part) in [left, right].into_iter().enumerate() {
            let indent = part.chars().take_while(|c| c.is_whitespace()).count();
            let words = part.trim();
            let first = words.split_whitespace().next().unwrap_or_default();
            let (length, before) = last[side];
            let goes_on = length > 0
                && indent >= before
                && length + 1 + first.chars().count() >= room[side].saturating_sub(1);
            columns[side].push(if goes_on { ' ' } else { '\n' });
            columns[side].push_str(&words.replace("  ", "\n"));
            let is_text = words.contains(char::is_alphanumeric);
            last[side] = if is_text {
                (part.trim_end().chars().count(), indent)
            } else {
                (0, 0)
            };
        }
    }
    columns.join("\n")
}

/// A snapshot without its head.
pub(crate) fn snapshot(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let page = text.splitn(3, "---\n").last().unwrap();
    page.to_owned()
}

/// The elements that run on with the text around them.
const INLINE: [&str; 8] = ["bdi", "strong", "em", "b", "i", "span", "kbd", "a"];

/// What a browser shows, a line for each block; drawings are left out, whose labels are no sentences.
pub(crate) fn of_browser(page: &str) -> String {
    let (_, body) = page.split_once("<body").unwrap();
    let mut text = String::new();
    let mut in_drawing = false;
    for part in body.split('<').skip(1) {
        let (tag, words) = part.split_once('>').unwrap();
        let name = tag
            .trim_start_matches('/')
            .split([' ', '/'])
            .next()
            .unwrap();
        if name == "svg" {
            in_drawing = !tag.starts_with('/');
        }
        if !INLINE.contains(&name) {
            text.push('\n');
        }
        if !in_drawing {
            text.push_str(words);
        }
    }
    text.replace("&quot;", "\"")
        .replace("&amp;", "&")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
}

#[test]
fn a_paragraph_is_put_together_and_a_table_is_not() {
    let page =
        " ─────────────────────────\n First line of a sentence\n that goes on.\n Short.\n 1  two\n";
    let text = of_terminal(page);
    assert!(
        text.contains("\nFirst line of a sentence that goes on.\nShort.\n1\ntwo"),
        "{text}"
    );
    let split = "20 blank  │The question is long and\n  1 + A   │goes on here.\n";
    let text = of_terminal(split);
    assert!(
        text.contains("The question is long and goes on here."),
        "{text}"
    );
}

#[test]
fn a_block_is_a_line_and_a_drawing_is_none() {
    let page = "<html><style>a</style><body><h1>For <bdi>otter</bdi></h1><svg><text>7</text></svg><p>You &amp; I.</p></body>";
    let text = of_browser(page);
    let lines: Vec<_> = text.split('\n').filter(|line| !line.is_empty()).collect();
    assert_eq!(lines, ["For otter", "You & I."]);
}

//! Every HTML page before a validator, in a browser at three widths, light and dark, and on paper.
//!
//! `cargo test --test browser -- --ignored` runs these; DEVELOPERS.md says what has to be installed, and what is
//! missing is said.
#![cfg(test)]

#[path = "common/browser.rs"]
mod browser;
#[path = "common/tree.rs"]
mod tree;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use browser::{are_there, chromium, printed, ran, sides};
use serde::Deserialize;
use tempfile::TempDir;

const NASTY: &str = "<b>\"&'</style><script>alert(1)</script>'--><!--";

/// A folder with the sample papers, some invented sittings, and notes that try to be more than text.
struct Room(TempDir);

impl Room {
    fn new() -> Self {
        let room = TempDir::new().unwrap();
        let ours = Path::new(env!("CARGO_MANIFEST_DIR"));
        for folder in ["sample-papers", "sessions"] {
            tree::copy(&ours.join(folder), &room.path().join(folder));
        }
        Self(room)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Runs the program, and gives what it says beside its output.
    fn run(&self, words: &[&str]) -> String {
        let said = Command::new(env!("CARGO_BIN_EXE_pacebell"))
            .current_dir(self.0.path())
            .args(words)
            .output()
            .unwrap();
        assert!(said.status.success(), "{words:?}: {said:?}");
        String::from_utf8(said.stderr).unwrap()
    }

    fn typed(&self, words: &str) -> String {
        self.run(&words.split(' ').collect::<Vec<_>>())
    }

    /// The first sitting of a pupil.
    fn sitting(&self, pupil: &str) -> String {
        let files = fs::read_dir(self.path("sessions").join(pupil)).unwrap();
        let files = files.map(|file| file.unwrap().path().display().to_string());
        let mut files: Vec<_> = files
            .filter(|file| file.ends_with(".session.ron"))
            .collect();
        files.sort();
        files.remove(0)
    }

    /// Every kind of page, some of them with texts that try to be more.
    fn pages(&self) -> Vec<PathBuf> {
        let sitting = self.sitting("teasel");
        self.run(&[
            "evidence",
            "teasel",
            "--of",
            &sitting,
            "--timed",
            "--sentence",
            NASTY,
        ]);
        let pupil = "x".repeat(40);
        self.typed(&format!("rename lapwing {pupil}"));
        self.typed("feedback sessions --group group");
        self.typed("feedback sessions --join -o joined.html");
        self.typed("feedback sessions --join --for parents -o parents.html");
        self.run(&["feedback", &sitting, "--with-working", "-o", "working.html"]);
        self.typed("evidence teasel -o evidence.html");
        self.typed(&format!("evidence {pupil} -o evidence-long.html"));
        self.typed("export marten out");
        self.typed("plan teasel --paper saltmarsh-b");
        self.typed(
            "paper print saltmarsh-b --answer-sheet --plan-card --pupil teasel -o sheet.html",
        );
        self.typed("paper print saltmarsh-long --homework --questions 3,11,15-18 --with-key -o homework.html");
        for size in ["12", "14", "18", "24"] {
            self.typed(&format!(
                "paper print saltmarsh-a --size {size} -o paper-{size}.html"
            ));
        }
        let group = NASTY.replace('"', "\\\"");
        let register = format!("(format: 1, group: Some(\"{group}\"), pupils: [])");
        fs::write(self.path("sessions/register.ron"), register).unwrap();
        self.typed("overview -o term.html");
        self.typed("overview --outside -o outside.html");
        self.nasty_paper();
        self.typed("paper print nasty.paper.ron -o nasty.html");
        let mut pages: Vec<_> = ["", "group", "out"]
            .into_iter()
            .flat_map(|folder| fs::read_dir(self.path(folder)).unwrap())
            .map(|file| file.unwrap().path())
            .filter(|file| file.extension().is_some_and(|ending| ending == "html"))
            .collect();
        pages.sort();
        assert!(pages.len() >= 20, "{pages:?}");
        pages
    }

    fn nasty_paper(&self) {
        let text =
            fs::read_to_string(self.path("sample-papers/saltmarsh-first.paper.ron")).unwrap();
        let nasty = NASTY.replace('"', "\\\"");
        let mut text = text.replace("title: \"", "title: \"<b>& ");
        for field in ["stem: \"", "figure_words: \"", "options: [\""] {
            text = text.replace(field, &format!("{field}{nasty}"));
        }
        fs::write(self.path("nasty.paper.ron"), text).unwrap();
    }
}

#[test]
#[ignore = "needs npx and the network once, to fetch the validator"]
fn every_page_passes_a_validator() {
    if !are_there(&["npx"]) {
        return;
    }
    let room = Room::new();
    let pages: Vec<_> = room
        .pages()
        .iter()
        .map(|page| page.display().to_string())
        .collect();
    let mut words = vec!["--yes", "html-validate@9"];
    words.extend(pages.iter().map(String::as_str));
    let output = ran("npx", &words).unwrap();
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{text}");
}

/// What a page is found to be in a frame of some width.
#[derive(Debug, Deserialize)]
struct Found {
    /// Whether the page is dark.
    dark: bool,
    width: u32,
    /// How wide it is with what lies outside.
    across: u32,
    /// The lowest contrast of a text.
    contrast: f64,
    /// The smallest text, in pixels.
    smallest: f64,
    texts: u32,
}

/// Tells the frame's page what it found: for each text its size, and its contrast to what it lies on (WCAG 2.2,
/// definitions of "contrast ratio" and "relative luminance").
const LOOK: &str = r#"<script>
function channels(c){return c.match(/[\d.]+/g).map(Number)}
function light(c){const [r,g,b]=channels(c).slice(0,3).map(v=>{v/=255;return v<=0.04045?v/12.92:((v+0.055)/1.055)**2.4});return 0.2126*r+0.7152*g+0.0722*b}
function ground(e){for(;e;e=e.parentElement){const c=getComputedStyle(e).backgroundColor;const a=channels(c);if(a.length<4||a[3]>0)return c}return "rgb(255,255,255)"}
const found={dark:matchMedia("(prefers-color-scheme: dark)").matches,width:innerWidth,across:document.documentElement.scrollWidth,contrast:99,smallest:999,texts:0};
const walk=document.createTreeWalker(document.body,NodeFilter.SHOW_TEXT);
while(walk.nextNode()){
  const text=walk.currentNode,e=text.parentElement;
  if(!text.data.trim()||!e.getClientRects().length||/^(script|style|title|desc)$/.test(e.localName))continue;
  const style=getComputedStyle(e);
  const ink=e.namespaceURI.endsWith("svg")?style.fill:style.color;
  const a=light(ink),b=light(ground(e));
  const ratio=(Math.max(a,b)+0.05)/(Math.min(a,b)+0.05);
  found.contrast=Math.min(found.contrast,ratio);
  found.smallest=Math.min(found.smallest,parseFloat(style.fontSize));
  found.texts++;
}
parent.postMessage(JSON.stringify(found),"*");
</script>"#;

/// The widths at which pages are looked at: a telephone, a tablet, a desk.
const WIDTHS: [u32; 3] = [390, 800, 1200];

/// A page at each width in one of the two sets of colours.
fn looked_at(dir: &Path, page: &Path, dark: bool) -> Vec<Found> {
    let text = fs::read_to_string(page).unwrap();
    let probe = dir.join("probe.html");
    fs::write(&probe, text.replace("</body>", &format!("{LOOK}</body>"))).unwrap();
    let frames = WIDTHS.map(|width| {
        format!(
            "<iframe style=\"border:0;height:900px;width:{width}px\" src=\"probe.html\"></iframe>"
        )
    });
    let frames = frames.concat();
    let around = format!(
        "<!DOCTYPE html><meta name=\"color-scheme\" content=\"light dark\"><pre id=\"found\"></pre><script>\
         addEventListener('message',e=>document.getElementById('found').append(btoa(unescape(encodeURIComponent(e.data)))+' '))</script>{frames}"
    );
    let frame = dir.join("frame.html");
    fs::write(&frame, around).unwrap();
    let scheme = format!("--blink-settings=preferredColorScheme={}", u8::from(!dark));
    let flags = [scheme.as_str(), "--virtual-time-budget=10000", "--dump-dom"];
    let dom = String::from_utf8(chromium(dir, &flags, &frame).stdout).unwrap();
    let found = dom
        .split("<pre id=\"found\">")
        .nth(1)
        .unwrap()
        .split('<')
        .next()
        .unwrap();
    let found = found.split_whitespace().map(|one| {
        let json = base64(one);
        serde_json::from_slice(&json).unwrap()
    });
    found.collect()
}

/// RFC 4648, section 4.
fn base64(text: &str) -> Vec<u8> {
    let value = |c: u8| match c {
        b'A'..=b'Z' => u32::from(c - b'A'),
        b'a'..=b'z' => u32::from(c - b'a') + 26,
        b'0'..=b'9' => u32::from(c - b'0') + 52,
        b'+' => 62,
        _ => 63,
    };
    let digits: Vec<_> = text.bytes().filter(|c| *c != b'=').map(value).collect();
    let mut bytes = Vec::new();
    for four in digits.chunks(4) {
        let all = four.iter().fold(0, |all, digit| all << 6 | digit) << (6 * (4 - four.len()));
        bytes.extend(all.to_be_bytes().into_iter().skip(1).take(four.len() - 1));
    }
    bytes
}

/// WCAG 2.2: 1.4.3 asks 4.5:1 of text, 1.4.10 that nothing scrolls sideways. 16 pixels are a reader's usual size.
#[test]
#[ignore = "needs a headless Chromium"]
fn pages_fit_every_width_and_all_text_stands_out_light_and_dark() {
    if !are_there(&["chromium"]) {
        return;
    }
    let room = Room::new();
    for page in room.pages() {
        for dark in [false, true] {
            let found = looked_at(room.0.path(), &page, dark);
            let mut widths: Vec<_> = found.iter().map(|found| found.width).collect();
            widths.sort_unstable();
            assert_eq!(widths, WIDTHS, "{}", page.display());
            for found in found {
                let what = format!("{} {found:?}", page.display());
                assert_eq!(found.dark, dark, "{what}");
                assert!(found.across <= found.width, "{what}");
                assert!(found.contrast >= 4.5, "{what}");
                assert!(found.smallest >= 15.99 && found.texts > 5, "{what}");
            }
        }
    }
}

/// The sizes of the letters on a printed page, in points. The ground around a letter in a picture counts as white
/// letters to the reader.
fn letters(pdf: &Path) -> Vec<u32> {
    let file = pdf.display().to_string();
    let xml = ran("pdftohtml", &["-xml", "-zoom", "1", "-i", "-stdout", &file]).unwrap();
    let xml = String::from_utf8_lossy(&xml.stdout).into_owned();
    let fonts = xml.split("<fontspec ").skip(1);
    let fonts = fonts.filter(|font| !font.split('>').next().unwrap().contains("#ffffff"));
    let sizes = fonts.map(|font| {
        let size = font.split("size=\"").nth(1).unwrap();
        size.split('"').next().unwrap().parse().unwrap()
    });
    sizes.collect()
}

#[test]
#[ignore = "needs a headless Chromium and poppler's tools"]
fn on_paper_every_page_has_the_sides_and_the_letters_it_should_have() {
    if !are_there(&["chromium", "pdftotext", "pdftohtml"]) {
        return;
    }
    let room = Room::new();
    // Sides with Arial, or Liberation Sans, which has its widths.
    let sizes: BTreeMap<&str, (u32, std::ops::RangeInclusive<usize>)> = BTreeMap::from([
        ("paper-12", (12, 6..=7)),
        ("paper-14", (14, 6..=8)),
        ("paper-18", (18, 12..=16)),
        ("paper-24", (24, 20..=28)),
        ("sheet", (12, 2..=2)),
        // Nine sittings, a short page for parents of each.
        ("parents", (12, 9..=9)),
        ("homework", (12, 2..=4)),
    ]);
    let mut held = 0;
    for page in room.pages() {
        let pdf = printed(room.0.path(), &page);
        let name = page.file_stem().unwrap().to_str().unwrap();
        let (size, count) = sizes.get(name).cloned().unwrap_or((12, 1..=40));
        let found = sides(&pdf);
        held += usize::from(sizes.contains_key(name));
        assert!(
            count.contains(&found.len()),
            "{name}: {} sides",
            found.len()
        );
        assert!(
            found.iter().all(|side| !side.is_empty()),
            "{name}: an empty side"
        );
        assert_eq!(letters(&pdf).into_iter().min(), Some(size), "{name}");
    }
    assert_eq!(held, sizes.len());
}

/// A group of 24 on A4: letters of 12 points and more, every side of a table that goes on begins with its heads, and
/// whoever has a row has it whole, from the first table to the last.
#[test]
#[ignore = "needs a headless Chromium and poppler's tools"]
fn a_whole_groups_term_is_printed_with_the_heads_of_its_tables_on_every_side() {
    if !are_there(&["chromium", "pdftotext", "pdftohtml"]) {
        return;
    }
    let dir = TempDir::new().unwrap();
    let room = Room(dir);
    room.typed("demo . --pupils 24");
    room.typed("overview -o term.html");
    room.typed("overview --outside -o outside.html");
    for (name, count) in [("term", 14..=26), ("outside", 3..=6)] {
        let pdf = printed(room.0.path(), &room.path(&format!("{name}.html")));
        let found = sides(&pdf);
        assert!(count.contains(&found.len()), "{name}: {}", found.len());
        assert_eq!(letters(&pdf).into_iter().min(), Some(12), "{name}");
        if name == "outside" {
            continue;
        }
        let aliases = fs::read_dir(room.path("sessions")).unwrap();
        let aliases = aliases.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let aliases: Vec<_> = aliases
            .filter(|name| !name.contains('.') && name != "pages")
            .collect();
        assert_eq!(aliases.len(), 24);
        let mut with_rows = 0;
        for side in &found {
            let rows = aliases.iter().filter(|alias| side.contains(alias.as_str()));
            if rows.count() > 4 && !side.contains("Who needs a word") {
                with_rows += 1;
                assert!(side.contains("Pupil "), "{side}");
            }
        }
        assert!(with_rows >= 8, "{with_rows}");
        let whole = found.concat();
        for alias in &aliases {
            assert!(whole.matches(alias.as_str()).count() >= 4, "{alias}");
        }
    }
}

/// Eight papers of thirty pupils: a browser repeats heads of a quarter of a side at most, and eight names of papers beside
/// each other take more. Every side with rows has their heads, and a side of letters its paper.
#[test]
#[ignore = "needs a headless Chromium and poppler's tools"]
fn eight_papers_of_thirty_pupils_are_printed_with_heads_on_every_side() {
    if !are_there(&["chromium", "pdftotext", "pdftohtml"]) {
        return;
    }
    let dir = TempDir::new().unwrap();
    let room = Room(dir);
    let aliases: Vec<String> = (0..30).map(|pupil| format!("pupil{pupil:02}")).collect();
    let heads: Vec<String> = (1..=20).map(|number| number.to_string()).collect();
    let heads = format!("pupil,{}\n", heads.join(","));
    let titles = (1..=8).map(|paper| format!("The Reed Bed Shield: practice paper number {paper}"));
    for (title, paper) in titles.clone().zip(1..) {
        let id = format!("reed-{paper}");
        let answers = "ABCDE".repeat(4);
        room.run(&[
            "paper",
            "new",
            &id,
            "--title",
            &title,
            "--questions",
            "20",
            "--minutes",
            "40",
            "--sections",
            "1-20:4",
            "--answers",
            &answers,
        ]);
        let rows = aliases.iter().zip(0..).map(|(alias, pupil)| {
            let letters = (0..20).map(|number| match (number + pupil * paper) % 7 {
                0 => "-",
                1 => "E",
                _ => ["A", "B", "C", "D", "E"][number % 5],
            });
            format!("{alias},{}\n", letters.collect::<Vec<_>>().join(","))
        });
        fs::write(
            room.path("class.csv"),
            heads.clone() + &rows.collect::<String>(),
        )
        .unwrap();
        room.typed(&format!(
            "enter {id} --from class.csv --date 2026-10-0{paper}"
        ));
    }
    room.typed("overview -o term.html");
    let pdf = printed(room.0.path(), &room.path("term.html"));
    assert_eq!(letters(&pdf).into_iter().min(), Some(12));
    let found = sides(&pdf);
    let mut with_rows = [0, 0];
    for side in &found {
        let rows = aliases.iter().filter(|alias| side.contains(alias.as_str()));
        if rows.count() < 3 || side.contains("Who needs a word") {
            continue;
        }
        assert!(side.contains("Pupil "), "{side}");
        let has_papers = (1..=8).all(|paper| side.contains(&format!("P{paper} ")));
        let of_letters = titles.clone().any(|title| side.contains(&title));
        assert!(has_papers || of_letters, "{side}");
        with_rows[usize::from(of_letters)] += 1;
    }
    assert!(with_rows[0] >= 6 && with_rows[1] >= 16, "{with_rows:?}");
    // Two tables by papers, and one of letters a paper.
    let whole = found.concat();
    for alias in &aliases {
        assert!(whole.matches(alias.as_str()).count() >= 10, "{alias}");
    }
}

/// Each question of a paper is on one side, at each size, with homework's room and without.
#[test]
#[ignore = "needs a headless Chromium and pdftotext"]
fn no_question_of_a_printed_paper_is_broken() {
    if !are_there(&["chromium", "pdftotext"]) {
        return;
    }
    let room = Room::new();
    for name in ["saltmarsh-a", "saltmarsh-b", "saltmarsh-long"] {
        let file = room.path(&format!("sample-papers/{name}.paper.ron"));
        let paper = pacebell::storage::files::paper::load(&file).unwrap();
        for size in ["12", "14", "18", "24"] {
            for kind in ["", " --homework"] {
                let said = room.typed(&format!("paper print {name} --size {size}{kind} -o p.html"));
                assert_eq!(said, "", "none is said to be too long");
                let sides = sides(&printed(room.0.path(), &room.path("p.html")));
                for (number, question) in (1..).zip(&paper.questions) {
                    let head = format!("Question {number} ");
                    let side = sides
                        .iter()
                        .find(|side| format!("{side} ").contains(&head))
                        .unwrap();
                    let own = side.split(&head).nth(1).unwrap();
                    let own = own.split("Question ").next().unwrap();
                    let last = question.options.last().unwrap();
                    assert!(
                        own.contains(&format!("E {last}")),
                        "{name} {size}{kind} {number}: {own}"
                    );
                    if ["12", "14"].contains(&size) {
                        assert_eq!(own.contains("What was the catch?"), !kind.is_empty());
                    }
                }
            }
        }
    }
}

/// What is not said to be too long for a side is whole on one; a figure that is wider than a side turns it, or
/// wants a larger sheet.
#[test]
#[ignore = "needs a headless Chromium and poppler's tools"]
fn long_questions_are_told_and_wide_figures_are_whole() {
    if !are_there(&["chromium", "pdftotext", "pdfinfo"]) {
        return;
    }
    let room = Room::new();
    let lengths = [10, 30, 60, 90, 120, 150, 200, 300];
    let questions = lengths.map(|words| {
        let stem = "moorhens ".repeat(words);
        format!("(stem: \"{stem}\", options: [\"one\", \"two\", \"three or more of them\", \"none\", \"LAST\"]),")
    });
    let questions = questions.concat();
    let wide = "=".repeat(58);
    let figure = format!(
        "(stem: \"Wide\", figure: r\"<{wide}>\", options: [\"1\", \"2\", \"3\", \"4\", \"LAST\"]),"
    );
    let paper = format!(
        "(format: 2, id: \"long\", title: \"Long\", minutes: 10, options: \"ABCDE\", rule: (sections: [(name: \"all\", first: 1, last: 9, right: 1, wrong: 0, blank: 0)]), questions: [{questions}{figure}])"
    );
    fs::write(room.path("long.paper.ron"), paper).unwrap();
    let mut told = 0;
    for (size, across) in [("12", 595), ("14", 595), ("18", 842), ("24", 1191)] {
        let said = room.typed(&format!(
            "paper print long.paper.ron --size {size} -o long.html"
        ));
        let pdf = printed(room.0.path(), &room.path("long.html"));
        let sides = sides(&pdf);
        for number in 1..=8 {
            let head = format!("Question {number} ");
            let side = sides.iter().find(|side| side.contains(&head)).unwrap();
            let own = side
                .split(&head)
                .nth(1)
                .unwrap()
                .split("Question ")
                .next()
                .unwrap();
            let named = said
                .split(|c: char| !c.is_ascii_digit())
                .any(|digits| digits == number.to_string());
            told += usize::from(named);
            assert!(named || own.contains("LAST"), "{size} {number}: {said}");
        }
        // The figure stands on the last side, whole.
        let last = sides.len().to_string();
        let about = ran(
            "pdfinfo",
            &["-f", &last, "-l", &last, &pdf.display().to_string()],
        )
        .unwrap();
        let about = String::from_utf8(about.stdout).unwrap();
        let page = about.lines().find(|line| line.contains(" size:")).unwrap();
        let found: f64 = page
            .split("size:")
            .nth(1)
            .unwrap()
            .split_whitespace()
            .next()
            .unwrap()
            .parse()
            .unwrap();
        assert!((found - f64::from(across)).abs() < 2.0, "{size}: {page}");
        assert!(
            sides.last().unwrap().contains(&format!("<{wide}>")),
            "{size}"
        );
    }
    assert!(told > 0, "the longest is told");
}

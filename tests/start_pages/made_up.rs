//! Invented papers, pupils and sittings to choose from.

use std::path::PathBuf;

use chrono::NaiveDate;
use pacebell::analysis::Totals;
use pacebell::domain::header::Alias;
use pacebell::domain::mark::Mark;
use pacebell::domain::paper::{Paper, RuleChecked};
use pacebell::domain::time::Elapsed;
pub(crate) use pacebell::screens::start::PastState;
use pacebell::screens::start::{Offer, PaperOffer, PastSitting};
use pacebell::season::familiarity::Questions;

use crate::papers::{self, section};

pub(crate) fn day(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).unwrap()
}

pub(crate) fn paper(title: &str, on_screen: bool) -> Paper {
    let sections = [
        section(1, 10, ["4", "0", "0"]),
        section(11, 20, ["5", "0", "0"]),
        section(21, 25, ["7", "-1", "0"]),
    ];
    let mut paper = papers::paper(title, 60, sections);
    paper.outline.rule_checked = on_screen.then(|| RuleChecked {
        on: day(2026, 9, 3),
        by: "T.M.".into(),
    });
    paper.outline.on_screen = on_screen;
    paper.conditions = vec!["No calculator, ruler allowed.".into()];
    paper
}

pub(crate) fn past(pupil: &str, date: NaiveDate, paper: &str, state: PastState) -> PastSitting {
    PastSitting {
        pupil: Alias::new(pupil).unwrap(),
        date,
        paper: paper.into(),
        questions: Questions::of_paper(&self::paper(paper, true)),
        state,
        path: PathBuf::from(format!("sessions/{pupil}/{date}.session.ron")),
        invented: false,
    }
}

pub(crate) fn offer() -> Offer {
    let over = |in_time: &str, with: Option<&str>, blanks_in_time| PastState::Over {
        given_up: false,
        blanks_in_time,
        marks: Some(Totals {
            in_time: in_time.parse().unwrap(),
            with_guess_round: with.map(|with| with.parse().unwrap()),
            max: Mark::whole(125),
        }),
    };
    let open = PastState::Open {
        left: Elapsed::seconds(30 * 60 + 20),
        on_break: false,
        answers: 12,
        away: Elapsed::minutes(4),
        sound_until: None,
    };
    let time_up = PastState::Open {
        left: Elapsed::ZERO,
        on_break: false,
        answers: 20,
        away: Elapsed::minutes(90),
        sound_until: None,
    };
    let keyless = PastState::Over {
        given_up: true,
        blanks_in_time: 0,
        marks: None,
    };
    let file = |paper, name: &str, has_key| PaperOffer {
        paper,
        path: PathBuf::from(format!("sample-papers/{name}.paper.ron")),
        has_key,
    };
    Offer {
        pupils: ["otter", "heron"].map(|a| Alias::new(a).unwrap()).to_vec(),
        papers: vec![
            file(Ok(paper("Saltmarsh A", true)), "saltmarsh-a", true),
            file(Ok(paper("Harbour printed", false)), "harbour", false),
            file(
                Err("broken.paper.ron:7:3: minutes. `x` isn't a number of minutes: write a positive number such as 60".into()),
                "broken",
                false,
            ),
        ],
        past: vec![
            past("otter", day(2026, 11, 20), "Saltmarsh A", open),
            past("heron", day(2026, 11, 18), "Harbour printed", over("62", Some("66"), 4)),
            past("heron", day(2026, 11, 4), "Saltmarsh A", over("58", None, 0)),
            past("wren", day(2026, 10, 1), "Saltmarsh A", time_up),
            past("wren", day(2026, 9, 1), "Saltmarsh A", keyless),
        ],
        met: ["otter", "heron", "wren"].map(|a| Alias::new(a).unwrap()).to_vec(),
        practice: vec![],
        register: None,
        steps: Vec::new(),
        plan: None,
        today: day(2026, 11, 25),
        sessions: "/home/tutor/sessions".into(),
        samples: None,
        notices: vec!["sessions/owl/x.session.ron:3: the record's check sum is wrong. `pacebell mark` can read up to that line.".into()],
    }
}

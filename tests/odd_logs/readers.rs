//! Everything that reads a log.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;
use pacebell::analysis::{Norms, Studied};
use pacebell::cohort::items::{AnswersFrom, ItemTally};
use pacebell::domain::abridged::Abridged;
use pacebell::domain::marking::{Take, answers};
use pacebell::domain::notes::Notes;
use pacebell::domain::thresholds::Thresholds;
use pacebell::domain::time::Elapsed;
use pacebell::reports::feedback::content::{Asked, EarlierSitting, feedback};
use pacebell::reports::group::GroupReport;
use pacebell::reports::progress::{PracticeReport, Season};
use pacebell::reports::{self, Report, Subject};
use pacebell::screens::kit::{Frame, Key, Page};
use pacebell::screens::result::{AfterResult, ResultPage};
use pacebell::screens::review::{Listed, Opened, Request, Review};
use pacebell::screens::theme::Theme;
use pacebell::season::familiarity::MetInPractice;
use pacebell::season::progress::{line, progress};
use pacebell::words::result::Ended;
use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect, Size};
use ratatui::widgets::Widget;

use crate::strange::{Odd, paper};

const USUAL: Size = Size::new(80, 24);
const SMALLEST: Size = Size::new(60, 18);

pub(crate) fn all(odd: &Odd, studied: &Studied) {
    mark(odd, studied);
    feedback_page(odd, studied);
    progress_page(odd, studied);
    group_page(odd, studied);
    result_page(studied);
    review_pages(odd, studied);
}

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 26).unwrap()
}

fn mark(odd: &Odd, studied: &Studied) {
    let subject = Subject {
        analysis: studied.analysis.clone(),
        remarks: vec![],
        decision: None,
        disputed: false,
    };
    let under = &paper().0.outline;
    let key = Arc::new(odd.key.clone());
    let report = Report::new(subject, key, Some(under), today()).unwrap();
    let json = reports::json::mark::json(std::slice::from_ref(&report)).unwrap();
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let asked = odd.header.questions().count();
    assert_eq!(json["questions"].as_array().unwrap().len(), asked);
    assert!(reports::text::page(&report).contains("otter"));
    assert!(reports::table::table(&[report.clone(), report]).contains("otter"));
}

fn feedback_page(odd: &Odd, studied: &Studied) {
    let mut later = odd.header.clone();
    later.started += chrono::TimeDelta::days(1);
    later.sitting = "later".into();
    let before: Vec<EarlierSitting> = EarlierSitting::of(&later, &studied.analysis)
        .into_iter()
        .collect();
    for with_working in [false, true] {
        let told = feedback(&Asked {
            studied,
            before: &before,
            practised: None,
            steps: &[],
            with_working,
            today: today(),
        });
        assert_eq!(told.is_some(), studied.analysis.ending().is_some());
        if let Some(told) = told {
            assert!(
                reports::feedback::page(&told, reports::feedback::PageReader::Pupil)
                    .ends_with("</html>\n")
            );
        }
    }
}

fn progress_page(odd: &Odd, studied: &Studied) {
    let bare = Studied::new(studied.analysis.clone(), None);
    let pupil = odd.header.pupil.clone();
    let mut lines = vec![line(studied), line(&bare), line(studied)];
    for (day, own) in (0..).zip(&mut lines) {
        own.started += chrono::TimeDelta::days(day);
        own.sitting = format!("odd-{day}");
    }
    let season = Season {
        steps: Vec::new(),
        practice: PracticeReport::default(),
        invented: odd.header.invented,
        progress: progress(pupil, lines, &MetInPractice::default()),
        remarks: vec![],
    };
    assert!(reports::progress::page(&season).contains("otter"));
    let json = reports::progress::json::json(&season).unwrap();
    assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok());
}

fn group_page(odd: &Odd, studied: &Studied) {
    let outline = &odd.header.paper;
    let analysis = &studied.analysis;
    let mut cohort = ItemTally::new(outline, &odd.key).unwrap();
    let sheet = answers(analysis.end(), Take::WithGuessRound);
    let codes = outline.numbers().map(|number| {
        let own = sheet.iter().find(|own| own.number == number);
        let place = own
            .and_then(|own| own.given)
            .and_then(|label| outline.labels(number).index(label));
        place.map_or(0, |place| u8::try_from(place + 1).unwrap())
    });
    let codes: Vec<_> = codes.collect();
    let seconds = outline.numbers().map(|number| {
        let opened = analysis.question(number).and_then(|pace| pace.opened);
        opened
            .and_then(|_| analysis.time_on(number))
            .map(Elapsed::as_seconds)
    });
    let seconds: Vec<_> = seconds.collect();
    for _ in 0..3 {
        cohort.add(&codes).unwrap();
        cohort.add_times(&seconds);
    }
    let figures = cohort.figures().unwrap();
    assert!(reports::group::json::json(&figures).is_ok());
    let table = reports::group::csv::table(&figures);
    assert!(table.bytes(reports::tabular::CsvForm::Rfc4180).is_ok());
    let page = reports::group::text::page(&GroupReport {
        paper: outline,
        figures: &figures,
        source: AnswersFrom::SittingsWithGuessRound,
        invented: odd.header.invented,
        with_options: true,
    });
    assert!(page.contains("3 answer sheets"), "{page}");
}

fn painted(page: &impl Page, size: Size) {
    let mut buffer = Buffer::empty(Rect::from((Position::ORIGIN, size)));
    let theme = Theme::plain();
    Frame { page, theme }.render(buffer.area, &mut buffer);
    assert!(buffer.content.iter().any(|cell| cell.symbol() != " "));
}

fn result_page(studied: &Studied) {
    let told = Ended::tell(studied, "sessions/otter".into());
    assert_eq!(told.is_some(), studied.analysis.ending().is_some());
    if let Some(told) = told {
        let mut page = ResultPage::new(told, AfterResult::Away);
        painted(&page, USUAL);
        page.press(Key::End, SMALLEST);
        painted(&page, SMALLEST);
    }
}

fn opened(odd: &Odd) -> Opened {
    let key = Some(Arc::new(odd.key.clone())).filter(|_| odd.key_at_hand);
    Opened {
        path: PathBuf::from("otter/odd.session.ron"),
        paper: odd.key_at_hand.then(|| Arc::clone(&paper().0)),
        key: key.ok_or_else(|| "There is none here.".to_owned()),
        notes: Ok(Notes::new(&odd.header.sitting)),
        steps: Vec::new(),
        limits: Arc::new(Thresholds::default()),
        remarks: vec![],
        is_open: false,
        header: odd.header.clone(),
        events: odd.log.clone(),
    }
}

/// Each page as it is opened, and in the smallest window after some keys.
fn review_pages(odd: &Odd, studied: &Studied) {
    let mut review = Review::new("sessions");
    let key = Some(&odd.key).filter(|_| odd.key_at_hand);
    let path = Path::new("otter/odd.session.ron");
    review.add(vec![Listed::read(
        path,
        &Abridged::of(studied.analysis.end()),
        key,
        false,
    )]);
    review.end_of_list();
    painted(&review, USUAL);
    let ask = review.press(Key::Enter, USUAL);
    assert_eq!(ask, Some(Request::Open(path.into())));
    review.opened(opened(odd));
    if let Some((version, _)) = review.group_wanted() {
        review.group_came(version, Norms::of([studied; 6]));
    }
    for keys in ["m", "t", "sg", "l", "c", "f", "q", "r", "b"] {
        for key in keys.chars() {
            review.press(Key::Char(key), USUAL);
        }
        painted(&review, USUAL);
        for key in [Key::Right, Key::Right, Key::Down, Key::End] {
            review.press(key, SMALLEST);
        }
        painted(&review, SMALLEST);
    }
}

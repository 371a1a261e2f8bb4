//! Missed questions tried again, as a part of the season's page and of its JSON.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::Serialize;

use crate::domain::rule::QuestionNo;
use crate::reports::text::COLUMNS;
use crate::season::practice::{
    ByGuessing, MissKind, PracticeState, PractisedSeason, RetriedHow, SeasonQuestion, SecondTries,
};
use crate::words::practise as words;
use crate::words::text::{Side, clean, columns, hanging};
use crate::words::time::file_day;

/// So many lines on the catch are shown, the latest.
const CATCHES: usize = 3;

/// What practice says, on a day.
#[derive(Clone, Debug, Default)]
pub struct PracticeReport {
    /// The questions.
    pub season: PractisedSeason,
    /// The day.
    pub today: NaiveDate,
    /// The day of the paper that the pupil works towards, where it is known.
    pub paper_on: Option<NaiveDate>,
}

/// How many missed questions stand where.
#[derive(Clone, Copy, Debug, Default, Serialize)]
struct Standings {
    due: usize,
    waiting: usize,
    too_early: usize,
    secure: usize,
}

impl PracticeReport {
    fn states(&self) -> impl Iterator<Item = (&SeasonQuestion, PracticeState)> {
        let of = |own| SeasonQuestion::state(own, self.today, self.paper_on);
        self.season
            .missed()
            .filter_map(move |own| Some((own, of(own)?)))
    }

    fn standings(&self) -> Standings {
        let mut all = Standings::default();
        for (_, state) in self.states() {
            let count = match state {
                PracticeState::Due(_) => &mut all.due,
                PracticeState::Waiting(_) => &mut all.waiting,
                PracticeState::TooEarly(_) => &mut all.too_early,
                PracticeState::Secure => &mut all.secure,
            };
            *count += 1;
        }
        all
    }

    /// The missed questions whose first try in practice was right, by paper.
    fn right_again(&self) -> Vec<(&str, Vec<QuestionNo>)> {
        self.by_paper(|own| own.second() == Some(RetriedHow::Right))
    }

    /// Those whose first try in practice was wrong, and that have not been right since.
    fn wrong_again(&self) -> Vec<(&str, Vec<QuestionNo>)> {
        self.by_paper(|own| own.second() == Some(RetriedHow::Wrong) && !own.is_right_since())
    }

    fn by_paper(&self, wanted: impl Fn(&SeasonQuestion) -> bool) -> Vec<(&str, Vec<QuestionNo>)> {
        let mut papers = BTreeMap::<&str, Vec<QuestionNo>>::new();
        for own in self.season.missed().filter(|own| wanted(own)) {
            let which = &own.round.which;
            papers.entry(&which.paper).or_default().push(which.question);
        }
        for questions in papers.values_mut() {
            questions.sort_unstable();
        }
        papers.into_iter().collect()
    }
}

/// The part of the page; nothing where nothing was missed.
pub(super) fn block(report: &PracticeReport) -> Vec<String> {
    let season = &report.season;
    if season.missed().next().is_none() && season.sessions == 0 {
        return Vec::new();
    }
    let all = report.standings();
    let standing = words::standing(all.due, all.waiting, all.too_early, all.secure);
    if season.sessions == 0 {
        return hanging("", &standing, COLUMNS);
    }
    let mut lines = vec![words::heading(season.sessions)];
    let mut said = vec![standing];
    said.extend(words::comes_back(
        season.next_back(report.today, report.paper_on),
    ));
    said.extend(words::right_again(&report.right_again()));
    said.extend(words::wrong_again(&report.wrong_again()));
    let late = season.catches.len().saturating_sub(CATCHES);
    for (which, text) in season.catches.iter().skip(late) {
        said.push(words::catch(&which.paper, which.question, &clean(text)));
    }
    let hung = |text: &String| hanging("  ", text, COLUMNS);
    lines.extend(said.iter().flat_map(hung));
    let table = SecondTries::of(&season.questions);
    if table.all() > 0 {
        lines.extend(rows(&table));
        let told = words::second_tries(&table);
        let told = told.into_iter().chain(
            ByGuessing::of(&season.questions)
                .as_ref()
                .map(words::by_guessing),
        );
        lines.extend(told.collect::<Vec<_>>().iter().flat_map(hung));
    }
    lines
}

fn rows(table: &SecondTries) -> Vec<String> {
    let [right, missed] = words::FIRST_ROWS;
    let cell = |count: usize| count.to_string();
    let rows = vec![
        words::SECOND_COLUMNS.map(str::to_owned).to_vec(),
        vec![right.to_owned(), cell(table.both), cell(table.first_only)],
        vec![
            missed.to_owned(),
            cell(table.second_only),
            cell(table.neither),
        ],
    ];
    let table = columns(&[Side::Left, Side::Right, Side::Right], &rows);
    table.iter().map(|line| format!("  {line}")).collect()
}

/// The same for other programs.
#[derive(Serialize)]
pub(super) struct PracticeOut<'a> {
    sessions: usize,
    paper_on: Option<String>,
    #[serde(flatten)]
    standings: Standings,
    next: Option<NextOut>,
    second_tries: SecondOut,
    by_guessing: Option<GuessingOut>,
    questions: Vec<RetriedOut<'a>>,
    catches: Vec<CatchOut<'a>>,
}

#[derive(Serialize)]
struct NextOut {
    on: String,
    questions: usize,
}

#[derive(Serialize)]
struct SecondOut {
    both: usize,
    first_only: usize,
    second_only: usize,
    neither: usize,
    p: Option<f64>,
}

#[derive(Serialize)]
struct GuessingOut {
    missed: usize,
    right: usize,
    expected: f64,
    at_least: usize,
    chance: f64,
}

#[derive(Serialize)]
struct RetriedOut<'a> {
    paper: &'a str,
    number: QuestionNo,
    missed: &'static str,
    topics: Vec<&'a str>,
    tries: usize,
    rights: usize,
    state: &'static str,
    on: Option<String>,
}

#[derive(Serialize)]
struct CatchOut<'a> {
    paper: &'a str,
    number: QuestionNo,
    text: &'a str,
}

impl<'a> PracticeOut<'a> {
    pub(super) fn of(report: &'a PracticeReport) -> Self {
        let season = &report.season;
        let table = SecondTries::of(&season.questions);
        let next = season.next_back(report.today, report.paper_on);
        let guessing = ByGuessing::of(&season.questions);
        let catches = season.catches.iter();
        Self {
            sessions: season.sessions,
            paper_on: report.paper_on.map(file_day),
            standings: report.standings(),
            next: next.map(|(on, questions)| NextOut {
                on: file_day(on),
                questions,
            }),
            second_tries: SecondOut {
                both: table.both,
                first_only: table.first_only,
                second_only: table.second_only,
                neither: table.neither,
                p: table.chance(),
            },
            by_guessing: guessing.map(|told| GuessingOut {
                missed: told.missed,
                right: told.right,
                expected: told.expected,
                at_least: told.at_least,
                chance: told.chance,
            }),
            questions: report.states().filter_map(question).collect(),
            catches: catches
                .map(|(which, text)| CatchOut {
                    paper: &which.paper,
                    number: which.question,
                    text,
                })
                .collect(),
        }
    }
}

fn question((own, state): (&SeasonQuestion, PracticeState)) -> Option<RetriedOut<'_>> {
    let (kind, _) = own.missed?;
    let (state, on) = match state {
        PracticeState::Due(on) => ("due", Some(on)),
        PracticeState::Waiting(on) => ("waiting", Some(on)),
        PracticeState::TooEarly(on) => ("too_early", Some(on)),
        PracticeState::Secure => ("secure", None),
    };
    let which = &own.round.which;
    Some(RetriedOut {
        paper: &which.paper,
        number: which.question,
        missed: match kind {
            MissKind::WrongWorked => "wrong_worked",
            MissKind::Wrong => "wrong",
            MissKind::Blank => "blank",
        },
        topics: own.round.topics().into_iter().collect(),
        tries: own.tries.iter().filter(|one| one.in_practice).count(),
        rights: own.rights().len(),
        state,
        on: on.map(file_day),
    })
}

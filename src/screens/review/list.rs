//! The list of sittings: filled while files are read, filtered by typing, sorted.

use std::cell::OnceCell;
use std::path::{Path, PathBuf};

use ratatui::text::Span;

use super::listed::{Listed, State, Summary, Version};
use super::order::SortBy;
use crate::analysis::Totals;
use crate::domain::character::ShownPath as _;
use crate::domain::event::Ending;
use crate::domain::standing::{Exclusion, Use};
use crate::screens::kit::{List, Move, PageWriter};
use crate::words::damage::TORN;
use crate::words::log::ending;
use crate::words::numbers::plain;
use crate::words::review as words;
use crate::words::review_aloud as words_aloud;
use crate::words::sign::Sign;
use crate::words::standing::DISPUTED;
use crate::words::text::{cut_start, fit, fit_right, width};
use crate::words::time::table_day;

/// The list as it stands.
#[derive(Clone, Debug, Default)]
pub(super) struct Sittings {
    rows: Vec<Listed>,
    /// What the filter looks through, a text a row, made once it is first looked through.
    searched: Vec<OnceCell<String>>,
    /// The rows that show, by place, in their order.
    shown: List<usize>,
    sort: SortBy,
    /// How many are read, and how many of them are wrong.
    read: usize,
    wrong: usize,
    /// How many nobody sat.
    invented: usize,
    /// The most columns of a paper's id: with what stands before it in a narrow list, and alone.
    widest: (usize, usize),
    complete: bool,
    /// What stands above the rows.
    pub(super) note: Option<String>,
}

impl Sittings {
    /// Takes rows known by name, or by more.
    pub(super) fn add(&mut self, rows: Vec<Listed>) {
        self.searched
            .resize_with(self.searched.len() + rows.len(), OnceCell::new);
        self.rows.extend(rows);
        self.recount();
    }

    /// Takes what was read of rows, each with its place in the order in which rows were added.
    pub(super) fn fill(&mut self, read: Vec<(usize, Listed)>) {
        for (place, listed) in read {
            if let Some((row, text)) = self.rows.get_mut(place).zip(self.searched.get_mut(place)) {
                *text = OnceCell::new();
                *row = listed;
            }
        }
        self.recount();
    }

    /// Everything is read.
    pub(super) fn end(&mut self) {
        self.complete = true;
    }

    pub(super) const fn is_complete(&self) -> bool {
        self.complete
    }

    fn recount(&mut self) {
        let waiting = |row: &&Listed| row.state == State::Waiting;
        let wrong = |row: &&Listed| matches!(row.state, State::Wrong(_));
        self.read = self.rows.len() - self.rows.iter().filter(waiting).count();
        self.wrong = self.rows.iter().filter(wrong).count();
        let invented = |row: &&Listed| row.summary().is_some_and(|own| own.version.invented);
        self.invented = self.rows.iter().filter(invented).count();
        let every_one = self.invented == self.rows.len();
        let ids = self.rows.iter().filter_map(|row| {
            let own = row.summary()?;
            let alone = width(&own.version.id);
            Some((width(before_narrow(own, every_one)) + alone, alone))
        });
        self.widest = ids.fold((0, 0), |most, own| (most.0.max(own.0), most.1.max(own.1)));
        self.arrange();
    }

    fn arrange(&mut self) {
        let wanted: Vec<String> = self
            .shown
            .filter()
            .split_whitespace()
            .map(str::to_lowercase)
            .collect();
        let fits = |(row, text): (&Listed, &OnceCell<String>)| {
            let text = || text.get_or_init(|| row.searched());
            wanted.iter().all(|word| text().contains(word))
        };
        let all = self.rows.iter().zip(&self.searched).enumerate();
        let shown = all.filter(|(_, own)| fits(*own));
        let mut shown: Vec<(usize, &Listed)> =
            shown.map(|(place, (row, _))| (place, row)).collect();
        // Rows are added in the order of their dates, which a stable sort makes use of.
        shown.sort_by(|(_, one), (_, other)| self.sort.order(one, other));
        let shown = shown.into_iter().map(|(place, _)| place);
        self.shown.show(shown.collect());
    }

    /// The chosen row.
    pub(super) fn chosen(&self) -> Option<&Listed> {
        self.rows.get(*self.shown.chosen()?)
    }

    /// Moves to another row; `page` rows make a page.
    pub(super) fn go(&mut self, by: Move, page: usize) {
        self.shown.go(by, page);
    }

    /// Sorts by something else.
    pub(super) fn sort(&mut self, forwards: bool) {
        self.sort = self.sort.turn(forwards);
        self.shown.start_at_the_top();
        self.arrange();
    }

    /// Takes a letter into the filter.
    pub(super) fn type_in(&mut self, c: char) {
        self.shown.type_in(c);
        self.arrange();
    }

    /// Takes the last letter of the filter away.
    pub(super) fn rub_out(&mut self) {
        self.shown.rub_out();
        self.arrange();
    }

    /// Takes the filter away, and says whether there was one.
    pub(super) fn unfilter(&mut self) -> bool {
        let was = self.shown.unfilter();
        if was {
            self.arrange();
        }
        was
    }

    /// The whole sittings on this version of a paper, given to their end: its group is among them.
    pub(super) fn whole(&self, version: &Version) -> Vec<PathBuf> {
        let whole = self.rows.iter().filter(|row| sat_whole(row, version));
        whole.map(|row| row.path.clone()).collect()
    }

    /// The sittings that one may be held against: the same pupil's, then others on the same paper.
    pub(super) fn beside(&self, path: &Path, pupil: &str, version: &Version) -> Vec<&Listed> {
        let read = |row: &&Listed| row.path != path && row.summary().is_some();
        let same_paper = |row: &Listed| row.summary().is_some_and(|own| own.version == *version);
        let mut own: Vec<_> = self.rows.iter().filter(read).collect();
        own.retain(|row| row.pupil == pupil || same_paper(row));
        own.sort_by(|one, other| {
            let group = |row: &Listed| (row.pupil != pupil, !same_paper(row));
            let by_date = || SortBy::Date.order(one, other);
            group(one).cmp(&group(other)).then_with(by_date)
        });
        own
    }

    /// What is wrong with the chosen file.
    pub(super) fn reason(&self) -> Option<&str> {
        match &self.chosen()?.state {
            State::Wrong(reason) => Some(reason),
            State::Read(own) if own.torn => Some(TORN),
            State::Read(own) if own.standing.withdrawn == Some(Exclusion::Disputed) => {
                Some(DISPUTED)
            }
            State::Read(own) if own.asks.is_some() => own.asks.as_deref(),
            State::Read(own) => own.standing.withdrawn.map(Exclusion::words),
            State::Waiting => None,
        }
    }

    /// Writes the rows that show, and no others: there may be thousands.
    pub(super) fn write(&self, ink: &mut PageWriter) {
        if let Some(note) = &self.note {
            ink.text(note);
        }
        ink.plain(&self.counts());
        if self.rows.is_empty() {
            return self.write_empty(ink);
        }
        let room = ColumnWidths::of(ink.width, self.widest);
        ink.heading(&room.heads());
        let height = ink.height.saturating_sub(ink.body.lines.len()).max(1);
        let every_one = self.invented == self.rows.len();
        let at = self.shown.at();
        let first = (at + 1).saturating_sub(height);
        for (index, place) in self
            .shown
            .rows()
            .iter()
            .enumerate()
            .skip(first)
            .take(height)
        {
            let Some(row) = self.rows.get(*place) else {
                continue;
            };
            let sign = Sign::Open.if_so(index == at);
            let style = match &row.state {
                _ if index == at => ink.theme.chosen,
                State::Wrong(_) => ink.theme.trouble,
                State::Waiting | State::Read(_) => ratatui::style::Style::new(),
            };
            ink.line(vec![
                Span::raw(sign),
                Span::raw("  "),
                Span::styled(room.row(row, every_one), style),
            ]);
        }
    }

    fn write_empty(&self, ink: &mut PageWriter) {
        ink.blank();
        if self.complete {
            ink.text(words::NO_SITTINGS);
        } else {
            ink.text(words::LOOKING);
        }
    }

    fn counts(&self) -> String {
        let all = self.rows.len();
        let mut said = words::sittings(all, self.read, self.wrong, self.invented);
        said = format!("{said}. By {}.", self.sort.word());
        let filter = self.shown.filter();
        if !filter.is_empty() {
            let many = self.shown.rows().len();
            said = format!("{said} {many} with: {filter}_");
        }
        said
    }
}

/// Whether a row is one person's whole go at this paper.
fn sat_whole(row: &Listed, version: &Version) -> bool {
    row.summary()
        .is_some_and(|own| own.version == *version && own.standing.bars(Use::Sheet).is_none())
}

/// The columns of a list of this width.
struct ColumnWidths {
    pupil: usize,
    when: usize,
    paper: usize,
    /// Whether flags, the guess round and the end have columns.
    flags: bool,
    more: bool,
}

/// Columns of the mark, the blanks, the flags, the mark with the guess round, the end.
const MARK: usize = 12;
const BLANK: usize = 5;
const FLAGS: usize = 5;
const ROUND: usize = 12;
const END: usize = 22;

/// Columns of the day, and of the moment where there is room for it.
const DAY: usize = 11;
const MOMENT: usize = 18;

impl ColumnWidths {
    /// `widest`: the most columns that a paper's id needs. Where it has too few, the time of the day gives way.
    fn of(width: usize, (widest, alone): (usize, usize)) -> Self {
        let roomy = Self::with(width, true);
        let needed = if roomy.more { alone } else { widest };
        if roomy.paper < needed {
            return Self::with(width, false);
        }
        roomy
    }

    fn with(width: usize, times: bool) -> Self {
        let (flags, more) = (width >= 74, width >= 106);
        let (pupil, when) = match width {
            0..74 => (9, DAY),
            74..150 => (12, MOMENT),
            _ => (20, MOMENT),
        };
        let when = if times { when } else { DAY };
        let mut taken = 3 + pupil + 2 + when + 2 + 2 + MARK + 2 + BLANK;
        if flags {
            taken += 2 + FLAGS;
        }
        if more {
            taken += 2 + ROUND + 2 + END;
        }
        Self {
            pupil,
            when,
            paper: width.saturating_sub(taken),
            flags,
            more,
        }
    }

    fn heads(&self) -> String {
        let cells = [
            "mark".to_owned(),
            "blank".to_owned(),
            "flags".to_owned(),
            "with guesses".to_owned(),
            "end".to_owned(),
        ];
        format!("   {}", self.joined("pupil", "date", "paper", &cells))
    }

    /// A row's cells; where not all are invented, it says so of one that is.
    fn row(&self, row: &Listed, every_one: bool) -> String {
        let cells = match &row.state {
            State::Waiting => [const { String::new() }; 5],
            State::Read(summary) => cells(summary),
            State::Wrong(reason) => {
                let room = self.joined("", "", "", &[const { String::new() }; 5]).len();
                let taken = self.pupil + self.when + 4;
                let when = fit(&self.when(row), self.when);
                let pupil = fit(&row.pupil, self.pupil);
                return format!(
                    "{pupil}  {when}  {}",
                    fit(without_path(row, reason), room.saturating_sub(taken))
                );
            }
        };
        // Titles of one series differ at their ends: where one has to be cut, the id says more.
        let id = row.summary().map(|own| own.version.id.as_str());
        let title = &row.paper;
        let before = match row.summary() {
            // A wider list says it in the column of the end.
            Some(own) if !self.more => before_narrow(own, every_one),
            Some(own) if own.version.invented && !every_one => words::INVENTED,
            _ => "",
        };
        let room = self.paper.saturating_sub(width(before));
        let paper = id.filter(|_| width(title) > room).unwrap_or(title);
        let paper = cut_start(paper, room);
        self.joined(
            &row.pupil,
            &self.when(row),
            &format!("{before}{paper}"),
            &cells,
        )
    }

    /// When a sitting was started: only the day, where there is no room for the time.
    fn when(&self, row: &Listed) -> String {
        match row.when {
            Some(at) if self.when < MOMENT => table_day(at.date()),
            _ => row.when_in_a_table(),
        }
    }

    fn joined(&self, pupil: &str, when: &str, paper: &str, cells: &[String; 5]) -> String {
        let [mark, blank, flags, round, end] = cells;
        let mut parts = vec![
            fit(pupil, self.pupil),
            fit(when, self.when),
            fit(paper, self.paper),
            fit_right(mark, MARK),
            fit_right(blank, BLANK),
        ];
        if self.flags {
            parts.push(fit_right(flags, FLAGS));
        }
        if self.more {
            parts.extend([fit_right(round, ROUND), fit(end, END)]);
        }
        parts.join("  ")
    }
}

/// A reason without the file's own path before it, which the row shows already.
fn without_path<'a>(row: &Listed, reason: &'a str) -> &'a str {
    let path = row.path.shown().to_string();
    let rest = reason.strip_prefix(&path).unwrap_or(reason);
    rest.trim_start_matches([':', ',', ' '])
}

/// What stands before the paper in a list that has no column of the end.
const fn before_narrow(own: &Summary, every_one: bool) -> &'static str {
    match own.standing.withdrawn {
        _ if own.torn => words::TORN_END,
        Some(reason) => before_paper(reason),
        None if own.asks.is_some() => words::VERY_SHORT,
        None if own.version.invented && !every_one => words::INVENTED,
        None => "",
    }
}

/// Why a sitting does not count, before its paper or its end.
const fn before_paper(reason: Exclusion) -> &'static str {
    match reason {
        Exclusion::SetAside => words::SET_ASIDE,
        Exclusion::Replaced => words::REPLACED,
        _ => words::DISPUTED,
    }
}

fn cells(summary: &Summary) -> [String; 5] {
    let marks = summary.marks;
    let mark = match marks {
        _ if summary.standing.withdrawn.is_some() => words::NOT_COUNTED.to_owned(),
        _ if summary.standing.ending.is_none() => words::STILL_OPEN.to_owned(),
        Some(marks) => format!("{} of {}", plain(marks.in_time), plain(marks.max)),
        None => "no key".to_owned(),
    };
    let round =
        marks.and_then(|marks| marks.with_guess_round.filter(|with| *with != marks.in_time));
    [
        mark,
        summary.blanks.to_string(),
        summary.flags.to_string(),
        round.map_or_else(String::new, plain),
        end_of(summary),
    ]
}

/// How a sitting ended, or why it does not count.
fn end_of(summary: &Summary) -> String {
    let standing = summary.standing;
    let mut end = match standing.ending {
        _ if standing.withdrawn.is_some() => words::NOT_COUNTED.to_owned(),
        _ if standing.typed_in => ending(Ending::Entered).to_owned(),
        None => words::STILL_OPEN.to_owned(),
        // Whoever finished at time up guessed nothing.
        Some(Ending::GuessRoundDone) if standing.whole && !summary.guessed => {
            ending(Ending::TimeUp).to_owned()
        }
        Some(how) if standing.whole => ending(how).to_owned(),
        Some(how) => format!("part, {}", ending(how)),
    };
    let before = match standing.withdrawn {
        Some(reason) => before_paper(reason),
        None if summary.asks.is_some() => words::VERY_SHORT,
        None => "",
    };
    end.insert_str(0, before);
    if summary.torn {
        end = format!("torn end, {end}");
    }
    end
}

impl Listed {
    /// What a row says of its sitting, for a listener: the mark, the blanks and how it ended, or why
    /// it cannot be shown. `every_one`: the whole list is invented.
    #[must_use]
    pub fn aloud(&self, every_one: bool) -> String {
        let summary = match &self.state {
            State::Waiting => return String::new(),
            State::Wrong(reason) => return without_path(self, reason).to_owned(),
            State::Read(summary) => summary,
        };
        let standing = &summary.standing;
        let counts = standing.withdrawn.is_none() && standing.ending.is_some();
        let marks = summary.marks.filter(|_| counts).map(|marks| Totals {
            with_guess_round: marks.with_guess_round.filter(|with| *with != marks.in_time),
            ..marks
        });
        let said = words_aloud::row(marks.as_ref(), summary.blanks, &end_of(summary));
        if summary.version.invented && !every_one {
            format!("{}{said}", words::INVENTED)
        } else {
            said
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::standing::Standing;

    fn row(asks: Option<&str>, typed_in: bool) -> Listed {
        let started = chrono::DateTime::parse_from_rfc3339("2026-11-25T00:00:00+00:00").unwrap();
        Listed {
            path: "s/otter/x.session.ron".into(),
            pupil: "otter".to_owned(),
            when: Some(started.naive_local()),
            paper: "Saltmarsh Shield: practice paper A".to_owned(),
            state: State::Read(Box::new(Summary {
                version: Version {
                    id: "saltmarsh-a".to_owned(),
                    fingerprint: "0".to_owned(),
                    invented: false,
                },
                started,
                marks: None,
                blanks: 0,
                guessed: false,
                flags: 0,
                standing: Standing {
                    ending: Some(Ending::Entered),
                    whole: true,
                    typed_in,
                    withdrawn: None,
                },
                torn: false,
                asks: asks.map(str::to_owned),
            })),
        }
    }

    fn drawn(row: &Listed, width: usize) -> String {
        let mut list = Sittings::default();
        list.add(vec![row.clone()]);
        ColumnWidths::of(width, list.widest).row(row, false)
    }

    /// The ids of one series differ at their ends.
    #[test]
    fn what_stands_before_a_paper_leaves_room_to_tell_papers_apart() {
        // A window of 80 columns has 78 for its text.
        for width in [78, 80, 110] {
            let text = drawn(&row(Some("Does it count?"), false), width);
            assert!(text.contains("saltmarsh-a"), "{width}: {text}");
        }
        let narrow = drawn(&row(Some("Does it count?"), false), 60);
        assert!(
            narrow.contains("counts? ") && narrow.contains("-a "),
            "{narrow}"
        );
    }

    #[test]
    fn a_sheet_that_was_typed_in_has_a_day_and_no_time_of_it() {
        for (typed_in, midnight) in [(true, false), (false, true)] {
            let text = drawn(&row(None, typed_in), 150);
            assert!(text.contains("25 Nov 2026"), "{text}");
            assert_eq!(text.contains("00:00"), midnight, "{text}");
        }
    }
}

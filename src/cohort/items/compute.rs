//! From counts to figures, in marks.

use super::count::{ItemTally, Slot};
use super::figures::{Figures, OptionFigures, QuestionFigures, Seconds, TotalFigures};
use crate::stats::item::{ItemAnalysis, ItemFigures, KELLEY_PERCENT, Reliability, analyse};
use crate::stats::rasch::{Calibration, calibrate};
use crate::stats::summary::{Quartiles, quartiles};
use crate::stats::{real, steps, wide};

impl ItemTally {
    /// Works everything out; `None` before the first sheet.
    pub fn figures(&self) -> Option<Figures> {
        let analysis = analyse(&self.tally, KELLEY_PERCENT)?;
        let rasch = calibrate(&self.rasch.answers(&self.tally));
        let grid = steps(self.grid);
        let totals = &analysis.totals;
        Some(Figures {
            people: totals.people,
            max: self.max,
            totals: TotalFigures {
                mean: totals.mean / grid,
                sd: totals.sd.map(|sd| sd / grid),
                sd_population: totals.sd_population / grid,
                quartiles: scaled(totals.quartiles, grid),
            },
            reliability: Reliability {
                sem: analysis.reliability.sem.map(|sem| sem / grid),
                ..analysis.reliability
            },
            questions: self.questions(&analysis, rasch.as_ref().ok()),
            marks: self.marks(),
            rasch: rasch.map(|found| found.people),
        })
    }

    fn questions(
        &self,
        analysis: &ItemAnalysis,
        rasch: Option<&Calibration>,
    ) -> Vec<QuestionFigures> {
        // The analysis knows the questions that count, and only those.
        let mut counting = (0..).zip(&analysis.items);
        let slots = self.slots.iter().enumerate();
        slots
            .map(|(index, slot)| {
                let mut found = match slot.void {
                    Some(_) => self.void(index, slot),
                    None => match counting.next() {
                        Some((place, item)) => {
                            let rasch = rasch.and_then(|rasch| rasch.items.get(place).copied());
                            QuestionFigures {
                                rasch,
                                ..self.judged(slot, item)
                            }
                        }
                        None => self.void(index, slot),
                    },
                };
                if let Some(blanks) = self.voids.blanks.get(index).filter(|_| self.voids.any) {
                    found.blanks = *blanks;
                }
                found.seconds = self.seconds.get(index).and_then(|times| seconds(times));
                found
            })
            .collect()
    }

    fn judged(&self, slot: &Slot, item: &ItemFigures) -> QuestionFigures {
        let grid = steps(self.grid);
        let by_label = slot.labels.iter().map(Some).chain([None]);
        let figures = item.options.iter().skip(1).chain(item.options.first());
        let options = by_label.zip(figures).map(|(label, option)| OptionFigures {
            label,
            is_right: option.is_right,
            count: option.count,
            mean_rest: option.mean_rest.map(|mean| mean / grid),
            rest_among_answered: option.rest_among_answered,
        });
        QuestionFigures {
            number: slot.number,
            void: None,
            right: Some(item.right),
            facility: Some(item.facility),
            discrimination: item.discrimination.item_rest,
            upper_lower: item.discrimination.difference,
            blanks: item.blanks,
            options: options.collect(),
            seconds: None,
            rasch: None,
        }
    }

    fn void(&self, index: usize, slot: &Slot) -> QuestionFigures {
        let grid = steps(self.grid);
        let own = steps(slot.marks.right) / grid;
        let none = Vec::new();
        let chosen = self.voids.chosen.get(index).unwrap_or(&none);
        let by_label = slot.labels.iter().map(Some).chain([None]);
        let counts = chosen.iter().skip(1).chain(chosen.first());
        let rights = slot.right.iter().skip(1).chain(slot.right.first());
        let options = by_label.zip(counts).zip(rights);
        QuestionFigures {
            number: slot.number,
            void: slot.void,
            right: None,
            facility: None,
            discrimination: None,
            upper_lower: None,
            blanks: self.voids.blanks.get(index).copied().unwrap_or_default(),
            options: options
                .map(|((label, (people, sum)), is_right)| OptionFigures {
                    label,
                    is_right: *is_right,
                    count: *people,
                    mean_rest: (*people > 0).then(|| wide(*sum) / grid / real(*people) - own),
                    rest_among_answered: None,
                })
                .collect(),
            seconds: None,
            rasch: None,
        }
    }
}

fn scaled(of: Quartiles, grid: f64) -> Quartiles {
    Quartiles {
        lower: of.lower / grid,
        median: of.median / grid,
        upper: of.upper / grid,
    }
}

fn seconds(times: &[f64]) -> Option<Seconds> {
    Some(Seconds {
        people: times.len(),
        quartiles: quartiles(times)?,
    })
}

//! What has to be said beside a sitting's marks, gathered for a page.

use super::Report;
use crate::domain::header::INVENTED;
use crate::domain::standing::Exclusion;
use crate::words::notices as words;
use crate::words::standing::counts_nowhere;

/// What stands above all figures: the state of the file and of the sitting.
pub fn first_of_all(report: &Report) -> Vec<String> {
    let analysis = &report.subject.analysis;
    let header = analysis.header();
    let invented = header.invented.then(|| INVENTED.to_owned());
    let mut notices: Vec<_> = invented.into_iter().collect();
    // Who set it aside, and why, is among the remarks.
    let withdrawn = analysis.standing().withdrawn;
    let withdrawn = withdrawn.filter(|reason| *reason != Exclusion::SetAside);
    notices.extend(withdrawn.map(counts_nowhere));
    notices.extend(report.subject.remarks.iter().cloned());
    notices.extend(words::not_ended(analysis.ending()).map(str::to_owned));
    notices.extend(words::not_sat(header));
    notices
}

/// What is known of the times, the arrangements and the key.
pub fn beside(report: &Report) -> Vec<String> {
    let analysis = &report.subject.analysis;
    let header = analysis.header();
    let times = words::times(header).map(str::to_owned);
    let mut notices: Vec<_> = times.into_iter().collect();
    notices.extend(words::extra_time(header));
    notices.extend(words::interruptions(analysis.interruptions()));
    notices.extend(words::key(&report.key, analysis.end()));
    notices
}

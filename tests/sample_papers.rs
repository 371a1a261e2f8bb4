//! Proves the keys of the sample papers: each answer is worked out here from the facts of its
//! stem (by search, by simulation or with exact fractions) and held against the option that the
//! key names. Also checks the form of the papers: letters, notes, figures, rule, boundaries.

#[cfg(test)]
#[path = "sample_papers/files.rs"]
mod files;
#[cfg(test)]
#[path = "sample_papers/form.rs"]
mod form;
#[cfg(test)]
#[path = "sample_papers/paper_a_early.rs"]
mod paper_a_early;
#[cfg(test)]
#[path = "sample_papers/paper_a_late.rs"]
mod paper_a_late;
#[cfg(test)]
#[path = "sample_papers/paper_b_early.rs"]
mod paper_b_early;
#[cfg(test)]
#[path = "sample_papers/paper_b_late.rs"]
mod paper_b_late;
#[cfg(test)]
#[path = "sample_papers/proofs.rs"]
mod proofs;
#[cfg(test)]
#[path = "sample_papers/reasons.rs"]
mod reasons;
#[cfg(test)]
#[path = "sample_papers/tools.rs"]
mod tools;

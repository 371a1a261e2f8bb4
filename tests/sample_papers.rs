//! Proves the keys of the sample papers: each answer is worked out here from the facts of its
//! stem (by search, by simulation or with exact fractions) and held against the option that the
//! key names. Also checks the form of the papers: letters, notes, figures, rule, boundaries.

#[cfg(test)]
#[path = "sample_papers/figures.rs"]
mod figures;
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
#[path = "sample_papers/paper_first.rs"]
mod paper_first;
#[cfg(test)]
#[path = "sample_papers/paper_long_early.rs"]
mod paper_long_early;
#[cfg(test)]
#[path = "sample_papers/paper_long_late.rs"]
mod paper_long_late;
#[cfg(test)]
#[path = "sample_papers/paper_short_early.rs"]
mod paper_short_early;
#[cfg(test)]
#[path = "sample_papers/paper_short_late.rs"]
mod paper_short_late;
#[cfg(test)]
#[path = "sample_papers/proofs.rs"]
mod proofs;
#[cfg(test)]
#[path = "sample_papers/reasons.rs"]
mod reasons;
#[cfg(test)]
#[path = "sample_papers/sums.rs"]
mod sums;
#[cfg(test)]
#[path = "sample_papers/tools.rs"]
mod tools;
#[cfg(test)]
#[path = "sample_papers/worked.rs"]
mod worked;

/// The loaders that a tutor's `paper check` uses find nothing to say about them.
#[test]
fn the_program_itself_finds_nothing_wrong_with_them() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-papers");
    for name in files::PAPERS {
        let paper =
            pacebell::storage::files::paper::read(&folder.join(format!("{name}.paper.ron")), None)
                .unwrap();
        let outline = &paper.value.outline;
        let key = pacebell::storage::files::key::read(
            &folder.join(format!("{name}.key.ron")),
            Some(outline),
        )
        .unwrap();
        assert!(
            paper.notes.is_empty() && key.notes.is_empty(),
            "{name}: {:?} {:?}",
            paper.notes,
            key.notes
        );
        assert_eq!(key.value.fits(outline), Ok(()));
    }
}

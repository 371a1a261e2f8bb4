//! A log analysed under the usual thresholds.

use std::sync::Arc;

use pacebell::analysis::{Analysis, Keyed};
use pacebell::domain::event::Stamped;
use pacebell::domain::header::Header;
use pacebell::domain::key::Key;

/// What a log tells, under the usual thresholds.
pub(crate) fn analysed(header: &Header, log: &[Stamped]) -> Analysis {
    Analysis::of(Arc::new(header.clone()), log.into(), Arc::default())
}

/// The same held against a key.
pub(crate) fn keyed(analysis: &Analysis, key: &Key) -> Keyed {
    Keyed::of(analysis, Arc::new(key.clone())).unwrap()
}

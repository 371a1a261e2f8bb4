//! Fuzz targets for everything that Pacebell reads; `DEVELOPERS.md` has the line that runs them.

pub mod readers;

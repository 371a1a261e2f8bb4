//! x
use super::Failure;
use std::io::Write;
/// x
#[derive(Debug, clap::Args)]
pub struct Words {}
/// x
pub fn run(_w: &Words, _o: &mut dyn Write, _a: &mut dyn Write) -> Result<(), Failure> {
    Ok(())
}

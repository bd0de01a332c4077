//! placeholder until merge
use std::path::PathBuf;
use std::sync::Arc;
/// x
pub fn write_somewhere(
    _: &dyn crate::logbook::Clock,
    _: &Arc<crate::checklist::Library>,
) -> Result<PathBuf, String> {
    Err(String::new())
}

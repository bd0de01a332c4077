//! What is being written about services, kept while one goes from screen to screen.

use crate::defects::ServiceDraft;

/// The forms on the desk.
#[derive(Default)]
pub struct Desk {
    /// In front.
    pub open: Option<ServiceDraft>,
    /// Recorded in this sitting, with the id of the record.
    pub done: Vec<(String, ServiceDraft)>,
}

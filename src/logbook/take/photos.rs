//! The pictures that looks from outside name: looked at first, kept once all else is in order.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Refused;
use crate::checklist::Complaint;
use crate::logbook::book::{Book, NotKept};
use crate::logbook::input::Document;
use crate::logbook::line::EntryId;
use crate::logbook::photos::read_picture;
use crate::logbook::record::Record;
use crate::walk::{Look, Photo};

/// Where a path leads that starts at a folder.
fn place(folder: &Path, photo: &Photo) -> PathBuf {
    folder.join(&photo.path)
}

/// What is wrong with the pictures of a sheet's looks. Nothing is kept yet.
pub(super) fn faults(
    book: &Book,
    document: &Document,
    looks: &[Look],
    folder: &Path,
) -> Vec<Complaint> {
    let mut complaints = Vec::new();
    for (n, look) in looks.iter().enumerate() {
        for (p, photo) in look.photos.iter().enumerate() {
            let field = |name| format!("looks[{n}].photos[{p}].{name}");
            let (name, fault) = match &photo.kept {
                Some(kept) => (
                    "kept",
                    book.photo(kept).map(drop).map_err(|e| e.to_string()),
                ),
                None => ("path", read_picture(&place(folder, photo)).map(drop)),
            };
            complaints.extend(fault.err().map(|why| document.complaint(&field(name), why)));
        }
    }
    complaints
}

/// Keeps the pictures that the looks of a batch name by path, and names what was kept in the looks.
/// `came_from` is the document of each record.
pub(super) fn keep(
    book: &mut Book,
    batch: &mut [(Option<EntryId>, Record)],
    came_from: &[&Document],
    folder: &Path,
) -> Result<(), Refused> {
    for ((_, record), document) in batch.iter_mut().zip(came_from) {
        let Record::Look(made) = record else { continue };
        if made.look.photos.is_empty() {
            continue;
        }
        for photo in &mut Arc::make_mut(&mut made.look).photos {
            let kept = match &photo.kept {
                // Its size is told by the content, not by who names it.
                Some(kept) => book.photo(kept).map_err(NotKept::Log).map(|content| {
                    let bytes = Some(content.len() as u64);
                    Photo {
                        bytes,
                        ..photo.clone()
                    }
                }),
                None => book.keep_photo(&place(folder, photo), photo.caption.clone()),
            };
            *photo = kept.map_err(|error| match error {
                // It was in order a moment ago.
                NotKept::Picture(why) => Refused::Faults(vec![document.complaint("looks", why)]),
                NotKept::Log(error) => Refused::Log(error),
            })?;
        }
    }
    Ok(())
}

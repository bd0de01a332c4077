//! The pictures that documents from outside name: looked at first, kept once all else is in order.

use std::path::{Path, PathBuf};

use super::Refused;
use crate::checklist::Complaint;
use crate::logbook::book::{Book, NotKept};
use crate::logbook::input::{Body, Document};
use crate::logbook::line::EntryId;
use crate::logbook::photos::read_picture;
use crate::logbook::record::Record;
use crate::walk::Photo;

/// Where a path leads that starts at a folder.
fn place(folder: &Path, photo: &Photo) -> PathBuf {
    folder.join(&photo.path)
}

/// The pictures of a document that are taken in, each with the field that names it.
fn named(document: &Document) -> Vec<(String, &Photo)> {
    match &document.body {
        Body::Walk(sheet) => {
            let looks = sheet.looks.iter().enumerate();
            let photos = looks.flat_map(|(n, look)| {
                let photos = look.photos.iter().enumerate();
                photos.map(move |(p, photo)| (format!("looks[{n}].photos[{p}]"), photo))
            });
            photos.collect()
        }
        Body::Act(record) => {
            let photos = record.names().photos.iter();
            photos.map(|photo| ("photo".to_owned(), photo)).collect()
        }
        // They stay named by their paths.
        Body::Service(_) => Vec::new(),
    }
}

/// What is wrong with the pictures of a document. Nothing is kept yet.
pub(super) fn faults(book: &Book, document: &Document, folder: &Path) -> Vec<Complaint> {
    let fault = |(field, photo): (String, &Photo)| {
        let (name, fault) = match &photo.kept {
            Some(kept) => (
                "kept",
                book.photo(kept).map(drop).map_err(|e| e.to_string()),
            ),
            None => ("path", read_picture(&place(folder, photo)).map(drop)),
        };
        let why = fault.err()?;
        Some(document.complaint(&format!("{field}.{name}"), why))
    };
    named(document).into_iter().filter_map(fault).collect()
}

/// Keeps the pictures that the records of a batch name by path, and names what was kept in the records.
/// `came_from` is the document of each record.
pub(super) fn keep(
    book: &mut Book,
    batch: &mut [(Option<EntryId>, Record)],
    came_from: &[&Document],
    folder: &Path,
) -> Result<(), Refused> {
    for ((_, record), document) in batch.iter_mut().zip(came_from) {
        for photo in record.photos_slot() {
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
                NotKept::Picture(why) => Refused::Faults(vec![document.complaint("photo", why)]),
                NotKept::Log(error) => Refused::Log(error),
            })?;
        }
    }
    Ok(())
}

//! Text: words with one spelling, and untrusted text made safe for each place it is shown.
//!
//! - [`safe()`], [`safe_line`], [`safe_text`]: for the terminal and the standard streams
//! - [`width()`], [`fit`], [`pad`], [`wrap`]: columns, by grapheme cluster
//! - [`csv_guard`]: for cells that a spreadsheet opens; [`json_guard`]: for JSON that is shown
//! - [`Page`], [`Drawing`], [`markdown_text`]: for pages
//! - [`figure()`], [`digits`], [`in_bytes`]: numbers as a person reads them; [`round_ticks`]: figures for an axis
//! - [`capital()`]: words that begin a sentence
//! - [`code`]: short codes that people read out and type
//! - [`id_from`]: an id made from what people call a thing
//! - [`nearest()`]: the known name a mistyped one resembles
//!
#![doc = include_str!("SPELLINGS.md")]

mod capital;
pub mod code;
mod figure;
mod hashed;
mod hidden;
mod id;
mod markup;
mod name;
mod nearest;
mod safe;
mod sheet;
mod ticks;
mod width;
mod words;

pub use capital::capital;
pub use figure::{digits, figure, in_bytes};
pub(crate) use hashed::Hashed;
pub(crate) use hidden::is_hidden;
pub use id::id_from;
pub use markup::{Drawing, Page, entity, markdown_text};
pub use name::plain_name;
pub use nearest::nearest;
pub use safe::{safe, safe_line, safe_text};
pub use sheet::{csv_guard, json_guard};
pub use ticks::round_ticks;
pub use width::{ELLIPSIS, fit, pad, width, wrap};
pub(crate) use words::words;

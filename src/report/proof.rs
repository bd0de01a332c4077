//! By what a page proves that it is the one that was issued: a code over the whole of it, and a short
//! digest beside each of its parts.
//!
//! While a page is written neither is known, so that marks hold their places. A mark has a control
//! character, which no text of people keeps on its way to a page. A part stands between two comments,
//! which no text of people can write either.

/// Holds the place of the code of the whole page.
pub const CODE: &str = "\u{1}code\u{1}";
/// Holds the place of the digest of the part it stands in.
pub const DIGEST: &str = "\u{1}digest\u{1}";

/// Where a part begins: `finding 3`, `photograph 12`, `front page`. Parts may stand in parts.
pub fn begins(name: &str) -> String {
    format!("<!--part {name}-->")
}

/// Where the part that began last ends.
pub const ENDS: &str = "<!--end-->";

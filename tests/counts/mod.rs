//! Snapshots without the counts that follow from how much the built-in catalogue holds: an item more
//! is no change of what a snapshot is about. What is counted is held by tests of its own.

/// What follows such a count.
const AFTER: &[&str] = &[" record", " row", " item", " the same", " when sealed"];
/// What follows such a count where it may be small.
const UNSEEN: &[&str] = &[" items not yet", " items unseen"];
/// Beginnings of lines, or of what follows in a line, in which every figure is one.
const LINES: &[&str] = &[
    "the same grade: ",
    "Not seen: ",
    "Seen: ",
    "Weighted by ",
    "  R. Quay  ",
];
/// The names of all that nobody saw: a list of the catalogue.
const NAMES: &str = "  - No reason given: ";

/// The text with `#` for each figure of two digits and more that such a count is.
pub fn without_counts(text: &str) -> String {
    let mut told = String::new();
    let mut naming = false;
    for line in text.split_inclusive('\n') {
        naming = naming && line.starts_with("    ");
        if line.starts_with(NAMES) {
            naming = true;
            told.push_str(NAMES);
            told.push_str("#\n");
        } else if !naming {
            told.push_str(&of_line(line));
        }
    }
    told
}

fn of_line(line: &str) -> String {
    let marks = LINES.iter().filter_map(|mark| line.find(mark));
    let whole = marks.min().unwrap_or(line.len());
    let mut told = String::new();
    let mut at = 0;
    while let Some(from) = line[at..].find(|c: char| c.is_ascii_digit()) {
        let from = at + from;
        told.push_str(&line[at..from]);
        let until = from + figure(&line[from..]);
        let (figure, after) = (&line[from..until], &line[until..]);
        let alone = !after.starts_with(|c: char| c.is_alphanumeric());
        let counted = from > whole || is_count(&line[..from], after);
        let large = figure.len() > 1 || UNSEEN.iter().any(|mark| after.starts_with(mark));
        if !(large && alone && counted) {
            told.push_str(figure);
        } else if told.ends_with("  ") {
            told.push_str(&format!("{:>1$}", '#', figure.len()));
        } else {
            told.push('#');
        }
        at = until;
    }
    told.push_str(&line[at..]);
    told
}

/// Length of the figure a text begins with.
fn figure(text: &str) -> usize {
    let whole = text.find(|c: char| !c.is_ascii_digit() && c != '.');
    text[..whole.unwrap_or(text.len())]
        .trim_end_matches('.')
        .len()
}

/// Whether a figure is a count, by what stands before and after it.
fn is_count(before: &str, after: &str) -> bool {
    let counted = |after: &str| AFTER.iter().any(|mark| after.starts_with(mark));
    // Rows seen of all rows, in a title and in a sentence.
    let seen = before
        .strip_suffix('/')
        .is_some_and(|b| b.ends_with(|c: char| c.is_ascii_digit()));
    let part = after
        .strip_prefix(" of ")
        .is_some_and(|of| counted(&of[figure(of)..]));
    counted(after) || part || (seen && after.starts_with([' ', '\n']))
}

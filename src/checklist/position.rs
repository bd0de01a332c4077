//! Where the fields of a JSON text stand, so that a complaint can point at one. serde says at
//! which byte it stopped; a rule says which field it dislikes: this map serves both ways.

use std::collections::HashMap;

/// Containers inside one another, as far as serde_json reads them.
const DEEPEST: usize = 128;
/// Characters of one key shown in a path.
const LONGEST_KEY: usize = 40;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum PathStep<'t> {
    Root,
    Key(&'t str),
    Index(usize),
}

#[derive(Debug)]
struct Node<'t> {
    parent: usize,
    step: PathStep<'t>,
    /// First byte of the key, or of the value where it has none.
    from: usize,
    value: usize,
    end: usize,
}

/// The fields of one text. Built for texts with faults too: what follows a fault may be missing.
pub(crate) struct Positions<'t> {
    text: &'t str,
    line_starts: Vec<usize>,
    /// In the order they stand, so a part comes after what holds it.
    nodes: Vec<Node<'t>>,
    children: HashMap<(usize, PathStep<'t>), usize>,
}

struct Open<'t> {
    node: usize,
    elements: usize,
    is_object: bool,
    key: Option<(usize, &'t str)>,
}

impl<'t> Positions<'t> {
    /// Reads through the text once.
    pub(crate) fn of(text: &'t str) -> Positions<'t> {
        let line_starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        let mut positions = Positions {
            text,
            line_starts,
            nodes: Vec::new(),
            children: HashMap::new(),
        };
        let bytes = text.as_bytes();
        let mut open: Vec<Open<'t>> = Vec::new();
        let mut at = 0;
        while at < bytes.len() && open.len() <= DEEPEST {
            let start = at;
            at += 1;
            match bytes[start] {
                b' ' | b'\t' | b'\n' | b'\r' | b',' | b':' => {}
                b'{' | b'[' => {
                    let node = positions.add(&mut open, start, text.len());
                    let is_object = bytes[start] == b'{';
                    open.push(Open {
                        node,
                        elements: 0,
                        is_object,
                        key: None,
                    });
                }
                b'}' | b']' => {
                    if let Some(closed) = open.pop() {
                        positions.nodes[closed.node].end = at;
                    }
                }
                b'"' => {
                    at = string_end(bytes, at);
                    match open.last_mut() {
                        Some(top) if top.is_object && top.key.is_none() => {
                            let inside = text[start + 1..at].strip_suffix('"');
                            top.key = Some((start, inside.unwrap_or("")));
                        }
                        _ => drop(positions.add(&mut open, start, at)),
                    }
                }
                _ => {
                    let ends = |b: &u8| b" \t\r\n,:{}[]\"".contains(b);
                    at = bytes[at..]
                        .iter()
                        .position(ends)
                        .map_or(bytes.len(), |more| at + more);
                    positions.add(&mut open, start, at);
                }
            }
        }
        positions
    }

    fn add(&mut self, open: &mut [Open<'t>], value: usize, end: usize) -> usize {
        let node = self.nodes.len();
        let (parent, from, step) = match open.last_mut() {
            None => (node, value, PathStep::Root),
            Some(top) if top.is_object => {
                let (from, key) = top.key.take().unwrap_or((value, ""));
                (top.node, from, PathStep::Key(key))
            }
            Some(top) => {
                top.elements += 1;
                (top.node, value, PathStep::Index(top.elements - 1))
            }
        };
        self.nodes.push(Node {
            parent,
            step,
            from,
            value,
            end,
        });
        self.children.insert((parent, step), node);
        node
    }

    /// The text itself.
    pub(crate) fn text(&self) -> &'t str {
        self.text
    }

    /// Line and column (in characters), both counted from 1, of a byte.
    pub(crate) fn line_column(&self, byte: usize) -> (usize, usize) {
        let line = self
            .line_starts
            .partition_point(|&start| start <= byte)
            .max(1);
        let start = self.line_starts[line - 1];
        let before = |(at, _): &(usize, char)| start + at < byte;
        let column = self.text[start..].char_indices().take_while(before).count();
        (line, column + 1)
    }

    /// First byte of the value a path such as `phases[2].rows[0].items[1]` names, or of the
    /// nearest part around it.
    pub(crate) fn byte_of(&self, path: &str) -> usize {
        let mut node = 0;
        for step in path.split(['.', '[']).filter(|s| !s.is_empty()) {
            let step = match step.strip_suffix(']') {
                Some(index) => index.parse().map_or(PathStep::Root, PathStep::Index),
                None => PathStep::Key(step),
            };
            match self.children.get(&(node, step)) {
                Some(&child) => node = child,
                None => break,
            }
        }
        self.nodes.get(node).map_or(0, |n| n.value)
    }

    /// Path of the smallest field that holds a byte; empty for the whole text.
    pub(crate) fn path_at(&self, byte: usize) -> String {
        let holds = |n: &Node| n.from <= byte && byte < n.end;
        let mut node = self.nodes.iter().rposition(holds).unwrap_or(0);
        let mut steps = Vec::new();
        while let Some(Node { parent, step, .. }) = self.nodes.get(node) {
            if *step == PathStep::Root {
                break;
            }
            steps.push(*step);
            node = *parent;
        }
        let mut path = String::new();
        for step in steps.into_iter().rev() {
            match step {
                PathStep::Key(key) => {
                    path.push_str(if path.is_empty() { "" } else { "." });
                    path.extend(key.chars().take(LONGEST_KEY));
                }
                PathStep::Index(index) => path.push_str(&format!("[{index}]")),
                PathStep::Root => {}
            }
        }
        path
    }

    /// `(first byte, end)` of each element of the list `name` in the object that begins at `byte`.
    pub(crate) fn elements(&self, byte: usize, name: &'t str) -> Vec<(usize, usize)> {
        let holder = self.nodes.iter().position(|n| n.value == byte);
        let list = holder.and_then(|h| self.children.get(&(h, PathStep::Key(name))));
        let Some(&list) = list else { return Vec::new() };
        (0..)
            .map_while(|index| self.children.get(&(list, PathStep::Index(index))))
            .map(|&child| (self.nodes[child].value, self.nodes[child].end))
            .collect()
    }
}

/// The byte serde_json names by a line and a count of bytes in it.
pub(crate) fn byte_in(text: &str, line: usize, column: usize) -> usize {
    let mut starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1));
    let start = starts.nth(line.saturating_sub(1)).unwrap_or(0);
    (start + column.saturating_sub(1)).min(text.len().saturating_sub(1))
}

/// The byte after the closing quote of a string whose inside begins at `at`.
fn string_end(bytes: &[u8], mut at: usize) -> usize {
    while at < bytes.len() {
        match bytes[at] {
            b'"' => return at + 1,
            b'\\' => at += 2,
            _ => at += 1,
        }
    }
    bytes.len()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    const TEXT: &str =
        "{\n  \"ä\": 1, \"list\": [true, {\"x\\\"y\": \"[{\", \"z\": [2, 3]}],\n  \"q\": null\n}";

    #[test]
    fn a_path_leads_to_its_value_and_back() {
        let positions = Positions::of(TEXT);
        for (path, value, place) in [
            ("", "{", (1, 1)),
            ("ä", "1", (2, 8)),
            ("list", "[true", (2, 19)),
            ("list[0]", "true", (2, 20)),
            ("list[1].z", "[2, 3]", (2, 46)),
            ("list[1].z[1]", "3]", (2, 50)),
            ("q", "null", (3, 8)),
        ] {
            let byte = positions.byte_of(path);
            assert!(TEXT[byte..].starts_with(value), "{path}: {}", &TEXT[byte..]);
            assert_eq!(positions.line_column(byte), place, "{path}");
            assert_eq!(positions.path_at(byte), path);
        }
        assert_eq!(
            positions.path_at(TEXT.find("[{").expect("there")),
            "list[1].x\\\"y"
        );
        assert_eq!(positions.byte_of("list[7].z"), positions.byte_of("list"));
        assert_eq!(positions.elements(0, "list").len(), 2);
        assert!(positions.elements(0, "none").is_empty());
    }

    #[test]
    fn a_key_belongs_to_its_field() {
        let positions = Positions::of(TEXT);
        assert_eq!(
            positions.path_at(TEXT.find("\"q\"").expect("there") + 1),
            "q"
        );
    }

    #[test]
    fn broken_and_deep_texts_are_mapped_as_far_as_they_go() {
        for text in [
            "",
            "]",
            "}{",
            "\"",
            "\"\\",
            "{\"a",
            "{1:2,[",
            "[\"\u{1F6B0}",
            "\u{feff}{",
        ] {
            let positions = Positions::of(text);
            positions.line_column(byte_in(text, 9, 9));
            positions.path_at(positions.byte_of("a[0].b"));
        }
        let deep = "[".repeat(100_000);
        assert!(Positions::of(&deep).nodes.len() <= DEEPEST + 1);
    }
}

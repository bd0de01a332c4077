//! Lines that are no record, told one by one while they are few. A file of nothing else may hold
//! millions: what follows [`SINGLY`] of them without a record between is one problem with a count.

use std::path::Path;

use super::doubts::Remains;
use super::line::Refused;
use super::problem::{Problem, ProblemKind};
use super::read::{Line, problem};

/// So many lines of a run are told singly. This project's own figure.
const SINGLY: usize = 32;

/// Damaged lines of one file in a row.
#[derive(Default)]
pub(crate) struct Run {
    kind: Option<ProblemKind>,
    lines: usize,
    /// First and last line told together.
    together: (u32, u32),
}

impl Run {
    /// One more line that is no record; what it still tells, where it is told singly.
    pub(crate) fn add<'p>(
        &mut self,
        path: &Path,
        line: &Line<'_>,
        refused: Refused,
        problems: &'p mut Vec<Problem>,
    ) -> Option<&'p Remains> {
        let kind = match refused {
            Refused::Newer => ProblemKind::Newer,
            Refused::Bad(_) => ProblemKind::BadLine,
        };
        if self.kind != Some(kind) {
            self.end(problems);
            self.kind = Some(kind);
        }
        self.lines += 1;
        if self.lines > SINGLY + 1 {
            if let Some(Problem { bytes: Some(b), .. }) = problems.last_mut() {
                self.together.1 = line.number;
                b.end = line.span.end;
            }
            return None;
        }
        self.together = (line.number, line.number);
        problems.push(singly(path, line, kind, &refused));
        problems.last()?.remains.as_ref()
    }

    /// A record follows, or the end of the file.
    pub(crate) fn end(&mut self, problems: &mut [Problem]) {
        let run = std::mem::take(self);
        let count = run.lines.saturating_sub(SINGLY);
        if let (true, Some(told)) = (count > 1, problems.last_mut()) {
            let what = match run.kind {
                Some(ProblemKind::Newer) => "are records of a later version of the program",
                _ => "are damaged and do not count",
            };
            let (first, last) = run.together;
            told.remains = None;
            told.message = format!("{count} lines from line {first} to line {last} {what}");
        }
    }
}

fn singly(path: &Path, line: &Line<'_>, kind: ProblemKind, refused: &Refused) -> Problem {
    let message = match refused {
        Refused::Newer => {
            "a record of a later version of the program, in a form not known here".to_owned()
        }
        Refused::Bad(why) => format!("this line is damaged and does not count ({why})"),
    };
    problem(path, line, kind, message)
}

//! Before a leak run: what was touched. Recorded services are ticked already.

use crate::checklist::Task;
use crate::defects::condition::Condition;
use crate::logbook::book::Book;
use crate::screen::layers::Layer;
use crate::screen::walk::ask::Pick;
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::service::{Disturbed, disturbed_since_leak_run, put_back_since_leak_run};
use crate::text::safe_line;

/// A line to tick: its words, the joints behind it, whether it is ticked already.
struct TouchedLine {
    words: String,
    joints: Vec<String>,
    ticked: bool,
}

/// What is said where nothing is ticked.
const NOTHING: &str = "go on; with nothing ticked every joint is asked";

impl WalkScreen {
    /// Asks what was touched.
    pub fn ask_touched(&mut self, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let lines = touched_lines(self, book);
        let mut options = vec![NOTHING.to_owned()];
        let mut on = vec![false];
        let mut joints = Vec::new();
        for line in lines {
            options.push(line.words);
            on.push(line.ticked);
            joints.push(line.joints);
        }
        if on.contains(&true) {
            options[0] = "go on with what is ticked".to_owned();
        }
        cx.ask(Layer::ticked(
            "What was touched?",
            options,
            on,
            Pick::Touched(joints),
        ));
    }

    /// Composes the run from what was ticked.
    pub fn touched(&mut self, joints: &[Vec<String>], ticks: &[bool], cx: &mut Turn<'_>) {
        let ticked = joints.iter().zip(ticks.iter().skip(1));
        let ticked = ticked.filter(|(_, on)| **on).flat_map(|(j, _)| j);
        let mut disturbed: Vec<String> = Vec::new();
        for joint in ticked {
            if !disturbed.contains(joint) {
                disturbed.push(joint.clone());
            }
        }
        let book = &*cx.book;
        let again = self.after(book, disturbed);
        let (count, rows) = (again.started.disturbed.len(), again.plan.row_count());
        *self = again;
        self.ask_hours(cx);
        if count > 0 {
            cx.tell(format!(
                "{count} joint(s) disturbed: {rows} rows, those first"
            ));
        }
    }
}

/// Services recorded since the last leak run, what was put back since, the other jobs of this machine, then its joints one
/// by one in walking order.
fn touched_lines(walk: &WalkScreen, book: &Book) -> Vec<TouchedLine> {
    let condition = &walk.before;
    let machine = &walk.started.machine;
    let has = |id: &str| condition.has(id, Some(machine));
    let since = disturbed_since_leak_run(condition, book.history(), machine);
    let mut lines = recorded(condition, &since);
    lines.extend(put_back(walk, book));
    lines.retain(|line| line.joints.iter().any(|j| has(j)));
    let told = |task: &Task| since.iter().any(|d| d.task == task.id);
    let jobs = condition.library.tasks().iter();
    let jobs = jobs.filter(|t| !t.disturbs.is_empty() && has(&t.item) && !told(t));
    lines.extend(jobs.map(|task| TouchedLine {
        words: safe_line(&task.title).into_owned(),
        joints: task.disturbs.iter().filter(|j| has(j)).cloned().collect(),
        ticked: false,
    }));
    let items = condition.library.catalogue.items().iter();
    let joints = items.filter(|i| (i.fluid.is_some() || i.station == "controls") && has(&i.id));
    lines.extend(joints.map(|item| {
        let station = condition.library.catalogue.station(&item.station);
        let station = station.map_or("", |s| &s.title);
        TouchedLine {
            words: format!("{}: {}", safe_line(station), safe_line(&item.title)),
            joints: vec![item.id.clone()],
            ticked: false,
        }
    }));
    lines
}

/// What stood open and was put back, ticked; as far as the run asks it.
fn put_back(walk: &WalkScreen, book: &Book) -> Option<TouchedLine> {
    let condition = &walk.before;
    let list = condition.library.checklist(&walk.started.checklist)?;
    let rows = || list.phases.iter().flat_map(|phase| &phase.rows);
    let mut joints = put_back_since_leak_run(condition, book.history(), &walk.started.machine);
    joints.retain(|item| rows().any(|row| row.items.contains(item)));
    let titles = joints
        .iter()
        .filter_map(|item| condition.library.catalogue.item(item));
    let titles: Vec<_> = titles.map(|item| safe_line(&item.title)).collect();
    (!titles.is_empty()).then(|| TouchedLine {
        words: format!("Put back since: {}", titles.join(", ")),
        joints,
        ticked: true,
    })
}

/// One line for each task that was recorded, ticked, with what it disturbed.
fn recorded(condition: &Condition, since: &[Disturbed]) -> Vec<TouchedLine> {
    let mut tasks: Vec<(&str, TouchedLine)> = Vec::new();
    for joint in since {
        match tasks.iter_mut().find(|(task, _)| *task == joint.task) {
            Some((_, line)) => line.joints.push(joint.item.clone()),
            None => {
                let task = condition.library.task(&joint.task);
                let title = task.map_or(joint.task.as_str(), |t| &t.title);
                let day = joint.at.format("%-d %b");
                let line = TouchedLine {
                    words: format!("{}, done {day}", safe_line(title)),
                    joints: vec![joint.item.clone()],
                    ticked: true,
                };
                tasks.push((&joint.task, line));
            }
        }
    }
    tasks.into_iter().map(|(_, line)| line).collect()
}

//! The boat: what to walk today, how she stands, what is owed.

pub mod draw;

use std::rc::Rc;

use crate::assess::verdict::Reason;
use crate::assess::words::Verdict;
use crate::boat::Role;
use crate::checklist::Closing;
use crate::defects::Closed;
use crate::defects::admit::too_long;
use crate::defects::before_start::BeforeStart;
use crate::defects::behind::short::Short;
use crate::defects::condition::Condition;
use crate::defects::given_on::AS_TOLD;
use crate::defects::list::{DefectList, Scenario};
use crate::defects::next_look::NextLook;
use crate::defects::verdict::{
    FULL_CHECK_DAYS, FULL_CHECK_HOURS, full_check_first, last_morning, verdict,
};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::logbook::mend::taking_back;
use crate::logbook::record::Record;
use crate::report::issue::list::changed_since;
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown, To, moved};
use crate::screen::layers::{Choice, Layer};
use crate::service::{Group, What, due};
use crate::text::capital;

/// So many next looks are shown where there is room.
pub const LOOKS_SHOWN: usize = 3;

/// The boat screen: everything it shows, computed once when it opens.
pub struct BoatScreen {
    /// Index of the machine in front.
    pub machine: usize,
    /// What can be begun.
    pub entries: Vec<Entry>,
    /// Under the arrow.
    pub cursor: usize,
    /// The boat now.
    pub condition: Rc<Condition>,
    /// Ranked over the usual plan, for this machine and the boat.
    pub list: DefectList,
    /// The last finished daily walk of this machine, judged as of now.
    pub verdict: Option<(Verdict, Vec<Reason>)>,
    /// What is behind the findings on this machine, in short; none where there are none.
    pub behind: Option<Short>,
    /// What comes before she starts.
    pub chores: Vec<BeforeStart>,
    /// Looks owed now: item title and why.
    pub owed: Vec<(String, String)>,
    /// What is to be looked at next beside the daily walk, as many as are ever shown.
    pub next: Vec<NextLook>,
    /// Work that is overdue, and reports whose records are others since, in one line.
    pub overdue: Option<String>,
    /// Records that put something back here, which one key takes back.
    pub put_back: Vec<String>,
}

/// What is picked.
#[derive(Clone, Debug)]
pub enum Pick {
    /// What of what was left open is put back: the ids of the records.
    PutBack(Vec<String>, Vec<String>),
    /// What of it was told put back by somebody.
    ToldBack(Vec<String>),
    /// The full check, or the short one all the same: where each begins.
    FullFirst(To, To),
    /// What is done for somebody else.
    Away(Vec<Away>),
}

/// What can be done for somebody else.
#[derive(Clone, Debug)]
pub enum Away {
    /// The hand-over page.
    HandOver,
    /// The report of the logbook as it stands.
    Report,
    /// A guest walks this checklist.
    Guest(String),
    /// Her history goes on with her.
    GiveOn,
}

/// What is typed.
#[derive(Clone, Debug)]
pub enum Line {
    /// The name of a guest who walks this checklist.
    Guest(String),
    /// Who told that what has this id is put back.
    ToldBy(String),
}

/// A line that can be begun.
pub struct Entry {
    /// Walk id to go on with, or none to begin anew.
    pub walk: Option<String>,
    /// Checklist id.
    pub checklist: String,
    /// As shown.
    pub title: String,
    /// Said beside it.
    pub beside: String,
    /// It is not what one comes for in this season: where it is low it shows under the arrow alone.
    pub is_aside: bool,
}

impl BoatScreen {
    /// For a machine of the boat.
    pub fn new(book: &Book, machine: usize) -> BoatScreen {
        let condition = book.condition();
        let boat = book.boat();
        let machine = if machine < boat.machines.len() {
            machine
        } else {
            0
        };
        let id = boat.machines.get(machine).map_or("", |m| &m.id).to_owned();
        let (exposure, waters) = condition.usual_plan();
        let mut list = condition.list(Scenario::new(exposure, waters), false);
        let here = |m: &Option<String>| m.as_deref().is_none_or(|m| m == id);
        list.rows.retain(|r| here(&r.machine));
        list.unseen.retain(|u| here(&u.machine));
        let last = last_morning(&condition, book.history(), &id);
        let verdict = last.and_then(|w| verdict(&condition, book.history(), w));
        let owed = condition
            .owed(book.history())
            .filter(|o| o.due && here(&o.recheck.rec.machine));
        let owed = owed.map(|o| {
            let item = condition.library.catalogue.item(&o.recheck.rec.item);
            (
                item.map_or_else(String::new, |i| i.title.clone()),
                o.recheck.rec.why.clone(),
            )
        });
        let owed = owed.collect();
        let chores = condition.before_start(Some(&id));
        let entries = entries(book, &condition, &id);
        let mut next = condition.next_looks_beside_the_daily_walk(&id);
        next.truncate(LOOKS_SHOWN);
        let bare = condition.not_covered().find(|(machine, _)| *machine == id);
        let bare = bare.map(|(_, told)| capital(&told));
        let overdue = bare.or_else(|| overdue(&condition, book, &id));
        let overdue = laid_up(&condition, book, &id)
            .into_iter()
            .chain(overdue)
            .reduce(|a, b| format!("{a}; {b}"));
        let told = (condition.is_given_on() && last.is_none()).then(|| capital(AS_TOLD));
        let overdue = told
            .into_iter()
            .chain(overdue)
            .chain(changed_since(book, None))
            .reduce(|a, b| format!("{a}; {b}"));
        let behind = condition.short_behind(book.history(), &id);
        BoatScreen {
            machine,
            behind,
            entries,
            cursor: 0,
            condition,
            list,
            verdict,
            chores,
            owed,
            next,
            overdue,
            put_back: Vec::new(),
        }
    }
}

/// The work due on a machine or the boat, the longest overdue by name. Looks stand elsewhere.
fn overdue(condition: &Condition, book: &Book, machine: &str) -> Option<String> {
    let rows = due(condition, book.history());
    let mut over = rows.iter().filter(|row| {
        let here = row.machine.as_deref().is_none_or(|m| m == machine);
        here && matches!(row.what, What::Task | What::Life) && row.group() == Group::Now
    });
    let first = over.next()?;
    let more = match over.count() {
        0 => String::new(),
        n => format!(", and {n} more"),
    };
    let by = first.over().unwrap_or_default();
    Some(format!("due: {}, {by}{more}", first.title))
}

fn entries(book: &Book, condition: &Condition, machine: &str) -> Vec<Entry> {
    let mut entries = Vec::new();
    let mut last = false;
    let open = book.history().walks.iter().rev().find(|w| {
        let left = w.finished.is_none() && !condition.is_former(w);
        w.machine == machine && left && !book.history().is_taken_back(w)
    });
    if let Some(walk) = open
        && let Some(plan) = condition.plan_of(walk)
    {
        let title = condition
            .library
            .checklist(&walk.checklist)
            .map_or("", |c| &c.title);
        // What was left lying for more than a day is not what one comes for in the morning.
        last = condition.now - walk.at > chrono::Duration::days(1);
        entries.push(Entry {
            walk: Some(walk.id.clone()),
            checklist: walk.checklist.clone(),
            title: format!("go on: {}", title.to_lowercase()),
            beside: format!(
                "begun {}, {} of {} rows",
                crate::paint::widgets::age(walk.at, condition.now),
                plan.rows_done(walk),
                plan.row_count()
            ),
            is_aside: false,
        });
    }
    let stands = condition.laid_up(book.history(), machine).is_some();
    let lists = condition.library.checklists_for(condition.role(machine));
    let lists = lists.filter(|list| condition.in_season(book.history(), list, machine));
    for list in lists {
        let joins = condition.joins(book.history(), list, machine);
        let last = book
            .history()
            .walks
            .iter()
            .rev()
            .find(|w| w.machine == machine && w.checklist == list.id && w.finished.is_some())
            .filter(|w| !condition.is_former(w));
        let left_out = condition.left_out(list, machine);
        let rows = condition
            .compose(list, &left_out, &joins, machine)
            .row_count();
        let last = match last {
            Some(w) => format!("last {}", crate::paint::widgets::age(w.at, condition.now)),
            None if condition.is_given_on() => "not by you yet".to_owned(),
            None => "last never".to_owned(),
        };
        entries.push(Entry {
            walk: None,
            checklist: list.id.clone(),
            title: list.title.clone(),
            beside: format!("{rows} rows, {last}"),
            is_aside: (list.closes_with == Closing::Season) != stands,
        });
    }
    if last {
        entries.rotate_left(1);
    }
    if stands {
        // What she is asked while she stands comes before what asks for the day.
        entries.sort_by_key(|entry| entry.is_aside);
    }
    entries
}

/// How she is laid up, and when she is looked at next.
fn laid_up(condition: &Condition, book: &Book, machine: &str) -> Option<String> {
    let laid_up = condition.laid_up(book.history(), machine)?;
    let next = laid_up.next_look();
    let when = match next <= condition.now {
        true => format!("due since {}", next.format("%-d %b")),
        false => format!("by {}", next.format("%-d %b")),
    };
    Some(format!("{}; next look {when}", laid_up.words()))
}

impl Asks for BoatScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Screen for BoatScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        let machines = &self.condition.boat.machines;
        match action {
            Action::StartWalk => {
                let machine = machines.get(self.machine).map(|m| m.id.clone());
                let machine = machine.unwrap_or_default();
                let Some(entry) = self.entries.get(self.cursor) else {
                    return;
                };
                let to = match &entry.walk {
                    Some(walk) => To::Resume(walk.clone()),
                    None => begin(&entry.checklist, &machine),
                };
                match self.full_first(entry, &machine, cx.book) {
                    Some((why, full)) => {
                        let lead = format!(
                            "{}: after {FULL_CHECK_DAYS} days or {FULL_CHECK_HOURS} h the full one comes first (judgement).",
                            capital(&why)
                        );
                        let options = [
                            "the full check",
                            "the short one all the same; the full one stays due",
                        ];
                        cx.ask(Layer::told(
                            "The full check first?",
                            vec![lead],
                            options.map(str::to_owned).into(),
                            Pick::FullFirst(full, to),
                        ));
                    }
                    None => cx.go(Go::To(to)),
                }
            }
            Action::NextMachine => {
                let next = (self.machine + 1) % machines.len().max(1);
                cx.go(Go::To(To::Boat(next)));
            }
            Action::PutBack => self.ask_put_back(cx),
            Action::Undo => self.take_back(cx),
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::BeforeLeaving => cx.go(Go::Over(To::Leaving)),
            Action::Places => cx.go(Go::Over(To::Places(None))),
            Action::GoOn => cx.go(Go::To(To::GoOn)),
            Action::OpenWalks => cx.go(Go::To(To::Walks)),
            Action::OpenProfile => cx.go(Go::To(To::Profile)),
            Action::Report => self.ask_away(cx),
            Action::Back if cx.shelf.is_some() => cx.go(Go::Shelf),
            Action::Back => {
                let quit = cx.setup.key(Action::Quit);
                cx.tell(format!("{quit} leaves handlamp"));
            }
            _ => {
                let moved = moved(action, self.cursor, self.entries.len(), 10);
                self.cursor = moved.unwrap_or(self.cursor);
            }
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, _: &Choice, cx: &mut Cx<'_, Self>) {
        match ask {
            Pick::PutBack(open, lines) => match open.get(at) {
                Some(of) => self.put_back(of.clone(), None, cx),
                None => cx.ask(Layer::choice(
                    "What is put back as somebody told?",
                    lines,
                    Pick::ToldBack(open),
                )),
            },
            Pick::ToldBack(open) => {
                if let Some(of) = open.into_iter().nth(at) {
                    let hint = "a name, such as the yard; it stays open, as told, until you see it";
                    cx.ask(Layer::line("Who told it?", hint, Line::ToldBy(of)));
                }
            }
            Pick::FullFirst(full, short) => cx.go(Go::To(if at == 0 { full } else { short })),
            Pick::Away(away) => match away.into_iter().nth(at) {
                Some(Away::HandOver) => cx.go(Go::To(To::OfBoat { hand_over: true })),
                Some(Away::Report) => cx.go(Go::To(To::OfBoat { hand_over: false })),
                Some(Away::Guest(short)) => {
                    let hint = "a name, such as Anna; it stands by every look";
                    cx.ask(Layer::line("Who walks?", hint, Line::Guest(short)));
                }
                Some(Away::GiveOn) => cx.go(Go::To(To::GiveOn)),
                None => {}
            },
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let name = text.trim();
        if name.is_empty() {
            return Err(match ask {
                Line::Guest(_) => "say who walks".to_owned(),
                Line::ToldBy(_) => "say who told it".to_owned(),
            });
        }
        if let Some((_, told)) = too_long("by", name) {
            return Err(told);
        }
        let checklist = match ask {
            Line::Guest(checklist) => checklist,
            Line::ToldBy(of) => {
                self.put_back(of, Some(name.to_owned()), cx);
                return Ok(());
            }
        };
        let machine = self.condition.boat.machines.get(self.machine);
        let machine = machine.map(|m| m.id.clone()).unwrap_or_default();
        cx.go(Go::To(To::Walk {
            checklist,
            machine,
            asked: false,
            guest: Some(name.to_owned()),
        }));
        Ok(())
    }
}

/// A walk of a checklist begins.
fn begin(checklist: &str, machine: &str) -> To {
    To::Walk {
        checklist: checklist.to_owned(),
        machine: machine.to_owned(),
        asked: false,
        guest: None,
    }
}

impl BoatScreen {
    /// What was opened under this id is put back.
    fn put_back(&mut self, of: String, told: Option<String>, cx: &mut Cx<'_, Self>) {
        let is_told = told.is_some();
        match cx.record_act(Record::from(Closed { of, at: None, told })) {
            Ok(Some(ids)) => {
                self.put_back.extend(ids);
                self.renew(cx.book);
                cx.tell(match is_told {
                    true => "put back as told; it stays open until you have seen it",
                    false => "put back",
                });
            }
            Ok(None) => {}
            Err(told) => cx.warn(told),
        }
    }

    /// What is to be done for somebody else: a page, a report, or a guest's walk.
    fn ask_away(&self, cx: &mut Cx<'_, Self>) {
        let machine = self.condition.boat.machines.get(self.machine);
        let role = machine.map(|m| m.role).unwrap_or(Role::Propulsion);
        let mut lists = self.condition.library.checklists_for(role);
        let short = lists.find(|list| list.closes_with == Closing::Short);
        let walk = short.map(|list| {
            let told = format!("{}, walked by a guest now", list.title);
            (told, Away::Guest(list.id.clone()))
        });
        let told = |words: &str, away| Some((words.to_owned(), away));
        let all = [
            told(
                "the hand-over page, for somebody else who takes her out",
                Away::HandOver,
            ),
            told("the report of the logbook as it stands", Away::Report),
            walk,
            told("her history, for whoever owns her next", Away::GiveOn),
        ];
        let (options, away) = all.into_iter().flatten().unzip();
        cx.ask(Layer::choice(
            "For somebody else: what?",
            options,
            Pick::Away(away),
        ));
    }

    /// What of what was left open is put back?
    fn ask_put_back(&self, cx: &mut Cx<'_, Self>) {
        let open = self.chores.iter();
        let open = open.filter_map(|chore| Some((chore.of.clone()?, chore.words())));
        let (ids, lines): (Vec<_>, Vec<_>) = open.unzip();
        if ids.is_empty() {
            return cx.tell("nothing is left open");
        }
        let title = "What do you see put back as it belongs?";
        let mut options = lines.clone();
        options.push("told by somebody, not seen by you".to_owned());
        cx.ask(Layer::choice(title, options, Pick::PutBack(ids, lines)));
    }

    /// Takes the last one back that was put back here.
    fn take_back(&mut self, cx: &mut Cx<'_, Self>) {
        let Some(of) = self.put_back.pop() else {
            return cx.tell("nothing to take back");
        };
        if cx.record(vec![taking_back(cx.book, &of)]).is_some() {
            self.renew(cx.book);
            cx.tell("taken back: it is open again");
        }
    }

    /// Why the full check comes before the short one chosen, and where it begins.
    fn full_first(&self, entry: &Entry, machine: &str, book: &Book) -> Option<(String, To)> {
        let library = &self.condition.library;
        let short = library.checklist(&entry.checklist)?.closes_with == Closing::Short;
        if !short || entry.walk.is_some() {
            return None;
        }
        let why = full_check_first(&self.condition, book.history(), machine, book.now())?;
        let mut lists = library.checklists_for(self.condition.role(machine));
        let full = lists.find(|list| list.closes_with == Closing::Daily)?;
        Some((why, begin(&full.id, machine)))
    }
}

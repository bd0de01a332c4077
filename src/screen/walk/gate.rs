//! A stop holds the walk: it is said when it is found, what is known so far stands in the head, and
//! before key on and before the engine turns a gate asks how to go on. Words alone hold: the person at
//! the engine decides.

use ratatui::text::Line as Text;

use crate::assess::words::Verdict;
use crate::checklist::{Item, Order, PhaseState};
use crate::defects::Subject;
use crate::defects::acts::{Closed, HoldsUntil, Repair};
use crate::defects::gate::{Gate, InForce, first, order};
use crate::defects::stopped::first_run;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::logbook::record::{Record, StartedAnyway, ToldOf};
use crate::paint::widgets;
use crate::screen::kind::View;
use crate::screen::layers::Layer;
use crate::screen::mended::ask_lasts;
use crate::screen::walk::ask::{Line, Pick, Way};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::{Look, Notified, Spot};

/// Asked at every gate.
const LAST: &str = "Hatch clear, everybody out of it, and who holds the key?";
/// So many stops are named one by one.
const NAMED: usize = 4;

impl WalkScreen {
    /// Tells the life anew of what these records change.
    pub(crate) fn take_up(&mut self, book: &Book, changed: Vec<Subject>) {
        for subject in changed {
            self.so_far.condition.retell(&subject, book.history());
        }
        let walk = self.walk(book).clone();
        self.so_far.reckon(&walk);
    }

    /// Of which items these records change what is known; asked before they are recorded.
    pub(crate) fn changed_by(&self, book: &Book, records: &[Record]) -> Vec<Subject> {
        let looks = &self.walk(book).looks;
        let history = book.history();
        let left_open = |of: &str| {
            let opened = history.opened.iter().find(|opened| opened.id == of)?;
            Some(opened.rec.item.clone())
        };
        let item = |record: &Record| match record {
            Record::Look(look) => Some(look.look.item.clone()),
            record if record.takes_back().is_some() => {
                let of = record.takes_back()?;
                let look = looks.iter().find(|l| *l.id == *of);
                let closed = history.closed.iter().find(|closed| closed.id == of);
                let look = look.map(|undone| undone.look.item.clone());
                look.or_else(|| left_open(closed.map_or(of, |closed| &closed.rec.of)))
            }
            Record::Repair(repair) => Some(repair.item.clone()),
            Record::Removed(removed) => Some(removed.item.clone()),
            Record::Closed(closed) => left_open(&closed.of),
            _ => None,
        };
        let mut items: Vec<String> = records.iter().filter_map(item).collect();
        items.dedup();
        let subject = |item: &String| self.before.subject(item, &self.started.machine);
        items.iter().map(subject).collect()
    }

    /// What holds the walk at a gate and one has not gone on over.
    fn held(&self, gate: Gate, book: &Book) -> Vec<InForce> {
        let walk = self.walk(book);
        if walk.entered_after {
            return Vec::new();
        }
        let mut stops = self.so_far.condition.in_force(walk);
        stops.retain(|stop| stop.holds(gate) && !self.so_far.is_over(gate, stop));
        stops
    }

    /// True where she was turned or ran in this walk.
    fn ran(&self, book: &Book) -> bool {
        first_run(&self.so_far.condition, self.walk(book)).is_some()
    }

    /// Asks at the gate one stands before; false where none is shut.
    pub(crate) fn ask_gate(&mut self, cx: &mut Turn<'_>) -> bool {
        let Some(gate) = self.state(self.at).and_then(Gate::before) else {
            return false;
        };
        let stops = self.held(gate, cx.book);
        if stops.is_empty() {
            return false;
        }
        let ran = self.ran(cx.book);
        let title = match gate {
            Gate::Key => "BEFORE KEY ON: switch nothing, air the space, find it",
            Gate::Start if ran => "BEFORE SHE RUNS AGAIN: do not start",
            Gate::Start => "BEFORE THE START: do not start",
        };
        let lead = lead_of(&stops, cx.setup.theme.glyphs.caution());
        let (ways, options) = self.ways(&stops).into_iter().unzip();
        cx.ask(Layer::told(title, lead, options, Pick::Gate(gate, ways)));
        true
    }

    /// The ways on from what holds, in words.
    fn ways(&self, stops: &[InForce]) -> Vec<(Way, String)> {
        let open = stops.iter().all(|stop| stop.left_open.is_some());
        let survey = self.is_survey();
        let mut ways = vec![
            (Way::Still, "go on with looks that need no running engine"),
            (Way::Again, "look again at what holds her"),
            (
                Way::Mended,
                match open {
                    true => "it is put back as it belongs",
                    false => "something was put right: say what, then look again",
                },
            ),
            (
                Way::Finish,
                match survey {
                    true => "running tests declined: say why, and finish",
                    false => "finish the walk here",
                },
            ),
        ];
        if survey {
            let told = "whoever answers for the boat was told, and starts her";
            ways.push((Way::OwnerStarts, told));
        }
        ways.push((Way::Needed, "she is needed now: start in spite of it"));
        // That something was put right is the owner's to say.
        ways.retain(|(way, _)| !(self.started.guest && matches!(way, Way::Mended)));
        let ways = ways.into_iter();
        ways.map(|(way, words)| (way, words.to_owned())).collect()
    }

    /// Goes the way picked.
    pub fn gate_picked(&mut self, gate: Gate, way: Option<&Way>, cx: &mut Turn<'_>) {
        let stops = self.held(gate, cx.book);
        let first = stops.first().map(|stop| stop.subject.clone());
        match way {
            Some(Way::Still) | None => self.back_to_still(cx),
            Some(Way::Again) => {
                if let Some(subject) = first {
                    self.look_again(&subject, cx);
                }
            }
            Some(Way::Mended) => match stops.as_slice() {
                [only] => self.put_right(only, cx),
                _ => {
                    let names = stops.iter().map(|s| safe_line(&s.title).into_owned());
                    let ask = Pick::WhichMended(stops.clone());
                    cx.ask(Layer::choice("What was put right?", names.collect(), ask));
                }
            },
            Some(Way::Finish) if self.is_survey() => self.finish_unseen(cx),
            Some(Way::Finish) => self.finish_walk(cx),
            Some(Way::OwnerStarts) => {
                let items = stops.iter().map(|s| s.subject.item.clone()).collect();
                cx.ask(Layer::line(
                    "Who was told, and starts her?",
                    "a name, or what they are to the boat",
                    Line::OwnerStarts(gate, items),
                ));
            }
            Some(Way::Needed) => self.pass(gate, cx),
        }
    }

    /// Goes on over what holds; where she runs already, on from the look that found it.
    fn pass(&mut self, gate: Gate, cx: &mut Turn<'_>) {
        let stops = self.held(gate, cx.book);
        self.so_far.go_over(gate, stops);
        if self.ran(cx.book) && self.look(cx.book, self.at).is_some() {
            self.go_on(cx);
        } else if gate == Gate::Start && self.is_leak_run() {
            self.begin_phase(cx);
        }
        cx.warn("go on; the record says over what, and the reason is asked at the end");
    }

    /// What holds was put right: what was left open is put back at once, of all else it is asked what
    /// was done.
    pub(crate) fn put_right(&mut self, stop: &InForce, cx: &mut Turn<'_>) {
        let Some(of) = stop.left_open.clone() else {
            return cx.ask(Layer::line(
                format!("{}: what was done?", safe_line(&stop.title)),
                "a few words; then it is looked at again",
                Line::Mended(stop.subject.clone()),
            ));
        };
        let at = Some(cx.book.now());
        if self.walk_record(vec![Record::from(Closed { of, at, told: None })], true, cx) {
            cx.tell(format!("{}: put back", safe_line(&stop.title)));
        }
    }

    /// What was put right, as typed.
    pub fn mended_typed(
        &mut self,
        subject: &Subject,
        done: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        if done.is_empty() {
            return Err("say in a few words what was done".to_owned());
        }
        cx.ask(ask_lasts(Pick::MendedLasts(
            subject.clone(),
            done.to_owned(),
        )));
        Ok(())
    }

    /// What was put right, lasting or until when.
    pub fn mended(
        &mut self,
        subject: &Subject,
        done: &str,
        temporary: Option<HoldsUntil>,
        cx: &mut Turn<'_>,
    ) {
        let repair = Record::from(Repair {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            at: Some(cx.book.now()),
            hours: None,
            done: done.to_owned(),
            by: cx.setup.by.clone(),
            temporary,
            cause: None,
            minutes: None,
        });
        if self.walk_record(vec![repair], false, cx) {
            self.look_again(subject, cx);
            cx.tell("noted; now look at it again");
        }
    }

    /// Who was told, as typed.
    pub fn owner_starts(
        &mut self,
        gate: Gate,
        items: Vec<String>,
        whom: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        if whom.is_empty() {
            return Err("say who was told".to_owned());
        }
        let (walk, at) = (self.started.walk.clone(), cx.book.now());
        let told = Notified {
            items,
            whom: whom.to_owned(),
            at,
        };
        let why = StartedAnyway {
            walk: walk.clone(),
            at,
            why: format!("{whom} was told and started her"),
            started: None,
        };
        let records = vec![Record::from(ToldOf { walk, told }), Record::from(why)];
        if self.walk_record(records, false, cx) {
            self.pass(gate, cx);
        }
        Ok(())
    }

    /// Why she was started, as typed at the end; nothing typed is no reason.
    pub fn why_started(&mut self, why: &str, cx: &mut Turn<'_>) {
        self.so_far.asked_why = true;
        if !why.is_empty() {
            let why = Record::from(StartedAnyway {
                walk: self.started.walk.clone(),
                at: cx.book.now(),
                why: why.to_owned(),
                started: None,
            });
            self.walk_record(vec![why], false, cx);
        }
        self.finish_walk(cx);
    }

    /// To the place where an item is looked at with the engine still; it comes in beside the rows
    /// where none asks it.
    fn look_again(&mut self, subject: &Subject, cx: &mut Turn<'_>) {
        let asked = self.plan.spots().find(|spot| {
            self.plan.item(*spot) == Some(subject.item.as_str()) && self.is_still(*spot)
        });
        match asked {
            Some(spot) => {
                self.go(spot);
                self.open = self.row().is_some_and(|row| row.items.len() > 1);
            }
            None => {
                if let Some(spot) = self.plan.spots().filter(|s| self.is_still(*s)).last() {
                    self.go(spot);
                }
                self.bring_beside(&subject.item, cx);
            }
        }
    }

    fn back_to_still(&mut self, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let unseen = self
            .plan
            .spots()
            .find(|s| self.is_still(*s) && self.look(book, *s).is_none());
        match unseen {
            Some(spot) => self.go(spot),
            None => cx.tell("all that can be seen with the engine still has its look"),
        }
    }

    fn is_still(&self, spot: Spot) -> bool {
        self.state(spot)
            .is_some_and(|state| Gate::before(state).is_none() && state.is_before_start())
    }

    /// What a look says that forbids running, with its order.
    pub(crate) fn stop_seen(&self, spot: Spot, look: &Look) -> Option<StopSeen> {
        let item = self.item(spot)?;
        let state = self.state(spot)?;
        let rule = self
            .before
            .stop_seen(item, &self.started.machine, look)
            .filter(|_| !self.started.entered_after)?;
        Some(StopSeen::of(item, look, state, &rule))
    }

    /// Says what it orders: on a line while she is still; over everything while she runs, with the ways
    /// of the gate, which is not asked again for what one runs on over.
    pub fn tell_stop(&mut self, stop: StopSeen, cx: &mut Turn<'_>) {
        let stops = self.held(Gate::Start, cx.book);
        let answered = stops.is_empty() && stop.order != Order::StopNow;
        if !stop.is_running() || answered {
            return cx.warn(stop.told);
        }
        let title = match stop.order {
            Order::StopNow => "STOP THE ENGINE NOW",
            _ => "STOP THE ENGINE AS SOON AS THE BOAT IS SAFE",
        };
        let mark = cx.setup.theme.glyphs.caution();
        let cautions = stop.cautions.iter().map(|c| format!("{mark} {c}"));
        let lead: Vec<String> = [stop.told].into_iter().chain(cautions).collect();
        let mut ways = self.ways(&stops);
        for (way, words) in &mut ways {
            match way {
                Way::Still => *words = format!("it is stopped: {words}"),
                Way::Needed => *words = "she is needed now: run on in spite of it".to_owned(),
                _ => {}
            }
        }
        let (ways, options) = ways.into_iter().unzip();
        let ask = Pick::Gate(Gate::Start, ways);
        cx.ask(Layer::alarm(title, lead, options, ask));
    }

    /// Shows what the verdict would be so far, and the rows behind it.
    pub(crate) fn show_so_far(&self, cx: &mut Turn<'_>) {
        let mut lead = self.so_far.lines.clone();
        if lead.is_empty() {
            let nothing = match self.so_far.is_blind {
                true => "Nothing seen in this walk speaks against it; what is not seen yet may.",
                false => "Nothing on record speaks against it; what is not seen yet may.",
            };
            lead.push(nothing.to_owned());
        }
        if self.so_far.is_blind {
            lead.push(
                "What was found before this walk is out of sight and not in here.".to_owned(),
            );
        }
        let title = match self.so_far.verdict {
            Verdict::ClearToRun => "So far: no stop".to_owned(),
            verdict => format!("So far: {}", verdict.spoken()),
        };
        cx.ask(Layer::told(
            title,
            lead,
            vec!["go on".to_owned()],
            Pick::Stopped,
        ));
    }

    /// The line of the head that says how it stands so far.
    pub(crate) fn so_far_line(&self, view: &View<'_>, columns: usize) -> Text<'static> {
        let theme = view.setup.theme;
        let stopped = !matches!(
            self.so_far.verdict,
            Verdict::ClearToRun | Verdict::RunWithCare
        );
        let (mark, style) = match stopped {
            true => (theme.glyphs.caution(), theme.caution()),
            false => (" ", theme.quiet()),
        };
        let key = view.setup.keys.keys_of(Action::SoFar);
        let key = key.first().map(ToString::to_string).unwrap_or_default();
        let left = format!("{mark} {}", self.so_far.words());
        widgets::spread(&left, &format!("{key} shows"), columns, style)
    }
}

/// Something that forbids running, seen just now.
pub struct StopSeen {
    /// Its order, the item and the rule, in a sentence.
    told: String,
    /// What can hurt someone there.
    cautions: Vec<String>,
    order: Order,
}

impl StopSeen {
    /// It orders the engine to stop, for she runs.
    pub fn is_running(&self) -> bool {
        matches!(self.order, Order::StopNow | Order::WhenSafe)
    }

    fn of(item: &Item, look: &Look, state: PhaseState, rule: &str) -> StopSeen {
        let order = order(item, look.leak, state.is_running());
        let title = safe_line(&item.title);
        let away = matches!(state, PhaseState::UnderWay | PhaseState::FullThrottle);
        let first = if away { first(order) } else { "" };
        StopSeen {
            told: format!("{first}{}: {title}: {rule}", order.words()),
            cautions: item.cautions.clone(),
            order,
        }
    }
}

fn told(stop: &InForce) -> String {
    let grade = stop.grade.map(|g| format!("{} ", g.rung()));
    format!(
        "{}: {}{}",
        safe_line(&stop.title),
        grade.unwrap_or_default(),
        stop.rule
    )
}

/// What holds, in lines, and what is asked at every gate.
fn lead_of(stops: &[InForce], mark: &str) -> Vec<String> {
    let mut lead: Vec<String> = match stops {
        [only] => vec![format!(
            "{}. What puts it right: {}",
            told(only),
            only.remedy
        )],
        several => several.iter().take(NAMED).map(told).collect(),
    };
    if let Some(more) = stops.len().checked_sub(NAMED).filter(|more| *more > 0) {
        lead.push(format!("and {more} more"));
    }
    lead.push(LAST.to_owned());
    let mut cautions: Vec<&String> = stops.iter().flat_map(|s| &s.cautions).collect();
    cautions.dedup();
    lead.extend(cautions.iter().take(2).map(|c| format!("{mark} {c}")));
    lead
}

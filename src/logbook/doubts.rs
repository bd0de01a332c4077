//! What of the record no answer counts, and for how long that can matter.
//!
//! Reading finds what is damaged, lost or not understood; here each finding becomes a [`Doubt`] that
//! every answer names. One that can have hidden something worse forbids a clear verdict until it can
//! matter no longer: a look, until its item was looked at again; all else, until somebody has said
//! that the loss is known ([`Accepted`](super::record::Accepted)).

use std::collections::{BTreeMap, HashMap, HashSet};
use std::path::Path;

use chrono::{DateTime, FixedOffset};

use super::fold::latest;
use super::lenient::InPart;
use super::line::{Checked, Entry};
use super::placed::Written;
use super::problem::{Problem, ProblemKind};
use super::record::{EventKind, Loss, Record, Weight};
use super::replace::hex;
use super::standing::undone;
use crate::checklist::Grade;
use crate::defects::{Doubt, History, NotCounted};
use crate::safety::{Safety, stands};
use crate::text::safe_line;
use crate::walk::{TimedLook, When};

/// Something of the record that no answer counts.
#[derive(Clone, Debug)]
pub struct Suspect {
    /// What is said of it.
    told: NotCounted,
    /// Where it stands in the order of the log, as far as its neighbours tell.
    place: Option<usize>,
    holds: Holds,
    digest: String,
}

/// How long it can matter.
#[derive(Clone, Debug)]
enum Holds {
    /// It can make no answer better than it should be.
    Never,
    /// Until the item was looked at again; on this machine where that is known.
    UntilSeen(String, Option<String>),
    /// Until somebody accepts the loss.
    UntilAccepted,
}

/// What a damaged line can still tell, read for hints alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remains {
    /// SHA-256 of its bytes.
    pub(super) digest: String,
    /// Its id, if one can be read.
    pub(super) id: Option<String>,
    event: Option<String>,
    item: Option<String>,
    walk: Option<String>,
}

impl Remains {
    /// What the bytes of a line still tell.
    pub(super) fn of(line: &[u8]) -> Remains {
        let text = String::from_utf8_lossy(line);
        let field = |key: &str| {
            let from = text.find(&format!("\"{key}\":\""))? + key.len() + 4;
            let value = text.get(from..)?.split('"').next()?;
            let plain = !value.is_empty() && value.len() <= 64;
            plain.then(|| value.to_owned())
        };
        Remains {
            digest: hex(line),
            id: field("id"),
            event: field("ev"),
            item: field("item"),
            walk: field("walk"),
        }
    }
}

/// Finds what no answer counts among what is wrong with a log.
pub(super) struct Finder<'a> {
    entries: HashMap<(u32, u32), &'a Entry>,
    ids: HashSet<&'a str>,
    files: HashMap<&'a Path, u32>,
    /// The machine of each walk.
    machines: HashMap<&'a str, &'a str>,
    /// Walks name more than one machine.
    several: bool,
    /// Places of the records by file and line, ascending by line.
    places: HashMap<u32, Vec<(u32, usize)>>,
}

impl<'a> Finder<'a> {
    /// Over the entries of a log, the places their records have in its order, and the paths of its
    /// files.
    pub(super) fn new(
        entries: &'a [Entry],
        files: impl IntoIterator<Item = &'a Path>,
        places: impl IntoIterator<Item = (u32, u32, usize)>,
        written: &'a [Written],
    ) -> Finder<'a> {
        let mut by_file: HashMap<u32, Vec<(u32, usize)>> = HashMap::new();
        for (file, line, place) in places {
            by_file.entry(file).or_default().push((line, place));
        }
        by_file.values_mut().for_each(|lines| lines.sort_unstable());
        let machines = written.iter().filter_map(|w| match &w.record {
            Record::WalkStarted(walk) => Some((walk.walk.as_str(), walk.machine.as_str())),
            // Moved to another machine.
            Record::Correction(correction) => match correction.to.as_deref() {
                Some(Record::WalkStarted(walk)) => {
                    Some((walk.walk.as_str(), walk.machine.as_str()))
                }
                _ => None,
            },
            _ => None,
        });
        let machines: HashMap<&str, &str> = machines.collect();
        let first = machines.values().next();
        Finder {
            entries: entries.iter().map(|e| ((e.file, e.line), e)).collect(),
            ids: entries
                .iter()
                .filter(|e| e.checked == Checked::Good)
                .map(|e| e.id.as_str())
                .collect(),
            files: (0..).zip(files).map(|(n, path)| (path, n)).collect(),
            several: machines.values().any(|machine| Some(machine) != first),
            machines,
            places: by_file,
        }
    }

    /// What a problem keeps out of every answer; nothing where it keeps out nothing.
    pub(super) fn suspect(&self, problem: &Problem) -> Option<Suspect> {
        if !stands(Safety::Doubts) {
            return None;
        }
        let holds = match problem.kind {
            ProblemKind::Torn | ProblemKind::BadLine => {
                let remains = problem.remains.as_ref()?;
                if remains
                    .id
                    .as_ref()
                    .is_some_and(|id| self.ids.contains(id.as_str()))
                {
                    // Another copy has the record.
                    return None;
                }
                self.lost_line(remains, problem.kind == ProblemKind::Torn)?
            }
            ProblemKind::ChangedOutside => {
                let file = self.files.get(problem.file.as_path())?;
                let entry = self.entries.get(&(*file, problem.line?))?;
                if self.ids.contains(entry.id.as_str()) {
                    return None;
                }
                // What is not what its name says may have been anything before it was changed.
                match self.changed(entry)? {
                    Holds::Never if !says_as_named(entry) => Holds::UntilAccepted,
                    holds => holds,
                }
            }
            ProblemKind::Missing
            | ProblemKind::NotHere
            | ProblemKind::NotAFile
            | ProblemKind::TooLarge
            | ProblemKind::SameWalk
            | ProblemKind::Unreadable => Holds::UntilAccepted,
            ProblemKind::SameId | ProblemKind::Newer => Holds::Never,
            ProblemKind::NotUnderstood => {
                let file = self.files.get(problem.file.as_path())?;
                self.changed(self.entries.get(&(*file, problem.line?))?)?
            }
            ProblemKind::PhotoMissing
            | ProblemKind::ClockAhead
            | ProblemKind::ClockBehind
            | ProblemKind::OpenToOthers
            | ProblemKind::Profile
            | ProblemKind::TextMissing
            | ProblemKind::IssuedMissing
            | ProblemKind::IssuedAlone
            | ProblemKind::GoneOn
            | ProblemKind::NoEnd => return None,
        };
        let item = match &holds {
            Holds::UntilSeen(item, _) => Some(item.clone()),
            _ => None,
        };
        let file = problem.file.to_string_lossy();
        let digest = match &problem.remains {
            Some(remains) => remains.digest.clone(),
            None => hex(problem.message.as_bytes()),
        };
        Some(Suspect {
            told: NotCounted {
                file: (!file.is_empty()).then(|| safe_line(&file).into_owned()),
                line: problem.line,
                item,
                why: safe_line(&problem.message).into_owned(),
            },
            place: self.place(problem),
            holds,
            digest,
        })
    }

    /// The machine of a walk, where its beginning is on file.
    fn machine_of(&self, walk: &str) -> Option<&'a str> {
        self.machines.get(walk).copied()
    }

    /// The place of the last record before a line in its file, or of the first after it.
    fn place(&self, problem: &Problem) -> Option<usize> {
        let file = self.files.get(problem.file.as_path())?;
        let (lines, line) = (self.places.get(file)?, problem.line?);
        let before = lines.partition_point(|(known, _)| *known <= line);
        let near = lines.get(before.saturating_sub(1))?;
        Some(near.1)
    }

    fn lost_line(&self, remains: &Remains, torn: bool) -> Option<Holds> {
        let weight = weight(remains.event.as_deref(), |kind| kind.lost);
        Some(match weight {
            Weight::Nothing => return None,
            Weight::Said => Holds::Never,
            Weight::UntilSeen if remains.item.is_some() => self.until_seen_of(remains),
            // Most often it was never acknowledged, and nothing tells that it was.
            Weight::UntilSeen | Weight::UntilAccepted if torn => Holds::Never,
            Weight::UntilSeen | Weight::UntilAccepted => Holds::UntilAccepted,
        })
    }

    fn changed(&self, entry: &Entry) -> Option<Holds> {
        Some(match weight(Some(&entry.ev), |kind| kind.changed) {
            Weight::Nothing if says_as_named(entry) => return None,
            Weight::UntilSeen => {
                let remains = Remains::of(entry.rec.get().as_bytes());
                self.until_seen_of(&remains)
            }
            Weight::Said => Holds::Never,
            Weight::Nothing | Weight::UntilAccepted => Holds::UntilAccepted,
        })
    }

    /// A record that was understood in part, at a place in the order.
    pub(super) fn in_part(&self, problem: &Problem, place: usize, part: InPart) -> Suspect {
        let holds = match part.matters {
            true => self.until_seen(Some(&part.item), Some(&part.walk)),
            false => Holds::Never,
        };
        let file = problem.file.to_string_lossy();
        Suspect {
            told: NotCounted {
                file: Some(safe_line(&file).into_owned()),
                line: problem.line,
                item: Some(part.item),
                why: safe_line(&part.why).into_owned(),
            },
            place: Some(place),
            holds,
            digest: hex(part.why.as_bytes()),
        }
    }

    fn until_seen_of(&self, look: &Remains) -> Holds {
        self.until_seen(look.item.as_deref(), look.walk.as_deref())
    }

    /// A look that is lost: until its item was looked at again, where both can be told.
    fn until_seen(&self, item: Option<&str>, walk: Option<&str>) -> Holds {
        let machine = walk.and_then(|walk| self.machine_of(walk));
        match item {
            Some(item) if machine.is_some() || !self.several => {
                Holds::UntilSeen(item.to_owned(), machine.map(str::to_owned))
            }
            _ => Holds::UntilAccepted,
        }
    }
}

/// What the loss of a line takes from the answers, by the event it names: those of the protocol
/// nothing; one that is not known may have been anything.
fn weight(event: Option<&str>, of: impl Fn(&EventKind) -> Weight) -> Weight {
    match event {
        Some("session" | "end") => Weight::Nothing,
        event => event
            .and_then(EventKind::named)
            .map_or(Weight::UntilAccepted, of),
    }
}

/// Whether a line holds what its name promises: where the name was changed outside, it
/// was another record.
fn says_as_named(entry: &Entry) -> bool {
    let has = |key: &str| entry.rec.get().contains(key);
    match &*entry.ev {
        "session" => has("\"fmt\":"),
        "end" => has("\"n\":"),
        other => matches!(Record::read(other, &entry.rec.get()), Some(Ok(_))),
    }
}

/// Walks that sound records begin on different machines: one beginning counts, with the looks of all, so
/// that a look may stand under the wrong machine.
pub(super) fn begun_twice(written: &[Written]) -> Vec<Suspect> {
    let mut first: HashMap<&str, (&str, &str)> = HashMap::new();
    let mut twice = Vec::new();
    for w in written.iter().filter(|w| w.trust.sound) {
        let Record::WalkStarted(walk) = &w.record else {
            continue;
        };
        let this = (&*w.id, walk.machine.as_str());
        let known = *first.entry(&walk.walk).or_insert(this);
        if known.1 != this.1 {
            twice.push((&walk.walk, [known.0, this.0]));
        }
    }
    if twice.is_empty() {
        return Vec::new();
    }
    let undone = undone(written);
    let stand = twice.into_iter();
    let stand = stand.filter(|(_, ids)| !ids.iter().any(|id| undone.contains_key(*id)));
    let told = stand.map(|(walk, [first, other])| {
        Suspect::told(format!(
            "the records {} and {} begin the walk {} on two machines; one counts, with the looks of both",
            safe_line(first),
            safe_line(other),
            safe_line(walk)
        ))
    });
    told.collect()
}

impl Suspect {
    /// A loss told in words alone, which somebody has to accept.
    pub(super) fn told(why: String) -> Suspect {
        Suspect {
            digest: hex(why.as_bytes()),
            told: NotCounted::because(why),
            place: None,
            holds: Holds::UntilAccepted,
        }
    }

    /// Something told in words that makes no answer better.
    pub(super) fn said(why: String) -> Suspect {
        Suspect {
            holds: Holds::Never,
            ..Suspect::told(why)
        }
    }

    /// As somebody accepts it.
    fn loss(&self) -> Loss {
        Loss {
            file: self.told.file.clone(),
            line: self.told.line,
            digest: self.digest.clone(),
        }
    }

    fn doubt(&self, settled: &Settled<'_>) -> Doubt {
        let seen = match &self.holds {
            Holds::UntilSeen(item, machine) => {
                let after = self.place.unwrap_or(usize::MAX);
                settled.seen_after(item, machine.as_deref(), after)
            }
            _ => None,
        };
        let accepted = settled.accepted.get(&self.loss()).copied();
        Doubt {
            told: self.told.clone(),
            place: self.place,
            matters: !matches!(self.holds, Holds::Never),
            settled: [seen, accepted].into_iter().flatten().min(),
        }
    }
}

/// What settles suspects.
struct Settled<'a> {
    /// Losses somebody accepted, and the place of the record that says so.
    accepted: HashMap<&'a Loss, usize>,
    /// Verified graded looks at the items that are waited for, each with its machine, by place.
    seen: HashMap<&'a str, Vec<(When, &'a str)>>,
    /// The newest believed time up to each record; none where nothing is waited for.
    latest: Vec<Option<DateTime<FixedOffset>>>,
}

impl<'a> Settled<'a> {
    fn of(suspects: &[Suspect], written: &'a [Written], history: &'a History) -> Settled<'a> {
        let waited = suspects.iter().filter_map(|s| match &s.holds {
            Holds::UntilSeen(item, _) => Some(item.as_str()),
            _ => None,
        });
        let waited: HashSet<&str> = waited.collect();
        let mut seen: HashMap<&str, Vec<(When, &str)>> = HashMap::new();
        let walks = history.walks.iter().filter(|_| !waited.is_empty());
        for (walk, t) in walks.flat_map(|w| w.looks.iter().map(move |t| (w, t))) {
            let item = t.look.item.as_str();
            if t.lifts() && t.look.grade().is_some() && waited.contains(item) {
                let looks = seen.entry(item).or_default();
                looks.push((t.when(), &walk.machine));
            }
        }
        for looks in seen.values_mut() {
            looks.sort_unstable_by_key(|(when, _)| when.place);
        }
        Settled {
            accepted: accepted(written),
            seen,
            latest: match waited.is_empty() {
                true => Vec::new(),
                false => latest(written),
            },
        }
    }

    /// The place of the first of those looks at an item after a place in the order. One told later of
    /// a time before says nothing of what was lost there.
    fn seen_after(&self, item: &str, machine: Option<&str>, after: usize) -> Option<usize> {
        let looks = self.seen.get(item)?;
        let last = self.latest.len().saturating_sub(1);
        let then = self.latest.get(after.min(last)).copied().flatten();
        let from = looks.partition_point(|(when, _)| when.place <= after);
        let again = looks.get(from..)?.iter().find(|(when, on)| {
            let here = machine.is_none_or(|machine| machine == *on);
            here && then.is_none_or(|then| when.at >= then)
        });
        again.map(|(when, _)| when.place)
    }
}

/// What the answers say of the suspects, as the record stands: with stubs of walks and looks told
/// late named too.
pub(super) fn doubts(suspects: &[Suspect], written: &[Written], history: &History) -> Vec<Doubt> {
    let stubs = stubs(history);
    let mut doubts = Vec::new();
    if !(suspects.is_empty() && stubs.is_empty()) {
        let settled = Settled::of(suspects, written, history);
        let all = suspects.iter().chain(&stubs);
        doubts.extend(all.map(|s| s.doubt(&settled)));
    }
    doubts.extend(told_late(history));
    doubts.extend(history.clashes.iter().cloned().map(Doubt::said));
    doubts.extend(left_of_aside(history));
    doubts.extend(lost_before(history));
    doubts.dedup();
    doubts
}

/// What still forbids a clear verdict and can be accepted.
pub(super) fn to_accept(suspects: &[Suspect], written: &[Written], history: &History) -> Vec<Loss> {
    let stubs = stubs(history);
    let settled = Settled::of(suspects, written, history);
    let all = suspects.iter().chain(&stubs);
    let open = all.filter(|s| s.doubt(&settled).blocks());
    open.map(Suspect::loss).collect()
}

/// The walks of which the beginning is lost, each once.
fn stubs(history: &History) -> Vec<Suspect> {
    let aside = |id: &str| history.aside.iter().any(|aside| aside.rec.walk == id);
    let lost = history.walks.iter().filter(|w| w.is_stub && !aside(&w.id));
    let once = lost.filter(|w| !w.id.contains('@'));
    let told = once.map(|w| {
        Suspect::told(format!(
            "the beginning of the walk {} is not on file; its looks count, what else it said does not",
            safe_line(&w.id)
        ))
    });
    told.collect()
}

/// Looks of walks that were set aside without them, which count.
fn left_of_aside(history: &History) -> impl Iterator<Item = Doubt> + '_ {
    let left = history.aside.iter().filter_map(|aside| {
        let walk = history.walk(&aside.rec.walk)?;
        let looks = walk.looks.len();
        let (id, why) = (safe_line(&aside.rec.walk), safe_line(&aside.rec.why));
        Some(NotCounted::because(format!(
            "the walk {id} was set aside ({why}) without {looks} look(s) made elsewhere, which count"
        )))
    });
    left.map(Doubt::said)
}

/// What the book of a former owner could not count, and this copy of it therefore does not hold.
fn lost_before(history: &History) -> impl Iterator<Item = Doubt> + '_ {
    let lost = history
        .given_on
        .iter()
        .filter(|given| given.rec.not_counted > 0);
    let told = lost.map(|given| {
        NotCounted::because(format!(
            "{} thing(s) in the former owner's book could not be counted there and did not come along when it was given on ({})",
            given.rec.not_counted,
            given.at.format("%Y-%m-%d")
        ))
    });
    told.map(Doubt::said)
}

/// Losses somebody accepted, and the place of the record that says so.
fn accepted(written: &[Written]) -> HashMap<&Loss, usize> {
    let mut accepted = HashMap::new();
    for (place, w) in written.iter().enumerate() {
        if let (Record::Accepted(record), true) = (&w.record, w.trust.sound) {
            for loss in &record.losses {
                accepted.entry(loss).or_insert(place);
            }
        }
    }
    accepted
}

/// Looks recorded after others that they tell to have come before, and that are worse: what was
/// seen later counts, and that is said until the item is looked at again.
fn told_late(history: &History) -> Vec<Doubt> {
    let places = history.walks.iter().flat_map(|w| &w.looks).map(|t| t.place);
    if places.is_sorted() {
        return Vec::new();
    }
    let mut by_item: BTreeMap<(&str, &str), Vec<(&TimedLook, Grade)>> = BTreeMap::new();
    for walk in &history.walks {
        for timed in &walk.looks {
            if let Some(grade) = timed.look.grade() {
                let key = (timed.look.item.as_str(), walk.machine.as_str());
                by_item.entry(key).or_default().push((timed, grade));
            }
        }
    }
    let mut doubts = Vec::new();
    for ((item, _), mut looks) in by_item {
        looks.sort_by_key(|(timed, _)| timed.when());
        // From the newest back: the best rung seen after, and the last place it was recorded at.
        let mut after: Option<(Grade, usize)> = None;
        for (timed, grade) in looks.into_iter().rev() {
            if after.is_some_and(|(best, last)| last < timed.place && best < grade) {
                doubts.push(Doubt::said(NotCounted {
                    item: Some(item.to_owned()),
                    ..NotCounted::because(format!(
                        "{grade} on {}, told only after it was seen better at a later time: what was seen later counts",
                        timed.at.format("%Y-%m-%d %H:%M")
                    ))
                }));
            }
            after = Some(after.map_or((grade, timed.place), |(best, last)| {
                (best.min(grade), last.max(timed.place))
            }));
        }
    }
    doubts
}

//! What to do before leaving as it is said, in the same words on every surface.

use super::costs::money;
use super::job_spare::JobSpare;
use super::leaving::{Asked, JobRow, Leaving, Must, MustRow, Waits};
use super::leaving_pieces::Pieces;
use super::leaving_words::{share_in_words, time_in_words};
use super::yard::{For, YardRow};

/// Said before anything is done with one's hands.
pub const FIRST: &str = "Key out, engine still and cold, each seacock known, before hands go in. The maker's handbook outranks all of this.";

/// Where the order by gain for minutes takes away less than the choice by so much, it is said.
const WORTH_SAYING: f64 = 0.01;

/// What stands at a job that the pace of wear decides on.
const EITHER: &str =
    "Either will do: the choice changes where things wear twice or half as fast as judged.";

/// What stands at a job that is not chosen where work takes longer.
const DROPS_OUT: &str = "Drops out where work takes half as long again.";

/// What stands at a job whose time comes on the way.
const ENDS: &str = "it ought to be mended before this passage is over";

/// Said after what needs her out of the water.
const LETTER: &str = "As a letter, and the same list back: handlamp yard.";

/// What stands behind the owner's own minutes.
const OWN: &str = "by your own figure";

/// Why a job waits of which there are no minutes.
const NO_MINUTES: &str = "nobody has said how long it takes: handlamp minutes ITEM TIME";

/// One of the groups.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Done whatever it takes.
    Must,
    /// Chosen in what there is.
    WorthDoing,
    /// Not done, though its time comes on the way.
    Left,
    /// Done or looked at while she is out of the water.
    Ashore,
    /// Not done.
    CanWait,
}

impl Group {
    /// The heading its rows stand under.
    pub const fn title(self) -> &'static str {
        match self {
            Group::Must => "Must be done before she leaves",
            Group::WorthDoing => "Worth doing",
            Group::Left => "Left, though it ought to be mended before this passage is over",
            Group::Ashore => "What needs her out of the water",
            Group::CanWait => "Can wait, and what that leaves",
        }
    }
}

/// A row as it is said.
#[derive(Clone, Debug, PartialEq)]
pub struct SaidRow {
    /// The item, by its id in the catalogue; none for several in one row.
    pub item: Option<String>,
    /// Machine id; none for items the boat has once.
    pub machine: Option<String>,
    /// What it is and why it stands here.
    pub head: Pieces,
    /// What can hurt someone there; said before what is done.
    pub cautions: Vec<String>,
    /// What to do, minutes, hands, parts, doubts.
    pub lines: Vec<Pieces>,
    /// How it would be done, where it is not done now.
    pub more: Vec<Pieces>,
    /// Minutes, where somebody has said.
    pub minutes: Option<u32>,
    /// They are the owner's own.
    pub own_minutes: bool,
    /// Id of the task whose work it is; none for the remedy of the item.
    pub task: Option<String>,
    /// It is work whose minutes the owner can say: no look, and nothing that is done along with another.
    pub is_work: bool,
    /// It is done whatever it gains.
    pub is_must: bool,
    /// It was asked for.
    pub asked_for: bool,
    /// It was left out.
    pub left_out: bool,
}

impl SaidRow {
    /// Words alone, of which nothing can be taken in or left out.
    fn told(head: Pieces) -> SaidRow {
        SaidRow {
            item: None,
            machine: None,
            head,
            cautions: Vec::new(),
            lines: Vec::new(),
            more: Vec::new(),
            minutes: None,
            own_minutes: false,
            task: None,
            is_work: false,
            is_must: false,
            asked_for: false,
            left_out: false,
        }
    }
}

/// A group with its rows.
#[derive(Clone, Debug, PartialEq)]
pub struct SaidGroup {
    /// Which.
    pub group: Group,
    /// Said where there is no row.
    pub nothing: Option<&'static str>,
    /// Its rows.
    pub rows: Vec<SaidRow>,
    /// Said after them, a sentence each.
    pub after: Vec<String>,
}

impl Leaving {
    /// All groups in order; with the machine at each row where there are several.
    pub fn said(&self, asked: &Asked, several: bool) -> Vec<SaidGroup> {
        let (left, waits): (Vec<&JobRow>, Vec<&JobRow>) =
            self.can_wait.iter().partition(|row| row.ends_on_the_way);
        let of_left = |row: &JobRow| row.left(asked, several);
        let of = |group, rows: Vec<SaidRow>, nothing, after| SaidGroup {
            group,
            nothing: rows.is_empty().then_some(nothing),
            rows,
            after,
        };
        let must = self.must.iter().map(|row| row.said(several)).collect();
        let worth = self.worth_doing.iter();
        let worth = worth.map(|row| self.worth(row, several)).collect();
        let left: Vec<SaidRow> = left.into_iter().map(of_left).collect();
        let ages = self.ages_said(several);
        let waits = waits.into_iter().map(of_left).chain(ages).collect();
        let ashore = self.ashore.iter().map(|row| row.said(several));
        let ashore: Vec<SaidRow> = ashore.collect();
        let mut all = vec![
            of(
                Group::Must,
                must,
                "Nothing on record must be done first.",
                self.short(),
            ),
            of(
                Group::WorthDoing,
                worth,
                "Nothing more fits, or gains anything.",
                self.sums(),
            ),
        ];
        if asked.ashore_days.is_some() {
            all.push(of(
                Group::Ashore,
                ashore,
                "Nothing on record needs her out of the water.",
                vec![LETTER.to_owned()],
            ));
        }
        if !left.is_empty() {
            all.push(of(Group::Left, left, "", Vec::new()));
        }
        all.push(of(Group::CanWait, waits, "Nothing on record.", Vec::new()));
        all
    }

    /// By how much what must be done goes beyond what there is.
    fn short(&self) -> Vec<String> {
        let minutes = Some(self.minutes.short).filter(|short| *short > 0.0);
        let minutes = minutes.map(|short| {
            format!(
                "This alone takes {} more than there is: she does not leave before it is done.",
                time_in_words(short as u32)
            )
        });
        let sum = self.money.map(|m| m.short).filter(|short| *short > 0.0);
        let currency = self.in_currency();
        let sum = sum.map(|short| {
            format!(
                "This alone costs {}{currency} more than there is.",
                money(short)
            )
        });
        minutes.into_iter().chain(sum).collect()
    }

    fn worth(&self, row: &JobRow, several: bool) -> SaidRow {
        let mut takes = row.takes();
        if let Some(sum) = row.money {
            takes = takes.alike(", ", format!("{}{}", money(sum), self.in_currency()));
        }
        let mut lines = vec![does(&row.action), takes];
        lines.extend(parts(&row.parts, row.spare.as_ref()));
        lines.extend(row.either.then(|| Pieces::of(EITHER)));
        lines.extend((!row.still_if_longer).then(|| Pieces::of(DROPS_OUT)));
        let head = row
            .named(several)
            .then(": ", effect(row))
            .then(", ", risk(row))
            .alike(" ", &row.code)
            .and("; ", row.ends_on_the_way.then_some(ENDS));
        SaidRow {
            lines,
            ..row.said(head)
        }
    }

    /// What it comes to, and how much it takes away.
    fn sums(&self) -> Vec<String> {
        let (of, time) = (&self.minutes, |minutes: f64| time_in_words(minutes as u32));
        let given = of.given.map(|given| format!(", of {}", time(given)));
        let mut told = vec![format!(
            "What must be done takes about {}, what is worth doing {}{}.",
            time(of.must),
            time(of.chosen),
            given.unwrap_or_default()
        )];
        if let Some(of) = &self.money {
            let currency = self.in_currency();
            let given = of.given.map(|g| format!(", of {}{currency}", money(g)));
            told.push(format!(
                "As far as estimates go that costs {}{currency} and {}{currency}{}.",
                money(of.must),
                money(of.chosen),
                given.unwrap_or_default()
            ));
        }
        let Some(takes) = &self.takes_away else {
            return told;
        };
        if !self.must.is_empty() {
            told.push("Once what must be done is done:".to_owned());
        }
        told.push(takes.words.clone());
        told.push(self.still_stands());
        if takes.share - takes.by_order > WORTH_SAYING {
            told.push(format!(
                "Taking simply what gains most for its minutes, one after the other, would take away about {}: the better choice fits the time and the money as a whole.",
                share_in_words(takes.by_order)
            ));
        }
        told.push(
            "Trouble here is what would be grave in these waters, or would leave her without drive; how fast things wear is judgement where she has taught nothing."
                .to_owned(),
        );
        if !takes.proved {
            told.push(
                "It is the best choice found; that there is no better one is not proved."
                    .to_owned(),
            );
        }
        told
    }

    /// How much of the choice stands where all work takes half as long again.
    fn still_stands(&self) -> String {
        let all = self.worth_doing.len();
        match self
            .worth_doing
            .iter()
            .filter(|row| row.still_if_longer)
            .count()
        {
            0 => "Where all work takes half as long again, none of these still stands.".to_owned(),
            still if still == all => {
                "Where all work takes half as long again, the choice is the same.".to_owned()
            }
            still => format!(
                "Where all work takes half as long again, {still} of these {all} still stand."
            ),
        }
    }

    /// What nobody knows the age of, in one row.
    fn ages_said(&self, several: bool) -> Option<SaidRow> {
        let mut head = Pieces::of("Age not known, and can be mended at sea");
        for (n, row) in self.ages.iter().enumerate() {
            let signs = if n == 0 { ": " } else { "; " };
            let machine = row.machine.as_deref().filter(|_| several);
            head = head.with(titled(signs, &row.title, machine));
        }
        (!self.ages.is_empty()).then(|| SaidRow::told(head))
    }

    fn in_currency(&self) -> String {
        let currency = self.currency.as_ref().map(|c| format!(" {c}"));
        currency.unwrap_or_default()
    }
}

impl MustRow {
    fn said(&self, several: bool) -> SaidRow {
        let hands = self.who.filter(|_| self.other_hands);
        let takes = took(self.minutes, self.opens.as_deref(), self.minutes_learned)
            .and(" ", self.minutes_told.then_some(OWN))
            .and(", ", self.who.map(|who| who.as_str()))
            .and(", ", hands.map(|_| "not by the hands there are"));
        let mut lines = vec![does(&self.action), takes];
        lines.extend(parts(&self.parts, self.spare.as_ref()));
        let machine = self.machine.as_deref().filter(|_| several);
        let head = titled("", &self.title, machine).with(self.why_first());
        SaidRow {
            item: Some(self.item.clone()),
            machine: self.machine.clone(),
            cautions: self.cautions.clone(),
            lines,
            minutes: self.minutes,
            own_minutes: self.minutes_told,
            task: self.task.clone(),
            is_work: self.who.is_some() && self.minutes != Some(0),
            is_must: true,
            asked_for: self.because == Must::Asked,
            ..SaidRow::told(head)
        }
    }
}

impl MustRow {
    /// Why it comes first, its parts apart where they are known.
    fn why_first(&self) -> Pieces {
        match self
            .why
            .split_once(": ")
            .filter(|_| self.because == Must::Stop)
        {
            Some((order, rule)) => Pieces::default().then(": ", order).then(": ", rule),
            None => Pieces::default().then(": ", &self.why),
        }
    }
}

impl YardRow {
    /// A row of the list for the yard.
    fn said(&self, several: bool) -> SaidRow {
        let machine = self.machine.as_deref().filter(|_| several);
        let why = Some(self.why.as_str()).filter(|why| !why.is_empty());
        let action = match self.sort {
            For::Mend | For::Task => does(&self.action),
            For::Confirm | For::Look => Pieces::of("Look:").then(" ", &self.action),
        };
        // It stands elsewhere too where it can be taken in or left out.
        SaidRow {
            lines: std::iter::once(action)
                .chain(parts(&self.parts, None))
                .collect(),
            ..SaidRow::told(titled("", &self.title, machine).and(": ", why))
        }
    }
}

impl JobRow {
    /// A job that is not done now, and what that leaves.
    fn left(&self, asked: &Asked, several: bool) -> SaidRow {
        let until = self.deferred.as_ref();
        let until = until.map(|until| {
            Pieces::of("You let it wait until")
                .alike(" ", until)
                .alike("", ".")
        });
        let either = self.either.then(|| Pieces::of(EITHER));
        let head = self
            .named(several)
            .then(": ", "leaves")
            .then(" ", effect(self))
            .then(", ", risk(self))
            .alike(" ", &self.code)
            .with(self.why_it_waits(asked));
        SaidRow {
            lines: until.into_iter().chain(either).collect(),
            more: self.work_in_words(),
            left_out: self.waits == Some(Waits::LeftOut),
            ..self.said(head)
        }
    }

    /// The job under a head.
    fn said(&self, head: Pieces) -> SaidRow {
        SaidRow {
            item: Some(self.item.clone()),
            machine: self.machine.clone(),
            cautions: self.cautions.clone(),
            minutes: self.minutes,
            own_minutes: self.minutes_told,
            is_work: true,
            ..SaidRow::told(head)
        }
    }

    /// What it is, and how it stands.
    fn named(&self, several: bool) -> Pieces {
        let machine = self.machine.as_deref().filter(|_| several);
        titled("", &self.title, machine).then(", ", self.grade.as_str())
    }

    fn why_it_waits(&self, asked: &Asked) -> Pieces {
        let limited = asked.work.is_some() || asked.spend.is_some();
        let why = match self.waits {
            Some(Waits::Hands) => {
                return Pieces::default()
                    .then("; ", "it is for the")
                    .then(" ", self.who.as_str());
            }
            Some(Waits::NoMinutes) => NO_MINUTES,
            Some(Waits::LeftOut) => "you left it out",
            Some(Waits::GainsNothing) => {
                "mending it takes nothing away of what counts as trouble here"
            }
            _ if limited => "other work is worth more in what there is",
            _ => "other work is worth more in the hours of those hands",
        };
        Pieces::default().then("; ", why)
    }

    /// How long it takes, and whom.
    fn takes(&self) -> Pieces {
        took(self.minutes, self.opens.as_deref(), self.minutes_learned)
            .and(" ", self.minutes_told.then_some(OWN))
            .then(", ", self.who.as_str())
    }

    /// What is done, how long it takes, by whom and with what.
    fn work_in_words(&self) -> Vec<Pieces> {
        let work = [does(&self.action), self.takes()];
        let parts = parts(&self.parts, self.spare.as_ref());
        work.into_iter().chain(parts).collect()
    }
}

fn effect(row: &JobRow) -> String {
    row.effect.as_str().replace('-', " ")
}

fn risk(row: &JobRow) -> &'static str {
    row.risk.as_str()
}

fn does(action: &str) -> Pieces {
    Pieces::of("Do:").then(" ", action)
}

/// What it is, with its machine where that is to be said.
fn titled(signs: &'static str, title: &str, machine: Option<&str>) -> Pieces {
    let title = Pieces::default().then(signs, title);
    match machine {
        Some(machine) => title.name(" (", machine).alike("", ")"),
        None => title,
    }
}

/// What it is, with its machine where there are several.
pub fn named(title: &str, machine: Option<&str>, several: bool) -> String {
    match machine.filter(|_| several) {
        Some(machine) => format!("{title} ({machine})"),
        None => title.to_owned(),
    }
}

/// How long it takes.
fn took(minutes: Option<u32>, opens: Option<&str>, learned: Option<usize>) -> Pieces {
    if let Some((minutes, times)) = minutes.zip(learned) {
        let took = Pieces::of("Took").then(" ", time_in_words(minutes));
        return match times {
            1 => took.then(", ", "once"),
            2 => took.then(", ", "twice"),
            times => took.alike(", ", times.to_string()).then(" ", "times"),
        };
    }
    let took = match minutes {
        None => Pieces::of("How long it takes nobody has said"),
        Some(0) => return Pieces::of("Done with what stands above"),
        Some(minutes) => Pieces::of("About").then(" ", time_in_words(minutes)),
    };
    match opens {
        Some(opens) => took
            .then(", ", "and once for all behind it:")
            .then(" ", opens),
        None => took,
    }
}

/// What it takes, and whether the spare for it is aboard.
fn parts(parts: &[String], spare: Option<&JobSpare>) -> impl Iterator<Item = Pieces> {
    let begun =
        |all: Pieces, (n, part): (usize, &String)| all.then(if n == 0 { " " } else { "; " }, part);
    let listed = parts.iter().enumerate().fold(Pieces::of("Parts:"), begun);
    let spare = spare.map(|spare| Pieces::of(format!("{}.", spare.words)));
    (!parts.is_empty())
        .then_some(listed)
        .into_iter()
        .chain(spare)
}

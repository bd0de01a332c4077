//! What to do before leaving as it is said, in the same words on every surface.

use super::costs::money;
use super::job_spare::JobSpare;
use super::leaving::{Asked, JobRow, Leaving, MustRow, Waits};
use super::leaving_words::{share_in_words, time_in_words};

/// Said before anything is done with one's hands.
pub const FIRST: &str = "Key out, engine still and cold, each seacock known, before hands go in. The maker's handbook outranks all of this.";

/// Where the order by gain for minutes takes away less than the choice by so much, it is said.
const WORTH_SAYING: f64 = 0.01;

/// What stands at a job that the pace of wear decides on.
const EITHER: &str =
    "Either will do: the choice changes where things wear twice or half as fast as judged.";

/// One of the groups.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Done whatever it takes.
    Must,
    /// Chosen in what there is.
    WorthDoing,
    /// Not done, though its time comes on the way.
    Left,
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
    pub head: String,
    /// What can hurt someone there; said before the rest.
    pub cautions: Vec<String>,
    /// What to do, minutes, hands, parts, doubts.
    pub lines: Vec<String>,
    /// How it would be done, where it is not done now: cautions first.
    pub more: Vec<String>,
    /// Minutes, where somebody has said.
    pub minutes: Option<u32>,
    /// It is done whatever it gains.
    pub is_must: bool,
    /// It was asked for.
    pub asked_for: bool,
    /// It was left out.
    pub left_out: bool,
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
    /// Said after them.
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
        let title = named(&row.title, row.machine.as_deref(), several);
        let took = took(row.minutes, row.opens.as_deref());
        let told = match row.minutes_told {
            true => " by your own figure",
            false => "",
        };
        let currency = self.in_currency();
        let cost = row.money.map(|m| format!(", {}{currency}", money(m)));
        let mut lines = vec![
            format!("Do: {}", row.action),
            format!("{took}{told}, {}{}", row.who, cost.unwrap_or_default()),
        ];
        lines.extend(parts(&row.parts, row.spare.as_ref()));
        lines.extend(row.either.then(|| EITHER.to_owned()));
        let drops = "Drops out where work takes half as long again.";
        lines.extend((!row.still_if_longer).then(|| drops.to_owned()));
        SaidRow {
            item: Some(row.item.clone()),
            machine: row.machine.clone(),
            head: format!("{title}, {}: {}", row.grade, row.takes_off()),
            cautions: row.cautions.clone(),
            lines,
            more: Vec::new(),
            minutes: row.minutes,
            is_must: false,
            asked_for: false,
            left_out: false,
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

    /// What nobody knows the age of, in one row.
    fn ages_said(&self, several: bool) -> Option<SaidRow> {
        let titles = self.ages.iter();
        let titles: Vec<String> = titles
            .map(|row| named(&row.title, row.machine.as_deref(), several))
            .collect();
        (!titles.is_empty()).then(|| SaidRow {
            item: None,
            machine: None,
            head: format!(
                "Age not known, and can be mended at sea: {}",
                titles.join("; ")
            ),
            cautions: Vec::new(),
            lines: Vec::new(),
            more: Vec::new(),
            minutes: None,
            is_must: false,
            asked_for: false,
            left_out: false,
        })
    }

    fn in_currency(&self) -> String {
        let currency = self.currency.as_ref().map(|c| format!(" {c}"));
        currency.unwrap_or_default()
    }
}

impl MustRow {
    fn said(&self, several: bool) -> SaidRow {
        let hands = match self.other_hands {
            true => ", not by the hands there are",
            false => "",
        };
        let who = self.who.map(|who| format!(", {who}{hands}"));
        let took = took(self.minutes, self.opens.as_deref());
        let title = named(&self.title, self.machine.as_deref(), several);
        let mut lines = vec![
            format!("Do: {}", self.action),
            format!("{took}{}", who.unwrap_or_default()),
        ];
        lines.extend(parts(&self.parts, self.spare.as_ref()));
        SaidRow {
            item: Some(self.item.clone()),
            machine: self.machine.clone(),
            head: format!("{title}: {}", self.why),
            cautions: self.cautions.clone(),
            lines,
            more: Vec::new(),
            minutes: self.minutes,
            is_must: true,
            asked_for: self.because == super::leaving::Must::Asked,
            left_out: false,
        }
    }
}

impl JobRow {
    /// A job that is not done now, and what that leaves.
    fn left(&self, asked: &Asked, several: bool) -> SaidRow {
        let title = named(&self.title, self.machine.as_deref(), several);
        let until = self.deferred.as_ref();
        let until = until.map(|until| format!("You let it wait until {until}."));
        let either = self.either.then(|| EITHER.to_owned());
        SaidRow {
            item: Some(self.item.clone()),
            machine: self.machine.clone(),
            head: format!(
                "{title}, {}: leaves {}, {} {}; {}",
                self.grade,
                self.effect.as_str().replace('-', " "),
                self.risk,
                self.code,
                self.why_it_waits(asked)
            ),
            cautions: Vec::new(),
            lines: until.into_iter().chain(either).collect(),
            more: self.work_in_words(),
            minutes: self.minutes,
            is_must: false,
            asked_for: false,
            left_out: self.waits == Some(Waits::LeftOut),
        }
    }

    /// Why it is worth its minutes.
    fn takes_off(&self) -> String {
        let effect = self.effect.as_str().replace('-', " ");
        let ends = match self.ends_on_the_way {
            true => "; it ought to be mended before this passage is over",
            false => "",
        };
        format!("{effect}, {} {}{ends}", self.risk, self.code)
    }

    fn why_it_waits(&self, asked: &Asked) -> String {
        let limited = asked.work.is_some() || asked.spend.is_some();
        match self.waits {
            Some(Waits::Hands) => format!("it is for the {}", self.who),
            Some(Waits::NoMinutes) => {
                "nobody has said how long it takes: handlamp cost ITEM --labour".to_owned()
            }
            Some(Waits::LeftOut) => "you left it out".to_owned(),
            Some(Waits::GainsNothing) => {
                "mending it takes nothing away of what counts as trouble here".to_owned()
            }
            _ if limited => "other work is worth more in what there is".to_owned(),
            _ => "other work is worth more in the hours of those hands".to_owned(),
        }
    }

    /// Cautions, what is done, how long it takes, by whom and with what.
    fn work_in_words(&self) -> Vec<String> {
        let took = took(self.minutes, self.opens.as_deref());
        let cautions = self.cautions.iter().map(|caution| format!("! {caution}"));
        let work = [
            format!("Do: {}", self.action),
            format!("{took}, {}", self.who),
        ];
        let parts = parts(&self.parts, self.spare.as_ref());
        cautions.chain(work).chain(parts).collect()
    }
}

/// What it is, with its machine where there are several.
pub fn named(title: &str, machine: Option<&str>, several: bool) -> String {
    match machine.filter(|_| several) {
        Some(machine) => format!("{title} ({machine})"),
        None => title.to_owned(),
    }
}

fn took(minutes: Option<u32>, opens: Option<&str>) -> String {
    let minutes = match minutes {
        None => "How long it takes nobody has said".to_owned(),
        Some(0) => return "Done with what stands above".to_owned(),
        Some(minutes) => format!("About {}", time_in_words(minutes)),
    };
    match opens {
        Some(opens) => format!("{minutes}, and once for all behind it: {opens}"),
        None => minutes,
    }
}

/// What it takes, and whether the spare for it is aboard.
fn parts(parts: &[String], spare: Option<&JobSpare>) -> impl Iterator<Item = String> {
    let parts = (!parts.is_empty()).then(|| format!("Parts: {}", parts.join("; ")));
    let spare = spare.map(|spare| format!("{}.", spare.words));
    parts.into_iter().chain(spare)
}

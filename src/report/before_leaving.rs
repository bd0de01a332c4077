//! What to do before leaving under a plan, as a section of a report of the logbook.

use std::borrow::Cow;

use super::blocks::{Block, Column, Section, Table};
use super::content::Report;
use super::gather::Source;
use super::leaving_part::BeforeLeavingPart;
use super::words::{Language, Said, Words, told};
use crate::defects::NamedPlan;
use crate::defects::leaving_pieces::{Piece, Pieces};
use crate::defects::leaving_said::{FIRST, Group, SaidRow};
use crate::defects::leaving_words::time_in_words;
use crate::defects::list::Stretch;
use crate::defects::plan::Hand;
use crate::service::leaving::coming;

impl BeforeLeavingPart {
    /// Under a plan, of the boat as she stands.
    ///
    /// # Errors
    /// One sentence: estimates in several currencies where the plan names a sum.
    pub fn of(
        source: &Source<'_>,
        plan: &NamedPlan,
        language: Language,
    ) -> Result<BeforeLeavingPart, String> {
        let condition = source.condition(source.history, source.now);
        let scenario = condition.under(plan, None);
        let asked = plan.asked(scenario, None);
        let coming = coming(&condition, source.history, None);
        let outlook = condition.outlook(source.history, (scenario, None), coming);
        let list = condition.leaving(source.history, &asked, &outlook)?;
        let exposure = scenario.exposure;
        Ok(BeforeLeavingPart {
            groups: list.said(&asked, condition.boat.machines.len() > 1),
            plan: plan.clone(),
            exposure: Stretch {
                hours: exposure.hours,
                days: exposure.days,
                wear_hours: exposure.wear(0.0),
            },
            waters: scenario.waters,
            ahead: language.words().english(scenario.in_words()),
            list,
        })
    }

    /// Its rows for a spreadsheet: the item, the machine, under which heading, and all that is said.
    pub(super) fn rows(&self, w: Words) -> Vec<[String; 4]> {
        let mut rows = vec![[
            String::new(),
            String::new(),
            String::new(),
            about(w, self).to_string(),
        ]];
        let said = |rows: &mut Vec<[String; 4]>, title: &str, of: (&str, &str), text: String| {
            rows.push([of.0.to_owned(), of.1.to_owned(), title.to_owned(), text]);
        };
        for group in &self.groups {
            let title = titled(w, group.group);
            for row in &group.rows {
                let [what, mind, takes] = cells(w, row);
                let all = [mind, what, takes];
                let all = all.into_iter().filter(|cell| !cell.is_empty());
                let of = (
                    row.item.as_deref().unwrap_or_default(),
                    row.machine.as_deref().unwrap_or_default(),
                );
                said(&mut rows, &title, of, Said::join(all, " ").to_string());
            }
            for told in group
                .nothing
                .into_iter()
                .chain(group.after.iter().map(|t| &**t))
            {
                said(&mut rows, &title, ("", ""), w.english(told).to_string());
            }
        }
        let title = w.say("leaving-not-in");
        for told in &self.list.not_here {
            said(&mut rows, &title, ("", ""), w.english(&**told).to_string());
        }
        rows
    }
}

/// The section; none where no plan was asked for.
pub(super) fn section(report: &Report) -> Option<Section<'_>> {
    let (w, part) = (report.language.words(), report.before_leaving.as_ref()?);
    let mut blocks = vec![Block::Said(about(w, part)), Block::Said(w.english(FIRST))];
    for group in &part.groups {
        blocks.push(Block::Under(titled(w, group.group).into()));
        blocks.extend(group.nothing.map(|told| Block::Said(w.english(told))));
        if !group.rows.is_empty() {
            let head = ["col-leaving-what", "col-leaving-mind", "col-leaving-takes"];
            let rows = group.rows.iter().map(|row| cells(w, row).into());
            blocks.push(Block::Table(Table::new(
                w,
                &head.map(Column::kept),
                rows.collect(),
            )));
        }
        let after = group.after.iter();
        blocks.extend(after.map(|told| Block::Said(w.english(&**told))));
    }
    blocks.push(Block::Under(w.say("leaving-not-in").into()));
    let not_here = part.list.not_here.iter();
    blocks.push(Block::Points(
        not_here.map(|told| w.english(&**told)).collect(),
    ));
    Some(Section::new(w, "section-leaving", blocks))
}

/// The heading of a group.
fn titled(w: Words, group: Group) -> Cow<'static, str> {
    w.say(match group {
        Group::Must => "composed-leaving-must",
        Group::WorthDoing => "composed-leaving-worth",
        Group::Left => "composed-leaving-left",
        Group::Ashore => "composed-leaving-ashore",
        Group::CanWait => "composed-leaving-wait",
    })
}

/// The plan, and what there is before it.
fn about(w: Words, part: &BeforeLeavingPart) -> Said {
    let plan = &part.plan;
    let mut said = told!(
        w,
        "leaving-plan",
        plan = Said::people(&plan.name),
        ahead = &part.ahead
    );
    let time = |minutes| w.english(time_in_words(minutes));
    let hand = |hand: &Hand| {
        let mut said = Said::from(w.word(hand.who));
        if let Some(minutes) = hand.minutes {
            said.push(" ");
            said.push(time(minutes));
        }
        said
    };
    let work = plan
        .work
        .map(|work| told!(w, "leaving-work", time = time(work)));
    let spend = plan
        .spend
        .map(|sum| told!(w, "leaving-spend", sum = w.money(sum)));
    let hands = Said::join(plan.hands.iter().map(hand), ", ");
    let hands = (!plan.hands.is_empty()).then(|| told!(w, "leaving-hands", hands = hands));
    let ashore = plan
        .ashore_days
        .map(|days| told!(w, "leaving-ashore", days = w.figure(days)));
    let means: Vec<Said> = [work, spend, hands, ashore].into_iter().flatten().collect();
    if !means.is_empty() {
        said.push(" ");
        said.push(told!(w, "leaving-before", means = Said::join(means, ", ")));
        said.push(".");
    }
    said
}

/// What it is and why it stands there; what can hurt someone; what it takes.
fn cells(w: Words, row: &SaidRow) -> [Said; 3] {
    let sentence = |pieces: &Pieces| {
        let said = said(w, pieces);
        match said.ends_with('.') {
            true => said,
            false => said.sentence(),
        }
    };
    let cautions = row.cautions.iter().map(|caution| w.english(&**caution));
    let lines = row.lines.iter().chain(&row.more);
    [
        said(w, &row.head),
        Said::join(cautions, " "),
        Said::join(lines.map(sentence), " "),
    ]
}

/// A sentence, piece by piece.
fn said(w: Words, pieces: &Pieces) -> Said {
    let mut said = Said::default();
    for (signs, piece) in pieces.each() {
        said.push(signs);
        said.push(match piece {
            Piece::Words(text) => w.phrase(text),
            // A full stop is no decimal one.
            Piece::Alike(code) if code.bytes().any(|b| b.is_ascii_digit()) => {
                Said::from(w.figures(code.clone()))
            }
            Piece::Alike(signs) => Said::from(signs.as_str()),
            Piece::Name(name) => Said::people(name),
        });
    }
    said
}

//! What a catalogue file or a checklist must keep to beyond its shape.

use std::collections::{HashMap, HashSet};

use unicode_normalization::UnicodeNormalization;

use super::catalogue::{Catalogue, CatalogueFile};
use super::faults::{Faults, blank, id, once, unknown};
use super::item::{Band, Effect, Item, Marks, Reading};
use super::leak;
use super::list::{Checklist, Closing, FINDING};
use super::season_step;
use super::wording::{is_hidden_control, visible};
use super::words::{Chore, Grade, Kind, Scope};
use crate::boat::Role;

/// Rules of a catalogue file.
pub(super) fn catalogue(file: &CatalogueFile, known: &Catalogue, faults: &mut Faults) {
    let mut stations = HashSet::new();
    for (n, station) in file.stations.iter().enumerate() {
        let at = |field: &str| format!("stations[{n}].{field}");
        id(&station.id, &at("id"), faults);
        blank(&station.title, &at("title"), faults);
        if let Some(after) = &station.after
            && known.station(after).is_none()
            && !stations.contains(after.as_str())
        {
            faults.add(&at("after"), || {
                format!(
                    "'{}' is no station known here or given before",
                    visible(after)
                )
            });
        }
        once(
            &mut stations,
            station.id.as_str(),
            &at("id"),
            "station",
            faults,
        );
    }
    let mut items = HashSet::new();
    let mut titles = known_titles(known);
    for (n, item) in file.items.iter().enumerate() {
        let base = format!("items[{n}]");
        let at = |field: &str| format!("{base}.{field}");
        id(&item.id, &at("id"), faults);
        once(&mut items, item.id.as_str(), &at("id"), "item", faults);
        if let Some(replaced) = known.item(&item.id).filter(|r| r.scope != item.scope) {
            faults.add(&at("scope"), || {
                format!(
                    "the item it replaces is one for the {}, and whose it is does not change; give it an id of its own",
                    replaced.scope
                )
            });
        }
        if known.station(&item.station).is_none() && !stations.contains(item.station.as_str()) {
            let own = stations.iter().copied();
            unknown(
                "station",
                &item.station,
                station_ids(known).chain(own),
                &at("station"),
                faults,
            );
        }
        if let Some(was) = &item.split_from {
            let scope = known.item(was).map(|i| i.scope);
            let own = file.items.iter().find(|i| i.id == *was).map(|i| i.scope);
            match own.or(scope) {
                None => unknown(
                    "item",
                    was,
                    known.items().iter().map(|i| i.id.as_str()),
                    &at("split_from"),
                    faults,
                ),
                Some(scope) => faults.refuse(
                    scope != item.scope,
                    &at("split_from"),
                    "both are of the machine, or both of the boat",
                ),
            }
        }
        item_rules(item, &base, faults);
        match titles.insert(seen(&item.title), (&item.id, &item.title)) {
            Some((id, title)) if *title != item.title && *id != item.id => {
                faults.add(&at("title"), || {
                    format!("the title looks just like that of '{}'", visible(id))
                });
            }
            _ => {}
        }
    }
}

/// Rules of a checklist.
pub(super) fn checklist(list: &Checklist, known: &Catalogue, faults: &mut Faults) {
    checklist_alone(list, faults);
    for (n, phase) in list.phases.iter().enumerate() {
        for (s, step) in phase.steps.iter().enumerate() {
            for (p, pass) in step.pass.iter().enumerate() {
                let reads = known.item(&pass.item).is_some_and(|i| i.reading.is_some());
                let at = format!("phases[{n}].steps[{s}].pass[{p}].item");
                faults.refuse(!reads, &at, "no item known here with a reading");
            }
        }
        for (r, row) in phase.rows.iter().enumerate() {
            let base = format!("phases[{n}].rows[{r}]");
            if known.station(&row.station).is_none() {
                unknown(
                    "station",
                    &row.station,
                    station_ids(known),
                    &format!("{base}.station"),
                    faults,
                );
            }
            for (i, item) in row.items.iter().enumerate() {
                if known.item(item).is_none() {
                    unknown(
                        "item",
                        item,
                        known.items().iter().map(|i| i.id.as_str()),
                        &format!("{base}.items[{i}]"),
                        faults,
                    );
                }
            }
        }
    }
}

/// Rules of a checklist that ask nothing of what it names.
pub(super) fn checklist_alone(list: &Checklist, faults: &mut Faults) {
    id(&list.id, "id", faults);
    blank(&list.title, "title", faults);
    blank(&list.purpose, "purpose", faults);
    faults.refuse(
        list.phases.is_empty(),
        "phases",
        "a checklist needs a phase",
    );
    let is_finding = list.closes_with == Closing::Finding;
    let message = "the checklist 'finding' alone closes with finding";
    faults.refuse(is_finding && list.id != FINDING, "closes_with", message);
    let mut phases = HashSet::new();
    for (n, phase) in list.phases.iter().enumerate() {
        let base = format!("phases[{n}]");
        let at = |field: &str| format!("{base}.{field}");
        id(&phase.id, &at("id"), faults);
        once(&mut phases, phase.id.as_str(), &at("id"), "phase", faults);
        blank(&phase.title, &at("title"), faults);
        for (field, minutes) in [("minutes", phase.minutes), ("within", phase.within)] {
            let timed = minutes.is_none_or(|m| m.is_finite() && m > 0.0 && m <= 24.0 * 60.0);
            let message = "minutes must be above 0 and at most a day";
            faults.refuse(!timed, &at(field), message);
        }
        let mut roles = HashSet::new();
        for (n, own) in phase.before_for.iter().enumerate() {
            let at = |field: &str| at(&format!("before_for[{n}].{field}"));
            blank(&own.before, &at("before"), faults);
            roles_once(&mut roles, &own.roles, &at("roles"), faults);
        }
        if let Some(since) = &phase.since {
            let earlier = list.phases[..n].iter().any(|p| p.id == *since);
            let message = "time counts from an earlier phase of the checklist";
            faults.refuse(!earlier, &at("since"), message);
            let timed = phase.minutes.is_some() || phase.within.is_some();
            faults.refuse(!timed, &at("since"), "nothing is timed from there");
        }
        for (n, step) in phase.steps.iter().enumerate() {
            for (field, why) in step.faults() {
                faults.add(&at(&format!("steps[{n}].{field}")), || why.to_owned());
            }
        }
        let bare = phase.rows.is_empty() && !is_finding;
        faults.refuse(bare, &at("rows"), "a phase needs a row");
        let asks = is_finding && !phase.rows.is_empty();
        faults.refuse(asks, &at("rows"), "a finding asks nothing by itself");
        let mut items = HashSet::new();
        for (r, row) in phase.rows.iter().enumerate() {
            let at = |field: &str| format!("{base}.rows[{r}].{field}");
            if row.items.len() != 1 {
                blank(&row.title, &at("title"), faults);
            }
            faults.refuse(row.items.is_empty(), &at("items"), "a row needs an item");
            if !row.first_for.is_empty() {
                roles_once(
                    &mut HashSet::new(),
                    &row.first_for,
                    &at("first_for"),
                    faults,
                );
            }
            season_step::rules(row, &format!("{base}.rows[{r}]"), faults);
            for (i, item) in row.items.iter().enumerate() {
                let at = format!("{base}.rows[{r}].items[{i}]");
                once(&mut items, item.as_str(), &at, "item of this phase", faults);
            }
        }
    }
}

/// Rules of an item that ask nothing of what stands around it.
pub(super) fn item_alone(item: &Item, base: &str, faults: &mut Faults) {
    id(&item.id, &format!("{base}.id"), faults);
    item_rules(item, base, faults);
}

fn item_rules(item: &Item, base: &str, faults: &mut Faults) {
    let at = |field: &str| format!("{base}.{field}");
    for (text, field) in [
        (&item.title, "title"),
        (&item.look, "look"),
        (&item.remedy.action, "remedy.do"),
        (&item.source, "source"),
    ] {
        blank(text, &at(field), faults);
    }
    for (text, field) in [
        (&item.look_running, "look_running"),
        (&item.look_after, "look_after"),
    ] {
        text.iter().for_each(|text| blank(text, &at(field), faults));
    }
    if let Some(roles) = &item.roles {
        roles_once(&mut HashSet::new(), roles, &at("roles"), faults);
    }
    for (n, rung) in item.ladder.iter().enumerate() {
        blank(rung, &at(&format!("ladder[{n}]")), faults);
    }
    if let Some(first) = &item.first_look {
        let message = "name a rung or the look, or leave it out";
        faults.refuse(first.says_nothing(), &at("first_look"), message);
        for (field, text) in first.texts() {
            blank(text, &at(&format!("first_look.{field}")), faults);
        }
    }
    faults.refuse(
        item.seconds == 0,
        &at("seconds"),
        "a look takes at least a second",
    );
    faults.refuse(
        item.effects.is_empty(),
        &at("effects"),
        "an item needs an effect",
    );
    effect_rules(item, base, faults);
    match (item.fluid, item.place) {
        (Some(_), None) => faults.add(base, || "a fluid needs the place it leaks from".into()),
        (None, Some(_)) => faults.add(&at("place"), || "a place needs the fluid that leaks".into()),
        (Some(fluid), Some(place)) if !leak::is_known(fluid, place) => faults
            .add(&at("place"), || {
                format!("no leak class is known for {fluid} at a place of '{place}'")
            }),
        _ => {}
    }
    let stops = item.stop_at != Some(Grade::Sound);
    faults.refuse(
        !stops,
        &at("stop_at"),
        "an item that stops when sound could never run",
    );
    let chainless = matches!(item.kind, Kind::Level | Kind::Reading | Kind::Sign);
    if chainless && item.look_every_days.is_none_or(|days| days == 0) {
        let field = if item.look_every_days.is_some() {
            at("look_every_days")
        } else {
            base.into()
        };
        faults.add(&field, || {
            format!("a {} needs look_every_days, at least 1", item.kind)
        });
    }
    if let Some(life) = &item.life {
        let none = life.hours.unwrap_or(0) == 0 && life.months.unwrap_or(0) == 0;
        faults.refuse(none, &at("life"), "a life needs hours or months above 0");
        blank(&life.source, &at("life.source"), faults);
    }
    if let Some(told) = &item.before_start {
        blank(&told.how, &at("before_start.how"), faults);
        faults.refuse(
            told.from == Grade::Sound,
            &at("before_start.from"),
            "what is sound asks for nothing before starting",
        );
        faults.refuse(
            matches!(told.chore, Chore::TopUp | Chore::ReadAgain),
            &at("before_start.do"),
            "a level says by its reading that it is topped up or read again; here stands drain, charge or open",
        );
    }
    if let Some(marks) = &item.marks {
        marks_rules(item, marks, &at("marks"), faults);
    }
    if let Some(reading) = &item.reading {
        reading_rules(reading, &at("reading"), faults);
    }
}

/// Roles are named, and each once.
fn roles_once(known: &mut HashSet<&str>, roles: &[Role], base: &str, faults: &mut Faults) {
    faults.refuse(roles.is_empty(), base, "name a role, or leave it out");
    for (n, role) in roles.iter().enumerate() {
        once(
            known,
            role.as_str(),
            &format!("{base}[{n}]"),
            "role",
            faults,
        );
    }
}

/// Only a level that is read in per cent of the span between its marks has marks.
fn marks_rules(item: &Item, marks: &Marks, base: &str, faults: &mut Faults) {
    let at = |field: &str| format!("{base}.{field}");
    faults.refuse(
        !item.is_between_marks(),
        base,
        "marks belong to a level that is read in %",
    );
    blank(&marks.filled_with, &at("filled_with"), faults);
    faults.refuse(
        marks.between_marks.is_some_and(|v| v.litres() <= 0.0),
        &at("between_marks"),
        "what lies between the marks is above 0",
    );
    faults.refuse(
        marks.dipstick && item.scope == Scope::Boat,
        &at("dipstick"),
        "the dipstick of the profile is that of a machine",
    );
    faults.refuse(
        marks.lost_after == Some(0),
        &at("lost_after"),
        "fillings are counted from 1",
    );
}

/// An effect may be named once for each rung from which it follows, with a chance that is larger at
/// each worse one, so that a worse grade never answers better.
fn effect_rules(item: &Item, base: &str, faults: &mut Faults) {
    for (n, effect) in item.effects.iter().enumerate() {
        let at = |field: &str| format!("{base}.effects[{n}].{field}");
        let fits = effect.beta > 0.0 && effect.beta <= 1.0;
        faults.refuse(!fits, &at("beta"), "beta must be above 0 and at most 1");
        if effect.fluid.is_some() && effect.fluid != item.fluid {
            faults.add(&at("fluid"), || match item.fluid {
                Some(fluid) => format!("what comes out of this item is {fluid}"),
                None => "this item leaks nothing".to_owned(),
            });
        }
        let alike = |other: &&Effect| {
            (other.effect, other.fluid, other.mark) == (effect.effect, effect.fluid, effect.mark)
        };
        let before = item.effects[..n].iter().filter(alike);
        if before.clone().any(|other| other.rung() == effect.rung()) {
            faults.add(&at("effect"), || {
                format!("the effect '{}' stands here twice", effect.effect)
            });
        }
        for other in before {
            let (better, worse) = match other.rung() < effect.rung() {
                true => (other, effect),
                false => (effect, other),
            };
            if better.rung() < worse.rung() && worse.beta < better.beta {
                faults.add(&at("beta"), || {
                    format!(
                        "beta of {} is {} from {} and only {} from {}: a worse rung has what a better one has, with a chance no smaller",
                        effect.effect,
                        better.beta,
                        better.rung(),
                        worse.beta,
                        worse.rung()
                    )
                });
            }
        }
    }
}

fn reading_rules(reading: &Reading, base: &str, faults: &mut Faults) {
    if !reading.unit.measures(reading.quantity) {
        faults.add(&format!("{base}.unit"), || {
            format!("{} does not measure a {}", reading.unit, quantity(reading))
        });
    }
    let of_rated = !reading.of_rated
        || (reading.quantity == crate::boat::Quantity::Share
            && reading.versus == super::item::Versus::Absolute);
    let message = "what falls short of the rated speed is a share by itself";
    faults.refuse(!of_rated, &format!("{base}.of_rated"), message);
    let none = reading.bands.is_empty() && reading.by_phase.is_empty();
    faults.refuse(none, &format!("{base}.bands"), "a reading needs a band");
    bands(&reading.bands, &format!("{base}.bands"), faults);
    faults.refuse(
        reading.error.is_some_and(|e| !e.is_finite() || e <= 0.0),
        &format!("{base}.error"),
        "an error of reading is above 0",
    );
    let mut states = HashSet::new();
    for (n, phase) in reading.by_phase.iter().enumerate() {
        let base = format!("{base}.by_phase[{n}]");
        if !states.insert((phase.state, phase.packing)) {
            faults.add(&format!("{base}.state"), || {
                format!("the state '{}' stands here twice", phase.state)
            });
        }
        faults.refuse(
            phase.bands.is_empty(),
            &format!("{base}.bands"),
            "a state needs a band",
        );
        bands(&phase.bands, &format!("{base}.bands"), faults);
    }
}

fn quantity(reading: &Reading) -> String {
    let spelling = serde_json::to_value(reading.quantity).unwrap_or_default();
    spelling.as_str().unwrap_or_default().to_owned()
}

/// Each band from below to above, and none over another.
fn bands(bands: &[Band], base: &str, faults: &mut Faults) {
    let ends = |b: &Band| {
        (
            b.from.unwrap_or(f64::NEG_INFINITY),
            b.to.unwrap_or(f64::INFINITY),
        )
    };
    let mut order: Vec<usize> = (0..bands.len()).collect();
    order.sort_by(|&a, &b| ends(&bands[a]).0.total_cmp(&ends(&bands[b]).0));
    let mut reached: Option<(f64, usize)> = None;
    for n in order {
        let path = format!("{base}[{n}]");
        let (from, to) = ends(&bands[n]);
        let finite = [bands[n].from, bands[n].to]
            .into_iter()
            .flatten()
            .all(f64::is_finite);
        faults.refuse(!finite, &path, "an end of a band is a plain number");
        // Written so that an end that is no number counts as wrong too.
        let rises = from < to;
        faults.refuse(
            finite && !rises,
            &path,
            "a band runs from a value to a higher one",
        );
        if let Some((end, other)) = reached.filter(|(end, _)| from < *end) {
            faults.add(&path, || {
                format!("the band overlaps [{other}], which reaches {end}")
            });
        }
        if reached.is_none_or(|(end, _)| to > end) {
            reached = Some((to, n));
        }
    }
}

fn station_ids(known: &Catalogue) -> impl Iterator<Item = &str> {
    known.stations().iter().map(|s| s.id.as_str())
}

fn known_titles(known: &Catalogue) -> HashMap<String, (&String, &String)> {
    known
        .items()
        .iter()
        .map(|i| (seen(&i.title), (&i.id, &i.title)))
        .collect()
}

/// A title as the eye takes it: without characters that take no room, composed, single spaces.
fn seen(title: &str) -> String {
    let unseen = |c: &char| {
        is_hidden_control(*c)
            || matches!(c, '\u{ad}' | '\u{34f}' | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200d}'
                | '\u{2060}'..='\u{2064}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{e0000}'..='\u{e0fff}')
    };
    let text: String = title.chars().filter(|c| !unseen(c)).nfc().collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

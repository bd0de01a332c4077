//! What is asked of the row under the arrow, and what becomes of the answer.

use super::rows::{machine, photo, title};
use super::{Change, Last, Line, Pick, ProfileScreen, Row};
use crate::boat::facts::{Fact, NOT_KNOWN, Of, Place};
use crate::boat::profile::HandbookLimit;
use crate::boat::{Boat, Unit};
use crate::checklist::Scope;
use crate::defects::{PlacePhoto, WhenLast};
use crate::keys::Action;
use crate::logbook::profile_change::{Refused, Said, set_profile};
use crate::logbook::record::Record;
use crate::screen::kind::{Cx, Go, Shown, To};
use crate::screen::layers::{Choice, Layer};
use crate::screen::pictures::{ask_path, from, look_at, take_in, with_one};
use crate::service::parts::Wanted;

type Turn<'a> = Cx<'a, ProfileScreen>;

impl ProfileScreen {
    /// Asks for the row under the arrow.
    pub(super) fn ask(&mut self, cx: &mut Turn<'_>) {
        let Some(row) = self.row().cloned() else {
            return;
        };
        match row {
            Row::Head(_) => {}
            Row::Last(last) => {
                let heading = format!("{}: {}", last.title(&self.library), last.asks());
                cx.ask(Layer::line(heading, WhenLast::HINT, Line::Last(last)));
            }
            Row::Due => cx.go(Go::To(To::Service)),
            Row::Item(id) => cx.go(Go::Over(To::OwnItem(Some(id)))),
            Row::NewItem => cx.go(Go::Over(To::OwnItem(None))),
            Row::List(id) => cx.go(Go::Over(To::OwnList(Some(id)))),
            Row::NewList => cx.go(Go::Over(To::OwnList(None))),
            Row::Parts => cx.go(Go::Over(To::Parts(Wanted::all()))),
            Row::Fact(place, fact) => self.ask_fact(place, fact, cx),
            Row::Lacks(machine) => self.ask_lacks(machine, cx),
            Row::Limit(machine, item) => {
                let heading = format!("{}, by the handbook", title(&self.library, &item));
                let options = ["another range or page", "take it out"].map(str::to_owned);
                let ask = Pick::Limit(machine, item);
                cx.ask(Layer::choice(heading, options.into(), ask));
            }
            Row::NewLimit(machine) => self.ask_which_limit(machine, cx),
            Row::Out(place) => self.ask_out(place, cx),
            Row::New(of) => {
                let hint = match of {
                    Of::Machine => "such as Generator; its id is made from it and stays",
                    _ => "as you call it; Esc leaves it",
                };
                let heading = format!("What is the {} called?", of.words());
                cx.ask(Layer::line(heading, hint, Line::Name(of)));
            }
        }
    }

    fn ask_fact(&self, place: Place, fact: &'static Fact, cx: &mut Turn<'_>) {
        let heading = match place.of {
            Of::Boat => fact.words.to_owned(),
            _ => {
                let name = place.name(&self.boat).unwrap_or_default();
                format!("{name}: {}", fact.words)
            }
        };
        let shown = fact.shown(&self.boat, &place).unwrap_or_default();
        let Some(words) = fact.form.picks() else {
            let empty = if fact.needed {
                ""
            } else {
                "; empty: not known"
            };
            let hint = format!("{}{empty}", fact.form.hint(self.boat.units));
            return cx.ask(Layer::typed(heading, hint, &shown, Line::Fact(place, fact)));
        };
        let mut options: Vec<String> = words.iter().map(|w| w.replace('-', " ")).collect();
        options.extend((!fact.needed).then(|| NOT_KNOWN.to_owned()));
        let here = options.iter().position(|option| *option == shown);
        let cursor = here.unwrap_or(if fact.needed { 0 } else { words.len() });
        let choice = Choice {
            title: heading,
            options,
            cursor,
            lead: vec![fact.why.to_owned()],
            ..Choice::default()
        };
        cx.ask(Layer::Choice(choice, Pick::Fact(place, fact)));
    }

    /// What is done with the photograph of where something is, where the row under the arrow says it; where
    /// there is none, asks for its path.
    pub(super) fn ask_photo(&self, cx: &mut Turn<'_>) {
        let Some(Row::Fact(place, fact)) = self.row().filter(|row| row.is_place()) else {
            return cx.tell("a photograph stands beside what says where something is");
        };
        let title = format!("{}: photograph", fact.words);
        match photo(cx.book, place, fact).cloned() {
            Some(photo) => with_one(title, &photo, Pick::Photo(place.clone(), fact), cx),
            None => ask_path(title, "", false, Line::Photo(place.clone(), fact), cx),
        }
    }

    /// Does with it what was picked.
    fn with_photo(
        &mut self,
        (place, fact): (Place, &'static Fact),
        (at, title): (usize, &str),
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        match at {
            0 => {
                if let Some(photo) = photo(cx.book, &place, fact).cloned() {
                    look_at(title.to_owned(), &photo, cx);
                }
                Ok(())
            }
            1 => {
                ask_path(title.to_owned(), "", false, Line::Photo(place, fact), cx);
                Ok(())
            }
            _ => self.put_photo((&place, fact), NOT_KNOWN, cx),
        }
    }

    /// Takes the photograph of a place in, or takes it off.
    fn put_photo(
        &mut self,
        (place, fact): (&Place, &Fact),
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        if text.is_empty() || text == from(cx) {
            return Ok(());
        }
        let photo = match text.replace('-', " ") == NOT_KNOWN {
            true => None,
            false => Some(take_in(text, cx)?),
        };
        let told = match &photo {
            Some(_) => "the photograph is kept; it stands on the hand-over page",
            None => "the photograph is taken off",
        };
        let said = PlacePhoto {
            fact: fact.name.to_owned(),
            machine: place.machine().map(str::to_owned),
            at: None,
            photo,
        };
        if cx.record_act(Record::from(said))?.is_some() {
            self.renew(cx.book);
            cx.tell(told);
        }
        Ok(())
    }

    fn ask_lacks(&self, id: String, cx: &mut Turn<'_>) {
        let Some(machine) = machine(&self.boat, &id) else {
            return;
        };
        let without = machine.without.clone();
        let back = without.iter().map(|item| title(&self.library, item));
        let back = back.map(|title| format!("has it after all: {title}"));
        let more = ["does not have: find by name".to_owned()];
        let heading = format!("What {} does not have", machine.name);
        let options = more.into_iter().chain(back).collect();
        cx.ask(Layer::choice(heading, options, Pick::Lacks(id, without)));
    }

    /// Asks which of the items with a text in their names a machine does not have.
    fn ask_which_lacks(&self, id: String, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        let wanted = text.trim().to_lowercase();
        let without = machine(&self.boat, &id).map(|m| m.without.as_slice());
        let without = without.unwrap_or_default();
        let items = self.library.catalogue.items().iter();
        let items = items.filter(|item| item.scope == Scope::Machine);
        let items = items.filter(|item| item.title.to_lowercase().contains(&wanted));
        let (ids, options): (Vec<_>, Vec<_>) = items
            .filter(|item| !without.contains(&item.id))
            .map(|item| (item.id.clone(), item.title.clone()))
            .unzip();
        if ids.is_empty() {
            return Err("nothing asked of a machine has that in its name".to_owned());
        }
        let ask = Pick::Drop(id, ids);
        cx.ask(Layer::choice("Which does she not have?", options, ask));
        Ok(())
    }

    fn ask_which_limit(&self, id: String, cx: &mut Turn<'_>) {
        let items = self.library.catalogue.items().iter();
        let items = items.filter(|item| item.scope == Scope::Machine);
        let (ids, options): (Vec<_>, Vec<_>) = items
            .filter_map(|item| {
                let unit = item.reading.as_ref()?.unit.preferred(self.boat.units);
                Some((item.id.clone(), format!("{} ({unit})", item.title)))
            })
            .unzip();
        let heading = "What does the handbook give?";
        cx.ask(Layer::choice(heading, options, Pick::NewLimit(id, ids)));
    }

    /// Asks for the range of a handbook limit, beginning with the one known.
    fn ask_range(&self, id: String, item: String, cx: &mut Turn<'_>) {
        let unit = self.unit_of(&item);
        let known = limit_of(&self.boat, &id, &item).map(HandbookLimit::range);
        let heading = format!("{}: what is sound?", title(&self.library, &item));
        let hint = format!("2 to 4, from 2, or to 95; in {unit}, or with its unit");
        let known = known.unwrap_or_default();
        cx.ask(Layer::typed(heading, hint, &known, Line::Range(id, item)));
    }

    fn unit_of(&self, item: &str) -> Unit {
        let item = self.library.catalogue.item(item);
        let reading = item.and_then(|item| item.reading.as_ref());
        reading.map_or(Unit::Percent, |r| r.unit.preferred(self.boat.units))
    }

    fn ask_out(&self, place: Place, cx: &mut Turn<'_>) {
        let name = place.name(&self.boat).unwrap_or_default();
        let heading = format!("Has {name} left her?");
        let lead = match place.of {
            Of::Machine => "It is asked no more. What is on record of it stays.",
            _ => "It stands in the profile no more.",
        };
        let options = ["it stays", "it has left her"].map(str::to_owned);
        let lead = vec![lead.to_owned()];
        cx.ask(Layer::told(heading, lead, options.into(), Pick::Out(place)));
    }

    /// A line of a list was picked.
    pub(super) fn taken(
        &mut self,
        ask: Pick,
        at: usize,
        of: &Choice,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        match ask {
            Pick::Fact(place, fact) => {
                let text = of.options.get(at).map_or("", String::as_str);
                self.put(place, fact, text, cx)?;
                self.on();
                Ok(())
            }
            Pick::Photo(place, fact) => self.with_photo((place, fact), (at, &of.title), cx),
            Pick::Lacks(id, _) if at == 0 => {
                let hint = "a part of its name, such as belt";
                let heading = "What does she not have?";
                cx.ask(Layer::line(heading, hint, Line::Lacks(id)));
                Ok(())
            }
            Pick::Lacks(id, items) => {
                let item = items.into_iter().nth(at - 1).unwrap_or_default();
                let told = format!("asked again: {}", title(&self.library, &item));
                self.set(
                    Change::Lacks(id, Vec::new(), vec![item]),
                    told,
                    Said::default(),
                    cx,
                )
            }
            Pick::Drop(id, items) => {
                let item = items.into_iter().nth(at).unwrap_or_default();
                let told = format!("asked no more: {}", title(&self.library, &item));
                self.set(
                    Change::Lacks(id, vec![item], Vec::new()),
                    told,
                    Said::default(),
                    cx,
                )
            }
            Pick::Limit(id, item) if at == 0 => {
                self.ask_range(id, item, cx);
                Ok(())
            }
            Pick::Limit(id, item) => {
                let told = format!("{}: taken out", title(&self.library, &item));
                self.set(Change::NoLimit(id, item), told, Said::default(), cx)
            }
            Pick::NewLimit(id, ids) => {
                if let Some(item) = ids.into_iter().nth(at) {
                    self.ask_range(id, item, cx);
                }
                Ok(())
            }
            Pick::Out(_) if at == 0 => Ok(()),
            Pick::Out(place) => {
                let name = place.name(&self.boat).unwrap_or_default();
                let told = format!("{name} has left; its records stay");
                self.set(Change::Out(place), told, Said::default(), cx)
            }
            Pick::EvenSo if at == 0 => {
                self.waiting = None;
                Ok(())
            }
            Pick::TypedWrong if at == 0 => {
                self.waiting = None;
                self.ask(cx);
                Ok(())
            }
            Pick::TypedWrong => {
                let typed_wrong = true;
                self.set_waiting(
                    Said {
                        typed_wrong,
                        ..Said::default()
                    },
                    cx,
                )
            }
            Pick::EvenSo => {
                let hint = "every answer then gives the reason; Esc leaves it as it was";
                cx.ask(Layer::line("Why, even so?", hint, Line::EvenSo));
                Ok(())
            }
        }
    }

    /// A line was typed.
    pub(super) fn written(
        &mut self,
        ask: Line,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        match ask {
            Line::Find => Ok(()),
            Line::Fact(place, fact) => {
                self.put(place, fact, text, cx)?;
                self.on();
                Ok(())
            }
            Line::Lacks(id) => self.ask_which_lacks(id, text, cx),
            Line::Last(last) => self.put_last(last, text, cx),
            Line::Photo(place, fact) => self.put_photo((&place, fact), text, cx),
            Line::Name(of) => {
                let change = Change::New(of, text.to_owned());
                let told = format!("added: {}", text.trim());
                self.set(change, told, Said::default(), cx)?;
                let last = Place::all(&self.boat).into_iter().rfind(|p| p.of == of);
                // The next question about it: what a machine is for, what a tank holds.
                let next = last.and_then(|last| Some((last.facts().nth(1)?, last)));
                if let Some((fact, last)) = next {
                    self.go_to(|row| row.is_same(&Row::Fact(last.clone(), fact)));
                }
                Ok(())
            }
            Line::Range(id, item) => {
                HandbookLimit::typed(&item, text, self.unit_of(&item), "")?;
                let known = limit_of(&self.boat, &id, &item).map(|limit| limit.source.as_str());
                let hint = "such as: handbook, page 41";
                let ask = Line::Page(id.clone(), item.clone(), text.to_owned());
                let known = known.unwrap_or_default();
                cx.ask(Layer::typed("Which page says so?", hint, known, ask));
                Ok(())
            }
            Line::Page(id, item, range) => {
                let limit = HandbookLimit::typed(&item, &range, self.unit_of(&item), text)?;
                let told = format!("{}: {}", title(&self.library, &item), limit.range());
                let row = Row::Limit(id.clone(), item);
                self.set(Change::Limit(id, limit), told, Said::default(), cx)?;
                self.go_to(|other| other.is_same(&row));
                Ok(())
            }
            Line::EvenSo => {
                let even_so = Some(text);
                self.set_waiting(
                    Said {
                        even_so,
                        ..Said::default()
                    },
                    cx,
                )
            }
        }
    }

    fn put(
        &mut self,
        place: Place,
        fact: &'static Fact,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        if fact.shown(&self.boat, &place).as_deref() == Some(text.trim()) {
            return Ok(());
        }
        let value = fact.read(text, &self.boat)?;
        let told = match &value {
            Some(_) => format!("{}: taken", fact.words),
            None => format!("{}: {NOT_KNOWN}", fact.words),
        };
        self.set(Change::Fact(place, fact, value), told, Said::default(), cx)
    }

    /// Of the ten the next one comes by itself.
    fn on(&mut self) {
        if self.ten.is_some() {
            self.go(Action::MoveDown);
        }
    }

    fn put_last(&mut self, of: Last, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        let told = WhenLast {
            task: of.task,
            item: of.item,
            machine: Some(of.machine),
            ..WhenLast::typed(text, cx.book.now())?
        };
        if cx.record_act(Record::from(told))?.is_some() {
            self.renew(cx.book);
            self.on();
            cx.tell("taken as remembered; the last word counts");
        }
        Ok(())
    }

    /// Takes the change that waits.
    fn set_waiting(&mut self, said: Said<'_>, cx: &mut Turn<'_>) -> Result<(), String> {
        match self.waiting.take() {
            Some((change, told)) => self.set(change, told, said, cx),
            None => Ok(()),
        }
    }

    /// Changes the profile, or asks what has to be said with it.
    fn set(
        &mut self,
        change: Change,
        told: String,
        said: Said<'_>,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let next = change.of(cx.book.profile())?;
        if next == *cx.book.profile() {
            return Ok(());
        }
        match set_profile(cx.book, next, said) {
            Ok(change) => {
                self.renew(cx.book);
                cx.tell(match change.stops {
                    0 => told,
                    1 => format!("{told}; a stop went out of sight with it"),
                    stops => format!("{told}; {stops} stops went out of sight with it"),
                });
                Ok(())
            }
            Err(Refused::Meter { hours, before }) => {
                self.waiting = Some((change, told));
                let heading = "Which of both is wrong?";
                let options = vec![
                    format!("{hours} h, just typed"),
                    format!(
                        "{} h, by the profile of {}",
                        before.0,
                        before.1.format("%-d %b %Y")
                    ),
                ];
                let lead =
                    vec!["The false figure stays on record and leaves every sum.".to_owned()];
                cx.ask(Layer::told(heading, lead, options, Pick::TypedWrong));
                Ok(())
            }
            Err(Refused::Why(why)) => {
                self.waiting = Some((change, told));
                Err(why)
            }
            Err(Refused::Stops(stops)) => {
                self.waiting = Some((change, told));
                let heading = "A stop would go out of sight";
                let options = ["leave it as it was", "even so, and say why"].map(str::to_owned);
                cx.ask(Layer::alarm(heading, stops, options.into(), Pick::EvenSo));
                Ok(())
            }
            Err(Refused::Disk(error)) => {
                cx.warn(error.to_string());
                Ok(())
            }
            Err(refused @ Refused::Wrong(_)) => Err(refused.words()),
        }
    }
}

fn limit_of<'a>(boat: &'a Boat, id: &str, item: &str) -> Option<&'a HandbookLimit> {
    let mut limits = machine(boat, id)?.handbook.iter();
    limits.find(|limit| limit.item == item)
}

//! What a survey asks besides grades: what was agreed, what the seller said, engine speeds, why the
//! rest was not seen, who was told. The blind switch is here too; any walk has it.

use chrono::{DateTime, FixedOffset, NaiveDateTime, NaiveTime};

use crate::boat::Unit;
use crate::checklist::Closing;
use crate::keys::Action;
use crate::logbook::record::{Agreement, LookMade, Record, ToldOf, WalkNoted};
use crate::screen::app::{App, Screen};
use crate::screen::layers::Layer;
use crate::screen::layers::ask::{self, Ask};
use crate::screen::verdict::VerdictScreen;
use crate::screen::walk::WalkScreen;
use crate::walk::{Agreed, Look, Spot, Told};

/// What may be answered to how something could be seen.
pub(crate) const HOW_HINT: &str = "such as: lift the aft board, sea trial, specialist";
/// Said where it is not answered.
pub(crate) const HOW_NEEDED: &str =
    "a survey needs it; such as: lift the aft board, sea trial, specialist";

/// The questions beforehand with what may be answered.
const AGREED: [(&str, &str); 4] = [
    ("Agreed: who runs the engine?", "such as: the owner"),
    (
        "Agreed: what may be opened?",
        "such as: pump cover, anode, oil filler; or: nothing",
    ),
    (
        "Agreed: which samples may be taken?",
        "such as: engine oil, hot; or: none",
    ),
    (
        "Agreed: full throttle?",
        "such as: five minutes, in open water; or: no",
    ),
];

impl WalkScreen {
    /// True for the checklists that close as a survey.
    pub fn is_survey(&self) -> bool {
        let list = self.before.library.checklist(&self.started.checklist);
        list.is_some_and(|l| l.closes_with == Closing::Survey)
    }
}

impl App {
    /// Asks one of the questions beforehand.
    pub(crate) fn ask_agreed(&mut self, n: usize, agreed: Agreed) {
        let Some((title, hint)) = AGREED.get(n) else {
            return self.put_agreed(agreed);
        };
        let hint = format!("{hint}. Enter: not agreed; Esc: nothing further is agreed");
        self.layers
            .push(Layer::line(*title, hint, Ask::Agreed(n, agreed)));
    }

    fn agreed_typed(&mut self, n: usize, mut agreed: Agreed, text: &str) {
        if !text.is_empty() {
            let field = match n {
                0 => &mut agreed.runs,
                1 => &mut agreed.may_open,
                2 => &mut agreed.samples,
                _ => &mut agreed.full_throttle,
            };
            *field = Some(text.to_owned());
            // Each answer by itself: a kill between two questions takes none away.
            self.put_agreed(agreed.clone());
        }
        self.ask_agreed(n + 1, agreed);
    }

    /// Records what was agreed. That nothing was waits for the walk to begin.
    pub(crate) fn put_agreed(&mut self, agreed: Agreed) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        if walk.walk(book).agreed.as_ref() == Some(&agreed) {
            return;
        }
        if agreed.is_nothing() {
            if let Some(walk) = self.walk_mut() {
                walk.agreed = Some(agreed);
            }
            return self.tell("nothing agreed beforehand: the survey says so");
        }
        let record = Record::Agreement(Agreement {
            walk: walk.started.walk.clone(),
            at: Some(book.now()),
            agreed,
        });
        self.walk_record(vec![record], false);
    }

    /// Hides earlier grades from here on, or shows them.
    pub(crate) fn toggle_blind(&mut self) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let on = !walk.walk(book).blind;
        let record = WalkNoted {
            walk: walk.started.walk.clone(),
            blind: Some(on),
            ..WalkNoted::default()
        };
        if walk.is_begun(book) {
            self.walk_record(vec![Record::WalkNoted(record)], false);
        } else if let Some(walk) = self.walk_mut() {
            walk.set_blind(on);
        }
        self.tell(if on {
            "earlier grades are hidden until each look is made"
        } else {
            "earlier grades are shown; the record keeps that they were"
        });
    }

    pub(crate) fn open_said(&mut self, spot: Spot) {
        let title = self.title_of(spot, "what was said of it?");
        let hint = "by the seller or owner; kept apart from what you see. Empty: nothing";
        let mut layer = Layer::line(title, hint, Ask::Said(spot));
        let said = self
            .walking()
            .and_then(|(walk, book)| walk.standing_details(book, spot).said);
        if let (Layer::Line(line), Some(said)) = (&mut layer, said) {
            line.insert(&said);
        }
        self.layers.push(layer);
    }

    pub(crate) fn open_speed(&mut self) {
        let Some((walk, _)) = self.walking() else {
            return;
        };
        let now = walk.speed().map(|rpm| format!("now {rpm} rpm; "));
        let hint = format!(
            "{}such as 1500. The looks that follow keep it; empty: none",
            now.unwrap_or_default()
        );
        self.layers
            .push(Layer::line("Engine speed of this step?", hint, Ask::Speed));
    }

    /// Sets the speed of the step, and goes to the first of what is asked at each.
    fn set_speed(&mut self, rpm: Option<u32>) {
        if let Some(walk) = self.walk_mut() {
            walk.step_speed = rpm.map(|rpm| (walk.at.phase, rpm));
        }
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let first = walk.next_at_speed(book, None);
        if let (Some(spot), Some(walk)) = (first, self.walk_mut()) {
            walk.go(spot);
        }
        if let Some(rpm) = rpm {
            self.tell(format!("looks from here on are at {rpm} rpm"));
        }
    }

    /// What may be typed as a reading.
    pub(crate) fn reading_hint(&self, unit: Unit) -> String {
        let value = format!("a value, in {unit} unless you type the unit");
        let Some((walk, _)) = self.walking() else {
            return value;
        };
        match (walk.speed(), walk.row().is_some_and(|r| r.each_speed)) {
            (Some(rpm), _) => format!("{value}; at {rpm} rpm, or 2000: and the value"),
            (None, true) => format!("{value}; with the engine speed: 1500: and the value"),
            (None, false) => value,
        }
    }

    /// Takes an engine speed typed before a reading, as in `1500: 45 psi`; what is left of it. None
    /// where that was all.
    pub(crate) fn take_speed_before(&mut self, text: &str) -> Result<Option<String>, String> {
        let Some((speed, value)) = text.split_once(':') else {
            return Ok(Some(text.to_owned()));
        };
        let rpm = read_rpm(speed)?;
        let value = value.trim();
        if value.is_empty() {
            self.set_speed(Some(rpm));
            return Ok(None);
        }
        if let Some(walk) = self.walk_mut() {
            walk.step_speed = Some((walk.at.phase, rpm));
        }
        Ok(Some(value.to_owned()))
    }

    /// Finishes with rows unseen; in a survey the reason is asked first.
    pub(crate) fn finish_unseen(&mut self) {
        if !self.walking().is_some_and(|(walk, _)| walk.is_survey()) {
            return self.finish_walk();
        }
        let mut reasons: Vec<String> = ask::NOT_SEEN.iter().map(|s| (*s).to_owned()).collect();
        reasons.remove(ask::NOT_FITTED);
        self.layers.push(Layer::choice(
            "All the rest was not seen: why?",
            reasons,
            Ask::RestWhy,
        ));
    }

    pub(crate) fn rest_picked(&mut self, at: usize, text: &str) {
        let layer = if at + 1 == ask::TYPED {
            Layer::line("The rest was not seen: why?", "a few words", Ask::RestWords)
        } else {
            rest_how(text)
        };
        self.layers.push(layer);
    }

    /// Records the rest of a survey as not seen and finishes it.
    fn put_rest(&mut self, why: &str, close_by: &str) {
        let Some((walk, book)) = self.walking() else {
            return;
        };
        let mut records = Vec::new();
        for spot in walk.plan.spots() {
            let (phase, Some(item)) = (walk.phase_id(spot), walk.plan.item(spot)) else {
                continue;
            };
            if walk.walk(book).look_in(phase, item).is_some() {
                continue;
            }
            let details = walk.draft(book, spot).unwrap_or_default();
            let look = Look::not_seen(item, Some(phase), why, Some(close_by.to_owned()));
            records.push(Record::Look(LookMade {
                walk: walk.started.walk.clone(),
                at: book.now(),
                look: Look {
                    note: details.note,
                    said: details.said,
                    photos: details.photos,
                    ..look
                }
                .into(),
            }));
        }
        if self.walk_record(records, true) {
            self.finish_walk();
        }
    }

    /// Asks who was told of what is unsafe.
    pub(crate) fn ask_told(&mut self) {
        let Screen::Verdict(screen) = &self.screen else {
            return;
        };
        let untold = screen.untold().len();
        if untold == 0 {
            return self.tell(if screen.unsafe_found.is_empty() {
                "no stop rule was reached in this walk"
            } else {
                "of all that is unsafe somebody was told"
            });
        }
        let title = format!("{untold} unsafe finding(s): whom did you tell?");
        let hint = "a name and what they are: owner, broker, harbour master";
        self.layers.push(Layer::line(title, hint, Ask::ToldWhom));
    }

    fn put_told(&mut self, whom: String, when: &str) -> Result<(), String> {
        let (Screen::Verdict(screen), Some(book)) = (&self.screen, &self.book) else {
            return Ok(());
        };
        let at = read_when(when, book.now())?;
        if at < screen.walk.at {
            return Err("that is before the walk began".into());
        }
        let (walk, pace) = (screen.walk.id.clone(), screen.pace);
        let items = screen.untold();
        let told = Told { items, whom, at };
        let record = ToldOf {
            walk: walk.clone(),
            told,
        };
        if self.record(vec![Record::Told(record)]).is_some()
            && let Some(book) = &self.book
            && let Some(screen) = VerdictScreen::new(book, &walk, pace)
        {
            self.screen = Screen::Verdict(Box::new(screen));
            self.tell("recorded");
        }
        Ok(())
    }

    /// A line of a survey was typed; a question of another screen comes back.
    pub(crate) fn survey_typed(&mut self, ask: Ask, text: &str) -> Result<Option<Ask>, String> {
        let some = |why: &str| {
            Some(text.to_owned())
                .filter(|t| !t.is_empty())
                .ok_or(why.to_owned())
        };
        match ask {
            Ask::Agreed(n, agreed) => self.agreed_typed(n, agreed, text),
            Ask::Said(spot) => {
                let said = Some(text.to_owned()).filter(|t| !t.is_empty());
                if self.amend(spot, |d| d.said = said) {
                    self.tell("noted as said; now what you see");
                }
            }
            Ask::Speed if text.is_empty() => self.set_speed(None),
            Ask::Speed => self.set_speed(Some(read_rpm(text)?)),
            Ask::Photo(spot) => self.take_photo(spot, text)?,
            Ask::Caption(spot) => self.take_caption(spot, text),
            Ask::RestWords => self.layers.push(rest_how(&some("a reason is needed")?)),
            Ask::RestCloseBy(why) => self.put_rest(&why, &some(HOW_NEEDED)?),
            Ask::ToldWhom => {
                let next = Ask::ToldWhen(some("say who was told; Esc leaves it open")?);
                let hint = "Enter: now; such as 16:40, or 2026-05-03 16:40";
                self.layers.push(Layer::line("Told when?", hint, next));
            }
            Ask::ToldWhen(whom) => self.put_told(whom, text)?,
            other => return Ok(Some(other)),
        }
        Ok(None)
    }

    /// Names the key for telling, where something is untold.
    pub(crate) fn remind_of_telling(&mut self) {
        let Screen::Verdict(screen) = &self.screen else {
            return;
        };
        let untold = screen.untold().len();
        let key = self.setup.keys.keys_of(Action::Told).first();
        let key = key.map(ToString::to_string).unwrap_or_default();
        if untold > 0 {
            self.warn(format!(
                "{untold} unsafe finding(s): tell who answers for the boat today; {key} records it"
            ));
        }
    }
}

fn rest_how(why: &str) -> Layer {
    Layer::line(
        "How could the rest be seen?",
        HOW_HINT,
        Ask::RestCloseBy(why.to_owned()),
    )
}

/// An engine speed as a person types it.
fn read_rpm(text: &str) -> Result<u32, String> {
    let number = text.trim().trim_end_matches("rpm").trim_end();
    let rpm = number
        .parse()
        .ok()
        .filter(|rpm| (50..=20_000).contains(rpm));
    rpm.ok_or_else(|| format!("'{number}' is no engine speed; type such as 1500"))
}

/// A time as a person types it: nothing for now, a time of today, or a date and time.
fn read_when(text: &str, now: DateTime<FixedOffset>) -> Result<DateTime<FixedOffset>, String> {
    if text.is_empty() {
        return Ok(now);
    }
    let today = NaiveTime::parse_from_str(text, "%H:%M").map(|t| now.date_naive().and_time(t));
    let local = today.or_else(|_| NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M"));
    let at = local
        .ok()
        .and_then(|local| local.and_local_timezone(*now.offset()).single())
        .ok_or_else(|| format!("'{text}' is no time; type such as 16:40, or 2026-05-03 16:40"))?;
    if at > now {
        return Err(format!("{text} is still to come"));
    }
    Ok(at)
}

//! What a survey asks besides grades: what was agreed, what the seller said, engine speeds, why the
//! rest was not seen, who was told. The blind switch is here too; any walk has it.

use crate::boat::Unit;
use crate::checklist::Closing;
use crate::defects::stopped::first_run;
use crate::logbook::book::Book;
use crate::logbook::record::{Agreement, Record, WalkNoted};
use crate::screen::layers::Layer;
use crate::screen::walk::ask::{self, Line, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::{Agreed, Details, Look, Spot};

/// What may be answered to how something could be seen.
pub(crate) const HOW_HINT: &str = "such as: lift the aft board, sea trial, specialist";
/// Said where it is not answered.
pub(crate) const HOW_NEEDED: &str =
    "a survey needs it; such as: lift the aft board, sea trial, specialist";

/// The questions beforehand with what may be answered.
const AGREED: [(&str, &str); 5] = [
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
    (
        "Found: is the engine cold or warm?",
        "feel block and manifold; such as: cold; or: warm, the owner ran it at nine",
    ),
];
/// The question among them that asks for what is found.
const FOUND: usize = 4;

impl WalkScreen {
    /// True for the checklists that close as a survey.
    pub fn is_survey(&self) -> bool {
        let list = self.before.library.checklist(&self.started.checklist);
        list.is_some_and(|l| l.closes_with == Closing::Survey)
    }
}

impl WalkScreen {
    /// Asks one of the questions beforehand.
    pub fn ask_agreed(&mut self, n: usize, cx: &mut Turn<'_>) {
        let Some((title, hint)) = AGREED.get(n) else {
            return self.leave_agreed(cx);
        };
        let nothing = match n {
            FOUND => "not noted",
            _ => "not agreed",
        };
        let hint = format!("{hint}. Enter: {nothing}");
        cx.ask(Layer::line(*title, hint, Line::Agreed(n)));
    }

    pub fn agreed_typed(&mut self, n: usize, text: &str, cx: &mut Turn<'_>) {
        let mut agreed = self.walk(cx.book).agreed.clone().unwrap_or_default();
        let field = match n {
            0 => &mut agreed.runs,
            1 => &mut agreed.may_open,
            2 => &mut agreed.samples,
            FOUND => &mut agreed.on_arrival,
            _ => &mut agreed.full_throttle,
        };
        let answer = Some(text.to_owned()).filter(|text| !text.is_empty());
        if *field != answer {
            *field = answer;
            // Each answer by itself: a kill between two questions takes none away.
            self.put_agreed(agreed, cx);
        }
        self.ask_agreed(n + 1, cx);
    }

    /// No more is asked: what was not answered was not agreed.
    pub fn leave_agreed(&mut self, cx: &mut Turn<'_>) {
        let agreed = self.walk(cx.book).agreed.clone().unwrap_or_default();
        self.put_agreed(agreed, cx);
    }

    /// Records what was agreed. That nothing was waits for the walk to begin.
    pub fn put_agreed(&mut self, agreed: Agreed, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let known = self.walk(book).agreed.as_ref();
        if known == Some(&agreed) {
            return;
        }
        if known.is_none() && agreed.is_nothing() {
            self.agreed = Some(agreed);
            return cx.tell("nothing agreed beforehand: the survey says so");
        }
        let record = Record::from(Agreement {
            walk: self.started.walk.clone(),
            at: Some(book.now()),
            agreed,
        });
        self.walk_record(vec![record], false, cx);
    }

    /// Asks once, where a survey in which she ran is finished, who started her; false where nothing is to
    /// be asked.
    pub(super) fn ask_who_started(&mut self, cx: &mut Turn<'_>) -> bool {
        let walk = self.walk(cx.book);
        let told = walk.agreed.as_ref().is_some_and(|a| a.started_by.is_some());
        let ran = first_run(&self.so_far.condition, walk).is_some();
        if !self.is_survey() || told || !ran || self.so_far.asked_who_started {
            return false;
        }
        let runs = walk.agreed.as_ref().and_then(|a| a.runs.as_deref());
        let runs = runs.map(|runs| format!("{} was to run her; ", safe_line(runs)));
        cx.done = true;
        cx.ask(Layer::line(
            "Who started her?",
            format!(
                "{}a name, or: the owner. Enter: not noted",
                runs.unwrap_or_default()
            ),
            Line::WhoStarted,
        ));
        true
    }

    /// Takes who started her, or that it is not noted, and goes on to the end.
    pub(super) fn who_started_typed(&mut self, text: &str, cx: &mut Turn<'_>) {
        self.so_far.asked_who_started = true;
        if !text.is_empty() {
            let mut agreed = self.walk(cx.book).agreed.clone().unwrap_or_default();
            agreed.started_by = Some(text.to_owned());
            self.put_agreed(agreed.clone(), cx);
            // What is not on record is asked again, and the walk stays open.
            if self.walk(cx.book).agreed.as_ref() != Some(&agreed) {
                self.so_far.asked_who_started = false;
                return;
            }
        }
        self.finish_walk(cx);
    }

    /// Hides earlier grades from here on, or shows them.
    pub fn toggle_blind(&mut self, cx: &mut Turn<'_>) {
        let on = !self.walk(cx.book).blind;
        let blind = Some(on);
        self.note_walk(
            WalkNoted {
                blind,
                ..WalkNoted::default()
            },
            cx,
        );
        cx.tell(if on {
            "earlier grades are hidden until each look is made"
        } else {
            "earlier grades are shown; the record keeps that they were"
        });
    }

    pub fn open_said(&mut self, spot: Spot, cx: &mut Turn<'_>) {
        let title = self.title_of(spot, "what was said of it?");
        let hint = "by the seller or owner; kept apart from what you see. Empty: nothing";
        let said = self
            .standing_details(cx.book, spot)
            .said
            .unwrap_or_default();
        cx.ask(Layer::typed(title, hint, &said, Line::Said(spot)));
    }

    pub fn open_speed(&mut self, cx: &mut Turn<'_>) {
        let now = self.speed().map(|rpm| format!("now {rpm} rpm; "));
        let hint = format!(
            "{}such as {}. The looks that follow keep it; empty: none",
            now.unwrap_or_default(),
            self.steps_told().unwrap_or_else(|| "1500".to_owned()),
        );
        cx.ask(Layer::line("Engine speed of this step?", hint, Line::Speed));
    }

    /// The speed of the step in the phase in front.
    pub fn put_speed(&mut self, rpm: Option<u32>) {
        match rpm {
            Some(rpm) => self.speeds.insert(self.at.phase, rpm),
            None => self.speeds.remove(&self.at.phase),
        };
    }

    /// Sets the speed of the step, and goes to the first of what is asked at each.
    pub fn set_speed(&mut self, rpm: Option<u32>, cx: &mut Turn<'_>) {
        self.put_speed(rpm);
        let first = self.next_at_speed(cx.book, None);
        if let Some(spot) = first.filter(|_| self.grid.is_none()) {
            self.go(spot);
        }
        if let Some(rpm) = rpm {
            cx.tell(format!("looks from here on are at {rpm} rpm"));
        }
    }

    /// What may be typed as a reading.
    pub fn reading_hint(&self, unit: Unit) -> String {
        let value = format!("a value, in {unit} unless you type the unit");
        match (self.speed(), self.row().is_some_and(|r| r.each_speed)) {
            (Some(rpm), _) => format!("{value}; at {rpm} rpm, or 2000: and the value"),
            (None, true) => format!("{value}; with the engine speed: 1500: and the value"),
            (None, false) => value,
        }
    }

    /// Takes an engine speed typed before a reading, as in `1500: 45 psi`; what is left of it. None
    /// where that was all.
    pub fn take_speed_before(
        &mut self,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<Option<String>, String> {
        let Some((speed, value)) = text.split_once(':') else {
            return Ok(Some(text.to_owned()));
        };
        let rpm = read_rpm(speed)?;
        let value = value.trim();
        if value.is_empty() {
            self.set_speed(Some(rpm), cx);
            return Ok(None);
        }
        self.put_speed(Some(rpm));
        Ok(Some(value.to_owned()))
    }

    /// Finishes with rows unseen; in a survey the reason is asked first.
    pub fn finish_unseen(&mut self, cx: &mut Turn<'_>) {
        if !self.is_survey() {
            return self.finish_walk(cx);
        }
        let mut reasons: Vec<String> = ask::NOT_SEEN.iter().map(|s| (*s).to_owned()).collect();
        reasons.remove(ask::NOT_FITTED);
        cx.ask(Layer::choice(
            "All the rest was not seen: why?",
            reasons,
            Pick::RestWhy,
        ));
    }

    pub fn rest_picked(&mut self, at: usize, text: &str, cx: &mut Turn<'_>) {
        let layer = if at + 1 == ask::TYPED {
            Layer::line(
                "The rest was not seen: why?",
                "a few words",
                Line::RestWords,
            )
        } else {
            rest_how(text)
        };
        cx.ask(layer);
    }

    /// What was typed ahead of looks at an item in a phase, at each speed.
    fn typed_ahead<'b>(
        &'b self,
        book: &'b Book,
        phase: &'b str,
        item: &'b str,
    ) -> impl Iterator<Item = Details> + 'b {
        let walk = &self.started.walk;
        let drafts = book.history().drafts.iter();
        let mine = drafts.filter(move |d| d.walk == *walk && d.phase == phase && d.item == item);
        mine.map(|draft| draft.details.clone())
    }

    /// Records the rest of a survey as not seen and finishes it.
    pub fn put_rest(&mut self, why: &str, close_by: &str, cx: &mut Turn<'_>) {
        let book = &*cx.book;
        let mut records = Vec::new();
        for spot in self.plan.spots() {
            let (phase, Some(item)) = (self.phase_id(spot), self.plan.item(spot)) else {
                continue;
            };
            // What was typed at a speed and has no rung keeps its figure, whatever was seen at another.
            let walk = self.walk(book);
            let ahead = self.typed_ahead(book, phase, item);
            let mut unseen: Vec<Details> = ahead
                .filter(|d| walk.look_at_speed(phase, item, d.at_rpm).is_none())
                .collect();
            if walk.look_in(phase, item).is_some() {
                unseen.retain(|details| details.reading.is_some());
            } else if unseen.is_empty() {
                unseen.push(Details::default());
            }
            for details in unseen {
                let look = Look::not_seen(item, Some(phase), why, Some(close_by.to_owned()));
                records.push(self.left_unseen(book, look, details));
            }
        }
        if self.walk_record(records, true, cx) {
            self.finish_walk(cx);
        }
    }
}

/// Asks how the rest could be seen.
pub fn rest_how(why: &str) -> Layer<WalkScreen> {
    Layer::line(
        "How could the rest be seen?",
        HOW_HINT,
        Line::RestCloseBy(why.to_owned()),
    )
}

/// An engine speed as a person types it.
pub fn read_rpm(text: &str) -> Result<u32, String> {
    let number = text.trim().trim_end_matches("rpm").trim_end();
    let rpm = number
        .parse()
        .ok()
        .filter(|rpm| (50..=20_000).contains(rpm));
    rpm.ok_or_else(|| format!("'{number}' is no engine speed; type such as 1500"))
}

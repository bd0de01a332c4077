//! Asks row by row, makes the document, and issues it.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use super::{DocumentScreen, LOOK, Line, Pick, Row, language_words};
use crate::logbook::named::{Over, is_there, write_named};
use crate::logbook::record::{FrontSaid, Record, entry_fault};
use crate::report::issue::{Made, Plan, numbers};
use crate::report::making::Making;
use crate::report::pictures::LEFT_OUT;
use crate::report::pictures::PhotoSize;
use crate::report::proof::FROM_ELSEWHERE;
use crate::report::words::Language;
use crate::report::write::{Form, WriteError};
use crate::screen::kind::Cx;
use crate::screen::layers::{Choice, Layer};
use crate::text::capital;
use crate::walk::FrontFact;
use crate::walk::front::Entry;

/// So many sentences of what is not in it are read before it is issued; all stand in it.
const NAMED: usize = 4;

impl DocumentScreen {
    /// What Enter asks at a row.
    pub(super) fn ask_row(&mut self, cx: &mut Cx<'_, Self>) {
        let words = |all: &[&str]| all.iter().map(|word| (*word).to_owned()).collect();
        match self.rows.get(self.cursor) {
            None | Some(Row::Head(_) | Row::Issued(_)) => {}
            Some(Row::Fact(fact)) => self.ask_fact(*fact, cx),
            Some(Row::Number) => {
                let known = self.ask.number.clone().unwrap_or_default();
                let hint = "empty: the next by itself; or as it was issued before";
                cx.ask(Layer::typed("Which number?", hint, &known, Line::Number));
            }
            Some(Row::Why) => {
                let known = self.ask.why.clone().unwrap_or_default();
                let hint = "what was wrong, or what is new";
                cx.ask(Layer::typed(
                    "Why is it issued again?",
                    hint,
                    &known,
                    Line::Why,
                ));
            }
            Some(Row::Costs) => {
                let options = words(&["left out", "in it"]);
                cx.ask(Layer::choice(
                    "What putting right may cost",
                    options,
                    Pick::Costs,
                ));
            }
            Some(Row::Photographs) => {
                let options = PhotoSize::ALL.iter().map(ToString::to_string);
                let title = "How large are its photographs?";
                cx.ask(Layer::choice(title, options.collect(), Pick::Photographs));
            }
            Some(Row::Language) => {
                let options = Language::ALL.iter().map(|l| language_words(*l).to_owned());
                cx.ask(Layer::choice(
                    "In which language?",
                    options.collect(),
                    Pick::Language,
                ));
            }
            Some(Row::File) => {
                let hint = "a page, ending in .html";
                cx.ask(Layer::typed(
                    "Into which file?",
                    hint,
                    &self.file,
                    Line::File,
                ));
            }
            Some(Row::Issue) => self.make(cx),
        }
    }

    pub(super) fn ask_find(&mut self, cx: &mut Cx<'_, Self>) {
        cx.ask(Layer::line("Find a row", "a part of its words", Line::Find));
    }

    fn ask_fact(&mut self, fact: FrontFact, cx: &mut Cx<'_, Self>) {
        if let Entry::Choice(words) = fact.entry() {
            let words = words.iter().map(|word| (*word).to_owned());
            let options = words.chain(["not entered".to_owned()]).collect();
            let title = heading(fact);
            return cx.ask(Layer::choice(title, options, Pick::Word(fact)));
        }
        match self.offers.get(&fact) {
            Some(known) => {
                let options = vec!["type it".to_owned(), format!("{known}, as known already")];
                let title = heading(fact);
                cx.ask(Layer::choice(title, options, Pick::Offer(fact)));
            }
            None => self.ask_text(fact, cx),
        }
    }

    fn ask_text(&self, fact: FrontFact, cx: &mut Cx<'_, Self>) {
        let known = self.front.get(fact).unwrap_or_default();
        let title = heading(fact);
        let ask = Line::Fact(fact);
        cx.ask(match fact.entry() {
            Entry::Lines => Layer::note(title, known, ask),
            Entry::Line | Entry::Choice(_) => Layer::typed(title, "empty: not entered", known, ask),
        });
    }

    /// Puts an entry on record, or takes it out where nothing is said.
    pub(super) fn enter(
        &mut self,
        fact: FrontFact,
        text: &str,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        let said = Some(text.trim()).filter(|text| !text.is_empty());
        if said == self.front.get(fact) {
            return Ok(());
        }
        said.map_or(Ok(()), |said| entry_fault(fact, said))?;
        let record = FrontSaid {
            walk: self.walk.clone(),
            at: None,
            entries: BTreeMap::from([(fact, said.map(str::to_owned))]),
        };
        if cx.record_act(Record::from(record))?.is_some() {
            self.read(cx.book);
            cx.renew_all();
        }
        Ok(())
    }

    pub(super) fn written(
        &mut self,
        ask: Line,
        text: &str,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        let text = text.trim();
        let said = (!text.is_empty()).then(|| text.to_owned());
        match ask {
            Line::Find => return self.find(text),
            Line::Fact(fact) => return self.enter(fact, text, cx),
            Line::Number => {
                let fault = said.as_deref().and_then(numbers::fault);
                fault.map_or(Ok(()), Err)?;
                self.ask.number = said;
            }
            Line::Why => self.ask.why = said,
            Line::File => {
                let name = said.ok_or("name a file")?;
                let path = cx.setup.pictures.join(&name);
                if Form::of(&path).map_err(|e| e.to_string())? != Form::Html {
                    return Err("a report is issued as a page; end its name in .html".to_owned());
                }
                is_there(&path).map_err(|e| e.to_string())?;
                self.file = name;
            }
        }
        Ok(())
    }

    pub(super) fn taken(
        &mut self,
        ask: Pick,
        at: usize,
        of: &Choice,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        match ask {
            Pick::Word(fact) => {
                let is_last = at + 1 == of.options.len();
                let word = of.options.get(at).filter(|_| !is_last);
                self.enter(fact, word.map_or("", String::as_str), cx)?;
            }
            Pick::Offer(fact) => match self.offers.get(&fact).cloned() {
                Some(known) if at == 1 => self.enter(fact, &known, cx)?,
                _ => self.ask_text(fact, cx),
            },
            Pick::Costs => self.ask.costs = at == 1,
            Pick::Photographs => {
                let size = PhotoSize::ALL.get(at).copied();
                self.ask.photographs = size.unwrap_or(PhotoSize::Usual);
            }
            Pick::Language => {
                let language = Language::ALL.get(at).copied();
                self.ask.language = language.unwrap_or(Language::English);
            }
            Pick::Issue if at == 1 => self.issue(cx)?,
            Pick::Issue => self.not_issued(cx),
        }
        Ok(())
    }

    /// Begins to make it; nothing is issued by that.
    fn make(&mut self, cx: &mut Cx<'_, Self>) {
        self.ask.by.clone_from(&cx.setup.by);
        let plan = Plan::of(cx.book, cx.book.history(), self.ask.clone());
        let making = plan.map_err(|e| e.to_string()).and_then(|plan| {
            Making::begin(move |progress| plan.make(progress)).map_err(|e| e.to_string())
        });
        match making {
            Ok(making) => self.making = Some((making, Instant::now() + LOOK)),
            Err(why) => cx.warn(why),
        }
    }

    /// Looks at the document under way; where it is made, whether it is issued is asked.
    pub(super) fn look(&mut self, cx: &mut Cx<'_, Self>) {
        let Some((making, at)) = &mut self.making else {
            return;
        };
        *at = Instant::now() + LOOK;
        let Some(answer) = making.answer(Duration::ZERO) else {
            return;
        };
        self.making = None;
        match answer {
            Ok(made) => {
                let title = format!("Issue {}?", made.name());
                let options = vec!["not yet".to_owned(), "issue it".to_owned()];
                cx.ask(Layer::told(
                    title,
                    self.before(&made, cx),
                    options,
                    Pick::Issue,
                ));
                self.made = Some(made);
            }
            Err(WriteError::Stopped) => cx.tell("stopped: nothing was issued"),
            Err(error) => cx.warn(error.to_string()),
        }
    }

    /// What is read before it is issued.
    fn before(&self, made: &Made, cx: &Cx<'_, Self>) -> Vec<String> {
        let content = &made.content;
        let missing = FrontFact::ALL.iter();
        let missing: Vec<String> = missing
            .filter(|fact| self.front.get(**fact).is_none())
            .map(|fact| fact.words())
            .collect();
        let path = cx.setup.pictures.join(&self.file);
        let over = match is_there(&path) {
            Ok(true) => "; the file there is written over",
            Ok(false) | Err(_) => "",
        };
        let mut lead = vec![format!(
            "{} findings, {} items not seen, {} kB to {}{over}.",
            content.findings.len(),
            made.not_seen,
            made.page.len().div_ceil(1000),
            path.display()
        )];
        // Of the first there is nothing to say.
        let again = content.revisions.iter().skip(1);
        lead.extend(again.last().map(|last| last.what.clone()));
        if !missing.is_empty() {
            lead.push(format!("Not entered: {}.", missing.join(", ")));
        }
        if made.left_out > 0 {
            lead.push(format!("{} {LEFT_OUT}.", made.left_out));
        }
        if !made.not_in_it.is_empty() {
            lead.push("On record, and not among these findings, which it says:".to_owned());
        }
        lead.extend(made.not_in_it.iter().take(NAMED).map(ToString::to_string));
        if let Some(more @ 1..) = made.not_in_it.len().checked_sub(NAMED) {
            lead.push(format!("And {more} more of the kind."));
        }
        lead
    }

    pub(super) fn not_issued(&mut self, cx: &mut Cx<'_, Self>) {
        self.made = None;
        cx.tell("nothing was issued");
    }

    fn issue(&mut self, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let made = self.made.take().ok_or("nothing is made")?;
        made.keep(cx.book)
            .map_err(|e| format!("nothing was issued: {e}"))?;
        cx.done = true;
        let path = cx.setup.pictures.join(&self.file);
        let written = write_named(&path, made.page.as_bytes(), Over::Any);
        let written = match written {
            Ok(()) => format!("Written to {}.", path.display()),
            Err(error) => format!(
                "It is kept, but its page was not written: {error}. Write it with: handlamp issued {} --to FILE.html",
                made.content.number
            ),
        };
        let lines = vec![
            format!("Code {}", made.code),
            String::new(),
            written,
            FROM_ELSEWHERE.to_owned(),
        ];
        cx.ask(Layer::page(format!("Issued: {}", made.name()), lines));
        self.ask.why = None;
        self.read(cx.book);
        // On the last that was issued, which stands first on the screen with its code.
        let last = self.issued.len().saturating_sub(1);
        let row = self.rows.iter().position(|row| *row == Row::Issued(last));
        self.cursor = row.unwrap_or(self.cursor);
        cx.renew_all();
        Ok(())
    }
}

fn heading(fact: FrontFact) -> String {
    format!("{}: {}", capital(&fact.words()), fact.asked())
}

//! What is behind the findings of a machine: what belongs together, what it can be, and the looks that
//! tell, which are made from here at once. It records nothing by itself.
//!
//! - [`mod@draw`]: all of it, the gravest first; [`told`]: a few lines of it on other screens

pub mod draw;
pub mod told;

use std::convert::Infallible;
use std::rc::Rc;

use crate::causes::say::{Said, called};
use crate::causes::why::why;
use crate::causes::{Counted, Judged, Offer};
use crate::defects::condition::Condition;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::screen::facts::stepped;
use crate::screen::kind::{Asks, Cx, Finder, Go, Screen, To};
use crate::screen::layers::{Choice, Layer};

/// Lines a page goes on.
const PAGE: usize = 10;
/// Said of a look that no item of the boat stands for.
const NO_ITEM: &str = "no item of this boat is asked it, so it cannot be put on record here";

/// What is behind the findings of a machine, judged once.
pub struct CausesScreen {
    /// The boat now.
    pub condition: Rc<Condition>,
    /// Whose findings, and who looks on.
    pub finder: Finder,
    /// All that is said.
    pub said: Said,
    /// What was found, as it is called: what belongs together, and the rest.
    pub found: [Vec<String>; 2],
    /// The looks that can be made, in the order they are said.
    pub offers: Vec<Offered>,
    /// Something was found.
    pub has_findings: bool,
    /// The look under the arrow.
    pub cursor: usize,
    /// The first line shown, where one reads on.
    pub scroll: usize,
    /// The look under the arrow stays in sight.
    pub follows: bool,
}

/// A look that can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offered {
    /// Its question, by its id.
    pub question: String,
    /// What is looked at.
    pub title: String,
    /// The items whose look answers it on this machine, by their ids.
    pub items: Vec<String>,
    /// It can rule out something dangerous.
    pub rules_out: bool,
}

/// What is picked: at which of these items the look is made.
#[derive(Clone, Debug)]
pub struct Pick {
    question: String,
    items: Vec<String>,
}

impl CausesScreen {
    /// Of the machine of whoever looks.
    pub fn new(book: &Book, finder: Finder) -> CausesScreen {
        let condition = book.condition();
        let behind = condition.behind(book.history(), &finder.machine);
        let judged = behind.judge();
        let offers: Vec<Offered> = judged
            .looks()
            .map(|offer| offered(&condition, &judged, offer, &finder.machine))
            .collect();
        let first = open(&offers).next();
        let together = judged.together();
        let looks = judged.reckoned.looks.iter().enumerate();
        let found = looks.filter(|(_, look)| look.is_finding);
        let (one, rest): (Vec<_>, Vec<_>) = found.partition(|(n, _)| together.contains(n));
        let names =
            |of: Vec<(usize, &Counted)>| of.into_iter().map(|(_, look)| called(look)).collect();
        CausesScreen {
            said: Said::of(&judged),
            found: [names(one), names(rest)],
            has_findings: behind.has_findings(),
            cursor: first.unwrap_or(0),
            offers,
            condition,
            finder,
            scroll: 0,
            follows: true,
        }
    }

    /// Makes a look, or says why it cannot be made.
    fn look(&self, at: usize, cx: &mut Cx<'_, Self>) {
        let Some(offer) = self.offers.get(at) else {
            return cx.warn("no look stands there");
        };
        match offer.items.as_slice() {
            [] => cx.warn(format!("{}: {NO_ITEM}", offer.title)),
            [item] => self.look_at(item, &offer.question, cx),
            items => {
                let options = items.iter().map(|item| self.told(item));
                let pick = Pick {
                    question: offer.question.clone(),
                    items: items.to_vec(),
                };
                let title = format!("{}: where?", offer.title);
                cx.ask(Layer::choice(title, options.collect(), pick));
            }
        }
    }

    fn look_at(&self, item: &str, question: &str, cx: &mut Cx<'_, Self>) {
        let finder = Finder {
            asks: Some(question.to_owned()),
            ..self.finder.clone()
        };
        cx.go(Go::Over(To::Finding(item.to_owned(), finder)));
    }

    /// An item with the rung it was last given.
    fn told(&self, item: &str) -> String {
        let machine = &self.finder.machine;
        let title = self
            .condition
            .name_of(&self.condition.subject(item, machine));
        let life = self.condition.life(item, machine);
        match life.and_then(|life| life.status.judged()) {
            Some(grade) => format!("{title}: {} {grade}", grade.rung()),
            None => format!("{title}: not looked at"),
        }
    }

    /// The arithmetic as a page.
    fn show_why(&self, cx: &mut Cx<'_, Self>) {
        let behind = self
            .condition
            .behind(cx.book.history(), &self.finder.machine);
        let lines = why(&behind.judge());
        let lines = lines
            .iter()
            .map(|line| format!("{}{}", line.lead, line.text));
        let title = "How it comes about: every figure is judgement";
        cx.ask(Layer::page(title, lines.collect()));
    }
}

/// The looks that can be put on record, by their places.
fn open(offers: &[Offered]) -> impl Iterator<Item = usize> {
    let all = offers.iter().enumerate();
    all.filter(|(_, offer)| !offer.items.is_empty())
        .map(|(n, _)| n)
}

fn offered(
    condition: &Condition,
    judged: &Judged<'_>,
    offer: &Offer<'_>,
    machine: &str,
) -> Offered {
    let question = offer.question;
    let items = condition.items_of(question, machine).into_iter();
    let mut dangers = judged.dangers.iter();
    Offered {
        question: question.id.clone(),
        title: question.title.clone(),
        items: items.map(str::to_owned).collect(),
        rules_out: dangers.any(|danger| danger.look.is_some_and(|look| look.id == question.id)),
    }
}

impl Asks for CausesScreen {
    type Pick = Pick;
    type Line = Infallible;
}

impl Screen for CausesScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Pick if self.offers.is_empty() => cx.tell("there is no look to make from here"),
            Action::Pick => self.look(self.cursor, cx),
            Action::Why => self.show_why(cx),
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::GoOn => cx.go(Go::To(To::GoOn)),
            Action::Back => cx.go(Go::Back),
            Action::PageDown | Action::PageUp | Action::First | Action::Last => {
                self.read_on(action)
            }
            _ => match action.own_digit().and_then(|digit| digit.to_digit(10)) {
                Some(digit) => self.look((digit as usize).saturating_sub(1), cx),
                None => {
                    self.cursor = stepped(action, self.cursor, open(&self.offers));
                    self.follows = true;
                }
            },
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, _: &Choice, cx: &mut Cx<'_, Self>) {
        if let Some(item) = ask.items.get(at) {
            self.look_at(item, &ask.question, cx);
        }
    }
}

impl CausesScreen {
    /// The arrow stands on the first look that can be made.
    fn is_at_first(&self) -> bool {
        open(&self.offers).next() == Some(self.cursor)
    }

    /// Other lines, the look under the arrow in sight or not.
    fn read_on(&mut self, action: Action) {
        if std::mem::take(&mut self.follows) {
            self.scroll = 0;
        }
        self.scroll = match action {
            Action::PageDown => self.scroll.saturating_add(PAGE),
            Action::PageUp => self.scroll.saturating_sub(PAGE),
            Action::Last => usize::MAX,
            _ => 0,
        };
    }
}

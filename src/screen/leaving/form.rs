//! A plan typed in one go: each question has an answer in it already, so that Enter passes it.

use crate::boat::Waters;
use crate::checklist::Who;
use crate::defects::NamedPlan;
use crate::defects::leaving_words::time_in_words;
use crate::defects::plan::Hand;
use crate::defects::plan_words::{read_hands, read_minutes, read_sum, short};
use crate::logbook::record::Record;
use crate::screen::kind::Cx;
use crate::screen::layers::Layer;
use crate::screen::leaving::{LeavingScreen, Line};

/// A first plan begins with these (judgement): a weekend, most of the day under engine.
const HOURS_A_DAY: f64 = 8.0;
const DAYS: f64 = 3.0;
const WORK: u32 = 360;

/// A question of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanQuestion {
    /// What it is called.
    Name,
    /// Running hours a day.
    HoursPerDay,
    /// Days.
    Days,
    /// Waters.
    Waters,
    /// Time to work before it.
    Work,
    /// Money before it.
    Spend,
    /// Who can lend a hand.
    Hands,
    /// Days ashore before it.
    Ashore,
}

impl PlanQuestion {
    const ALL: [PlanQuestion; 8] = [
        PlanQuestion::Name,
        PlanQuestion::HoursPerDay,
        PlanQuestion::Days,
        PlanQuestion::Waters,
        PlanQuestion::Work,
        PlanQuestion::Spend,
        PlanQuestion::Hands,
        PlanQuestion::Ashore,
    ];

    /// What is asked, and what can be typed.
    const fn asks(self) -> (&'static str, &'static str) {
        match self {
            PlanQuestion::Name => (
                "What is the passage called?",
                "a name of its own makes a plan of its own",
            ),
            PlanQuestion::HoursPerDay => (
                "How many hours a day does the engine run?",
                "such as 20; empty: the usual use",
            ),
            PlanQuestion::Days => ("How many days?", "such as 3"),
            PlanQuestion::Waters => ("Which waters?", "sheltered, inshore, offshore or ocean"),
            PlanQuestion::Work => (
                "How much time is there to work before it?",
                "such as 6h, 90min or 2h30; empty: no limit",
            ),
            PlanQuestion::Spend => (
                "How much money is there?",
                "a sum, in the currency of the estimates; empty: no limit",
            ),
            PlanQuestion::Hands => (
                "Who can lend a hand?",
                "owner, mechanic, electrician, yard; with a time: owner, mechanic=3h",
            ),
            PlanQuestion::Ashore => (
                "Does she stand ashore before it?",
                "for how many days, such as 5; empty: she stays afloat",
            ),
        }
    }

    fn next(self) -> Option<PlanQuestion> {
        let at = PlanQuestion::ALL
            .iter()
            .position(|question| *question == self)?;
        PlanQuestion::ALL.get(at + 1).copied()
    }

    /// As it stands in a plan.
    fn of(self, plan: &NamedPlan) -> String {
        let figure = |value: Option<f64>| value.map(short).unwrap_or_default();
        match self {
            PlanQuestion::Name => plan.name.clone(),
            PlanQuestion::HoursPerDay => figure(plan.hours_per_day),
            PlanQuestion::Days => figure(plan.days),
            PlanQuestion::Waters => plan.waters.map(|w| w.to_string()).unwrap_or_default(),
            PlanQuestion::Work => plan.work.map(time_in_words).unwrap_or_default(),
            PlanQuestion::Spend => figure(plan.spend),
            PlanQuestion::Ashore => figure(plan.ashore_days),
            PlanQuestion::Hands => {
                let hands: Vec<String> = plan.hands.iter().map(Hand::in_words).collect();
                hands.join(", ")
            }
        }
    }

    /// Puts what was typed into a plan.
    fn put(self, plan: &mut NamedPlan, text: &str) -> Result<(), String> {
        let text = text.trim();
        let figure = |what: &str| match text {
            "" => Ok(None),
            text => match text.replace(',', ".").parse::<f64>() {
                Ok(value) if value.is_finite() && value >= 0.0 => Ok(Some(value)),
                _ => Err(format!("expected {what}")),
            },
        };
        match self {
            PlanQuestion::Name if text.is_empty() => return Err("say what it is called".to_owned()),
            PlanQuestion::Name => text.clone_into(&mut plan.name),
            PlanQuestion::HoursPerDay => {
                plan.hours_per_day = figure("hours a day, more than 0 and up to 24")?
            }
            PlanQuestion::Days => {
                plan.days = figure("days, such as 3")?;
                if plan.days.is_none() {
                    return Err("say how many days".to_owned());
                }
            }
            PlanQuestion::Waters => {
                plan.waters = match text {
                    "" => None,
                    text => Some(text.parse::<Waters>().map_err(|e| e.to_string())?),
                };
            }
            PlanQuestion::Work => {
                plan.work = (!text.is_empty()).then(|| read_minutes(text)).transpose()?
            }
            PlanQuestion::Spend => {
                let sum = (!text.is_empty()).then(|| read_sum(text)).transpose()?;
                plan.spend = sum.map(|hundredths| hundredths as f64 / 100.0);
            }
            PlanQuestion::Ashore => plan.ashore_days = figure("days, such as 5")?,
            PlanQuestion::Hands => plan.hands = read_hands(text)?,
        }
        Ok(())
    }
}

impl LeavingScreen {
    /// Begins with the plan in front, or with what was typed before and left.
    pub(super) fn begin(&self, cx: &mut Cx<'_, Self>) {
        if cx.leaving.typed.is_none() {
            cx.leaving.typed = Some(self.begun());
        }
        self.ask(PlanQuestion::Name, cx);
    }

    /// What stands in the form at first.
    fn begun(&self) -> NamedPlan {
        match self
            .plan()
            .filter(|plan| plan.days.is_some() || plan.hours.is_some())
        {
            Some(plan) => NamedPlan {
                hours: None,
                hours_per_day: plan.per_day(),
                days: Some(self.asked.scenario.exposure.days),
                waters: Some(self.asked.scenario.waters),
                ..plan.clone()
            },
            None => NamedPlan {
                name: "passage".to_owned(),
                hours_per_day: Some(HOURS_A_DAY),
                days: Some(DAYS),
                waters: Some(self.asked.scenario.waters),
                work: Some(WORK),
                hands: vec![Hand {
                    who: Who::Owner,
                    minutes: None,
                }],
                ..NamedPlan::default()
            },
        }
    }

    fn ask(&self, question: PlanQuestion, cx: &mut Cx<'_, Self>) {
        let text = cx.leaving.typed.as_ref().map(|plan| question.of(plan));
        let (title, hint) = question.asks();
        cx.ask(Layer::typed(
            title,
            hint,
            &text.unwrap_or_default(),
            Line::Form(question),
        ));
    }

    /// Takes an answer, and asks on; the last one puts the plan on record.
    pub(super) fn answer(
        &mut self,
        question: PlanQuestion,
        text: &str,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        let mut plan = cx.leaving.typed.clone().unwrap_or_else(|| self.begun());
        question.put(&mut plan, text)?;
        // A name of its own is a plan of its own: what was taken in elsewhere does not go with it.
        if question == PlanQuestion::Name {
            let known = cx.book.history().plans.get(&plan.name);
            (plan.with, plan.without) = known.map_or_else(Default::default, |known| {
                (known.with.clone(), known.without.clone())
            });
        }
        let checked = NamedPlan {
            days: plan.days.or(Some(DAYS)),
            ..plan.clone()
        };
        cx.check_act(Record::from(checked))?;
        cx.leaving.typed = Some(plan.clone());
        if let Some(next) = question.next() {
            self.ask(next, cx);
            return Ok(());
        }
        let name = plan.name.clone();
        if cx.record_act(Record::from(plan))?.is_some() {
            cx.leaving.typed = None;
            cx.leaving.kept.remove(&name);
            cx.leaving.plan = Some(name.clone());
            *self = LeavingScreen::new(cx.book, &cx.leaving);
            cx.tell(format!("plan {name} recorded"));
        }
        Ok(())
    }

    /// What was typed so far stays in the form.
    pub(super) fn leave_half_typed(
        &self,
        question: PlanQuestion,
        text: &str,
        cx: &mut Cx<'_, Self>,
    ) {
        if let Some(plan) = &mut cx.leaving.typed {
            // What is wrong with it is said when it is asked again.
            let _ = question.put(plan, text);
        }
    }
}

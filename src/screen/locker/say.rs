//! What is said of a spare by keys: counted, used, bought, thrown away; where it lies, its dates, its tools.

use chrono::NaiveDate;

use super::{Line, LockerScreen, Pick};
use crate::defects::{SpareSaid, StockChange, StockMove};
use crate::logbook::record::Record;
use crate::screen::kind::Cx;
use crate::screen::layers::Layer;

impl LockerScreen {
    /// What can be said of the spare under the arrow; the first line changes least.
    pub(super) fn ask_spare(&self, cx: &mut Cx<'_, Self>) {
        let Some(row) = self.here() else {
            return;
        };
        let is = |said: Option<bool>| match said {
            Some(true) => "yes",
            Some(false) => "no",
            None => "not known",
        };
        let tools = match row.needs_tools.is_empty() {
            true => "none needed".to_owned(),
            false => row.needs_tools.join(", "),
        };
        let options = vec![
            "seen and counted: how many there are".to_owned(),
            "one used".to_owned(),
            "bought: how many came aboard".to_owned(),
            "where it lies".to_owned(),
            "fitted once in harbour: when".to_owned(),
            format!("tools aboard ({tools}): {}; turn it", is(row.tools)),
            format!("instruction aboard: {}; turn it", is(row.instruction)),
            "use-by date".to_owned(),
            "one thrown away".to_owned(),
        ];
        cx.ask(Layer::choice(row.title.clone(), options, Pick::Spare));
    }

    pub(super) fn spare_picked(&mut self, at: usize, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let Some(row) = self.here() else {
            return Ok(());
        };
        let said = SpareSaid::of(&row.spare, row.machine.as_deref());
        let (tools, instruction) = (row.tools, row.instruction);
        let turned = |said: Option<bool>| Some(said != Some(true));
        let day = "a day, such as 2026-04-02; empty: not known";
        let today = cx.book.condition().now.date_naive().to_string();
        let count = format!("{}", row.count);
        let lies = row.lies.clone().unwrap_or_default();
        let title = row.title.clone();
        let fitted = row.fitted_once.map_or(today, |day| day.to_string());
        let use_by = row.use_by.map(|day| day.to_string()).unwrap_or_default();
        let ask = |cx: &mut Cx<'_, Self>, what: &str, hint: &str, text: &str, line| {
            cx.ask(Layer::typed(format!("{title}: {what}"), hint, text, line));
        };
        match at {
            0 => ask(
                cx,
                "how many there are",
                "seen, not believed",
                &count,
                Line::Many(StockMove::Counted),
            ),
            1 => return self.moved(StockMove::Used, 1.0, cx),
            2 => ask(
                cx,
                "how many came aboard",
                "a number",
                "1",
                Line::Many(StockMove::Bought),
            ),
            3 => ask(
                cx,
                "where it lies",
                "a few words; empty: not known",
                &lies,
                Line::Lies,
            ),
            4 => ask(cx, "fitted once in harbour", day, &fitted, Line::Fitted),
            5 => {
                let tools = turned(tools);
                return self.put(Record::from(SpareSaid { tools, ..said }), cx);
            }
            6 => {
                let instruction = turned(instruction);
                return self.put(
                    Record::from(SpareSaid {
                        instruction,
                        ..said
                    }),
                    cx,
                );
            }
            7 => ask(cx, "use-by date", day, &use_by, Line::UseBy),
            _ => return self.moved(StockMove::ThrownAway, 1.0, cx),
        }
        Ok(())
    }

    pub(super) fn say(
        &mut self,
        ask: Line,
        text: &str,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        let text = text.trim();
        let Some(row) = self.here() else {
            return Ok(());
        };
        let mut said = SpareSaid::of(&row.spare, row.machine.as_deref());
        let field = match ask {
            Line::Many(moved) => {
                let count = text.replace(',', ".").parse::<f64>();
                let count = count.map_err(|_| "expected a number".to_owned())?;
                return self.moved(moved, count, cx);
            }
            Line::Lies => "lies",
            Line::Fitted => "fitted_once",
            Line::UseBy => "use_by",
            Line::Find | Line::Own => return Ok(()),
        };
        let day = || {
            text.parse::<NaiveDate>()
                .map_err(|_| "expected a day, such as 2026-04-02")
        };
        match field {
            _ if text.is_empty() => said.not_known = vec![field.to_owned()],
            "lies" => said.lies = Some(text.to_owned()),
            "fitted_once" => said.fitted_once = Some(day()?),
            _ => said.use_by = Some(day()?),
        }
        self.put(Record::from(said), cx)
    }

    fn moved(&mut self, moved: StockMove, count: f64, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let Some(row) = self.here() else {
            return Ok(());
        };
        let none = row.count <= 0.0 && matches!(moved, StockMove::Used | StockMove::ThrownAway);
        if none {
            return Err("none is aboard by the record; count them first".to_owned());
        }
        let change = StockChange {
            spare: row.spare.clone(),
            machine: row.machine.clone(),
            at: None,
            moved,
            count,
            used_for: None,
            note: None,
        };
        self.put(Record::from(change), cx)
    }
}

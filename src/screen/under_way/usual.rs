//! A round that claims all as usual: what it claims is shown in words, then one key takes it. A figure is
//! never filled in, and nothing is graded.

use crate::checklist::RoundLook;
use crate::checklist::watch_round::cautions;
use crate::defects::UnderWay;
use crate::defects::round_due::RoundDue;
use crate::defects::under_way::Passage;
use crate::defects::under_way_line::Leg;
use crate::logbook::record::Record;
use crate::screen::kind::Cx;
use crate::screen::layers::Layer;
use crate::screen::under_way::UnderWayScreen;

/// So many minutes after a round another one is asked about first (judgement).
const AGAIN: i64 = 10;

/// What can be said of a round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Nothing is written.
    Leave,
    /// Another round is said, soon after the last.
    Another,
    /// All that is due is as usual; true with the engine off.
    Claim(bool),
    /// The words of that are shown first.
    Ask(bool),
    /// Figures are typed.
    Figures,
    /// What is looked at with the engine off.
    Standing(&'static RoundLook),
    /// The engine was run in neutral for the turning shaft.
    ShaftRun(&'static RoundLook),
}

impl UnderWayScreen {
    /// Asks whether all is as usual; soon after a round whether there is to be another.
    pub(super) fn ask_usual(&mut self, cx: &mut Cx<'_, Self>) {
        self.read(cx.book);
        match self.now.minutes_since_round().filter(|min| *min < AGAIN) {
            Some(minutes) => cx.ask(Layer::choice(
                format!("A round was noted {minutes} min ago"),
                vec![
                    "leave it: nothing more is written".to_owned(),
                    "another round".to_owned(),
                ],
                vec![Way::Leave, Way::Another],
            )),
            None => self.ask_claims(self.engine_off(), cx),
        }
    }

    /// She sails, or is towed, with the engine off, as the last round told.
    fn engine_off(&self) -> bool {
        self.now
            .running
            .as_ref()
            .is_some_and(|running| running.engine_off)
    }

    fn ask_claims(&self, engine_off: bool, cx: &mut Cx<'_, Self>) {
        let due = self.due(engine_off, cx);
        let mut lead: Vec<String> = due
            .claims()
            .iter()
            .map(|claim| format!("- {claim}"))
            .collect();
        let not_said = due.found.iter();
        lead.extend(
            not_said.map(|(look, found)| format!("Not said: {}; found: {found}", look.look)),
        );
        lead.extend(cautions().iter().map(|caution| format!("! {caution}")));
        let (title, as_now, other) = match engine_off {
            true => (
                "Engine off, all as usual? It says, word for word:",
                "all of that is as usual, the engine off",
                "the engine runs again: what is said then",
            ),
            false => (
                "All as usual? It says, word for word:",
                "all of that is as usual",
                "sailing, the engine off: what is said then",
            ),
        };
        let mut ways = vec![
            (as_now, Way::Claim(engine_off)),
            ("figures, or a remark", Way::Figures),
            (other, Way::Ask(!engine_off)),
        ];
        if let Some(look) = due.standing {
            let words = "engine off, key out: levels, belt and strainer as usual";
            ways.push((words, Way::Standing(look)));
        }
        let running = self.now.running.as_ref();
        if let Some(shaft) = running.and_then(|running| running.shaft.as_ref()) {
            ways.push((
                "run in neutral for the turning shaft",
                Way::ShaftRun(shaft.look),
            ));
        }
        let options = ways.iter().map(|(words, _)| (*words).to_owned()).collect();
        let ways = ways.into_iter().map(|(_, way)| way).collect();
        cx.ask(Layer::told(title, lead, options, ways));
    }

    pub(super) fn go_way(&mut self, way: Way, cx: &mut Cx<'_, Self>) {
        match way {
            Way::Leave => cx.tell("nothing more is written"),
            Way::Another => self.ask_claims(self.engine_off(), cx),
            Way::Ask(engine_off) => self.ask_claims(engine_off, cx),
            Way::Figures => self.begin(Leg::Round, false, cx),
            Way::Claim(engine_off) => {
                let claims = self.due(engine_off, cx).claims();
                self.claim(claims, engine_off, cx);
            }
            Way::Standing(look) => self.claim(vec![look.usual.clone()], false, cx),
            Way::ShaftRun(look) => self.claim(vec![look.usual.clone()], true, cx),
        }
    }

    /// What is due now, the engine running or off.
    fn due(&self, engine_off: bool, cx: &Cx<'_, Self>) -> RoundDue {
        let now = cx.book.now();
        let running = Passage::running(cx.book.history(), &self.machine, now);
        let due = running.map(|passage| {
            let condition = &self.now.condition;
            condition.round_due(&passage, (&self.machine, now), engine_off)
        });
        due.unwrap_or_default()
    }

    /// Writes a round down that claims something as usual.
    fn claim(&mut self, usual: Vec<String>, engine_off: bool, cx: &mut Cx<'_, Self>) {
        if usual.is_empty() {
            return cx.warn("nothing is left to be said as usual: type figures, or a remark");
        }
        let line = UnderWay {
            machine: Some(self.machine.clone()),
            by: cx.setup.by.clone(),
            usual,
            engine_off,
            ..UnderWay::bare(Leg::Round)
        };
        match cx.record_act(Record::from(line)) {
            Ok(Some(_)) => {
                self.read(cx.book);
                self.tell_written(cx);
            }
            Ok(None) => {}
            Err(wrong) => cx.warn(wrong),
        }
    }

    /// Says that a line is on record, and when the next round is due.
    pub(super) fn tell_written(&self, cx: &mut Cx<'_, Self>) {
        let next = self.now.running.as_ref().and_then(|running| running.next);
        cx.tell(match next {
            Some(next) => format!("written down; the next round {}", next.format("%H:%M")),
            None => "written down".to_owned(),
        });
    }
}

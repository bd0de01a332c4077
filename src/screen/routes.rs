//! Which screen is where: every place one can go to, and what stands there.

use crate::screen::behind::{ClockBehind, GoOn};
use crate::screen::boat::BoatScreen;
use crate::screen::by_name::ByName;
use crate::screen::causes::CausesScreen;
use crate::screen::defects::DefectsScreen;
use crate::screen::document::DocumentScreen;
use crate::screen::entries::EntriesScreen;
use crate::screen::finding::{self, Trouble};
use crate::screen::front::{Base, Front, Open};
use crate::screen::give_on::GiveOnScreen;
use crate::screen::kind::To;
use crate::screen::leaving::LeavingScreen;
use crate::screen::locker::LockerScreen;
use crate::screen::own_item::OwnItemScreen;
use crate::screen::own_list::OwnListScreen;
use crate::screen::parts::PartsScreen;
use crate::screen::places::PlacesScreen;
use crate::screen::profile::ProfileScreen;
use crate::screen::readings::ReadingsScreen;
use crate::screen::report::ReportScreen;
use crate::screen::service::ServiceScreen;
use crate::screen::symptoms::{FirstWords, Symptoms};
use crate::screen::under_way::UnderWayScreen;
use crate::screen::unsaved::Unsaved;
use crate::screen::verdict::VerdictScreen;
use crate::screen::walk;
use crate::screen::walks::WalksScreen;

/// The screen at a place; none where there is nothing to show, which is told where nobody knows.
pub fn open(to: To, base: &mut Base) -> Option<Box<dyn Open>> {
    let (shared, book) = (&mut base.shared, base.book.as_mut()?);
    Some(match to {
        To::Boat(machine) => Front::of(BoatScreen::new(book, machine)),
        To::Walk {
            checklist,
            machine,
            asked,
            guest,
        } => match ClockBehind::of(book, &checklist, &machine, guest.as_deref()).filter(|_| !asked)
        {
            Some(behind) => Front::begin(behind, shared, book, ClockBehind::ask),
            None => return walk::begin(shared, book, &checklist, &machine, guest),
        },
        To::Resume(id) => return walk::resume(shared, book, &id),
        To::Verdict(id) => Front::of(VerdictScreen::new(book, &id, None)?),
        To::End(id, pace) => {
            let mut finished = book.history().walks.iter().filter(|w| w.finished.is_some());
            let mut verdict = VerdictScreen::new(book, &id, pace)?;
            verdict.is_first = finished.all(|w| w.id == id);
            Front::begin(verdict, shared, book, |verdict, cx| verdict.remind(cx))
        }
        To::Trouble(finder) => Front::of(ByName::new(Trouble::new(book, finder))),
        To::Finding(item, finder) => Front::of(finding::begin(shared, book, &item, finder)?),
        To::Causes(finder) => Front::of(CausesScreen::new(book, finder)),
        To::Symptoms(finder) => Front::of(ByName::new(Symptoms::new(finder))),
        To::FirstWords(symptom, finder) => Front::of(FirstWords::new(book, &symptom, finder)?),
        To::Defects => Front::of(DefectsScreen::new(book)),
        To::Leaving => Front::of(LeavingScreen::new(book, &shared.leaving)),
        To::UnderWay => Front::of(UnderWayScreen::new(book)),
        To::Walks => Front::of(WalksScreen::new(book)),
        To::Readings(item, state) => Front::of(ReadingsScreen::new(book, item.as_ref(), state)),
        To::Places(front) => Front::of(PlacesScreen::new(book, front.as_ref())),
        To::Service => Front::begin(ServiceScreen::new(book), shared, book, |_, cx| {
            crate::screen::service::forms::tell_of_forms(cx)
        }),
        To::Entries => Front::of(EntriesScreen::new(book)),
        To::TakeBack(about) => Front::begin(
            EntriesScreen::about(book, &about),
            shared,
            book,
            |entries, cx| entries.turn(cx),
        ),
        To::Parts(wanted) => Front::of(PartsScreen::new(book, wanted)?),
        To::Locker => Front::of(LockerScreen::new(book)),
        To::Profile => Front::of(ProfileScreen::new(book)),
        To::OwnItem(Some(id)) => Front::of(OwnItemScreen::of(book, &id)?),
        To::OwnItem(None) => Front::begin(
            OwnItemScreen::new(book),
            shared,
            book,
            OwnItemScreen::ask_title,
        ),
        To::OwnList(Some(id)) => Front::of(OwnListScreen::of(book, &id)?),
        To::OwnList(None) => Front::begin(
            OwnListScreen::new(book),
            shared,
            book,
            OwnListScreen::ask_title,
        ),
        To::Ten(machine) => match ProfileScreen::ten(book, &machine) {
            Some(ten) => Front::of(ten),
            None => Front::of(BoatScreen::new(book, 0)),
        },
        To::Report(walk) => {
            let report = ReportScreen::of(book, &walk)?;
            Front::begin(report, shared, book, ReportScreen::begin)
        }
        To::Document(walk) => Front::of(DocumentScreen::of(book, &walk)?),
        To::OfBoat { hand_over } => {
            let report = ReportScreen::of_boat(book, hand_over);
            Front::begin(report, shared, book, |report, cx| report.begin(cx))
        }
        To::GiveOn => Front::begin(GiveOnScreen::default(), shared, book, |give_on, cx| {
            give_on.ask(cx);
        }),
        To::GoOn => Front::begin(GoOn::of(shared, book)?, shared, book, GoOn::ask),
        To::Unsaved => Front::begin(Unsaved(book.unsaved()), shared, book, Unsaved::ask),
    })
}

/// True for what stands over the screen beneath.
pub fn is_box(front: &dyn Open) -> bool {
    front.shown().is_some_and(|shown| shown.is_box())
}

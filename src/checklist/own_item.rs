//! An item of one's own, made and changed question by question: what each question is called, why it
//! is asked, how its answer is typed, kept and shown.

use super::catalogue::{CatalogueFile, CatalogueTag};
use super::faults::{self, Faults, LONGEST_ID};
use super::first_look::FirstLook;
use super::item::{Effect, Item, Remedy};
use super::library::Library;
use super::own::{Own, Sort, Source};
use super::rules;
use super::wording::nearest;
use super::words::{EffectKind, Grade, Kind, Scope, Where, Who};
use crate::boat::Role;
use crate::text::{id_from, safe_line, words};

words! {
    /// What is asked of an item of one's own, in the order of its form.
    Ask, "question" {
        /// What it is called.
        Title = "title",
        /// Where one stands to see it.
        Station = "station",
        /// One for each machine, or one for the boat.
        Of = "of",
        /// The machines it is asked of.
        Roles = "roles",
        /// What sort of thing it is.
        Kind = "kind",
        /// How to look.
        Look = "look",
        /// What stands before that.
        Caution = "caution",
        /// How it looks at each rung.
        Sound = "sound",
        /// See above.
        Early = "early",
        /// See above.
        Worn = "worn",
        /// See above.
        Failing = "failing",
        /// See above.
        Failed = "failed",
        /// What follows when it fails.
        Effects = "effects",
        /// The rung at which it forbids running.
        StopAt = "stop_at",
        /// What puts it right.
        Remedy = "remedy",
        /// Who can do that.
        Who = "who",
        /// Where that can be done.
        Where = "where",
        /// What it takes.
        Parts = "parts",
        /// When a look is old.
        EveryDays = "look_every_days",
        /// How long a look takes.
        Seconds = "seconds",
        /// Where its words come from.
        Source = "source",
    }
}

/// The chance that an effect follows, in words, most certain first. The bounds are those of
/// MIL-STD-1629A, 3.2.1.2 (actual loss 1, probable loss above 0.1 and below 1, possible loss at most
/// 0.1); the figure in the middle of the second is a judgement.
pub const CHANCES: [(&str, f64); 3] = [("certainly", 1.0), ("probably", 0.5), ("possibly", 0.1)];

/// What is typed where an answer is to be as the method has it, or where there is none.
pub const NONE: &str = "none";

/// Between several texts of one answer; a sentence has it not.
const SEVERAL: &str = " | ";
/// The longest text of an answer, bytes.
pub(super) const LONGEST_TEXT: usize = 400;
/// The longest title, bytes: it has to stand in a line of the walk.
pub(super) const LONGEST_TITLE: usize = 60;
/// A look that takes longer is more than one look, seconds (judgement).
const LONGEST_LOOK: u32 = 1800;
/// A look older than this says nothing, days (judgement).
const OLDEST_LOOK: u32 = 3650;

/// The least that has to be known of a new item.
#[derive(Clone, Debug, PartialEq)]
pub struct NewItem {
    /// What it is called.
    pub title: String,
    /// Id of the station.
    pub station: String,
    /// What sort of thing it is.
    pub kind: Kind,
    /// What follows when it fails.
    pub effect: EffectKind,
    /// One for each machine, or one aboard.
    pub scope: Scope,
}

/// A new item with words for its ladder that hold of anything of its kind, until better ones are put
/// there.
///
/// # Errors
/// What is wrong with it, in a sentence.
pub fn new_item(new: NewItem, library: &Library) -> Result<Item, String> {
    let (ladder, first_look, every) = match new.kind.wears() {
        true => (WEARS, None, None),
        false => (COMES_AND_GOES, Some(FIRST_LOOK), Some(7)),
    };
    let item = Item {
        id: id_from(&new.title, LONGEST_ID - 8, "own-item", |id| {
            library.catalogue.item(id).is_none()
        }),
        title: new.title.trim().to_owned(),
        split_from: None,
        called_for: false,
        hidden_afloat: false,
        scope: new.scope,
        roles: None,
        kind: new.kind,
        station: new.station,
        look: "Look at it from all sides.".to_owned(),
        look_running: None,
        look_after: None,
        ladder: ladder.map(str::to_owned),
        first_look: first_look.map(FirstLook::from),
        reading: None,
        fluid: None,
        place: None,
        near_heat: false,
        effects: vec![Effect::new(new.effect, CHANCES[1].1)],
        stop_at: None,
        order: None,
        before_key: false,
        before_start: None,
        marks: None,
        cautions: Vec::new(),
        remedy: Remedy {
            action: "mend or renew it".to_owned(),
            who: Who::Owner,
            place: Where::InPort,
        },
        parts: Vec::new(),
        life: None,
        look_every_days: every,
        seconds: 20,
        source: "the owner's own words".to_owned(),
    };
    Ask::Title.put(&item, &item.title, library)
}

const WEARS: [&str; 5] = [
    "As it should be",
    "A first sign; it does its work",
    "Clearly worn; it does its work",
    "Near its end; it does its work badly",
    "It does not do its work",
];
const COMES_AND_GOES: [&str; 5] = [
    "As usual",
    "A little off the usual",
    "Clearly off the usual",
    "Far off the usual",
    "As bad as it can be",
];
/// The same for a first look, but the last, which needs none.
const FIRST_LOOK: [&str; 4] = [
    "As it should be",
    "A little off what it should be",
    "Clearly off what it should be",
    "Far off what it should be",
];

/// Why an item is not to be changed here; none where it is one's own. One sentence without a full
/// stop.
pub fn not_own(library: &Library, id: &str) -> Option<String> {
    let shown = safe_line(id);
    if library.catalogue.item(id).is_none() {
        let own = library.own().into_iter();
        let own = own
            .filter(|(sort, ..)| *sort == Sort::Item)
            .map(|(_, id, ..)| id);
        let near = nearest(id, own).unwrap_or_default();
        return Some(format!("there is no item '{shown}'{near}"));
    }
    let is_built_in = library.source(Sort::Item, id) == Source::BuiltIn
        || Library::built_in().catalogue.item(id).is_some();
    is_built_in.then(|| {
        format!(
            "'{shown}' is the program's own and stays as it is; add an item of your own beside it"
        )
    })
}

/// What is wrong with an item on top of what is known, one sentence without a full stop.
///
/// # Errors
/// The first fault, with the name of its field.
fn check(item: &Item, library: &Library) -> Result<(), String> {
    let file = CatalogueFile {
        tag: CatalogueTag::Catalogue,
        stations: Vec::new(),
        items: vec![item.clone()],
    };
    let mut faults = Faults::default();
    rules::catalogue(&file, &library.catalogue, &mut faults);
    faults::hidden_characters(&file, &mut faults);
    match faults.first() {
        Some(fault) => Err(fault.replacen("items[0].", "", 1)),
        None => Ok(()),
    }
}

/// Things of one's own that are but one item.
pub fn alone(item: Item) -> Own {
    let mut own = Own::default();
    own.items.push(item);
    own
}

impl Ask {
    /// As it stands before the answer.
    pub const fn words(self) -> &'static str {
        match self {
            Ask::Title => "Called",
            Ask::Station => "Where one stands to see it",
            Ask::Of => "One for each machine, or one aboard",
            Ask::Roles => "Asked of machines that are",
            Ask::Kind => "What sort of thing",
            Ask::Look => "How to look",
            Ask::Caution => "Caution before that",
            Ask::Sound => "0 sound",
            Ask::Early => "1 early",
            Ask::Worn => "2 worn",
            Ask::Failing => "3 failing",
            Ask::Failed => "4 failed",
            Ask::Effects => "When it fails",
            Ask::StopAt => "Not to be run from",
            Ask::Remedy => "What puts it right",
            Ask::Who => "Who can do that",
            Ask::Where => "Where",
            Ask::Parts => "Parts it takes",
            Ask::EveryDays => "A look is old after",
            Ask::Seconds => "A look takes",
            Ask::Source => "Where its words come from",
        }
    }

    /// Why it is asked, and what follows.
    pub const fn why(self) -> &'static str {
        match self {
            Ask::Title => "It stands in the walk, the list and the report by this name.",
            Ask::Station => "The walk comes past there once.",
            Ask::Of => {
                "What each machine has is looked at machine by machine. Whose it is does not change afterwards, or looks on record would be another's."
            }
            Ask::Roles => "A generator is not asked for levers.",
            Ask::Kind => {
                "How fast it goes from one rung to the next is taken from its kind until her own looks have taught it (judgement)."
            }
            Ask::Look => "What to do with hand and eye, so that two people look at the same.",
            Ask::Caution => "What can hurt whoever looks. The maker's handbook comes first.",
            Ask::Sound | Ask::Early | Ask::Worn | Ask::Failing | Ask::Failed => {
                "Words that tell this rung from its neighbours by looking."
            }
            Ask::Effects => {
                "What follows makes its place in the list, and whether it stops the engine."
            }
            Ask::StopAt => {
                "Empty: as its effects have it. Words here can make it stricter than that, never milder."
            }
            Ask::Remedy | Ask::Who | Ask::Where | Ask::Parts => {
                "It stands in the list of work, and on the list of parts."
            }
            Ask::EveryDays => {
                "What comes and goes has to be looked at again, after seven days where you say nothing (judgement); what wears is reckoned by its kind."
            }
            Ask::Seconds => {
                "A walk made faster than its looks take is told so; 20 s where you say nothing (judgement)."
            }
            Ask::Source => "A handbook's page, or whose experience it is.",
        }
    }

    /// How it is typed.
    pub fn hint(self) -> String {
        match self {
            Ask::Station => "the id of a place".to_owned(),
            Ask::Of => "machine or boat".to_owned(),
            Ask::Roles => format!("{}, with commas; none: inboard engines", list(Role::ALL)),
            Ask::Kind => list(&kinds()),
            Ask::Caution | Ask::Parts => {
                "more than one: a stroke | between; none: nothing".to_owned()
            }
            Ask::Effects => "such as: flooding probably; nuisance certainly".to_owned(),
            Ask::StopAt => {
                "early, worn, failing or failed; none: as its effects have it".to_owned()
            }
            Ask::Who => list(Who::ALL),
            Ask::Where => list(Where::ALL),
            Ask::EveryDays => "days; none: by its kind".to_owned(),
            Ask::Seconds => "seconds".to_owned(),
            _ => "in a few plain words".to_owned(),
        }
    }

    /// What can be picked: the word typed, and how it is told; none where it is typed.
    pub fn picks(self, library: &Library) -> Option<Vec<(String, String)>> {
        let of = |all: Vec<String>| {
            let told = all.into_iter().map(|w| (w.clone(), w.replace('-', " ")));
            Some(told.collect())
        };
        match self {
            Ask::Station => {
                let all = library.catalogue.stations().iter();
                Some(all.map(|s| (s.id.clone(), s.title.clone())).collect())
            }
            Ask::Of => of(names(Scope::ALL)),
            Ask::Kind => of(names(&kinds())),
            Ask::Who => of(names(Who::ALL)),
            Ask::Where => of(names(Where::ALL)),
            Ask::StopAt => {
                let rungs = names(&Grade::ALL[1..]).into_iter().map(|w| (w.clone(), w));
                let unsaid = (NONE.to_owned(), "as its effects have it".to_owned());
                Some(rungs.chain([unsaid]).collect())
            }
            _ => None,
        }
    }

    /// The answer as it is typed; empty where nothing is said.
    pub fn typed(self, item: &Item) -> String {
        let word = |word: Option<&str>| word.unwrap_or_default().to_owned();
        match self {
            Ask::Title => item.title.clone(),
            Ask::Station => item.station.clone(),
            Ask::Of => item.scope.to_string(),
            Ask::Roles => item.roles.as_deref().map(list).unwrap_or_default(),
            Ask::Kind => item.kind.to_string(),
            Ask::Look => item.look.clone(),
            Ask::Caution => item.cautions.join(SEVERAL),
            Ask::Sound => item.ladder[0].clone(),
            Ask::Early => item.ladder[1].clone(),
            Ask::Worn => item.ladder[2].clone(),
            Ask::Failing => item.ladder[3].clone(),
            Ask::Failed => item.ladder[4].clone(),
            Ask::Effects => {
                let all = item.effects.iter().map(effect_typed);
                all.collect::<Vec<_>>().join("; ")
            }
            Ask::StopAt => word(item.stop_at.map(Grade::as_str)),
            Ask::Remedy => item.remedy.action.clone(),
            Ask::Who => item.remedy.who.to_string(),
            Ask::Where => item.remedy.place.to_string(),
            Ask::Parts => item.parts.join(SEVERAL),
            Ask::EveryDays => item
                .look_every_days
                .map(|n| n.to_string())
                .unwrap_or_default(),
            Ask::Seconds => item.seconds.to_string(),
            Ask::Source => item.source.clone(),
        }
    }

    /// The answer in words.
    pub fn shown(self, item: &Item, library: &Library) -> String {
        let typed = self.typed(item);
        match self {
            Ask::Station => {
                let station = library.catalogue.station(&item.station);
                station.map_or(typed, |s| s.title.clone())
            }
            Ask::Of if item.scope == Scope::Machine => "one for each machine".to_owned(),
            Ask::Of => "one aboard".to_owned(),
            Ask::Roles if typed.is_empty() => "inboard engines".to_owned(),
            Ask::StopAt if typed.is_empty() => "as its effects have it".to_owned(),
            Ask::EveryDays if typed.is_empty() => "by its kind".to_owned(),
            Ask::EveryDays => format!("{typed} days"),
            Ask::Seconds => format!("{typed} s"),
            Ask::Caution | Ask::Parts if typed.is_empty() => NONE.to_owned(),
            Ask::Kind | Ask::Who | Ask::Where | Ask::Effects => typed.replace('-', " "),
            _ => typed,
        }
    }

    /// The item with another answer, checked on top of what is known.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    pub fn put(self, item: &Item, text: &str, library: &Library) -> Result<Item, String> {
        let mut next = item.clone();
        self.set(&mut next, text.trim())?;
        check(&next, library)?;
        Ok(next)
    }

    fn set(self, item: &mut Item, text: &str) -> Result<(), String> {
        let none = text.is_empty() || text == NONE;
        match self {
            Ask::Title => item.title = short(text, LONGEST_TITLE)?,
            Ask::Station => item.station = text.to_owned(),
            Ask::Of => item.scope = word(text)?,
            Ask::Roles if none => item.roles = None,
            Ask::Roles => {
                let roles: Result<_, _> = text.split(',').map(|r| word(r.trim())).collect();
                item.roles = Some(roles?);
            }
            Ask::Kind => {
                let kind: Kind = word(text)?;
                if !kinds().contains(&kind) {
                    return Err(format!(
                        "a {kind} needs bands or marks, which a file gives; see: handlamp checklist schema catalogue"
                    ));
                }
                item.kind = kind;
                if !kind.wears() && item.look_every_days.is_none() {
                    item.look_every_days = Some(7);
                }
            }
            Ask::Look => item.look = short(text, LONGEST_TEXT)?,
            Ask::Caution => item.cautions = several(text)?,
            Ask::Sound => item.put_rung(Grade::Sound, short(text, LONGEST_TEXT)?),
            Ask::Early => item.put_rung(Grade::Early, short(text, LONGEST_TEXT)?),
            Ask::Worn => item.put_rung(Grade::Worn, short(text, LONGEST_TEXT)?),
            Ask::Failing => item.put_rung(Grade::Failing, short(text, LONGEST_TEXT)?),
            Ask::Failed => item.put_rung(Grade::Failed, short(text, LONGEST_TEXT)?),
            Ask::Effects => item.effects = effects(text, &item.effects)?,
            Ask::StopAt if none => item.stop_at = None,
            Ask::StopAt => item.stop_at = Some(word(text)?),
            Ask::Remedy => item.remedy.action = short(text, LONGEST_TEXT)?,
            Ask::Who => item.remedy.who = word(text)?,
            Ask::Where => item.remedy.place = word(text)?,
            Ask::Parts => item.parts = several(text)?,
            Ask::EveryDays if none => item.look_every_days = None,
            Ask::EveryDays => item.look_every_days = Some(number(text, OLDEST_LOOK)?),
            Ask::Seconds => item.seconds = number(text, LONGEST_LOOK)?,
            Ask::Source => item.source = short(text, LONGEST_TEXT)?,
        }
        Ok(())
    }
}

/// The kinds that an item made here can be: a level or a reading needs marks or bands.
pub fn kinds() -> Vec<Kind> {
    let all = Kind::ALL.iter().copied();
    all.filter(|kind| !matches!(kind, Kind::Level | Kind::Reading))
        .collect()
}

fn names<T: std::fmt::Display>(all: &[T]) -> Vec<String> {
    all.iter().map(T::to_string).collect()
}

fn list<T: std::fmt::Display>(all: &[T]) -> String {
    names(all).join(", ")
}

/// An effect as it is typed; its chance in words, or as a figure where no word is for it.
fn effect_typed(effect: &Effect) -> String {
    let told = CHANCES.iter().find(|(_, beta)| *beta == effect.beta);
    let chance = told.map_or_else(|| effect.beta.to_string(), |(word, _)| (*word).to_owned());
    format!("{} {chance}", effect.effect)
}

/// The effects typed; what an effect of a file hangs on beside stays with it.
fn effects(text: &str, known: &[Effect]) -> Result<Vec<Effect>, String> {
    let parts = text
        .split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    let mut all: Vec<Effect> = Vec::new();
    for part in parts {
        let (name, chance) = match part.rsplit_once(char::is_whitespace) {
            Some((name, chance)) => (name, Some(chance)),
            None => (part, None),
        };
        let (name, beta) = match chance.map(|c| (c, beta(c))) {
            Some((_, Some(beta))) => (name, beta),
            // Its name has a space in it, and its chance is not said.
            _ => (part, CHANCES[1].1),
        };
        let kind: EffectKind = word(&name.trim().replace(' ', "-"))?;
        // The same effect named twice follows from two signs, in the order they are known.
        let had = all.iter().filter(|e| e.effect == kind).count();
        let same = known.iter().filter(|e| e.effect == kind).nth(had);
        let mut effect = same.cloned().unwrap_or_else(|| Effect::new(kind, beta));
        effect.beta = beta;
        all.push(effect);
    }
    Ok(all)
}

fn beta(chance: &str) -> Option<f64> {
    let told = CHANCES.iter().find(|(word, _)| *word == chance);
    told.map(|(_, beta)| *beta).or_else(|| chance.parse().ok())
}

fn word<T: std::str::FromStr<Err: std::fmt::Display>>(text: &str) -> Result<T, String> {
    let plain = text.to_lowercase().replace([' ', '_'], "-");
    plain.parse().map_err(|error: T::Err| error.to_string())
}

/// A text of so many bytes at the most.
///
/// # Errors
/// It is empty or longer, in a sentence.
pub(super) fn short(text: &str, most: usize) -> Result<String, String> {
    match text.trim() {
        "" => Err("say it in a few words".to_owned()),
        text if text.len() > most => Err(format!("it is longer than {most} bytes")),
        text => Ok(text.to_owned()),
    }
}

fn several(text: &str) -> Result<Vec<String>, String> {
    if text == NONE {
        return Ok(Vec::new());
    }
    let parts = text
        .split(SEVERAL.trim())
        .map(str::trim)
        .filter(|part| !part.is_empty());
    parts.map(|part| short(part, LONGEST_TEXT)).collect()
}

fn number(text: &str, most: u32) -> Result<u32, String> {
    let number = text.parse::<u32>().ok().filter(|n| (1..=most).contains(n));
    number.ok_or_else(|| format!("'{}' is no whole number from 1 to {most}", safe_line(text)))
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn item() -> (Item, &'static Library) {
        let library = Library::built_in();
        let new = NewItem {
            title: "Davit hydraulic hose".to_owned(),
            station: "back".to_owned(),
            kind: Kind::Hose,
            effect: EffectKind::Pollution,
            scope: Scope::Machine,
        };
        (new_item(new, library).expect("in order"), library)
    }

    #[test]
    fn a_new_item_of_any_kind_is_in_order_as_it_comes() {
        let library = Library::built_in();
        for kind in kinds() {
            for effect in EffectKind::ALL {
                let new = NewItem {
                    title: "Kühlwasser, 2nd pump".to_owned(),
                    station: "front".to_owned(),
                    kind,
                    effect: *effect,
                    scope: Scope::Boat,
                };
                let item = new_item(new, library).expect("in order");
                assert_eq!(item.id, "k-hlwasser-2nd-pump", "{kind}, {effect}");
            }
        }
    }

    #[test]
    fn what_an_answer_shows_to_be_typed_says_the_same_again() {
        let (item, library) = item();
        // Every item of the program too, as far as it is of a kind that can be made here.
        let all = library.catalogue.items().iter();
        let all = all.filter(|i| kinds().contains(&i.kind)).chain([&item]);
        for item in all {
            for ask in Ask::ALL {
                let long = ask.typed(item).len() > LONGEST_TEXT;
                if long || *ask == Ask::Title && item.title.len() > LONGEST_TITLE {
                    continue;
                }
                let mut again = item.clone();
                let done = ask.set(&mut again, &ask.typed(item));
                assert_eq!(done, Ok(()), "{} {ask}", item.id);
                assert_eq!(again, *item, "{} {ask}", item.id);
            }
        }
    }

    /// MIL-STD-1629A, 3.2.1.2 and table of its task 102: actual loss 1.00, probable loss above 0.10 and
    /// below 1.00, possible loss above 0 and at most 0.10 (from memory).
    #[test]
    fn the_words_for_a_chance_lie_in_the_classes_of_the_standard() {
        let of = |word: &str| beta(word).expect("a word for a chance");
        assert_eq!(of("certainly"), 1.0);
        assert!(of("probably") > 0.10 && of("probably") < 1.0);
        assert!(of("possibly") > 0.0 && of("possibly") <= 0.10);
    }

    #[test]
    fn an_answer_changes_its_own_field_alone() {
        let (item, library) = item();
        let put = |ask: Ask, text: &str| ask.put(&item, text, library);
        let failing = put(Ask::Failing, "Bulges under the hand").expect("in order");
        assert_eq!(failing.ladder[3], "Bulges under the hand");
        assert_eq!(failing.ladder[2], item.ladder[2]);
        let two = put(Ask::Effects, "fire possibly; loss of propulsion 0.3").expect("in order");
        let told: Vec<_> = two.effects.iter().map(|e| (e.effect, e.beta)).collect();
        assert_eq!(
            told,
            [(EffectKind::Fire, 0.1), (EffectKind::LossOfPropulsion, 0.3)]
        );
        let bare = put(Ask::Effects, "loss of propulsion").expect("in order");
        assert_eq!(bare.effects[0].beta, 0.5);
        let none = put(Ask::StopAt, "failing").expect("in order");
        assert_eq!(Ask::StopAt.put(&none, NONE, library), Ok(item.clone()));
        let sign = put(Ask::Kind, "sign").expect("it gets days with its kind");
        assert_eq!(sign.look_every_days, Some(7));
    }

    #[test]
    fn what_is_wrong_is_said_and_nothing_is_changed() {
        let (item, library) = item();
        for (ask, text) in [
            (Ask::Title, ""),
            (Ask::Station, "cellar"),
            (Ask::Of, "both"),
            (Ask::Kind, "level"),
            (Ask::Kind, "wooden"),
            (Ask::Look, "\u{202e}backwards"),
            (Ask::Sound, " "),
            (Ask::Effects, ""),
            (Ask::Effects, "fire 7"),
            (Ask::Effects, "earthquake probably"),
            (Ask::StopAt, "sound"),
            (Ask::Who, "a friend"),
            (Ask::EveryDays, "0"),
            (Ask::Seconds, "-3"),
            (Ask::Title, &"x".repeat(LONGEST_TITLE + 1)),
        ] {
            let said = ask.put(&item, text, library).expect_err(text);
            assert!(!said.is_empty() && !said.contains('\u{202e}'), "{said}");
        }
        // The title of something else would be taken for it.
        let belt = &library
            .catalogue
            .item("drive-belt")
            .expect("built in")
            .title;
        let alike = format!("{}\u{200a}", belt);
        assert!(Ask::Title.put(&item, &alike, library).is_err() || alike.trim() == belt);
    }

    #[test]
    fn the_programs_own_stays_and_what_is_not_there_is_said() {
        let library = Library::built_in();
        let why = not_own(library, "drive-belt").expect("the program's own");
        assert!(why.contains("stays as it is"), "{why}");
        let (item, _) = item();
        let why = not_own(library, &item.id).expect("not there");
        assert!(why.contains("there is no item"), "{why}");
    }
}

//! What is said of the locker: bought, told, used, counted, thrown away.

use chrono::NaiveDate;
use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::write_row;
use crate::checklist::{KnownSpare, TaskPart, id_fault};
use crate::cli::act;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::defects::locker::{LockerRow, gone_words};
use crate::defects::{SpareSaid, StockChange, StockMove};
use crate::logbook::book::Book;
use crate::logbook::record::Record;

/// What can be said of a spare.
#[derive(Args, Debug, Default)]
pub struct SaidArgs {
    /// Where it lies
    #[arg(long, value_name = "WORDS")]
    pub lies: Option<String>,
    /// Items or service tasks it serves, by their ids, where it is not of the built-in list
    #[arg(long, value_name = "ID", value_delimiter = ',')]
    pub serves: Vec<String>,
    /// Until when it can be used
    #[arg(long, value_name = "DATE")]
    pub use_by: Option<NaiveDate>,
    /// The day one like it was fitted in harbour, as practice
    #[arg(long, value_name = "DATE")]
    pub fitted_once: Option<NaiveDate>,
    /// Whether its tools are aboard: yes or no
    #[arg(long, value_name = "YES|NO", value_parser = yes_or_no)]
    pub tools: Option<bool>,
    /// Whether how it is fitted is written down aboard: yes or no
    #[arg(long, value_name = "YES|NO", value_parser = yes_or_no)]
    pub instruction: Option<bool>,
    /// Whether it lies ashore or aboard another boat: yes or no
    #[arg(long, value_name = "YES|NO", value_parser = yes_or_no)]
    pub elsewhere: Option<bool>,
    /// Litres one takes
    #[arg(long, value_name = "L")]
    pub litres: Option<f64>,
    /// Kilograms of one
    #[arg(long, value_name = "KG")]
    pub kilos: Option<f64>,
    /// What one costs, in the currency of the estimates
    #[arg(long, value_name = "SUM")]
    pub price: Option<f64>,
    /// Minutes it took to fit one by day in harbour
    #[arg(long, value_name = "MIN")]
    pub minutes: Option<u32>,
    /// A note
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
    /// What nobody knows any more, by its option, such as use-by
    #[arg(long, value_name = "OPTION", value_delimiter = ',')]
    pub not_known: Vec<String>,
}

/// Options of `locker add`.
#[derive(Args, Debug)]
pub struct AddArgs {
    /// A spare of the built-in list, one on record, or words of your own
    pub spare: String,
    /// How many, in the unit of the spare
    #[arg(default_value_t = 1.0)]
    pub count: f64,
    /// What is known of it.
    #[command(flatten)]
    pub said: SaidArgs,
}

/// Options of `locker tell`.
#[derive(Args, Debug)]
pub struct TellArgs {
    /// Id of the spare
    pub spare: String,
    /// What is said of it.
    #[command(flatten)]
    pub said: SaidArgs,
}

/// Options of `locker use`.
#[derive(Args, Debug)]
pub struct UseArgs {
    /// Id of the spare
    pub spare: String,
    /// How many, in the unit of the spare
    #[arg(default_value_t = 1.0)]
    pub count: f64,
    /// The item or service task it went into
    #[arg(long = "for", value_name = "ITEM|TASK")]
    pub used_for: Option<String>,
    /// A note
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// Options of `locker count`.
#[derive(Args, Debug)]
pub struct CountArgs {
    /// Id of the spare
    pub spare: String,
    /// How many there are, seen and not believed
    pub count: f64,
    /// A note
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// Options of `locker drop`.
#[derive(Args, Debug)]
pub struct DropArgs {
    /// Id of the spare
    pub spare: String,
    /// How many, in the unit of the spare
    #[arg(default_value_t = 1.0)]
    pub count: f64,
    /// Why
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct LockerChangedBody {
    /// Ids of the records.
    ids: Vec<String>,
    /// The spare as it stands now.
    row: LockerRow,
    /// None is left where some were before.
    last_gone: bool,
}

/// The option behind each field, for messages.
const OPTIONS: [(&str, &str); 14] = [
    ("spare", "SPARE"),
    ("machine", "--machine"),
    ("at", "--now"),
    ("count", "COUNT"),
    ("lies", "--lies"),
    ("serves", "--serves"),
    ("fitted_once", "--fitted-once"),
    ("litres", "--litres"),
    ("kilos", "--kilos"),
    ("price", "--price"),
    ("minutes", "--minutes"),
    ("note", "--note"),
    ("used_for", "--for"),
    ("not_known", "--not-known"),
];

/// Runs `locker add`.
///
/// # Errors
/// What is wrong with what is said, or the logbook.
pub fn add(args: &AddArgs, cx: &Context) -> Result<Answer, Failure> {
    if !(f64::MIN_POSITIVE..=999.0).contains(&args.count) {
        return Err(Failure::usage(
            "COUNT: expected more than 0 and at most 999",
        ));
    }
    let words = args.spare.trim();
    let is_id = id_fault(words).is_none();
    let id = match is_id {
        true => words.to_owned(),
        false => TaskPart::in_words(words).id,
    };
    put(cx, (&id, &format!("{args:?}")), |book| {
        let machine = machine_of(book, &id, cx);
        let mut said = args.said.said(&id, machine.as_deref());
        let known = KnownSpare::of(&id).is_some();
        let standing = book.history().spare(&id, machine.as_deref());
        if !known && standing.title.is_none() && !(words.is_empty() || is_id) {
            said.title = Some(words.to_owned());
        }
        let bought = StockChange {
            spare: id.clone(),
            machine,
            at: None,
            moved: StockMove::Bought,
            count: args.count,
            used_for: None,
            note: None,
        };
        let said = (!said.is_empty()).then(|| Record::from(said));
        said.into_iter().chain([Record::from(bought)]).collect()
    })
}

/// Runs `locker tell`.
///
/// # Errors
/// What is wrong with what is said, or the logbook.
pub fn tell(args: &TellArgs, cx: &Context) -> Result<Answer, Failure> {
    put(cx, (&args.spare, &format!("{args:?}")), |book| {
        let machine = machine_of(book, &args.spare, cx);
        vec![args.said.said(&args.spare, machine.as_deref()).into()]
    })
}

/// Runs `locker use`.
///
/// # Errors
/// There is no such spare, or the logbook.
pub fn used(args: &UseArgs, cx: &Context) -> Result<Answer, Failure> {
    let of = args.used_for.clone();
    change(
        (&args.spare, args.count),
        StockMove::Used,
        of,
        &args.note,
        cx,
    )
}

/// Runs `locker count`.
///
/// # Errors
/// There is no such spare, or the logbook.
pub fn counted(args: &CountArgs, cx: &Context) -> Result<Answer, Failure> {
    change(
        (&args.spare, args.count),
        StockMove::Counted,
        None,
        &args.note,
        cx,
    )
}

/// Runs `locker drop`.
///
/// # Errors
/// There is no such spare, or the logbook.
pub fn dropped(args: &DropArgs, cx: &Context) -> Result<Answer, Failure> {
    change(
        (&args.spare, args.count),
        StockMove::ThrownAway,
        None,
        &args.note,
        cx,
    )
}

fn change(
    (spare, count): (&str, f64),
    moved: StockMove,
    used_for: Option<String>,
    note: &Option<String>,
    cx: &Context,
) -> Result<Answer, Failure> {
    let told = format!("{spare} {moved} {count} {used_for:?} {note:?}");
    put(cx, (spare, &told), |book| {
        let change = StockChange {
            spare: spare.to_owned(),
            machine: machine_of(book, spare, cx),
            at: None,
            moved,
            count,
            used_for,
            note: note.clone(),
        };
        vec![change.into()]
    })
}

/// The machine that is named; else that of the only stock of this spare on record.
fn machine_of(book: &Book, spare: &str, cx: &Context) -> Option<String> {
    let history = book.history();
    let said = history
        .spares
        .iter()
        .map(|s| (&s.rec.spare, &s.rec.machine));
    let moved = history.stock.iter().map(|s| (&s.rec.spare, &s.rec.machine));
    let mut own: Vec<&Option<String>> = said
        .chain(moved)
        .filter(|(known, _)| *known == spare)
        .map(|(_, machine)| machine)
        .collect();
    own.sort();
    own.dedup();
    let named = cx.global.machine.clone();
    match own.as_slice() {
        [only] if named.is_none() || only.is_none() => (*only).clone(),
        _ => named,
    }
}

/// Records it: `told` is all that was typed, by which a fixed time makes ids.
fn put(
    cx: &Context,
    (spare, told): (&str, &str),
    records: impl FnOnce(&Book) -> Vec<Record>,
) -> Result<Answer, Failure> {
    let mut book = cx.book_for(told)?;
    cx.known_asked(&book)?;
    let mut ids = Vec::new();
    let mut before = None;
    let mut key = (spare.to_owned(), None);
    for record in records(&book) {
        if let Record::Stock(change) = &record {
            key = (change.spare.clone(), change.machine.clone());
        } else if let Record::Spare(said) = &record {
            key = (said.spare.clone(), said.machine.clone());
        }
        before.get_or_insert_with(|| book.history().stock(&key.0, key.1.as_deref()).0);
        let (_, new) = act::put(&mut book, record, &OPTIONS)?;
        ids.extend(new);
    }
    let history = cx.history(&book);
    let condition = cx.condition(&book, &history);
    let rows = condition.locker(&history, condition.boat.waters);
    let mut rows = rows.into_iter();
    let row = rows.find(|row| row.is_of(&key.0, key.1.as_deref()));
    let row = row.ok_or_else(|| Failure::usage("SPARE: nothing is on record of it"))?;
    let body = LockerChangedBody {
        ids,
        last_gone: before.unwrap_or(0.0) > 0.0 && row.count <= 0.0,
        row,
    };
    let several = book.boat().machines.len() > 1;
    Ok(cx.form.answer("locker-changed", &body, |page| {
        write_row(page, &body.row, several);
        if body.last_gone {
            page.paragraph(gone_words(&body.row.title));
        }
    }))
}

impl SaidArgs {
    fn said(&self, spare: &str, machine: Option<&str>) -> SpareSaid {
        SpareSaid {
            lies: self.lies.clone(),
            use_by: self.use_by,
            fitted_once: self.fitted_once,
            tools: self.tools,
            instruction: self.instruction,
            elsewhere: self.elsewhere,
            litres: self.litres,
            kilos: self.kilos,
            price: self.price,
            minutes: self.minutes,
            note: self.note.clone(),
            serves: self.serves.clone(),
            not_known: self
                .not_known
                .iter()
                .map(|name| name.replace('-', "_"))
                .collect(),
            ..SpareSaid::of(spare, machine)
        }
    }
}

fn yes_or_no(text: &str) -> Result<bool, String> {
    match text {
        "yes" => Ok(true),
        "no" => Ok(false),
        _ => Err("expected yes or no".to_owned()),
    }
}

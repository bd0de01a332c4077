//! Checks a file of questions and causes, and a set of answers.

use std::collections::HashSet;

use super::file::{ASK, ByItem, ByService, Cause, CausesFile, Question, Reply, Sign};
use super::looks::{ABNORMAL, OK};
use super::table::Causes;
use crate::checklist::complaint::{Complaint, Shape, checked, other_type, shape, type_of};
use crate::checklist::faults::{Faults, blank, id, once, unknown};
use crate::checklist::{Catalogue, Kind, Library};

/// The most causes reckoned with: pairs of them are told apart, and their number grows with the square.
const MOST_CAUSES: usize = 200;
/// The most questions.
const MOST_QUESTIONS: usize = 400;
/// A look that takes longer was mistyped: a day.
const LONGEST_LOOK: u32 = 24 * 60 * 60;
/// More than this was mistyped.
const LARGEST_WEIGHT: f64 = 1e6;

static QUESTION: Shape = shape::<Question>(&[
    ("answers", &REPLY),
    ("from", &BY_ITEM),
    ("services", &BY_SERVICE),
]);
static BY_ITEM: Shape = shape::<ByItem>(&[]);
static BY_SERVICE: Shape = shape::<ByService>(&[]);
static REPLY: Shape = shape::<Reply>(&[]);
static CAUSE: Shape = shape::<Cause>(&[("signs", &SIGN)]);
static SIGN: Shape = shape::<Sign>(&[]);
static FILE: Shape = shape::<CausesFile>(&[("questions", &QUESTION), ("causes", &CAUSE)]);

/// Reads a file of questions and causes and checks it against those known already, which it may name,
/// add to and replace.
///
/// # Errors
/// Everything that is wrong, in the order it stands in the file.
pub fn check_file(
    name: &str,
    text: &str,
    known: &Causes,
    catalogue: &Catalogue,
) -> Result<CausesFile, Vec<Complaint>> {
    match type_of(name, text)?.as_deref() {
        Some("causes") => checked(name, text, &FILE, |file, faults| {
            rules(file, known, catalogue, faults);
        }),
        other => Err(other_type(name, text, other, &["causes"])),
    }
}

fn rules(file: &CausesFile, known: &Causes, catalogue: &Catalogue, faults: &mut Faults) {
    let bare = file.questions.is_empty() && file.causes.is_empty();
    faults.refuse(bare, "", "the file holds neither a question nor a cause");
    let all = known.merged(file);
    faults.refuse(
        all.questions.len() > MOST_QUESTIONS,
        "questions",
        "no more than 400 questions are reckoned with",
    );
    faults.refuse(
        all.causes.len() > MOST_CAUSES,
        "causes",
        "no more than 200 causes are reckoned with",
    );
    let mut ids = HashSet::new();
    for (n, question) in file.questions.iter().enumerate() {
        let base = format!("questions[{n}]");
        once(
            &mut ids,
            question.id.as_str(),
            &format!("{base}.id"),
            "question",
            faults,
        );
        question_rules(question, &base, catalogue, faults);
        replaced(question, &base, &all, file, faults);
    }
    let mut ids = HashSet::new();
    for (n, cause) in file.causes.iter().enumerate() {
        let base = format!("causes[{n}]");
        once(
            &mut ids,
            cause.id.as_str(),
            &format!("{base}.id"),
            "cause",
            faults,
        );
        cause_rules(cause, &base, &all, catalogue, faults);
    }
}

fn question_rules(question: &Question, base: &str, catalogue: &Catalogue, faults: &mut Faults) {
    let at = |field: &str| format!("{base}.{field}");
    id(&question.id, &at("id"), faults);
    let texts = [
        ("title", Some(&question.title)),
        ("ask", Some(&question.ask)),
        ("ok", Some(&question.ok)),
        ("caution", question.caution.as_ref()),
    ];
    for (field, text) in texts {
        text.into_iter()
            .for_each(|text| blank(text, &at(field), faults));
    }
    faults.refuse(
        !(1..=LONGEST_LOOK).contains(&question.seconds),
        &at("seconds"),
        "a look takes a second to a day",
    );
    faults.refuse(
        question.answers.is_empty(),
        &at("answers"),
        "a question needs an answer beside the normal one",
    );
    let mut ids = HashSet::new();
    for (n, reply) in question.answers.iter().enumerate() {
        let at = |field: &str| at(&format!("answers[{n}].{field}"));
        id(&reply.id, &at("id"), faults);
        once(&mut ids, reply.id.as_str(), &at("id"), "answer", faults);
        faults.refuse(
            [OK, ABNORMAL, ASK].contains(&reply.id.as_str()),
            &at("id"),
            "every question has 'ok' and 'abnormal' by itself, and 'ask' is no answer",
        );
        blank(&reply.words, &at("words"), faults);
        reply
            .stop
            .iter()
            .for_each(|stop| blank(stop, &at("stop"), faults));
        each_once(
            reply.forbids.iter().map(|act| act.as_str()),
            &at("forbids"),
            faults,
        );
    }
    each_once(
        question.needs.iter().map(|act| act.as_str()),
        &at("needs"),
        faults,
    );
    by_items(question, base, catalogue, faults);
    by_services(question, base, faults);
}

/// The items of a question are known and stand once, and their rungs name its answers.
fn by_items(question: &Question, base: &str, catalogue: &Catalogue, faults: &mut Faults) {
    let mut ids = HashSet::new();
    for (n, by) in question.from.iter().enumerate() {
        let base = format!("{base}.from[{n}]");
        known_item(&by.item, &format!("{base}.item"), catalogue, faults);
        once(
            &mut ids,
            by.item.as_str(),
            &format!("{base}.item"),
            "item",
            faults,
        );
        let of_levels = ["low", "over", "risen", "filled"];
        let is_level = catalogue
            .item(&by.item)
            .is_none_or(|i| i.kind == Kind::Level);
        for (field, answer) in by.told() {
            let at = format!("{base}.{field}");
            faults.refuse(
                of_levels.contains(&field) && !is_level,
                &at,
                "this is said of a level alone",
            );
            match answer {
                ASK => faults.refuse(
                    question.answers.len() < 2,
                    &at,
                    "there is but one answer to ask for; name it",
                ),
                _ => known_answer(question, answer, &[ASK], &at, faults),
            }
        }
    }
}

/// What happened is told by services that the program knows, and by nothing else.
fn by_services(question: &Question, base: &str, faults: &mut Faults) {
    let mut ids = HashSet::new();
    for (n, by) in question.services.iter().enumerate() {
        let at = |field: &str| format!("{base}.services[{n}].{field}");
        let library = Library::built_in();
        if library.task(&by.task).is_none() {
            let known = library.tasks().iter().map(|task| task.id.as_str());
            unknown("service task", &by.task, known, &at("task"), faults);
        }
        once(
            &mut ids,
            by.task.as_str(),
            &at("task"),
            "service task",
            faults,
        );
        known_answer(question, &by.answer, &[], &at("answer"), faults);
    }
    let stood = format!("{base}.stood");
    if let Some(answer) = &question.stood {
        known_answer(question, answer, &[], &stood, faults);
    }
    let message = "this tells what happened; say with 'event' that it is asked for that";
    let told = [
        (!question.services.is_empty(), format!("{base}.services")),
        (question.stood.is_some(), stood),
    ];
    for (is_told, field) in told {
        faults.refuse(is_told && !question.event, &field, message);
    }
}

/// An answer of the question's own, or one of the words that may stand there beside.
fn known_answer(
    question: &Question,
    answer: &str,
    beside: &[&str],
    field: &str,
    faults: &mut Faults,
) {
    if question.reply(answer).is_none() {
        let answers = question.answers.iter().map(|reply| reply.id.as_str());
        let known = answers.chain(beside.iter().copied());
        let what = format!("answer to '{}'", question.id);
        unknown(&what, answer, known, field, faults);
    }
}

/// A question put in the place of a known one keeps the answers that causes name.
fn replaced(
    question: &Question,
    base: &str,
    all: &CausesFile,
    file: &CausesFile,
    faults: &mut Faults,
) {
    let known = all
        .causes
        .iter()
        .filter(|cause| file.causes.iter().all(|own| own.id != cause.id));
    for cause in known {
        let mut signs = cause
            .signs
            .iter()
            .filter(|sign| sign.question == question.id);
        if let Some(sign) = signs.find(|sign| question.reply(&sign.answer).is_none()) {
            faults.add(&format!("{base}.answers"), || {
                format!(
                    "the cause '{}' names its answer '{}'",
                    cause.id, sign.answer
                )
            });
        }
    }
}

fn cause_rules(
    cause: &Cause,
    base: &str,
    all: &CausesFile,
    catalogue: &Catalogue,
    faults: &mut Faults,
) {
    let at = |field: &str| format!("{base}.{field}");
    id(&cause.id, &at("id"), faults);
    let texts = [
        ("title", Some(&cause.title)),
        ("apart", Some(&cause.apart)),
        ("ignored", Some(&cause.ignored)),
        ("source", Some(&cause.source)),
        ("stop", cause.stop.as_ref()),
    ];
    for (field, text) in texts {
        text.into_iter()
            .for_each(|text| blank(text, &at(field), faults));
    }
    let fits = cause.weight > 0.0 && cause.weight <= LARGEST_WEIGHT;
    faults.refuse(
        !fits,
        &at("weight"),
        "a weight is above 0 and at most a million",
    );
    faults.refuse(
        cause.order.is_some() && cause.stop.is_none(),
        &at("order"),
        "what is dangerous says in 'stop' what it orders",
    );
    faults.refuse(cause.signs.is_empty(), &at("signs"), "a cause needs a sign");
    let mut seen = HashSet::new();
    for (n, sign) in cause.signs.iter().enumerate() {
        let at = |field: &str| at(&format!("signs[{n}].{field}"));
        let Some(question) = all.questions.iter().find(|q| q.id == sign.question) else {
            let known = all.questions.iter().map(|q| q.id.as_str());
            unknown("question", &sign.question, known, &at("question"), faults);
            continue;
        };
        if question.reply(&sign.answer).is_none() {
            let known = question.answers.iter().map(|reply| reply.id.as_str());
            let what = format!("answer to '{}'", question.id);
            unknown(&what, &sign.answer, known, &at("answer"), faults);
        }
        faults.refuse(
            !seen.insert((&sign.question, &sign.answer)),
            &at("answer"),
            "this sign stands here twice",
        );
    }
    for (n, look) in cause.looks.iter().enumerate() {
        let signs = || cause.signs.iter().map(|sign| sign.question.as_str());
        if !signs().any(|question| question == look) {
            let what = "question with a sign of this cause";
            unknown(what, look, signs(), &at(&format!("looks[{n}]")), faults);
        }
    }
    each_once(cause.looks.iter().map(String::as_str), &at("looks"), faults);
    each_once(
        cause.forbids.iter().map(|act| act.as_str()),
        &at("forbids"),
        faults,
    );
    known_items(&cause.parts, &at("parts"), catalogue, faults);
}

fn each_once<'t>(all: impl Iterator<Item = &'t str>, base: &str, faults: &mut Faults) {
    let mut seen = HashSet::new();
    for (n, one) in all.enumerate() {
        once(&mut seen, one, &format!("{base}[{n}]"), "word", faults);
    }
}

fn known_items(items: &[String], base: &str, catalogue: &Catalogue, faults: &mut Faults) {
    for (n, item) in items.iter().enumerate() {
        known_item(item, &format!("{base}[{n}]"), catalogue, faults);
    }
    each_once(items.iter().map(String::as_str), base, faults);
}

fn known_item(item: &str, field: &str, catalogue: &Catalogue, faults: &mut Faults) {
    if catalogue.item(item).is_none() {
        let known = catalogue.items().iter().map(|known| known.id.as_str());
        unknown("item", item, known, field, faults);
    }
}

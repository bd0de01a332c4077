//! One walk, one answer: the page on the screen, `verdict`, `coverage`, `walks` and the report tell a
//! finished walk alike, and alike again after later records, whatever they say.

use std::path::Path;

use handlamp::checklist::Library;
use handlamp::defects::list::Row;
use handlamp::screen::verdict::VerdictScreen;
use serde_json::{Value, json};

use super::aboard::{Aboard, BELT, profile};
use super::count::Count;
use super::program::{body, run};
use super::scenes::{NOW, SCENES};

/// What the parts of the program tell of a walk as at its end.
#[derive(Clone, Debug, PartialEq)]
struct Told {
    at_walk: Value,
    /// Rank, item, machine, code and chance, in their order.
    defects: Vec<Value>,
    /// Shares seen and what the rest could hide; nothing on the page of a walk that is no survey.
    coverage: Option<Value>,
    /// What nobody graded, in the order asked.
    unseen: Vec<String>,
}

fn said(root: &Path, args: &[&str]) -> Value {
    let args: Vec<&str> = args
        .iter()
        .copied()
        .chain(["--json", "--now", NOW])
        .collect();
    body(&run(root, &args)).unwrap_or_else(|| panic!("{args:?}"))
}

fn row(row: &Value) -> Value {
    let of = |field: &str| row[field].clone();
    json!([
        of("rank"),
        of("item"),
        of("machine"),
        of("code"),
        of("chance"),
        of("grade")
    ])
}

fn coverage(answer: &Value) -> Value {
    let of = |field: &str| answer[field].clone();
    json!([of("plain"), of("weighted"), of("hidden")])
}

fn items(list: &Value) -> Vec<String> {
    let list = list.as_array().expect("a list").iter();
    list.map(|n| n["item"].as_str().expect("an item").to_owned())
        .collect()
}

/// What the commands tell, the list and the order from the report, which has no other command.
fn by_command(root: &Path, walk: &str) -> Told {
    let file = root.join("../walk.json");
    let to = file.to_str().expect("UTF-8");
    let _ = std::fs::remove_file(&file);
    said(root, &["report", walk, "--to", to]);
    let report: Value =
        serde_json::from_slice(&std::fs::read(&file).expect("a report")).expect("JSON");
    let verdict = said(root, &["verdict", "--walk", walk]);
    let covered = said(root, &["coverage", "--walk", walk]);
    let walks = said(root, &["walks"]);
    let walks = walks["rows"].as_array().expect("walks");
    let listed = walks.iter().find(|w| w["id"] == walk).expect("listed");
    assert_eq!(listed["verdict"], verdict["at_walk"], "walks and verdict");
    let reported = &report["verdict"];
    if !reported.is_null() {
        for field in ["at_walk", "now", "said", "said_differs"] {
            assert_eq!(reported[field], verdict[field], "{field} of {walk}");
        }
        let rows = reported["reasons"].as_array().expect("rows").iter();
        let rows: Vec<&Value> = rows.map(|row| &row["rule"]).collect();
        let told = verdict["reasons"].as_array().expect("rows").iter();
        assert_eq!(rows, told.map(|row| &row["rule"]).collect::<Vec<_>>());
    }
    assert_eq!(coverage(&report["coverage"]), coverage(&covered), "{walk}");
    let summary = &report["summary"];
    assert_eq!(summary["seen"], covered["seen"], "{walk}");
    assert_eq!(summary["asked"], covered["asked"], "{walk}");
    assert_eq!(items(&report["not_seen"]), items(&covered["not_seen"]));
    assert_eq!(items(&verdict["not_seen"]), items(&covered["not_seen"]));
    let defects = report["defects"].as_array().expect("defects");
    Told {
        at_walk: verdict["at_walk"].clone(),
        defects: defects.iter().map(row).collect(),
        coverage: Some(coverage(&covered)),
        unseen: items(&covered["not_seen"]),
    }
}

/// What its page on the screen tells.
fn by_screen(aboard: &Aboard, walk: &str) -> Told {
    let page = VerdictScreen::new(&aboard.book, walk, None).expect("a page");
    let value = |row: &Row| serde_json::to_value(row).expect("JSON");
    let hidden = |c: &handlamp::assess::coverage::Coverage| json!([c.plain, c.weighted, c.hidden]);
    Told {
        at_walk: serde_json::to_value(page.judged.at_walk).expect("JSON"),
        defects: page.defects.iter().map(|r| row(&value(r))).collect(),
        coverage: page.coverage.as_ref().map(hidden),
        unseen: page
            .judged
            .not_seen
            .iter()
            .map(|n| n.item.clone())
            .collect(),
    }
}

/// A part of the built-in survey, with things found, and others not seen.
fn survey(aboard: &mut Aboard, machine: &str) -> String {
    let id = format!("survey-{machine}");
    let list = Library::built_in().checklist("survey").expect("built in");
    let at = aboard.now();
    aboard.record(
        "walk",
        &json!({"walk":id,"checklist":"survey","machine":machine,"at":at}),
    );
    let rungs = ["sound", "early", "worn", "sound", "failing", "sound"];
    for phase in &list.phases {
        for (n, item) in phase.rows.iter().flat_map(|r| &r.items).enumerate() {
            let look = match n % 7 {
                6 => continue,
                5 => {
                    json!({"item":item,"phase":phase.id,"not_seen":"too dark","close_by":"a lamp"})
                }
                n => json!({"item":item,"phase":phase.id,"grade":rungs[n]}),
            };
            let rec = json!({"walk":id,"at":aboard.now(),"look":look});
            aboard.record("look", &rec);
        }
    }
    aboard.finish_walk(&id);
    id
}

/// Repairs, looks, a new part, other waters, another checklist's walk: all after the walks.
fn later(aboard: &mut Aboard, machine: &str) {
    aboard.session("2046-05-08T12:00:00+02:00");
    let at = aboard.now();
    aboard.take(&[
        json!({"type":"repair","item":BELT,"machine":machine,"at":at,"done":"a new one"}),
        json!({"type":"repair","item":"engine-seacock","machine":machine,"at":at,"done":"a new one"}),
        json!({"type":"fitted","item":"coolant-hoses","machine":machine,"at":at}),
        json!({"type":"override","item":"bilge-water","at":at,"level":"a","why":"seen often"}),
    ]);
    let mut other = aboard.book.profile().clone();
    let plain = profile(&["main"]);
    other.waters = handlamp::boat::Waters::Ocean;
    other.usual_hours_per_month = plain.usual_hours_per_month * 3.0;
    aboard.book.set_boat(other).expect("set");
    aboard.walk(
        machine,
        &[("bilge-water", "failing"), ("engine-oil-level", "worn")],
    );
}

#[test]
fn page_command_and_report_tell_one_walk_alike() {
    let mut count = Count::new("page, command and report of one walk");
    for scene in &SCENES {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("logbook");
        let mut aboard = (scene.play)(&root);
        aboard.session("2046-05-08T08:00:00+02:00");
        let of = aboard.book.history().walks.iter().rev();
        let last = of.clone().find(|w| w.finished.is_some()).expect("a walk");
        let (last, machine) = (last.id.clone(), last.machine.clone());
        let surveyed = survey(&mut aboard, &machine);
        let ask = |aboard: &mut Aboard| {
            [&last, &surveyed].map(|walk| {
                aboard.book.finish();
                let told = by_command(&root, walk);
                (told, by_screen(aboard, walk))
            })
        };
        let then = ask(&mut aboard);
        later(&mut aboard, &machine);
        let now = ask(&mut aboard);
        for ((told, page), (again, page_again)) in then.iter().zip(&now) {
            let what = || format!("{}:\n{told:?}\n  is not\n{again:?}", scene.name);
            count.holds(told == again, what);
            count.holds(page == page_again, || format!("{}: page", scene.name));
            count.holds(page.at_walk == told.at_walk, || scene.name.to_owned());
            count.holds(page.unseen == told.unseen, || scene.name.to_owned());
        }
        let (told, page) = &now[1];
        let what = || format!("{}:\n{told:?}\n  is not\n{page:?}", scene.name);
        count.holds(told == page, what);
        count.holds(!told.defects.is_empty() && !told.unseen.is_empty(), || {
            format!("{}: an empty survey", scene.name)
        });
    }
    count.tell(10 * SCENES.len());
}

use super::*;
use crate::service::label::label;
use crate::service::status::standing;

fn told(story: &Story, day: &str, task: &str) -> Option<crate::service::label::Label> {
    let (condition, history) = story.condition(day);
    let task = condition.library.task(task).expect("known");
    label(
        &condition,
        &standing(&condition, &history, task, Some("main")),
    )
}

#[test]
fn a_label_says_when_and_when_again() {
    let mut story = Story::new();
    assert_eq!(told(&story, "2026-05-03", "oil-and-filter"), None);
    let sheet = ServiceSheet {
        hours: Some(hours(1203.6)),
        turn: Some("3/4".into()),
        ..sheet("oil-and-filter")
    };
    story.try_done("2026-05-03", &sheet).expect("taken");
    let label = told(&story, "2026-05-03", "oil-and-filter").expect("done");
    assert_eq!(
        label.lines(),
        [
            "Grey Plover",
            "Engine oil and filter",
            "2026-05-03  1203.6 h",
            "turn 3/4",
            "next: 1253.6 h or 2026-11-03"
        ]
    );
}

#[test]
fn hours_nobody_read_are_not_written_on_a_part() {
    let mut story = Story::new();
    story.done("2026-05-03", "oil-and-filter", None);
    let label = told(&story, "2026-05-03", "oil-and-filter").expect("done");
    assert_eq!(
        label.lines()[2..],
        ["2026-05-03  meter not read", "next: 2026-11-03"]
    );
    story.done("2026-05-03", "raw-water-pump-seals", Some(1203.0));
    let label = told(&story, "2026-05-04", "raw-water-pump-seals").expect("done");
    assert_eq!(label.lines()[3], "next: when it asks for it");
}

#[test]
fn the_page_is_of_true_size_and_runs_nothing() {
    let mut story = Story::new();
    story.boat.name = "<script>alert('x')</script> & \"co\"\u{202e}".into();
    story.done("2026-05-03", "oil-and-filter", Some(1203.6));
    let html = told(&story, "2026-05-03", "oil-and-filter")
        .expect("done")
        .html();
    assert!(html.contains("@page { size: 62mm 40mm; margin: 0; }"));
    assert!(html.contains("width: 62mm; height: 40mm"));
    assert!(
        html.contains("&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &amp; &quot;co&quot;⟪202E⟫")
    );
    assert!(!html.contains("<script") && !html.contains("http") && !html.contains("px"));
}

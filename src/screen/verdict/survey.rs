//! The end of a survey: what is unsafe and who was told, the defects ranked, what was not seen, what
//! was agreed and what was said. No verdict.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use crate::defects::list::percent;
use crate::keys::Action;
use crate::paint::widgets::{self, cell, line};
use crate::screen::kind::View;
use crate::screen::verdict::VerdictScreen;

/// All of it, to be scrolled.
pub fn survey_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let blind = match (screen.walk.blind, screen.walk.was_blind()) {
        (_, true) => "Earlier grades were hidden until each look was made.",
        (true, false) => "Earlier grades were in sight for a part of it.",
        (false, false) => "Earlier grades were in sight.",
    };
    let coverage = screen.coverage.as_ref();
    let seen = coverage.map(|c| format!("{} of {} items seen. ", c.seen, c.asked));
    let told = format!(
        "A survey has no verdict. {}{blind}",
        seen.unwrap_or_default()
    );
    let mut lines = widgets::wrapped(&told, columns, theme.text());
    if let Some(end) = screen.walk.finished {
        let told = format!(
            "As at its end, {}; what was recorded later is not in here.",
            end.format("%-d %b %Y %H:%M")
        );
        lines.extend(widgets::wrapped(&told, columns, theme.quiet()));
    }
    if let Some((plain, weighted)) = coverage.and_then(|c| c.plain.zip(c.weighted)) {
        let (plain, weighted) = (percent(plain), percent(weighted));
        let told = format!("Coverage {plain}, weighted by what a failure can do {weighted}.");
        lines.extend(widgets::wrapped(&told, columns, theme.text()));
    }
    lines.extend(unsafe_lines(view, screen, columns));
    lines.extend(defect_lines(view, screen, columns));
    lines.extend(hidden_lines(view, screen, columns));
    lines.extend(unseen_lines(view, screen, columns));
    lines.extend(agreed_lines(view, screen, columns));
    lines.extend(said_lines(view, screen, columns));
    lines
}

/// What the items not seen could hide, the worst severity first.
fn hidden_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let hidden = screen.coverage.iter().flat_map(|c| &c.hidden);
    let told = hidden.map(|h| {
        let (severity, items) = (h.severity, h.items);
        format!(
            "{} {}: {items} item(s), {} never seen; {} chance that one at least fails over the usual plan",
            severity.digit(),
            severity.name(),
            h.never_seen,
            percent(h.any_fails)
        )
    });
    let lines: Vec<_> = told
        .flat_map(|words| indented(&words, columns, theme.text()))
        .collect();
    if lines.is_empty() {
        return lines;
    }
    let words = "What was not seen could hide, by the worst it can do";
    heading(view, words, columns)
        .into_iter()
        .chain(lines)
        .collect()
}

fn heading(view: &View<'_>, words: &str, columns: usize) -> [Line<'static>; 2] {
    let theme = view.setup.theme;
    [Line::default(), line(words, columns, theme.title())]
}

/// Wrapped words behind two blanks.
fn indented(words: &str, columns: usize, style: Style) -> Vec<Line<'static>> {
    let room = columns.saturating_sub(2);
    let lines = widgets::wrapped(words, room, style).into_iter();
    lines
        .map(|line| {
            let style = line.style;
            let words = line.spans.into_iter().map(|s| s.style(style));
            Line::from_iter(std::iter::once(Span::raw("  ")).chain(words))
        })
        .collect()
}

fn unsafe_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    if screen.unsafe_found.is_empty() {
        return Vec::new();
    }
    let key = view.setup.key(Action::Told);
    let words = format!(
        "{} Unsafe: {}. Tell who answers for the boat today ({key} records it).",
        theme.glyphs.caution(),
        screen.unsafe_found.len()
    );
    let mut lines = vec![Line::default()];
    lines.extend(widgets::wrapped(&words, columns, theme.caution()));
    for finding in &screen.unsafe_found {
        let mut spans = vec![Span::raw("  ")];
        spans.extend(widgets::grade(&theme, finding.grade, 11));
        let title = screen.title_of(&finding.item);
        let room = columns.saturating_sub(13);
        lines.extend(widgets::row(
            spans,
            (&title, room, theme.text()),
            Vec::new(),
        ));
        lines.extend(indented(&finding.rule, columns, theme.quiet()));
        let (told, style) = match &finding.told {
            None => ("told: nobody yet".to_owned(), theme.caution()),
            Some(told) => {
                let late = if finding.told_the_same_day() {
                    ""
                } else {
                    ", not the same day"
                };
                let when = told.at.format("%-d %b %Y %H:%M");
                (format!("told: {}, {when}{late}", told.whom), theme.text())
            }
        };
        lines.extend(indented(&told, columns, style));
    }
    lines
}

fn defect_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let words = match screen.defects.len() {
        0 => "No defects.".to_owned(),
        n => format!("Defects, the worst risk first: {n}"),
    };
    let mut lines = heading(view, &words, columns).to_vec();
    for row in &screen.defects {
        let mut spans = vec![cell(&format!("  {:>2} ", row.rank), 5, theme.quiet())];
        spans.extend(widgets::risk(&theme, &row.code, row.risk, 7));
        spans.extend(widgets::grade(&theme, row.grade, 11));
        let title = screen.title_of(&row.item);
        let room = columns.saturating_sub(23);
        lines.extend(widgets::row(
            spans,
            (&title, room, theme.text()),
            Vec::new(),
        ));
    }
    lines
}

fn unseen_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    if screen.unseen.is_empty() {
        return Vec::new();
    }
    // What has one reason and one way to close it is told together.
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for unseen in &screen.unseen {
        let why = unseen.why.as_deref().unwrap_or("no reason given");
        let how = unseen.close_by.as_deref().unwrap_or("not said");
        let reason = format!("{why}. To see it: {how}");
        let phase = screen.phase_title(&unseen.phase);
        let title = format!("{} ({phase})", screen.title_of(&unseen.item));
        match groups.iter_mut().find(|(known, _)| *known == reason) {
            Some((_, titles)) => titles.push(title),
            None => groups.push((reason, vec![title])),
        }
    }
    let words = format!("Not seen: {}", screen.unseen.len());
    let mut lines = heading(view, &words, columns).to_vec();
    for (reason, titles) in groups {
        lines.extend(widgets::wrapped(&reason, columns, theme.text()));
        for title in titles {
            lines.extend(indented(&title, columns, theme.quiet()));
        }
    }
    lines
}

fn agreed_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let mut lines = heading(view, "Agreed beforehand", columns).to_vec();
    let Some(agreed) = &screen.walk.agreed else {
        lines.extend(indented("not asked", columns, theme.quiet()));
        return lines;
    };
    for (question, answer) in agreed.answers() {
        let answer = answer.unwrap_or("not agreed");
        lines.extend(indented(
            &format!("{question}: {answer}"),
            columns,
            theme.text(),
        ));
    }
    lines
}

fn said_lines(view: &View<'_>, screen: &VerdictScreen, columns: usize) -> Vec<Line<'static>> {
    let theme = view.setup.theme;
    let looks = screen.walk.looks.iter().map(|t| &t.look);
    let said: Vec<_> = looks
        .filter_map(|look| Some((&look.item, look.said.as_ref()?)))
        .collect();
    if said.is_empty() {
        return Vec::new();
    }
    let words = "Said by the seller or owner, not seen";
    let mut lines = heading(view, words, columns).to_vec();
    for (item, words) in said {
        let told = format!("{}: {words}", screen.title_of(item));
        lines.extend(indented(&told, columns, theme.text()));
    }
    lines
}

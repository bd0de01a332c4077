//! The first-minute cards, to print for the hatch: one HTML file for A4 and Letter, a card to half a
//! page, large, black on white, no script, nothing from elsewhere. Part of the outside surface: the JSON
//! form is [`FirstMinute`]. The page is `pages/first-minute.html`.

use askama::Template;
use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::Boat;
use crate::symptoms::{Card, NOT_TOLD, OUTRANKED, ToldLine};

/// Cards as they are said aboard one boat.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FirstMinute {
    /// The boat's name; null where there is no logbook.
    pub boat: Option<String>,
    /// The cards, the most urgent first.
    pub cards: Vec<CardTold>,
}

/// A card.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CardTold {
    /// Its id.
    pub id: String,
    /// What has happened.
    pub title: String,
    /// What is done, in its order, with where a hand goes.
    pub lines: Vec<ToldLine>,
    /// Where it comes from: a published source, or common practice.
    pub source: String,
}

impl FirstMinute {
    /// These cards, with what is known of a boat.
    pub fn of<'c>(cards: impl IntoIterator<Item = &'c Card>, boat: Option<&Boat>) -> FirstMinute {
        let cards = cards.into_iter().map(|card| CardTold {
            id: card.id.clone(),
            title: card.title.clone(),
            lines: card.lines.iter().map(|line| line.told(boat)).collect(),
            source: card.source.clone(),
        });
        FirstMinute {
            boat: boat.map(|boat| boat.name.clone()),
            cards: cards.collect(),
        }
    }

    /// The page as HTML.
    pub fn html(&self) -> String {
        let title = match &self.boat {
            Some(boat) => format!("{boat}: first-minute cards"),
            None => "First-minute cards".to_owned(),
        };
        let page = Page { page: self, title };
        page.to_string()
    }
}

#[derive(Template)]
#[template(path = "first-minute.html")]
struct Page<'a> {
    page: &'a FirstMinute,
    title: String,
}

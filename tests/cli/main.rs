//! The commands, by running the program itself in a sealed environment: no variable but those
//! named here, a home of its own, a fixed time, UTC.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod acts;
mod behind;
mod boat;
mod causes;
mod causes_aboard;
mod checklist;
mod defects;
mod entries;
mod export_sql;
mod find;
mod first_minute;
mod fleet;
mod give_on;
mod guest;
mod hand_over;
mod harness;
mod hostile;
mod issue;
mod item;
mod law;
mod learning;
mod leaving;
mod left_open;
mod locker;
mod logbook;
mod loopholes;
mod minutes;
mod own_causes;
mod own_items;
mod pages;
mod part_photos;
mod parts;
mod pictures;
mod place_photos;
mod places;
mod plan;
mod profile;
mod readme;
mod reckoned;
mod record;
mod record_schema;
mod report;
mod report_hostile;
mod report_leaving;
mod report_page;
mod roles;
mod schema;
mod seal;
mod seasons;
mod service;
mod sheet_page;
mod signs;
#[path = "../skip/mod.rs"]
#[allow(dead_code)]
mod skip;
mod story;
mod surroundings;
mod survey;
mod trend;
mod trial;
mod under_way;
mod verdict;
mod view;
mod yard;

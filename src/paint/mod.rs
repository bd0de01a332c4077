//! What can be drawn on any screen, and knows none of them.
//!
//! - [`theme`]: what colours and weights mean, in four themes
//! - [`glyphs`]: the signs drawn, and their twins for terminals without Unicode; [`plain`]: the last
//!   pass over a frame for such a terminal
//! - [`contrast`]: how far two colours stand apart; `palette`: the colours of a picture
//! - [`ladder`]: the upright ladder of an item; [`ladder_in_time`]: the ladder lying along time, true
//!   to the days; [`history`]: the same in one row, look by look
//! - [`places`]: where things are; [`picture`]: a photograph
//! - [`chart`]: readings against hours or days; [`day_chart`]: figures of watch rounds over a day; [`scale`]: their axes, and small bars of the last few;
//!   `field`: the cells of a chart
//! - [`widgets`]: lines, cells and panels
//! - [`svg`]: a picture of a frame

pub mod chart;
pub mod contrast;
pub mod day_chart;
mod field;
pub mod glyphs;
pub mod history;
pub mod ladder;
pub mod ladder_in_time;
mod palette;
pub mod picture;
pub mod places;
pub mod plain;
pub mod scale;
pub mod svg;
pub mod theme;
pub mod widgets;

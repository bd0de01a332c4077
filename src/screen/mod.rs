//! The screens. No rules live here.
//!
//! - [`app`]: what stands on what, and how events change it; `draw`: the frame around every screen;
//!   `picture`: what is in front, as a picture
//! - `kind`: what a screen is; `front`: a screen with the questions over it; `layers`: these
//!   questions; [`shared`]: what all screens share; `routes`: where one can go
//! - `pictures`: one is looked at or asked for, wherever a screen has them; `complete`: its path as it
//!   is typed; `sources`: the folder last used
//! - `by_name`: a list taken from by a digit, or as the name of a line is typed
//! - `facts`: a list of what is known of something, drawn with why it is asked
//! - `late_bell`: heard once when a round becomes late, where the settings ask for it
//! - `mended`: whether a repair lasts, as it is asked on every screen
//! - `stock`: whether a spare of the locker went into work recorded just now
//! - `others`: what others wrote, in words
//!
//! One folder for each screen, a file for a box of a question or two:
//! - `start`: the first questions, and which boat where a folder holds several
//! - `boat`: the boat and what can be done
//! - `symptoms`: what she does, what comes first then, and the looks it leads to
//! - `finding`: something is wrong now: which item, its rung, what it orders
//! - `walk`: the rows of a walk, leak run or survey
//! - [`verdict`]: what a finished walk says, and who was told of what is unsafe
//! - `defects`: the defect list, a row of it explained, two plans side by side
//! - `causes`: what is behind the findings of a machine, and the looks that tell; `told`: the same in a
//!   few lines on other screens
//! - `document`: what stands before the findings of a report, and issuing it
//! - `entries`: everything on record, taken back and put right
//! - `walks`: the walks on record
//! - `places`: where things are, from above or from the side, and how each stands
//! - `profile`: what is known of the boat, changed row by row
//! - `own_list`: a checklist of one's own: its phases, what each asks and how often
//! - `own_item`: an item of one's own: its questions, where it is asked, how it will look
//! - `parts`: the numbers and measures of parts, said row by row
//! - `locker`: the spares aboard, where they lie, when they were counted, what is missing
//! - `under_way`: the watch: what is due at a round, what is left, the day in figures
//! - `readings`: readings drawn, and what a trend says of them
//! - `service`: what is due, a task to read, and the questions about work that was done
//! - `report`: the file of a report is asked for, and waited for
//! - `behind`: records this computer had seen that are not here, and a clock that is behind
//! - `unsaved`: records that cannot be saved
//!
#![doc = include_str!("README.md")]

pub mod app;
mod behind;
mod boat;
mod by_name;
mod causes;
mod complete;
mod defects;
mod document;
mod draw;
mod entries;
mod facts;
mod finding;
mod front;
mod give_on;
mod kind;
mod late_bell;
mod layers;
mod leaving;
mod locker;
mod mended;
mod others;
mod own_item;
mod own_list;
mod parts;
mod picture;
mod pictures;
mod places;
mod profile;
mod readings;
mod report;
mod routes;
mod service;
pub mod shared;
mod sources;
mod start;
mod stock;
mod symptoms;
mod under_way;
mod unsaved;
pub mod verdict;
mod walk;
mod walks;

//! Text, files, clocks and surroundings that mean harm or are merely broken.
//!
//! Each case has its test. Those with no folder named are here.
//!
//! | case | test |
//! |---|---|
//! | disk full, during a walk and at the start; file size limit; a sync that fails once or for ever; device gone | `tests/sweeps` `refused`, `not_saved`; `logbook::session::tests` |
//! | folder or file system without the right to write | `disk::a_folder_that_cannot_be_written_…`; `tests/cli` `surroundings::a_folder_that_may_not_be_read_or_written_is_told` |
//! | one unreadable file | `disk::one_unreadable_file_…` |
//! | no descriptors left | `tests/sweeps` `refused` |
//! | session file replaced or removed while open | `tests/sweeps`; `logbook::session::tests::a_replaced_or_removed_file_…` |
//! | planted links | `disk::a_planted_link_…`, `disk::what_is_acknowledged_is_read_though_a_year_is_a_link_…` |
//! | pipe, socket, device, folder under a file's name; loops; links out of the tree | `disk::what_is_no_file_hangs_nothing_…`; `logbook::read::tests::what_is_no_file_…` |
//! | rights of what is written, and of what is found | `rights::everything_written_…`, `rights::a_record_that_others_may_change_…` |
//! | 1 GiB file, 10 MiB line, many files | `disk::great_files_…` |
//! | nesting without end | `lines::what_is_no_json_…`; `tests/cli` `hostile::odd_files_…`; `checklist::tests::hostile` |
//! | not UTF-8, half surrogates, raw controls, NaN, 1e400, null, fields twice, NUL | `lines::what_is_no_json_…` |
//! | byte-order mark, CR LF, trailing spaces, blank lines, comments | `lines::marks_of_editors_…`, `lines::what_is_no_json_…`; `logbook::read::tests::marks_of_editors_…` |
//! | escape injection from everywhere | `escapes`; `tests/cli` `hostile` (arguments, every answer and failure); `tests/journeys` `terminal::a_panic_anywhere_…` |
//! | formulas in CSV | `tests/cli` `hostile::a_spreadsheet_…`; `text::sheet` |
//! | HTML, Markdown | not in this version: there are no reports |
//! | pictures: names that act, links, pipes, devices, folders, huge, halved, no picture; paths out of the folder in a record | `logbook::photos::tests`; `tests/cli` `survey::pictures_that_cannot_be_taken_…`, `hostile`; `tests/screens` `survey::a_picture_that_cannot_…` |
//! | pictures that tell where they were taken, spoilt bytes, too many pixels | `photo::tests` |
//! | killed, refused or cut off while a picture is taken in | `tests/sweeps` `kill`, `refused`; `tests/durability` |
//! | direction, zero width, tags, titles that look alike | `escapes::titles_…`, `escapes::the_screens_…`; `checklist::tests::complaints` (twins); `text::safe` |
//! | wide, joined, stacked and right-to-left scripts | `seeds::every_script_…`; `tests/screens` `layout::hostile_names_…`; `text::width` |
//! | clock back, forward to 2106, at 1970 | `time::a_clock_that_jumps_…`, `time::a_clock_behind_…`; `logbook::order::tests` |
//! | summer time, zone changed, unset or rubbish, date line | `time::a_zone_…`, `time::walks_are_told_apart_…` |
//! | leap days, ends of years, leap seconds, ends of the calendar | `time::leap_days_…`, `time::the_ends_of_the_calendar_…` |
//! | two processes at once | `surroundings::two_at_once_…`, `surroundings::beside_a_window_…`; `logbook::order::tests` |
//! | a stopped first window | `surroundings::beside_a_window_that_is_stopped_…` |
//! | files carried both ways by other means | `lines::copying_both_ways_…`; `tests/durability` `devices` (1000 schedules); `logbook::merge::tests`. A shrunken file is told by its missing numbers, its torn line, or a later session that had read its end; one cut at a line's end that nobody read afterwards cannot be told: there is no cache that remembers |
//! | a merge by git | `lines::a_merge_by_git_…` |
//! | sticks with old file systems | `lines::names_in_lower_case_…`: the rules for names. The file systems themselves cannot be mounted on a test machine |
//! | signals, suspending, sizes, panics, kill, paste bombs | `tests/journeys` `terminal`, `boat`; `tests/screens` `layout::every_size_…`; `tests/sweeps` |
//! | no terminal, closed streams | `tests/cli` `surroundings::closed_streams_…` |
//! | dumb or unknown terminal, NO_COLOR, no UTF-8 | `surroundings::any_terminal_…`; `tests/journeys` `boat::no_color_…`; `tests/cli` `surroundings::a_terminal_without_places_…` |
//! | no home, relative folders, unknown user | `surroundings::a_user_whom_no_list_knows_…`; `tests/cli` `surroundings::without_a_home_…` |
//! | reader gone | `tests/cli` `surroundings::a_reader_that_leaves_…` |
//! | out of memory | `surroundings::too_little_memory_…` |
//! | files of other versions | `corpus` |
//! | a grade changed by hand | `lines::a_grade_changed_by_hand_…`; against a seal in `tests/cli` `seal::a_grade_changed_by_hand_…`, with its checksum made anew in `seal::a_change_with_a_checksum_…` |
//! | root first, then the user | `rights::what_root_wrote_…` |
//! | network, licences, sources | `supply` |
#![allow(clippy::expect_used, clippy::panic, clippy::unwrap_used, missing_docs)]

mod corpus;
mod disk;
mod escapes;
mod lines;
mod rights;
mod seeds;
#[path = "../skip/mod.rs"]
mod skip;
mod skips;
mod supply;
mod surroundings;
mod time;

#[path = "../journeys/harness.rs"]
#[allow(dead_code, reason = "shared with the journeys, which use all of it")]
mod harness;
#[path = "../journeys/keyscript.rs"]
mod keyscript;
#[path = "../fuzz/laws.rs"]
mod laws;
#[path = "../cli/harness.rs"]
#[allow(
    dead_code,
    reason = "shared with the tests of the commands, which use all of it"
)]
mod place;

//! From looks and repairs to living defects.
//!
//! - [`acts`]: records that act on an item or a defect
//! - [`work`]: records of recurring work, with what it did to the items
//! - [`history`]: everything the records say, in order
//! - [`ages`]: since when the work of a task counts, and what is too old, or of unknown age, to be clear
//! - [`doubt`]: what is on record and not counted
//! - [`profiles`]: what the records say of the profile, and [`mod@aboard`]: the boat that answers speak
//!   of, which is the profile and what records name beside it
//! - [`usage`]: running hours of a machine at any time
//! - [`life`]: the life of each item's defects, folded from looks and acts in the order of
//!   [`events`]
//! - [`taken_back`]: what was taken back, put right or set aside
//! - [`taught`]: what the looks on record teach about the dwells, each item by its [`mod@watch`];
//!   `learning_set`: learning frozen, set going again, reset or switched off; `learning_start`: what
//!   other boats taught, to begin from
//! - [`learned`]: the same, shown rung by rung
//! - [`condition`]: what is known of the whole boat at a moment; `folded`: from her records
//! - `asked`, `stricter`: the text an item is judged by, and what is lost of such texts
//! - [`oil_use`]: oil used against the fuel burnt
//! - [`next_look`]: when each item is to be looked at again
//! - [`list`], [`explain`]: the ranked list, and the arithmetic behind one row; [`wait`]: how long
//!   something may wait
//! - [`ladder_in_time`]: the ladder of an item lying along time, with the course ahead
//!   ([`ladder_window`]: what of it is drawn; `ladder_words`: the same in words)
//! - [`verdict`]: the word on a walk; [`judged`]: that word as it was said, as at the end and as of now;
//!   [`mod@verdicts`]: those of all walks in one pass (`passage`); [`onward`]: the condition while years of documents come in from a file (`carried`, `news`); [`leak_run`]:
//!   what the rules of a leak run need of it, and what it leaves owed
//! - [`view`]: a walk as at its end, for page, command and report
//! - [`said`]: what the program said of a walk when it ended; [`grounds`]: what that rested on
//! - [`compare`]: the list over two exposures side by side
//! - `steps`: that arithmetic in words
//! - [`compared`]: two walks beside each other
//! - [`costs`]: what putting right may cost
//! - [`finding`]: what one thing found at any time orders, how long it can wait, what to do
//! - [`covered`]: how much of a walk was seen
//! - [`own_causes`]: questions and causes of the boat's own, put into her logbook
//! - [`mod@behind`]: what is behind findings: looks as answers to the questions of the causes
//! - `stopped`: what forbids running now, and what is owed for a stop that was taken back
//! - [`owed`]: looks that are owed, and the walk they join
//! - [`series`], [`limits`]: readings as series, and what they are held against
//! - [`mod@pauses`]: long times in which nothing was read
//! - [`differs`]: what becomes different when a record is taken back or put right, in words
//! - [`dips`]: what was read of a level and filled in, in the order in which it was done
//! - [`before_start`]: what takes minutes and comes before the engine runs
//! - [`leaving`]: what to do before leaving: what must be done (`leaving_must`, [`leaving_due`]), jobs to
//!   be weighed (`leaving_jobs`), how long each takes (`leaving_minutes`, [`job_minutes`]), words ([`leaving_words`], [`leaving_said`], [`leaving_pieces`]); [`plan`],
//!   [`plan_words`]: a named plan, and what there is before it
//! - [`left_open`], [`still_open`], [`ready`]: what was left so that she must not float, start or leave; the three answers
//! - [`season`]: whether she is laid up, and what of the walks of the seasons is asked
//! - [`yard`]: what needs her out of the water, and what became of it
//! - [`mod@fuel`]: what a machine burns as it is known best, and what of the tanks is not counted on
//! - [`mod@under_way`]: one time under way and its rounds; [`round_due`]: what is due at a round; [`round_usual`],
//!   [`round_said`]: its figures against what is usual, and what is said of them at once; [`round_ahead`]: what is left, and what the
//!   worst does to it; [`round_shaft`]: the shaft that turns under sail; [`round_draft`]: a line half typed
//! - [`falls`]: the fall of a level and what one reading errs by, from its readings
//! - [`levels`]: how such levels fall and when they meet the low one
//! - [`trends`], [`trend_answer`], [`trend_words`]: where they are going
//! - [`given_on`]: the history went to a new owner, and what that leaves of it
//! - [`front`]: what can stand before the findings of a report by what is known already
//! - [`issued`]: a report that was issued
//! - [`hand_over`]: what is told to somebody who takes her out
//! - [`survey`]: what the end of a survey owes: who is told, what was not seen
//! - [`admit`]: what may be recorded
//!
#![doc = include_str!("README.md")]

pub mod aboard;
pub mod acts;
pub mod admit;
pub mod ages;
pub mod as_last_time;
mod asked;
pub mod before_start;
pub mod behind;
mod carried;
pub mod carry;
mod carry_demand;
pub mod compare;
pub mod compared;
pub mod condition;
pub mod costs;
pub mod covered;
pub mod differs;
pub mod dips;
pub mod doubt;
pub mod events;
pub mod explain;
pub mod failings;
pub mod falls;
pub mod finding;
mod folded;
pub mod front;
pub mod fuel;
pub mod gate;
pub mod given_on;
pub mod grounds;
pub mod guests;
pub mod hand_over;
pub mod history;
pub mod issued;
pub mod job_minutes;
pub mod job_spare;
pub mod judged;
pub mod ladder_in_time;
pub mod ladder_window;
pub mod ladder_words;
pub mod leak_run;
pub mod learned;
mod learning_set;
mod learning_start;
pub mod leaving;
pub mod leaving_due;
mod leaving_jobs;
mod leaving_minutes;
mod leaving_must;
pub mod leaving_pieces;
mod leaving_rows;
pub mod leaving_said;
pub mod leaving_words;
pub mod left_open;
pub mod levels;
pub mod life;
pub mod limits;
pub mod list;
pub mod locker;
pub mod locker_jobs;
mod meter_reads;
mod newest_word;
mod news;
pub mod next_look;
pub mod oil_use;
pub mod onward;
pub mod owed;
pub mod own_causes;
pub mod part_said;
pub mod pass_lines;
mod passage;
pub mod pauses;
pub mod place_photo;
pub mod plan;
pub mod plan_ahead;
pub mod plan_words;
pub mod profiles;
pub mod ready;
mod roles;
pub mod round_ahead;
pub mod round_draft;
pub mod round_due;
pub mod round_said;
pub mod round_shaft;
pub mod round_usual;
pub mod said;
pub mod season;
pub mod series;
pub mod spare_said;
mod steps;
pub mod still_open;
pub mod stopped;
mod stricter;
pub mod subject;
pub mod survey;
pub mod taken_back;
pub mod taught;
pub mod trend_answer;
pub mod trend_words;
pub mod trends;
pub mod under_way;
pub mod under_way_line;
pub mod usage;
pub mod verdict;
pub mod verdicts;
pub mod view;
pub mod wait;
pub mod watch;
pub mod when_last;
pub mod work;
pub mod yard;

pub use acts::{
    Closed, Cost, Deferral, Fitted, HoldsUntil, Labour, Opened, Override, Recheck, Removed, Repair,
    Until, Withdrawal,
};
pub use doubt::{Doubt, GoneOn, NotCounted};
pub use given_on::{GivenOn, Private};
pub use history::{Draft, History, Stamped};
pub use issued::Issued;
pub use job_minutes::JobMinutes;
pub use learning_set::{LearningSet, LearningState};
pub use learning_start::{LearningStart, PooledRate};
pub use life::{Defect, ItemStatus, Life, State};
pub use own_causes::OwnCauses;
pub use part_said::PartSaid;
pub use place_photo::PlacePhoto;
pub use plan::NamedPlan;
pub use round_draft::RoundDraft;
pub use spare_said::{SpareSaid, StockChange, StockMove};
pub use subject::Subject;
pub use taken_back::{Aside, TakenBack};
pub use under_way_line::UnderWay;
pub use usage::Usage;
pub use when_last::WhenLast;
pub use work::{FollowUpLook, Paid, Service, ServiceDraft, ServiceInterval};

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;

//! Which carriers several craft may use at once, and how much they disturb each other.
//!
//! [`mod@products`] lists what a receiver's front end makes of strong carriers and how near that comes to a
//! carrier; [`mod@plan`] chooses the best carriers there are, or proves that there are none; [`near_far`] says how
//! loud a neighbour is. Frequencies are whole kilohertz, so that every answer is exact. Knows no rule sets, no
//! channel names, no files and no doubt.
//!
//! ```
//! use channels::{Answer, Band, Craft, Question, Tuning};
//!
//! let craft = Craft::tuning(Tuning::channels(&[5_740_000, 5_760_000, 5_790_000, 5_820_000, 5_860_000]));
//! let question = Question {
//!     crafts: vec![craft; 4],
//!     bands: vec![Band { from_khz: 5_725_000, to_khz: 5_875_000 }],
//!     bandwidth_khz: 20_000,
//!     spacing_khz: 30_000,
//!     ..Question::default()
//! };
//! let Ok(Answer::Plan(plan)) = channels::plan(&question) else { panic!("a plan") };
//! assert_eq!(plan.carriers_khz, [5_740_000, 5_790_000, 5_820_000, 5_860_000]);
//! assert_eq!(plan.clearance_khz, Some(10_000));
//! ```

pub mod near_far;
pub mod plan;
pub mod products;
mod proof;
mod search;
mod tuning;

pub use plan::{Answer, Craft, Fault, Plan, Question, Reason, plan};
pub use products::{Product, clearance_khz, exact_hits, products, spacing_khz};
pub use tuning::{Band, Mhz, Steps, Tuning};

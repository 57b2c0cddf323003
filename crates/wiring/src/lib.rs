//! What goes where on a craft's boards.
//!
//! [`allot`] is a pure kernel over ports and needs. [`plan`] turns an airframe into wires from pad to pad
//! and says what is wrong with them; [`net`], [`moves`] and [`meter`] look at a plan. No files, no clock,
//! no doubt: volts in a punch are the power floor's business.

pub mod aerial;
pub mod allot;
pub mod capacitor;
pub mod choice;
pub mod joint;
pub mod meter;
pub mod moves;
pub mod net;
pub mod plan;
pub mod signals;
pub mod terminal;

pub use plan::{Carries, Fault, Plan, Wire};
pub use terminal::{Terminal, TerminalId, Terminals};

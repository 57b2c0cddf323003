//! Air, propellers, motors and the operating points they settle at.
//!
//! Kernels: numbers in, numbers out. They know no parts, no files, no clock and no doubt; the
//!
//! | module | question it answers |
//! |---|---|
//! | [`air`] | how thick is the air here today |
//! | [`momentum`] | what must any disc of this size pay for this thrust |
//! | [`propeller`] | thrust and torque from two coefficients, and where these come from |
//! | [`motor`], [`esc`] | volts and amperes for that rpm and torque |
//! | [`operating_point`] | all of them with the battery, at a thrust or at full command |

pub mod air;
pub mod esc;
pub mod momentum;
pub mod motor;
pub mod operating_point;
pub mod propeller;

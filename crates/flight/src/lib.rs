//! Air, propellers, motors and the operating points they settle at.
//!
//! Kernels: numbers in, numbers out. They know no parts, no files, no clock and no doubt; the
//! exceptions are [`typical`] and [`propeller::from_label`], which say how far a figure that nobody
//! measured may be from the truth, because that is what they are for.
//!
//! | module | question it answers |
//! |---|---|
//! | [`air`] | how thick is the air here today |
//! | [`momentum`] | what must any disc of this size pay for this thrust |
//! | [`blade_element`] | what does this blade make of the rpm |
//! | [`propeller`] | thrust and torque from two coefficients, and where these come from |
//! | [`motor`], [`esc`] | volts and amperes for that rpm and torque |
//! | [`operating_point`] | all of them with the battery, at a thrust or at full command |
//! | [`handling`] | hover trim, authority, rate loop, motor lag, inertia from a swing |
//! | [`typical`] | what to assume when nobody knows |

pub mod air;
pub mod blade_element;
pub mod esc;
pub mod handling;
pub mod momentum;
pub mod motor;
pub mod operating_point;
pub mod propeller;
pub mod typical;

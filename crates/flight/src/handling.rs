//! How the craft answers the sticks: share of the motors in hover, authority, loop, lag, inertia.
//!
//! Numbers in, numbers out, in SI with the unit in the name. Axes: x forward, y left, z up; places
//! are relative to the centre of gravity. Everything is linear about hover: no saturation in the
//! loop, no wind, no blade flapping. Only the formulas of `fitout calc` use these models yet: no
//! check of a refit does.
//!
//! | module | question it answers |
//! |---|---|
//! | [`trim`] | what must each motor do in hover |
//! | [`authority`] | how hard can the motors turn the craft, axis by axis and way by way |
//! | [`filter`] | what does a filter cost in delay |
//! | [`rate_loop`] | crossover and margins of the rate loop, and the factor that keeps the crossover |
//! | [`rotor_lag`] | how quickly does thrust follow the command |
//! | [`pendulum`] | inertia from a swing on two or three strings |

pub mod authority;
pub mod filter;
pub mod pendulum;
pub mod rate_loop;
pub mod rotor_lag;
pub mod trim;

//! What the wiring plan means in grams and volts.

use power::lead::{Wire as Pair, mass_per_metre};
use power::typical::{insulated_diameter, wire_currents};
use quantity::{Current, Length, WireGauge};
use wiring::Plan;
use wiring::choice::WARM_COPPER;
use wiring::moves::moves;
use wiring::plan::Wire;

/// Wire that a refit puts on and takes off \[kg\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WireChange {
    /// Put on.
    pub on_kg: f64,
    /// Taken off.
    pub off_kg: f64,
}

/// Thickest wire without a usual outer diameter: its copper is most of its mass.
const BARE_FACTOR: f64 = 1.8;

/// Mass of one wire \[kg\].
pub fn mass_kg(wire: &Wire) -> f64 {
    wire_mass_kg(wire.gauge.value, wire.length.value)
}

fn wire_mass_kg(gauge: WireGauge, length: Length) -> f64 {
    let outer = insulated_diameter(gauge).map_or_else(
        || Length::metres(power::lead::diameter(gauge).in_metres() * BARE_FACTOR),
        |typical| typical.quantity.value,
    );
    mass_per_metre(gauge, outer) * length.in_metres().max(0.0)
}

/// What the iron puts on and takes off between two plans.
pub fn change(before: &Plan, after: &Plan) -> WireChange {
    let mut change = WireChange::default();
    for it in moves(before, after) {
        change.off_kg += it.old.map_or(0.0, |old| mass_kg(&before.wires[old]));
        change.on_kg += it.new.map_or(0.0, |new| mass_kg(&after.wires[new]));
    }
    change
}

/// Volts that a pair of such wires drops at a current \[V\].
pub fn drop_v(wire: &Wire, current_a: f64) -> f64 {
    Pair::stranded(wire.gauge.value, wire.length.value)
        .drop(Current::amperes(current_a), WARM_COPPER)
        .in_volts()
}

/// What the charts let a wire carry for minutes \[A\]: least and most of them, and the ten-second figure.
pub fn charts_a(gauge: WireGauge) -> Option<((f64, f64), f64)> {
    let charts = wire_currents(gauge)?;
    let all = [
        charts.cautious,
        Some(charts.bold),
        Some(charts.sensible.0),
        Some(charts.sensible.1),
    ];
    let amperes = || all.into_iter().flatten().map(Current::in_amperes);
    let least = amperes().fold(f64::INFINITY, f64::min);
    let most = amperes().fold(0.0, f64::max);
    Some(((least, most), charts.burst.in_amperes()))
}

//! How long a pack carries a steady power, and what makes you land.

use quantity::{Charge, Power, Resistance, Temperature, Time, Voltage};

use crate::{OpenCircuitTable, Pack, TimeScale};

/// Mid-points of the sum over charge. From full to nearly empty, forty are within 1e-4 of an
/// adaptive integration.
const MID_POINTS: usize = 40;
/// Sums kept side by side; divides [`MID_POINTS`].
const LANES: usize = 4;
/// False-position steps at most; four are usual.
const FALSE_POSITIONS: usize = 40;
/// Charge between two ends that is the same charge.
const NEAR: f64 = 1e-12;
/// Headroom that is none \[V\].
const NEAR_V: f64 = 1e-12;

/// A discharge at steady power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Discharge {
    /// From the start until it stops; infinite if nothing is drawn.
    pub time: Time,
    /// Share of charge left.
    pub end_charge: f64,
    /// Charge taken out of the pack.
    pub charge_used: Charge,
    /// Why it stops there.
    pub stopped_by: StoppedBy,
}

/// What ends a discharge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StoppedBy {
    /// The bus reaches the landing voltage, or can no longer carry the power, whichever comes first.
    LandingVoltage,
    /// The charge reaches the reserve; the bus is still above the landing voltage.
    Reserve,
    /// The bus is below the landing voltage, or has collapsed, from the start.
    CannotStart,
    /// No power is drawn, so it never stops.
    NothingDrawn,
}

/// Draw `power` at the bus from `start_charge` until the bus stands at `landing_voltage_per_cell`
/// or the charge at `reserve_charge`.
///
/// dcharge/dt = −P/(Q·V_bus), V_bus the upper solution of [`crate::Source::under`] with the
/// sustained resistance of the cells plus `series_resistance` (plug, leads, board; for the whole
/// pack). Forty mid-points. Shares of charge are kept within 0 to 1; inputs that are not numbers
/// give [`StoppedBy::CannotStart`]. The temperature stays what it is: a pack that warms in flight
/// does better. Holds up to about twice the capacity per hour for an energy cell; above that such
/// a cell gives less than this says, because its charge cannot follow.
/// Validated: `endurance-*`, time within 1e-4 of an adaptive integration of the same equations;
/// and the resistance model behind it, `discharge-*`: 13, 19 and 73 mV at worst against a
/// simulated pouch at 0.5, 1 and 2 times its capacity per hour. No flight has been held against it.
pub fn discharge(
    pack: &Pack,
    series_resistance: Resistance,
    power: Power,
    start_charge: f64,
    landing_voltage_per_cell: Voltage,
    reserve_charge: f64,
    temperature: Temperature,
) -> Discharge {
    let drain = Drain::new(
        pack,
        series_resistance,
        power,
        landing_voltage_per_cell,
        temperature,
    );
    let start = start_charge.clamp(0.0, 1.0);
    let reserve = reserve_charge.clamp(0.0, 1.0);
    if drain.power_w <= 0.0 {
        return stopped(f64::INFINITY, start, 0.0, StoppedBy::NothingDrawn);
    }
    // Not-a-number makes the comparison false, so it cannot start either.
    let can_start = drain.headroom_v(start) > 0.0;
    if !can_start || drain.landing_v.is_nan() || reserve.is_nan() {
        return stopped(0.0, start, 0.0, StoppedBy::CannotStart);
    }
    let (end, stopped_by) = drain.end(start, reserve);
    let capacity_c = pack.capacity().in_coulombs().max(0.0);
    let seconds = capacity_c * drain.volt_share(end, start) / drain.power_w;
    stopped(seconds, end, capacity_c * (start - end), stopped_by)
}

fn stopped(seconds: f64, end_charge: f64, used_c: f64, stopped_by: StoppedBy) -> Discharge {
    Discharge {
        time: Time::seconds(seconds),
        end_charge,
        charge_used: Charge::coulombs(used_c),
        stopped_by,
    }
}

/// The discharge seen by one cell of the series: its own share of power and of outside resistance.
struct Drain {
    table: OpenCircuitTable,
    offset_v: f64,
    /// Cell resistance at mid charge, over the strings \[Ω\].
    cell_ohm: f64,
    /// Share by which it grows for each unit of charge below where the rise begins.
    rise: f64,
    outside_ohm: f64,
    power_w: f64,
    landing_v: f64,
    per_landing_v: f64,
}

impl Drain {
    fn new(
        pack: &Pack,
        series_resistance: Resistance,
        power: Power,
        landing_voltage_per_cell: Voltage,
        temperature: Temperature,
    ) -> Self {
        let cell = &pack.cell;
        Self {
            table: cell.chemistry.table(),
            offset_v: cell.open_circuit_offset.in_volts(),
            cell_ohm: cell.mid_charge_ohm(temperature, TimeScale::Sustained) / pack.strings(),
            rise: (cell.low_charge_factor(0.0) - 1.0) / crate::cell::LOW_CHARGE,
            outside_ohm: series_resistance.in_ohms().clamp(0.0, f64::INFINITY)
                / pack.series_cells(),
            power_w: power.in_watts() / pack.series_cells(),
            landing_v: landing_voltage_per_cell.in_volts(),
            per_landing_v: 1.0 / landing_voltage_per_cell.in_volts(),
        }
    }

    #[inline]
    fn ohm(&self, charge: f64) -> f64 {
        let low = (crate::cell::LOW_CHARGE - charge).max(0.0);
        self.cell_ohm * (1.0 + self.rise * low) + self.outside_ohm
    }

    #[inline]
    fn resting_v(&self, charge: f64) -> f64 {
        self.table.volts_at(charge) + self.offset_v
    }

    /// Resting volts above those needed to hold the power at the landing voltage. Rises with
    /// charge, because the resting curve does and the resistance falls.
    ///
    /// The bus cannot go below V = √(R·P), where it collapses; a lower landing voltage is never
    /// seen, so the stop is at the higher of the two, and E = V + R·P/V is what it takes there.
    #[inline]
    fn headroom_v(&self, charge: f64) -> f64 {
        let loss = self.ohm(charge) * self.power_w;
        if loss <= self.landing_v * self.landing_v {
            return self.resting_v(charge) - self.landing_v - loss * self.per_landing_v;
        }
        let stop_v = loss.sqrt();
        self.resting_v(charge) - stop_v - loss / stop_v
    }

    fn end(&self, start: f64, reserve: f64) -> (f64, StoppedBy) {
        if reserve >= start || self.headroom_v(reserve) >= 0.0 {
            return (reserve.min(start), StoppedBy::Reserve);
        }
        let (below, above) = self.bracket(reserve, start);
        (self.root(below, above), StoppedBy::LandingVoltage)
    }

    /// The stretch between two rows of the resting table in which the headroom changes sign.
    fn bracket(&self, reserve: f64, start: f64) -> (f64, f64) {
        let rows = self.table.rows() as f64;
        let (mut below, mut above) = ((reserve * rows).floor(), (start * rows).ceil());
        while above - below > 1.0 {
            let middle = ((below + above) * 0.5).floor();
            if self.headroom_v(middle / rows) > 0.0 {
                above = middle;
            } else {
                below = middle;
            }
        }
        ((below / rows).max(reserve), (above / rows).min(start))
    }

    /// The charge at which no headroom is left, from above. Between two rows the headroom is almost a straight
    /// line, so a few false-position steps (Illinois: Dowell & Jarratt, BIT 11 (1971) 168; from memory) do what
    /// forty halvings would.
    fn root(&self, mut below: f64, mut above: f64) -> f64 {
        let (mut under_v, mut over_v) = (self.headroom_v(below), self.headroom_v(above));
        let mut moved_above = None;
        for _ in 0..FALSE_POSITIONS {
            let next = above - (above - below) * over_v / (over_v - under_v);
            let left_v = self.headroom_v(next);
            let moves_above = left_v > 0.0;
            // The end that stays a second time counts half, else it would stay for ever.
            let stays = moved_above == Some(moves_above);
            if moves_above {
                (above, over_v) = (next, left_v);
                under_v *= if stays { 0.5 } else { 1.0 };
            } else {
                (below, under_v) = (next, left_v);
                over_v *= if stays { 0.5 } else { 1.0 };
            }
            if above - below < NEAR || left_v.abs() < NEAR_V {
                return next;
            }
            moved_above = Some(moves_above);
        }
        above
    }

    /// Bus volts of one cell summed over the charge taken. Plain loops over arrays, so that the roots are
    /// taken several at a time.
    fn volt_share(&self, end: f64, start: f64) -> f64 {
        let step = (start - end) / MID_POINTS as f64;
        let mut resting_v = [0.0; MID_POINTS];
        let mut lost_v2 = [0.0; MID_POINTS];
        for (at, (resting, lost)) in resting_v.iter_mut().zip(&mut lost_v2).enumerate() {
            let charge = end + step * (at as f64 + 0.5);
            *resting = self.resting_v(charge);
            *lost = 4.0 * self.ohm(charge) * self.power_w;
        }
        let mut bus_v = [0.0; MID_POINTS];
        for ((bus, resting), lost) in bus_v.iter_mut().zip(&resting_v).zip(&lost_v2) {
            let square = resting * resting - lost;
            let volts = 0.5 * (resting + square.max(0.0).sqrt());
            // Past collapse there are no volts.
            *bus = if square >= 0.0 { volts } else { 0.0 };
        }
        // In lanes, always the same ones: a sum in one line would have to be taken one by one.
        let mut lanes = [0.0; LANES];
        for part in bus_v.chunks_exact(LANES) {
            for (lane, volts) in lanes.iter_mut().zip(part) {
                *lane += volts;
            }
        }
        let sum_v: f64 = lanes.iter().sum();
        step * sum_v
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Cell, Chemistry};
    use proptest::prelude::*;
    use quantity::MolarEnergy;

    fn pack(milliohms: f64, series: u32, parallel: u32) -> Pack {
        Pack {
            cell: Cell {
                chemistry: Chemistry::LithiumPolymer,
                capacity: Charge::milliampere_hours(450.0),
                resistance: Resistance::milliohms(milliohms),
                activation_energy: MolarEnergy::kilojoules_per_mole(20.0),
                sustained_ratio: 1.25,
                low_charge_rise: 0.4,
                open_circuit_offset: Voltage::volts(0.0),
            },
            series,
            parallel,
        }
    }

    fn fly(pack: &Pack, watts: f64, landing_v: f64, reserve: f64) -> Discharge {
        discharge(
            pack,
            Resistance::milliohms(10.0),
            Power::watts(watts),
            1.0,
            Voltage::volts(landing_v),
            reserve,
            Temperature::celsius(25.0),
        )
    }

    #[test]
    fn checked_it_ends_where_the_bus_says() {
        let pack = pack(20.0, 1, 1);
        let end = fly(&pack, 10.0, 3.5, 0.0);
        assert_eq!(end.stopped_by, StoppedBy::LandingVoltage);
        let bus = pack
            .source(
                end.end_charge,
                Temperature::celsius(25.0),
                TimeScale::Sustained,
            )
            .behind(Resistance::milliohms(10.0))
            .under(Power::watts(10.0), quantity::Current::amperes(0.0));
        assert!((bus.unwrap().in_volts() - 3.5).abs() < 1e-7);
    }

    #[test]
    fn checked_a_landing_voltage_below_collapse_stops_at_collapse() {
        let pack = pack(60.0, 1, 1);
        let end = fly(&pack, 36.0, 0.5, 0.0);
        // 36 W through about 85 mΩ: the bus collapses at √(0.085 × 36) = 1.75 V, far above 0.5 V.
        assert_eq!(end.stopped_by, StoppedBy::LandingVoltage);
        assert!(end.end_charge > 0.0 && end.end_charge < 1.0);
        let just = |charge| {
            pack.source(charge, Temperature::celsius(25.0), TimeScale::Sustained)
                .behind(Resistance::milliohms(10.0))
                .under(Power::watts(36.0), quantity::Current::amperes(0.0))
        };
        assert!(just(end.end_charge + 1e-6).is_ok());
        assert!(just(end.end_charge - 1e-6).is_err());
    }

    #[test]
    fn checked_each_stop_has_its_name() {
        let pack = pack(20.0, 2, 1);
        assert_eq!(fly(&pack, 10.0, 3.0, 0.2).stopped_by, StoppedBy::Reserve);
        assert_eq!(fly(&pack, 10.0, 3.0, 0.2).end_charge, 0.2);
        assert_eq!(fly(&pack, 10.0, 3.0, 1.0).time, Time::seconds(0.0));
        assert_eq!(
            fly(&pack, 900.0, 3.0, 0.2).stopped_by,
            StoppedBy::CannotStart
        );
        assert_eq!(
            fly(&pack, 10.0, 4.3, 0.2).stopped_by,
            StoppedBy::CannotStart
        );
        assert_eq!(
            fly(&pack, f64::NAN, 3.0, 0.2).stopped_by,
            StoppedBy::CannotStart
        );
        assert_eq!(
            fly(&pack, 10.0, f64::NAN, 0.0).stopped_by,
            StoppedBy::CannotStart
        );
        assert_eq!(
            fly(&pack, -1.0, 3.0, 0.2).stopped_by,
            StoppedBy::NothingDrawn
        );
        assert!(fly(&pack, 0.0, 3.0, 0.2).time.in_seconds().is_infinite());
    }

    #[test]
    fn checked_energy_out_is_power_times_time() {
        // Stiff pack: energy = ∫ resting volts over charge; mid-point sum by hand, 1000 steps.
        let pack = Pack {
            cell: Cell {
                resistance: Resistance::ohms(0.0),
                ..pack(0.0, 3, 2).cell
            },
            series: 3,
            parallel: 2,
        };
        let end = discharge(
            &pack,
            Resistance::ohms(0.0),
            Power::watts(30.0),
            0.9,
            Voltage::volts(3.0),
            0.3,
            Temperature::celsius(25.0),
        );
        let joules: f64 = (0..1000)
            .map(|i| 0.3 + 0.6 * (f64::from(i) + 0.5) / 1000.0)
            .map(|charge| Chemistry::LithiumPolymer.open_circuit(charge).in_volts())
            .sum::<f64>()
            * 3.0
            * (2.0 * 0.45 * 3600.0)
            * 0.6
            / 1000.0;
        // Forty mid-points against a thousand: 1e-4.
        assert!((end.time.in_seconds() * 30.0 / joules - 1.0).abs() < 1e-4);
        assert!((end.charge_used.in_milliampere_hours() - 540.0).abs() < 1e-9);
    }

    proptest! {
        #[test]
        fn checked_less_of_everything_good_is_less_time(
            watts in 3.0..12.0f64, more in 0.1..3.0f64, milliohms in 5.0..40.0f64, colder in 1.0..30.0f64,
        ) {
            let at = |w, r, celsius| discharge(
                &pack(r, 1, 1), Resistance::milliohms(10.0), Power::watts(w), 1.0,
                Voltage::volts(3.4), 0.1, Temperature::celsius(celsius),
            ).time;
            let base = at(watts, milliohms, 25.0);
            prop_assert!(at(watts + more, milliohms, 25.0) < base);
            prop_assert!(at(watts, milliohms + more, 25.0) < base);
            prop_assert!(at(watts, milliohms, 25.0 - colder) < base);
        }
    }
}

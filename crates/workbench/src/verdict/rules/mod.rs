//! The rules, one file each, named for the fault. The folder's listing is the table of rules.

use super::state::Basis;
use super::{Draft, State};

macro_rules! rules {
    ($($module:ident)+) => {
        $(pub mod $module;)+

        /// Every rule, in the order in which findings of the same level are told.
        pub const ALL: &[Rule] = &[$(Rule { id: $module::ID, judge: $module::judge }),+];
    };
}

rules! {
    cannot_say
    cannot_hover
    supplies_joined
    ground_missing
    fed_twice
    input_unfed
    supply_over_voltage
    bus_collapse
    supply_brownout
    cells_not_volts
    rail_out_of_reach
    rail_overload
    port_claimed_twice
    port_unfit
    port_none_free
    serial_swapped
    level_too_high
    antenna_missing
    jack_mismatch
    antenna_hand
    link_short
    radiated_over
    blade_near
    parts_overlap
    circuit_near
    holes_off
    screw_too_long
    camera_mount
    stack_high
    thrust_short
    hover_command_high
    mass_over_limit
    active_time_short
    hover_time_short
    battery_rate
    plug_current
    lead_current
    driver_current
    motor_current
    wire_current
    wire_drop
    ground_single
    capacitor_short
    port_on_loader
    rail_may_be_off
    coax_loss
    signal_unheard
    pad_missing
    duct_near
    canopy_near
    pack_low
    aerial_near_carbon
    reach_blocked
    view_blocked
    hover_uneven
    control_uneven
    balance_moved
    retune
    loop_margin
    place_missing
    link_unknown
    landing_early
    oversize_battery
    tired_cells
    sum_against_scale
    mass_out_of_class
    battery_energy
    disc_loading
    tip_speed
    speed_ratio
    hover_speed
    hover_power
}

/// The rules about ports, pads and wires: those that `fitout wire` tells.
pub const WIRING: &[&str] = &[
    supplies_joined::ID,
    ground_missing::ID,
    fed_twice::ID,
    input_unfed::ID,
    supply_over_voltage::ID,
    supply_brownout::ID,
    rail_out_of_reach::ID,
    rail_overload::ID,
    port_claimed_twice::ID,
    port_unfit::ID,
    port_none_free::ID,
    serial_swapped::ID,
    level_too_high::ID,
    antenna_missing::ID,
    jack_mismatch::ID,
    antenna_hand::ID,
    wire_current::ID,
    wire_drop::ID,
    ground_single::ID,
    capacitor_short::ID,
    port_on_loader::ID,
    rail_may_be_off::ID,
    coax_loss::ID,
    signal_unheard::ID,
    pad_missing::ID,
];

/// The rules about radio: those that `fitout air` tells.
pub const AIR: &[&str] = &[
    antenna_missing::ID,
    jack_mismatch::ID,
    antenna_hand::ID,
    aerial_near_carbon::ID,
    coax_loss::ID,
    link_short::ID,
    radiated_over::ID,
    link_unknown::ID,
];

/// The rules about where things are and how the craft answers: those that `fitout space` tells.
pub const SPACE: &[&str] = &[
    blade_near::ID,
    parts_overlap::ID,
    circuit_near::ID,
    holes_off::ID,
    screw_too_long::ID,
    camera_mount::ID,
    stack_high::ID,
    duct_near::ID,
    canopy_near::ID,
    pack_low::ID,
    aerial_near_carbon::ID,
    reach_blocked::ID,
    view_blocked::ID,
    hover_uneven::ID,
    control_uneven::ID,
    balance_moved::ID,
    retune::ID,
    loop_margin::ID,
    place_missing::ID,
];

/// One rule.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// Its stable name.
    pub id: &'static str,
    /// What it finds.
    pub judge: fn(&State, &Basis) -> Vec<Draft>,
}

#[cfg(test)]
pub mod trial;

#[cfg(test)]
mod tests {
    use super::ALL;
    use std::collections::HashSet;

    #[test]
    fn checked_rule_names_are_unique_and_match_their_files() {
        let ids: HashSet<_> = ALL.iter().map(|rule| rule.id).collect();
        assert_eq!(ids.len(), ALL.len());
        assert!(ids.iter().all(|id| !id.contains(['_', '.', ' '])));
    }
}

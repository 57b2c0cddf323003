//! What the builder asks of the craft, and the air and pack it will meet.

use crate::sheet::{Definite, choices, tables};
use quantity::{Length, Mass, Ratio, Temperature, Time, Voltage};

choices! {
    /// How the craft is flown.
    Style {
        /// Slow indoor flying between walls.
        Indoor "indoor";
        /// Straight and level over distance.
        Cruise "cruise";
        /// Smooth pictures, gentle turns.
        Filming "filming";
        /// Loops, dives and hard pull-outs.
        Freestyle "freestyle";
        /// Flat out between gates.
        Race "race";
    }
}

tables! {
    /// What the craft must do. Leave out what you do not care about.
    "needs" Needs {
        /// How it is flown; sets the usual wants for thrust, hover command and activity.
        style: Style;
        /// Minutes of flying in that style to the landing reserve.
        active_time: Definite<Time>;
        /// Minutes of pure hover to the landing reserve.
        hover_time: Definite<Time>;
        /// Highest hover motor command at the landing reserve.
        hover_command: Definite<Ratio>;
        /// Least thrust over weight at the landing reserve.
        thrust_to_weight: Definite<Ratio>;
        /// Heaviest take-off mass, for a mass class you want to stay in.
        mass_limit: Definite<Mass>;
        /// How far below `mass_limit` to stay, for tape, repairs and the scale's own error.
        mass_reserve: Definite<Mass>;
    }

    /// The air and the pack the craft will meet.
    "conditions" Conditions {
        /// Height above sea level of the flying site.
        altitude: Definite<Length>;
        /// Air temperature.
        air_temperature: Temperature, ~ TEMPERATURE;
        /// Pack temperature in ordinary flight.
        pack_temperature: Temperature, ~ TEMPERATURE;
        /// Pack temperature at the first punch of a cold day.
        cold_pack_temperature: Temperature, ~ TEMPERATURE;
        /// Share of the charge left when you land.
        landing_reserve: Definite<Ratio>;
        /// Volts for each cell, under load, at which you land.
        landing_volts: Definite<Voltage>;
        /// Highest motor command the settings allow; one hundred percent if left out.
        command_limit: Definite<Ratio>;
    }
}

//! What a part can be: each facet is one table of a part sheet.

use crate::pads::SwitchState;
use crate::sheet::{Definite, Rated, choices, tables};
use crate::space::{MotorSide, TurningPattern};
use quantity::{
    Charge, Current, DischargeRate, Force, Length, Mass, Power, Ratio, Resistance, RotationSpeed,
    Time, VelocityConstant, Voltage, WireGauge,
};

choices! {
    /// What stands around the propellers.
    Surround {
        /// Nothing around the propellers.
        Open "open";
        /// Thin rings that keep fingers out and carry little thrust.
        Guard "guard";
        /// Ducts with lips, tip gap below 2 % of the diameter.
        Duct "duct";
    }
    /// What the cells are made of.
    Chemistry {
        /// Lithium polymer, full at 4.20 V.
        LithiumPolymer "lipo";
        /// High-voltage lithium polymer, full at 4.35 V where the pack says so.
        HighVoltage "lipo-high-voltage";
        /// Lithium-ion, cylindrical.
        LithiumIon "li-ion";
    }
    /// How worn a pack is.
    PackCondition {
        /// Fewer than about thirty flights.
        New "new";
        /// Some tens of flights, no swelling.
        Used "used";
        /// More than about 150 flights, or visibly weaker.
        Tired "tired";
    }
    /// A battery plug by its size name.
    PlugSize {
        /// Two-pin, 2.0 mm pitch, as on small single-cell packs.
        TwoPin "2.0-mm-two-pin";
        /// Low-resistance plug for single cells.
        SingleCell "low-resistance-single-cell";
        /// 2 mm round pins.
        Xt30 "xt30";
        /// 3.5 mm round pins.
        Xt60 "xt60";
        /// Soldered, no plug.
        Soldered "soldered";
    }
    /// What is lost when a device loses its supply for a moment.
    Loss {
        /// Digital video: gone for the seconds of a restart; counts as loss of control for goggles flying.
        DigitalVideo "digital-video";
        /// Analogue video: flickers and comes back within a second.
        AnalogueVideo "analogue-video";
        /// The craft itself: flight controller or receiver.
        Control "control";
        /// Nothing that flying needs.
        Nothing "nothing";
    }
    /// How a rail makes its volts.
    RegulatorKind {
        /// Steps down; cannot give more than its input less a drop.
        Buck "buck";
        /// Steps up; draws more current as its input sags.
        Boost "boost";
        /// Steps up or down.
        BuckBoost "buck-boost";
        /// Burns the difference; output current equals input current.
        Linear "linear";
        /// A wire or a switch: the rail follows its input.
        Through "through";
        /// A diode in series.
        Diode "diode";
    }
}

tables! {
    /// What the part weighs.
    "body" Body {
        /// Mass of one, with its own leads and screws.
        mass ! required: Mass, ~ MASS;
    }

    /// The frame that holds everything.
    "frame" Frame {
        /// Number of rotors.
        rotors ! required: u32;
        /// Motor to motor, across the diagonal.
        diagonal: Definite<Length>;
        /// What stands around the propellers.
        surround: Surround;
        /// Thrust at equal power against the open propeller; leave out to use the class figure.
        duct_factor: Ratio, ~ DUCT;
        /// Foot of the motors above the top of the bottom plate; zero if left out.
        motor_height: Definite<Length>;
        /// On which side of the arm the motors stand; above if left out.
        motor_side: MotorSide;
        /// How the front propellers turn; inward if left out.
        turning: TurningPattern;
        /// How thick the plate is that motor screws go through.
        arm_thickness: Definite<Length>;
        /// Air between blade tip and duct or guard.
        duct_gap: Definite<Length>;
        /// How thick the wall of the duct is.
        duct_wall: Definite<Length>;
        /// Height of the duct.
        duct_height: Definite<Length>;
        /// Lower edge of the duct above the top of the bottom plate; negative below it.
        duct_foot: Definite<Length>;
        /// What the craft stands on, above the top of the bottom plate; negative below it.
        feet: Definite<Length>;
    }

    /// A motor.
    "motor" Motor {
        /// Stator size as printed, diameter and height: "1106".
        code: String;
        /// Velocity constant without load.
        kv ! required: VelocityConstant, ~ KV;
        /// Winding resistance between two leads, at 20 °C.
        resistance: Resistance, ~ WINDING;
        /// Current without load at `no_load_volts`.
        no_load_current: Current, ~ NO_LOAD;
        /// The volts at which `no_load_current` was taken.
        no_load_volts: Definite<Voltage>;
        /// Highest current the maker allows for a few seconds.
        peak_current: Definite<Current>;
    }

    /// A propeller.
    "propeller" Propeller {
        /// Tip to tip.
        diameter ! required: Definite<Length>;
        /// Nominal pitch: the advance in one turn as printed.
        pitch ! required: Definite<Length>;
        /// Number of blades.
        blades ! required: u32;
        /// Height of the space that its blades sweep.
        height: Definite<Length>;
        /// Static thrust coefficient, thrust/(density · rev/s² · diameter⁴).
        thrust_coefficient: Ratio, ~ THRUST;
        /// Static power coefficient, power/(density · rev/s³ · diameter⁵).
        power_coefficient: Ratio, ~ SHAFT_POWER;
        /// Thrust of one on a test stand, at `static_speed`, sea-level air.
        static_thrust: Force, ~ THRUST;
        /// The speed at which `static_thrust` was taken.
        static_speed: Definite<RotationSpeed>;
    }

    /// Motor drivers, figures for one motor.
    "esc" Esc {
        /// Current for as long as you like, with air over it.
        continuous: Definite<Current>;
        /// Current for some seconds.
        burst: Definite<Current>;
        /// Share of the battery's power that reaches the motor in hover.
        efficiency: Ratio, ~ EFFICIENCY;
    }

    /// A battery's cells.
    "cells" Cells {
        /// What they are made of.
        chemistry ! required: Chemistry;
        /// Cells in series.
        series ! required: u32;
        /// Strings in parallel; one if left out.
        parallel: u32;
        /// Capacity of the pack.
        capacity ! required: Charge, ~ CAPACITY;
        /// Resistance of one cell, 10 s, at 25 °C, as it is today.
        resistance: Resistance, ~ RESISTANCE;
        /// How worn the pack is; used if left out.
        condition: PackCondition;
        /// Discharge rate printed on the pack, times its capacity per hour. A claim, not data.
        rate: Definite<DischargeRate>;
    }

    /// The plug between battery and craft, both halves together.
    "plug" Plug {
        /// Which plug.
        size ! required: PlugSize;
        /// Resistance of the mated pair, plus and minus together.
        resistance: Resistance, ~ RESISTANCE;
    }

    /// The two wires from the plug to the craft, or from the cells to the plug.
    "lead" Lead {
        /// Wire size.
        gauge ! required: Definite<WireGauge>;
        /// Length one way.
        length ! required: Length, ~ LENGTH;
    }

    /// The board that carries battery current to the motor drivers.
    "board" Board {
        /// Battery pads to motor drivers, traces and switches, there and back.
        path_resistance: Resistance, ~ RESISTANCE;
    }

    /// A power input of a device.
    "input" [named] Input {
        /// Volts the sheet allows, least to most.
        volts: Rated<Voltage>;
        /// Cells printed on the device, "2..6". A number of cells is not a voltage.
        cells: Rated<Ratio>;
        /// The volts below which it really stops, found by turning a supply down.
        lock_out: Voltage, ~ LOCK_OUT;
        /// Power drawn in flight.
        power ! required: Power, ~ WATTS;
        /// Highest power drawn for more than a second.
        peak_power: Power, ~ WATTS;
        /// What is lost when the supply dips.
        loss: Loss;
        /// How long it takes to come back.
        restart: Definite<Time>;
        /// A rail of the same part that feeds it on the board; otherwise the craft's `[feeds]` says.
        fed_by: String;
    }

    /// A rail that the part offers to others.
    "rail" [named] Rail {
        /// How it makes its volts.
        kind ! required: RegulatorKind;
        /// Volts it is set to; not for `through`.
        output: Definite<Voltage>;
        /// Current the label allows for as long as you like.
        continuous: Definite<Current>;
        /// Current the label allows for some seconds.
        peak: Definite<Current>;
        /// Least difference between input and output of a step-down.
        drop_out: Voltage, ~ LOCK_OUT;
        /// Input below which it switches off.
        minimum_input: Definite<Voltage>;
        /// Share of the input power that comes out.
        efficiency: Ratio, ~ EFFICIENCY;
        /// A rail of the same part that feeds this one; otherwise the craft's `[feeds]`, otherwise the pack.
        fed_by: String;
        /// Whether it is live on USB alone.
        live_on_usb: bool;
        /// Where a setting switches it: the state it comes up in after the settings were lost.
        switched: SwitchState;
        /// Whether a jumper or a solder bridge chooses its volts.
        jumper: bool;
    }
}

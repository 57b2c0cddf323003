//! One type for each dimension, so that a voltage cannot be passed where a current belongs.
//!
//! A value is kept in its SI unit. The constructor and the reader name the unit:
//! `Resistance::milliohms(18.0).in_ohms()`. Only products that the models use are defined; the
//! inside of a kernel works on plain `f64` with the unit in the name.

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// One way to write a dimension: symbol first, then spellings that are read as the same unit.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// The symbol we print.
    pub symbol: &'static str,
    /// Other spellings we read.
    pub aliases: &'static [&'static str],
    /// SI value of one of this unit.
    pub scale: f64,
    /// SI value of zero of this unit; other than zero only for degrees Celsius.
    pub offset: f64,
}

impl Unit {
    /// The SI value of a difference written in this unit.
    pub const fn difference_to_si(&self, number: f64) -> f64 {
        times(number, self.scale)
    }

    /// The SI value of a value written in this unit.
    pub const fn value_to_si(&self, number: f64) -> f64 {
        self.difference_to_si(number) + self.offset
    }

    /// A difference of this SI value, in this unit.
    pub const fn difference_from_si(&self, si: f64) -> f64 {
        over(si, self.scale)
    }

    /// This SI value in this unit.
    pub const fn value_from_si(&self, si: f64) -> f64 {
        self.difference_from_si(si - self.offset)
    }
}

/// The product with a scale. A thousandth is no binary number but a thousand is, so milli- and its
/// like divide: 18 mΩ is then 0.018 Ω to the last bit, and 700 mV is 0.7 V.
#[inline]
const fn times(value: f64, scale: f64) -> f64 {
    let inverse = (1.0 / scale).round();
    if scale < 1.0 && inverse * scale == 1.0 {
        value / inverse
    } else {
        value * scale
    }
}

/// The quotient by a scale, with the same care.
#[inline]
const fn over(value: f64, scale: f64) -> f64 {
    let inverse = (1.0 / scale).round();
    if scale < 1.0 && inverse * scale == 1.0 {
        value * inverse
    } else {
        value / scale
    }
}

/// A physical dimension with the units it may be written in.
pub trait Dimension: Copy + PartialOrd + Debug + Send + Sync + 'static {
    /// The plain noun used in messages: "voltage".
    const NOUN: &'static str;
    /// Units that may be written, the most usual at a bench first.
    const UNITS: &'static [Unit];
    /// From the SI unit.
    fn from_si(value: f64) -> Self;
    /// In the SI unit.
    fn si(self) -> f64;
}

/// A dimension seen at run time: its noun and its units.
#[derive(Debug, Clone, Copy)]
pub struct DimensionInfo {
    /// As [`Dimension::NOUN`].
    pub noun: &'static str,
    /// As [`Dimension::UNITS`].
    pub units: &'static [Unit],
}

impl DimensionInfo {
    /// The run-time description of `D`.
    pub const fn of<D: Dimension>() -> Self {
        Self {
            noun: D::NOUN,
            units: D::UNITS,
        }
    }
}

impl PartialEq for DimensionInfo {
    fn eq(&self, other: &Self) -> bool {
        self.noun == other.noun
    }
}

macro_rules! dimensions {
    ($(
        $(#[$doc:meta])*
        $name:ident $noun:literal {
            $($make:ident $get:ident $symbol:literal [$($alias:literal),*] $scale:expr $(, offset $offset:expr)?;)+
        }
    )+) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
            #[repr(transparent)]
            pub struct $name(f64);

            impl $name {
                $(
                    #[doc = concat!("From ", $symbol, ".")]
                    #[inline]
                    pub const fn $make(value: f64) -> Self {
                        Self(times(value, $scale) $(+ $offset)?)
                    }
                    #[doc = concat!("In ", $symbol, ".")]
                    #[inline]
                    pub const fn $get(self) -> f64 {
                        over(self.0 $(- $offset)?, $scale)
                    }
                )+
            }

            impl Dimension for $name {
                const NOUN: &'static str = $noun;
                const UNITS: &'static [Unit] = &[$(
                    Unit { symbol: $symbol, aliases: &[$($alias),*], scale: $scale, offset: 0.0 $(+ $offset)? },
                )+];
                #[inline]
                fn from_si(value: f64) -> Self { Self(value) }
                #[inline]
                fn si(self) -> f64 { self.0 }
            }

            impl Add for $name {
                type Output = Self;
                #[inline]
                fn add(self, other: Self) -> Self { Self(self.0 + other.0) }
            }
            impl AddAssign for $name {
                #[inline]
                fn add_assign(&mut self, other: Self) { self.0 += other.0; }
            }
            impl Sub for $name {
                type Output = Self;
                #[inline]
                fn sub(self, other: Self) -> Self { Self(self.0 - other.0) }
            }
            impl Neg for $name {
                type Output = Self;
                #[inline]
                fn neg(self) -> Self { Self(-self.0) }
            }
            impl Mul<f64> for $name {
                type Output = Self;
                #[inline]
                fn mul(self, factor: f64) -> Self { Self(self.0 * factor) }
            }
            impl Div<f64> for $name {
                type Output = Self;
                #[inline]
                fn div(self, divisor: f64) -> Self { Self(self.0 / divisor) }
            }
            impl Div for $name {
                type Output = f64;
                #[inline]
                fn div(self, other: Self) -> f64 { self.0 / other.0 }
            }
        )+

        /// Every dimension, for messages such as "`g` is a unit of mass, this field is a voltage".
        pub const DIMENSIONS: &[DimensionInfo] = &[$(DimensionInfo::of::<$name>()),+];
    };
}

/// Radians per second in one revolution per minute.
const RPM: f64 = std::f64::consts::TAU / 60.0;
/// Standard gravity \[m/s²\]. 3rd CGPM, 1901; exact.
pub const STANDARD_GRAVITY: f64 = 9.806_65;

dimensions! {
    /// A mass; SI kilogram.
    Mass "mass" { grams in_grams "g" ["gram", "grams"] 1e-3; kilograms in_kilograms "kg" [] 1.0; milligrams in_milligrams "mg" [] 1e-6; }
    /// A length; SI metre.
    Length "length" { millimetres in_millimetres "mm" [] 1e-3; metres in_metres "m" [] 1.0; centimetres in_centimetres "cm" [] 1e-2; kilometres in_kilometres "km" [] 1e3; micrometres in_micrometres "µm" ["um", "μm"] 1e-6; inches in_inches "in" ["inch", "″"] 0.0254; }
    /// An area; SI square metre.
    Area "area" { square_millimetres in_square_millimetres "mm²" ["mm2", "mm^2"] 1e-6; square_metres in_square_metres "m²" ["m2", "m^2"] 1.0; square_centimetres in_square_centimetres "cm²" ["cm2", "cm^2"] 1e-4; }
    /// A span of time; SI second.
    Time "time" { seconds in_seconds "s" ["sec"] 1.0; minutes in_minutes "min" [] 60.0; hours in_hours "h" [] 3600.0; milliseconds in_milliseconds "ms" [] 1e-3; microseconds in_microseconds "µs" ["us", "μs"] 1e-6; }
    /// A speed; SI metre per second.
    Speed "speed" { metres_per_second in_metres_per_second "m/s" [] 1.0; kilometres_per_hour in_kilometres_per_hour "km/h" [] 1.0 / 3.6; }
    /// A force; SI newton.
    Force "force" { newtons in_newtons "N" [] 1.0; millinewtons in_millinewtons "mN" [] 1e-3; grams_force in_grams_force "gf" [] 1e-3 * STANDARD_GRAVITY; }
    /// A torque; SI newton metre.
    Torque "torque" { newton_metres in_newton_metres "N·m" ["Nm", "N*m"] 1.0; millinewton_metres in_millinewton_metres "mN·m" ["mNm", "mN*m"] 1e-3; }
    /// A power; SI watt.
    Power "power" { watts in_watts "W" [] 1.0; milliwatts in_milliwatts "mW" [] 1e-3; kilowatts in_kilowatts "kW" [] 1e3; }
    /// An energy; SI joule.
    Energy "energy" { watt_hours in_watt_hours "Wh" ["W·h", "W*h"] 3600.0; joules in_joules "J" [] 1.0; kilojoules in_kilojoules "kJ" [] 1e3; }
    /// A voltage; SI volt.
    Voltage "voltage" { volts in_volts "V" [] 1.0; millivolts in_millivolts "mV" [] 1e-3; }
    /// A current; SI ampere.
    Current "current" { amperes in_amperes "A" [] 1.0; milliamperes in_milliamperes "mA" [] 1e-3; }
    /// A resistance; SI ohm.
    Resistance "resistance" { milliohms in_milliohms "mΩ" ["mΩ", "mOhm", "mohm"] 1e-3; ohms in_ohms "Ω" ["Ω", "Ohm", "ohm"] 1.0; kilohms in_kilohms "kΩ" ["kΩ", "kOhm", "kohm"] 1e3; }
    /// An electric charge, as battery capacity; SI coulomb.
    Charge "charge" { milliampere_hours in_milliampere_hours "mAh" ["mA·h", "mA*h"] 3.6; ampere_hours in_ampere_hours "Ah" ["A·h", "A*h"] 3600.0; coulombs in_coulombs "C" [] 1.0; }
    /// A capacitance; SI farad.
    Capacitance "capacitance" { microfarads in_microfarads "µF" ["uF", "μF"] 1e-6; nanofarads in_nanofarads "nF" [] 1e-9; farads in_farads "F" [] 1.0; }
    /// An inductance; SI henry.
    Inductance "inductance" { microhenries in_microhenries "µH" ["uH", "μH"] 1e-6; nanohenries in_nanohenries "nH" [] 1e-9; henries in_henries "H" [] 1.0; }
    /// A temperature on the absolute scale; SI kelvin, written in °C.
    Temperature "temperature" { celsius in_celsius "°C" ["degC", "℃"] 1.0, offset 273.15; kelvins in_kelvins "K" [] 1.0; }
    /// A difference of temperatures; SI kelvin.
    TemperatureDifference "temperature difference" { kelvins in_kelvins "K" ["°C", "degC", "℃"] 1.0; }
    /// A density; SI kilogram per cubic metre.
    Density "density" { kilograms_per_cubic_metre in_kilograms_per_cubic_metre "kg/m³" ["kg/m3", "kg/m^3"] 1.0; }
    /// A pressure; SI pascal.
    Pressure "pressure" { pascals in_pascals "Pa" [] 1.0; hectopascals in_hectopascals "hPa" [] 100.0; kilopascals in_kilopascals "kPa" [] 1e3; }
    /// A frequency; SI hertz.
    Frequency "frequency" { hertz in_hertz "Hz" [] 1.0; kilohertz in_kilohertz "kHz" [] 1e3; megahertz in_megahertz "MHz" [] 1e6; gigahertz in_gigahertz "GHz" [] 1e9; }
    /// A rate of serial bits; SI per second.
    BitRate "bit rate" { bits_per_second in_bits_per_second "bit/s" ["Bd", "baud", "bps"] 1.0; kilobits_per_second in_kilobits_per_second "kbit/s" ["kBd", "kbaud", "kbps"] 1e3; megabits_per_second in_megabits_per_second "Mbit/s" ["MBd", "Mbaud", "Mbps"] 1e6; }
    /// A speed of rotation; SI radian per second, written in rpm.
    RotationSpeed "rotation speed" { rpm in_rpm "rpm" ["1/min", "RPM"] RPM; radians_per_second in_radians_per_second "rad/s" [] 1.0; }
    /// A motor's velocity constant Kv; SI radian per second and volt, written in rpm/V.
    VelocityConstant "velocity constant" { rpm_per_volt in_rpm_per_volt "rpm/V" ["RPM/V", "Kv", "KV", "kv"] RPM; radians_per_second_volt in_radians_per_second_volt "rad/(s·V)" [] 1.0; }
    /// An angle; SI radian.
    Angle "angle" { degrees in_degrees "°" ["deg"] std::f64::consts::PI / 180.0; radians in_radians "rad" [] 1.0; }
    /// A ratio of powers in decibels, as gain over an isotropic antenna, loss or margin.
    Decibels "ratio in decibels" { db in_decibels "dB" ["dBi", "dBic"] 1.0; }
    /// A power as decibels over a milliwatt.
    Level "power level" { decibel_milliwatts in_decibel_milliwatts "dBm" [] 1.0; decibel_watts in_decibel_watts "dBW" [] 1.0, offset 30.0; }
    /// Decibels lost for each metre; SI per metre.
    LossPerLength "loss per length" { decibels_per_metre in_decibels_per_metre "dB/m" [] 1.0; decibels_per_kilometre in_decibels_per_kilometre "dB/km" [] 1e-3; }
    /// The strength of an electric field; SI volt per metre.
    FieldStrength "field strength" { volts_per_metre in_volts_per_metre "V/m" [] 1.0; millivolts_per_metre in_millivolts_per_metre "mV/m" [] 1e-3; microvolts_per_metre in_microvolts_per_metre "µV/m" ["uV/m", "μV/m"] 1e-6; }
    /// A power through an area; SI watt per square metre.
    PowerDensity "power density" { watts_per_square_metre in_watts_per_square_metre "W/m²" ["W/m2", "W/m^2"] 1.0; milliwatts_per_square_centimetre in_milliwatts_per_square_centimetre "mW/cm²" ["mW/cm2", "mW/cm^2"] 10.0; }
    /// A bare ratio; written as a number or in percent.
    Ratio "ratio" { percent in_percent "%" [] 1e-2; of_one in_ones "" [] 1.0; }
    /// An energy per amount of substance; SI joule per mole.
    MolarEnergy "molar energy" { kilojoules_per_mole in_kilojoules_per_mole "kJ/mol" [] 1e3; joules_per_mole in_joules_per_mole "J/mol" [] 1.0; }
    /// A wire size as its American gauge number (ASTM B258); not linear, so never averaged.
    WireGauge "wire gauge" { awg in_awg "AWG" ["awg", "ga"] 1.0; }
    /// A rate of discharge relative to the capacity, "C" on labels; SI per second, written per hour.
    DischargeRate "discharge rate" { per_hour in_per_hour "C" ["1/h"] 1.0 / 3600.0; per_second in_per_second "1/s" [] 1.0; }
}

macro_rules! products {
    ($($a:ident * $b:ident = $c:ident;)+) => {$(
        impl Mul<$b> for $a {
            type Output = $c;
            #[inline]
            fn mul(self, other: $b) -> $c { $c(self.0 * other.0) }
        }
        impl Div<$b> for $c {
            type Output = $a;
            #[inline]
            fn div(self, other: $b) -> $a { $a(self.0 / other.0) }
        }
    )+};
}

products! {
    Current * Resistance = Voltage;
    Voltage * Current = Power;
    Power * Time = Energy;
    Current * Time = Charge;
    Voltage * Charge = Energy;
    Force * Speed = Power;
    Torque * RotationSpeed = Power;
    VelocityConstant * Voltage = RotationSpeed;
    Speed * Time = Length;
}

impl Mass {
    /// Its weight under standard gravity.
    #[inline]
    pub fn weight(self) -> Force {
        Force(self.0 * STANDARD_GRAVITY)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_constructors_and_readers_agree() {
        assert!((Temperature::celsius(25.0).in_kelvins() - 298.15).abs() < 1e-12);
        assert!((Temperature::kelvins(273.15).in_celsius()).abs() < 1e-12);
        assert!(
            (RotationSpeed::rpm(60.0).in_radians_per_second() - std::f64::consts::TAU).abs()
                < 1e-12
        );
        assert!((Charge::milliampere_hours(450.0).in_ampere_hours() - 0.45).abs() < 1e-12);
        assert_eq!(Resistance::milliohms(18.0).in_ohms(), 0.018);
        assert_eq!(Voltage::millivolts(700.0), Voltage::volts(0.7));
        assert_eq!(Resistance::ohms(0.018).in_milliohms(), 18.0);
        assert_eq!(
            (Voltage::volts(12.0) * Current::amperes(2.0)).in_watts(),
            24.0
        );
    }
}

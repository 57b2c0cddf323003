//! Sizes where nobody wrote one. From memory of small brushless motors and moulded propellers; marked so on screen.

/// Diameter and height of a motor's bell \[m\] from its stator code, four digits of diameter and height in millimetres.
///
/// Bell = stator + 2.6 mm + 4 % across, + 6.5 mm + 30 % high. From memory, ± 1.5 mm.
pub fn motor_m(code: &str) -> Option<(f64, f64)> {
    let digits: String = code.chars().take_while(char::is_ascii_digit).collect();
    if digits.len() != 4 {
        return None;
    }
    let (across, high): (f64, f64) = (digits[..2].parse().ok()?, digits[2..].parse().ok()?);
    (across > 0.0 && high > 0.0)
        .then_some((1e-3 * (1.04 * across + 2.6), 1e-3 * (1.3 * high + 6.5)))
}

/// Height of the space that the blades sweep \[m\], from the propeller's diameter \[m\]: 4 mm + 4 %. From memory, ± 1 mm.
pub fn swept_height_m(diameter_m: f64) -> f64 {
    4e-3 + 0.04 * diameter_m
}

/// How far a tip bends out and down in hard flight \[m\]: 0.5 to 1 mm. From memory.
pub const TIP_FLEX_M: f64 = 0.75e-3;
/// Air between tip and duct \[m\], by moulding 0.4 to 0.8 mm. From memory.
pub const DUCT_GAP_M: f64 = 0.6e-3;
/// Wall of a duct or guard \[m\]. From memory.
pub const DUCT_WALL_M: f64 = 1.0e-3;
/// Height of a duct over the propeller's diameter. From memory.
pub const DUCT_HEIGHT: f64 = 0.30;

/// Air wanted between a blade and a part that cannot move \[m\]: 2 mm up to 45 mm across, 3 mm up to 100 mm, 4 mm above. From memory.
pub fn blade_air_m(diameter_m: f64) -> f64 {
    match diameter_m {
        d if d <= 0.045 => 2e-3,
        d if d <= 0.100 => 3e-3,
        _ => 4e-3,
    }
}

/// Air wanted between a blade and what can move: wires, antennas \[m\]. From memory.
pub const LOOSE_AIR_M: f64 = 5e-3;
/// Air wanted over the tallest part of a board, and between bare metal and carbon \[m\]. Common practice.
pub const CIRCUIT_AIR_M: f64 = 1e-3;
/// Air wanted between two boards' plates \[m\]. Common practice.
pub const PLATES_M: f64 = 3e-3;
/// Air wanted between a part and a duct's wall \[m\]: less eats wires. Common practice.
pub const DUCT_AIR_M: f64 = 1e-3;
/// Air wanted between a part and the canopy over it \[m\]. Common practice.
pub const CANOPY_AIR_M: f64 = 1e-3;
/// Air wanted between the pack and the ground \[m\]. Common practice.
pub const GROUND_AIR_M: f64 = 1e-3;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checked_codes_that_are_none() {
        assert!(motor_m("1106").is_some());
        for code in ["", "11", "big", "00x0", "0000", "110"] {
            assert!(motor_m(code).is_none(), "{code}");
        }
    }
}

//! What a good joint looks like, and how hard to pull at it.
//!
//! Nicked strands: IPC/WHMA-A-620B, table 3-1, classes 1 and 2, from a published extract. The look of a
//! fillet is the idea of IPC-A-610 class 2, from published answers about it. Pull and iron: common practice.

use quantity::WireGauge;

/// Strands that may be nicked or cut, by how many the wire has: up to so many strands, so many may.
/// Beyond the last, six in a hundred.
pub const NICKED: [(u32, u32); 6] = [(6, 0), (15, 1), (25, 3), (40, 4), (60, 5), (120, 6)];

/// How hard to pull at a soldered wire \[N\], from and to.
pub fn pull_n(gauge: WireGauge) -> (f64, f64) {
    match gauge.in_awg() {
        awg if awg >= 28.0 => (0.5, 1.0),
        awg if awg >= 24.0 => (2.0, 3.0),
        awg if awg > 20.0 => (3.0, 10.0),
        _ => (10.0, 10.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Common practice: 30 to 28 AWG 0.5 to 1 N, 26 to 24 2 to 3 N, 20 and thicker 10 N.
    #[test]
    fn validated_pulls_are_those_of_practice() {
        let pull = |awg| pull_n(WireGauge::awg(awg));
        assert_eq!((pull(30.0), pull(28.0)), ((0.5, 1.0), (0.5, 1.0)));
        assert_eq!((pull(26.0), pull(24.0)), ((2.0, 3.0), (2.0, 3.0)));
        assert_eq!((pull(20.0), pull(14.0)), ((10.0, 10.0), (10.0, 10.0)));
    }
}

//! Third-order products of carriers, and how near they come to a carrier.
//!
//! Two carriers `a`, `b` in a front end driven too hard make `2a − b`; three make `a + b − c`. A product of
//! frequency-modulated or many-tone carriers is about three times as wide as one of them, so the distance of
//! its middle from a carrier's middle is a figure of merit, not a promise.

/// A third-order product and the carrier it comes nearest to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Product {
    /// Carriers that count plus \[kHz\]; twice the same for `2a − b`.
    pub plus_khz: [u32; 2],
    /// The carrier that counts minus \[kHz\].
    pub minus_khz: u32,
    /// Where the product lies \[kHz\]; below zero where two low carriers and a high one meet.
    pub khz: i64,
    /// Nearest carrier, the lower of two \[kHz\].
    pub nearest_khz: u32,
    /// Product less that carrier \[kHz\].
    pub offset_khz: i64,
}

/// Every product of a set: `N(N−1)` of two carriers, `N(N−1)(N−2)/2` of three, by frequency.
pub fn products(carriers_khz: &[u32]) -> Vec<Product> {
    let count = carriers_khz.len();
    let mut found = Vec::new();
    for first in 0..count {
        for second in first..count {
            for minus in (0..count).filter(|&minus| minus != first && minus != second) {
                let [plus_a, plus_b, taken] = [first, second, minus].map(|at| carriers_khz[at]);
                found.push(product([plus_a, plus_b], taken, carriers_khz));
            }
        }
    }
    found.sort_by_key(|product| (product.khz, product.plus_khz, product.minus_khz));
    found
}

/// How many products lie on a carrier, each with each.
pub fn exact_hits(carriers_khz: &[u32]) -> usize {
    let on = |product: &Product| {
        let hit = |&&carrier: &&u32| i64::from(carrier) == product.khz;
        carriers_khz.iter().filter(hit).count()
    };
    products(carriers_khz).iter().map(on).sum()
}

/// Smallest distance of any product from any carrier \[kHz\]; `None` below two carriers, which make none.
///
/// Worked out from differences of carriers: `a + b − c` is as far from `d` as `a − c` is from `d − b`, and `2a − b`
/// as far from `a` as the two carriers are apart. So the clearance is the smallest gap in the sorted list of zero
/// and all differences; equal spacing is the worst there is.
pub fn clearance_khz(carriers_khz: &[u32]) -> Option<u32> {
    let mut apart = vec![0];
    for (at, &one) in carriers_khz.iter().enumerate() {
        apart.extend(carriers_khz[..at].iter().map(|&other| one.abs_diff(other)));
    }
    apart.sort_unstable();
    apart.windows(2).map(|pair| pair[1] - pair[0]).min()
}

/// The same where some carriers are not ours to move: products that others make among themselves and that
/// fall on one of them are left out, as is their distance from each other.
pub fn clearance_beside_khz(ours_khz: &[u32], others_khz: &[u32]) -> Option<u32> {
    let all: Vec<u32> = [ours_khz, others_khz].concat();
    let ours = |at: usize| at < ours_khz.len();
    let mut apart = Vec::new();
    for upper in 0..all.len() {
        for lower in (0..all.len()).filter(|&lower| lower != upper) {
            if all[upper] > all[lower] || (all[upper] == all[lower] && upper < lower) {
                apart.push((all[upper] - all[lower], upper, lower));
            }
        }
    }
    let spacings = apart.iter().filter(|&&(_, a, b)| ours(a) || ours(b));
    let mut least = spacings.map(|spacing| spacing.0).min()?;
    for (at, &(one, a, c)) in apart.iter().enumerate() {
        for &(other, d, b) in &apart[..at] {
            // a + b − c − d; what stands on both sides falls out, and takes no part in the question.
            let moves = (a != d && (ours(a) || ours(d))) || (b != c && (ours(b) || ours(c)));
            if moves {
                least = least.min(one.abs_diff(other));
            }
        }
    }
    Some(least)
}

/// Smallest distance between two carriers \[kHz\]; `None` below two.
pub fn spacing_khz(carriers_khz: &[u32]) -> Option<u32> {
    let mut sorted = carriers_khz.to_vec();
    sorted.sort_unstable();
    sorted.windows(2).map(|pair| pair[1] - pair[0]).min()
}

/// Level of `2a − b` as if it came in at the antenna \[dBm\]: `2·P_a + P_b − 2·IIP3`, input third-order intercept
/// \[dBm\]. Holds well below the intercept.
pub fn two_carrier_level_dbm(twice_dbm: f64, once_dbm: f64, intercept_dbm: f64) -> f64 {
    2.0 * twice_dbm + once_dbm - 2.0 * intercept_dbm
}

/// Level of `a + b − c` as if it came in at the antenna \[dBm\]: the sum of the three less `2·IIP3`, and 6 dB more
/// than two carriers make.
pub fn three_carrier_level_dbm(levels_dbm: [f64; 3], intercept_dbm: f64) -> f64 {
    levels_dbm.iter().sum::<f64>() - 2.0 * intercept_dbm + 6.0
}

fn product(plus_khz: [u32; 2], minus_khz: u32, carriers_khz: &[u32]) -> Product {
    let khz = i64::from(plus_khz[0]) + i64::from(plus_khz[1]) - i64::from(minus_khz);
    let away = |&carrier: &u32| ((khz - i64::from(carrier)).abs(), carrier);
    let nearest_khz = carriers_khz
        .iter()
        .copied()
        .min_by_key(away)
        .unwrap_or(minus_khz);
    Product {
        plus_khz,
        minus_khz,
        khz,
        nearest_khz,
        offset_khz: khz - i64::from(nearest_khz),
    }
}

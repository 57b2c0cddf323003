//! One knife edge as a share of the power, without a logarithm.

use radio::edges::NOTHING_BELOW;

/// 10^−0.69: the 6.9 dB of the approximation.
const AT_UNITY: f64 = 0.204_173_794_466_952_93;

/// Share of the power that passes an edge of this ν: [`radio::edges::knife_edge_db`] as a share.
#[inline]
pub(crate) fn knife_power(nu: f64) -> f64 {
    if nu <= NOTHING_BELOW {
        return 1.0;
    }
    let shifted = nu - 0.1;
    let root = (shifted * shifted + 1.0).sqrt() + shifted;
    (AT_UNITY / (root * root)).min(1.0)
}

/// Decibels of loss as a share of the power.
#[inline]
pub(crate) fn power_of_db(loss_db: f64) -> f64 {
    (loss_db * -std::f64::consts::LN_10 / 10.0).exp()
}

/// A share of the power as decibels of loss; infinite for nothing.
#[inline]
pub(crate) fn db_of_power(share: f64) -> f64 {
    // Plus zero, because nothing lost is not less than nothing.
    -10.0 * share.log10() + 0.0
}

#[cfg(test)]
mod tests {
    use super::{db_of_power, knife_power, power_of_db};
    use radio::edges::knife_edge_db;

    #[test]
    fn checked_the_share_is_the_loss_of_radio() {
        // Where the approximation reaches zero decibels the share is held at one: 0.0005 dB.
        for step in -200..2000 {
            let nu = 0.01 * f64::from(step);
            let apart = db_of_power(knife_power(nu)) - knife_edge_db(nu);
            assert!(apart.abs() < 1e-3, "{nu}: {apart}");
            assert!((db_of_power(power_of_db(nu)) - nu).abs() < 1e-12);
        }
    }
}

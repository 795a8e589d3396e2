//! The normal distribution: both tails and the inverse, by portable arithmetic.

use coefficients::*;

/// One over the square root of two.
const SQRT_HALF: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// The chance that a standard normal number lies below `z`.
///
/// ```
/// use science::dice::normal_cdf;
/// assert!((normal_cdf(1.959963984540054) - 0.975).abs() < 1e-15);
/// ```
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * libm::erfc(-z * SQRT_HALF)
}

/// The chance that a standard normal number lies above `z`; exact far into the tail.
pub fn normal_upper(z: f64) -> f64 {
    0.5 * libm::erfc(z * SQRT_HALF)
}

/// A polynomial by Horner's rule, highest power first.
#[inline]
fn horner<const N: usize>(coefficients: &[f64; N], x: f64) -> f64 {
    coefficients.iter().fold(0.0, |sum, it| sum * x + it)
}

/// The number below which a standard normal number lies with chance `p`.
///
/// # Formula
/// Rational approximations in three ranges, Wichura's algorithm AS 241 (PPND16).
///
/// # Holds for
/// `0 < p < 1`, relative error about 1e-16. Minus and plus infinity at 0 and 1, NaN outside.
///
/// # Source
/// Wichura 1988, Applied Statistics 37:477.
///
/// # Checked against
/// Bisection on the complementary error function, and tabulated quantiles.
///
/// # Example
/// ```
/// use science::dice::inverse_normal;
/// assert!((inverse_normal(0.975) - 1.959963984540054).abs() < 1e-14);
/// ```
#[inline]
pub fn inverse_normal(p: f64) -> f64 {
    let from_middle = p - 0.5;
    if from_middle.abs() <= 0.425 {
        let r = 0.180_625 - from_middle * from_middle;
        return from_middle * horner(&MIDDLE_ABOVE, r) / horner(&MIDDLE_BELOW, r);
    }
    tail(p, from_middle)
}

/// The two outer ranges, kept apart so that the common case is small enough to inline.
fn tail(p: f64, from_middle: f64) -> f64 {
    let outside = if from_middle < 0.0 { p } else { 1.0 - p };
    if outside.is_nan() || outside < 0.0 {
        return f64::NAN;
    }
    if outside <= 0.0 {
        return if from_middle < 0.0 { f64::NEG_INFINITY } else { f64::INFINITY };
    }
    let r = (-libm::log(outside)).sqrt();
    let size = if r <= 5.0 {
        horner(&NEAR_ABOVE, r - 1.6) / horner(&NEAR_BELOW, r - 1.6)
    } else {
        horner(&FAR_ABOVE, r - 5.0) / horner(&FAR_BELOW, r - 5.0)
    };
    if from_middle < 0.0 { -size } else { size }
}

/// The coefficients of AS 241, highest power first.
#[expect(clippy::excessive_precision, reason = "printed as published, so that they can be compared by eye")]
mod coefficients {
    pub(super) const MIDDLE_ABOVE: [f64; 8] = [
        2.509_080_928_730_122_672_7e3,
        3.343_057_558_358_812_810_5e4,
        6.726_577_092_700_870_085_3e4,
        4.592_195_393_154_987_145_7e4,
        1.373_169_376_550_946_112_5e4,
        1.971_590_950_306_551_442_7e3,
        1.331_416_678_917_843_774_5e2,
        3.387_132_872_796_366_608_0,
    ];
    pub(super) const MIDDLE_BELOW: [f64; 8] = [
        5.226_495_278_852_854_561_0e3,
        2.872_908_573_572_194_267_4e4,
        3.930_789_580_009_271_061_0e4,
        2.121_379_430_158_659_586_7e4,
        5.394_196_021_424_751_107_7e3,
        6.871_870_074_920_579_083_0e2,
        4.231_333_070_160_091_125_2e1,
        1.0,
    ];
    pub(super) const NEAR_ABOVE: [f64; 8] = [
        7.745_450_142_783_414_076_40e-4,
        2.272_384_498_926_918_458_33e-2,
        2.417_807_251_774_506_117_70e-1,
        1.270_458_252_452_368_382_58,
        3.647_848_324_763_204_605_04,
        5.769_497_221_460_691_405_50,
        4.630_337_846_156_545_295_90,
        1.423_437_110_749_683_577_34,
    ];
    pub(super) const NEAR_BELOW: [f64; 8] = [
        1.050_750_071_644_416_843_24e-9,
        5.475_938_084_995_344_946_00e-4,
        1.519_866_656_361_645_719_66e-2,
        1.481_039_764_274_800_745_90e-1,
        6.897_673_349_851_000_045_50e-1,
        1.676_384_830_183_803_849_40,
        2.053_191_626_637_758_821_87,
        1.0,
    ];
    pub(super) const FAR_ABOVE: [f64; 8] = [
        2.010_334_399_292_288_132_65e-7,
        2.711_555_568_743_487_578_15e-5,
        1.242_660_947_388_078_438_60e-3,
        2.653_218_952_657_612_309_30e-2,
        2.965_605_718_285_048_912_30e-1,
        1.784_826_539_917_291_335_80,
        5.463_784_911_164_114_369_90,
        6.657_904_643_501_103_777_20,
    ];
    pub(super) const FAR_BELOW: [f64; 8] = [
        2.044_263_103_389_939_785_64e-15,
        1.421_511_758_316_445_888_70e-7,
        1.846_318_317_510_054_681_80e-5,
        7.868_691_311_456_132_591_00e-4,
        1.487_536_129_085_061_485_25e-2,
        1.369_298_809_227_358_053_10e-1,
        5.998_322_065_558_879_376_90e-1,
        1.0,
    ];
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quantiles of the normal distribution as printed in statistical tables (15 digits).
    #[test]
    fn tabulated_quantiles() {
        for (p, z) in [
            (0.5, 0.0),
            (0.9, 1.281_551_565_544_600_4),
            (0.95, 1.644_853_626_951_472_2),
            (0.99, 2.326_347_874_040_840_8),
            (0.999, 3.090_232_306_167_813_5),
        ] {
            assert!((inverse_normal(p) - z).abs() < 1e-13, "{p}");
            assert!((inverse_normal(1.0 - p) + z).abs() < 1e-13, "{p}");
        }
    }

    /// The slow twin: the quantile is where the tail holds `p`, found by halving.
    #[test]
    fn agrees_with_bisection() {
        for exponent in 0..60 {
            let p = 0.49 * 0.5_f64.powi(exponent);
            let (mut low, mut high) = (-20.0, 0.1);
            for _ in 0..200 {
                let middle = 0.5 * (low + high);
                if normal_cdf(middle) < p { low = middle } else { high = middle }
            }
            let quantile = inverse_normal(p);
            assert!((quantile - low).abs() < 1e-12 * (1.0 + low.abs()), "{p}: {quantile} {low}");
        }
    }

    #[test]
    fn outside_the_range_there_is_no_number() {
        assert!(inverse_normal(f64::NAN).is_nan());
        assert!(inverse_normal(-0.1).is_nan());
        assert!(inverse_normal(1.1).is_nan());
        assert!(inverse_normal(0.0) == f64::NEG_INFINITY && inverse_normal(1.0) == f64::INFINITY);
    }
}

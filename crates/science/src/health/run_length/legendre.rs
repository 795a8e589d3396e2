//! Points and weights for integrals over 0 to `h`.

/// Gauss-Legendre points and weights on `[0, h]`.
///
/// *Formula:* roots of the Legendre polynomial by Newton's rule from `cos(pi (i - 1/4)/(n + 1/2))`; weights
/// `2/((1-x^2) P'(x)^2)`. *Units:* those of `h`. *Holds for:* smooth integrands. *Errors:* none.
/// *Source:* textbook. *Checked against:* exact integrals of polynomials in this file.
pub(super) fn points(count: u32, h: f64) -> Vec<(f64, f64)> {
    let n = f64::from(count);
    (1..=count)
        .map(|i| {
            let mut x = (std::f64::consts::PI * (f64::from(i) - 0.25) / (n + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..100 {
                let (value, derivative) = legendre(count, x);
                slope = derivative;
                let step = value / derivative;
                x -= step;
                if step.abs() < 1e-15 {
                    break;
                }
            }
            (h * (1.0 - x) / 2.0, h / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

fn legendre(count: u32, x: f64) -> (f64, f64) {
    let (mut before, mut value) = (1.0, x);
    for k in 2..=count {
        let k = f64::from(k);
        (before, value) = (value, ((2.0 * k - 1.0) * x * value - (k - 1.0) * before) / k);
    }
    (value, f64::from(count) * (x * value - before) / (x * x - 1.0))
}

#[cfg(test)]
mod tests {
    use super::points;

    #[test]
    fn polynomials_are_integrated_exactly() {
        let over = |power: i32| points(12, 3.0).iter().map(|(x, w)| w * x.powi(power)).sum::<f64>();
        for power in 0..=23 {
            let exact = 3.0_f64.powi(power + 1) / f64::from(power + 1);
            assert!((over(power) / exact - 1.0).abs() < 1e-12, "{power}");
        }
    }
}

//! Instars from the widths of shed heads.

use crate::numerics::{Unfit, above, straight_line};

/// A Dyar line through mean head widths.
#[derive(Debug, Clone, PartialEq)]
pub struct DyarLine {
    /// Growth of the head from one instar to the next.
    pub ratio: f64,
    /// Share of the variance of log width that the line explains.
    pub r2: f64,
    /// Log width (mm) that the line gives for instar 0.
    pub intercept_ln: f64,
    /// Each width over the one before.
    pub steps: Vec<f64>,
    /// Change of each step against the one before, %; from the third width on.
    pub crosby_percent: Vec<f64>,
    /// Whether that change exceeds 10 %, so that an instar may be missing there.
    pub missed: Vec<bool>,
}

/// Fits Dyar's rule and looks for a missed instar.
///
/// *Formula:* `ln width = a + b instar` by least squares, ratio `e^b`; Crosby: `100 (b_n - b_{n-1})/b_{n-1}` of the
/// successive ratios, beyond 10 % either way flags a missed instar. *Units:* mm in; ratios and % out.
/// *Holds for:* species with a fixed number of instars. Where it varies, width peaks do not tell instars (published for a
/// conifer caterpillar with 6 to 8); notes of moults are better. *Errors:* [`Unfit`] naming `mean_mm`.
/// *Source:* Dyar 1890; Gaines & Campbell 1935; Crosby 1973 (10 % from memory).
/// *Checked against:* `reference/oracles/10_morphometrics.csv`.
///
/// ```
/// let line = science::development::head_width_ratio(&[0.68, 0.91, 1.22, 1.58, 2.06, 2.69, 3.45]).unwrap();
/// assert!((line.ratio - 1.31013611438).abs() < 1e-8 && line.missed.iter().all(|m| !m));
/// ```
pub fn head_width_ratio(mean_mm: &[f64]) -> Result<DyarLine, Unfit> {
    if mean_mm.len() < 3 {
        let why = format!("{} widths given, at least 3 needed", mean_mm.len());
        return Err(Unfit::clash("mean_mm", why));
    }
    mean_mm.iter().try_for_each(|&width| above("mean_mm", width, 0.0).map(|_| ()))?;
    if let Some(fall) = mean_mm.windows(2).find(|pair| pair[1] <= pair[0]) {
        let why = format!("{} after {}: heads only grow from instar to instar", fall[1], fall[0]);
        return Err(Unfit::clash("mean_mm", why));
    }
    let instars: Vec<f64> = (1_u32..).map(f64::from).take(mean_mm.len()).collect();
    let logs: Vec<f64> = mean_mm.iter().map(|width| width.ln()).collect();
    let line = straight_line(("mean_mm", "mean_mm"), &instars, &logs)?;
    let steps: Vec<f64> = mean_mm.windows(2).map(|pair| pair[1] / pair[0]).collect();
    let crosby_percent: Vec<f64> =
        steps.windows(2).map(|pair| 100.0 * (pair[1] - pair[0]) / pair[0]).collect();
    let missed = crosby_percent.iter().map(|change| change.abs() > 10.0).collect();
    Ok(DyarLine {
        ratio: line.slope.exp(),
        r2: line.r * line.r,
        intercept_ln: line.intercept,
        steps,
        crosby_percent,
        missed,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn a_width_left_out_is_flagged() {
        let all = [0.68, 0.91, 1.22, 1.58, 2.06, 2.69, 3.45];
        assert!(head_width_ratio(&all).unwrap().missed.iter().all(|flag| !flag));
        let gap = [0.68, 0.91, 1.22, 2.06, 2.69, 3.45];
        assert_eq!(head_width_ratio(&gap).unwrap().missed, [false, true, true, false]);
    }

    #[test]
    fn refusals_name_the_list() {
        for widths in [&[0.7, 0.9][..], &[0.7, 0.6, 0.9], &[0.0, 0.6, 0.9], &[0.5, f64::NAN, 0.9]] {
            assert_eq!(head_width_ratio(widths).unwrap_err().name(), "mean_mm");
        }
    }
}

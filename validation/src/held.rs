//! How often ranges hold what they should, over broods.

use crate::binomial::standard_error;
use crate::case::{Case, Dated};
use crate::size::Size;
use crate::verdict::{Demand, percent};

/// Shares over broods; the dates of one brood count as one together.
#[derive(Debug, Clone, Copy)]
pub struct Held {
    /// Broods with a date that came true.
    pub broods: usize,
    /// Their dates.
    pub dates: usize,
    /// Share of truths in the 50 % range.
    pub in_50: f64,
    /// Share of truths in the 80 % range.
    pub in_80: f64,
    /// Share of truths in the 90 % range.
    pub in_90: f64,
    /// Mean of the forecasts' own chance to come before the truth; a half when neither early nor late.
    pub rank: f64,
    /// Mean difference of the forecast's middle from the truth, days; above 0 when the forecast is late.
    pub late_d: f64,
    /// Mean absolute difference, days.
    pub off_d: f64,
}

/// The mean over the dates of one brood of something.
fn mean(dates: &[Dated], of: impl Fn(&Dated) -> f64) -> f64 {
    dates.iter().map(of).sum::<f64>() / dates.len() as f64
}

impl Held {
    /// Over the dates of each case that `pick` lets through.
    pub fn of<'a>(cases: impl IntoIterator<Item = &'a Case>, pick: impl Fn(&Dated) -> bool) -> Held {
        let mut held = Held {
            broods: 0,
            dates: 0,
            in_50: 0.0,
            in_80: 0.0,
            in_90: 0.0,
            rank: 0.0,
            late_d: 0.0,
            off_d: 0.0,
        };
        let one = |it: bool| f64::from(u8::from(it));
        for case in cases {
            let dates: Vec<Dated> = case.dates().filter(&pick).collect();
            if dates.is_empty() {
                continue;
            }
            held.broods += 1;
            held.dates += dates.len();
            held.in_50 += mean(&dates, |it| one(it.range.holds_50(it.truth_d)));
            held.in_80 += mean(&dates, |it| one(it.range.holds_80(it.truth_d)));
            held.in_90 += mean(&dates, |it| one(it.range.holds_90(it.truth_d)));
            held.rank += mean(&dates, |it| it.range.rank_of(it.truth_d));
            held.late_d += mean(&dates, |it| it.range.middle_d() - it.truth_d);
            held.off_d += mean(&dates, |it| (it.range.middle_d() - it.truth_d).abs());
        }
        // With no brood at all every share is no number, and fails.
        let n = held.broods as f64;
        for sum in [
            &mut held.in_50,
            &mut held.in_80,
            &mut held.in_90,
            &mut held.rank,
            &mut held.late_d,
            &mut held.off_d,
        ] {
            *sum /= n;
        }
        held
    }

    /// The head of [`Held::row`], after a first column.
    #[must_use]
    pub fn head(first: &'static str) -> Vec<&'static str> {
        vec![first, "broods", "dates", "50 % range holds", "80 %", "90 %", "rank", "late by, d", "off by, d"]
    }

    /// A row of a table.
    #[must_use]
    pub fn row(&self, first: &str) -> Vec<String> {
        let give =
            |share: f64| format!("{} ± {}", percent(share), percent(standard_error(share, self.broods)));
        vec![
            first.to_owned(),
            self.broods.to_string(),
            self.dates.to_string(),
            give(self.in_50),
            give(self.in_80),
            give(self.in_90),
            format!("{:.3}", self.rank),
            format!("{:+.2}", self.late_d),
            format!("{:.2}", self.off_d),
        ]
    }

    /// That the 50 % and 90 % ranges hold what they say, and that the forecast is neither early nor late.
    #[must_use]
    pub fn right(&self, what: &str, size: Size) -> Vec<Demand> {
        // A rank is even from 0 to 1 if the forecast is right: variance 1/12, and a brood's mean varies no more.
        let error = (1.0 / 12.0 / self.broods.max(1) as f64).sqrt();
        let share = |band| size.share(self.broods.max(1), band);
        vec![
            Demand::within(format!("{what}, 50 % range holds"), self.in_50, share((0.45, 0.55))),
            Demand::within(format!("{what}, 90 % range holds"), self.in_90, share((0.87, 0.93))),
            Demand::within(
                format!("{what}, mean rank of the truth"),
                self.rank,
                size.mean(error, (0.47, 0.53)),
            ),
        ]
    }

    /// That the 90 % range still holds four in five.
    #[must_use]
    pub fn bends(&self, what: &str, size: Size) -> Demand {
        let (low, _) = size.share(self.broods.max(1), (0.80, 1.0 - 1e-12));
        Demand::within(format!("{what}, 90 % range holds"), self.in_90, (low, 1.0))
    }
}

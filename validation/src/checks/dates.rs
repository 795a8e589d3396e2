//! Dates of the median animal into every later stage, in the world as assumed.

use super::{Told, broods};
use crate::case::Case;
use crate::census::SITUATIONS;
use crate::held::Held;
use crate::size::Size;
use crate::spread::Spread;
use crate::verdict::{Check, Demand, Table, percent};
use crate::world::World;
use anyhow::Result;

/// The broods of the three situations.
#[derive(Debug, Clone)]
pub struct Seasons {
    /// In the order of [`SITUATIONS`].
    pub by_situation: Vec<Vec<Case>>,
}

/// The situation for which sharpness is demanded: half in L4.
const SHARP: usize = 1;

impl Seasons {
    /// Makes and asks all of them.
    ///
    /// # Errors
    /// If the engine refuses one.
    pub fn made(size: Size, told: Told<'_>) -> Result<Seasons> {
        let n = size.broods(40, 1000);
        let of = |(at, seen)| {
            let blind_too = size == Size::Full || at == SHARP;
            broods(&World::RIGHT, seen, (n, size, blind_too), 1 + at as u64, told)
        };
        let by_situation = SITUATIONS.into_iter().enumerate().map(of).collect::<Result<_>>()?;
        Ok(Seasons { by_situation })
    }

    /// The same seasons with every forecast date put through `plant`, to see that a check notices.
    #[must_use]
    pub fn planted(&self, plant: impl Fn(Spread) -> Spread) -> Seasons {
        let mut planted = self.clone();
        for case in planted.by_situation.iter_mut().flatten() {
            for range in case.told.middle.iter_mut().flatten() {
                *range = plant(*range);
            }
        }
        planted
    }

    /// What held, by situation.
    #[must_use]
    pub fn held(&self) -> Vec<Held> {
        self.by_situation.iter().map(|it| Held::of(it, |_| true)).collect()
    }
}

/// Whether ranges hold what they say.
#[must_use]
pub fn calibration(seasons: &Seasons, size: Size) -> Check {
    let mut table = Table { head: Held::head("seen when"), rows: Vec::new() };
    let mut demands = Vec::new();
    for (held, seen) in seasons.held().iter().zip(SITUATIONS) {
        table.rows.push(held.row(seen.name));
        demands.extend(held.right(seen.name, size));
    }
    let all = Held::of(seasons.by_situation.iter().flatten(), |_| true);
    table.rows.push(all.row("all three"));
    if size == Size::Small {
        demands.extend(all.right("all three", size));
    }
    let silent: usize = seasons.by_situation.iter().flatten().map(Case::silent).sum();
    demands.push(Demand::within("stages reached of which nothing was said", silent as f64, (0.0, 0.0)));
    let about = "Dates of the median animal into every stage beyond the foremost one seen, in the world as assumed. \
                 Rank is the forecast's own chance to come before the truth: a half on average when it is neither \
                 early nor late."
        .to_owned();
    Check { name: "Dates hold what their ranges say", about, table, demands }
}

/// The same by stage; tells where a miss comes from, and demands nothing.
#[must_use]
pub fn by_stage(seasons: &Seasons) -> Table {
    let mut table = Table { head: Held::head("seen when, date into"), rows: Vec::new() };
    for (cases, seen) in seasons.by_situation.iter().zip(SITUATIONS) {
        for stage in 0..=crate::assumed::MOTH {
            let held = Held::of(cases, |it| it.stage == stage);
            if held.broods >= cases.len() / 4 {
                let first = format!("{}, {}", seen.name, crate::assumed::stage_name(stage));
                table.rows.push(held.row(&first));
            }
        }
    }
    table
}

/// Whether counting is worth it.
#[must_use]
pub fn sharpness(seasons: &Seasons, size: Size) -> Check {
    let head = vec!["seen when", "broods", "CRPS, d", "without any count, d", "better by"];
    let mut table = Table { head, rows: Vec::new() };
    let mut demands = Vec::new();
    for (at, (cases, seen)) in seasons.by_situation.iter().zip(SITUATIONS).enumerate() {
        let score = Score::of(cases);
        if score.broods == 0 && at != SHARP {
            continue;
        }
        table.rows.push(vec![
            seen.name.to_owned(),
            score.broods.to_string(),
            format!("{:.3}", score.counted_d),
            format!("{:.3}", score.blind_d),
            format!("{} ± {}", percent(score.better), percent(score.error)),
        ]);
        if at == SHARP {
            let (low, _) = size.mean(score.error, (0.70, 1.0));
            let says = format!("{}, better than without any count by", seen.name);
            demands.push(Demand::within(says, score.better, (low, 1.0)));
        }
    }
    let about = "The continuous ranked probability score of the same dates (Gneiting & Raftery 2007), beside that of \
                 the same question asked at the same moment without any count."
        .to_owned();
    Check { name: "Counting makes dates sharper", about, table, demands }
}

/// Mean scores over broods.
struct Score {
    broods: usize,
    counted_d: f64,
    blind_d: f64,
    better: f64,
    error: f64,
}

impl Score {
    fn of(cases: &[Case]) -> Score {
        let mut pairs = Vec::new();
        for case in cases {
            let of_date =
                |it: crate::case::Dated| Some((it.range.crps_d(it.truth_d), it.blind?.crps_d(it.truth_d)));
            let scores: Vec<(f64, f64)> = case.dates().filter_map(of_date).collect();
            if !scores.is_empty() {
                let n = scores.len() as f64;
                let (counted, blind) = scores.iter().fold((0.0, 0.0), |sum, it| (sum.0 + it.0, sum.1 + it.1));
                pairs.push((counted / n, blind / n));
            }
        }
        let n = pairs.len() as f64;
        let counted_d = pairs.iter().map(|it| it.0).sum::<f64>() / n;
        let blind_d = pairs.iter().map(|it| it.1).sum::<f64>() / n;
        let ratio = counted_d / blind_d;
        // The usual error of a ratio of two means.
        let spread = pairs.iter().map(|it| (it.0 - ratio * it.1).powi(2)).sum::<f64>() / (n - 1.0);
        let error = spread.sqrt() / blind_d / n.sqrt();
        Score { broods: pairs.len(), counted_d, blind_d, better: 1.0 - ratio, error }
    }
}

//! The same species with another number of instars: the larval life is cut into as many pieces as the keeper counts.

use crate::StageName;
use crate::number::{Chance, Number, Shares};
use crate::profile::{Profile, StagePrior};

/// The fewest and the most instars that a larval life is cut into.
const INSTARS: std::ops::RangeInclusive<u8> = 3..=terms::stage::INSTARS_MAX;

impl Profile {
    /// The profile for a brood that has `instars` larval instars; `None` outside 3 to 9.
    ///
    /// The whole larval time, the whole larval survival and the whole leaf stay as they were; only the cuts
    /// move. Time and losses are cut along a straight line within each instar, leaf along a growth curve
    /// (a straight line on the logarithm of what has been eaten), because a larva eats in proportion to
    /// its size. Every number that moved says so in its judgement.
    ///
    /// ```
    /// let library = evidence::library();
    /// let six = library.profile("polyphemus moth").and_then(|five| five.with_instars(6)).expect("six is possible");
    /// assert_eq!(six.stages.len(), 9);
    /// assert!(six.instars.alternatives.contains(&5));
    /// ```
    pub fn with_instars(&self, instars: u8) -> Option<Profile> {
        if !INSTARS.contains(&instars) {
            return None;
        }
        if instars == self.instars.count {
            return Some(self.clone());
        }
        let why = format!("cut again for {instars} instars from the profile for {}", self.instars.count);
        let mut profile = self.clone();
        profile.instars.alternatives.retain(|&count| count != instars);
        profile.instars.alternatives.push(self.instars.count);
        profile.instars.count = instars;
        profile.instars.judgement = Some(why.clone());
        profile.larva_shares = recut_shares(&self.larva_shares, instars, straight, &why);
        profile.leaf.by_instar =
            self.leaf.by_instar.as_ref().map(|shares| recut_shares(shares, instars, growing, &why));
        profile.stages = recut_stages(self, &profile.larva_shares, instars, &why)?;
        Some(profile)
    }
}

fn recut_stages(old: &Profile, shares: &Shares, instars: u8, why: &str) -> Option<Vec<StagePrior>> {
    let larvae: Vec<&StagePrior> = old.stages.iter().filter(|prior| prior.stage.is_larva()).collect();
    let losses: Vec<f64> = larvae.iter().map(|prior| -prior.survival.mean.ln()).collect();
    let losses = recut(&losses, instars, straight);
    let mut stages = Vec::new();
    for stage in StageName::before_moth(instars) {
        let StageName::Larva(instar) = stage else {
            stages.push(old.stage(stage)?.clone());
            continue;
        };
        let index = usize::from(instar) - 1;
        // The first instars keep their own doubts and chances; what comes after the last known one takes its.
        let like = larvae.get(index).or(larvae.last())?;
        let share = *shares.values.get(index)?;
        stages.push(StagePrior {
            stage,
            days: Number {
                value: old.larva_days.value * share,
                low: old.larva_days.low.map(|low| low * share),
                high: old.larva_days.high.map(|high| high * share),
                claims: old.larva_days.claims.iter().chain(&shares.claims).cloned().collect(),
                judgement: Some(why.to_owned()),
            },
            survival: Chance {
                mean: (-losses.get(index)?).exp(),
                judgement: Some(why.to_owned()),
                ..like.survival.clone()
            },
            ..(*like).clone()
        });
    }
    Some(stages)
}

fn recut_shares(shares: &Shares, instars: u8, between: fn(f64, f64, f64) -> f64, why: &str) -> Shares {
    Shares {
        values: recut(&shares.values, instars, between),
        claims: shares.claims.clone(),
        judgement: Some(why.to_owned()),
    }
}

/// Cuts what is spread over the old pieces into `pieces` new ones; the sum stays.
fn recut(old: &[f64], pieces: u8, between: fn(f64, f64, f64) -> f64) -> Vec<f64> {
    let mut sums = vec![0.0];
    for value in old {
        sums.push(sums.last().copied().unwrap_or(0.0) + value);
    }
    let up_to = |place: f64| {
        let index = (place.floor() as usize).min(old.len().saturating_sub(1));
        let (from, to) =
            (sums.get(index).copied().unwrap_or(0.0), sums.get(index + 1).copied().unwrap_or(0.0));
        between(from, to, place - index as f64)
    };
    let step = old.len() as f64 / f64::from(pieces);
    (0..pieces).map(|piece| up_to(f64::from(piece + 1) * step) - up_to(f64::from(piece) * step)).collect()
}

fn straight(from: f64, to: f64, part: f64) -> f64 {
    from + (to - from) * part
}

/// Grows by the same factor in equal steps; from nothing it can only start straight.
fn growing(from: f64, to: f64, part: f64) -> f64 {
    if from <= 0.0 { to * part } else { from * (to / from).powf(part) }
}

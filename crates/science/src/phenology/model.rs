//! What must be known of a kind of moth to forecast a brood.

use super::rate::RateCurve;
use super::winter::Winter;

/// Male or female, where it matters to the forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sex {
    /// Flies, usually first.
    Male,
    /// Waits and lays.
    Female,
}

/// What an animal does in a stage; decides on moult sleep, leaf and the box's diseases.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StageKind {
    /// In the egg.
    Egg,
    /// Feeding, with a moult sleep at the end of all but the last instar.
    Larva,
    /// Making the cocoon, until pupation.
    Spinning,
    /// In the cocoon or the ground.
    Pupa,
}

/// A chance that is itself uncertain: a mean, as sure as if `weight` animals had been watched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BetaPrior {
    /// The expected chance.
    pub mean: f64,
    /// Animals' worth of knowledge behind it.
    pub weight: f64,
}

impl BetaPrior {
    /// The belief after watching more animals.
    ///
    /// ```
    /// use science::phenology::BetaPrior;
    /// let after = BetaPrior { mean: 0.8, weight: 10.0 }.after(10.0, 0.0);
    /// assert!((after.mean - 0.9).abs() < 1e-12 && (after.weight - 20.0).abs() < 1e-12);
    /// ```
    pub fn after(self, came_through: f64, died: f64) -> BetaPrior {
        let weight = self.weight + came_through + died;
        BetaPrior { mean: (self.mean * self.weight + came_through) / weight, weight }
    }

    fn is_sound(self) -> bool {
        (0.0..=1.0).contains(&self.mean) && self.weight > 0.0
    }
}

/// One stage of the life.
#[derive(Debug, Clone, PartialEq)]
pub struct StageModel {
    /// The name under which answers speak of it.
    pub name: String,
    /// What the animal does.
    pub kind: StageKind,
    /// How fast it develops.
    pub rate: RateCurve,
    /// Spread of the need among animals, as a coefficient of variation.
    pub spread_cv: f64,
    /// How far a brood's pace in this stage may be off, as a standard deviation of its logarithm.
    pub stage_pace_sd: f64,
    /// The chance of coming through the whole stage.
    pub survival: BetaPrior,
    /// The chance of overlooking a living animal in a count.
    pub overlooked: f64,
    /// The last part of the stage that is moult sleep; 0 where no moult follows.
    pub moult_share: f64,
}

/// How long a moth lives, in nights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nights {
    /// Mean, nights.
    pub mean: f64,
    /// Standard deviation, nights.
    pub sd: f64,
}

/// Life of the moths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MothNights {
    /// Of the males.
    pub male: Nights,
    /// Of the females.
    pub female: Nights,
}

/// Disease or heat that hits a box as a whole while larvae feed in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shock {
    /// Chance per day that a box is hit.
    pub per_day: f64,
    /// Share of its larvae that die when it is.
    pub loss_share: f64,
}

impl Shock {
    /// A house in which no box is ever hit.
    pub const NONE: Shock = Shock { per_day: 0.0, loss_share: 0.0 };
}

/// All that the forecast must be told of a kind of moth.
///
/// # Formula
/// ```text
/// need of animal i in stage k = K_k exp(g + h_k) x_ik
/// log x_ik = -s^2/2 + s (sqrt(rho) u_i + sqrt(1 - rho) e_ik),   s^2 = log(1 + cv_k^2)
/// g ~ N(0, shared_pace_sd),   h_k ~ N(0, stage_pace_sd_k),   u_i, e_ik ~ N(0, 1)
/// ```
/// with `K_k` the need of the middle animal on the stage's clock, times `female_pupa_factor` for a female pupa.
#[derive(Debug, Clone, PartialEq)]
pub struct BroodModel {
    /// The stages in order, from the egg to the last before the moth.
    pub stages: Vec<StageModel>,
    /// How far the pace of a whole brood may be off, as a standard deviation of its logarithm.
    pub shared_pace_sd: f64,
    /// Correlation of one animal's needs in different stages.
    pub rank_correlation: f64,
    /// Share of females among the eggs.
    pub female_share: f64,
    /// A female's need as a pupa, as a multiple of a male's.
    pub female_pupa_factor: f64,
    /// How long moths live.
    pub moth_nights: MothNights,
    /// For broods whose pupae rest over winter; `None` where they go straight on.
    pub winter: Option<Winter>,
    /// What may hit a box as a whole.
    pub shock: Shock,
}

/// A number in the model that cannot be.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{stage}: {what} cannot be used")]
pub struct ModelFault {
    /// The stage, or "the brood".
    pub stage: String,
    /// The number.
    pub what: &'static str,
}

impl BroodModel {
    /// Index of the moth: one past the last stage.
    pub fn moth(&self) -> usize {
        self.stages.len()
    }

    /// The name of a stage, or "moth".
    pub fn stage_name(&self, stage: usize) -> &str {
        self.stages.get(stage).map_or("moth", |it| it.name.as_str())
    }

    /// The curves of the stages in order, as [`Clocks::new`](super::Clocks::new) wants them.
    pub fn curves(&self) -> Vec<RateCurve> {
        self.stages.iter().map(|it| it.rate.clone()).collect()
    }

    /// Everything in the model that cannot be used; empty if it is sound.
    pub fn faults(&self) -> Vec<ModelFault> {
        let mut faults = Vec::new();
        for it in &self.stages {
            let mut say = |sound: bool, what| {
                if !sound {
                    faults.push(ModelFault { stage: it.name.clone(), what });
                }
            };
            say(it.rate.is_sound(), "the development curve");
            say((0.0..=1.0).contains(&it.spread_cv), "the spread among animals");
            say((0.0..=1.0).contains(&it.stage_pace_sd), "the error of the pace");
            say(it.survival.is_sound(), "the survival");
            say((0.0..1.0).contains(&it.overlooked), "the chance of being overlooked");
            say((0.0..1.0).contains(&it.moult_share), "the share of moult sleep");
        }
        let mut say = |sound: bool, what| {
            if !sound {
                faults.push(ModelFault { stage: "the brood".to_owned(), what });
            }
        };
        let lives = [self.moth_nights.male, self.moth_nights.female];
        say((1..=40).contains(&self.stages.len()), "the number of stages");
        say((0.0..=1.0).contains(&self.shared_pace_sd), "the error of the pace");
        say((0.0..=1.0).contains(&self.rank_correlation), "the rank correlation");
        say((0.0..=1.0).contains(&self.female_share), "the share of females");
        say((0.2..=5.0).contains(&self.female_pupa_factor), "the females' time as pupa");
        say(
            lives.iter().all(|it| it.mean > 0.0 && it.mean < 1e3 && (0.0..1e3).contains(&it.sd)),
            "the moths' life",
        );
        say((0.0..=1.0).contains(&self.shock.per_day), "the daily chance of a disease");
        say((0.0..=1.0).contains(&self.shock.loss_share), "the loss by a disease");
        let ends_as_pupa = self.stages.last().is_some_and(|it| it.kind == StageKind::Pupa);
        say(
            self.winter.as_ref().is_none_or(|it| it.is_sound() && ends_as_pupa),
            "the emergence after the winter",
        );
        faults
    }
}

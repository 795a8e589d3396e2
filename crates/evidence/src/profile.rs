//! A species profile: what the models take as their starting belief, every number with what it stands on.
//!
//! Every number carries `claims` (ids in `reference/claims/`) or a `judgement` (why we chose it), or both.

use serde::Deserialize;

use crate::number::{Bell, Chance, Factor, LeafNeed, Number, NumberRange, Said, Shares};
use crate::{Footing, StageName};

/// How many larval instars the species has, and which other counts are reported.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instars {
    /// The count the profile is written for.
    pub count: u8,
    /// Other counts that are reported or remembered.
    #[serde(default)]
    pub alternatives: Vec<u8>,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we chose it.
    pub judgement: Option<String>,
}

/// A plant that larvae are fed on.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FoodPlant {
    /// Its name.
    pub plant: String,
    /// What is reported against it, where something is (such as `larvae die in L5`).
    pub against: Option<String>,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we list it.
    pub judgement: Option<String>,
}

/// A caution that belongs at the act itself.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// What it is about: `release`, `sting`, `poison`, `dust`, `law` or `health`.
    pub about: String,
    /// One action first, then why.
    pub says: String,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we say it.
    pub judgement: Option<String>,
}

/// What the forecast believes of one stage before it has seen a single count.
#[derive(Debug, Clone, PartialEq)]
pub struct StagePrior {
    /// Which stage.
    pub stage: StageName,
    /// Air temperature below which nothing happens.
    pub lower_c: Bell,
    /// Air temperature above which it goes no faster.
    pub upper_c: Number,
    /// Days the stage takes at [`StagePrior::at_c`].
    pub days: Number,
    /// The air temperature to which the days belong.
    pub at_c: Number,
    /// Spread between animals of one box (coefficient of variation).
    pub spread_cv: Number,
    /// Log standard deviation of how wrong the stage's constant may be for a given brood.
    pub stage_sd: Number,
    /// Chance of living through the stage.
    pub survival: Chance,
    /// Chance that a living animal is overlooked at a count.
    pub overlooked: Number,
}

impl StagePrior {
    /// Degree-days above a lower threshold that the stage needs.
    ///
    /// # Formula
    ///
    /// ```text
    /// constant_dd = days * (at_c - lower_c)
    /// ```
    ///
    /// # Units
    ///
    /// `lower_c` in degrees Celsius; the result in degree-days.
    ///
    /// # Holds for
    ///
    /// A steady air temperature between the two thresholds. `None` where `lower_c` is not below `at_c`: a stage
    /// that passes in the claimed air cannot have its threshold there.
    ///
    /// # Source
    ///
    /// The definition of the thermal constant; Campbell et al. 1974.
    ///
    /// # Checked against
    ///
    /// The definition, by hand: 12 days at 19 degrees over 9 degrees are 120 degree-days.
    ///
    /// # Example
    ///
    /// ```
    /// let library = evidence::library();
    /// let emperor = library.profile("Saturnia pavonia").expect("a built-in profile");
    /// let egg = emperor.stage("egg".parse().expect("a stage")).expect("every profile has an egg");
    /// // 12 days in air of 19 degrees are 120 degree-days above 9.
    /// assert_eq!((egg.days.value, egg.at_c.value), (12.0, 19.0));
    /// assert_eq!(egg.constant_dd_above(9.0), Some(120.0));
    /// assert_eq!(egg.constant_dd_above(19.0), None);
    /// ```
    pub fn constant_dd_above(&self, lower_c: f64) -> Option<f64> {
        let above_c = self.at_c.value - lower_c;
        (above_c > 0.0).then_some(self.days.value * above_c)
    }

    /// Degree-days above the middle of the threshold's range; see [`StagePrior::constant_dd_above`].
    pub fn constant_dd(&self) -> Option<f64> {
        self.constant_dd_above(self.lower_c.mean)
    }
}

/// How a brood's pace is shared between its animals and its stages.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pace {
    /// Log standard deviation of a whole brood's pace.
    pub shared_pace_sd: Number,
    /// How far an animal that is quick in one stage is quick in the next, from 0 to 1.
    pub rank_correlation: Number,
}

/// The moths: sexes, order of coming out, life.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Moths {
    /// Share of females.
    pub female_share: Chance,
    /// How much longer a female stays in the pupa (1 is no longer).
    pub female_pupa_factor: Number,
    /// Days by which males come out before females.
    pub protandry_d: Bell,
    /// Nights a male lives.
    pub male_nights: Bell,
    /// Nights a female lives.
    pub female_nights: Bell,
}

/// In which stage the species rests over winter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Rest {
    /// As a pupa, every winter.
    Pupa,
    /// As an egg, every winter.
    Egg,
    /// Not at all.
    None,
    /// As a pupa, in some broods or in some pupae.
    Facultative,
    /// Nobody has said.
    Unknown,
}

/// A second peak of moths, days after the first.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SecondPeak {
    /// Share of the pupae in the second peak.
    pub share: Chance,
    /// Days from the first peak to the second.
    pub delay_d: Bell,
}

/// How the length of the day decides which pupae rest.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayResponse {
    /// The first stage whose days matter, such as `L4`.
    pub from: String,
    /// The last stage whose days matter.
    pub to: String,
    /// The day at which half of the pupae rest, in hours.
    pub critical_h: Bell,
    /// Hours of day over which the odds change by a factor of e.
    pub width_h: Factor,
    /// The part of civil twilight that counts as day.
    pub twilight_share: Bell,
    /// How warmth shifts it.
    pub warmth: Option<WarmthShift>,
    /// The chance that all this does not hold for a stock.
    pub exception: Number,
}

impl DayResponse {
    /// The first and the last stage whose days matter; `None` where a word names none.
    pub fn sensitive(&self) -> Option<(StageName, StageName)> {
        Some((self.from.parse().ok()?, self.to.parse().ok()?))
    }
}

/// How warmth shifts the answer to the length of the day.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WarmthShift {
    /// The temperature at which the critical day holds.
    pub at_c: Number,
    /// Hours of day that a degree is worth.
    pub h_per_c: Bell,
}

/// Rest over winter and coming out in spring.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Winter {
    /// In which stage it rests.
    pub rest: Rest,
    /// What sets the rest, in words, and what the choice above stands on.
    pub set_by: Said,
    /// The share of pupae that rest, where the days are not known; only for kinds in which some do.
    pub rest_share: Option<Chance>,
    /// What the days decide, where anybody has said at how many hours.
    pub day: Option<DayResponse>,
    /// Broods in a year.
    pub broods_a_year: Option<NumberRange>,
    /// Months (1 to 12) in which moths come out after the winter.
    pub emergence_month: Option<NumberRange>,
    /// Doubt about the middle of a whole brood's coming out, in days.
    pub shared_sd_d: Option<Number>,
    /// Spread between the pupae of one brood, in days.
    pub individual_sd_d: Option<Number>,
    /// A second peak, where one is reported.
    pub second_peak: Option<SecondPeak>,
    /// Chance that a living pupa lies over to the next year.
    pub lying_over: Option<Chance>,
    /// Air temperature of the winter store.
    pub store_c: Option<NumberRange>,
    /// How long the cold should last, in weeks.
    pub store_weeks: Option<NumberRange>,
}

/// Leaf: what is eaten, what must be cut, and how long it keeps.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Leaf {
    /// Fresh leaf *eaten* by a larva that spins, in grams.
    pub eaten_fresh_g: Option<LeafNeed>,
    /// Fresh leaf *offered* (cut) for a larva that spins, in grams.
    pub offered_fresh_g: Option<LeafNeed>,
    /// Share of the leaf offered that is not eaten.
    pub waste_share: Option<NumberRange>,
    /// Share of the whole leaf that each instar takes.
    pub by_instar: Option<Shares>,
    /// How long cut leaf keeps, in days.
    pub keeps_d: Option<NumberRange>,
    /// Share of water in the leaf.
    pub water_share: Option<NumberRange>,
    /// What is claimed about leaf for this species in words.
    pub said: Option<Said>,
}

/// Air advised for some stages.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Air {
    /// The stages it is meant for.
    pub stages: Vec<String>,
    /// Air temperature.
    pub air_c: Option<NumberRange>,
    /// Relative humidity.
    pub humidity_percent: Option<NumberRange>,
}

impl Air {
    /// Is it meant for this stage?
    pub fn is_for(&self, stage: StageName) -> bool {
        self.stages.iter().any(|word| word.parse() == Ok(stage))
    }
}

/// Eggs, pairing and weights. What nobody has written down is `None`.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reproduction {
    /// Eggs of one female.
    pub eggs_per_female: Option<NumberRange>,
    /// Share of laid eggs that hatch.
    pub hatch_share: Option<NumberRange>,
    /// When pairs form, in words.
    pub pairing_hour: Option<Said>,
    /// When moths come out, in words.
    pub emergence_hour: Option<Said>,
    /// How long a pair should stay joined, in hours.
    pub pairing_h: Option<NumberRange>,
    /// Fresh weight of a pupa, in grams.
    pub pupa_fresh_g: Option<NumberRange>,
    /// Fresh weight of a female pupa, in grams.
    pub female_pupa_fresh_g: Option<NumberRange>,
    /// Fresh weight of a male pupa, in grams.
    pub male_pupa_fresh_g: Option<NumberRange>,
    /// Fresh weight of a cocoon with its pupa, in grams.
    pub cocoon_fresh_g: Option<NumberRange>,
    /// Fresh weight of a full-grown larva, in grams.
    pub larva_fresh_g: Option<NumberRange>,
}

/// Everything the program believes of a species before it has seen an animal.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// Name in links and file names, such as `saturnia-pavonia`.
    pub slug: String,
    /// Latin name.
    pub latin: String,
    /// English name.
    pub english: String,
    /// Other names it is asked for by.
    pub also: Vec<String>,
    /// How many instars.
    pub instars: Instars,
    /// What it is fed on.
    pub food: Vec<FoodPlant>,
    /// What to beware of.
    pub cautions: Vec<Caution>,
    /// Each stage from egg to pupa, in order.
    pub stages: Vec<StagePrior>,
    /// How long the whole larval time takes, and in which air, before it is shared out over the instars.
    pub larva_days: Number,
    /// Share of the larval time spent in each instar.
    pub larva_shares: Shares,
    /// How a brood's pace is shared.
    pub pace: Pace,
    /// Sexes and moths.
    pub moths: Moths,
    /// Rest over winter.
    pub winter: Winter,
    /// Leaf.
    pub leaf: Leaf,
    /// Air advised.
    pub air: Vec<Air>,
    /// Eggs, pairing, weights.
    pub reproduction: Reproduction,
    /// What every number stands on, by its place in the file.
    pub footings: Vec<Footing>,
}

impl Profile {
    /// The prior of one stage; `None` for a stage the species has not, and for the moth.
    pub fn stage(&self, stage: StageName) -> Option<&StagePrior> {
        self.stages.iter().find(|prior| prior.stage == stage)
    }

    /// Degree-days that a stage needs; see [`StagePrior::constant_dd`].
    pub fn constant_dd(&self, stage: StageName) -> Option<f64> {
        self.stage(stage)?.constant_dd()
    }

    /// The air advised for a stage, every set of advice there is.
    pub fn air_for(&self, stage: StageName) -> impl Iterator<Item = &Air> {
        self.air.iter().filter(move |air| air.is_for(stage))
    }

    /// The cautions about one matter, such as `sting` or `release`.
    pub fn cautions_about<'a>(&'a self, about: &'a str) -> impl Iterator<Item = &'a Caution> {
        self.cautions.iter().filter(move |caution| caution.about == about)
    }

    /// Ids of every claim that any of its numbers rests on, each once, sorted.
    pub fn claims(&self) -> Vec<&str> {
        let mut ids: Vec<&str> =
            self.footings.iter().flat_map(|footing| footing.claims.iter().map(String::as_str)).collect();
        ids.sort_unstable();
        ids.dedup();
        ids
    }

    /// What the number at a place of the file stands on, such as `egg.days` or `larva.days`.
    pub fn footing(&self, path: &str) -> Option<&Footing> {
        self.footings.iter().find(|footing| footing.path == path)
    }

    /// Is this the name, the English name, another name or the slug of the species? Case does not matter.
    pub fn is_called(&self, name: &str) -> bool {
        let name = name.trim().to_lowercase();
        [&self.slug, &self.latin, &self.english]
            .into_iter()
            .chain(&self.also)
            .any(|own| own.to_lowercase() == name)
    }
}

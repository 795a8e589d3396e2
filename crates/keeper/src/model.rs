//! From a species profile to the parameters of the forecast.

use evidence::{Profile, Rest, StageName};
use jiff::civil::{Date, date};
use rearing::House;
use rearing::deed::Way;
use rearing::house::Lot;
use science::phenology::{
    BetaPrior, BroodModel, MothNights, Nights, RateCurve, Shock, StageKind, StageModel, Winter,
};
use terms::Stage;

/// The last part of an instar that is moult sleep, where no claim says otherwise.
/// Claim `judgements/moult-share`.
pub(crate) const MOULT_SHARE_CLAIM: &str = "judgements/moult-share";
/// How often, per day, something hits a box as a whole. Claim `judgements/box-shock`.
pub(crate) const SHOCK_CLAIM: &str = "judgements/box-shock";
/// The share of its larvae that a hit costs. Claim `judgements/box-shock-loss`.
pub(crate) const SHOCK_LOSS_CLAIM: &str = "judgements/box-shock-loss";

/// Index of a stage of the book in the model of a profile. A cocoon is placed
/// by its age, so it is not asked here.
pub(crate) fn stage_index(profile: &Profile, stage: Stage) -> Option<usize> {
    let instars = usize::from(profile.instars.count);
    match stage {
        Stage::Egg => Some(0),
        // A larva of an instar more than the profile has is on its way to spinning.
        Stage::Larva(instar) => Some(usize::from(instar).min(instars)),
        Stage::Cocoon => None,
        Stage::Moth => Some(profile.stages.len()),
    }
}

/// The model of a brood before it has shown anything: the profile's priors.
///
/// `None` where the profile lacks a number that a forecast cannot do without.
pub(crate) fn brood_model(
    profile: &Profile,
    numbers: &HouseNumbers,
    winter: Option<Winter>,
) -> Option<BroodModel> {
    let last_instar = profile.instars.count;
    let stages = profile.stages.iter().map(|prior| {
        let kind = match prior.stage {
            StageName::Egg => StageKind::Egg,
            StageName::Larva(_) => StageKind::Larva,
            StageName::Spinning => StageKind::Spinning,
            StageName::Pupa | StageName::Moth => StageKind::Pupa,
        };
        let moults = matches!(prior.stage, StageName::Larva(instar) if instar < last_instar);
        Some(StageModel {
            name: prior.stage.to_string(),
            kind,
            rate: RateCurve::Linear {
                lower_c: prior.lower_c.mean,
                upper_c: prior.upper_c.value,
                constant_dd: prior.constant_dd()?,
            },
            spread_cv: prior.spread_cv.value,
            stage_pace_sd: prior.stage_sd.value,
            survival: BetaPrior { mean: prior.survival.mean, weight: prior.survival.weight },
            overlooked: prior.overlooked.value,
            moult_share: if moults { numbers.moult_share } else { 0.0 },
        })
    });
    let moths = &profile.moths;
    Some(BroodModel {
        stages: stages.collect::<Option<Vec<_>>>()?,
        shared_pace_sd: profile.pace.shared_pace_sd.value,
        rank_correlation: profile.pace.rank_correlation.value,
        female_share: moths.female_share.mean,
        female_pupa_factor: moths.female_pupa_factor.value,
        moth_nights: MothNights {
            male: Nights { mean: moths.male_nights.mean, sd: moths.male_nights.sd },
            female: Nights { mean: moths.female_nights.mean, sd: moths.female_nights.sd },
        },
        winter,
        shock: numbers.shock,
    })
}

/// Numbers that belong to no species.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HouseNumbers {
    pub moult_share: f64,
    pub shock: Shock,
}

impl HouseNumbers {
    /// Reads them from the claims; a claim that is not there leaves the matter out.
    pub fn of(library: &evidence::Library) -> HouseNumbers {
        let value = |id| {
            let figure = library.claim(id)?.figure;
            Some(0.5 * (figure.low()? + figure.high()?))
        };
        let value = |id| value(id).unwrap_or(0.0) / 100.0;
        HouseNumbers {
            moult_share: value(MOULT_SHARE_CLAIM),
            shock: Shock { per_day: value(SHOCK_CLAIM), loss_share: value(SHOCK_LOSS_CLAIM) },
        }
    }
}

/// The spring in which this brood's moths are due, for kinds that rest as pupae.
pub(crate) fn winter_of(
    profile: &Profile,
    house: &House,
    line: &str,
    day_number: impl Fn(Date) -> f64,
) -> Option<Winter> {
    if profile.winter.rest != Rest::Pupa {
        return None;
    }
    let came = house.lots.values().filter(|it| it.told.line == line).min_by_key(|it| it.at)?;
    spring_of(profile, came, day_number)
}

/// The spring in which those pupae of a lot's brood fly that rest.
pub(crate) fn spring_of(profile: &Profile, came: &Lot, day_number: impl Fn(Date) -> f64) -> Option<Winter> {
    let rest = &profile.winter;
    let months = rest.emergence_month.as_ref()?;
    // A brood of this year flies next year; bought cocoons fly in the next spring there is.
    let earliest = match came.told.stage {
        Stage::Egg | Stage::Larva(_) if rest.rest == Rest::Pupa => {
            day_number(came.told.laid.unwrap_or(came.received)) + 120.0
        }
        // A pupa that rests sees a winter first, also one of a brood raised under lamps early in the year.
        Stage::Egg | Stage::Larva(_) => day_number(came.told.laid.unwrap_or(came.received)) + 170.0,
        Stage::Cocoon | Stage::Moth if rest.rest == Rest::Pupa => day_number(came.received) - 30.0,
        // Where not all rest, cocoons of early summer are mostly new ones.
        Stage::Cocoon | Stage::Moth => day_number(came.received),
    };
    let middle_in = |year: i16| {
        let first = date(year, month(months.low)?, 1);
        let last = date(year, month(months.high)?, 1).last_of_month();
        Some(0.5 * (day_number(first) + day_number(last)))
    };
    let year = came.received.year();
    let middle_d = (year - 1..year + 3).filter_map(middle_in).find(|middle| *middle >= earliest)?;
    let second = rest.second_peak.as_ref();
    Some(Winter {
        middle_d,
        shared_sd_d: rest.shared_sd_d.as_ref()?.value,
        spread_sd_d: rest.individual_sd_d.as_ref()?.value,
        males_earlier_d: profile.moths.protandry_d.mean,
        males_earlier_sd_d: profile.moths.protandry_d.sd,
        second_share: second.map_or(0.0, |it| it.share.mean),
        second_delay_d: second.map_or(0.0, |it| it.delay_d.mean),
        lying_over_share: rest.lying_over.as_ref().map_or(0.0, |it| it.mean),
    })
}

fn month(number: f64) -> Option<i8> {
    (1..=12).find(|it| (f64::from(*it) - number).abs() < 0.5)
}

/// What the line's own losses add to the survival of each stage: those who
/// went on have come through, those who died have not.
pub(crate) fn learn_survival(model: &mut BroodModel, profile: &Profile, house: &House, line: &str) {
    for (index, stage_model) in model.stages.iter_mut().enumerate() {
        let is_here = |stage: Stage| stage_index(profile, stage) == Some(index);
        let came_through: u32 = house
            .passages
            .iter()
            .filter(|it| it.line == line && stage_before(it.stage).is_some_and(is_here))
            .map(|it| it.n)
            .sum();
        let lost: u32 = house
            .losses
            .iter()
            .filter(|it| it.line == line && is_here(it.stage))
            .filter(|it| matches!(it.way, Way::Died | Way::EggFailed | Way::Missing))
            .map(|it| it.n)
            .sum();
        stage_model.survival = stage_model.survival.after(f64::from(came_through), f64::from(lost));
    }
}

/// The stage that an animal left when it came into this one.
fn stage_before(stage: Stage) -> Option<Stage> {
    match stage {
        Stage::Larva(1) => Some(Stage::Egg),
        Stage::Larva(instar) if instar > 1 => Some(Stage::Larva(instar - 1)),
        _ => None,
    }
}

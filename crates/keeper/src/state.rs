//! From the house as it stands to what a forecast starts from: who is alive and
//! since when, what the brood has shown of its pace, and the air it had.

use crate::book::Keeper;
use crate::line_air::Air;
use crate::model::stage_index;
use evidence::{Profile, StageName};
use jiff::Timestamp;
use jiff::civil::Date;
use rearing::{Cohort, House, RearingBox};
use science::phenology::{
    BroodModel, CameOut, Clocks, Group, Known, Living, Outlook, OutlookError, Room, Seen, Sex, Window,
    observed_passage,
};
use terms::Stage;

/// How many days the future room is taken to be like.
pub(crate) const OUTLOOK_DAYS: u32 = 7;
/// How far back a group's entry can lie that nobody saw, in days.
const UNSEEN_DAYS: f64 = 1.0;

/// An instant as the models count it: days since 1970 in universal time.
pub(crate) fn day_number(at: Timestamp) -> f64 {
    at.as_microsecond() as f64 / 86_400e6
}

/// The instant of a day number.
pub(crate) fn instant_of(at_d: f64) -> Timestamp {
    // A cast saturates, and what does not fit is no date of a rearing.
    Timestamp::from_microsecond((at_d * 86_400e6).round() as i64).unwrap_or(Timestamp::UNIX_EPOCH)
}

impl Keeper {
    /// The day number of a day's first moment on the keeper's wall.
    pub(crate) fn midnight(&self, day: Date) -> f64 {
        day_number(self.instant(day.at(0, 0, 0, 0)))
    }

    /// The clocks of a line: what its stages have had and will have.
    pub(crate) fn clocks_of(
        &self,
        model: &BroodModel,
        air: &Air,
        from_d: f64,
        asof_d: f64,
    ) -> Option<Clocks> {
        let outlook = Outlook::LastDays { days: OUTLOOK_DAYS as _ };
        // A room of which nothing was noted has no record.
        let error = match air.place {
            Some(_) => OutlookError::of_record(&outlook, &air.series, asof_d),
            None => OutlookError::usual(&outlook),
        };
        let room = Room { air: &air.series, outlook: &outlook, error };
        Clocks::new(&model.curves(), &room, from_d, asof_d, science::phenology::HORIZON_D).ok()
    }
}

/// Who is alive of a line, with the boxes in the order of their numbers.
pub(crate) struct Alive {
    pub living: Living,
    /// Names of the boxes by their index in the forecast.
    pub boxes: Vec<String>,
}

/// Everybody of a line who is alive, as the forecast wants to know it.
pub(crate) fn alive(
    profile: &Profile,
    model: &BroodModel,
    house: &House,
    line: &str,
    asof: Timestamp,
) -> Alive {
    let mut living = Living::default();
    let mut boxes: Vec<String> = Vec::new();
    for it in house.living_boxes().filter(|it| it.lines().contains(line)) {
        let box_index = boxes.len();
        boxes.push(it.name.clone());
        for cohort in it.cohorts.iter().filter(|it| it.line == line) {
            living.groups.extend(groups_of(profile, model, house, it, cohort, box_index, asof));
        }
    }
    living.came_out = house
        .moths
        .values()
        .filter(|it| it.line == line)
        .map(|it| CameOut { at_d: day_number(noon(it.out_on)), sex: sex(it.sex) })
        .collect();
    Alive { living, boxes }
}

pub(crate) fn noon(day: Date) -> Timestamp {
    jiff::tz::Offset::UTC.to_timestamp(day.at(12, 0, 0, 0)).unwrap_or(Timestamp::UNIX_EPOCH)
}

fn sex(sex: terms::Sex) -> Option<Sex> {
    match sex {
        terms::Sex::Female => Some(Sex::Female),
        terms::Sex::Male => Some(Sex::Male),
        terms::Sex::Unknown => None,
    }
}

/// A cohort as groups of one stage, one window and one sex.
fn groups_of(
    profile: &Profile,
    model: &BroodModel,
    house: &House,
    it: &RearingBox,
    cohort: &Cohort,
    box_index: usize,
    asof: Timestamp,
) -> Vec<Group> {
    let since_d = day_number(cohort.since).min(day_number(asof));
    let unseen_d = since_d - UNSEEN_DAYS;
    let window =
        Window { earliest_d: cohort.not_before.map_or(unseen_d, day_number).min(since_d), latest_d: since_d };
    let (stage, window) = match stage_index(profile, cohort.stage) {
        Some(0) => (0, laid_window(house, it, window)),
        Some(stage) => (stage, window),
        None => cocoon(profile, model, window, day_number(asof)),
    };
    // What they did since somebody last looked, nobody knows.
    let seen_d =
        it.looked_at.map_or(since_d, day_number).clamp(since_d, day_number(asof)).max(window.latest_d);
    let known = Known::LastSeen { window, seen_d };
    let group = |n, sex| Group { stage, n, box_index, known, sex };
    let sexes = sexes_in(house, it, cohort);
    let known: u32 = sexes.iter().map(|(_, n)| n).sum();
    let mut groups: Vec<Group> =
        sexes.into_iter().map(|(sex, n)| group(n.min(cohort.n), Some(sex))).collect();
    if cohort.n > known {
        groups.push(group(cohort.n - known, None));
    }
    groups.retain(|it| it.n > 0);
    groups
}

/// Eggs began when they were laid, not when they came into the box.
fn laid_window(house: &House, it: &RearingBox, came: Window) -> Window {
    let laid = it.lots.values().flatten().filter_map(|lot| house.lots.get(lot)?.told.laid);
    let (first, last) = (laid.clone().min(), laid.max());
    match first.zip(last) {
        // A laying goes by the date of its evening and lasts into the night.
        Some((first, last)) => Window {
            earliest_d: day_number(noon(first)),
            latest_d: (day_number(noon(last)) + 1.0).min(came.latest_d).max(day_number(noon(first))),
        },
        None => came,
    }
}

/// A cocoon is a spinning larva at first and a pupa later. Nobody sees through
/// the shell, so its age decides.
fn cocoon(profile: &Profile, model: &BroodModel, spun: Window, asof_d: f64) -> (usize, Window) {
    let instars = usize::from(profile.instars.count);
    let (spinning, pupa) = (instars + 1, instars + 2);
    let days = profile.stage(StageName::Spinning).map_or(6.0, |it| it.days.value);
    if pupa >= model.stages.len() || asof_d - spun.latest_d < days {
        return (spinning.min(model.stages.len().saturating_sub(1)), spun);
    }
    let pupated = |at_d: f64| (at_d + days).min(asof_d);
    (pupa, Window { earliest_d: pupated(spun.earliest_d), latest_d: pupated(spun.latest_d) })
}

/// How many of a cohort are known by sex: numbered cocoons and named moths in
/// the box, shared out over its cohorts by age, so that none is counted twice.
fn sexes_in(house: &House, it: &RearingBox, cohort: &Cohort) -> Vec<(Sex, u32)> {
    let of_line = |lot: &str| house.lots.get(lot).is_some_and(|it| it.told.line == cohort.line);
    let mut known: Vec<(Option<Date>, terms::Sex)> = match cohort.stage {
        Stage::Cocoon => house
            .cocoons
            .values()
            .filter(|cocoon| cocoon.lies_in.as_deref() == Some(&it.name) && of_line(&cocoon.told.lot))
            .map(|cocoon| (cocoon.told.spun_on, cocoon.told.sex))
            .collect(),
        Stage::Moth => house
            .moths
            .values()
            .filter(|moth| moth.lives_in.as_deref() == Some(&it.name) && moth.line == cohort.line)
            .map(|moth| (Some(moth.out_on), moth.sex))
            .collect(),
        _ => Vec::new(),
    };
    known.sort_unstable();
    let before: u32 = it
        .cohorts
        .iter()
        .take_while(|other| !std::ptr::eq(*other, cohort))
        .filter(|other| other.line == cohort.line && other.stage == cohort.stage)
        .map(|other| other.n)
        .sum();
    let of_cohort = known.iter().skip(before as usize).take(cohort.n as usize);
    [(terms::Sex::Female, Sex::Female), (terms::Sex::Male, Sex::Male)]
        .into_iter()
        .map(|(booked, modelled)| {
            let n = of_cohort.clone().filter(|(_, it)| *it == booked).count();
            (modelled, u32::try_from(n).unwrap_or(0))
        })
        .collect()
}

/// What a line has shown of its pace in every stage that somebody has left.
pub(crate) fn shown(
    living: &mut Living,
    profile: &Profile,
    model: &BroodModel,
    clocks: &Clocks,
    house: &House,
    line: &str,
) {
    for index in 0..model.stages.len().saturating_sub(1) {
        let is = |stage: Stage, wanted: usize| stage_index(profile, stage) == Some(wanted);
        let seen = |wanted: usize| -> Vec<Seen> {
            house
                .passages
                .iter()
                .filter(|it| {
                    it.line == line && (is(it.stage, wanted) || spun_into(profile, it.stage, wanted))
                })
                .map(|it| {
                    let latest_d = day_number(it.seen_at);
                    let earliest_d = it.not_before.map_or(latest_d - UNSEEN_DAYS, day_number).min(latest_d);
                    Seen { window: Window { earliest_d, latest_d }, n: it.n }
                })
                .collect()
        };
        let (mut entered, left) = (seen(index), seen(index + 1));
        if index == 0 {
            // Eggs began on the day of laying, not when the parcel came.
            for (lot, seen) in house.lots.values().filter(|it| it.told.line == line).zip(entered.iter_mut()) {
                if let Some(laid) = lot.told.laid {
                    let noon_d = day_number(noon(laid));
                    seen.window = Window { earliest_d: noon_d, latest_d: noon_d + 1.0 };
                }
            }
        }
        let still_in: u32 = living.groups.iter().filter(|it| it.stage == index).map(|it| it.n).sum();
        let cv = model.stages.get(index).map_or(0.1, |it| it.spread_cv);
        let inside = |it: &Seen| it.window.earliest_d >= clocks.start_d();
        if !entered.iter().all(inside) {
            continue;
        }
        living.passed.extend(observed_passage(clocks, index, cv, &entered, &left, still_in));
    }
}

fn spun_into(profile: &Profile, stage: Stage, wanted: usize) -> bool {
    stage == Stage::Cocoon && wanted == usize::from(profile.instars.count) + 1
}

/// The earliest moment that a line's clocks must know.
pub(crate) fn earliest_d(house: &House, line: &str, asof_d: f64) -> f64 {
    let lots = house.lots.values().filter(|it| it.told.line == line);
    let came = lots.map(|it| it.told.laid.map_or(day_number(it.at), |laid| day_number(noon(laid))));
    came.fold(asof_d, f64::min) - 2.0
}

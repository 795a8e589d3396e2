//! Is something wrong?

use crate::book::{Keeper, Look};
use crate::failure::Failure;
use crate::forecasts::LineForecast;
use crate::model::stage_index;
use crate::rests;
use crate::say;
use crate::view::cocoons::CocoonState;
use crate::view::trouble::{AirOfPlace, Bell, LossesOfLine, Trouble};
use evidence::StageName;
use jiff::civil::Date;
use jiff::{ToSpan, Unit};
use rearing::deed::{AirRead, Way};
use rearing::house::Loss;
use science::climate::{SaturationFormula, vapour_pressure_deficit_kpa};
use science::losses::{self, BellAsk, StageLoss, Standing, footing, hazard_per_day};
use science::phenology::BetaPrior;
use std::collections::BTreeMap;
use terms::Stage;

/// What the receipts call the model.
const MODEL: &str = "losses 1";
/// How many mornings back a bell listens.
const LISTEN_DAYS: i64 = 10;
/// A box with larvae that nobody counted for so long is named.
const UNCOUNTED_DAYS: i64 = 7;

/// A box that rings.
pub(crate) struct BoxBell {
    pub name: String,
    pub counted: String,
    pub chance: f64,
    pub signs: Vec<String>,
}

impl Keeper {
    /// Losses and air, and what rings.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn trouble(&self) -> Result<Trouble, Failure> {
        let look = self.look();
        let bells = self.bells(&look);
        let mut losses = Vec::new();
        let mut rests_on = Vec::new();
        let mut runs = 0;
        for line in look.house.lines() {
            let Some(made) = self.line_forecast(&look, &line) else { continue };
            runs = runs.max(made.answer.ask.runs);
            losses.push(losses_of(&look, &made));
            rests_on.extend(rests::on_own_notes(&look, &made));
            let stages: Vec<String> =
                made.model.stages.iter().map(|it| format!("{}.survival", it.name)).collect();
            let parts: Vec<&str> = stages.iter().map(String::as_str).chain(["air"]).collect();
            rests_on.extend(rests::on_profile(self.library(), made.profile, &parts));
        }
        let air = self.air(&look);
        let winter = self.winter_bells(&look)?;
        Ok(Trouble {
            now: look.wall,
            notice: self.notice(),
            says: in_words(&bells, &losses, &winter),
            winter,
            losses,
            bells: bells.into_iter().map(bell_in_words).collect(),
            air,
            uncounted: uncounted(&look),
            rests_on,
            receipt: self.receipt(&look, MODEL, runs),
        })
    }

    /// Boxes whose losses are too many too close together, rarest first.
    pub(crate) fn bells(&self, look: &Look) -> Vec<BoxBell> {
        let mut bells: Vec<BoxBell> = Vec::new();
        for it in look.house.living_boxes() {
            for line in it.lines() {
                let Some(made) = self.line_forecast(look, line) else { continue };
                bells.extend(bell_of(look, &made, &it.name));
            }
        }
        // A box that lost all it had holds nobody now, and rings all the louder.
        for name in emptied(look) {
            let lines: Vec<String> =
                look.house.losses.iter().filter(|it| it.name == name).map(|it| it.line.clone()).collect();
            if let Some(made) = lines.last().and_then(|line| self.line_forecast(look, line)) {
                bells.extend(bell_of(look, &made, &name));
            }
        }
        bells.sort_by(|a, b| a.chance.total_cmp(&b.chance));
        bells
    }

    /// Lines whose cocoons dry out or lie too warm.
    fn winter_bells(&self, look: &Look) -> Result<Vec<(String, String)>, Failure> {
        let mut bells = Vec::new();
        for line in look.house.lines() {
            let Some(view) = self.cocoons(&line)? else { continue };
            let dries = view.cocoons.iter().any(|it| it.state == CocoonState::Drying);
            if dries || view.stores.iter().any(|it| it.rings) || view.together.iter().any(|it| it.drying) {
                bells.push((line, view.says));
            }
        }
        Ok(bells)
    }

    fn air(&self, look: &Look) -> Vec<AirOfPlace> {
        let house = &look.house;
        house
            .air
            .iter()
            .filter_map(|(place, days)| {
                let (day, read) = days.iter().next_back()?;
                let stage = house
                    .living_boxes()
                    .filter(|it| it.place == *place || it.place.is_empty())
                    .filter_map(|it| Some((it.lines().first()?.to_string(), *it.by_stage().keys().next()?)))
                    .next();
                let advised = stage.and_then(|(line, stage)| self.advised_humidity(look, &line, stage));
                Some(air_in_words(place, *day, read, advised, look.today()))
            })
            .collect()
    }

    /// The relative humidity advised for a stage, the widest of all advice.
    fn advised_humidity(&self, look: &Look, line: &str, stage: Stage) -> Option<(f64, f64)> {
        let profile = self.profile_of(&look.house, line)?;
        let name = match stage {
            Stage::Egg => StageName::Egg,
            Stage::Larva(instar) => StageName::Larva(instar),
            Stage::Cocoon => StageName::Pupa,
            Stage::Moth => return None,
        };
        let ranges = profile.air_for(name).filter_map(|it| it.humidity_percent.as_ref());
        ranges.map(|it| (it.low, it.high)).reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    }
}

fn is_a_loss(it: &Loss) -> bool {
    matches!(it.way, Way::Died | Way::Missing) && it.stage.is_larva()
}

/// Boxes of today's losses that hold nobody any more.
fn emptied(look: &Look) -> Vec<String> {
    let today = look.today();
    let mut names: Vec<String> = look
        .house
        .losses
        .iter()
        .filter(|it| it.on == today && is_a_loss(it))
        .filter(|it| look.house.boxes.get(&it.name).is_none_or(|it| it.total() == 0))
        .map(|it| it.name.clone())
        .collect();
    names.dedup();
    names
}

fn bell_of(look: &Look, made: &LineForecast, name: &str) -> Option<BoxBell> {
    let today = look.today();
    let of_box =
        || look.house.losses.iter().filter(|it| it.name == name && it.line == made.line && is_a_loss(it));
    let by_day: Vec<u32> = (0..LISTEN_DAYS)
        .rev()
        .map(|back| {
            let day = today.checked_sub(back.days()).unwrap_or(today);
            of_box().filter(|it| it.on == day).map(|it| it.n).sum()
        })
        .collect();
    let stage = of_box().next_back()?.stage;
    let index = stage_index(made.profile, stage)?;
    let prior = made.profile.stages.get(index)?;
    let hazard = hazard_per_day(prior.survival.mean, made.clocks.expected_stage_d(index)?)?;
    let alive = look.house.boxes.get(name).map_or(0, |it| it.count(Some(&made.line), stage));
    let all_larvae: u32 = look.house.boxes.get(name).map_or(0, |it| {
        it.cohorts.iter().filter(|it| it.line == made.line && it.stage.is_larva()).map(|it| it.n).sum()
    });
    let losses::Bell::Rings(ring) = losses::bell(&by_day, alive.max(all_larvae), hazard, BellAsk::USUAL)
    else {
        return None;
    };
    let mut signs: Vec<String> = of_box().map(|it| it.sign.clone()).filter(|it| !it.is_empty()).collect();
    signs.dedup();
    let counted = match ring.window_d {
        1 => format!("{} of {} lost in one morning", ring.lost, ring.of),
        days => format!("{} of {} lost in {days} days", ring.lost, ring.of),
    };
    Some(BoxBell { name: name.to_owned(), counted, chance: ring.chance_if_good, signs })
}

fn bell_in_words(it: BoxBell) -> Bell {
    let one_in = 1.0 / it.chance.max(1e-12);
    let rare = if one_in > 1e6 {
        "in a good box hardly ever".to_owned()
    } else {
        let digits = one_in.log10().floor();
        let rounded = (one_in / 10f64.powf(digits)).round() * 10f64.powf(digits);
        format!("in a good box about 1 time in {rounded:.0}")
    };
    let seen =
        if it.signs.is_empty() { String::new() } else { format!(" Signs so far: {}.", say::list(&it.signs)) };
    Bell {
        name: it.name,
        counted: it.counted,
        rare,
        first: format!(
            "Set the box apart and handle it last, with its own brush and tongs. Take out the dead, give dry paper, fresh leaf and room.{seen}"
        ),
        cautions: vec![
            "Clean first, then disinfect: dirt uses bleach up. Bleach into cool water, gloves, open air; never with acid, ammonia or formalin.".to_owned(),
            "Do not sniff the box. Bag the dead, freeze or burn them; wash your hands. Swap no stock from this room.".to_owned(),
        ],
    }
}

/// Losses of a line so far against what good broods lose.
fn losses_of(look: &Look, made: &LineForecast) -> LossesOfLine {
    let house = &look.house;
    let of_line = || house.losses.iter().filter(|it| it.line == made.line);
    let counted = |it: &&Loss| matches!(it.way, Way::Died | Way::EggFailed | Way::Missing);
    let index_of = |stage: Stage| match stage {
        Stage::Cocoon => made.model.moth().checked_sub(1),
        other => stage_index(made.profile, other),
    };
    let stages: Vec<StageLoss> = made
        .profile
        .stages
        .iter()
        .enumerate()
        .filter_map(|(index, prior)| {
            let entered: u32 = house
                .passages
                .iter()
                .filter(|it| it.line == made.line && index_of(it.stage) == Some(index))
                .map(|it| it.n)
                .sum();
            let lost: u32 =
                of_line().filter(counted).filter(|it| index_of(it.stage) == Some(index)).map(|it| it.n).sum();
            let here: u32 = made.book.iter().filter(|it| it.stage == index).map(|it| it.n).sum();
            let through = 1.0 - f64::from(here) / f64::from(entered.max(1));
            (entered > 0).then_some(StageLoss {
                entered,
                lost: lost.min(entered),
                survival: BetaPrior { mean: prior.survival.mean, weight: prior.survival.weight },
                // Those still in the stage have on average half of it behind them.
                done_share: (through + 0.5 * (1.0 - through)).clamp(0.0, 1.0),
            })
        })
        .collect();
    let verdict = footing(&stages);
    let lost: u32 = of_line().filter(counted).filter(|it| it.stage != Stage::Moth).map(|it| it.n).sum();
    let of = house.received(&made.line);
    let range = format!(
        "Good broods of this kind lose {} to {} by now in 8 of 10 cases",
        verdict.good_q10, verdict.good_q90
    );
    let ending = match verdict.standing {
        Standing::Good => "this one is among them",
        Standing::Watch => "this one loses more than most: keep an eye on it",
        Standing::LosingTooMany => "this one loses too many",
        Standing::Unknown => "whether this one is on the good side cannot be told",
    };
    let mut by_sign: BTreeMap<String, u32> = BTreeMap::new();
    for loss in of_line().filter(counted).filter(|it| it.stage != Stage::Moth) {
        let sign = if loss.sign.is_empty() { rearing::words::way(loss.way) } else { loss.sign.as_str() };
        *by_sign.entry(format!("{}: {sign}", loss.stage)).or_insert(0) += loss.n;
    }
    let mut by_sign: Vec<(String, u32)> = by_sign.into_iter().collect();
    by_sign.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    LossesOfLine {
        line: made.line.clone(),
        lost,
        of,
        good_broods: (verdict.good_q10, verdict.good_q90),
        says: format!("{lost} lost of {of}. {range}; {ending}."),
        by_sign,
    }
}

fn in_words(bells: &[BoxBell], losses: &[LossesOfLine], winter: &[(String, String)]) -> String {
    match bells {
        [] if !winter.is_empty() => {
            let lines: Vec<String> = winter.iter().map(|(line, _)| line.clone()).collect();
            format!("Look at the cocoons of {} first.", say::list(&lines))
        }
        [] if losses.is_empty() => "Nobody is alive, so nothing rings.".to_owned(),
        [] => "No bell rings: no box loses more, or faster, than good boxes do.".to_owned(),
        [one] => format!("Look at box {} first: {}.", one.name, one.counted),
        [first, rest @ ..] => {
            format!(
                "Look at box {} first: {}. {} too.",
                first.name,
                first.counted,
                say::count(rest.len(), "other box rings", "other boxes ring")
            )
        }
    }
}

fn air_in_words(
    place: &str,
    day: Date,
    read: &AirRead,
    advised: Option<(f64, f64)>,
    today: Date,
) -> AirOfPlace {
    let mean_c = read.air_c_mean.unwrap_or(0.5 * (read.air_c_min + read.air_c_max));
    let humidity =
        read.humidity_percent_min.zip(read.humidity_percent_max).map(|(low, high)| 0.5 * (low + high));
    let vpd =
        |humidity: f64| vapour_pressure_deficit_kpa(mean_c, humidity, SaturationFormula::MagnusWmo).ok();
    let vpd_kpa = humidity.and_then(vpd);
    let word = match (vpd_kpa, advised) {
        (Some(now), Some((low, high))) => match (vpd(low), vpd(high)) {
            (Some(dry), _) if now > dry => "drying",
            (_, Some(damp)) if now < damp => "damp",
            (Some(_), Some(_)) => "right",
            _ => "",
        },
        _ => "",
    };
    let days_old = today.since((Unit::Day, day)).map_or(0, |span| i64::from(span.get_days()));
    let damp = humidity.map_or_else(String::new, |it| format!(", {it:.0} % damp on the mean"));
    AirOfPlace {
        place: place.to_owned(),
        says: format!("{}: {:.0} to {:.0} °C{damp}", say::day(day), read.air_c_min, read.air_c_max),
        vpd_kpa,
        word: word.to_owned(),
        days_old,
    }
}

fn uncounted(look: &Look) -> Vec<(String, i64)> {
    let today = look.today();
    let boxes = look.house.living_boxes().filter(|it| it.by_stage().keys().any(|it| it.is_larva()));
    boxes
        .filter_map(|it| {
            let last = look
                .house
                .counts
                .iter()
                .rev()
                .find(|row| row.told.name == it.name)
                .map_or(it.opened, |row| row.on);
            let days = i64::from(today.since((Unit::Day, last)).ok()?.get_days());
            (days >= UNCOUNTED_DAYS).then(|| (it.name.clone(), days))
        })
        .collect()
}

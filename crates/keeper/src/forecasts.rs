//! One forecast for a line, made once and shared by every face that asks.

use crate::book::{Keeper, Look};
use crate::diapause::{Ground, came_out};
use crate::egg_rest::{EggRest, began_at, begin_at};
use crate::failure::Failure;
use crate::followed::followed;
use crate::leaf_order::{LineLeaf, line_leaf};
use crate::line_air::Air;
use crate::model::{HouseNumbers, brood_model, learn_survival, winter_of};
use crate::state::{alive, day_number, earliest_d, instant_of, shown};
use crate::view::round::InMoult;
use crate::view::{DateRange, LeafRange, Receipt};
use evidence::Profile;
use jiff::Timestamp;
use jiff::civil::DateTime;
use rearing::RearingBox;
use rearing::house::LeafRow;
use science::phenology::{
    Ask, BroodModel, Clocks, Forecast, Group, Living, Quantiles, Scope, Simulator, StageEntry, StageKind,
};
use std::collections::BTreeMap;
use std::sync::Arc;
use terms::Stage;

/// Possible seasons that a page runs, for a small brood.
pub(crate) const RUNS: u32 = 2000;
/// Animals times seasons that a page may take: a large brood is surer of itself and needs fewer.
const LIVES: u32 = 80_000;
/// Fewer possible seasons than this tell no 1 in 20.
const RUNS_LEAST: u32 = 600;
/// Lines that came with more animals than this are forecast from their groups and not from each animal's story.
const LEARNED_FROM: u32 = 500;
/// Possible seasons for a morning that is only looked back at.
const RUNS_BACK: u32 = 600;
/// The name of the species profile for a kind that has none.
const UNKNOWN_KIND: &str = "generic";
/// What the receipts call the model.
pub(crate) const MODEL: &str = "stage calendar 2";
/// Forecasts are made for the quarter of an hour, so that a page asked twice says the same.
const QUARTER_SECONDS: i64 = 900;

/// Forecasts that have been made for the book as it stands.
#[derive(Default)]
pub(crate) struct Remembered {
    entries: u64,
    made: BTreeMap<(String, i64, Depth), Option<Arc<LineForecast>>>,
    /// The last of each line: an entry about another line or a remark leaves it as it is.
    latest: BTreeMap<(String, Depth), Arc<LineForecast>>,
}

/// How much of a forecast is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Depth {
    /// Everything a page shows.
    Full,
    /// Dates and odds of an earlier morning.
    Back,
}

/// A line's forecast with everything it was made from.
pub(crate) struct LineForecast {
    pub line: String,
    pub profile: &'static Profile,
    /// The species of the line has no profile: a wide one stands in for it.
    pub stand_in: bool,
    pub model: BroodModel,
    pub clocks: Clocks,
    pub living: Living,
    /// Who is in the boxes, as the book has it.
    pub book: Vec<Group>,
    /// Names of the boxes by their index in the forecast.
    pub boxes: Vec<String>,
    pub air: Air,
    pub asof_d: f64,
    pub answer: Forecast,
    /// On what the share of pupae that rest was built, for kinds in which some do.
    pub ground: Option<Ground>,
    /// The leaf it needs, where anybody knows what its kind eats.
    pub leaf: Option<LineLeaf>,
    /// What was noted of its leaf when this was made.
    leaf_log: Vec<LeafRow>,
}

impl Keeper {
    /// The forecast of a line as it stands; `None` if nobody of it is alive or
    /// nothing can be forecast.
    pub(crate) fn line_forecast(&self, look: &Look, line: &str) -> Option<Arc<LineForecast>> {
        self.forecast_at(look, line, Depth::Full)
    }

    /// The forecast that an earlier morning would have given.
    pub(crate) fn forecast_back(&self, look: &Look, line: &str) -> Option<Arc<LineForecast>> {
        self.forecast_at(look, line, Depth::Back)
    }

    fn forecast_at(&self, look: &Look, line: &str, depth: Depth) -> Option<Arc<LineForecast>> {
        let quarter = look.at.as_second().div_euclid(QUARTER_SECONDS);
        let key = (line.to_owned(), quarter, depth);
        {
            let mut remembered = self.remembered();
            let now = self.entries().len() as u64;
            if remembered.entries != now || remembered.made.len() > 500 {
                (remembered.entries, remembered.made) = (now, BTreeMap::new());
            }
            if let Some(made) = remembered.made.get(&key) {
                return made.clone();
            }
        }
        let asof = Timestamp::from_second(quarter * QUARTER_SECONDS).unwrap_or(look.at);
        let made = self.make_forecast(look, line, asof, depth);
        let mut remembered = self.remembered();
        if let Some(made) = &made {
            remembered.latest.insert((line.to_owned(), depth), made.clone());
        }
        remembered.made.insert(key, made.clone());
        made
    }

    fn make_forecast(
        &self,
        look: &Look,
        line: &str,
        asof: Timestamp,
        depth: Depth,
    ) -> Option<Arc<LineForecast>> {
        let house = &look.house;
        let known = self.profile_of(house, line);
        let profile = known.or_else(|| self.library().profile(UNKNOWN_KIND))?;
        let numbers = HouseNumbers::of(self.library());
        let winter = winter_of(profile, house, line, |day| self.midnight(day));
        let mut model = brood_model(profile, &numbers, winter)?;
        let asof_d = day_number(asof);
        let air = self.air_of(look, line)?;
        let mut alive = alive(profile, &model, house, line, asof);
        let ended_d = match self.egg_rest(look, profile, line) {
            // The clock says nothing of eggs that rest.
            Some(EggRest::Resting) => return None,
            Some(EggRest::Ended(ended_d)) => Some(ended_d),
            None => None,
        };
        if let Some(ended_d) = ended_d {
            begin_at(&mut alive.living, ended_d, asof_d);
        }
        if alive.living.groups.is_empty() {
            return None;
        }
        let book = alive.living.groups.clone();
        let mut living = alive.living;
        // The stories of very many animals take long and tell the brood's pace no better.
        let learns = house.received(line) <= LEARNED_FROM;
        if learns {
            living.groups.clear();
            let mut tracked = followed(profile, &model, house, line, &mut alive.boxes, asof);
            if let Some(ended_d) = ended_d {
                began_at(&mut tracked, ended_d, asof_d);
            }
            living.tracked = vec![tracked];
        } else {
            learn_survival(&mut model, profile, house, line);
        }
        let from_d = earliest_d(house, line, asof_d).min(living.earliest_d(asof_d));
        let resting = self.resting_of(look, (profile, line), &model, &air, from_d);
        let ground = resting.as_ref().map(|it| it.1);
        if let Some((diapause, _)) = resting {
            // Moths of stories are in them already.
            living.came_out = if learns { Vec::new() } else { came_out(house, line) };
            living.resting = Some(diapause);
        }
        let leaf_log: Vec<LeafRow> = house.leaf.iter().filter(|it| it.line == line).cloned().collect();
        let same = |it: &&Arc<LineForecast>| {
            it.model == model
                && (it.asof_d - asof_d).abs() < 1e-9
                && it.boxes == alive.boxes
                && it.book == book
                && it.living == living
                && it.air.series == air.series
                && it.air.place == air.place
                && it.leaf_log == leaf_log
        };
        if learns {
            let remembered = self.remembered();
            if let Some(it) = remembered.latest.get(&(line.to_owned(), depth)).filter(same) {
                return Some(it.clone());
            }
        }
        let clocks = self.clocks_of(&model, &air, from_d, asof_d)?;
        if !learns {
            shown(&mut living, profile, &model, &clocks, house, line);
            if profile.winter.rest == evidence::Rest::Egg {
                // From laying to hatching lies a winter, which shows no pace.
                living.passed.retain(|it| it.stage != 0);
            }
        }
        let animals = u32::try_from(living.animals()).unwrap_or(u32::MAX).max(1);
        let runs = match depth {
            Depth::Full => RUNS.min(LIVES / animals).max(RUNS_LEAST),
            Depth::Back => RUNS_BACK,
        };
        let ask = Ask { runs, seed: self.seed(), threads: 2 };
        let (answer, leaf) = {
            let simulator = Simulator::new(&model, &clocks, &living, ask).ok()?;
            let leaf = match depth {
                Depth::Full => line_leaf(profile, &model, &clocks, &simulator, house, line),
                Depth::Back => None,
            };
            (simulator.forecast(), leaf)
        };
        let (boxes, stand_in) = (alive.boxes, known.is_none());
        let line = line.to_owned();
        Some(Arc::new(LineForecast {
            line,
            profile,
            stand_in,
            model,
            clocks,
            living,
            book,
            boxes,
            air,
            asof_d,
            answer,
            ground,
            leaf,
            leaf_log,
        }))
    }

    /// A moment of a forecast on the keeper's wall, to the minute.
    pub(crate) fn moment(&self, at_d: f64) -> DateTime {
        let wall = self.on_the_wall(instant_of(at_d));
        wall.date().at(wall.hour(), wall.minute(), 0, 0)
    }

    pub(crate) fn dates(&self, it: &Quantiles) -> DateRange {
        DateRange {
            q05: self.moment(it.q05),
            q10: self.moment(it.q10),
            q25: self.moment(it.q25),
            q50: self.moment(it.q50),
            q75: self.moment(it.q75),
            q90: self.moment(it.q90),
            q95: self.moment(it.q95),
        }
    }

    /// How to get an answer again.
    pub(crate) fn receipt(&self, look: &Look, model: &str, runs: u32) -> Receipt {
        Receipt {
            version: concat!("cocoonery ", env!("CARGO_PKG_VERSION")).to_owned(),
            model: model.to_owned(),
            entries: look.entries,
            seed: self.seed(),
            runs,
        }
    }

    /// What is due in one box today.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub(crate) fn box_outlook(&self, look: &Look, it: &RearingBox) -> Result<BoxOutlook, Failure> {
        let mut outlook = BoxOutlook::default();
        for line in it.lines() {
            let Some(made) = self.line_forecast(look, line) else { continue };
            let Some(scope) = made.scope_of(&it.name) else { continue };
            outlook.in_moult.extend(self.in_moult(&made, scope));
            let tomorrow_d = made.asof_d + 1.0;
            // Worth opening for: at least one chance in four that somebody moves on today.
            let due = |entry: &&StageEntry| entry.first.q25 <= tomorrow_d;
            for entry in scope.stages.iter().filter(due) {
                match made.model.stages.get(entry.stage).map(|it| it.kind) {
                    Some(StageKind::Larva) => outlook.moves_on_today = true,
                    Some(StageKind::Spinning) => outlook.spins_today = true,
                    _ => {}
                }
            }
            outlook.moved_by_now += moved_by_now(&made, scope, &it.name);
            // Leaf for those who may hatch today belongs into the box that they are put into.
            let feeds = it.by_stage().keys().any(|stage| stage.is_larva());
            if let Some(leaf) = self.leaf_of_box(look, &made, &it.name).filter(|_| feeds) {
                outlook.leaf_today = Some(outlook.leaf_today.unwrap_or_default() + leaf);
            }
        }
        Ok(outlook)
    }

    /// Who sits still in a scope, stage by stage.
    pub(crate) fn in_moult(&self, made: &LineForecast, scope: &Scope) -> Vec<InMoult> {
        scope
            .moult
            .iter()
            .filter_map(|moult| {
                let stage = Stage::Larva(u8::try_from(moult.stage).ok()?);
                let about_n = moult.sleepers_q50.round().max(0.0) as u32;
                let until = self.moment(moult.until_q50_d);
                (moult.share > 0.05 && made.model.stages.get(moult.stage).is_some()).then_some(InMoult {
                    stage,
                    share: moult.share,
                    about_n,
                    until,
                })
            })
            .collect()
    }
}

impl LineForecast {
    /// The answer for one box.
    pub fn scope_of(&self, name: &str) -> Option<&Scope> {
        let index = self.boxes.iter().position(|it| it == name)?;
        self.answer.boxes.iter().find(|it| it.box_index == Some(index))
    }

    /// What the models call a stage, in the words of the bench.
    pub fn stage_word(&self, stage: usize) -> String {
        match self.model.stage_name(stage) {
            "egg" => "eggs".to_owned(),
            "moth" => "moths".to_owned(),
            other => other.to_owned(),
        }
    }
}

/// How many steps the animals of a box are expected to have made that the book does not know of.
fn moved_by_now(made: &LineForecast, scope: &Scope, name: &str) -> f64 {
    let Some(index) = made.boxes.iter().position(|it| it == name) else { return 0.0 };
    let in_book = |stage: usize| -> f64 {
        let here = made.book.iter().filter(|it| it.box_index == index && it.stage >= stage);
        here.map(|it| f64::from(it.n)).sum()
    };
    let expected =
        |stage: usize| -> f64 { scope.now.iter().filter(|it| it.stage >= stage).map(|it| it.mean).sum() };
    // Only moults and spinning are seen at the bench; who dies meanwhile takes nothing away from who moved.
    let seen = 1..made.model.moth().saturating_sub(1);
    seen.map(|stage| (expected(stage) - in_book(stage)).max(0.0)).sum()
}

/// What is due in a box today.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct BoxOutlook {
    pub in_moult: Vec<InMoult>,
    pub leaf_today: Option<LeafRange>,
    pub moves_on_today: bool,
    pub spins_today: bool,
    /// How many have moved on since the box was last looked at, expected.
    pub moved_by_now: f64,
}

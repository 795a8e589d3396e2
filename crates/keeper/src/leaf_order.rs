//! How much leaf?

use crate::book::{Keeper, Look};
use crate::failure::Failure;
use crate::forecasts::LineForecast;
use crate::rests;
use crate::round::holds;
use crate::say;
use crate::state::day_number;
use crate::view::LeafRange;
use crate::view::leaf::{Leaf, LeafOfBox, Tradition};
use evidence::{Grade, Profile};
use jiff::civil::Date;
use rearing::House;
use rearing::house::LeafRow;
use science::feeding::{
    Appetite, Cut, Eaten, LeafBelief, LeafNeed, LeafPlan, LogNormal, OwnLeaf, Spread, leaf_plan,
};
use science::phenology::{BroodModel, Clocks, Simulator, StageKind};
use std::collections::BTreeMap;

/// What the receipts call the model.
const MODEL: &str = "leaf order 1";
/// Less than this for a box and day is no leaf to cut.
const WORTH_CUTTING_G: f64 = 0.05;
/// Nine in ten of a normal distribution lie within so many deviations.
const Z90: f64 = 1.645;

/// The leaf of one line.
pub(crate) struct LineLeaf {
    pub plan: LeafPlan,
    pub own: Option<OwnLeaf>,
}

/// The leaf of a line; `None` if nobody knows what its kind eats, or nobody eats.
pub(crate) fn line_leaf(
    profile: &Profile,
    model: &BroodModel,
    clocks: &Clocks,
    simulator: &Simulator<'_>,
    house: &House,
    line: &str,
) -> Option<LineLeaf> {
    let appetite = appetite_of(profile, model)?;
    let own = own_leaf(house, line, profile, clocks, &appetite);
    let belief = LeafBelief::new(&appetite, own);
    let plan = leaf_plan(simulator, &appetite, belief, clocks.asof_d()).ok()?;
    Some(LineLeaf { plan, own })
}

/// What a larva of this kind eats, and what must be cut so that it can.
fn appetite_of(profile: &Profile, model: &BroodModel) -> Option<Appetite> {
    let eaten = profile.leaf.eaten_fresh_g.as_ref()?;
    let shares = profile.leaf.by_instar.as_ref()?;
    let waste = profile.leaf.waste_share.as_ref()?;
    let mut instars = shares.values.iter();
    let stage_share: Vec<f64> = model
        .stages
        .iter()
        .map(|it| if it.kind == StageKind::Larva { instars.next().copied().unwrap_or(0.0) } else { 0.0 })
        .collect();
    let per_eaten = |waste: f64| 1.0 / (1.0 - waste);
    let (low, high) = (per_eaten(waste.low), per_eaten(waste.high));
    Some(Appetite {
        life_eaten_g: LogNormal { median: eaten.median, log_sd: eaten.log_sd },
        stage_share,
        cut_per_eaten: LogNormal { median: (low * high).sqrt(), log_sd: (high / low).ln() / (2.0 * Z90) },
    })
}

/// What the keeper's own leaf log shows, beside what the model would have expected of the same larvae.
fn own_leaf(
    house: &House,
    line: &str,
    profile: &Profile,
    clocks: &Clocks,
    appetite: &Appetite,
) -> Option<OwnLeaf> {
    let rows = || house.leaf.iter().filter(|it| it.line == line && it.told.left_fresh_g.is_some());
    let dried: Vec<f64> = rows().filter_map(drying_share).collect();
    let dried_mean = if dried.is_empty() { 0.0 } else { dried.iter().sum::<f64>() / dried.len() as f64 };
    let mut own = OwnLeaf { modelled_eaten_g: 0.0, gone_g: 0.0, offered_g: 0.0, instars_early: 0.0 };
    let last = usize::from(profile.instars.count);
    for row in rows() {
        let Some(index) = row.stage.and_then(|stage| crate::model::stage_index(profile, stage)) else {
            continue;
        };
        // The share of the stage that passed in the day before the leaf was changed.
        let at_d = day_number(row.at);
        let passed = clocks.units_at(index, 0, at_d) - clocks.units_at(index, 0, at_d - 1.0);
        let stage_d = clocks.need(index) / passed;
        let Some(per_larva_g) = appetite.per_day_g(index, stage_d).filter(|it| it.is_finite()) else {
            continue;
        };
        let modelled_g = f64::from(row.larvae) * per_larva_g;
        own.modelled_eaten_g += modelled_g;
        own.instars_early += modelled_g * last.saturating_sub(index) as f64;
        own.offered_g += row.told.offered_fresh_g;
        let share = drying_share(row).unwrap_or(dried_mean);
        // The leftover had dried: it stands for more fresh leaf than it weighs.
        let left_fresh_g = row.told.left_fresh_g.unwrap_or(0.0) / (1.0 - share);
        own.gone_g += (row.told.offered_fresh_g - left_fresh_g).max(0.0);
    }
    own.instars_early /= own.modelled_eaten_g;
    (own.modelled_eaten_g > 0.0 && own.gone_g > 0.0).then_some(own)
}

/// The share that a leaf loses by drying alone, where a control leaf lay beside it.
fn drying_share(row: &LeafRow) -> Option<f64> {
    let (fresh, after) = row.told.control_fresh_g.zip(row.told.control_after_g)?;
    let share = 1.0 - after / fresh;
    (fresh > 0.0 && (0.0..0.9).contains(&share)).then_some(share)
}

impl Keeper {
    /// The leaf order of the house.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn leaf(&self) -> Result<Leaf, Failure> {
        Ok(self.leaf_of(&self.look()))
    }

    /// Leaf to cut today for one box.
    pub(crate) fn leaf_of_box(&self, _: &Look, made: &LineForecast, name: &str) -> Option<LeafRange> {
        let index = made.boxes.iter().position(|it| it == name)?;
        let plan = &made.leaf.as_ref()?.plan;
        let it = plan.boxes.iter().find(|it| it.box_index == index)?;
        let range = cut(&it.today);
        (range.q90 > WORTH_CUTTING_G).then_some(range)
    }

    pub(crate) fn leaf_of(&self, look: &Look) -> Leaf {
        let mut sum = Sums::default();
        let (mut boxes, mut lines, mut rests_on, mut warnings) =
            (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        let (mut own_rate, mut keeps, mut waste) = (Vec::new(), String::new(), String::new());
        let mut traditions: Vec<Tradition> = Vec::new();
        let mut runs = 0;
        for line in look.house.lines() {
            let Some(made) = self.line_forecast(look, &line) else { continue };
            runs = runs.max(made.answer.ask.runs);
            traditions.extend(self.traditions(made.profile, &traditions));
            let Some(leaf) = &made.leaf else {
                if look.house.alive(&line).keys().any(|it| it.is_larva()) {
                    warnings.push(format!("What line {line} eats is not known: nothing is ordered for it."));
                }
                continue;
            };
            sum.add(&leaf.plan, |at_d| self.moment(at_d).date());
            for (index, name) in made.boxes.iter().enumerate() {
                let plan = leaf.plan.boxes.iter().find(|it| it.box_index == index);
                if let (Some(plan), Ok(it)) = (plan, look.house.open_box(name))
                    && plan.today.cut.0.q90 > WORTH_CUTTING_G
                {
                    let today = cut(&plan.today);
                    boxes.push(LeafOfBox {
                        name: name.clone(),
                        line: line.clone(),
                        holds: holds(it),
                        plant: it.plant.clone(),
                        today,
                    });
                }
            }
            lines.push((line.clone(), cut(&leaf.plan.to_spinning)));
            own_rate.extend(leaf.own.map(|own| own_rate_in_words(&line, &own)));
            rests_on.extend(rests::on_own_notes(look, &made));
            rests_on.extend(rests::on_profile(self.library(), made.profile, &["leaf"]));
            keeps = made.profile.leaf.keeps_d.as_ref().map_or_else(String::new, keeps_in_words);
            waste = made.profile.leaf.waste_share.as_ref().map_or_else(String::new, |it| {
                format!(
                    "Of cut leaf {:.0} to {:.0} of 100 g are not eaten; your own log narrows that.",
                    it.low * 100.0,
                    it.high * 100.0
                )
            });
            if leaf.own.is_none() {
                warnings.push(format!("No leaf of line {line} was weighed back yet: the order rests on what was read elsewhere and is wide."));
            }
        }
        Leaf {
            now: look.wall,
            notice: self.notice(),
            says: order_in_words(&sum),
            today: sum.today,
            three_days: sum.three_days,
            week: sum.week,
            to_spinning: sum.to_spinning,
            eaten_to_spinning: sum.eaten_to_spinning,
            peak: sum.peak(),
            days: sum.days.into_iter().collect(),
            boxes,
            lines,
            keeps,
            waste,
            traditions,
            own_rate: (!own_rate.is_empty()).then(|| own_rate.join(" ")),
            warnings,
            cautions: vec![
                "Only leaf from plants you know are not sprayed; new nursery plants, flea-treated pets and mosquito spraying can kill a box overnight.".to_owned(),
                "Try doubtful leaf on one or two larvae first; no trial is proof.".to_owned(),
                "Keep clippings of castor, cherry, laurel, privet and rhododendron from children and grazing animals.".to_owned(),
            ],
            rests_on,
            receipt: self.receipt(look, MODEL, runs),
        }
    }

    /// The published figures for a larva's whole leaf, each with what it measures.
    fn traditions(&self, profile: &Profile, known: &[Tradition]) -> Vec<Tradition> {
        let own = |species: Option<&str>| species == Some(profile.latin.as_str());
        let claims = self.library().claims.iter().filter(|it| it.quantity == "leaf_fresh_g_per_larva");
        let mut rows: Vec<&evidence::Claim> = claims.filter(|it| it.grade != Grade::Judgement).collect();
        rows.sort_by_key(|it| !own(it.species.as_deref()));
        let rows = rows.into_iter().map(|it| Tradition {
            figure: it.shown(),
            basis: it.basis.clone(),
            species: it.species.clone().unwrap_or_else(|| "not said".to_owned()),
            source: {
                let sources: Vec<String> = it
                    .sources
                    .iter()
                    .map(|key| {
                        self.library().source(key).map_or_else(|| key.clone(), evidence::Source::short)
                    })
                    .collect();
                say::list(&sources)
            },
            grade: it.grade.letter().to_owned(),
        });
        rows.filter(|it| !known.contains(it)).collect()
    }
}

/// Sums over lines. Quantiles are added as if the lines' errors went together,
/// which they mostly do: the room and the season are one. That is the wide side.
#[derive(Default)]
struct Sums {
    today: LeafRange,
    three_days: LeafRange,
    week: LeafRange,
    to_spinning: LeafRange,
    eaten_to_spinning: LeafRange,
    days: BTreeMap<Date, LeafRange>,
}

impl Sums {
    fn add(&mut self, plan: &LeafPlan, date: impl Fn(f64) -> Date) {
        self.today = self.today + cut(&plan.today);
        self.three_days = self.three_days + cut(&plan.three_days);
        self.week = self.week + cut(&plan.week);
        self.to_spinning = self.to_spinning + cut(&plan.to_spinning);
        self.eaten_to_spinning = self.eaten_to_spinning + eaten(&plan.to_spinning);
        for day in plan.days.iter().filter(|it| it.need.cut.0.q90 > 0.0) {
            let sum = self.days.entry(date(day.begins_d)).or_default();
            *sum = *sum + cut(&day.need);
        }
    }

    fn peak(&self) -> Option<(Date, LeafRange)> {
        let highest = self.days.iter().max_by(|a, b| a.1.q50.total_cmp(&b.1.q50))?;
        Some((*highest.0, *highest.1))
    }
}

fn cut(need: &LeafNeed) -> LeafRange {
    let Cut(spread) = need.cut;
    range(&spread)
}

fn eaten(need: &LeafNeed) -> LeafRange {
    let Eaten(spread) = need.eaten;
    range(&spread)
}

fn range(spread: &Spread) -> LeafRange {
    LeafRange { q10: spread.q10, q50: spread.q50, q90: spread.q90 }
}

/// The order that is enough in nine of ten cases, and what would do in half.
fn order_in_words(sum: &Sums) -> String {
    if sum.to_spinning.q90 <= 0.0 {
        return "Nobody eats: no leaf to cut.".to_owned();
    }
    format!(
        "Cut {} today: enough in 9 of 10 cases; {} would do in half. For the week {}, until all have spun {}.",
        say::mass(sum.today.q90),
        say::mass(sum.today.q50),
        say::mass(sum.week.q90),
        say::mass(sum.to_spinning.q90)
    )
}

fn own_rate_in_words(line: &str, own: &OwnLeaf) -> String {
    let times = own.gone_g / own.modelled_eaten_g;
    let than = match times {
        it if it > 1.1 => format!("{it:.1} times what the profile would have expected"),
        it if it < 0.9 => format!("{:.0} of 100 parts of what the profile would have expected", it * 100.0),
        _ => "about what the profile would have expected".to_owned(),
    };
    format!(
        "So far line {line} was offered {} and ate {} of it, {than}.",
        say::mass(own.offered_g),
        say::mass(own.gone_g)
    )
}

fn keeps_in_words(it: &evidence::NumberRange) -> String {
    format!(
        "Cut leaf keeps {:.0} to {:.0} days in a closed bag in the cool; limp leaf is bad leaf.",
        it.low, it.high
    )
}

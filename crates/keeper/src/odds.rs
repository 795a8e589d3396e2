//! Will this generation close, and what would help?

use crate::book::{Keeper, Look};
use crate::failure::Failure;
use crate::forecasts::{LineForecast, MODEL};
use crate::levers::levers;
use crate::rests;
use crate::say;
use crate::state::day_number;
use crate::view::odds::{Odds, OddsThen};
use jiff::ToSpan;
use jiff::civil::Date;
use rearing::house::Loss;
use science::closing::{self, Never, OddsAsk};
use science::phenology::{Moth, Quantiles, Sex};
use terms::{Probability, Stage};

/// How many earlier mornings the history shows.
const HISTORY_DAYS: i64 = 60;
/// How many of them at most.
const HISTORY_ROWS: usize = 6;

impl Keeper {
    /// The odds of a line; `Ok(None)` if the book has no such line.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn odds(&self, line: &str) -> Result<Option<Odds>, Failure> {
        let look = self.look();
        if !look.house.lines().iter().any(|it| it == line) {
            return Ok(None);
        }
        let made = self.line_forecast(&look, line);
        let runs = made.as_ref().map_or(0, |it| it.answer.ask.runs);
        let (notice, receipt, line_name) = (self.notice(), self.receipt(&look, MODEL, runs), line.to_owned());
        let Some(made) = made else {
            return Ok(Some(Odds {
                now: look.wall,
                notice,
                line: line_name,
                chance: 0.0,
                standard_error: 0.0,
                of_twenty: 0,
                says: "Nobody of this line is alive: this generation is closed or lost.".to_owned(),
                reasons: Vec::new(),
                levers: Vec::new(),
                history: Vec::new(),
                males: (0, 0, 0),
                females: (0, 0, 0),
                when: None,
                warnings: Vec::new(),
                rests_on: Vec::new(),
                receipt,
            }));
        };
        let ask = self.one_pair(&look);
        let chance = self.chance(&look, &made);
        let answer = closing::odds(&made.answer.seasons, ask);
        let (males, females) = (flying(&made, Sex::Male), flying(&made, Sex::Female));
        let mut rests_on = rests::on_own_notes(&look, &made);
        rests_on.extend(rests::on_profile(self.library(), made.profile, &["moths", "winter"]));
        Ok(Some(Odds {
            now: look.wall,
            notice,
            line: line_name,
            chance: answer.probability,
            standard_error: answer.standard_error,
            of_twenty: chance.of_twenty(),
            says: in_words(chance, answer.never, runs),
            reasons: reasons(&look, &made, males, females),
            levers: levers(&made, ask),
            history: self.history(&look, line)?,
            males,
            females,
            when: self.when_both(&made),
            warnings: self.warnings(&look, &made),
            rests_on,
            receipt,
        }))
    }

    /// One pair that is alive together at ten in the evening on the keeper's wall.
    fn one_pair(&self, look: &Look) -> OddsAsk {
        let evening_d = day_number(self.instant(look.today().at(22, 0, 0, 0)));
        OddsAsk { evening_share: evening_d.rem_euclid(1.0), ..OddsAsk::ONE_PAIR }
    }

    /// The chance that a male and a female of a line fly on the same night.
    pub(crate) fn chance(&self, look: &Look, made: &LineForecast) -> Probability {
        let ask = self.one_pair(look);
        let answer = closing::odds(&made.answer.seasons, ask);
        Probability::new(answer.probability).unwrap_or(Probability::NEVER)
    }

    /// The odds on those earlier mornings on which something had happened, and now.
    fn history(&self, look: &Look, line: &str) -> Result<Vec<OddsThen>, Failure> {
        let began = look.house.lots.values().filter(|it| it.told.line == line).map(|it| it.at).min();
        let mut mornings: Vec<(Date, String)> = (1..=HISTORY_DAYS)
            .filter_map(|back| look.today().checked_sub(back.days()).ok())
            .filter(|day| began.is_some_and(|began| began < self.morning_of(*day)))
            .filter_map(|day| Some((day, because(&look.house.losses, line, day)?)))
            .take(HISTORY_ROWS)
            .collect();
        mornings.reverse();
        let mut history: Vec<OddsThen> = Vec::new();
        for (on, because) in mornings {
            let then = self.look_back(self.morning_of(on))?;
            let Some(made) = self.forecast_back(&then, line) else { continue };
            history.push(OddsThen { on, chance: self.chance(&then, &made).as_f64(), because });
        }
        if let Some(made) = self.line_forecast(look, line) {
            let (on, chance) = (look.today(), self.chance(look, &made).as_f64());
            history.push(OddsThen { on, chance, because: "now".to_owned() });
        }
        Ok(history)
    }

    /// The days on which both sexes fly, in the middle of all seasons that close.
    fn when_both(&self, made: &LineForecast) -> Option<String> {
        let seasons = &made.answer.seasons;
        let mut first: Vec<f64> =
            (0..seasons.runs()).filter_map(|run| first_both(seasons.season(run))).collect();
        let first = Quantiles::of(&mut first)?;
        let mut days = say::Days::seen_from(self.moment(made.asof_d).date());
        let mut day = |at_d: f64| days.say(self.moment(at_d).date());
        Some(format!(
            "The first such night is about {}; in 8 of 10 seasons that close between {} and {}.",
            day(first.q50),
            day(first.q10),
            day(first.q90)
        ))
    }
}

/// What the losses of the day before a morning were.
fn because(losses: &[Loss], line: &str, day: Date) -> Option<String> {
    let eve = day.yesterday().ok()?;
    let lost: u32 = losses
        .iter()
        .filter(|it| it.line == line && it.on == eve && it.stage != Stage::Moth)
        .map(|it| it.n)
        .sum();
    (lost > 0).then(|| format!("{lost} lost on {}", say::day(eve)))
}

fn living_moths(season: &[Moth]) -> impl Iterator<Item = &Moth> {
    season.iter().filter(|it| !it.taken && it.spare.is_none())
}

/// How many of a sex come out: 1 of 10, middle, 9 of 10.
fn flying(made: &LineForecast, sex: Sex) -> (u32, u32, u32) {
    let seasons = &made.answer.seasons;
    let mut numbers: Vec<f64> = (0..seasons.runs())
        .map(|run| living_moths(seasons.season(run)).filter(|it| it.sex == sex).count() as f64)
        .collect();
    let n = |it: f64| it.round().max(0.0) as u32;
    Quantiles::of(&mut numbers).map_or((0, 0, 0), |it| (n(it.q10), n(it.q50), n(it.q90)))
}

/// When the middle moth of a sex comes out over all seasons.
pub(crate) fn middle_out(made: &LineForecast, sex: Sex) -> Option<f64> {
    let seasons = &made.answer.seasons;
    let mut out: Vec<f64> = (0..seasons.runs())
        .flat_map(|run| living_moths(seasons.season(run)).filter(|it| it.sex == sex).map(|it| it.out_d))
        .collect();
    Quantiles::of(&mut out).map(|it| it.q50)
}

/// The first moment at which a male and a female of a season are both alive.
fn first_both(season: &[Moth]) -> Option<f64> {
    let alive = |sex: Sex| living_moths(season).filter(move |it| it.sex == sex);
    let meetings = alive(Sex::Male).flat_map(|male| {
        alive(Sex::Female).filter_map(move |female| {
            let meet_d = male.out_d.max(female.out_d);
            let both_until_d = (male.out_d + male.nights).min(female.out_d + female.nights);
            (meet_d <= both_until_d).then_some(meet_d)
        })
    });
    meetings.min_by(f64::total_cmp)
}

fn in_words(chance: Probability, never: Option<Never>, runs: u32) -> String {
    match never {
        Some(Never::NoMale) => "It cannot close by itself: no male is left.".to_owned(),
        Some(Never::NoFemale) => "It cannot close by itself: no female is left.".to_owned(),
        Some(_) => {
            format!("In none of {runs} possible seasons do a male and a female fly on the same night.")
        }
        None if chance.of_twenty() == 20 => {
            "In all possible seasons that were run a male and a female fly on the same night.".to_owned()
        }
        None => format!(
            "In {} of 20 possible seasons a male and a female fly on the same night.",
            chance.of_twenty()
        ),
    }
}

/// Why it is not more, most weighty first.
fn reasons(
    look: &Look,
    made: &LineForecast,
    males: (u32, u32, u32),
    females: (u32, u32, u32),
) -> Vec<String> {
    let mut reasons = Vec::new();
    let alive = made.living.animals();
    let known =
        |sex: Sex| made.book.iter().filter(|it| it.sex == Some(sex)).map(|it| u64::from(it.n)).sum::<u64>();
    let (known_m, known_f) = (known(Sex::Male), known(Sex::Female));
    if known_m + known_f == alive {
        let weak = if known_f < known_m {
            format!("the {known_f} females are the weak side")
        } else {
            format!("the {known_m} males are the weak side")
        };
        reasons.push(format!("the sexes are known: {known_m} males and {known_f} females are alive; {weak}"));
    } else {
        reasons.push(format!(
            "{alive} are alive; of them {} to {} males and {} to {} females come out in 8 of 10 seasons",
            males.0, males.2, females.0, females.2
        ));
    }
    if let Some(winter) = &made.model.winter {
        reasons.push(format!(
            "moths of one brood come out over some {:.0} days, males about {:.0} days before females",
            4.0 * winter.spread_sd_d,
            winter.males_earlier_d
        ));
    }
    let nights = &made.model.moth_nights;
    reasons.push(format!(
        "a male lives some {:.0} nights, a female {:.0}",
        nights.male.mean, nights.female.mean
    ));
    let apart: Vec<String> = look
        .house
        .living_boxes()
        .filter(|it| it.set_apart.is_some() && it.lines().contains(made.line.as_str()))
        .map(|it| it.name.clone())
        .collect();
    if !apart.is_empty() {
        reasons.push(format!("{} set apart as sick", say::list(&apart)));
    }
    let lost: u32 = look
        .house
        .losses
        .iter()
        .filter(|it| it.line == made.line && it.stage != Stage::Moth)
        .map(|it| it.n)
        .sum();
    if lost > 0 {
        reasons.push(format!("{lost} of {} have been lost so far", look.house.received(&made.line)));
    }
    reasons
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use crate::demo::{Season, make_book};
    use crate::{Keeper, Opening};

    /// Ten in the evening is the keeper's: 22:00 in New York in July is two in the morning in universal time.
    #[test]
    fn the_evening_is_on_the_keepers_wall() {
        let share = |season: Season, day: &str| {
            let folder = tempfile::tempdir().unwrap();
            make_book(folder.path(), season, day.parse().unwrap()).unwrap();
            let opening = Opening { still_at: Some(day.parse().unwrap()), ..Opening::default() };
            let keeper = Keeper::open(folder.path(), &opening).unwrap();
            keeper.one_pair(&keeper.look()).evening_share * 24.0
        };
        assert!((share(Season::B, "2025-07-15") - 2.0).abs() < 1e-6);
        assert!((share(Season::A, "2025-06-01") - 21.0).abs() < 1e-6);
        assert!((share(Season::A, "2025-12-01") - 22.0).abs() < 1e-6);
        assert!((share(Season::C, "2025-08-26") - 16.5).abs() < 1e-6);
    }
}

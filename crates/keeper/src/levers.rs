//! What would help: things that could be done, ranked by what they change on the same possible seasons.

use crate::forecasts::LineForecast;
use crate::odds::middle_out;
use crate::view::odds::Lever;
use science::closing::{self, OddsAsk, Overlap, lever, overlap};
use science::phenology::{Sex, StageKind};
use terms::Probability;

/// The longest time by which cocoons of one sex are held back or brought on, days.
const SHIFT_MOST_D: u32 = 7;
/// A forecast of two sexes may be so far off, days; advice that turns then must say so.
const OFF_D: f64 = 2.0;
/// Nights that a borrowed moth is good for.
const BORROWED_NIGHTS: f64 = 5.0;
/// A lever that turns fewer of a hundred seasons than this, and adds no night, is no advice.
const WORTH_IN_100: f64 = 0.5;
/// Less than this part of a night is none; between this and nothing a keeper is told how little it is.
const WORTH_NIGHTS: f64 = 0.05;
/// A difference within so many errors of nothing is told as none.
const TOLD_APART: f64 = 2.0;

/// What would help a line, most telling first.
pub(crate) fn levers(made: &LineForecast, ask: OddsAsk) -> Vec<Lever> {
    let mut levers: Vec<(f64, f64, Lever)> = asked(made, ask)
        .into_iter()
        .map(|it| one(made, ask, it))
        .filter(|(chance, nights, _)| *chance > 0.0 || *nights > 0.0)
        .collect();
    levers.sort_by(|a, b| b.0.total_cmp(&a.0).then(b.1.total_cmp(&a.1)));
    levers.into_iter().map(|(_, _, it)| it).collect()
}

/// Something that could be done.
struct Asked {
    what: String,
    pull: closing::Lever,
    /// The same where the forecast is off by some days.
    off: Vec<closing::Lever>,
    caution: &'static str,
}

fn asked(made: &LineForecast, ask: OddsAsk) -> Vec<Asked> {
    let (males, females) = (middle_out(made, Sex::Male), middle_out(made, Sex::Female));
    let meet = |other: Option<f64>, own: Option<f64>| other.or(own).unwrap_or(made.asof_d) + 1.0;
    let borrow = |sex, from_d| closing::Lever::Borrow { sex, from_d, nights: BORROWED_NIGHTS };
    let mut asked = vec![
        Asked {
            what: "Ask the club for a male, to come when the first females are out".to_owned(),
            pull: borrow(Sex::Male, meet(females, males)),
            off: Vec::new(),
            caution: "Keep new stock apart first; note its line and parents. Fresh blood also lowers inbreeding.",
        },
        Asked {
            what: "Ask the club for a female, to come when the first males are out".to_owned(),
            pull: borrow(Sex::Female, meet(males, females)),
            off: Vec::new(),
            caution: "Keep new stock apart first; note its line and parents.",
        },
    ];
    if made.model.winter.is_some() {
        for (sex, sign, what) in [
            (
                Sex::Female,
                -1.0,
                "Bring the females\' (heavier) cocoons out of the cold, {} before the males\'",
            ),
            (Sex::Male, 1.0, "Hold the males\' (lighter) cocoons in the cold {} longer"),
            (Sex::Female, 1.0, "Hold the females\' (heavier) cocoons in the cold {} longer"),
            (Sex::Male, -1.0, "Bring the males\' (lighter) cocoons out of the cold, {} before the females\'"),
        ] {
            if let Some((fewest, days, most)) = best_days(made, ask, sex, sign) {
                let shift = |by_d: f64| closing::Lever::Shift { sex, by_d, asof_d: made.asof_d };
                let by_d = sign * f64::from(days);
                let many = crate::say::count(days as usize, "day", "days");
                let range =
                    if fewest == most { String::new() } else { format!("; {fewest} to {most} do as well") };
                asked.push(Asked {
                    what: format!("{}{range}", what.replace("{}", &many)),
                    pull: shift(by_d),
                    off: vec![shift(by_d - OFF_D), shift(by_d + OFF_D)],
                    caution: "Needs the sexes told, or guessed from weight; a wrong guess works against you.",
                });
            }
        }
    }
    if made
        .book
        .iter()
        .any(|it| made.model.stages.get(it.stage).is_some_and(|it| it.kind == StageKind::Larva))
    {
        asked.push(Asked {
            what: "Keep every box clear of disease: clean, apart, sound leaf (what that is worth at most)"
                .to_owned(),
            pull: closing::Lever::NoDisease,
            off: Vec::new(),
            caution: "Nobody can promise that; it shows how much hangs on it.",
        });
    }
    asked
}

/// By how many days one sex is best shifted: the fewest, the middle and the most of those that are as good as the best, as
/// far as the seasons tell.
fn best_days(made: &LineForecast, ask: OddsAsk, sex: Sex, sign: f64) -> Option<(u32, u32, u32)> {
    let seasons = &made.answer.seasons;
    let worth: Vec<(u32, Overlap)> = (1..=SHIFT_MOST_D)
        .map(|days| {
            let shift = closing::Lever::Shift { sex, by_d: sign * f64::from(days), asof_d: made.asof_d };
            (days, overlap(seasons, shift, ask))
        })
        .collect();
    let best = worth.iter().map(|(_, it)| it.change).fold(0.0, f64::max);
    let near = |it: &Overlap| it.change > 0.0 && it.change >= best - TOLD_APART * it.change_standard_error;
    let good: Vec<u32> = worth.iter().filter(|(_, it)| near(it)).map(|(days, _)| *days).collect();
    Some((*good.first()?, *good.get(good.len() / 2)?, *good.last()?))
}

/// A lever with what it changes: told apart from nothing, or nought.
fn one(made: &LineForecast, ask: OddsAsk, it: Asked) -> (f64, f64, Lever) {
    let seasons = &made.answer.seasons;
    let worth = lever(seasons, it.pull, ask);
    let nights = overlap(seasons, it.pull, ask);
    let per_cent = |n: u32| 100.0 * f64::from(n) / f64::from(worth.after.runs.max(1));
    let told = |change: f64, error: f64, least: f64| {
        if change >= least && change > TOLD_APART * error { change } else { 0.0 }
    };
    let chance = told(100.0 * worth.change, 100.0 * worth.change_standard_error, WORTH_IN_100);
    let more = told(nights.change, nights.change_standard_error, WORTH_NIGHTS);
    let off: Vec<Overlap> = it.off.iter().map(|pull| overlap(seasons, *pull, ask)).collect();
    let steady = if off.is_empty() {
        ""
    } else if off.iter().any(|it| it.change < -TOLD_APART * it.change_standard_error) {
        "If the forecast of the two sexes is two days off, it does harm instead."
    } else if off.iter().all(|it| it.change > TOLD_APART * it.change_standard_error) {
        "It still helps if the forecast of the two sexes is two days off."
    } else {
        "If the forecast of the two sexes is two days off, it may change nothing, but it does no harm."
    };
    let lever = Lever {
        what: it.what,
        chance: worth.after.probability,
        of_twenty: Probability::new(worth.after.probability).unwrap_or(Probability::NEVER).of_twenty(),
        better_in_100: per_cent(worth.better),
        worse_in_100: per_cent(worth.worse),
        error_in_100: 100.0 * worth.change_standard_error,
        nights_together: (nights.before, nights.after),
        nights_error: nights.change_standard_error,
        steady: steady.to_owned(),
        caution: it.caution.to_owned(),
    };
    (chance, more, lever)
}

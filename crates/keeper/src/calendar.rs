//! When is the next moult, cocoon, moth?

use crate::air_words::air_in_words;
use crate::book::{Keeper, Look};
use crate::diapause::main_peak;
use crate::egg_rest::EggRest;
use crate::failure::Failure;
use crate::forecasts::{LineForecast, MODEL};
use crate::lines::alive;
use crate::model::stage_index;
use crate::rests;
use crate::say;
use crate::view::brood::{Brood, StageForecast, StripStage, StripState};
use jiff::civil::{Date, DateTime};
use jiff::{Timestamp, ToSpan};
use science::phenology::{Scope, StageEntry, Warning};
use terms::Stage;

impl Keeper {
    /// The calendar of a line; `Ok(None)` if the book has no such line.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn brood(&self, line: &str) -> Result<Option<Brood>, Failure> {
        let look = self.look();
        if !look.house.lines().iter().any(|it| it == line) {
            return Ok(None);
        }
        let made = self.line_forecast(&look, line);
        let lots = look.house.lots.values().filter(|it| it.told.line == line);
        let made = made.as_deref();
        let mut rests_on = Vec::new();
        if let Some(made) = made {
            rests_on.extend(rests::on_own_notes(&look, made));
            let stages: Vec<&str> = made.model.stages.iter().map(|it| it.name.as_str()).collect();
            let parts: Vec<&str> = stages.into_iter().chain(["larva", "pace", "winter", "moths"]).collect();
            rests_on.extend(rests::on_profile(self.library(), made.profile, &parts));
        }
        let rest = made.and_then(|made| self.rest_forecast(&look, made));
        let mut stages = made.map(|made| self.stage_forecasts(made, &made.answer.brood)).unwrap_or_default();
        // The moths of two peaks have no middle: their sentence names both.
        if let Some(rest) = rest.as_ref().filter(|it| it.peaks.len() > 1)
            && let Some(moths) = stages.iter_mut().find(|it| it.name == "moth")
        {
            moths.says = rest.peaks.iter().map(|it| it.says.as_str()).collect::<Vec<_>>().join(" ");
        }
        Ok(Some(Brood {
            now: look.wall,
            notice: self.notice(),
            line: line.to_owned(),
            species: self.species_of(&look.house, line),
            since: lots.clone().map(|it| it.received).min().unwrap_or(look.today()),
            received: look.house.received(line),
            alive: alive(&look.house, line),
            boxes: look.house.living_boxes().filter(|it| it.lines().contains(line)).count(),
            strip: self.strip(&look, line, made),
            stages,
            in_moult: made.map(|made| self.in_moult_by_box(made)).unwrap_or_default(),
            moved: made.and_then(|made| self.moved(&look, made)),
            by_box: made.map(|made| self.next_by_box(made)).unwrap_or_default(),
            rest,
            warnings: made
                .map_or_else(|| vec![self.why_no_forecast(&look, line)], |made| self.warnings(&look, made)),
            rests_on,
            receipt: self.receipt(&look, MODEL, made.map_or(0, |it| it.answer.ask.runs)),
        }))
    }

    /// One forecast for every stage that somebody has still to enter.
    pub(crate) fn stage_forecasts(&self, made: &LineForecast, scope: &Scope) -> Vec<StageForecast> {
        // What nobody sees, pupation in the cocoon, is over for all at some time.
        let open = |it: &&StageEntry| it.last.q95 > made.asof_d;
        scope.stages.iter().filter(open).map(|it| self.stage_forecast(made, it)).collect()
    }

    pub(crate) fn stage_forecast(&self, made: &LineForecast, it: &StageEntry) -> StageForecast {
        let name = made.model.stage_name(it.stage).to_owned();
        let dots = |days: &[f64]| days.iter().map(|at_d| self.moment(*at_d)).collect();
        let entering = self.dates(&it.entering);
        let n = |share: f64| share.round().max(0.0) as u32;
        StageForecast {
            verb: verb(&name),
            first: self.dates(&it.first),
            middle: self.dates(&it.middle),
            last: self.dates(&it.last),
            dots_20: dots(&it.dots_20_d),
            dots_50: dots(&it.dots_50_d),
            reach_of_twenty: n(it.reach_share * 20.0).min(20),
            reach_n: (n(it.reach.q10), n(it.reach.q50), n(it.reach.q90)),
            says: in_words(
                self.moment(made.asof_d).date(),
                &name,
                (entering.q50, entering.q90, entering.q95),
            ),
            entering,
            name,
        }
    }

    fn in_moult_by_box(&self, made: &LineForecast) -> Vec<(String, crate::view::round::InMoult)> {
        let scopes = made.boxes.iter().filter_map(|name| Some((name, made.scope_of(name)?)));
        scopes
            .flat_map(|(name, scope)| self.in_moult(made, scope).into_iter().map(|it| (name.clone(), it)))
            .filter(|(_, it)| it.about_n > 0)
            .collect()
    }

    fn next_by_box(&self, made: &LineForecast) -> Vec<(String, StageForecast)> {
        let scopes = made.boxes.iter().filter_map(|name| Some((name, made.scope_of(name)?)));
        scopes
            .filter_map(|(name, scope)| {
                let next = scope.stages.iter().find(|it| it.last.q95 > made.asof_d)?;
                Some((name.clone(), self.stage_forecast(made, next)))
            })
            .collect()
    }

    /// The season as a thread. What has been is told by the book, what will be by the forecast.
    fn strip(&self, look: &Look, line: &str, made: Option<&LineForecast>) -> Vec<StripStage> {
        let Some(made) = made else { return Vec::new() };
        let alive = look.house.alive(line);
        let last = made.model.moth();
        let cocoon = last.saturating_sub(2);
        let mut strip = Vec::new();
        // Spinning larva and pupa are one bead: nobody sees through the shell.
        let came = look.house.lots.values().filter(|it| it.told.line == line).map(|it| it.told.stage).min();
        let began = match came {
            Some(Stage::Cocoon) => cocoon,
            Some(stage) => stage_index(made.profile, stage).unwrap_or(0),
            None => 0,
        };
        for stage in (began..=last).filter(|it| *it != last - 1) {
            let here = |it: Stage| match it {
                Stage::Cocoon => stage == cocoon,
                other => stage_index(made.profile, other) == Some(stage),
            };
            let n: u32 = alive.iter().filter(|(it, _)| here(**it)).map(|(_, n)| n).sum();
            let later: u32 =
                alive.iter().filter(|(it, _)| self.is_after(made, **it, stage)).map(|(_, n)| n).sum();
            let total: u32 = alive.values().sum();
            let state = if n > 0 {
                StripState::Now
            } else if later == total {
                StripState::Done
            } else {
                StripState::ToCome
            };
            let name = if stage == cocoon { "cocoon".to_owned() } else { made.stage_word(stage) };
            let (from, to) = (self.middle_into(look, made, stage), None);
            strip.push(StripStage { name, state, n, from, to });
        }
        for index in 0..strip.len() {
            let next = strip.get(index + 1).and_then(|it| it.from);
            if let Some(it) = strip.get_mut(index) {
                it.to = next;
            }
        }
        strip
    }

    fn is_after(&self, made: &LineForecast, it: Stage, stage: usize) -> bool {
        let cocoon = made.model.moth().saturating_sub(2);
        match it {
            Stage::Cocoon => cocoon > stage,
            other => stage_index(made.profile, other).is_some_and(|index| index > stage),
        }
    }

    /// When the middle animal came into a stage, or will.
    fn middle_into(&self, look: &Look, made: &LineForecast, stage: usize) -> Option<DateTime> {
        if let Some(entry) = main_peak(made, stage) {
            return Some(self.moment(entry.middle.q50));
        }
        let cocoon = made.model.moth().saturating_sub(2);
        let mut seen: Vec<(Timestamp, u32)> = look
            .house
            .passages
            .iter()
            .filter(|it| it.line == made.line)
            .filter(|it| match it.stage {
                Stage::Cocoon => stage == cocoon,
                other => stage_index(made.profile, other) == Some(stage),
            })
            .map(|it| (it.seen_at, it.n))
            .collect();
        seen.sort_unstable();
        let half = seen.iter().map(|(_, n)| n).sum::<u32>().div_ceil(2);
        let mut so_far = 0;
        let middle = seen.iter().find(|(_, n)| {
            so_far += n;
            so_far >= half
        });
        let began =
            (stage == 0).then(|| look.house.lots.values().find(|it| it.told.line == made.line)).flatten();
        match began.and_then(|lot| lot.told.laid) {
            Some(laid) => Some(laid.at(21, 0, 0, 0)),
            None => middle.map(|(at, _)| self.on_the_wall(*at)),
        }
    }

    /// How the next stage's forecast moved since yesterday, and why.
    fn moved(&self, look: &Look, made: &LineForecast) -> Option<String> {
        let yesterday = self.look_back(look.at.checked_sub(24.hours()).ok()?).ok()?;
        let before = self.forecast_back(&yesterday, &made.line)?;
        let open = made.answer.brood.stages.iter().find(|it| it.last.q95 > made.asof_d)?;
        let next = main_peak(made, open.stage)?;
        let then = main_peak(&before, next.stage)?;
        let days = next.middle.q50 - then.middle.q50;
        let word = made.model.stage_name(next.stage);
        let shift = match days.abs() {
            it if it < 0.2 => return Some(format!("Into {word}: as forecast yesterday.")),
            it if it < 0.75 => "half a day".to_owned(),
            it if it < 1.5 => "a day".to_owned(),
            it => format!("{} days", it.round()),
        };
        let way = if days < 0.0 { "earlier" } else { "later" };
        Some(format!(
            "Into {word}: {shift} {way} than yesterday's forecast, {}.",
            self.why_moved(made, &before)
        ))
    }

    fn why_moved(&self, made: &LineForecast, before: &LineForecast) -> String {
        let (now, then) = (made.living.animals(), before.living.animals());
        let mean = |from_d: f64, to_d: f64| {
            let hours: Vec<f64> = (0..)
                .map(|hour| from_d + f64::from(hour) / 24.0)
                .take_while(|it| *it < to_d)
                .filter_map(|it| made.air.series.at(it))
                .collect();
            (!hours.is_empty()).then(|| hours.iter().sum::<f64>() / hours.len() as f64)
        };
        let (today, week) =
            (mean(made.asof_d - 1.0, made.asof_d), mean(made.asof_d - 8.0, made.asof_d - 1.0));
        match today.zip(week) {
            Some((today, week)) if today - week > 1.0 => {
                "the room was warmer than the week before".to_owned()
            }
            Some((today, week)) if week - today > 1.0 => {
                "the room was cooler than the week before".to_owned()
            }
            _ if now != then => "others are alive now than yesterday".to_owned(),
            _ => "after what was seen since".to_owned(),
        }
    }

    fn why_no_forecast(&self, look: &Look, line: &str) -> String {
        let rest = self.profile_of(&look.house, line).and_then(|it| self.egg_rest(look, it, line));
        match rest {
            Some(EggRest::Resting) => self.eggs_rest_in_words(),
            _ => "Nobody of this line is alive, so nothing is forecast.".to_owned(),
        }
    }

    pub(crate) fn warnings(&self, look: &Look, made: &LineForecast) -> Vec<String> {
        let mut says = Vec::new();
        if made.stand_in {
            let claimed = crate::lines::claimed_species(&look.house, &made.line);
            says.push(format!(
                "There is no profile of {claimed}: a wide one stands in for it, so every range is wide."
            ));
        }
        if made.air.place.is_none() {
            says.push("No temperature was noted: a room of 20 °C was assumed.".to_owned());
        }
        says.extend(air_in_words(made.clocks.notes(), |at_d| say::day(self.moment(at_d).date())));
        match made.profile.winter.rest {
            evidence::Rest::Facultative if made.ground.is_none() => says.push("Some pupae of this kind may rest until next spring; when those would come out is not known, so moths are forecast as if none did.".to_owned()),
            evidence::Rest::Unknown => says.push("Whether pupae of this kind rest over winter is not known: moths are forecast as if none did. Keep cocoons that stay shut.".to_owned()),
            _ => {}
        }
        for warning in &made.answer.warnings {
            says.push(match warning {
                Warning::Unlike(it) => {
                    let says = crate::brood_file::unlike_in_words(*it);
                    format!("{}{}.", says[..1].to_uppercase(), &says[1..])
                }
                Warning::FewRunsFit { .. } => {
                    "Few of the simulated seasons fit all that was counted, so the ranges are rough.".to_owned()
                }
                Warning::BeyondHorizon { .. } => {
                    "Some animals would need longer than the forecast looks ahead; it may be too cold for them.".to_owned()
                }
            });
        }
        says
    }
}

/// `Half are in L5 by 9 June, 9 in 10 by 11 June. In 1 of 20 cases later than 12 June.`
fn in_words(today: Date, name: &str, (half, nine_in_ten, late): (DateTime, DateTime, DateTime)) -> String {
    let mut days = say::Days::seen_from(today);
    let mut day = |at: DateTime| days.say(at.date());
    let (half, nine, late) = (day(half), day(nine_in_ten), day(late));
    let did = match name {
        "spinning" => "have spun".to_owned(),
        "pupa" => "are pupae".to_owned(),
        "moth" => "have come out".to_owned(),
        "L1" => "have hatched".to_owned(),
        other => format!("are in {other}"),
    };
    format!("Half {did} by {half}, 9 in 10 by {nine}. In 1 of 20 cases later than {late}.")
}

fn verb(name: &str) -> String {
    match name {
        "spinning" => "spun".to_owned(),
        "pupa" => "pupated".to_owned(),
        "moth" => "came out".to_owned(),
        "L1" => "hatched".to_owned(),
        other => format!("into {other}"),
    }
}

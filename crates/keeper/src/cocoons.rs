//! The cocoons of a line: how each is, and how they winter.

use crate::book::{Keeper, Look};
use crate::cocoon_stays::{place_of, stays, weighings};
use crate::cocoon_words::{cautions, drying_in_words, first, in_words, sex_in_words, together_in_words};
use crate::failure::Failure;
use crate::rests;
use crate::say;
use crate::state::{day_number, noon};
use crate::store_watch::{StoreAir, each_day};
use crate::view::cocoons::{CocoonRow, CocoonState, Cocoons, ColdSoFar, Store, Together};
use crate::weighed::{Weighed, sure};
use evidence::{Library, Profile, Rest, StageName};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use rearing::House;
use rearing::deed::Way;
use rearing::house::{Cocoon, CocoonGone};
use rearing::words;
use science::wintering::{Cold, DryingAsk, Span, Watch, Weighing, cold_received, warm_days_needed, watch};
use std::collections::{BTreeMap, BTreeSet};
use terms::Stage;

/// What the receipts call the model.
const MODEL: &str = "winter watch 1";
/// The name of the species profile for a kind that has none.
const UNKNOWN_KIND: &str = "generic";
/// Weight that healthy cocoons usually lose; decides only where a cocoon has no fellows.
const USUAL_LOSS: &str = "judgements/cocoon-loss";
/// By how much healthy fellows differ at least.
const LOSS_SPREAD: &str = "judgements/cocoon-loss-spread";
/// Days that a fresh pupa takes to harden.
const HARDENS: &str = "judgements/pupa-hardens";

impl Keeper {
    /// The cocoons of a line; `Ok(None)` if the book has no such line.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn cocoons(&self, line: &str) -> Result<Option<Cocoons>, Failure> {
        let look = self.look();
        if !look.house.lines().iter().any(|it| it == line) {
            return Ok(None);
        }
        let Some(profile) =
            self.profile_of(&look.house, line).or_else(|| self.library().profile(UNKNOWN_KIND))
        else {
            return Ok(None);
        };
        let bench = Bench::new(self, &look, profile, line);
        let mut rows: Vec<CocoonRow> = bench.own().map(|it| bench.row(it)).collect();
        rows.sort_by(|a, b| a.state.cmp(&b.state).then_with(|| a.cocoon.cmp(&b.cocoon)));
        let stores = bench.stores(&rows);
        let together = bench.together(&rows);
        let cold = bench.cold(&rows);
        let alive: u32 = look.house.alive(line).get(&Stage::Cocoon).copied().unwrap_or(0);
        let numbered = rows.iter().filter(|it| it.state.is_alive()).count();
        let unnumbered = alive.saturating_sub(u32::try_from(numbered).unwrap_or(u32::MAX));
        Ok(Some(Cocoons {
            now: look.wall,
            notice: self.notice(),
            line: line.to_owned(),
            says: in_words(&rows, &stores, unnumbered, cold.is_some()),
            first: first(&rows, &stores, &together),
            cautions: cautions(&rows),
            weighed_on: rows.iter().filter_map(|it| it.last_weighed.map(|(on, _)| on)).max(),
            bring_out: bench.bring_out(cold.as_ref()),
            cocoons: rows,
            unnumbered,
            together,
            stores,
            cold,
            rests_on: self.rests_of_cocoons(profile),
            receipt: self.receipt(&look, MODEL, 0),
        }))
    }

    fn rests_of_cocoons(&self, profile: &Profile) -> Vec<crate::view::RestsOn> {
        let mut rests = vec![crate::view::RestsOn {
            says: "your own weighings and thermometers; each cocoon is held against its fellows".to_owned(),
            grade: "own".to_owned(),
            source: String::new(),
        }];
        let parts = [
            "winter.store_c",
            "winter.store_weeks",
            "winter.emergence_month",
            "winter.lying_over",
            "spinning.days",
        ];
        rests.extend(rests::on_profile(self.library(), profile, &parts));
        rests.extend(
            [USUAL_LOSS, LOSS_SPREAD, HARDENS].iter().filter_map(|it| rests::on_claim(self.library(), it)),
        );
        rests
    }
}

/// The weighings of a cocoon with the place it lay at, and the same as the science wants them.
type OnScale<'a> = (Vec<(Date, f64, &'a str)>, Vec<Weighing>);

/// Everything a row of the page is made from.
struct Bench<'a> {
    keeper: &'a Keeper,
    look: &'a Look,
    profile: &'a Profile,
    line: &'a str,
    weighed: Option<Weighed>,
    ask: DryingAsk,
    hardens_d: f64,
    /// Weighings of every cocoon of the kind, with the place it lay at by day.
    kin: BTreeMap<&'a str, OnScale<'a>>,
}

impl<'a> Bench<'a> {
    fn new(keeper: &'a Keeper, look: &'a Look, profile: &'a Profile, line: &'a str) -> Bench<'a> {
        let house = &look.house;
        let same_kind = |lot: &str| {
            let of = house.lots.get(lot).and_then(|it| keeper.profile_of(house, &it.told.line));
            of.map_or(UNKNOWN_KIND, |it| it.slug.as_str()) == profile.slug
        };
        let kin = house
            .cocoons
            .iter()
            .filter(|(_, it)| same_kind(&it.told.lot))
            .map(|(name, it)| {
                let days = weighings(keeper, house, it, look.today());
                let scale = on_scale(&days);
                (name.as_str(), (days, scale))
            })
            .collect();
        let claim = |id: &str| claimed(keeper.library(), id);
        Bench {
            keeper,
            look,
            profile,
            line,
            weighed: Weighed::of(house, line),
            ask: DryingAsk::usual(claim(LOSS_SPREAD).0 / 100.0, claim(USUAL_LOSS).1 / 100.0 / 30.0),
            hardens_d: claim(HARDENS).1,
            kin,
        }
    }

    fn house(&self) -> &'a House {
        &self.look.house
    }

    fn own(&self) -> impl Iterator<Item = &'a Cocoon> {
        let (house, line) = (self.house(), self.line);
        let of_line = move |lot: &str| house.lots.get(lot).is_some_and(|it| it.told.line == line);
        house.cocoons.values().filter(move |it| of_line(&it.told.lot))
    }

    fn row(&self, it: &Cocoon) -> CocoonRow {
        let told = &it.told;
        let mine = self.kin.get(told.cocoon.as_str()).map_or(&[][..], |(days, _)| days.as_slice());
        let (flagged_on, now) = self.watched(&told.cocoon, mine);
        let safe_from = self.safe_from(it);
        let female_chance =
            sure(told.sex).or_else(|| self.weighed.as_ref()?.female_chance(told.cocoon_fresh_g?));
        let drying = matches!(now, Watch::Drying(_));
        let (state, says) = self.state(it, drying, now.span(), safe_from);
        let whole = span_whole(now.span(), mine, || self.whole(&told.cocoon, mine));
        let lies_in = it.lies_in.clone().unwrap_or_default();
        let here =
            it.lies_in.as_ref().and_then(|_| stays(self.keeper, self.house(), it, self.look.today()).pop());
        let place = here.map_or_else(String::new, |it| it.place.to_owned());
        CocoonRow {
            cocoon: told.cocoon.clone(),
            lot: told.lot.clone(),
            sex: sex_in_words(told.sex, female_chance),
            female_chance,
            state,
            says,
            spun_on: told.spun_on,
            first_weighed: mine.first().map(|(on, g, _)| (*on, *g)),
            last_weighed: mine.last().map(|(on, g, _)| (*on, *g)),
            lost: whole.map(|it| it.lost),
            fellows_lost: whole.and_then(|it| it.fellows_lost),
            fellows: whole.map_or(0, |it| it.fellows),
            flagged_on,
            lies_in: (lies_in, place),
            safe_from,
            shell_ratio: shell_ratio(it),
            cold_d: self.cold_of(it).filter(|cold| cold.known_d > 0).map(|cold| cold.cold_d),
        }
    }

    /// On which weighing it first stood out, and how it stands at its last.
    fn watched(&self, name: &str, mine: &[(Date, f64, &str)]) -> (Option<Date>, Watch) {
        let judged: Vec<(Date, Watch)> =
            (2..=mine.len()).map(|until| (mine[until - 1].0, self.judge(name, &mine[..until]))).collect();
        let flagged = judged.iter().find(|(_, it)| matches!(it, Watch::Drying(_))).map(|(on, _)| *on);
        (flagged, judged.last().map_or(Watch::Unknown, |(_, it)| *it))
    }

    /// A cocoon on its last weighing day against those that were weighed at the same place by then.
    fn judge(&self, name: &str, mine: &[(Date, f64, &str)]) -> Watch {
        let Some((today, _, place)) = mine.last() else { return Watch::Unknown };
        let fellows: Vec<&[Weighing]> = self
            .kin
            .iter()
            .filter(|(other, _)| **other != name)
            .filter_map(|(_, (theirs, scale))| {
                let until = theirs.partition_point(|it| it.0 <= *today);
                let here = theirs[..until].last().is_some_and(|it| it.2 == *place);
                scale.get(..until).filter(|_| here)
            })
            .collect();
        watch(&on_scale(mine), &fellows, &self.ask)
    }

    /// The whole span, where the last two weighings decided.
    fn whole(&self, name: &str, mine: &[(Date, f64, &str)]) -> Option<Span> {
        let ends = [*mine.first()?, *mine.last()?];
        self.judge(name, &ends).span()
    }

    fn state(
        &self,
        it: &Cocoon,
        drying: bool,
        span: Option<Span>,
        safe: Option<Date>,
    ) -> (CocoonState, String) {
        let today = self.look.today();
        match &it.gone {
            Some(CocoonGone::CameOut(on)) => {
                return (CocoonState::Out, format!("came out on {}", self.day(*on)));
            }
            Some(CocoonGone::Left(on, Way::Died)) => {
                return (CocoonState::Dead, format!("dead, found on {}", self.day(*on)));
            }
            Some(CocoonGone::Left(on, way)) => {
                return (CocoonState::Gone, format!("{} on {}", words::way(*way), self.day(*on)));
            }
            None => {}
        }
        if let Some(span) = span.filter(|_| drying) {
            return (CocoonState::Drying, drying_in_words(span));
        }
        if let Some(safe) = safe.filter(|safe| *safe > today) {
            return (
                CocoonState::Fresh,
                format!("the pupa is soft: leave it alone until {}", self.day(safe)),
            );
        }
        if self.profile.winter.rest == Rest::None {
            return (CocoonState::InCocoon, "in the cocoon; this kind does not rest".to_owned());
        }
        match self.flight(it) {
            Some((_, last)) if today > last => (
                CocoonState::LyingOver,
                "lying over: the moths of its year have flown, and it rests on to another spring. That is normal; do not throw it out".to_owned(),
            ),
            _ => (CocoonState::Resting, "resting".to_owned()),
        }
    }

    /// The first and the last day on which moths of its year are claimed to fly.
    fn flight(&self, it: &Cocoon) -> Option<(Date, Date)> {
        let lot = self.house().lots.get(&it.told.lot)?;
        let winter = crate::model::spring_of(self.profile, lot, |day| self.keeper.midnight(day))?;
        let year = self.keeper.on_the_wall(crate::state::instant_of(winter.middle_d)).year();
        self.months(year)
    }

    fn months(&self, year: i16) -> Option<(Date, Date)> {
        let months = self.profile.winter.emergence_month.as_ref()?;
        let month = |it: f64| (1..=12).find(|month| (f64::from(*month) - it).abs() < 0.5);
        Some((date(year, month(months.low)?, 1), date(year, month(months.high)?, 1).last_of_month()))
    }

    /// The earliest day on which it may be handled: spun, pupated at the latest, and hardened.
    fn safe_from(&self, it: &Cocoon) -> Option<Date> {
        let spun_on = it.told.spun_on?;
        let spinning = self.profile.stage(StageName::Spinning)?;
        let longest_d = spinning.days.high.unwrap_or(spinning.days.value);
        let lower_c = spinning.lower_c.mean;
        let need_dd = (longest_d + self.hardens_d) * (spinning.at_c.value - lower_c);
        let air = self.air(place_of(self.house(), &it.told.box_spun));
        let until = spun_on.checked_add(60.days()).ok()?;
        let means: Vec<Option<f64>> = each_day(spun_on, until)
            .map(|day| air.as_ref().filter(|_| day <= self.look.today())?.mean_c(day))
            .collect();
        let hard_d = warm_days_needed(need_dd, lower_c, &means, spinning.at_c.value)?;
        spun_on.checked_add(i64::try_from(hard_d).ok()?.days()).ok()
    }

    fn air(&self, place: &str) -> Option<StoreAir<'a>> {
        StoreAir::of(self.house(), place, self.profile.winter.store_c.as_ref().map(|it| it.high))
    }

    /// Cold at the places where it lay, since it was described.
    fn cold_of(&self, it: &Cocoon) -> Option<Cold> {
        let below_c = self.profile.winter.store_c.as_ref()?.high;
        let mut air: Vec<_> = Vec::new();
        for stay in stays(self.keeper, self.house(), it, self.look.today()) {
            let store = self.air(stay.place);
            air.extend(each_day(stay.from, stay.until).map(|day| store.as_ref()?.on(day)));
        }
        Some(cold_received(&air, below_c))
    }

    fn cold(&self, rows: &[CocoonRow]) -> Option<ColdSoFar> {
        let winter = &self.profile.winter;
        if matches!(winter.rest, Rest::None | Rest::Egg) {
            return None;
        }
        let (below_c, weeks) = (winter.store_c.as_ref()?.high, winter.store_weeks.as_ref()?);
        let alive: BTreeSet<&str> =
            rows.iter().filter(|it| it.state.is_alive()).map(|it| it.cocoon.as_str()).collect();
        let had: Vec<Cold> = self
            .own()
            .filter(|it| alive.contains(it.told.cocoon.as_str()))
            .filter_map(|it| self.cold_of(it))
            .collect();
        let least = had.iter().min_by(|a, b| a.cold_d.total_cmp(&b.cold_d))?;
        let most = had.iter().max_by(|a, b| a.cold_d.total_cmp(&b.cold_d))?;
        let all_d = least.known_d + least.unknown_d;
        let amount = |cold: &Cold| format!("{:.0}", cold.cold_d);
        let range = if most.cold_d < 0.5 {
            "No".to_owned()
        } else if amount(least) == amount(most) {
            amount(least)
        } else {
            format!("{} to {}", amount(least), amount(most))
        };
        let known = if least.unknown_d == 0 {
            String::new()
        } else {
            format!(
                " On {} of {all_d} days nobody knows the air there; these are not counted.",
                least.unknown_d
            )
        };
        let hours = if least.cold_d < 0.5 {
            String::new()
        } else {
            format!(" ({:.0} hours at the least)", 24.0 * least.cold_d)
        };
        let says = format!(
            "{range} days so far{hours} at or below {below_c} \u{b0}C, where they lay; {} to {} weeks are advised.{known}",
            weeks.low, weeks.high
        );
        Some(ColdSoFar {
            below_c,
            least_d: least.cold_d,
            most_d: most.cold_d,
            needed_weeks: (weeks.low, weeks.high),
            known_d: (least.known_d, all_d),
            says,
        })
    }

    /// When they have had enough, and when to bring them out for the months in which their kind flies.
    fn bring_out(&self, cold: Option<&ColdSoFar>) -> String {
        let Some(cold) = cold else { return String::new() };
        let today = self.look.today();
        let flight = self.own().filter(|it| it.gone.is_none()).find_map(|it| self.flight(it));
        let needed_d = 7.0 * cold.needed_weeks.0;
        let short_d = (needed_d - cold.least_d).ceil() as i64;
        let on = today.checked_add(short_d.max(0).days()).unwrap_or(today);
        let mut says = match flight {
            Some((_, last)) if today > last => {
                "Who lies over needs another winter: keep it as it is, out of the sun, and cold again in autumn.".to_owned()
            }
            Some((first, _)) if today >= first => "The months in which they fly have begun: look every day.".to_owned(),
            _ if short_d <= 0 => "All have had the cold that is claimed to be needed.".to_owned(),
            _ => format!(
                "They still need about {short_d} days of cold: if it is cold from now on, until {}.",
                self.day(on)
            ),
        };
        let pupa = self.profile.stage(StageName::Pupa);
        if let (Some(pupa), Some((first, last))) = (pupa, flight) {
            // Who lies over flies in the months of the next year.
            let (first, last) = if today > last {
                self.months(today.year() + i16::from(today > last)).unwrap_or((first, last))
            } else {
                (first, last)
            };
            let warm_d = pupa.days.value.round() as i64;
            let from = first.checked_sub(warm_d.days()).unwrap_or(first);
            let until = last.checked_sub(warm_d.days()).unwrap_or(last);
            says.push_str(&format!(
                " Moths of this kind fly from {} to {}; in warmth ({:.0} \u{b0}C) a moth takes about {warm_d} days. Bring out between {} and {}, when the leaf breaks.",
                self.day(first), self.day(last), pupa.at_c.value, self.day(from), self.day(until)
            ));
            let earlier_d = self.profile.moths.protandry_d.mean;
            if earlier_d >= 0.5 {
                says.push_str(&format!(
                    " Males come about {earlier_d:.0} days before females: for the same nights bring the females out that much earlier."
                ));
            }
        }
        says
    }

    fn stores(&self, rows: &[CocoonRow]) -> Vec<Store> {
        let mut places: BTreeMap<&str, usize> = BTreeMap::new();
        for row in rows.iter().filter(|it| it.state.is_alive()) {
            *places.entry(row.lies_in.1.as_str()).or_insert(0) += 1;
        }
        places.into_iter().filter_map(|(place, n)| self.air(place)?.in_words(self.look, place, n)).collect()
    }

    /// Boxes of the line whose cocoons were weighed together.
    fn together(&self, rows: &[CocoonRow]) -> Vec<Together> {
        let house = self.house();
        let mine = |name: &str| {
            rows.iter().any(|it| it.state.is_alive() && it.lies_in.0 == name)
                || house
                    .boxes
                    .get(name)
                    .is_some_and(|it| it.closed.is_none() && it.lines().contains(self.line))
        };
        let tubs = house.tubs.iter().filter(|(name, _)| mine(name));
        tubs.filter_map(|(name, weights)| together_in_words(name, weights, &self.ask, |on| self.day(on)))
            .collect()
    }

    fn day(&self, on: Date) -> String {
        let year =
            if on.year() == self.look.today().year() { String::new() } else { format!(" {}", on.year()) };
        format!("{}{year}", say::day(on))
    }
}

fn on_scale(weighings: &[(Date, f64, &str)]) -> Vec<Weighing> {
    weighings.iter().map(|(on, g, _)| Weighing { at_d: day_number(noon(*on)), cocoon_g: *g }).collect()
}

/// The span since the first weighing, whatever span decided.
fn span_whole(
    decided: Option<Span>,
    mine: &[(Date, f64, &str)],
    whole: impl FnOnce() -> Option<Span>,
) -> Option<Span> {
    let from_d = day_number(noon(mine.first()?.0));
    match decided {
        Some(span) if (span.from_d - from_d).abs() < 0.5 => Some(span),
        _ => whole(),
    }
}

fn shell_ratio(it: &Cocoon) -> Option<f64> {
    let shell_g = it.told.shell_g?;
    let whole_g = it.told.cocoon_fresh_g.or_else(|| Some(shell_g + it.told.pupa_fresh_g?))?;
    (whole_g > 0.0).then_some(shell_g / whole_g)
}

/// Both ends of a claim's range; a value is both.
fn claimed(library: &Library, id: &str) -> (f64, f64) {
    let figure = library.claim(id).map(|it| it.figure);
    let end = |it: Option<f64>| it.unwrap_or(0.0);
    (end(figure.and_then(evidence::Figure::low)), end(figure.and_then(evidence::Figure::high)))
}

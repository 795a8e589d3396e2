//! The pairing board: who is alive tonight, who is kin, and who should meet whom.

use crate::book::{Keeper, Look};
use crate::diapause::{on_earth, universal_midnight};
use crate::failure::Failure;
use crate::kin;
use crate::rests;
use crate::say;
use crate::state::instant_of;
use crate::store_watch::days;
use crate::view::RestsOn;
use crate::view::pairings::{Candidate, FemaleTonight, MothTonight, PairingHour, PairingRow, Pairings};
use evidence::{Grade, Profile};
use jiff::civil::DateTime;
use rearing::house::{Moth, Pairing};
use science::closing::nights_left;
use science::light::{SunEvent, sun_day};
use science::lineage::best_mates;
use science::survival::{IntervalMethod, binomial_interval};
use std::collections::BTreeMap;
use terms::{Night, Sex, Stage};

/// What the receipts call the model.
const MODEL: &str = "pairing board 1";
/// The name of the species profile for a kind that has none.
const UNKNOWN_KIND: &str = "generic";
/// The range of a hatch holds the truth in so many of a hundred layings.
const CONFIDENCE: f64 = 0.9;
/// What is published of layings of brother and sister.
const SIB_LAYINGS: [&str; 2] = ["crosses/inbreeding-cressida", "crosses/inbreeding-two-others"];
/// Pairings that the page lists.
const NOTED_MOST: usize = 40;

impl Keeper {
    /// Who could pair tonight.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn pairings(&self) -> Result<Pairings, Failure> {
        let look = self.look();
        let board = Board { keeper: self, look: &look };
        let alive: Vec<(&String, &Moth)> =
            look.house.moths.iter().filter(|(_, it)| it.lives_in.is_some()).collect();
        let of = |sex: Sex| alive.iter().filter(move |(_, it)| it.sex == sex);
        let took = |name: &str| !board.used(name).is_empty();
        let mut females: Vec<FemaleTonight> = of(Sex::Female)
            .filter(|(name, _)| !took(name))
            .map(|(name, it)| board.female(name, it, &alive))
            .collect();
        one_each(&mut females);
        let laying: Vec<MothTonight> =
            of(Sex::Female).filter(|(name, _)| took(name)).map(|(name, it)| board.moth(name, it)).collect();
        let males: Vec<MothTonight> = of(Sex::Male).map(|(name, it)| board.moth(name, it)).collect();
        let moths: u32 = look
            .house
            .living_boxes()
            .flat_map(|it| &it.cohorts)
            .filter(|it| it.stage == Stage::Moth)
            .map(|it| it.n)
            .sum();
        let unnamed = moths.saturating_sub(u32::try_from(alive.len()).unwrap_or(u32::MAX));
        let night = Night::holding(look.wall);
        Ok(Pairings {
            now: look.wall,
            notice: self.notice(),
            night: night.to_string(),
            says: in_words(&females, &males, &laying, unnamed),
            hours: board.hours(&alive),
            noted: board.noted(),
            cautions: cautions(&females),
            rests_on: board.rests_on(&alive),
            receipt: self.receipt(&look, MODEL, 0),
            females,
            males,
            laying,
            unnamed,
        })
    }
}

struct Board<'a> {
    keeper: &'a Keeper,
    look: &'a Look,
}

impl<'a> Board<'a> {
    fn profile(&self, line: &str) -> Option<&'static Profile> {
        let own = self.keeper.profile_of(&self.look.house, line);
        own.or_else(|| self.keeper.library().profile(UNKNOWN_KIND))
    }

    /// Pairings in which a moth took.
    fn used(&self, name: &str) -> Vec<String> {
        let of = |it: &Pairing| it.took == Some(true) && (it.female == name || it.male == name);
        self.look.house.pairings.iter().filter(|(_, it)| of(it)).map(|(name, _)| name.clone()).collect()
    }

    fn moth(&self, name: &str, it: &Moth) -> MothTonight {
        let age = days(it.out_on, Night::holding(self.look.wall).0).max(0) as f64;
        let left = self.profile(&it.line).and_then(|profile| {
            let nights = match it.sex {
                Sex::Female => &profile.moths.female_nights,
                _ => &profile.moths.male_nights,
            };
            nights_left(age, nights.mean, nights.sd).ok()
        });
        let old = match age as usize {
            0 => "just out".to_owned(),
            nights => format!("{} old", say::count(nights, "night", "nights")),
        };
        let says = match left {
            Some(left) => {
                let (low, about, high) = (left.q10.round(), left.q50.round().max(1.0), left.q90.round());
                format!(
                    "{old}; about {} left ({low:.0} to {high:.0})",
                    say::count(about as usize, "night", "nights")
                )
            }
            None => format!("{old}, older than its kind is known to grow"),
        };
        MothTonight {
            moth: name.to_owned(),
            line: it.line.clone(),
            out_on: it.out_on,
            nights_left: left.map(|it| (it.q10, it.q50, it.q90)),
            says,
            used: self.used(name),
            lives_in: it.lives_in.clone().unwrap_or_default(),
        }
    }

    fn female(&self, name: &str, she: &Moth, alive: &[(&String, &Moth)]) -> FemaleTonight {
        let kind = self.kind(&she.line);
        let mut males: Vec<(f64, usize, f64, Candidate)> = alive
            .iter()
            .filter(|(_, it)| it.sex == Sex::Male && self.kind(&it.line) == kind)
            .map(|(name, he)| self.candidate(she, name, he))
            .collect();
        // Least kin first, then unused, then who has longest to live.
        males.sort_by(|a, b| {
            a.0.total_cmp(&b.0)
                .then(a.1.cmp(&b.1))
                .then(b.2.total_cmp(&a.2))
                .then_with(|| a.3.male.cmp(&b.3.male))
        });
        let males: Vec<Candidate> = males.into_iter().map(|(_, _, _, it)| it).collect();
        let tried =
            self.look.house.pairings.iter().filter(|(_, it)| it.female == name && it.took == Some(false));
        FemaleTonight {
            moth: self.moth(name, she),
            tonight: None,
            options: if males.is_empty() { self.options(she) } else { Vec::new() },
            males,
            tried: tried.map(|(name, it)| format!("{name} with {}: did not take", it.male)).collect(),
        }
    }

    fn kind(&self, line: &str) -> String {
        let profile = self.keeper.profile_of(&self.look.house, line);
        profile.map_or_else(|| crate::lines::claimed_species(&self.look.house, line), |it| it.slug.clone())
    }

    fn candidate(&self, she: &Moth, name: &str, he: &Moth) -> (f64, usize, f64, Candidate) {
        let kin = kin::kin(&self.look.house, she, he);
        let him = self.moth(name, he);
        // What is not known is worth as much as the worst it may be.
        let weight = kin.map_or(0.5, |it| it.high);
        let mut because = Vec::new();
        because.push(match him.used.len() {
            0 => "not yet used".to_owned(),
            n => format!("has paired {} ({})", say::count(n, "time", "times"), say::list(&him.used)),
        });
        because.push(him.says.clone());
        let left = him.nights_left.map_or(0.0, |it| it.1);
        let candidate = Candidate {
            male: name.to_owned(),
            line: he.line.clone(),
            inbreeding: kin.map(|it| (it.low, it.high)),
            kinship: kin::in_words(kin),
            because: because.join("; "),
        };
        (weight, him.used.len(), left, candidate)
    }

    /// What is left to do for a female without a male.
    fn options(&self, she: &Moth) -> Vec<String> {
        let house = &self.look.house;
        let mut options = Vec::new();
        let kind = self.kind(&she.line);
        let to_come: Vec<String> = house
            .cocoons
            .iter()
            .filter(|(_, it)| it.lies_in.is_some() && it.told.sex == Sex::Male)
            .filter(|(_, it)| {
                house.lots.get(&it.told.lot).is_some_and(|lot| self.kind(&lot.told.line) == kind)
            })
            .map(|(name, _)| name.clone())
            .collect();
        if !to_come.is_empty() {
            let (come, they) = if to_come.len() == 1 { ("is", "it") } else { ("are", "they") };
            options.push(format!(
                "{} {come} still shut and male: warmth may bring {they} out, but do not count on it.",
                say::list(&to_come)
            ));
        }
        options.push("Assemble a wild male: a gauze cage outside at the hour at which the kind pairs, if it is native here and the law allows. Take her in before the birds are up.".to_owned());
        options.push("Ask the club for a male, or for a cocoon that is about to give one. Note its line and parents; keep new stock apart.".to_owned());
        options.push("Chill her to wait: custom, and nobody has published how cold or how long. She loses nights all the same.".to_owned());
        options.push(
            "Unpaired she lays anyway, and those eggs do not hatch: do not count them as a brood.".to_owned(),
        );
        options
    }

    /// The kinds of moths alive, with their first line.
    fn kinds(&self, alive: &[(&String, &Moth)]) -> BTreeMap<String, String> {
        let mut kinds = BTreeMap::new();
        for (_, it) in alive {
            kinds.entry(self.kind(&it.line)).or_insert_with(|| it.line.clone());
        }
        kinds
    }

    fn hours(&self, alive: &[(&String, &Moth)]) -> Vec<PairingHour> {
        self.kinds(alive)
            .into_values()
            .map(|line| {
                let profile = self.profile(&line);
                let said = profile.and_then(|it| it.reproduction.pairing_hour.as_ref());
                let grades = said.iter().flat_map(|it| &it.claims).filter_map(|id| Some(self.keeper.library().claim(id)?.grade));
                let custom = said.is_some()
                    && grades.clone().all(|it| !matches!(it, Grade::Measured | Grade::Review));
                PairingHour {
                    kind: self.keeper.species_of(&self.look.house, &line).0,
                    says: said.map_or_else(|| "nobody has written down at which hour this kind pairs: look at dusk, at midnight and before dawn".to_owned(), |it| it.says.clone()),
                    custom,
                    sun: self.sun(),
                }
            })
            .collect()
    }

    /// Sunset, dark and dawn of this night where the house stands.
    fn sun(&self) -> String {
        let Some((north, east)) = on_earth(&self.look.house, "") else {
            return "Where the house stands is not told, so sunset is not known: note it once on the page of the thermometer.".to_owned();
        };
        let night = Night::holding(self.look.wall);
        let event = |it: SunEvent| match it {
            SunEvent::At(at_d) => {
                let wall: DateTime = self.keeper.on_the_wall(instant_of(at_d));
                format!("{}:{:02}", wall.hour(), wall.minute())
            }
            SunEvent::UpAllDay | SunEvent::DownAllDay => "none".to_owned(),
        };
        let evening = sun_day(north, east, universal_midnight(night.0));
        let morning = sun_day(north, east, universal_midnight(night.0) + 1.0);
        match (evening, morning) {
            (Ok(evening), Ok(morning)) => format!(
                "Sunset {}, dark from {}; dawn {}, sunrise {}.",
                event(evening.sunset),
                event(evening.civil_dusk),
                event(morning.civil_dawn),
                event(morning.sunrise)
            ),
            _ => String::new(),
        }
    }

    fn noted(&self) -> Vec<PairingRow> {
        let mut rows: Vec<(&String, &Pairing)> = self.look.house.pairings.iter().collect();
        rows.sort_by(|a, b| b.1.on.cmp(&a.1.on).then_with(|| b.0.cmp(a.0)));
        rows.into_iter()
            .take(NOTED_MOST)
            .map(|(name, it)| PairingRow {
                pairing: name.clone(),
                on: it.on,
                female: it.female.clone(),
                male: it.male.clone(),
                took: match it.took {
                    Some(true) => "took",
                    Some(false) => "did not take",
                    None => "not told yet",
                },
                method: it.method.clone(),
                laid: it.laid_on.iter().map(|(on, n)| (*on, *n)).collect(),
                hatched: it.told.as_ref().and_then(|told| told.hatched),
                hatch: hatch_in_words(it),
                mother_check: it.told.as_ref().map_or_else(String::new, |told| told.mother_check.clone()),
            })
            .collect()
    }

    fn rests_on(&self, alive: &[(&String, &Moth)]) -> Vec<RestsOn> {
        let mut rests = vec![RestsOn {
            says: "your own notes: lots with their parents, pairings, moths that came out and went"
                .to_owned(),
            grade: "own".to_owned(),
            source: String::new(),
        }];
        let parts = ["moths.male_nights", "moths.female_nights", "reproduction.pairing_hour"];
        rests.extend(SIB_LAYINGS.iter().filter_map(|id| rests::on_claim(self.keeper.library(), id)));
        for line in self.kinds(alive).into_values() {
            if let Some(profile) = self.profile(&line) {
                rests.extend(rests::on_profile(self.keeper.library(), profile, &parts));
            }
        }
        rests
    }
}

/// `58 of 97 hatched: 60 in 100, 51 to 68 in 9 of 10 such layings`.
fn hatch_in_words(it: &Pairing) -> String {
    let Some(hatched) = it.told.as_ref().and_then(|told| told.hatched) else { return String::new() };
    let laid = it.eggs_laid.saturating_sub(it.eggs_left.values().sum::<u32>());
    let set = if it.eggs_kept > 0 { it.eggs_kept } else { laid };
    if set == 0 {
        return format!("{hatched} hatched");
    }
    let share = 100.0 * f64::from(hatched) / f64::from(set);
    let range = binomial_interval(u64::from(hatched), u64::from(set), CONFIDENCE, IntervalMethod::Wilson);
    let range = range.map_or_else(
        |_| String::new(),
        |(low, high)| format!(" (its true share is likely {:.0} to {:.0})", 100.0 * low, 100.0 * high),
    );
    format!("{hatched} of {set} hatched: {share:.0} in 100{range}")
}

/// Shares the males out, so that all pairs of the night together are least kin and least used.
fn one_each(females: &mut [FemaleTonight]) {
    let mut names: Vec<String> = females.iter().flat_map(|it| &it.males).map(|it| it.male.clone()).collect();
    names.sort_unstable();
    names.dedup();
    let costs: Vec<Vec<f64>> = females
        .iter()
        .map(|it| {
            names
                .iter()
                .map(|name| {
                    let place = it.males.iter().position(|he| he.male == *name);
                    let kin = place
                        .and_then(|place| it.males.get(place))
                        .map(|he| he.inbreeding.map_or(0.5, |it| it.1));
                    // Kinship decides; among equals the place in her list does.
                    place.zip(kin).map_or(f64::INFINITY, |(place, kin)| kin + 1e-5 * place as f64)
                })
                .collect()
        })
        .collect();
    let Ok(mates) = best_mates(&costs) else { return };
    for (it, mate) in females.iter_mut().zip(mates) {
        let Some(name) = mate.and_then(|mate| names.get(mate)) else { continue };
        it.tonight = Some(name.clone());
        it.males.sort_by_key(|he| he.male != *name);
    }
}

fn in_words(
    females: &[FemaleTonight],
    males: &[MothTonight],
    laying: &[MothTonight],
    unnamed: u32,
) -> String {
    if females.is_empty() && males.is_empty() && laying.is_empty() {
        return if unnamed > 0 {
            format!(
                "{} without a name: name moths as they come out, then the board can say who should meet whom.",
                say::count(unnamed as usize, "moth is alive", "moths are alive")
            )
        } else {
            "No moth is alive tonight.".to_owned()
        };
    }
    let best: Vec<String> = females
        .iter()
        .filter_map(|it| Some((it.tonight.as_ref()?, it.males.first()?, it)))
        .map(|(name, he, it)| format!("{} with {name} ({})", it.moth.moth, he.kinship_short()))
        .collect();
    let waits: Vec<String> = females
        .iter()
        .filter(|it| it.tonight.is_none() && !it.males.is_empty())
        .map(|it| it.moth.moth.clone())
        .collect();
    let alone: Vec<String> =
        females.iter().filter(|it| it.males.is_empty()).map(|it| it.moth.moth.clone()).collect();
    let mut says = Vec::new();
    if !best.is_empty() {
        says.push(format!("Tonight: {}.", say::list(&best)));
    }
    if !waits.is_empty() {
        says.push(format!(
            "No male of her own is left for {}: tomorrow, or after another.",
            say::list(&waits)
        ));
    }
    if !alone.is_empty() {
        says.push(format!("No male is alive for {}.", say::list(&alone)));
    }
    if females.is_empty() && laying.is_empty() {
        says.push(format!("{}, but no female.", say::count(males.len(), "male is alive", "males are alive")));
    } else if females.is_empty() {
        let names: Vec<String> = laying.iter().map(|it| it.moth.clone()).collect();
        says.push(format!(
            "Nobody is left to pair: {} and lays.",
            match names.as_slice() {
                [one] => format!("{one} has paired"),
                many => format!("each of {} has paired", say::list(many)),
            }
        ));
    }
    says.join(" ")
}

fn cautions(females: &[FemaleTonight]) -> Vec<String> {
    let mut cautions = Vec::new();
    if !females.is_empty() {
        cautions.push(
            "Moth scales get into the lungs: mask and open air when you handle many, and stop at a wheeze."
                .to_owned(),
        );
        cautions.push("By hand only as a last resort: hold both by the closed wings, touch tip to tip, and give up after a few tries.".to_owned());
    }
    if females.iter().any(|it| it.males.is_empty()) {
        cautions.push("Let no moth go that is not native here, and none of mixed lines.".to_owned());
    }
    cautions
}

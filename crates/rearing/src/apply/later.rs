//! Deeds of the later year: leaf and air, cocoons, moths, pairings.

use super::Moment;
use crate::boxes::Cohort;
use crate::deed::{
    AirRead, CameOut, CocoonDescribed, CocoonWeighed, CocoonsWeighed, EggsLeft, Laid, LeafChanged, LightTold,
    MothDescribed, Paired, PairingTold,
};
use crate::house::{Cocoon, CocoonGone, CocoonWeight, House, LeafRow, Moth, Pairing, TubWeight};
use crate::refusal::Refusal;
use crate::trail::Happened;
use std::collections::{BTreeMap, BTreeSet};
use terms::Stage;
use terms::bounds::{
    AIR_C, ANIMAL_FRESH_G, ANIMALS, EGGS, FOREWING_MM, HUMIDITY_PERCENT, JOINED_H, LATITUDE_DEG,
    LEAF_FRESH_G, LIGHT_H, LONGITUDE_DEG,
};
use terms::label::label;

impl House {
    pub(super) fn change_leaf(&mut self, now: Moment, it: &LeafChanged) -> Result<(), Refusal> {
        self.open_box(&it.name)?;
        let grams = [Some(it.offered_fresh_g), it.left_fresh_g, it.control_fresh_g, it.control_after_g];
        for grams in grams.into_iter().flatten() {
            LEAF_FRESH_G.check(grams)?;
        }
        if let Some(left_g) = it.left_fresh_g.filter(|left| *left > it.offered_fresh_g) {
            return Err(Refusal::MoreLeafLeft { offered_g: it.offered_fresh_g, left_g });
        }
        let fed = self.open_box(&it.name)?;
        let by_stage = fed.by_stage();
        let larvae = by_stage.iter().filter(|(stage, _)| stage.is_larva());
        let row = LeafRow {
            on: now.on,
            at: now.at,
            told: it.clone(),
            line: fed.lines().first().map_or_else(|| fed.line.clone(), |it| (*it).to_owned()),
            stage: larvae.clone().max_by_key(|(_, n)| **n).map(|(stage, _)| *stage).or(fed.for_stage),
            larvae: it.larvae.unwrap_or_else(|| larvae.map(|(_, n)| n).sum()),
        };
        self.with_box(&it.name, |it_box| it_box.plant.clone_from(&it.plant));
        self.leaf.push(row);
        Ok(())
    }

    pub(super) fn read_air(&mut self, now: Moment, it: &AirRead) -> Result<(), Refusal> {
        label("place", &it.place)?;
        AIR_C.check(it.air_c_min)?;
        AIR_C.check(it.air_c_max)?;
        if it.air_c_min > it.air_c_max {
            let (min, max) = (it.air_c_min, it.air_c_max);
            return Err(Refusal::MinAboveMax { what: "temperature", min, max });
        }
        if let Some(mean) = it.air_c_mean {
            AIR_C.check(mean)?;
        }
        for humidity in [it.humidity_percent_min, it.humidity_percent_max].into_iter().flatten() {
            HUMIDITY_PERCENT.check(humidity)?;
        }
        if let (Some(min), Some(max)) = (it.humidity_percent_min, it.humidity_percent_max)
            && min > max
        {
            return Err(Refusal::MinAboveMax { what: "humidity", min, max });
        }
        self.air.entry(it.place.clone()).or_default().insert(now.on, it.clone());
        Ok(())
    }

    pub(super) fn tell_light(&mut self, now: Moment, it: &LightTold) -> Result<(), Refusal> {
        label("place", &it.place)?;
        if let Some(latitude_deg) = it.latitude_deg {
            LATITUDE_DEG.check(latitude_deg)?;
        }
        if let Some(longitude_deg) = it.longitude_deg {
            LONGITUDE_DEG.check(longitude_deg)?;
        }
        if it.latitude_deg.is_some() != it.longitude_deg.is_some() {
            return Err(Refusal::HalfAPlace { place: it.place.clone() });
        }
        if let Some(lamps_h) = it.lamps_h {
            LIGHT_H.check(lamps_h)?;
        }
        self.light.entry(it.place.clone()).or_default().insert(now.on, it.clone());
        Ok(())
    }

    pub(super) fn describe_cocoon(&mut self, now: Moment, it: &CocoonDescribed) -> Result<(), Refusal> {
        label("cocoon", &it.cocoon)?;
        let lot = self.lots.get(&it.lot).ok_or(Refusal::UnknownLot { lot: it.lot.clone() })?;
        let lies_in = self.open_box(&it.lies_in)?;
        if self.cocoons.contains_key(&it.cocoon) {
            return Err(Refusal::AnimalKnown { what: "cocoon", name: it.cocoon.clone() });
        }
        let numbered = self.cocoons.values().filter(|known| {
            known.lies_in.as_deref() == Some(&it.lies_in)
                && self.lots.get(&known.told.lot).is_some_and(|other| other.told.line == lot.told.line)
        });
        let asked = u32::try_from(numbered.count()).unwrap_or(u32::MAX).saturating_add(1);
        lies_in.has(&lot.told.line, Stage::Cocoon, asked)?;
        for grams in [it.cocoon_fresh_g, it.shell_g, it.pupa_fresh_g].into_iter().flatten() {
            ANIMAL_FRESH_G.check(grams)?;
        }
        let cocoon = Cocoon {
            told: it.clone(),
            on: now.on,
            lies_in: Some(it.lies_in.clone()),
            lay_in: vec![(now.at, it.lies_in.clone())],
            gone: None,
            weights: Vec::new(),
        };
        self.cocoons.insert(it.cocoon.clone(), cocoon);
        Ok(())
    }

    pub(super) fn weigh_cocoon(&mut self, now: Moment, it: &CocoonWeighed) -> Result<(), Refusal> {
        ANIMAL_FRESH_G.check(it.cocoon_fresh_g)?;
        let unknown = || Refusal::UnknownAnimal { what: "cocoon", name: it.cocoon.clone() };
        let cocoon = self.cocoons.get_mut(&it.cocoon).ok_or_else(unknown)?;
        if cocoon.lies_in.is_none() {
            let (what, name, now) = ("cocoon", it.cocoon.clone(), "gone".to_owned());
            return Err(Refusal::AnimalElsewhere { what, name, now });
        }
        let (cocoon_fresh_g, place) = (it.cocoon_fresh_g, it.place.clone());
        cocoon.weights.push(CocoonWeight { on: now.on, cocoon_fresh_g, place });
        Ok(())
    }

    pub(super) fn weigh_tub(&mut self, now: Moment, it: &CocoonsWeighed) -> Result<(), Refusal> {
        ANIMALS.check(f64::from(it.n))?;
        let weighed = self.open_box(&it.name)?;
        let has: u32 = weighed.cohorts.iter().filter(|it| it.stage == Stage::Cocoon).map(|it| it.n).sum();
        if has < it.n {
            let (name, stage, asked) = (it.name.clone(), Stage::Cocoon, it.n);
            return Err(Refusal::NotEnough { name, stage, has, asked });
        }
        ANIMAL_FRESH_G.check(it.together_fresh_g / f64::from(it.n))?;
        let weight = TubWeight { on: now.on, n: it.n, together_fresh_g: it.together_fresh_g };
        self.tubs.entry(it.name.clone()).or_default().push(weight);
        Ok(())
    }

    pub(super) fn come_out(&mut self, now: Moment, it: &CameOut) -> Result<(), Refusal> {
        let lies_in = self.open_box(&it.name)?;
        let (line, lots) = match &it.cocoon {
            Some(number) => {
                let known = self.cocoons.get(number);
                let unknown = || Refusal::UnknownAnimal { what: "cocoon", name: number.clone() };
                let known = known.ok_or_else(unknown)?;
                if known.lies_in.as_deref() != Some(&it.name) {
                    let now = known.lies_in.as_ref().map_or("gone".to_owned(), |place| format!("in {place}"));
                    return Err(Refusal::AnimalElsewhere { what: "cocoon", name: number.clone(), now });
                }
                let lot = self.lots.get(&known.told.lot);
                let line = lot.map_or_else(|| lies_in.line.clone(), |lot| lot.told.line.clone());
                (line, BTreeSet::from([known.told.lot.clone()]))
            }
            None => {
                let line = lies_in.line_meant(it.line.as_deref(), Stage::Cocoon)?;
                let lots = lies_in.lots_of(&line);
                (line, lots)
            }
        };
        lies_in.has(&line, Stage::Cocoon, 1)?;
        if let Some(moth) = &it.moth {
            label("moth", moth)?;
            if self.moths.contains_key(moth) {
                return Err(Refusal::AnimalKnown { what: "moth", name: moth.clone() });
            }
        }
        if let Some(cocoon) = it.cocoon.as_ref().and_then(|number| self.cocoons.get_mut(number)) {
            (cocoon.lies_in, cocoon.gone) = (None, Some(CocoonGone::CameOut(now.on)));
        }
        if let Some(name) = &it.moth {
            let moth = Moth {
                line: line.clone(),
                cocoon: it.cocoon.clone(),
                lots: lots.clone(),
                sex: it.sex,
                out_on: now.on,
                lives_in: Some(it.name.clone()),
                gone_on: None,
                forewing_mm: None,
                condition: String::new(),
            };
            self.moths.insert(name.clone(), moth);
        }
        let not_before = lies_in_look(self, &it.name, now);
        let all_lots = self.boxes.get(&it.name).map(|known| known.lots_of(&line)).unwrap_or_default();
        let mut taken = Vec::new();
        self.with_box(&it.name, |it_box| taken = it_box.take(&line, Stage::Cocoon, 1));
        let animals: Vec<usize> = taken.into_iter().flat_map(|it| it.animals).collect();
        self.mark(&animals, now.at, &Happened::Seen { stage: Stage::Moth, into: it.name.clone() });
        let since = now.at;
        let cohort = Cohort { line: line.clone(), stage: Stage::Moth, n: 1, not_before, since, animals };
        self.passed(now, &it.name, &cohort);
        self.with_box(&it.name, |it_box| it_box.put(cohort, &all_lots));
        self.looked(now.at, &it.name);
        Ok(())
    }

    pub(super) fn describe_moth(&mut self, it: &MothDescribed) -> Result<(), Refusal> {
        if let Some(length) = it.forewing_mm {
            FOREWING_MM.check(length)?;
        }
        let unknown = || Refusal::UnknownAnimal { what: "moth", name: it.moth.clone() };
        let moth = self.moths.get_mut(&it.moth).ok_or_else(unknown)?;
        moth.forewing_mm = it.forewing_mm;
        moth.condition.clone_from(&it.condition);
        Ok(())
    }

    pub(super) fn pair(&mut self, now: Moment, it: &Paired) -> Result<(), Refusal> {
        label("pairing", &it.pairing)?;
        if let Some(hours) = it.joined_h {
            JOINED_H.check(hours)?;
        }
        if self.pairings.contains_key(&it.pairing) {
            return Err(Refusal::PairingKnown { pairing: it.pairing.clone() });
        }
        let pairing = Pairing {
            on: now.on,
            female: it.female.clone(),
            male: it.male.clone(),
            took: it.took,
            method: it.method.clone(),
            eggs_laid: 0,
            laid_on: BTreeMap::new(),
            joined_h: it.joined_h,
            eggs_kept: 0,
            eggs_left: BTreeMap::new(),
            told: None,
        };
        self.pairings.insert(it.pairing.clone(), pairing);
        Ok(())
    }

    pub(super) fn lay(&mut self, now: Moment, it: &Laid) -> Result<(), Refusal> {
        EGGS.check(f64::from(it.eggs))?;
        let pairing = self.pairing_mut(&it.pairing)?;
        pairing.eggs_laid += it.eggs;
        *pairing.laid_on.entry(now.on).or_insert(0) += it.eggs;
        Ok(())
    }

    pub(super) fn lose_eggs(&mut self, it: &EggsLeft) -> Result<(), Refusal> {
        EGGS.check(f64::from(it.n))?;
        let pairing = self.pairing_mut(&it.pairing)?;
        let has = pairing.eggs_here();
        if has < it.n {
            return Err(Refusal::NotEnoughEggs { pairing: it.pairing.clone(), has, asked: it.n });
        }
        *pairing.eggs_left.entry(it.way).or_insert(0) += it.n;
        Ok(())
    }

    pub(super) fn tell_pairing(&mut self, it: &PairingTold) -> Result<(), Refusal> {
        let pairing = self.pairing_mut(&it.pairing)?;
        pairing.took = it.took.or(pairing.took);
        pairing.told = Some(it.clone());
        Ok(())
    }

    fn pairing_mut(&mut self, name: &str) -> Result<&mut Pairing, Refusal> {
        self.pairings.get_mut(name).ok_or_else(|| Refusal::UnknownPairing { pairing: name.to_owned() })
    }
}

fn lies_in_look(house: &House, name: &str, now: Moment) -> Option<jiff::Timestamp> {
    house.boxes.get(name).and_then(|it| it.last_look_before(now.at))
}

//! What one entry does to the house. Each deed is checked whole before anything
//! is changed, so a refused entry leaves no trace.

mod later;

use crate::boxes::{Cohort, RearingBox};
use crate::deed::{
    BoxClosed, BoxOpened, Counted, Deed, Found, Left, LotReceived, Moulted, Moved, ShelfOrdered, Way,
};
use crate::entry::Entry;
use crate::house::{CocoonGone, CountRow, House, Loss, Lot, Passage};
use crate::refusal::Refusal;
use crate::trail::Happened;
use jiff::Timestamp;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use terms::Stage;
use terms::bounds::{ANIMALS, ANIMALS_SEEN, FLOOR_CM2};
use terms::label::label;

/// The moment of an entry, as the deeds need it.
#[derive(Clone, Copy)]
pub(crate) struct Moment {
    pub at: Timestamp,
    pub on: Date,
}

impl House {
    /// Takes one entry into the house.
    ///
    /// # Errors
    /// The rule that says no; the house is then as it was.
    pub fn apply(&mut self, entry: &Entry) -> Result<(), Refusal> {
        let now = Moment { at: entry.happened.at, on: entry.happened.wall.date() };
        match &entry.deed {
            Deed::LotReceived(it) => self.receive(now, it),
            Deed::BoxOpened(it) => self.open(now, it),
            Deed::BoxClosed(it) => self.close(now, it),
            Deed::Hatched(it) => self.hatch(now, it),
            Deed::Moulted(it) => self.moult(now, it),
            Deed::Spun(it) => self.spin(now, it),
            Deed::Moved(it) => self.shift(now, it),
            Deed::Left(it) => self.leave(now, it),
            Deed::Found(it) => self.find(now, it),
            Deed::Counted(it) => self.count(now, it),
            Deed::FedOnly(it) => {
                self.open_box(&it.name)?;
                self.fed_only.push((now.on, it.name.clone()));
                Ok(())
            }
            Deed::LeafChanged(it) => self.change_leaf(now, it),
            Deed::AirRead(it) => self.read_air(now, it),
            Deed::LightTold(it) => self.tell_light(now, it),
            Deed::SetApart(it) => {
                self.open_box(&it.name)?;
                self.with_box(&it.name, |it_box| it_box.set_apart = Some((now.on, it.sign.clone())));
                Ok(())
            }
            Deed::LetBack(it) => {
                self.open_box(&it.name)?;
                self.with_box(&it.name, |it_box| it_box.set_apart = None);
                Ok(())
            }
            Deed::ShelfOrdered(it) => self.order_shelf(it),
            Deed::EggsWashed(it) => {
                self.open_box(&it.name)?;
                self.remarks.push((now.on, it.name.clone(), format!("eggs washed. {}", it.note)));
                Ok(())
            }
            Deed::CocoonDescribed(it) => self.describe_cocoon(now, it),
            Deed::CocoonWeighed(it) => self.weigh_cocoon(now, it),
            Deed::CocoonsWeighed(it) => self.weigh_tub(now, it),
            Deed::CameOut(it) => self.come_out(now, it),
            Deed::MothDescribed(it) => self.describe_moth(it),
            Deed::Paired(it) => self.pair(now, it),
            Deed::Laid(it) => self.lay(now, it),
            Deed::EggsLeft(it) => self.lose_eggs(it),
            Deed::PairingTold(it) => self.tell_pairing(it),
            Deed::Remarked(it) => {
                self.remarks.push((now.on, it.about.clone(), it.text.clone()));
                Ok(())
            }
            Deed::SetAside(_) => Ok(()),
        }?;
        self.seen_ids.insert(entry.id);
        Ok(())
    }

    pub(crate) fn with_box(&mut self, name: &str, change: impl FnOnce(&mut RearingBox)) {
        if let Some(it) = self.boxes.get_mut(name) {
            change(it);
        }
    }

    fn receive(&mut self, now: Moment, it: &LotReceived) -> Result<(), Refusal> {
        label("lot", &it.lot)?;
        label("line", &it.line)?;
        ANIMALS.check(f64::from(it.n))?;
        self.open_box(&it.into)?;
        if self.lots.contains_key(&it.lot) {
            return Err(Refusal::LotKnown { lot: it.lot.clone() });
        }
        if let Some(pairing) = it.pairing.as_ref().filter(|name| !self.pairings.contains_key(*name)) {
            return Err(Refusal::UnknownPairing { pairing: pairing.clone() });
        }
        self.lots.insert(it.lot.clone(), Lot { told: it.clone(), received: now.on, at: now.at });
        if let Some(pairing) = it.pairing.as_ref().and_then(|name| self.pairings.get_mut(name)) {
            pairing.eggs_kept += it.n;
        }
        let animals = self.enter(&it.lot, it.n);
        self.mark(&animals, now.at, &Happened::Seen { stage: it.stage, into: it.into.clone() });
        let cohort = Cohort {
            line: it.line.clone(),
            stage: it.stage,
            n: it.n,
            not_before: None,
            since: now.at,
            animals,
        };
        self.passed(now, &it.into, &cohort);
        self.with_box(&it.into, |it_box| it_box.put(cohort, &BTreeSet::from([it.lot.clone()])));
        Ok(())
    }

    fn open(&mut self, now: Moment, it: &BoxOpened) -> Result<(), Refusal> {
        label("box", &it.name)?;
        if let Some(floor) = it.floor_cm2 {
            FLOOR_CM2.check(floor)?;
        }
        if self.boxes.get(&it.name).is_some_and(|known| known.closed.is_none()) {
            return Err(Refusal::BoxIsOpen { name: it.name.clone() });
        }
        let fresh = RearingBox {
            name: it.name.clone(),
            line: it.line.clone(),
            opened: now.on,
            closed: None,
            for_stage: it.for_stage,
            vessel: it.vessel.clone(),
            floor_cm2: it.floor_cm2,
            place: it.place.clone(),
            set_apart: None,
            cohorts: Vec::new(),
            lots: BTreeMap::new(),
            looked_at: None,
            looked_before: None,
            plant: String::new(),
        };
        self.boxes.insert(it.name.clone(), fresh);
        Ok(())
    }

    fn close(&mut self, now: Moment, it: &BoxClosed) -> Result<(), Refusal> {
        let n = self.open_box(&it.name)?.total();
        if n > 0 {
            return Err(Refusal::BoxNotEmpty { name: it.name.clone(), n });
        }
        self.with_box(&it.name, |it_box| it_box.closed = Some(now.on));
        Ok(())
    }

    fn order_shelf(&mut self, it: &ShelfOrdered) -> Result<(), Refusal> {
        let mut names = BTreeSet::new();
        for name in &it.boxes {
            label("box", name)?;
            if !names.insert(name) {
                return Err(Refusal::TwicePlaced { name: name.clone() });
            }
        }
        self.shelf.clone_from(&it.boxes);
        Ok(())
    }

    fn hatch(&mut self, now: Moment, it: &Moved) -> Result<(), Refusal> {
        let only = || Refusal::WrongStage { stage: it.stage, deed: "hatch", only: "eggs" };
        if it.stage != Stage::Egg {
            return Err(only());
        }
        let step = Step { from: Stage::Egg, to: Stage::Larva(1), n: it.n };
        self.advance(now, &it.from, Some(&it.into), it.line.as_deref(), step)
    }

    fn moult(&mut self, now: Moment, it: &Moulted) -> Result<(), Refusal> {
        let to = it.from.after_moult().ok_or(Refusal::WrongStage {
            stage: it.from,
            deed: "moult",
            only: "larvae",
        })?;
        let step = Step { from: it.from, to, n: it.n };
        self.advance(now, &it.name, it.into.as_deref(), it.line.as_deref(), step)
    }

    fn spin(&mut self, now: Moment, it: &Moulted) -> Result<(), Refusal> {
        if !it.from.is_larva() {
            return Err(Refusal::WrongStage { stage: it.from, deed: "spin", only: "larvae" });
        }
        let step = Step { from: it.from, to: Stage::Cocoon, n: it.n };
        self.advance(now, &it.name, it.into.as_deref(), it.line.as_deref(), step)
    }

    /// Animals go one stage on, staying or changing the box.
    fn advance(
        &mut self,
        now: Moment,
        name: &str,
        into: Option<&str>,
        line: Option<&str>,
        step: Step,
    ) -> Result<(), Refusal> {
        ANIMALS.check(f64::from(step.n))?;
        let from_box = self.open_box(name)?;
        let line = from_box.line_meant(line, step.from)?;
        from_box.has(&line, step.from, step.n)?;
        let not_before = from_box.last_look_before(now.at);
        let lots = from_box.lots_of(&line);
        let target = into.unwrap_or(name);
        self.open_box(target)?;
        let mut taken = Vec::new();
        self.with_box(name, |it| taken = it.take(&line, step.from, step.n));
        self.looked(now.at, name);
        // Nobody enters a stage before the one that came before it.
        let not_before = not_before.max(taken.iter().filter_map(|it| it.not_before).min());
        let animals: Vec<usize> = taken.into_iter().flat_map(|it| it.animals).collect();
        self.mark(&animals, now.at, &Happened::Seen { stage: step.to, into: target.to_owned() });
        let cohort = Cohort { line, stage: step.to, n: step.n, not_before, since: now.at, animals };
        self.passed(now, target, &cohort);
        self.with_box(target, |it| it.put(cohort, &lots));
        Ok(())
    }

    fn passed(&mut self, now: Moment, name: &str, cohort: &Cohort) {
        self.passages.push(Passage {
            line: cohort.line.clone(),
            name: name.to_owned(),
            stage: cohort.stage,
            n: cohort.n,
            not_before: cohort.not_before,
            seen_at: now.at,
        });
    }

    fn shift(&mut self, now: Moment, it: &Moved) -> Result<(), Refusal> {
        ANIMALS.check(f64::from(it.n))?;
        let from_box = self.open_box(&it.from)?;
        let line = from_box.line_meant(it.line.as_deref(), it.stage)?;
        from_box.has(&line, it.stage, it.n)?;
        let lots = from_box.lots_of(&line);
        self.open_box(&it.into)?;
        self.check_numbers(&it.animals, it.stage, it.n, &it.from)?;
        let mut taken = Vec::new();
        self.with_box(&it.from, |it_box| taken = it_box.take(&line, it.stage, it.n));
        for cohort in &taken {
            self.mark(&cohort.animals, now.at, &Happened::Carried { into: it.into.clone() });
        }
        self.with_box(&it.into, |it_box| {
            for cohort in taken {
                it_box.put(cohort, &lots);
            }
        });
        for name in &it.animals {
            if let Some(cocoon) = self.cocoons.get_mut(name) {
                cocoon.lies_in = Some(it.into.clone());
                cocoon.lay_in.push((now.at, it.into.clone()));
            }
            if let Some(moth) = self.moths.get_mut(name) {
                moth.lives_in = Some(it.into.clone());
            }
        }
        Ok(())
    }

    /// Numbered animals must be in the box that is named, and no more of them than animals.
    fn check_numbers(&self, animals: &[String], stage: Stage, n: u32, name: &str) -> Result<(), Refusal> {
        if animals.len() > n as usize {
            return Err(Refusal::TooManyNumbers { numbers: animals.len(), n });
        }
        for animal in animals {
            let (what, known) = match stage {
                Stage::Moth => ("moth", self.moths.get(animal).map(|it| it.lives_in.clone())),
                _ => ("cocoon", self.cocoons.get(animal).map(|it| it.lies_in.clone())),
            };
            let unknown = || Refusal::UnknownAnimal { what, name: animal.clone() };
            let lies_in = known.ok_or_else(unknown)?;
            if lies_in.as_deref() != Some(name) {
                let now = lies_in.map_or_else(|| "gone".to_owned(), |place| format!("in {place}"));
                return Err(Refusal::AnimalElsewhere { what, name: animal.clone(), now });
            }
        }
        Ok(())
    }

    fn leave(&mut self, now: Moment, it: &Left) -> Result<(), Refusal> {
        ANIMALS.check(f64::from(it.n))?;
        let from_box = self.open_box(&it.name)?;
        let line = from_box.line_meant(it.line.as_deref(), it.stage)?;
        from_box.has(&line, it.stage, it.n)?;
        if it.way == Way::EggFailed && it.stage != Stage::Egg {
            return Err(Refusal::WrongStage { stage: it.stage, deed: "fail to hatch", only: "eggs" });
        }
        if it.way == Way::Stifled && it.stage != Stage::Cocoon {
            return Err(Refusal::WrongStage { stage: it.stage, deed: "be stifled", only: "cocoons" });
        }
        self.check_numbers(&it.animals, it.stage, it.n, &it.name)?;
        let lots = from_box.lots_of(&line);
        let of = Stage::Egg;
        let held: u32 =
            from_box.cohorts.iter().filter(|c| c.line == line && c.stage != of).map(|c| c.n).sum();
        let mut unnumbered = it.n;
        for animal in &it.animals {
            let lots = self.lots_of_numbered(animal, it.stage).unwrap_or_else(|| lots.clone());
            *self.left.entry((lots, it.way, it.stage)).or_insert(0) += 1;
            unnumbered -= 1;
            self.number_gone(animal, now.on, it.way);
        }
        if unnumbered > 0 {
            *self.left.entry((lots, it.way, it.stage)).or_insert(0) += unnumbered;
        }
        self.losses.push(Loss {
            on: now.on,
            at: now.at,
            name: it.name.clone(),
            line: line.clone(),
            stage: it.stage,
            n: it.n,
            way: it.way,
            sign: it.sign.clone(),
            of: held.max(it.n),
        });
        let mut taken = Vec::new();
        self.with_box(&it.name, |it_box| taken = it_box.take(&line, it.stage, it.n));
        for cohort in &taken {
            self.mark(&cohort.animals, now.at, &Happened::Left { way: it.way });
        }
        self.looked(now.at, &it.name);
        Ok(())
    }

    fn lots_of_numbered(&self, animal: &str, stage: Stage) -> Option<BTreeSet<String>> {
        match stage {
            Stage::Moth => self.moths.get(animal).map(|it| it.lots.clone()),
            _ => self.cocoons.get(animal).map(|it| BTreeSet::from([it.told.lot.clone()])),
        }
    }

    fn number_gone(&mut self, animal: &str, on: Date, way: Way) {
        if let Some(moth) = self.moths.get_mut(animal) {
            (moth.lives_in, moth.gone_on) = (None, Some(on));
        } else if let Some(cocoon) = self.cocoons.get_mut(animal) {
            (cocoon.lies_in, cocoon.gone) = (None, Some(CocoonGone::Left(on, way)));
        }
    }

    fn find(&mut self, now: Moment, it: &Found) -> Result<(), Refusal> {
        ANIMALS.check(f64::from(it.n))?;
        let found_box = self.open_box(&it.name)?;
        let line = found_box.line_meant(it.line.as_deref(), it.stage)?;
        let missing = self.missing(&line);
        if missing < it.n {
            return Err(Refusal::NoneMissing { line, missing, asked: it.n });
        }
        let gone: Vec<(BTreeSet<String>, Way, Stage)> = self
            .left
            .keys()
            .filter(|(lots, way, _)| *way == Way::Missing && self.are_of(lots, &line))
            .cloned()
            .collect();
        let mut wanted = it.n;
        let mut lots_found = BTreeSet::new();
        for key in gone {
            let Some(left) = self.left.get_mut(&key) else { continue };
            let part = wanted.min(*left);
            *left -= part;
            wanted -= part;
            if part > 0 {
                lots_found.extend(key.0.iter().cloned());
            }
            if self.left.get(&key) == Some(&0) {
                self.left.remove(&key);
            }
        }
        let animals = self.missed(&line, it.stage, it.n);
        self.mark(&animals, now.at, &Happened::Seen { stage: it.stage, into: it.name.clone() });
        let cohort = Cohort { line, stage: it.stage, n: it.n, not_before: None, since: now.at, animals };
        self.with_box(&it.name, |it_box| it_box.put(cohort, &lots_found));
        Ok(())
    }

    fn count(&mut self, now: Moment, it: &Counted) -> Result<(), Refusal> {
        let expected = self.open_box(&it.name)?.by_stage();
        for seen in &it.seen {
            ANIMALS_SEEN.check(f64::from(seen.n))?;
            if let Some(in_moult) = seen.in_moult.filter(|in_moult| *in_moult > seen.n) {
                return Err(Refusal::MoreInMoult { stage: seen.stage, n: seen.n, in_moult });
            }
        }
        self.counts.push(CountRow { on: now.on, at: now.at, told: it.clone(), expected });
        self.looked(now.at, &it.name);
        Ok(())
    }
}

/// One stage on.
#[derive(Clone, Copy)]
struct Step {
    from: Stage,
    to: Stage,
    n: u32,
}

//! The account of a line and of a lot: what came in, and where each animal is now.

use crate::deed::Way;
use crate::house::{CocoonGone, House};
use std::collections::{BTreeMap, BTreeSet};
use terms::Stage;

/// Where an animal of a lot is, or how it left, as the year's account lists it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    /// Alive in a box, in this stage (moths are counted under [`Fate::CameOut`]).
    Alive(Stage),
    /// A moth came out, alive or dead by now.
    CameOut,
    /// Left by this way in this stage; larvae are one stage here.
    Left(Way, LifePart),
}

/// The parts of life that the account tells apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LifePart {
    /// As an egg.
    Egg,
    /// As a larva of any instar.
    Larva,
    /// In the cocoon.
    Cocoon,
}

/// How many of a lot have a fate: known to the animal, or only within bounds
/// where several lots share a box.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    /// At least.
    pub at_least: u32,
    /// At most.
    pub at_most: u32,
}

impl Share {
    /// The number, where it is known.
    #[must_use]
    pub fn exact(self) -> Option<u32> {
        (self.at_least == self.at_most).then_some(self.at_least)
    }
}

type Lots = BTreeSet<String>;

impl House {
    /// How many animals of a line came in.
    #[must_use]
    pub fn received(&self, line: &str) -> u32 {
        self.lots.values().filter(|it| it.told.line == line).map(|it| it.told.n).sum()
    }

    /// Every fate of a line with its number; the numbers add up to what came in.
    #[must_use]
    pub fn account_of_line(&self, line: &str) -> BTreeMap<Fate, u32> {
        let mut account = BTreeMap::new();
        for ((lots, fate), n) in self.fates() {
            if self.are_of(&lots, line) {
                *account.entry(fate).or_insert(0) += n;
            }
        }
        account
    }

    /// Every fate of one lot. Where lots shared a box, what is not known to the
    /// animal is given as bounds, or exactly where only one fate is open.
    #[must_use]
    pub fn account_of_lot(&self, lot: &str) -> BTreeMap<Fate, Share> {
        let Some(received) = self.lots.get(lot).map(|it| it.told.n) else { return BTreeMap::new() };
        let mut own: BTreeMap<Fate, u32> = BTreeMap::new();
        let mut shared: BTreeMap<Fate, u32> = BTreeMap::new();
        for ((lots, fate), n) in self.fates() {
            if lots.len() == 1 && lots.contains(lot) {
                *own.entry(fate).or_insert(0) += n;
            } else if lots.contains(lot) {
                *shared.entry(fate).or_insert(0) += n;
            }
        }
        let open = received.saturating_sub(own.values().sum());
        let shared_all: u32 = shared.values().sum();
        let fates: BTreeSet<Fate> = own.keys().chain(shared.keys()).copied().collect();
        fates
            .into_iter()
            .map(|fate| {
                let known = own.get(&fate).copied().unwrap_or(0);
                let here = shared.get(&fate).copied().unwrap_or(0);
                let at_least = known + open.saturating_sub(shared_all - here);
                (fate, Share { at_least, at_most: known + here.min(open) })
            })
            .filter(|(_, share)| share.at_most > 0)
            .collect()
    }

    /// Animals by the lots they can be of and by fate.
    fn fates(&self) -> BTreeMap<(Lots, Fate), u32> {
        let mut fates: BTreeMap<(Lots, Fate), u32> = BTreeMap::new();
        for ((lots, way, stage), n) in &self.left {
            let fate = match stage {
                Stage::Egg => Fate::Left(*way, LifePart::Egg),
                Stage::Larva(_) => Fate::Left(*way, LifePart::Larva),
                Stage::Cocoon => Fate::Left(*way, LifePart::Cocoon),
                Stage::Moth => Fate::CameOut,
            };
            *fates.entry((lots.clone(), fate)).or_insert(0) += n;
        }
        let mut numbered = self.numbered_alive();
        for it in self.living_boxes() {
            for cohort in &it.cohorts {
                let fate = alive(cohort.stage);
                let mut unnumbered = cohort.n;
                // Numbered animals are booked under the lot on their label first.
                if let Some(known) = numbered.get_mut(&(it.name.clone(), cohort.line.clone(), cohort.stage)) {
                    while unnumbered > 0
                        && let Some(lots) = known.pop()
                    {
                        *fates.entry((lots, fate)).or_insert(0) += 1;
                        unnumbered -= 1;
                    }
                }
                if unnumbered > 0 {
                    *fates.entry((it.lots_of(&cohort.line), fate)).or_insert(0) += unnumbered;
                }
            }
        }
        fates
    }

    fn numbered_alive(&self) -> BTreeMap<(String, String, Stage), Vec<Lots>> {
        let mut alive: BTreeMap<_, Vec<Lots>> = BTreeMap::new();
        for cocoon in self.cocoons.values() {
            if let (Some(place), Some(lot)) = (&cocoon.lies_in, self.lots.get(&cocoon.told.lot)) {
                let key = (place.clone(), lot.told.line.clone(), Stage::Cocoon);
                alive.entry(key).or_default().push(BTreeSet::from([cocoon.told.lot.clone()]));
            }
        }
        for moth in self.moths.values() {
            if let Some(place) = &moth.lives_in {
                let key = (place.clone(), moth.line.clone(), Stage::Moth);
                alive.entry(key).or_default().push(moth.lots.clone());
            }
        }
        alive
    }

    /// How many numbered cocoons of a line gave a moth, by sex is left to the caller.
    #[must_use]
    pub fn cocoons_out(&self) -> usize {
        self.cocoons.values().filter(|it| matches!(it.gone, Some(CocoonGone::CameOut(_)))).count()
    }

    /// Lines whose account does not add up. Always empty unless the rules of
    /// this crate are broken; `check` asks it all the same.
    #[must_use]
    pub fn unaccounted(&self) -> Vec<(String, i64)> {
        self.lines()
            .into_iter()
            .map(|line| {
                let sum: u32 = self.account_of_line(&line).values().sum();
                let short = i64::from(self.received(&line)) - i64::from(sum);
                (line, short)
            })
            .filter(|(_, short)| *short != 0)
            .collect()
    }
}

fn alive(stage: Stage) -> Fate {
    if stage == Stage::Moth { Fate::CameOut } else { Fate::Alive(stage) }
}

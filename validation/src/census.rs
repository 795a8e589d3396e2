//! The keeper of a made brood: counts every second or third morning and overlooks some.

use crate::assumed::{KIND, MOTH};
use crate::brood::Brood;
use crate::dice::Dice;

/// One morning's count.
#[derive(Debug, Clone)]
pub struct Count {
    /// When, days.
    pub at_d: f64,
    /// How many were seen in each stage, the moth last.
    pub seen: [u32; MOTH + 1],
}

impl Count {
    fn made(brood: &Brood, at_d: f64, dice: &mut Dice) -> Count {
        let mut seen = [0; MOTH + 1];
        for stage in brood.animals.iter().filter_map(|it| it.stage_at(at_d)) {
            let overlooked = KIND.get(stage).map_or(0.0, |it| it.overlooked);
            seen[stage] += u32::from(!dice.falls(overlooked));
        }
        Count { at_d, seen }
    }

    /// How many were seen.
    #[must_use]
    pub fn all(&self) -> u32 {
        self.seen.iter().sum()
    }

    /// The foremost stage in which anybody was seen.
    #[must_use]
    pub fn front(&self) -> Option<usize> {
        self.seen.iter().rposition(|it| *it > 0)
    }
}

/// When the keeper asks.
#[derive(Debug, Clone, Copy)]
pub struct Seen {
    /// As a keeper says it.
    pub name: &'static str,
    /// A short form for tests and figures.
    pub short: &'static str,
    /// The stage that matters.
    stage: usize,
    /// The share of those seen that must be in it or past it.
    share: f64,
}

/// The three situations of the demand.
pub static SITUATIONS: [Seen; 3] = [
    Seen { name: "three in ten in L2", short: "L2", stage: 2, share: 0.3 },
    Seen { name: "half in L4", short: "L4", stage: 4, share: 0.5 },
    Seen { name: "three in ten pupae", short: "pupae", stage: 7, share: 0.3 },
];

impl Seen {
    fn is_there(self, count: &Count) -> bool {
        let past: u32 = count.seen[self.stage..].iter().sum();
        count.all() > 0 && f64::from(past) >= self.share * f64::from(count.all())
    }
}

/// Counts a brood until it has come so far. `None` if nobody lives to be seen so.
///
/// The keeper decides by nothing but what was counted, so that stopping here tells the engine nothing that the
/// counts do not tell.
pub fn count_until(brood: &Brood, seen: Seen, dice: &mut Dice) -> Option<Vec<Count>> {
    let mut counts = Vec::new();
    // The first morning at eight, two or three days after laying.
    let mut day = brood.laid_d.floor();
    loop {
        day += f64::from(dice.whole(2, 3));
        let at_d = day + 8.0 / 24.0;
        if brood.animals.iter().all(|it| at_d >= it.died_d || it.entered_d[MOTH] <= at_d) {
            return None;
        }
        let count = Count::made(brood, at_d, dice);
        let there = seen.is_there(&count);
        counts.push(count);
        if there {
            return Some(counts);
        }
    }
}

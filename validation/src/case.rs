//! One made brood, seen once, forecast, and what then came true.

use crate::air::Air;
use crate::answer::{Answer, ask};
use crate::assumed::MOTH;
use crate::brood::Brood;
use crate::census::{Seen, count_until};
use crate::dice::Dice;
use crate::file::{brood_json, readings_csv};
use crate::spread::Spread;
use crate::world::World;
use anyhow::Result;
use keeper::brood_file::Asked;

/// How much the engine is asked for.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Possible seasons for each answer.
    pub runs: u32,
    /// Ask also what would be forecast had nobody ever counted.
    pub blind_too: bool,
}

/// A brood that was forecast and then lived on.
#[derive(Debug, Clone)]
pub struct Case {
    /// Eggs laid.
    pub eggs: u32,
    /// The foremost stage in which anybody was seen.
    pub front: usize,
    /// When the median animal truly entered each stage.
    pub truth_d: [Option<f64>; MOTH + 1],
    /// Whether a pair was truly possible.
    pub closed: bool,
    /// The forecast.
    pub told: Answer,
    /// The forecast without any count.
    pub blind: Option<Answer>,
}

/// A forecast date beside the truth.
#[derive(Debug, Clone, Copy)]
pub struct Dated {
    /// The stage that is entered.
    pub stage: usize,
    /// The forecast.
    pub range: Spread,
    /// The forecast without any count.
    pub blind: Option<Spread>,
    /// What came true.
    pub truth_d: f64,
}

impl Case {
    /// Makes one brood that lives to be seen as asked for, and has it forecast.
    ///
    /// # Errors
    /// If the engine refuses.
    pub fn made(world: &World, seen: Seen, effort: Effort, seed: u64) -> Result<Case> {
        let mut dice = Dice::new(seed);
        loop {
            let air = Air::made(world.warms_c_per_d, &mut dice);
            let laid_hour = 24 * dice.whole(14, 20) as usize + dice.whole(0, 23) as usize;
            let (least, most) = world.eggs();
            let eggs = dice.whole(least, most);
            let brood = Brood::lived(world, &air, laid_hour, eggs, &mut dice);
            let shift = dice.normal();
            let Some(counts) = count_until(&brood, seen, &mut dice) else { continue };
            let Some((asof_d, front)) = counts.last().and_then(|it| Some((it.at_d, it.front()?))) else {
                continue;
            };
            let readings = readings_csv(world, &air, asof_d, shift);
            let asked = Asked { runs: effort.runs, seed, threads: 1 };
            let told = ask(&brood_json(world, &brood, &counts, asof_d), &readings, asked)?;
            let blind = if effort.blind_too {
                Some(ask(&brood_json(world, &brood, &[], asof_d), &readings, asked)?)
            } else {
                None
            };
            let truth_d = std::array::from_fn(|stage| brood.middle_d(stage));
            return Ok(Case { eggs, front, truth_d, closed: brood.closes(), told, blind });
        }
    }

    /// The dates of the median animal into every later stage, where somebody truly got there.
    pub fn dates(&self) -> impl Iterator<Item = Dated> + '_ {
        (self.front + 1..=MOTH).filter_map(|stage| {
            Some(Dated {
                stage,
                range: self.told.middle[stage]?,
                blind: self.blind.as_ref().and_then(|it| it.middle[stage]),
                truth_d: self.truth_d[stage]?,
            })
        })
    }

    /// Stages that somebody truly reached and the forecast is silent on.
    #[must_use]
    pub fn silent(&self) -> usize {
        let reached = |stage: &usize| self.truth_d[*stage].is_some() && self.told.middle[*stage].is_none();
        (self.front + 1..=MOTH).filter(reached).count()
    }
}

//! The slow twin: a brood that lives hour by hour, word for word as the definition says.

use crate::air::{Air, HOURS};
use crate::assumed::{
    FEMALE_NIGHTS, FEMALE_PUPA_FACTOR, FEMALE_SHARE, FIRST_LARVA, KIND, LAST_LARVA, MALE_NIGHTS, MOTH,
    RANK_CORRELATION, SHARED_PACE_SD, STAGE_PACE_SD, STAGES, SURVIVAL_WEIGHT, stages,
};
use crate::dice::Dice;
use crate::world::{World, rate_per_d};

/// One animal and all that truly happened to it.
#[derive(Debug, Clone)]
pub struct Animal {
    /// A daughter.
    pub female: bool,
    /// Stands in the second room, or in the box that falls sick.
    pub elsewhere: bool,
    /// Its own needs, as multiples of what the middle animal of the kind takes.
    pub needs: [f64; STAGES],
    /// When it entered each stage, days; `NAN` where it never did. The moth comes last.
    pub entered_d: [f64; STAGES + 1],
    /// When it died, days; infinite for what outlived the season.
    pub died_d: f64,
}

impl Animal {
    /// The stage it is in at a moment; `None` when dead, or before it was laid.
    #[must_use]
    pub fn stage_at(&self, at_d: f64) -> Option<usize> {
        if at_d >= self.died_d {
            return None;
        }
        (0..=MOTH).rev().find(|stage| self.entered_d[*stage] <= at_d)
    }
}

/// A brood that has lived its whole life.
#[derive(Debug, Clone)]
pub struct Brood {
    /// When its eggs were laid, days.
    pub laid_d: f64,
    /// Everybody.
    pub animals: Vec<Animal>,
}

impl Brood {
    /// Draws a brood from the assumptions and lets it live to its end.
    pub fn lived(world: &World, air: &Air, laid_hour: usize, eggs: u32, dice: &mut Dice) -> Brood {
        let laid_d = laid_hour as f64 / 24.0;
        let pace = SHARED_PACE_SD * dice.normal();
        let paces = KIND.map(|_| (pace + STAGE_PACE_SD * dice.normal()).exp());
        let survival = stages(world.delicate).map(|it| dice.beta(it.survival, SURVIVAL_WEIGHT));
        let falls_sick_d = laid_d + dice.between(18.0, 50.0);
        let mut animals = Vec::new();
        for index in 0..eggs {
            let mut animal = Animal {
                female: dice.falls(FEMALE_SHARE),
                elsewhere: index % 2 == 1,
                needs: [0.0; STAGES],
                entered_d: [f64::NAN; STAGES + 1],
                died_d: f64::INFINITY,
            };
            animal.draw_needs(&paces, dice);
            let later_h = if animal.elsewhere { 24 * world.second_lot_later_d as usize } else { 0 };
            animal.live(world, air, laid_hour + later_h, &survival, dice);
            if world.disease && animal.elsewhere {
                animal.fall_sick(falls_sick_d, dice);
            }
            animals.push(animal);
        }
        Brood { laid_d, animals }
    }

    /// The instant at which the median animal, of those that get there, enters a stage; an even number has the
    /// mean of its two middle ones.
    #[must_use]
    pub fn middle_d(&self, stage: usize) -> Option<f64> {
        let mut days: Vec<f64> =
            self.animals.iter().map(|it| it.entered_d[stage]).filter(|it| it.is_finite()).collect();
        days.sort_by(f64::total_cmp);
        let half = days.len() / 2;
        match days.len() {
            0 => None,
            odd if odd % 2 == 1 => Some(days[half]),
            _ => Some(0.5 * (days[half - 1] + days[half])),
        }
    }

    /// Whether a male and a female moth were ever alive at ten in the evening of one day.
    #[must_use]
    pub fn closes(&self) -> bool {
        (0..HOURS / 24).any(|day| {
            let evening_d = day as f64 + 22.0 / 24.0;
            let out = |female: bool| {
                self.animals.iter().any(|it| it.female == female && it.stage_at(evening_d) == Some(MOTH))
            };
            out(false) && out(true)
        })
    }
}

impl Animal {
    fn draw_needs(&mut self, paces: &[f64; STAGES], dice: &mut Dice) {
        let own = dice.normal();
        for (stage, assumed) in KIND.iter().enumerate() {
            let variance = (1.0 + assumed.spread_cv * assumed.spread_cv).ln();
            let mixed = RANK_CORRELATION.sqrt() * own + (1.0 - RANK_CORRELATION).sqrt() * dice.normal();
            let slow = if self.female && assumed.name == "pupa" { FEMALE_PUPA_FACTOR } else { 1.0 };
            self.needs[stage] = paces[stage] * (variance.sqrt() * mixed - 0.5 * variance).exp() * slow;
        }
    }

    fn live(
        &mut self,
        world: &World,
        air: &Air,
        laid_hour: usize,
        survival: &[f64; STAGES],
        dice: &mut Dice,
    ) {
        let mut stage = 0;
        let mut done = 0.0;
        self.entered_d[0] = laid_hour as f64 / 24.0;
        for hour in laid_hour..HOURS {
            let cooler_c = if self.elsewhere { world.second_room_cooler_c } else { 0.0 };
            let air_c = air.of_hour_c(hour) - cooler_c;
            let mut left_h = 1.0;
            while stage < STAGES && left_h > 0.0 {
                let assumed = &KIND[stage];
                let per_h =
                    rate_per_d(world.curve, assumed.lower_c, assumed.upper_c, assumed.constant_dd, air_c)
                        / 24.0
                        / self.needs[stage];
                let ends = done + per_h * left_h >= 1.0;
                let took_h = if ends { (1.0 - done) / per_h } else { left_h };
                // To come through a stage is to come through each small part of it.
                if !dice.falls(survival[stage].powf(per_h * took_h)) {
                    self.died_d = (hour as f64 + 1.0 - left_h + dice.even() * took_h) / 24.0;
                    return;
                }
                left_h -= took_h;
                done += per_h * took_h;
                if ends {
                    stage += 1;
                    done = 0.0;
                    self.entered_d[stage] = (hour as f64 + 1.0 - left_h) / 24.0;
                }
            }
            if stage == MOTH {
                self.die_as_moth(dice);
                return;
            }
        }
    }

    fn die_as_moth(&mut self, dice: &mut Dice) {
        let (mean_d, sd_d) = if self.female { FEMALE_NIGHTS } else { MALE_NIGHTS };
        // A moth lives half a night at the least.
        let nights_d = loop {
            let drawn_d = mean_d + sd_d * dice.normal();
            if drawn_d > 0.5 {
                break drawn_d;
            }
        };
        self.died_d = self.entered_d[MOTH] + nights_d;
    }

    /// A sick box takes nine larvae in ten within three days.
    fn fall_sick(&mut self, at_d: f64, dice: &mut Dice) {
        let (taken, dies_d) = (dice.falls(0.9), at_d + dice.between(0.0, 3.0));
        let larva = self.stage_at(at_d).is_some_and(|it| (FIRST_LARVA..=LAST_LARVA).contains(&it));
        if taken && larva && dies_d < self.died_d {
            self.died_d = dies_d;
            for entered_d in &mut self.entered_d {
                if *entered_d > dies_d {
                    *entered_d = f64::NAN;
                }
            }
        }
    }
}

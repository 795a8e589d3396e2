//! Making a weak solution from a strong one. The figure and its cautions leave this room together or not at all.

use crate::numerics::{Unfit, above};

/// What a percentage counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// g in 100 g.
    MassByMass,
    /// g in 100 mL.
    MassByVolume,
    /// mL in 100 mL, so parts of the bottle's content, whatever that is.
    VolumeByVolume,
}

/// What is in the bottle, as far as the keeper said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Agent {
    /// Formaldehyde, its strength given as formaldehyde.
    Formaldehyde,
    /// Formalin in parts: the bottle as bought counts as 100 % v/v.
    FormalinParts,
    /// Hypochlorite bleach, its strength given as available chlorine or as the salt, the same for stock and target.
    Hypochlorite,
    /// Something else.
    Other,
    /// Not said: every caution is shown.
    Unsaid,
}

/// The bottle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Strength, %.
    pub percent: f64,
    /// What the percentage counts.
    pub basis: Basis,
    /// Density, g/mL; needed wherever mass and volume meet.
    pub density_g_ml: Option<f64>,
}

/// What is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Strength, %.
    pub percent: f64,
    /// What the percentage counts.
    pub basis: Basis,
    /// How much to make, mL.
    pub volume_ml: f64,
}

/// A caution that belongs to a dilution. The words stand beside the figure wherever it is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Caution {
    /// Whether it is needed at all, and who must not be there.
    FormaldehydePoison,
    /// Limits in workplaces.
    FormaldehydeLimits,
    /// Two things are called "10 % formalin".
    FormalinNaming,
    /// What must never meet formaldehyde.
    FormaldehydeMixing,
    /// What must never meet bleach.
    BleachMixing,
    /// Handling bleach.
    BleachHandling,
    /// Rinse, and try on a part first.
    RinseAndTry,
    /// Volumes are taken to add up.
    VolumesAdd,
    /// Whose word comes first.
    LocalRules,
}

impl Caution {
    /// The caution in words.
    pub fn text(self) -> &'static str {
        match self {
            Caution::FormaldehydePoison => {
                "Formaldehyde is a poison and a human carcinogen: ask whether you need it at all. Never fumigate, never \
                 spray, never in living rooms, never with children about. Adults only, outdoors or under a fume hood, \
                 with a fitted vapour respirator (a dust mask does not hold the vapour), gloves and goggles."
            }
            Caution::FormaldehydeLimits => {
                "Workplace limits exist and differ by country; in the United States (OSHA) 0.75 ppm over 8 hours and \
                 2 ppm over 15 minutes. A spill of 10 mL of a 3 % solution can put a small room at about 12 ppm."
            }
            Caution::FormalinNaming => {
                "\"10 % formalin\" mostly means 1 part of the bottle and 9 parts of water, which is about 4 % \
                 formaldehyde. Formaldehyde percent and formalin parts are never mixed here: read the label twice."
            }
            Caution::FormaldehydeMixing => {
                "Never let formaldehyde meet acids, hypochlorite, permanganate or peroxide, in one vessel or one after \
                 the other: with hydrochloric acid or chlorides it can form a potent carcinogen, with peroxide or \
                 permanganate it reacts violently."
            }
            Caution::BleachMixing => {
                "Never mix bleach with acids (chlorine gas), ammonia, urine or frass (chloramines), formaldehyde, \
                 alcohol or peroxide."
            }
            Caution::BleachHandling => {
                "Gloves, goggles, old clothes, open air; bleach into cool water, not the reverse; out of the sun. It \
                 loses strength with age and dirt, so an old bottle is weaker than its label. Clean first, then \
                 disinfect."
            }
            Caution::RinseAndTry => {
                "Too strong or too long dissolves the egg shell. Try a part of the batch first, time it, rinse fully and \
                 dry; no residue on leaf. Washing does not reach spores inside the egg."
            }
            Caution::VolumesAdd => {
                "Volumes are taken to add up, and the added water to weigh 1 g/mL. Measure the stock, then fill up with \
                 water to the full volume."
            }
            Caution::LocalRules => {
                "Local law, the product's own sheet and licensed practice come before this figure. Wear gloves and eye \
                 protection with any disinfectant."
            }
        }
    }
}

/// Volumes to measure. They can only be read together with their cautions.
#[derive(Debug, Clone, PartialEq)]
pub struct Dilution {
    stock_ml: f64,
    water_ml: f64,
    cautions: Vec<Caution>,
}

impl Dilution {
    /// Stock to measure (mL), water to add (mL), and what must be shown beside them.
    pub fn read(&self) -> (f64, f64, &[Caution]) {
        (self.stock_ml, self.water_ml, &self.cautions)
    }
}

/// How much of the bottle and how much water.
///
/// *Formula:* the dissolved amount stays the same. Per mL the stock carries `s/100` g (w/v), `s d/100` g (w/w, density
/// `d`) or `s/100` mL (v/v); for a w/w target `w` the mixture weighs `d V1 + (V - V1)`, so
/// `V1 = w V/(100 c - w (d - 1))` with `c` the stock's g per mL. *Units:* %, g/mL and mL in; mL out.
/// *Holds for:* volumes that add up, water of 1 g/mL. *Errors:* [`Unfit`] naming the input: a target stronger than the
/// stock, v/v against a mass basis (the density of the pure stuff is not known here), a missing density, formaldehyde
/// named in parts or formalin named by mass. *Source:* conservation of mass.
/// *Checked against:* `reference/oracles/09_solutions.csv`.
///
/// ```
/// use science::health::{Agent, Basis, Stock, Target, dilution};
/// let stock = Stock { percent: 37.0, basis: Basis::MassByMass, density_g_ml: Some(1.09) };
/// let target = Target { percent: 2.0, basis: Basis::MassByVolume, volume_ml: 1000.0 };
/// let made = dilution(Agent::Formaldehyde, stock, target).unwrap();
/// let (stock_ml, water_ml, cautions) = made.read();
/// assert!((stock_ml - 49.5908752789).abs() < 1e-9 && (stock_ml + water_ml - 1000.0).abs() < 1e-9);
/// assert!(!cautions.is_empty());
/// ```
pub fn dilution(agent: Agent, stock: Stock, target: Target) -> Result<Dilution, Unfit> {
    let strong = percentage("stock_percent", stock.percent, stock.basis)?;
    let weak = percentage("target_percent", target.percent, target.basis)?;
    let volume = above("volume_ml", target.volume_ml, 0.0)?;
    if volume > 1e6 {
        return Err(Unfit::outside("volume_ml", volume, "at most 1000000 mL"));
    }
    named_rightly(agent, stock.basis, target.basis)?;
    let by_volume = |basis| basis == Basis::VolumeByVolume;
    if by_volume(stock.basis) != by_volume(target.basis) {
        let why = "v/v does not turn into a mass percentage without the density of the pure substance";
        return Err(Unfit::clash("target_basis", why));
    }
    let density = stock.density_g_ml.map(|d| above("density_g_ml", d, 0.0)).transpose()?;
    if let Some(d) = density.filter(|d| !(0.5..=2.5).contains(d)) {
        return Err(Unfit::outside("density_g_ml", d, "from 0.5 to 2.5 g/mL"));
    }
    let weighs =
        || density.ok_or_else(|| Unfit::clash("density_g_ml", "needed to bring mass and volume together"));
    let stock_ml = match (stock.basis, target.basis) {
        (Basis::MassByMass, Basis::MassByVolume) => weak * volume / (strong * weighs()?),
        (Basis::MassByMass, Basis::MassByMass) => {
            let d = weighs()?;
            weak * volume / (strong * d - weak * (d - 1.0))
        }
        (Basis::MassByVolume, Basis::MassByMass) => weak * volume / (strong - weak * (weighs()? - 1.0)),
        _ => weak * volume / strong,
    };
    // A hair above the full volume is rounding; more means that the stock is the weaker of the two.
    if stock_ml > volume * (1.0 + 1e-12) || stock_ml <= 0.0 {
        let must = "no stronger than the stock: water only thins";
        return Err(Unfit::outside("target_percent", weak, must));
    }
    let water_ml = (volume - stock_ml).max(0.0);
    Ok(Dilution { stock_ml, water_ml, cautions: cautions(agent) })
}

fn percentage(name: &'static str, percent: f64, basis: Basis) -> Result<f64, Unfit> {
    // A mass per volume may exceed 100: strong acids do.
    let most = if basis == Basis::MassByVolume { 200.0 } else { 100.0 };
    let percent = above(name, percent, 0.0)?;
    if percent <= most { Ok(percent) } else { Err(Unfit::outside(name, percent, format!("at most {most}"))) }
}

/// Keeps "10 % formalin" and "10 % formaldehyde" from ever meeting in one sum.
fn named_rightly(agent: Agent, stock: Basis, target: Basis) -> Result<(), Unfit> {
    let parts = |basis| basis == Basis::VolumeByVolume;
    match agent {
        Agent::Formaldehyde if parts(stock) || parts(target) => Err(Unfit::clash(
            "basis",
            "v/v of formaldehyde is parts of formalin: say formalin-parts, or give w/w or w/v",
        )),
        Agent::FormalinParts if !parts(stock) || !parts(target) => {
            Err(Unfit::clash("basis", "formalin in parts is v/v; for a mass percentage say formaldehyde"))
        }
        _ => Ok(()),
    }
}

fn cautions(agent: Agent) -> Vec<Caution> {
    const FORMALDEHYDE: [Caution; 4] = [
        Caution::FormaldehydePoison,
        Caution::FormaldehydeLimits,
        Caution::FormalinNaming,
        Caution::FormaldehydeMixing,
    ];
    const BLEACH: [Caution; 2] = [Caution::BleachMixing, Caution::BleachHandling];
    let mut shown = vec![];
    if matches!(agent, Agent::Formaldehyde | Agent::FormalinParts | Agent::Unsaid) {
        shown.extend(FORMALDEHYDE);
    }
    if matches!(agent, Agent::Hypochlorite | Agent::Unsaid) {
        shown.extend(BLEACH);
    }
    shown.extend([Caution::RinseAndTry, Caution::VolumesAdd, Caution::LocalRules]);
    shown
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    const BOTTLE: Stock = Stock { percent: 37.0, basis: Basis::MassByMass, density_g_ml: Some(1.09) };
    const WISH: Target = Target { percent: 2.0, basis: Basis::MassByVolume, volume_ml: 1000.0 };

    #[test]
    fn mass_is_kept_on_every_basis() {
        let (strong, weak) = (30.0, 4.0);
        for from in [Basis::MassByMass, Basis::MassByVolume] {
            for to in [Basis::MassByMass, Basis::MassByVolume] {
                let stock = Stock { percent: strong, basis: from, density_g_ml: Some(1.1) };
                let target = Target { percent: weak, basis: to, volume_ml: 500.0 };
                let made = dilution(Agent::Other, stock, target).unwrap();
                let (stock_ml, water_ml, _) = made.read();
                let dissolved_g = stock_ml * if from == Basis::MassByMass { 0.33 } else { 0.30 };
                let whole =
                    if to == Basis::MassByMass { stock_ml * 1.1 + water_ml } else { stock_ml + water_ml };
                assert!((dissolved_g / whole - 0.04).abs() < 1e-12, "{from:?} {to:?}");
            }
        }
    }

    #[test]
    fn every_figure_carries_its_cautions() {
        let shown = |agent| dilution(agent, BOTTLE, WISH).unwrap().read().2.to_vec();
        for caution in [Caution::FormaldehydePoison, Caution::FormaldehydeMixing, Caution::FormalinNaming] {
            assert!(shown(Agent::Formaldehyde).contains(&caution) && shown(Agent::Unsaid).contains(&caution));
        }
        for caution in [Caution::BleachMixing, Caution::BleachHandling] {
            assert!(shown(Agent::Hypochlorite).contains(&caution) && shown(Agent::Unsaid).contains(&caution));
        }
        for agent in [Agent::Formaldehyde, Agent::Hypochlorite, Agent::Other, Agent::Unsaid] {
            assert!(shown(agent).contains(&Caution::LocalRules));
            assert!(shown(agent).iter().all(|caution| !caution.text().is_empty()));
        }
    }

    #[test]
    fn refusals_name_the_input() {
        let named = |stock, target| dilution(Agent::Unsaid, stock, target).unwrap_err().name();
        let weak = Stock { percent: 1.0, basis: Basis::MassByVolume, density_g_ml: None };
        assert_eq!(named(weak, WISH), "target_percent");
        assert_eq!(named(Stock { density_g_ml: None, ..BOTTLE }, WISH), "density_g_ml");
        assert_eq!(named(Stock { density_g_ml: Some(1090.0), ..BOTTLE }, WISH), "density_g_ml");
        assert_eq!(named(BOTTLE, Target { basis: Basis::VolumeByVolume, ..WISH }), "target_basis");
        assert_eq!(named(Stock { percent: f64::NAN, ..BOTTLE }, WISH), "stock_percent");
        assert_eq!(named(Stock { percent: 101.0, ..BOTTLE }, WISH), "stock_percent");
        assert_eq!(named(BOTTLE, Target { volume_ml: 0.0, ..WISH }), "volume_ml");
    }

    #[test]
    fn formalin_and_formaldehyde_never_mix() {
        let parts = Stock { percent: 100.0, basis: Basis::VolumeByVolume, density_g_ml: None };
        let tenth = Target { percent: 10.0, basis: Basis::VolumeByVolume, volume_ml: 1000.0 };
        assert_eq!(dilution(Agent::Formaldehyde, parts, tenth).unwrap_err().name(), "basis");
        assert_eq!(dilution(Agent::FormalinParts, BOTTLE, WISH).unwrap_err().name(), "basis");
        let made = dilution(Agent::FormalinParts, parts, tenth).unwrap();
        assert!((made.read().0 - 100.0).abs() < 1e-12);
    }
}

//! The keeper's own leaf log outweighs what was read elsewhere.

use super::appetite::Appetite;

/// What the keeper has noted of the leaf so far, for the animals the model speaks of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnLeaf {
    /// What the model, before any of this, expects to have been eaten, g fresh.
    pub modelled_eaten_g: f64,
    /// What was gone: offered less left over, less what dried away where a control leaf tells, g fresh.
    pub gone_g: f64,
    /// What was offered, g fresh.
    pub offered_g: f64,
    /// How many instars before the last the log is from, on the mean over its grams; 0 if all is of the last.
    pub instars_early: f64,
}

/// How far a period's sum may be off for reasons the model does not know, as a log standard deviation.
///
/// Judgement: one leaf log of one brood tells the appetite to about a quarter.
const MODEL_LOG_SD: f64 = 0.25;
/// The same for the ratio of leaf cut to leaf eaten, which a log shows more directly.
const WASTE_LOG_SD: f64 = 0.15;

/// How much further off the appetite may be for each instar before the last, as a log standard deviation.
///
/// Judgement: the instars' shares of a life's leaf are known for no wild silkmoth, and the last takes four fifths.
const SHARE_LOG_SD: f64 = 0.25;
/// The same for the waste: small larvae are offered far more than they can eat, whatever the large ones get.
const EARLY_WASTE_LOG_SD: f64 = 0.35;

/// The belief in appetite and waste after the keeper's own record.
///
/// # Formula
/// Normal on the log scale, twice and separately:
/// ```text
/// log(scale) prior N(0, sd_e)     seen log(gone / modelled)   error sqrt(0.25^2 + (0.25 e)^2)
/// log(ratio) prior N(log r, sd_r) seen log(offered / gone)    error sqrt(0.15^2 + (0.35 e)^2)
/// ```
/// with `e` the number of instars before the last that the log is from.
/// # Holds for
/// One record of one period; a second period is added to the first, not given as a second record.
/// # Errors
/// A record that is not positive, or of less leaf offered than gone, teaches nothing about what it cannot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafBelief {
    /// Middle of the logarithm of the appetite as a multiple of the profile's.
    pub log_scale: f64,
    /// Its standard deviation.
    pub log_scale_sd: f64,
    /// Middle of the logarithm of grams cut for each gram eaten.
    pub log_cut_per_eaten: f64,
    /// Its standard deviation.
    pub log_cut_per_eaten_sd: f64,
}

impl LeafBelief {
    /// The belief from the profile and, where there is one, the keeper's own record.
    ///
    /// ```
    /// use science::feeding::{Appetite, LeafBelief, LogNormal, OwnLeaf};
    /// let vague = Appetite {
    ///     life_eaten_g: LogNormal { median: 40.0, log_sd: 1.0 },
    ///     stage_share: vec![1.0],
    ///     cut_per_eaten: LogNormal { median: 1.5, log_sd: 0.3 },
    /// };
    /// let own = OwnLeaf { modelled_eaten_g: 100.0, gone_g: 200.0, offered_g: 300.0, instars_early: 0.0 };
    /// let belief = LeafBelief::new(&vague, Some(own));
    /// // A vague profile gives way: nearly twice, not half way.
    /// assert!(belief.log_scale.exp() > 1.9);
    /// ```
    pub fn new(appetite: &Appetite, own: Option<OwnLeaf>) -> LeafBelief {
        let profile = LeafBelief {
            log_scale: 0.0,
            log_scale_sd: appetite.life_eaten_g.log_sd,
            log_cut_per_eaten: libm::log(appetite.cut_per_eaten.median),
            log_cut_per_eaten_sd: appetite.cut_per_eaten.log_sd,
        };
        let Some(own) = own else { return profile };
        let positive = |it: f64| it.is_finite() && it > 0.0;
        let mut belief = profile;
        let early = if own.instars_early.is_finite() { own.instars_early.max(0.0) } else { return profile };
        let error = |now: f64, each: f64| (now * now + each * early * each * early).sqrt();
        if positive(own.modelled_eaten_g) && positive(own.gone_g) {
            let seen = libm::log(own.gone_g / own.modelled_eaten_g);
            (belief.log_scale, belief.log_scale_sd) =
                together(belief.log_scale, belief.log_scale_sd, seen, error(MODEL_LOG_SD, SHARE_LOG_SD));
        }
        if positive(own.gone_g) && own.offered_g.is_finite() && own.offered_g >= own.gone_g {
            let seen = libm::log(own.offered_g / own.gone_g);
            (belief.log_cut_per_eaten, belief.log_cut_per_eaten_sd) = together(
                belief.log_cut_per_eaten,
                belief.log_cut_per_eaten_sd,
                seen,
                error(WASTE_LOG_SD, EARLY_WASTE_LOG_SD),
            );
        }
        belief
    }
}

/// Two normal beliefs about one number, weighed by their precision.
fn together(mean: f64, sd: f64, seen: f64, error: f64) -> (f64, f64) {
    if sd <= 0.0 {
        return (mean, 0.0);
    }
    let (prior, data) = (1.0 / (sd * sd), 1.0 / (error * error));
    ((mean * prior + seen * data) / (prior + data), 1.0 / (prior + data).sqrt())
}

#[cfg(test)]
mod tests {
    use super::super::appetite::LogNormal;
    use super::*;

    fn appetite(log_sd: f64) -> Appetite {
        Appetite {
            life_eaten_g: LogNormal { median: 40.0, log_sd },
            stage_share: vec![1.0],
            cut_per_eaten: LogNormal { median: 2.0, log_sd: 0.3 },
        }
    }

    /// By hand: prior precision 1/0.25, data precision 1/0.0625, so the record has four fifths of the say.
    #[test]
    fn weights_are_precisions() {
        let own = OwnLeaf { modelled_eaten_g: 100.0, gone_g: 150.0, offered_g: 450.0, instars_early: 0.0 };
        let belief = LeafBelief::new(&appetite(0.5), Some(own));
        assert!((belief.log_scale - 0.8 * 1.5_f64.ln()).abs() < 1e-12);
        assert!((belief.log_scale_sd - (1.0_f64 / 20.0).sqrt()).abs() < 1e-12);
        // 0.3^2 : 0.15^2 = 4 : 1 again.
        assert!((belief.log_cut_per_eaten - (0.2 * 2.0_f64.ln() + 0.8 * 3.0_f64.ln())).abs() < 1e-12);
    }

    /// A log of the small larvae says little of what the large ones will eat.
    #[test]
    fn an_early_log_teaches_less() {
        let learned = |instars_early: f64| {
            let own = OwnLeaf { modelled_eaten_g: 10.0, gone_g: 20.0, offered_g: 80.0, instars_early };
            LeafBelief::new(&appetite(0.5), Some(own))
        };
        let (late, early) = (learned(0.0), learned(4.0));
        assert!(early.log_scale < 0.4 * late.log_scale && early.log_scale > 0.0);
        assert!(early.log_scale_sd > late.log_scale_sd);
        assert!(early.log_cut_per_eaten < late.log_cut_per_eaten);
        assert_eq!(learned(f64::NAN), LeafBelief::new(&appetite(0.5), None));
    }

    #[test]
    fn a_broken_record_teaches_nothing() {
        let profile = LeafBelief::new(&appetite(0.5), None);
        for (modelled_eaten_g, gone_g, offered_g) in
            [(0.0, 0.0, 0.0), (f64::NAN, f64::NAN, f64::NAN), (100.0, -5.0, 20.0), (0.0, 10.0, 5.0)]
        {
            let own = OwnLeaf { modelled_eaten_g, gone_g, offered_g, instars_early: 0.0 };
            assert_eq!(LeafBelief::new(&appetite(0.5), Some(own)), profile, "{own:?}");
        }
    }
}

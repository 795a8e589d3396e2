//! Did the cold store stay cold?

use super::drying::median;

/// When a reading of a store rings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpellAsk {
    /// So much above the warmest that is advised for the store.
    pub above_c: f64,
    /// And so much above the store's own middle maximum.
    pub jump_c: f64,
    /// And so many robust deviations of its own maxima.
    pub score: f64,
    /// So many earlier readings are needed to know what the store's own is.
    pub readings_least: usize,
    /// So many of the last readings are looked at.
    pub readings_most: usize,
}

impl SpellAsk {
    /// One degree above what is advised, two degrees and three deviations above its own, after two readings at least.
    pub const USUAL: SpellAsk =
        SpellAsk { above_c: 1.0, jump_c: 2.0, score: 3.0, readings_least: 2, readings_most: 6 };
}

/// Which readings of a store's maximum are a warm spell: far above both what is advised and what the store holds.
///
/// # Formula
/// Reading `i` rings where `max_i > advised + above >= middle` and `max_i > middle + max(jump, score 1.4826 MAD)`, middle
/// and MAD over the last readings before it that did not ring.
/// # Units
/// degrees Celsius, readings in the order of time.
/// # Holds for
/// A store that is held cold. A shed that follows the weather, or a room, never rings; whether it was cold enough is
/// another question (see [`super::cold_received`]).
/// # Errors
/// A reading that is no number never rings and is not learned from.
/// # Source
/// Judgement. # Checked against: by hand.
/// # Example
/// ```
/// use science::wintering::{SpellAsk, warm_spells};
/// let rings = warm_spells(&[4.8, 4.9, 5.2, 4.7, 9.6, 4.8], 5.0, SpellAsk::USUAL);
/// assert_eq!(rings, [false, false, false, false, true, false]);
/// ```
pub fn warm_spells(maxima_c: &[f64], advised_c: f64, ask: SpellAsk) -> Vec<bool> {
    let mut calm: Vec<f64> = Vec::new();
    let mut rings = Vec::with_capacity(maxima_c.len());
    for max_c in maxima_c {
        let rang = *max_c > advised_c + ask.above_c && stands_out(*max_c, advised_c, &calm, ask);
        if !rang && max_c.is_finite() {
            calm.push(*max_c);
        }
        rings.push(rang);
    }
    rings
}

fn stands_out(max_c: f64, advised_c: f64, calm: &[f64], ask: SpellAsk) -> bool {
    if calm.len() < ask.readings_least.max(1) {
        return false;
    }
    let mut last: Vec<f64> = calm.iter().rev().take(ask.readings_most.max(1)).copied().collect();
    let middle = median(&mut last);
    let mut away: Vec<f64> = last.iter().map(|it| (it - middle).abs()).collect();
    middle <= advised_c + ask.above_c
        && max_c > middle + (ask.score * 1.4826 * median(&mut away)).max(ask.jump_c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shed_that_follows_the_weather_does_not_ring() {
        let monthly = [14.0, 10.9, 8.1, 7.2, 9.0, 12.0, 15.0, 22.0, 16.0, 27.0];
        assert!(warm_spells(&monthly, 6.0, SpellAsk::USUAL).iter().all(|it| !it));
    }

    #[test]
    fn what_is_no_number_neither_rings_nor_teaches() {
        let maxima = [4.0, f64::NAN, 4.2, f64::INFINITY, 11.0];
        assert_eq!(warm_spells(&maxima, 5.0, SpellAsk::USUAL), [false, false, false, true, true]);
        assert_eq!(warm_spells(&[12.0, 12.0], f64::NAN, SpellAsk::USUAL), [false, false]);
        // The first readings of a store say only what it is like.
        assert_eq!(warm_spells(&[9.0, 9.0, 9.0], 5.0, SpellAsk::USUAL), [false; 3]);
    }
}

//! Who could meet whom: nights alive, and the largest number of pairs.

use crate::phenology::{Moth, Sex};

/// The evenings on which a moth is alive, first and last, as whole days since the caller's epoch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Evenings {
    first: i64,
    last: i64,
}

impl Evenings {
    /// Alive at the evening hour: out before it, and not yet dead at it.
    pub(super) fn of(moth: &Moth, evening_share: f64) -> Evenings {
        let first = (moth.out_d - evening_share).ceil() as i64;
        let last = (moth.out_d + moth.nights - evening_share).ceil() as i64;
        Evenings { first, last: last.saturating_sub(1) }
    }

    /// First and last evening; the last lies before the first where there is none.
    pub(super) fn span(&self) -> (i64, i64) {
        (self.first, self.last)
    }

    fn meets(&self, other: &Evenings) -> bool {
        self.first.max(other.first) <= self.last.min(other.last)
    }
}

/// Are at least `wanted` pairs possible, each moth in one pair only, each pair alive on one common evening?
pub(super) fn possible(moths: impl Iterator<Item = Moth>, evening_share: f64, wanted: u32) -> bool {
    let (mut males, mut females) = (Vec::new(), Vec::new());
    for moth in moths {
        let evenings = Evenings::of(&moth, evening_share);
        match moth.sex {
            Sex::Male => males.push(evenings),
            Sex::Female => females.push(evenings),
        }
    }
    match wanted {
        0 => true,
        1 => males.iter().any(|male| females.iter().any(|it| male.meets(it))),
        _ => males.len().min(females.len()) >= wanted as usize && matched(&males, &females, wanted as usize),
    }
}

/// Augmenting paths, until enough pairs are found or no further one exists.
fn matched(males: &[Evenings], females: &[Evenings], wanted: usize) -> bool {
    let mut mate_of_female: Vec<Option<usize>> = vec![None; females.len()];
    let mut pairs = 0;
    for male in 0..males.len() {
        let mut asked = vec![false; females.len()];
        if find_mate(male, males, females, &mut mate_of_female, &mut asked) {
            pairs += 1;
        }
        if pairs >= wanted {
            return true;
        }
    }
    false
}

/// A mate for a male; another male gives way if he finds a different one.
fn find_mate(
    male: usize,
    males: &[Evenings],
    females: &[Evenings],
    mate_of_female: &mut [Option<usize>],
    asked: &mut [bool],
) -> bool {
    for female in 0..females.len() {
        if asked[female] || !males[male].meets(&females[female]) {
            continue;
        }
        asked[female] = true;
        let free = match mate_of_female[female] {
            None => true,
            Some(other) => find_mate(other, males, females, mate_of_female, asked),
        };
        if free {
            mate_of_female[female] = Some(male);
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moth(sex: Sex, out_d: f64, nights: f64) -> Moth {
        Moth { out_d, nights, box_index: 0, sex, taken: false, spare: None }
    }

    /// 22:00 is what counts: a moth that comes out at 23:00 is first alive on the next evening.
    #[test]
    fn the_evening_hour_decides() {
        let evening = 22.0 / 24.0;
        let night = |out_h: f64, nights: f64| Evenings::of(&moth(Sex::Male, out_h / 24.0, nights), evening);
        assert_eq!(night(21.0, 1.0), Evenings { first: 0, last: 0 });
        assert_eq!(night(23.0, 1.0), Evenings { first: 1, last: 1 });
        assert_eq!(night(12.0, 3.0), Evenings { first: 0, last: 2 });
        // Dead before the evening: no night at all.
        let none = night(6.0, 0.5);
        assert!(none.first > none.last && !none.meets(&none));
    }

    /// Two males and two females of which one of each meets only the other's mate: one must give way.
    #[test]
    fn one_gives_way_for_two_pairs() {
        let moths = [
            moth(Sex::Male, 0.5, 5.0),
            moth(Sex::Male, 0.5, 1.0),
            moth(Sex::Female, 0.5, 1.0),
            moth(Sex::Female, 3.5, 2.0),
        ];
        assert!(possible(moths.into_iter(), 0.9, 2));
        assert!(!possible(moths.into_iter(), 0.9, 3));
        assert!(!possible(moths.into_iter().skip(1), 0.9, 2));
        assert!(possible(std::iter::empty(), 0.9, 0) && !possible(std::iter::empty(), 0.9, 1));
    }
}

//! When a count does not fit: the smallest explanation.

use std::collections::BTreeMap;
use terms::Stage;

/// What would make a count fit the book: animals moved on in life, some are
/// short, some are more than the book knew.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Explanation {
    /// Moved on: from which stage, into which, how many.
    pub moved_on: Vec<(Stage, Stage, u32)>,
    /// Not seen, by the stage they should be in.
    pub short: Vec<(Stage, u32)>,
    /// More than the book has, by the stage they were seen in.
    pub over: Vec<(Stage, u32)>,
}

impl Explanation {
    /// Does the count fit without any explanation?
    #[must_use]
    pub fn fits(&self) -> bool {
        self == &Explanation::default()
    }

    /// How many animals are short.
    #[must_use]
    pub fn short_n(&self) -> u32 {
        self.short.iter().map(|(_, n)| n).sum()
    }

    /// How many animals are more than the book has.
    #[must_use]
    pub fn over_n(&self) -> u32 {
        self.over.iter().map(|(_, n)| n).sum()
    }
}

/// The explanation with the fewest short and over, and among those with the
/// fewest steps forward; nobody ever goes back a stage.
///
/// Life is a line and animals go along it one way, so the problem is a
/// matching of the expected with the seen in which an animal expected in a
/// stage can be one seen in the same or a later stage. Walking the stages from
/// egg to moth and giving each seen animal the *latest* expected one not yet
/// used leaves as few unmatched as possible: an expected animal that could
/// serve now could serve any later one too, so nothing is lost by choosing
/// among them, and the latest costs the fewest steps. The tests hold this
/// against trying every possibility.
///
/// ```
/// use rearing::explain;
/// use terms::Stage::Larva;
/// // The book has 6 in L2; seen are 3 in L2 and 2 in L3.
/// let found = explain(&[(Larva(2), 6)].into(), &[(Larva(2), 3), (Larva(3), 2)].into());
/// assert_eq!(found.moved_on, [(Larva(2), Larva(3), 2)]);
/// assert_eq!(found.short, [(Larva(2), 1)]);
/// ```
#[must_use]
pub fn explain(expected: &BTreeMap<Stage, u32>, seen: &BTreeMap<Stage, u32>) -> Explanation {
    let stages: std::collections::BTreeSet<Stage> = expected.keys().chain(seen.keys()).copied().collect();
    let mut waiting: Vec<(Stage, u32)> = Vec::new();
    let mut explanation = Explanation::default();
    for stage in stages {
        waiting.push((stage, expected.get(&stage).copied().unwrap_or(0)));
        let mut unmatched = seen.get(&stage).copied().unwrap_or(0);
        for (from, left) in waiting.iter_mut().rev() {
            let n = unmatched.min(*left);
            *left -= n;
            unmatched -= n;
            if n > 0 && *from != stage {
                explanation.moved_on.push((*from, stage, n));
            }
        }
        if unmatched > 0 {
            explanation.over.push((stage, unmatched));
        }
    }
    explanation.short = waiting.into_iter().filter(|(_, n)| *n > 0).collect();
    explanation.moved_on.sort_unstable();
    explanation
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The slow twin: every way to send expected animals forward, the best by
    /// (short + over, steps).
    fn best_cost(expected: &[u32], seen: &[u32]) -> (u32, u32) {
        fn walk(
            from: usize,
            expected: &mut Vec<u32>,
            seen: &mut Vec<u32>,
            steps: u32,
            best: &mut (u32, u32),
        ) {
            if from == expected.len() {
                let unmatched = expected.iter().sum::<u32>() + seen.iter().sum::<u32>();
                *best = (*best).min((unmatched, steps));
                return;
            }
            walk(from + 1, expected, seen, steps, best);
            for to in from..seen.len() {
                if expected[from] > 0 && seen[to] > 0 {
                    expected[from] -= 1;
                    seen[to] -= 1;
                    walk(from, expected, seen, steps + (to - from) as u32, best);
                    expected[from] += 1;
                    seen[to] += 1;
                }
            }
        }
        let mut best = (u32::MAX, u32::MAX);
        walk(0, &mut expected.to_vec(), &mut seen.to_vec(), 0, &mut best);
        best
    }

    fn in_stages(counts: &[u32]) -> BTreeMap<Stage, u32> {
        counts.iter().enumerate().map(|(index, n)| (Stage::Larva(index as u8 + 1), *n)).collect()
    }

    proptest! {
        #[test]
        fn no_explanation_is_smaller(
            expected in prop::collection::vec(0u32..3, 3),
            seen in prop::collection::vec(0u32..3, 3),
        ) {
            let found = explain(&in_stages(&expected), &in_stages(&seen));
            let steps: u32 = found
                .moved_on
                .iter()
                .map(|(from, to, n)| match (from, to) {
                    (Stage::Larva(from), Stage::Larva(to)) => u32::from(to - from) * n,
                    _ => 0,
                })
                .sum();
            prop_assert_eq!((found.short_n() + found.over_n(), steps), best_cost(&expected, &seen));
        }
    }

    #[test]
    fn nobody_goes_back_a_stage() {
        let found = explain(&in_stages(&[0, 2]), &in_stages(&[2, 0]));
        assert_eq!(found.short, [(Stage::Larva(2), 2)]);
        assert_eq!(found.over, [(Stage::Larva(1), 2)]);
        assert!(found.moved_on.is_empty());
    }

    #[test]
    fn a_count_that_fits_needs_none() {
        assert!(explain(&in_stages(&[1, 2]), &in_stages(&[1, 2])).fits());
    }
}

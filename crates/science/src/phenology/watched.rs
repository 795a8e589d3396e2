//! Animals that were started together and counted several times: only the counts are known, not who is who.

use super::brood::LivingFault;

/// One count of a group: how many were seen alive in each stage.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxCount {
    /// When it was made, days.
    pub at_d: f64,
    /// How many were seen in each stage of the model, the moths last.
    pub seen: Vec<u32>,
}

/// Animals that entered the same stage at the same instant in one box, and every count that was made of them.
///
/// Who was not seen at a count is dead or was overlooked; both are worked out, nobody needs to say which.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// When they entered `started_stage`, days.
    pub started_d: f64,
    /// The stage they were started in.
    pub started_stage: usize,
    /// How many there were at the start.
    pub n: u32,
    /// Their box, numbered by the caller from 0.
    pub box_index: usize,
    /// The counts, in any order.
    pub counts: Vec<BoxCount>,
}

/// Counts of one group that are still told apart; more are thinned evenly, the last always stays.
const MOST_COUNTS: usize = 120;
/// Two counts closer than this are one: the later stands, days.
const SAME_COUNT_D: f64 = 1e-6;

impl Watched {
    pub(super) fn check(&self, stages: usize, asof_d: f64) -> Result<(), LivingFault> {
        if self.started_stage >= stages {
            return Err(LivingFault::NoSuchStage { stage: self.started_stage, stages });
        }
        if !self.started_d.is_finite() {
            return Err(LivingFault::Window);
        }
        if self.started_d > asof_d {
            return Err(LivingFault::InTheFuture);
        }
        for count in &self.counts {
            if !count.at_d.is_finite() || count.at_d < self.started_d {
                return Err(LivingFault::Window);
            }
            if count.at_d > asof_d {
                return Err(LivingFault::InTheFuture);
            }
            let beyond = count.seen.iter().skip(stages + 1).any(|n| *n > 0);
            if beyond || count.seen.iter().take(self.started_stage).any(|n| *n > 0) {
                return Err(LivingFault::CountedElsewhere { started_stage: self.started_stage });
            }
            let seen = count.seen.iter().map(|n| u64::from(*n)).sum();
            if seen > u64::from(self.n) {
                return Err(LivingFault::MoreThanStarted { seen, n: self.n });
            }
        }
        Ok(())
    }

    /// The counts in order of time, each with a number for every stage, and how many animals had to be moved.
    ///
    /// Animals do not go back. Where more are seen early in life than can still be there after what was seen
    /// before, the earlier count is taken to have called some of them moulted too soon: the least change that
    /// makes the counts possible.
    pub(super) fn in_order(&self, stages: usize) -> (Vec<BoxCount>, u32) {
        let mut counts = self.counts.clone();
        counts.sort_by(|a, b| a.at_d.total_cmp(&b.at_d));
        counts.reverse();
        counts.dedup_by(|a, b| (a.at_d - b.at_d).abs() < SAME_COUNT_D);
        counts.reverse();
        if counts.len() > MOST_COUNTS {
            let (all, mut place) = (counts.len(), 0);
            counts.retain(|_| {
                place += 1;
                // From the end: the last is kept, and of the others every so-many-th.
                (all - place) * MOST_COUNTS / all != (all - place + 1) * MOST_COUNTS / all || place == all
            });
        }
        for count in &mut counts {
            count.seen.resize(stages + 1, 0);
        }
        let mut moved = 0;
        for later in 1..counts.len() {
            for stage in 0..stages {
                let below: u32 = counts[later].seen[..=stage].iter().sum();
                let room = self.n.saturating_sub(below);
                for count in &mut counts[..later] {
                    let beyond: u32 = count.seen[stage + 1..].iter().sum();
                    let mut back = beyond.saturating_sub(room);
                    moved += back;
                    for higher in stage + 1..=stages {
                        let from_here = back.min(count.seen[higher]);
                        count.seen[higher] -= from_here;
                        count.seen[stage] += from_here;
                        back -= from_here;
                    }
                }
            }
        }
        (counts, moved)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn watched(counts: &[(f64, &[u32])]) -> Watched {
        let count = |(at_d, seen): &(f64, &[u32])| BoxCount { at_d: *at_d, seen: seen.to_vec() };
        Watched {
            started_d: 0.0,
            started_stage: 0,
            n: 10,
            box_index: 0,
            counts: counts.iter().map(count).collect(),
        }
    }

    #[test]
    fn counts_are_put_in_order_and_filled_up() {
        let (counts, moved) = watched(&[(5.0, &[0, 9]), (3.0, &[10]), (5.0, &[2, 8])]).in_order(3);
        assert_eq!(moved, 0);
        assert_eq!(counts.len(), 2);
        assert_eq!((&counts[0].seen, &counts[1].seen), (&vec![10, 0, 0, 0], &vec![2, 8, 0, 0]));
    }

    #[test]
    fn who_goes_back_had_not_gone_on() {
        let (counts, moved) = watched(&[(3.0, &[4, 6]), (5.0, &[7, 3])]).in_order(1);
        assert_eq!((counts[0].seen.clone(), moved), (vec![7, 3], 3));
        // Two died, so four of the six may have been right: ten started, seven are below, three can be beyond.
        let (counts, moved) = watched(&[(3.0, &[0, 0, 8]), (5.0, &[3, 0, 5])]).in_order(2);
        assert_eq!((counts[0].seen.clone(), moved), (vec![1, 0, 7], 1));
    }

    #[test]
    fn too_many_counts_are_thinned_and_the_last_stays() {
        let seen: &[u32] = &[10];
        let many: Vec<(f64, &[u32])> = (0..1000).map(|it| (f64::from(it) * 0.1, seen)).collect();
        let (counts, _) = watched(&many).in_order(1);
        assert!(counts.len() <= MOST_COUNTS + 1 && counts.len() > MOST_COUNTS / 2, "{}", counts.len());
        assert!((counts.last().map_or(0.0, |it| it.at_d) - 99.9).abs() < 1e-9);
    }
}

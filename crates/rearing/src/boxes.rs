//! A box: who is in it, since when, and what was last seen.

use crate::refusal::Refusal;
use jiff::Timestamp;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use terms::Stage;

/// Animals of one line that came into one stage in the same look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cohort {
    /// The line.
    pub line: String,
    /// The stage.
    pub stage: Stage,
    /// How many are left of it.
    pub n: u32,
    /// They were not yet in the stage at this moment, when the box was last looked at;
    /// `None` if nobody had looked before.
    pub not_before: Option<Timestamp>,
    /// They were seen in the stage at this moment.
    pub since: Timestamp,
    /// Who they are, by their places in [`crate::House::trails`]: as many as there are. Animals of one box and stage
    /// look alike, so of them it is only a way of writing down.
    pub animals: Vec<usize>,
}

/// A box, tray or tub.
#[derive(Debug, Clone, PartialEq)]
pub struct RearingBox {
    /// What stands on the lid.
    pub name: String,
    /// The line it was set up for; empty for trays and stores.
    pub line: String,
    /// Since when it is in use.
    pub opened: Date,
    /// When it was put away, if it was.
    pub closed: Option<Date>,
    /// The stage it was set up for.
    pub for_stage: Option<Stage>,
    /// What it is.
    pub vessel: String,
    /// Its floor.
    pub floor_cm2: Option<f64>,
    /// Where it stands.
    pub place: String,
    /// Set apart since, and for which sign.
    pub set_apart: Option<(Date, String)>,
    /// Who is in it.
    pub cohorts: Vec<Cohort>,
    /// The lots that the animals of a line in this box can be of. A box tells
    /// lots apart only while one lot is in it.
    pub lots: BTreeMap<String, BTreeSet<String>>,
    /// When anybody last looked into it, and the last time before that visit.
    pub looked_at: Option<Timestamp>,
    pub(crate) looked_before: Option<Timestamp>,
    /// The plant that was last given.
    pub plant: String,
}

impl RearingBox {
    /// How many of a stage, of one line or of all.
    #[must_use]
    pub fn count(&self, line: Option<&str>, stage: Stage) -> u32 {
        self.cohorts
            .iter()
            .filter(|it| it.stage == stage && line.is_none_or(|line| it.line == line))
            .map(|it| it.n)
            .sum()
    }

    /// How many animals in all.
    #[must_use]
    pub fn total(&self) -> u32 {
        self.cohorts.iter().map(|it| it.n).sum()
    }

    /// How many in each stage, in the order of life.
    #[must_use]
    pub fn by_stage(&self) -> BTreeMap<Stage, u32> {
        let mut stages = BTreeMap::new();
        for cohort in &self.cohorts {
            *stages.entry(cohort.stage).or_insert(0) += cohort.n;
        }
        stages
    }

    /// The lines that have animals in it.
    #[must_use]
    pub fn lines(&self) -> BTreeSet<&str> {
        self.cohorts.iter().map(|it| it.line.as_str()).collect()
    }

    /// The line that is meant: the one named, or the only one there is.
    pub(crate) fn line_meant(&self, named: Option<&str>, stage: Stage) -> Result<String, Refusal> {
        if let Some(line) = named {
            return Ok(line.to_owned());
        }
        let lines: BTreeSet<&str> =
            self.cohorts.iter().filter(|it| it.stage == stage).map(|it| it.line.as_str()).collect();
        match lines.len() {
            0 => Ok(self.line.clone()),
            1 => Ok(lines.into_iter().next().unwrap_or_default().to_owned()),
            _ => Err(Refusal::WhichLine {
                name: self.name.clone(),
                lines: lines.into_iter().collect::<Vec<_>>().join(" and "),
            }),
        }
    }

    /// Are there `n` of a stage to take?
    pub(crate) fn has(&self, line: &str, stage: Stage, n: u32) -> Result<(), Refusal> {
        let has = self.count(Some(line), stage);
        if has < n {
            return Err(Refusal::NotEnough { name: self.name.clone(), stage, has, asked: n });
        }
        Ok(())
    }

    /// Takes `n` of a stage, those that came into it first before the others:
    /// who began first moults first. The caller has asked [`RearingBox::has`].
    pub(crate) fn take(&mut self, line: &str, stage: Stage, n: u32) -> Vec<Cohort> {
        let mut wanted = n;
        let mut taken = Vec::new();
        for cohort in self.cohorts.iter_mut().filter(|it| it.line == line && it.stage == stage) {
            let part = cohort.n.min(wanted);
            if part > 0 {
                cohort.n -= part;
                wanted -= part;
                let staying = cohort.animals.split_off((part as usize).min(cohort.animals.len()));
                let going = std::mem::replace(&mut cohort.animals, staying);
                taken.push(Cohort {
                    line: cohort.line.clone(),
                    stage: cohort.stage,
                    n: part,
                    not_before: cohort.not_before,
                    since: cohort.since,
                    animals: going,
                });
            }
        }
        self.cohorts.retain(|it| it.n > 0);
        if !self.cohorts.iter().any(|it| it.line == line) {
            self.lots.remove(line);
        }
        taken
    }

    /// Puts animals in; the box keeps its cohorts in the order of their entry.
    pub(crate) fn put(&mut self, cohort: Cohort, lots: &BTreeSet<String>) {
        self.lots.entry(cohort.line.clone()).or_default().extend(lots.iter().cloned());
        self.cohorts.push(cohort);
        self.cohorts.sort_by_key(|it| (it.stage, it.since));
    }

    /// When this box was last looked at before the visit that `at` belongs to.
    #[must_use]
    pub fn last_look_before(&self, at: Timestamp) -> Option<Timestamp> {
        match self.looked_at {
            Some(latest) if same_visit(latest, at) => self.looked_before,
            latest => latest,
        }
    }

    pub(crate) fn look(&mut self, at: Timestamp) {
        self.looked_before = self.last_look_before(at);
        self.looked_at = Some(at);
    }

    /// The lots that an animal of a line in this box can be of.
    #[must_use]
    pub fn lots_of(&self, line: &str) -> BTreeSet<String> {
        self.lots.get(line).cloned().unwrap_or_default()
    }
}

/// Deeds within a few hours belong to one visit: who is noted second was seen
/// first by the visit before, not by the deed a minute ago.
fn same_visit(earlier: Timestamp, later: Timestamp) -> bool {
    const VISIT_SECONDS: i64 = 4 * 3600;
    later.as_second() - earlier.as_second() < VISIT_SECONDS
}

//! Animals that were together, in the form in which the stories are told of them.

use super::super::brood::Window;
use super::super::model::BroodModel;
use super::super::tracks::{Glance, Tracked};
use super::super::watched::{BoxCount, Watched};

/// Where nobody can meet anybody: out of the house.
pub(super) const NOWHERE: u16 = u16::MAX;

/// How an animal's story begins.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct Head {
    pub(in super::super) stage: usize,
    pub(in super::super) window: Window,
    /// The look at which it was known to live although it had begun before: what it had survived until then
    /// teaches nothing.
    pub(in super::super) conditioned: Option<usize>,
    pub(in super::super) place: u16,
}

/// What goes with the end of a story, whoever's it is.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct Tail {
    pub(in super::super) female_chance: f64,
    pub(in super::super) here: bool,
    pub(in super::super) box_index: usize,
    /// The stage in which it was last seen.
    pub(in super::super) stage: usize,
    /// It is thought to be alive: of animals that were only counted, those found at the last count.
    pub(in super::super) expected: bool,
}

/// Animals that were together as the chain sees them.
#[derive(Debug, Clone)]
pub(in super::super) struct Cohort {
    pub(in super::super) n: usize,
    /// The book has followed them from box to box and stage to stage.
    pub(in super::super) followed: bool,
    pub(in super::super) heads: Vec<Head>,
    pub(in super::super) tails: Vec<Tail>,
    /// When the looks were taken, days.
    pub(in super::super) looks_d: Vec<f64>,
    /// Instants are kept from here, days.
    pub(in super::super) base_d: f64,
    /// Animal by animal, look by look: how it was first thought to be.
    pub(super) glances: Vec<Glance>,
    pub(super) places: Vec<u16>,
    /// Of animals that were only counted: the counts; for the predictive check.
    pub(in super::super) counts: Vec<BoxCount>,
    /// Animals of the counts that had to be called less far on than they were noted.
    pub(in super::super) moved: u32,
}

impl Cohort {
    /// Animals of which only the counts are known.
    pub(in super::super) fn of_counts(watched: &Watched, model: &BroodModel) -> Cohort {
        let stages = model.stages.len();
        let (mut counts, moved) = watched.in_order(stages);
        if counts.is_empty() {
            // Nobody looked since they were started: all were seen at the start.
            let mut seen = vec![0; stages + 1];
            seen[watched.started_stage] = watched.n;
            counts.push(BoxCount { at_d: watched.started_d, seen });
        }
        let n = watched.n as usize;
        let records = matched(watched, &counts, stages);
        let glance = |it: &Option<usize>| it.map_or(Glance::NotFound, Glance::Alive);
        let tail = |it: &Vec<Option<usize>>| Tail {
            female_chance: model.female_share,
            here: true,
            box_index: watched.box_index,
            stage: it.iter().rev().flatten().next().copied().unwrap_or(watched.started_stage),
            expected: it.last().is_some_and(Option::is_some),
        };
        let window = Window::at(watched.started_d);
        let head = Head { stage: watched.started_stage, window, conditioned: None, place: 0 };
        Cohort {
            n,
            followed: false,
            heads: vec![head; n],
            tails: records.iter().map(tail).collect(),
            looks_d: counts.iter().map(|it| it.at_d).collect(),
            base_d: watched.started_d,
            glances: records.iter().flatten().map(glance).collect(),
            places: vec![0; n * counts.len()],
            counts,
            moved,
        }
    }

    /// Animals that a book has followed.
    pub(in super::super) fn of_tracks(tracked: &Tracked, model: &BroodModel) -> Cohort {
        let tracked = tracked.thinned();
        let place = |it: &Option<usize>| it.map_or(NOWHERE, |it| it as u16);
        let mut heads = Vec::with_capacity(tracked.tracks.len());
        let mut tails = Vec::with_capacity(tracked.tracks.len());
        for it in &tracked.tracks {
            let first = it.glances.iter().position(|it| it.is_alive());
            let in_start = first.filter(|look| it.glances[*look] == Glance::Alive(it.started_stage));
            heads.push(Head {
                stage: it.started_stage,
                window: it.started,
                conditioned: in_start.filter(|look| it.started.earliest_d < tracked.looks_d[*look]),
                place: it.boxes.iter().find(|it| it.is_some()).map_or(NOWHERE, place),
            });
            tails.push(Tail {
                female_chance: it.female_chance.unwrap_or(model.female_share),
                here: it.here,
                box_index: it.last_box(),
                stage: it.last_stage(),
                expected: it.here,
            });
        }
        Cohort {
            n: tracked.tracks.len(),
            followed: true,
            heads,
            tails,
            base_d: tracked.earliest_d(),
            glances: tracked.tracks.iter().flat_map(|it| it.glances.iter().copied()).collect(),
            places: tracked.tracks.iter().flat_map(|it| it.boxes.iter().map(place)).collect(),
            looks_d: tracked.looks_d,
            counts: Vec::new(),
            moved: 0,
        }
    }

    /// The least far stage in which anybody who is expected to live was last seen; where they were started if nobody
    /// is.
    pub(in super::super) fn lowest_stage(&self) -> usize {
        let seen = self.tails.iter().filter(|it| it.here && it.expected).map(|it| it.stage).min();
        seen.or_else(|| self.heads.iter().map(|it| it.stage).min()).unwrap_or(0)
    }

    /// The last look; the latest start if nobody looked.
    pub(in super::super) fn last_d(&self) -> f64 {
        let starts = || self.heads.iter().map(|it| it.window.latest_d).fold(self.base_d, f64::max);
        self.looks_d.last().copied().unwrap_or_else(starts)
    }
}

/// For each animal the stage it was seen in at each count.
///
/// Who is seen is chosen so that nobody goes back: the lowest stages ask for the furthest that still fit. Of the
/// chosen, who was ahead stays ahead.
fn matched(watched: &Watched, counts: &[BoxCount], stages: usize) -> Vec<Vec<Option<usize>>> {
    let n = watched.n as usize;
    let mut records = vec![vec![None; counts.len()]; n];
    // By the furthest stage each was seen in; who was seen last lies on top.
    let mut known: Vec<Vec<usize>> = vec![Vec::new(); stages + 1];
    known[watched.started_stage].extend((0..n).rev());
    for (count, it) in counts.iter().enumerate() {
        let (mut chosen, mut slots) = (Vec::new(), Vec::new());
        for stage in watched.started_stage..=stages {
            for _ in 0..it.seen[stage] {
                // The counts were made possible before; an animal too many is left out.
                let found = (0..=stage).rev().find_map(|from| known[from].pop().map(|animal| (from, animal)));
                if let Some(found) = found {
                    chosen.push(found);
                    slots.push(stage);
                }
            }
        }
        chosen.sort_by_key(|(from, _)| *from);
        for ((_, animal), stage) in chosen.into_iter().zip(slots) {
            records[animal][count] = Some(stage);
            known[stage].push(animal);
        }
    }
    records
}

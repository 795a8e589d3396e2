//! The book's animals as the forecast learns from them: what each look into each box showed of each.

use crate::model::stage_index;
use crate::state::{day_number, noon};
use crate::weighed::{Weighed, sure};
use evidence::{Profile, StageName};
use jiff::Timestamp;
use rearing::deed::Way;
use rearing::house::{CountRow, Lot};
use rearing::{Cohort, Happened, House, Mark, RearingBox, Trail};
use science::phenology::{BroodModel, Glance, Track, Tracked, Window};
use std::collections::{BTreeMap, BTreeSet};
use terms::Stage;

/// Boxes opened within so many hours of the first are one morning's look.
const MORNING_D: f64 = 4.0 / 24.0;
/// Who came as a pupa or an egg of unknown age has at most this share of the stage behind it.
const BEHIND: f64 = 0.9;

/// One morning: when, which boxes were opened, and what was counted in them last.
struct Morning<'a> {
    at_d: f64,
    until: Timestamp,
    opened: BTreeSet<&'a str>,
    counted: BTreeMap<&'a str, &'a CountRow>,
}

/// What the book shows of a line's animals; boxes that are not yet named in `boxes` are added to it.
pub(crate) fn followed(
    profile: &Profile,
    model: &BroodModel,
    house: &House,
    line: &str,
    boxes: &mut Vec<String>,
    asof: Timestamp,
) -> Tracked {
    let of_line = |it: &Trail| house.lots.get(&it.lot).is_some_and(|lot| lot.told.line == line);
    let animals: Vec<usize> = (0..house.trails.len()).filter(|it| of_line(&house.trails[*it])).collect();
    let mornings = mornings(house, &animals, asof);
    let mut tracks: Vec<Walk> = Vec::with_capacity(animals.len());
    for animal in &animals {
        let trail = &house.trails[*animal];
        let Some(lot) = house.lots.get(&trail.lot) else { continue };
        tracks.push(Walk::new(profile, model, lot, trail));
    }
    for morning in &mornings {
        for it in &mut tracks {
            it.live_on(profile, model, morning);
        }
        look(&mut tracks, morning, model);
        for it in &mut tracks {
            it.note(boxes);
        }
    }
    let female = female_chances(house, line);
    let track = |(animal, it): (&usize, Walk<'_>)| {
        let here = it.trail.left().is_none();
        Track {
            started_stage: it.started_stage,
            started: it.started,
            female_chance: female.get(animal).copied().filter(|_| here),
            here,
            boxes: it.boxes,
            glances: it.glances,
        }
    };
    Tracked {
        looks_d: mornings.iter().map(|it| it.at_d).collect(),
        tracks: animals.iter().zip(tracks).map(track).collect(),
    }
}

/// All looks at boxes that ever held one of the animals, morning by morning.
fn mornings<'a>(house: &'a House, animals: &[usize], asof: Timestamp) -> Vec<Morning<'a>> {
    let mut held: BTreeSet<&str> = BTreeSet::new();
    let mut moments: BTreeSet<Timestamp> = BTreeSet::new();
    for mark in animals.iter().flat_map(|it| &house.trails[*it].marks) {
        moments.insert(mark.at);
        if let Happened::Seen { into, .. } | Happened::Carried { into } = &mark.what {
            held.insert(into);
        }
    }
    let looks: Vec<(Timestamp, &str)> = house
        .looks
        .iter()
        .filter(|it| held.contains(it.name.as_str()))
        .map(|it| (it.at, it.name.as_str()))
        .collect();
    moments.extend(looks.iter().map(|(at, _)| *at));
    let mut mornings: Vec<Morning<'_>> = Vec::new();
    let (mut began_d, mut sum_d, mut n) = (f64::NEG_INFINITY, 0.0, 0.0);
    for at in moments {
        let at_d = day_number(at);
        if at_d - began_d > MORNING_D {
            (began_d, sum_d, n) = (at_d, 0.0, 0.0);
            mornings.push(Morning { at_d, until: at, opened: BTreeSet::new(), counted: BTreeMap::new() });
        }
        sum_d += at_d;
        n += 1.0;
        if let Some(it) = mornings.last_mut() {
            (it.at_d, it.until) = ((sum_d / n).min(day_number(asof)), at);
        }
    }
    // Several looks may fall on the very moment that is asked about.
    mornings.dedup_by(|later, earlier| {
        let same = later.at_d <= earlier.at_d;
        if same {
            earlier.until = later.until;
        }
        same
    });
    let at = |at: Timestamp| mornings.partition_point(|it| it.until < at);
    let opened: Vec<(usize, &str)> = looks.iter().map(|(moment, name)| (at(*moment), *name)).collect();
    let counted: Vec<(usize, &CountRow)> = house.counts.iter().map(|it| (at(it.at), it)).collect();
    for (place, name) in opened {
        if let Some(it) = mornings.get_mut(place) {
            it.opened.insert(name);
        }
    }
    for (place, row) in counted {
        if let Some(it) = mornings.get_mut(place).filter(|it| it.opened.contains(row.told.name.as_str())) {
            it.counted.insert(&row.told.name, row);
        }
    }
    mornings
}

/// An animal on its way through the mornings.
struct Walk<'a> {
    trail: &'a Trail,
    started_stage: usize,
    started: Window,
    next: usize,
    /// What the book calls its stage, and the model.
    stage: Stage,
    index: usize,
    /// The box it lies in; the one it came into, before it comes.
    in_box: &'a str,
    /// The box it was in when the morning began.
    was_in: &'a str,
    left: Option<Way>,
    left_now: bool,
    glance: Glance,
    boxes: Vec<Option<usize>>,
    glances: Vec<Glance>,
}

impl<'a> Walk<'a> {
    fn new(profile: &Profile, model: &BroodModel, lot: &Lot, trail: &'a Trail) -> Walk<'a> {
        let (index, started) = began(profile, model, lot);
        let came_into = trail.marks.iter().find_map(|it| match &it.what {
            Happened::Seen { into, .. } => Some(into.as_str()),
            _ => None,
        });
        let in_box = came_into.unwrap_or_default();
        Walk {
            trail,
            started_stage: index,
            started,
            next: 0,
            stage: lot.told.stage,
            index,
            in_box,
            was_in: in_box,
            left: None,
            left_now: false,
            glance: Glance::Unlooked,
            boxes: Vec::new(),
            glances: Vec::new(),
        }
    }

    /// What the marks of a morning say.
    fn live_on(&mut self, profile: &Profile, model: &BroodModel, morning: &Morning<'_>) {
        (self.was_in, self.left_now, self.glance) = (self.in_box, false, Glance::Unlooked);
        while let Some(Mark { what, .. }) =
            self.trail.marks.get(self.next).filter(|it| it.at <= morning.until)
        {
            self.next += 1;
            match what {
                Happened::Seen { stage, into } => {
                    (self.in_box, self.left) = (into, None);
                    let seen = index_of(profile, model, *stage);
                    // Nobody sees into an egg or a cocoon that has just come, or into a cocoon that was one before.
                    let came = self.next == 1 && matches!(stage, Stage::Egg | Stage::Cocoon);
                    let shut = came || (self.stage == Stage::Cocoon && *stage == Stage::Cocoon);
                    let index = if self.next == 1 { self.started_stage } else { seen };
                    // Nobody goes back: a find that says so was somebody else, or was misread.
                    if index >= self.index {
                        (self.index, self.stage) = (index, *stage);
                        self.glance = match *stage {
                            stage if shut => unopened(model, stage),
                            // Nor in which stage it is that lies in a cocoon.
                            Stage::Cocoon => Glance::Between(index, model.moth() - 1),
                            _ => Glance::Alive(index),
                        };
                    }
                }
                Happened::Carried { into } => self.in_box = into,
                Happened::Left { way } => (self.left, self.left_now) = (Some(*way), true),
            }
        }
        let Some(way) = self.left else { return };
        // A moth that has flown has taught what it can; one that is found again was there.
        let flown = self.flown();
        self.glance = match way {
            Way::Died | Way::EggFailed if !flown => Glance::Dead,
            Way::Missing if !flown && (self.left_now || morning.opened.contains(self.in_box)) => {
                Glance::NotFound
            }
            Way::Missing if !flown => Glance::Unlooked,
            // It was alive when it left, and was seen to be.
            _ if self.left_now && self.stage.is_larva() => Glance::Alive(self.index),
            _ if self.left_now && self.glance.is_alive() => self.glance,
            _ => Glance::Gone,
        };
    }

    /// Has it come out and left for good?
    fn flown(&self) -> bool {
        let comes_back = |it: &Mark| matches!(it.what, Happened::Seen { .. });
        self.stage == Stage::Moth && !self.trail.marks.iter().skip(self.next).any(comes_back)
    }

    /// Is it in a box of the house?
    fn housed(&self) -> bool {
        self.left.is_none() && self.next > 0
    }

    fn note(&mut self, boxes: &mut Vec<String>) {
        let stays = self.left.is_none_or(|way| way == Way::Missing && !self.flown());
        let place = stays.then(|| {
            boxes.iter().position(|it| it == self.in_box).unwrap_or_else(|| {
                boxes.push(self.in_box.to_owned());
                boxes.len() - 1
            })
        });
        self.boxes.push(place);
        self.glances.push(self.glance);
    }
}

/// What the boxes that were opened showed of those that nothing was noted of.
fn look(tracks: &mut [Walk<'_>], morning: &Morning<'_>, model: &BroodModel) {
    for name in &morning.opened {
        let row = morning.counted.get(name);
        let named = |stage: Stage| row.is_some_and(|it| it.told.seen.iter().any(|seen| seen.stage == stage));
        let mut short = row.map_or(0, |it| {
            let expected: u32 = it
                .expected
                .iter()
                .filter(|(stage, _)| stage.is_larva() && named(**stage))
                .map(|(_, n)| n)
                .sum();
            let seen: u32 = it.told.seen.iter().filter(|it| it.stage.is_larva()).map(|it| it.n).sum();
            expected.saturating_sub(seen)
        });
        // Who was noted as dead or missing in the same visit is no longer short.
        let gone =
            tracks.iter().filter(|it| it.left_now && it.was_in == *name && it.stage.is_larva()).count();
        short = short.saturating_sub(u32::try_from(gone).unwrap_or(u32::MAX));
        for it in tracks.iter_mut().rev() {
            if !it.housed() || it.was_in != *name || it.glance != Glance::Unlooked {
                continue;
            }
            it.glance = match it.stage {
                Stage::Larva(_) if named(it.stage) && short > 0 => {
                    short -= 1;
                    Glance::NotFound
                }
                Stage::Larva(_) | Stage::Moth if named(it.stage) => Glance::Alive(it.index),
                Stage::Larva(_) | Stage::Moth => Glance::NotBeyond(it.index),
                stage => unopened(model, stage),
            };
        }
    }
}

/// What an egg or a cocoon shows that nobody opened.
fn unopened(model: &BroodModel, stage: Stage) -> Glance {
    Glance::NotBeyond(if stage == Stage::Egg { 0 } else { model.moth() - 1 })
}

/// The model's stage of one that was seen in a stage; who has just spun is spinning.
fn index_of(profile: &Profile, model: &BroodModel, stage: Stage) -> usize {
    let spinning = usize::from(profile.instars.count) + 1;
    stage_index(profile, stage).unwrap_or(spinning.min(model.moth() - 1))
}

/// The stage in which a lot's animals began, and when they can have entered it.
fn began(profile: &Profile, model: &BroodModel, lot: &Lot) -> (usize, Window) {
    let came_d = day_number(lot.at);
    let days = |stage: StageName| profile.stage(stage).map_or(10.0, |it| it.days.value);
    let since = |days: f64| Window { earliest_d: came_d - days, latest_d: came_d };
    match lot.told.stage {
        Stage::Egg => match lot.told.laid.map(|it| day_number(noon(it))) {
            // A laying goes by the date of its evening and lasts into the night.
            Some(noon_d) if noon_d < came_d => {
                (0, Window { earliest_d: noon_d, latest_d: (noon_d + 1.0).min(came_d) })
            }
            Some(_) => (0, since(1.0)),
            None => (0, since(BEHIND * days(StageName::Egg))),
        },
        Stage::Larva(instar) => {
            let index = index_of(profile, model, lot.told.stage);
            (index, since(days(StageName::Larva(instar.min(profile.instars.count)))))
        }
        // What is bought as a cocoon has pupated.
        Stage::Cocoon => (model.moth() - 1, since(BEHIND * days(StageName::Pupa))),
        Stage::Moth => (model.moth(), since(1.0)),
    }
}

/// The chance of being a female for animals of which more than the kind's share is known: numbered cocoons and named
/// moths, shared out over the animals of their box by age, told or guessed from weight.
fn female_chances(house: &House, line: &str) -> BTreeMap<usize, f64> {
    let weighed = Weighed::of(house, line);
    let mut chances = BTreeMap::new();
    for it in house.living_boxes() {
        for stage in [Stage::Cocoon, Stage::Moth] {
            let cohorts = it.cohorts.iter().filter(|it| it.line == line && it.stage == stage);
            let animals = cohorts.flat_map(|it: &Cohort| it.animals.iter().copied());
            let known = if stage == Stage::Cocoon {
                numbered_cocoons(house, it, line, weighed.as_ref())
            } else {
                named_moths(house, it, line)
            };
            for (animal, chance) in animals.zip(known) {
                if let Some(chance) = chance {
                    chances.insert(animal, chance);
                }
            }
        }
    }
    chances
}

fn numbered_cocoons(
    house: &House,
    it: &RearingBox,
    line: &str,
    weighed: Option<&Weighed>,
) -> Vec<Option<f64>> {
    let of_line = |lot: &str| house.lots.get(lot).is_some_and(|it| it.told.line == line);
    let mut known: Vec<_> = house
        .cocoons
        .values()
        .filter(|cocoon| cocoon.lies_in.as_deref() == Some(&it.name) && of_line(&cocoon.told.lot))
        .collect();
    known.sort_by_key(|cocoon| (cocoon.told.spun_on, cocoon.told.sex));
    let chance = |cocoon: &&rearing::house::Cocoon| {
        sure(cocoon.told.sex).or_else(|| weighed?.female_chance(cocoon.told.cocoon_fresh_g?))
    };
    known.iter().map(chance).collect()
}

fn named_moths(house: &House, it: &RearingBox, line: &str) -> Vec<Option<f64>> {
    let mut known: Vec<_> = house
        .moths
        .values()
        .filter(|moth| moth.lives_in.as_deref() == Some(&it.name) && moth.line == line)
        .collect();
    known.sort_by_key(|moth| (moth.out_on, moth.sex));
    known.iter().map(|moth| sure(moth.sex)).collect()
}

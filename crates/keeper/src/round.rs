//! The morning round: which boxes, in which order, what to do in each.

use crate::begin::guess;
use crate::book::{Keeper, Look};
use crate::failure::Failure;
use crate::forecasts::BoxOutlook;
use crate::note::misfit;
use crate::outbox::{both_said, entries_of_box};
use crate::say;
use crate::shelf::on_shelf;
use crate::view::round::{BoxRound, Expected, InMoult, NotedLine, Taker, WholeRound};
use rearing::{Deed, Entry, House, RearingBox, words};
use std::collections::BTreeSet;
use terms::Stage;

/// Signs for a dead animal, in plain words, most usual first. A sign is what is
/// seen; the cause is for later.
pub const SIGNS: [&str; 12] = [
    "stuck in the old skin",
    "failed moult",
    "wandered off the leaf",
    "would not feed",
    "limp, brown fluid",
    "liquid, skin tore",
    "hung head down",
    "stiff, mummified",
    "dried up",
    "drowned",
    "maggot left it",
    "unknown",
];

/// Less leaf than this cannot be weighed on a kitchen scale.
const A_LITTLE_G: f64 = 1.0;

impl Keeper {
    /// One box of this morning's round; `Ok(None)` if there is no such open box.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn box_round(&self, name: &str) -> Result<Option<BoxRound>, Failure> {
        let look = self.look();
        let Ok(it) = look.house.open_box(name) else { return Ok(None) };
        let outlook = self.box_outlook(&look, it)?;
        Ok(Some(self.box_as(&look, it, outlook)))
    }

    /// All boxes of this morning's round, in the order of the shelf.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn whole_round(&self) -> Result<WholeRound, Failure> {
        let look = self.look();
        let mut boxes = Vec::new();
        for name in shelf_order(&look.house) {
            let Ok(it) = look.house.open_box(&name) else { continue };
            let outlook = self.box_outlook(&look, it)?;
            boxes.push(self.box_as(&look, it, outlook));
        }
        Ok(WholeRound { now: look.wall, notice: self.notice(), boxes })
    }

    /// A box as a look shows it, with what is due in it.
    pub(crate) fn box_as(&self, look: &Look, it: &RearingBox, outlook: BoxOutlook) -> BoxRound {
        let name = it.name.as_str();
        let order = shelf_order(&look.house);
        let position = order.iter().position(|other| other == name);
        let at = |offset: usize| order.get(offset).cloned();
        let expected: Vec<Expected> = expected(it);
        let line = line_of(it);
        let entries = self.entries();
        let both_said = both_said(&entries, look, name);
        let misfit = misfit(look, name).map(|(_, words)| words).filter(|_| both_said.is_empty());
        BoxRound {
            now: look.wall,
            notice: self.notice(),
            position: position.map_or(0, |it| it + 1),
            of: order.len(),
            previous: position.and_then(|it| it.checked_sub(1)).and_then(at),
            next: position.and_then(|it| at(it + 1)),
            name: name.to_owned(),
            species: self.species_of(&look.house, &line).0,
            plant: it.plant.clone(),
            vessel: it.vessel.clone(),
            set_apart: it.set_apart.clone(),
            tasks: tasks(it, &outlook),
            instar_last: self.profile_of(&look.house, &line).map(|it| it.instars.count),
            in_moult: outlook.in_moult,
            leaf_fresh_g: outlook.leaf_today,
            takers: takers(&look.house, it),
            fresh_name: fresh_name(&look.house, &it.name),
            signs: SIGNS.iter().map(|it| (*it).to_owned()).collect(),
            missing: look.house.missing(&line),
            noted: noted_today(&entries, look, name),
            guess: misfit.as_ref().and_then(|_| guess(look, name)),
            misfit,
            both_said,
            seen_entries: entries_of_box(&entries, name).count() as u64,
            empty: expected.is_empty(),
            cautions: self.cautions_of_box(&look.house, &line, it),
            expected,
            line,
        }
    }

    fn cautions_of_box(&self, house: &House, line: &str, it: &RearingBox) -> Vec<String> {
        let mut cautions = Vec::new();
        if it.set_apart.is_some() {
            cautions.push(
                "Handle this box last: own brush and tongs, wash your hands after it, swap no stock from this room."
                    .to_owned(),
            );
        }
        match self.profile_of(house, line) {
            Some(profile) => cautions
                .extend(profile.cautions.iter().filter(|it| it.about == "sting").map(|it| it.says.clone())),
            None if it.by_stage().keys().any(|it| it.is_larva()) => cautions.push(
                "Unknown kind: treat its hairs and spines as stinging. Gloves, long sleeves, no children."
                    .to_owned(),
            ),
            None => {}
        }
        cautions
    }
}

/// The line that a box is about.
pub(crate) fn line_of(it: &RearingBox) -> String {
    let lines: BTreeSet<&str> = it.lines();
    if lines.contains(it.line.as_str()) || lines.is_empty() {
        return it.line.clone();
    }
    lines.into_iter().next().unwrap_or_default().to_owned()
}

pub(crate) fn expected(it: &RearingBox) -> Vec<Expected> {
    it.by_stage().into_iter().map(|(stage, n)| Expected { stage, n }).collect()
}

/// Boxes that a round must open, in the order in which they stand, and those set
/// apart last, so that nothing is carried from them.
pub(crate) fn shelf_order(house: &House) -> Vec<String> {
    on_shelf(house).into_iter().filter(|it| needs_opening(it)).map(|it| it.name.clone()).collect()
}

/// Eggs, larvae and moths are looked at every morning, and an empty rearing box
/// waits to be washed; cocoons are left in peace.
fn needs_opening(it: &RearingBox) -> bool {
    let stages = it.by_stage();
    it.closed.is_none()
        && (stages.keys().any(|stage| *stage != Stage::Cocoon)
            || (stages.is_empty() && it.for_stage.is_some()))
}

/// What to do, in the order of doing.
pub(crate) fn tasks(it: &RearingBox, outlook: &BoxOutlook) -> Vec<String> {
    let stages = it.by_stage();
    let mut tasks = Vec::new();
    if stages.is_empty() {
        return vec!["empty: wash and put away, or fill it".to_owned()];
    }
    if it.set_apart.is_some() {
        tasks.push("handle last, with its own brush and tongs".to_owned());
    }
    if stages.contains_key(&Stage::Egg) {
        tasks.push("look for hatched larvae".to_owned());
    }
    let larvae: u32 = stages.iter().filter(|(stage, _)| stage.is_larva()).map(|(_, n)| n).sum();
    if larvae > 0 {
        for moult in outlook.in_moult.iter().filter(|it| it.about_n > 0) {
            tasks.push(format!("leave {} in moult on their leaf", moult.about_n));
        }
        if outlook.moves_on_today {
            tasks.push(match outlook.moved_by_now.round() {
                n if n >= 1.0 => format!("split off the moulted, about {n} by now"),
                _ => "split off the moulted".to_owned(),
            });
        }
        if outlook.spins_today {
            tasks.push("give twigs; leave those that spin".to_owned());
        }
        tasks.push("count".to_owned());
        match outlook.leaf_today {
            Some(leaf) if leaf.q90 < A_LITTLE_G => {
                tasks.push("fresh leaf, a little: under 1 g is eaten".to_owned())
            }
            Some(leaf) => tasks.push(format!("fresh leaf, {}", say::mass(leaf.q90))),
            None => tasks.push("fresh leaf".to_owned()),
        }
        tasks.push("wet paper, out with the frass".to_owned());
    }
    if stages.contains_key(&Stage::Moth) {
        tasks.push("look who is alive, and whether eggs were laid".to_owned());
    }
    tasks
}

/// Boxes that can take those who move on: set up for that stage, or holding it.
fn takers(house: &House, it: &RearingBox) -> Vec<Taker> {
    let next: BTreeSet<Stage> = it
        .by_stage()
        .keys()
        .filter_map(|stage| if *stage == Stage::Egg { Some(Stage::Larva(1)) } else { stage.after_moult() })
        .collect();
    let line = line_of(it);
    let mut boxes: Vec<&RearingBox> = house
        .boxes
        .values()
        .filter(|other| other.closed.is_none() && other.name != it.name && other.set_apart.is_none())
        .filter(|other| other.line == line)
        .filter(|other| {
            other.for_stage.is_some_and(|stage| next.contains(&stage))
                || other.by_stage().keys().any(|stage| next.contains(stage))
        })
        .collect();
    boxes.sort_by_key(|other| {
        (other.for_stage.is_some_and(|stage| !next.contains(&stage)), other.opened, other.name.clone())
    });
    boxes.into_iter().map(|other| Taker { name: other.name.clone(), holds: holds(other) }).collect()
}

/// `2 L3 and 4 L4`, or `empty`.
pub(crate) fn holds(it: &RearingBox) -> String {
    let stages: Vec<String> = it.by_stage().into_iter().map(|(stage, n)| words::animals(n, stage)).collect();
    if stages.is_empty() { "empty".to_owned() } else { say::list(&stages) }
}

/// The next number of the same row of names: after H13 comes H14.
pub(crate) fn fresh_name(house: &House, like: &str) -> String {
    let stem: String = like.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
    let digits = like.len() - stem.len();
    let highest = house
        .boxes
        .keys()
        .filter_map(|name| name.strip_prefix(&stem).and_then(|number| number.parse::<u32>().ok()))
        .max()
        .unwrap_or(0);
    format!("{stem}{:0width$}", highest + 1, width = digits.max(1))
}

/// What was noted for a box on this day and still counts.
fn noted_today(entries: &[Entry], look: &Look, name: &str) -> Vec<NotedLine> {
    let today = look.today();
    let of_today = entries.iter().filter(|it| it.happened.wall.date() == today && look.house.knows(it.id));
    of_today
        .filter(|it| it.deed.about_box() == Some(name) && !matches!(it.deed, Deed::BoxOpened(_)))
        .map(|it| NotedLine { id: it.id, says: it.deed.in_words(), at: it.happened.wall })
        .collect()
}

/// The first who sits still, for a shelf where one line is enough.
pub(crate) fn most_in_moult(outlook: &BoxOutlook) -> Option<InMoult> {
    outlook.in_moult.iter().max_by_key(|it| it.about_n).filter(|it| it.about_n > 0).cloned()
}

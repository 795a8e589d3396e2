//! Work with boxes as wholes: a new one, split, merge, set apart, let back, put away.

use crate::air_note::places;
use crate::book::Keeper;
use crate::failure::{Failure, NotNoted};
use crate::note::{BY, fresh_box};
use crate::round::{fresh_name, holds, line_of};
use crate::shelf::on_shelf;
use crate::view::boxes::{BoxStanding, BoxWork, Boxes, Group};
use crate::view::round::{Saved, Taker};
use rearing::deed::{BoxClosed, BoxNote, BoxOpened, Move, Moved, SetApart};
use rearing::{Deed, House, RearingBox};
use std::collections::BTreeMap;
use terms::Stage;
use uuid::Uuid;

/// Signs for which a box is set apart, in plain words.
const SIGNS_APART: [&str; 6] = [
    "limp, brown fluid",
    "liquid, skin tore",
    "hung head down",
    "stiff, mummified",
    "came from elsewhere",
    "not sure",
];

/// Some of a box's animals.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// The line; needed only where a box holds several.
    pub line: Option<String>,
    /// The stage.
    pub stage: Stage,
    /// How many.
    pub n: u32,
}

/// A part of a box is to go into another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Split {
    /// Made with the page on which it was filled in.
    pub id: Option<Uuid>,
    /// Who goes.
    pub parts: Vec<Part>,
    /// Into which box.
    pub into: String,
    /// That box is to be opened first.
    pub into_is_new: bool,
}

/// A fresh box.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fresh {
    /// Made with the page on which it was filled in.
    pub id: Option<Uuid>,
    /// What stands on its lid.
    pub name: String,
    /// The line it is for; may be empty.
    pub line: String,
    /// The stage it is for.
    pub for_stage: Option<Stage>,
    /// What it is; may be empty.
    pub vessel: String,
    /// Where it stands; may be empty.
    pub place: String,
}

impl Keeper {
    /// Every open box in the order of the shelf.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn boxes(&self) -> Result<Boxes, Failure> {
        let look = self.look();
        let shelf = on_shelf(&look.house);
        let last = shelf.last().map_or_else(|| "A01".to_owned(), |it| it.name.clone());
        Ok(Boxes {
            now: look.wall,
            notice: self.notice(),
            boxes: (0..shelf.len()).filter_map(|place| standing(&shelf, place)).collect(),
            fresh_name: fresh_name(&look.house, &last),
            lines: look.house.lines(),
            places: places(&look.house),
        })
    }

    /// One box and what can be done with it; `Ok(None)` if there is no such open box.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn box_work(&self, name: &str) -> Result<Option<BoxWork>, Failure> {
        let look = self.look();
        let Ok(it) = look.house.open_box(name) else { return Ok(None) };
        let shelf = on_shelf(&look.house);
        let Some(at) = shelf.iter().position(|other| other.name == name) else { return Ok(None) };
        let Some(standing) = standing(&shelf, at) else { return Ok(None) };
        let line = line_of(it);
        let mut others: Vec<(usize, &&RearingBox)> =
            shelf.iter().enumerate().filter(|(place, _)| *place != at).collect();
        // Nobody is carried out of a box set apart into one that is not.
        others.retain(|(_, other)| it.set_apart.is_none() || other.set_apart.is_some());
        others.sort_by_key(|(place, other)| {
            (other.set_apart.is_some(), line_of(other) != line, place.abs_diff(at))
        });
        let cautions = if it.set_apart.is_some() {
            vec!["Handle this box last: own brush and tongs, wash your hands after it.".to_owned()]
        } else {
            Vec::new()
        };
        Ok(Some(BoxWork {
            now: look.wall,
            notice: self.notice(),
            standing,
            position: at + 1,
            of: shelf.len(),
            groups: groups(it).into_iter().map(|((line, stage), n)| Group { line, stage, n }).collect(),
            others: others
                .into_iter()
                .map(|(_, it)| Taker { name: it.name.clone(), holds: holds(it) })
                .collect(),
            fresh_name: fresh_name(&look.house, name),
            signs: SIGNS_APART.map(str::to_owned).to_vec(),
            cautions,
        }))
    }

    /// Opens a fresh box.
    ///
    /// # Errors
    /// If the name is taken or cannot stand on a lid, or the book cannot be written.
    pub fn open_fresh(&self, it: &Fresh) -> Result<Saved, NotNoted> {
        let deed = Deed::BoxOpened(BoxOpened {
            name: it.name.trim().to_owned(),
            line: it.line.clone(),
            for_stage: it.for_stage,
            vessel: it.vessel.trim().to_owned(),
            floor_cm2: None,
            place: it.place.trim().to_owned(),
            note: String::new(),
        });
        self.box_deeds(vec![deed], it.id)
    }

    /// Puts a part of a box into another, which may be opened for it.
    ///
    /// # Errors
    /// A rule that says no, or a failure of the store; nothing was saved then.
    pub fn split(&self, name: &str, split: &Split) -> Result<Saved, NotNoted> {
        let look = self.look_before(split.id)?;
        let house = &look.house;
        let it = house.open_box(name)?;
        if split.parts.iter().all(|it| it.n == 0) {
            return Err(NotNoted::Refused(format!(
                "it is not said how many leave box {name}: choose a number"
            )));
        }
        if split.into == name {
            return Err(NotNoted::Refused(format!(
                "those of box {name} are in it already: choose another box"
            )));
        }
        let mut deeds = Vec::new();
        if split.into_is_new {
            let stage =
                split.parts.iter().filter(|it| it.n > 0).map(|it| it.stage).max().unwrap_or(Stage::Egg);
            let fresh = fresh_box(house, name, &split.into, stage);
            // Who is split off for a suspicion stays apart.
            let apart = it.set_apart.as_ref().map(|(_, sign)| sign.clone());
            let into = fresh.name.clone();
            deeds.push(Deed::BoxOpened(fresh));
            deeds
                .extend(apart.map(|sign| Deed::SetApart(SetApart { name: into, sign, note: String::new() })));
        }
        let into = split.into.trim();
        for part in split.parts.iter().filter(|it| it.n > 0) {
            deeds.push(moved(house, name, into, part, Move::Split)?);
        }
        self.box_deeds(deeds, split.id)
    }

    /// Puts everybody of a box into another; the empty box stays open to be washed.
    ///
    /// # Errors
    /// A rule that says no, or a failure of the store; nothing was saved then.
    pub fn merge(&self, name: &str, into: &str, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        let look = self.look_before(id)?;
        let it = look.house.open_box(name)?;
        if into == name {
            return Err(NotNoted::Refused(format!(
                "those of box {name} are in it already: choose another box"
            )));
        }
        let mut deeds = Vec::new();
        for ((line, stage), n) in groups(it) {
            let part = Part { line: Some(line), stage, n };
            deeds.push(moved(&look.house, name, into, &part, Move::Merge)?);
        }
        if deeds.is_empty() {
            return Err(NotNoted::Refused(format!("box {name} is empty: there is nobody to move")));
        }
        self.box_deeds(deeds, id)
    }

    /// Sets a box apart.
    ///
    /// # Errors
    /// A rule that says no, or a failure of the store; nothing was saved then.
    pub fn set_apart(&self, name: &str, sign: &str, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        let (name, sign) = (name.to_owned(), sign.trim().to_owned());
        self.box_deeds(vec![Deed::SetApart(SetApart { name, sign, note: String::new() })], id)
    }

    /// Lets a box back.
    ///
    /// # Errors
    /// A rule that says no, or a failure of the store; nothing was saved then.
    pub fn let_back(&self, name: &str, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        self.box_deeds(vec![Deed::LetBack(BoxNote { name: name.to_owned(), note: String::new() })], id)
    }

    /// Puts an empty box away.
    ///
    /// # Errors
    /// If it is not empty, or the book cannot be written.
    pub fn put_away(&self, name: &str, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        self.box_deeds(vec![Deed::BoxClosed(BoxClosed { name: name.to_owned(), note: String::new() })], id)
    }

    fn box_deeds(&self, deeds: Vec<Deed>, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        let entries = self.note(deeds, id, BY)?;
        Ok(Saved {
            says: entries.iter().map(|it| it.deed.in_words()).collect(),
            ids: entries.iter().map(|it| it.id).collect(),
            misfit: false,
        })
    }
}

fn standing(shelf: &[&RearingBox], at: usize) -> Option<BoxStanding> {
    let it = shelf.get(at)?;
    let like = |other: Option<&&RearingBox>| {
        other.is_some_and(|other| other.set_apart.is_some() == it.set_apart.is_some())
    };
    Some(BoxStanding {
        name: it.name.clone(),
        line: line_of(it),
        holds: holds(it),
        set_apart: it.set_apart.clone(),
        place: it.place.clone(),
        may_go_earlier: at.checked_sub(1).is_some_and(|before| like(shelf.get(before))),
        may_go_later: like(shelf.get(at + 1)),
    })
}

/// Who is in a box, by line and stage.
fn groups(it: &RearingBox) -> BTreeMap<(String, Stage), u32> {
    let mut groups = BTreeMap::new();
    for cohort in &it.cohorts {
        *groups.entry((cohort.line.clone(), cohort.stage)).or_insert(0) += cohort.n;
    }
    groups
}

/// One move. Who is known by number goes along by number when all go; when
/// only some go, numbers must be left for those who stay.
fn moved(house: &House, name: &str, into: &str, part: &Part, why: Move) -> Result<Deed, NotNoted> {
    let it = house.open_box(name)?;
    let line = part.line.clone().or_else(|| {
        let lines = groups(it).into_keys().filter(|(_, stage)| *stage == part.stage).map(|(line, _)| line);
        let lines: Vec<String> = lines.collect();
        if lines.len() == 1 { lines.into_iter().next() } else { None }
    });
    let has = it.count(line.as_deref(), part.stage);
    let numbered: Vec<String> = match part.stage {
        Stage::Cocoon => house
            .cocoons
            .iter()
            .filter(|(_, known)| known.lies_in.as_deref() == Some(name))
            .filter(|(_, known)| {
                let of = house.lots.get(&known.told.lot).map(|lot| &lot.told.line);
                line.is_none() || of == line.as_ref()
            })
            .map(|(number, _)| number.clone())
            .collect(),
        Stage::Moth => house
            .moths
            .iter()
            .filter(|(_, known)| known.lives_in.as_deref() == Some(name))
            .filter(|(_, known)| line.as_ref().is_none_or(|line| known.line == *line))
            .map(|(number, _)| number.clone())
            .collect(),
        _ => Vec::new(),
    };
    let stay = has.saturating_sub(part.n) as usize;
    if part.n < has && numbered.len() > stay {
        return Err(NotNoted::Refused(format!(
            "in box {name} {} of the {}s have numbers, so it must be said which of them go: move all of them, or write it on the command line",
            numbered.len(),
            part.stage
        )));
    }
    Ok(Deed::Moved(Moved {
        from: name.to_owned(),
        into: into.to_owned(),
        line,
        stage: part.stage,
        n: part.n,
        animals: if part.n == has { numbered } else { Vec::new() },
        why: Some(why),
        note: String::new(),
    }))
}

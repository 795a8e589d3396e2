//! The house as it stands after a number of entries.

use crate::boxes::RearingBox;
use crate::deed::{AirRead, CocoonDescribed, Counted, LeafChanged, LightTold, LotReceived, PairingTold, Way};
use crate::refusal::Refusal;
use crate::trail::{Look, Trail};
use jiff::Timestamp;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use terms::{Sex, Stage};
use uuid::Uuid;

/// Everything that the entries so far add up to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct House {
    /// Lots by name.
    pub lots: BTreeMap<String, Lot>,
    /// Boxes by name, open and closed; a name used again is the newer box.
    pub boxes: BTreeMap<String, RearingBox>,
    /// Who left, by the lots they can be of, the way, and the stage.
    pub left: BTreeMap<(BTreeSet<String>, Way, Stage), u32>,
    /// Every loss with its day, for curves and alarms.
    pub losses: Vec<Loss>,
    /// Every entry into a stage with the window in which it happened.
    pub passages: Vec<Passage>,
    /// Numbered cocoons.
    pub cocoons: BTreeMap<String, Cocoon>,
    /// Cocoons of a box weighed together, by box.
    pub tubs: BTreeMap<String, Vec<TubWeight>>,
    /// Named moths.
    pub moths: BTreeMap<String, Moth>,
    /// Pairings by name.
    pub pairings: BTreeMap<String, Pairing>,
    /// The air, by place and day.
    pub air: BTreeMap<String, BTreeMap<Date, AirRead>>,
    /// The light, by place and the day from which it was so.
    pub light: BTreeMap<String, BTreeMap<Date, LightTold>>,
    /// The leaf log.
    pub leaf: Vec<LeafRow>,
    /// Counts with what the book expected at that moment.
    pub counts: Vec<CountRow>,
    /// Boxes that were fed but not counted, by day.
    pub fed_only: Vec<(Date, String)>,
    /// The order of the shelf as it was last said; boxes that are not named stand behind.
    pub shelf: Vec<String>,
    /// Remarks by day.
    pub remarks: Vec<(Date, String, String)>,
    /// Every animal that ever came, from its coming to now.
    pub trails: Vec<Trail>,
    /// Every look into a box, in order of time.
    pub looks: Vec<Look>,
    /// Entries that count, in the order of the book.
    pub(crate) seen_ids: BTreeSet<Uuid>,
}

/// A lot: animals of one origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Lot {
    /// As it was received.
    pub told: LotReceived,
    /// When.
    pub received: Date,
    /// The moment.
    pub at: Timestamp,
}

/// One loss.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loss {
    /// The day.
    pub on: Date,
    /// The moment.
    pub at: Timestamp,
    /// The box.
    pub name: String,
    /// The line.
    pub line: String,
    /// The stage.
    pub stage: Stage,
    /// How many.
    pub n: u32,
    /// By which way.
    pub way: Way,
    /// The sign.
    pub sign: String,
    /// How many of that line the box had held just before, in all stages.
    pub of: u32,
}

/// Animals that came into a stage between two looks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Passage {
    /// The line.
    pub line: String,
    /// The box in which they were.
    pub name: String,
    /// The stage they came into.
    pub stage: Stage,
    /// How many.
    pub n: u32,
    /// Not yet then.
    pub not_before: Option<Timestamp>,
    /// Seen then.
    pub seen_at: Timestamp,
}

/// A numbered cocoon.
#[derive(Debug, Clone, PartialEq)]
pub struct Cocoon {
    /// As described.
    pub told: CocoonDescribed,
    /// When it was described.
    pub on: Date,
    /// Where it lies; `None` once it is gone.
    pub lies_in: Option<String>,
    /// Every box it lay in since it was described, with the moment it came there.
    pub lay_in: Vec<(Timestamp, String)>,
    /// How it went, if it did.
    pub gone: Option<CocoonGone>,
    /// Weighings after the first.
    pub weights: Vec<CocoonWeight>,
}

/// One weighing of a numbered cocoon.
#[derive(Debug, Clone, PartialEq)]
pub struct CocoonWeight {
    /// When.
    pub on: Date,
    /// The whole cocoon.
    pub cocoon_fresh_g: f64,
    /// Where it lay, in the keeper's words; empty if that was not said.
    pub place: String,
}

/// Several cocoons of one box on the scale together.
#[derive(Debug, Clone, PartialEq)]
pub struct TubWeight {
    /// When.
    pub on: Date,
    /// How many.
    pub n: u32,
    /// Together, without the tub.
    pub together_fresh_g: f64,
}

/// How a cocoon went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CocoonGone {
    /// A moth came out.
    CameOut(Date),
    /// By a named way.
    Left(Date, Way),
}

/// A named moth.
#[derive(Debug, Clone, PartialEq)]
pub struct Moth {
    /// Its line.
    pub line: String,
    /// The cocoon it came from, if that was numbered.
    pub cocoon: Option<String>,
    /// The lots it can be of.
    pub lots: BTreeSet<String>,
    /// Its sex.
    pub sex: Sex,
    /// When it came out.
    pub out_on: Date,
    /// Where it is; `None` once it is gone.
    pub lives_in: Option<String>,
    /// When it died or went.
    pub gone_on: Option<Date>,
    /// Length of the fore wing.
    pub forewing_mm: Option<f64>,
    /// In words.
    pub condition: String,
}

/// A pairing and its laying.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairing {
    /// The day on which they were put together.
    pub on: Date,
    /// The female.
    pub female: String,
    /// The male.
    pub male: String,
    /// Whether they took.
    pub took: Option<bool>,
    /// How it was tried.
    pub method: String,
    /// Eggs laid so far.
    pub eggs_laid: u32,
    /// The same by the day on which they were found.
    pub laid_on: BTreeMap<Date, u32>,
    /// Hours that they stayed joined, if anybody looked.
    pub joined_h: Option<f64>,
    /// Eggs that became a lot of this house.
    pub eggs_kept: u32,
    /// Eggs that left, by way.
    pub eggs_left: BTreeMap<Way, u32>,
    /// What became of it.
    pub told: Option<PairingTold>,
}

impl Pairing {
    /// Eggs of the laying that are neither kept as a lot nor gone.
    #[must_use]
    pub fn eggs_here(&self) -> u32 {
        self.eggs_laid.saturating_sub(self.eggs_kept + self.eggs_left.values().sum::<u32>())
    }
}

/// One change of leaf with who had fed on it.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafRow {
    /// The day on which the leaf was changed.
    pub on: Date,
    /// The moment.
    pub at: Timestamp,
    /// As noted.
    pub told: LeafChanged,
    /// The line of the box.
    pub line: String,
    /// The stage of most of those who fed on it: of the larvae in the box, or
    /// the one the box is for if the last of them have just left it.
    pub stage: Option<Stage>,
    /// How many fed on it.
    pub larvae: u32,
}

/// One count with what the book expected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CountRow {
    /// The day.
    pub on: Date,
    /// The moment.
    pub at: Timestamp,
    /// As counted.
    pub told: Counted,
    /// What the book had in each stage.
    pub expected: BTreeMap<Stage, u32>,
}

impl House {
    /// The box of that name that is open now.
    ///
    /// # Errors
    /// If there is none, or it was put away.
    pub fn open_box(&self, name: &str) -> Result<&RearingBox, Refusal> {
        match self.boxes.get(name) {
            None => Err(Refusal::UnknownBox { name: name.to_owned() }),
            Some(RearingBox { closed: Some(on), .. }) => {
                Err(Refusal::BoxIsClosed { name: name.to_owned(), on: *on })
            }
            Some(it) => Ok(it),
        }
    }

    /// Open boxes with somebody in them, by name.
    pub fn living_boxes(&self) -> impl Iterator<Item = &RearingBox> {
        self.boxes.values().filter(|it| it.closed.is_none() && it.total() > 0)
    }

    /// Lines in the order in which their first lot came.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let mut lots: Vec<&Lot> = self.lots.values().collect();
        lots.sort_by_key(|it| it.at);
        let mut lines: Vec<String> = Vec::new();
        for lot in lots {
            if !lines.contains(&lot.told.line) {
                lines.push(lot.told.line.clone());
            }
        }
        lines
    }

    /// How many of a line are alive, by stage.
    #[must_use]
    pub fn alive(&self, line: &str) -> BTreeMap<Stage, u32> {
        let mut stages = BTreeMap::new();
        for cohort in self.living_boxes().flat_map(|it| &it.cohorts).filter(|it| it.line == line) {
            *stages.entry(cohort.stage).or_insert(0) += cohort.n;
        }
        stages
    }

    /// How many of a line are missing.
    #[must_use]
    pub fn missing(&self, line: &str) -> u32 {
        self.left
            .iter()
            .filter(|((lots, way, _), _)| *way == Way::Missing && self.are_of(lots, line))
            .map(|(_, n)| n)
            .sum()
    }

    pub(crate) fn are_of(&self, lots: &BTreeSet<String>, line: &str) -> bool {
        lots.iter().any(|lot| self.lots.get(lot).is_some_and(|it| it.told.line == line))
    }

    /// Is an entry in the book and still counted?
    #[must_use]
    pub fn knows(&self, id: Uuid) -> bool {
        self.seen_ids.contains(&id)
    }
}

//! Everything that can be noted.
//!
//! The serialised form of [`Deed`] is the form in which the book is kept, so
//! fields are only ever added, with a default.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use terms::{Sex, Stage};
use uuid::Uuid;

/// A named way out of the house. Every animal is in a box or has gone by one
/// of these.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Way {
    /// Found dead.
    Died,
    /// An egg that will not hatch.
    EggFailed,
    /// Not found on counting; may be found again.
    Missing,
    /// Kept as a specimen.
    Preserved,
    /// Passed on to somebody.
    Given,
    /// Destroyed on purpose, for instance for fear of disease.
    Destroyed,
    /// Killed in the cocoon for the silk.
    Stifled,
}

/// Why animals went from one box to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Move {
    /// More room.
    Split,
    /// Put together.
    Merge,
    /// Cocoons cut out.
    Harvest,
    /// Into the winter store.
    Store,
    /// Out of the cold.
    BringOut,
    /// Anything else.
    Other,
}

/// A stage as seen when the box was opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seen {
    /// The stage.
    pub stage: Stage,
    /// How many were seen alive in it.
    pub n: u32,
    /// Of those, how many sat still in moult, if anybody looked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_moult: Option<u32>,
}

/// What happened. The names of boxes, lines, lots, cocoons and moths are what
/// stands on their labels.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "what", rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Deed {
    /// Animals of one origin came into the house.
    LotReceived(LotReceived),
    /// A box, tray or tub was set up.
    BoxOpened(BoxOpened),
    /// An empty box was put away.
    BoxClosed(BoxClosed),
    /// Eggs hatched and the larvae were put into a box.
    Hatched(Moved),
    /// Larvae moulted; `into` is where they were put, or stays away if they stayed.
    Moulted(Moulted),
    /// Larvae spun.
    Spun(Moulted),
    /// A moth came out.
    CameOut(CameOut),
    /// Animals went from one box to another.
    Moved(Moved),
    /// Animals left by a named way.
    Left(Left),
    /// Missing animals turned up again.
    Found(Found),
    /// The box was opened and counted.
    Counted(Counted),
    /// The box got leaf but nobody counted.
    FedOnly(BoxNote),
    /// Leaf was changed.
    LeafChanged(LeafChanged),
    /// The air of one day at one place.
    AirRead(AirRead),
    /// A box was set apart.
    SetApart(SetApart),
    /// A box was let back.
    LetBack(BoxNote),
    /// Eggs were washed or dipped.
    EggsWashed(BoxNote),
    /// A cocoon got a number and was looked at.
    CocoonDescribed(CocoonDescribed),
    /// A cocoon was weighed.
    CocoonWeighed(CocoonWeighed),
    /// A moth was looked at.
    MothDescribed(MothDescribed),
    /// A female and a male were put together.
    Paired(Paired),
    /// Eggs were laid.
    Laid(Laid),
    /// Eggs of a laying went out of the house.
    EggsLeft(EggsLeft),
    /// What became of a pairing.
    PairingTold(PairingTold),
    /// Anything worth remembering.
    Remarked(Remarked),
    /// An earlier entry is set aside.
    SetAside(SetAside),
}

/// See [`Deed::LotReceived`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LotReceived {
    /// The lot.
    pub lot: String,
    /// The line it belongs to.
    pub line: String,
    /// As claimed by the giver, usually a Latin name.
    pub species: String,
    /// How many.
    pub n: u32,
    /// In which stage they came.
    pub stage: Stage,
    /// The box that they were put into.
    #[serde(rename = "box")]
    pub into: String,
    /// When the eggs were laid, if known.
    #[serde(default)]
    pub laid: Option<Date>,
    /// Where they come from.
    #[serde(default)]
    pub origin: String,
    /// Mother, as named by the giver; empty if unknown.
    #[serde(default)]
    pub dam: String,
    /// Father, as named by the giver; empty if unknown.
    #[serde(default)]
    pub sire: String,
    /// The pairing of this house whose eggs they are.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pairing: Option<String>,
    /// What the keeper was told about permits.
    #[serde(default)]
    pub permit: String,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::BoxOpened`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BoxOpened {
    /// What stands on the lid.
    #[serde(rename = "box")]
    pub name: String,
    /// The line it is for; empty for trays and stores that hold several.
    #[serde(default)]
    pub line: String,
    /// The stage it is for.
    #[serde(default)]
    pub for_stage: Option<Stage>,
    /// What it is: tub, cage, tray.
    #[serde(default)]
    pub vessel: String,
    /// Its floor, in square centimetres.
    #[serde(default)]
    pub floor_cm2: Option<f64>,
    /// Where it stands; empty means the first place whose air is read.
    #[serde(default)]
    pub place: String,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::BoxClosed`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BoxClosed {
    /// The box.
    #[serde(rename = "box")]
    pub name: String,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// A box and a remark.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BoxNote {
    /// The box.
    #[serde(rename = "box")]
    pub name: String,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::Hatched`] (stage is always egg) and [`Deed::Moved`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moved {
    /// From where.
    #[serde(rename = "box")]
    pub from: String,
    /// To where.
    pub into: String,
    /// Needed only where a box holds several lines.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// In which stage.
    pub stage: Stage,
    /// How many.
    pub n: u32,
    /// Numbered animals among them, if they are known by number.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub animals: Vec<String>,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<Move>,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::Moulted`] and [`Deed::Spun`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moulted {
    /// The box.
    #[serde(rename = "box")]
    pub name: String,
    /// Needed only where a box holds several lines.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// The stage that they left.
    pub from: Stage,
    /// How many.
    pub n: u32,
    /// The fresh box; `None` if they stayed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub into: Option<String>,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::CameOut`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CameOut {
    /// Where the cocoon lay.
    #[serde(rename = "box")]
    pub name: String,
    /// Needed only where a box holds several lines and the cocoon has no number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// The number of the cocoon, if it had one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cocoon: Option<String>,
    /// The name of the moth, if it gets one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moth: Option<String>,
    /// Its sex.
    #[serde(default)]
    pub sex: Sex,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::Left`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Left {
    /// The box.
    #[serde(rename = "box")]
    pub name: String,
    /// Needed only where a box holds several lines.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// In which stage.
    pub stage: Stage,
    /// How many.
    pub n: u32,
    /// By which way.
    pub way: Way,
    /// The sign that was seen (limp, stuck in the old skin, drowned ...) or the reason.
    #[serde(default)]
    pub sign: String,
    /// Numbered animals among them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub animals: Vec<String>,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::Found`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Found {
    /// The box that they were put back into.
    #[serde(rename = "box")]
    pub name: String,
    /// Needed only where a box holds several lines.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// In which stage.
    pub stage: Stage,
    /// How many.
    pub n: u32,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::Counted`]. A count changes nothing by itself: it is held against
/// what the book expects.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counted {
    /// The box.
    #[serde(rename = "box")]
    pub name: String,
    /// What was seen; a stage that is not named was not looked at.
    pub seen: Vec<Seen>,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::LeafChanged`]. All leaf is fresh leaf.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LeafChanged {
    /// The box.
    #[serde(rename = "box")]
    pub name: String,
    /// The plant.
    #[serde(default)]
    pub plant: String,
    /// Offered since the leaf was last changed.
    pub offered_fresh_g: f64,
    /// Left over and taken out now.
    #[serde(default)]
    pub left_fresh_g: Option<f64>,
    /// A control leaf without larvae, when fresh.
    #[serde(default)]
    pub control_fresh_g: Option<f64>,
    /// The same control leaf afterwards.
    #[serde(default)]
    pub control_after_g: Option<f64>,
    /// How many larvae fed on it.
    #[serde(default)]
    pub larvae: Option<u32>,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::AirRead`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AirRead {
    /// Where the thermometer hangs.
    pub place: String,
    /// Lowest of the day.
    pub air_c_min: f64,
    /// Highest of the day.
    pub air_c_max: f64,
    /// Mean of the day, if it was logged.
    #[serde(default)]
    pub air_c_mean: Option<f64>,
    /// Lowest relative humidity.
    #[serde(default)]
    pub humidity_percent_min: Option<f64>,
    /// Highest relative humidity.
    #[serde(default)]
    pub humidity_percent_max: Option<f64>,
    /// With what it was read.
    #[serde(default)]
    pub source: String,
}

/// See [`Deed::SetApart`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SetApart {
    /// The box.
    #[serde(rename = "box")]
    pub name: String,
    /// The sign that was seen.
    #[serde(default)]
    pub sign: String,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::CocoonDescribed`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CocoonDescribed {
    /// Its number.
    pub cocoon: String,
    /// Where it lies now.
    #[serde(rename = "box")]
    pub lies_in: String,
    /// Its lot.
    pub lot: String,
    /// In which box it was spun.
    #[serde(default)]
    pub box_spun: String,
    /// When it was spun.
    #[serde(default)]
    pub spun_on: Option<Date>,
    /// Its sex.
    #[serde(default)]
    pub sex: Sex,
    /// How the sex was told.
    #[serde(default)]
    pub sexed_by: String,
    /// The whole cocoon.
    #[serde(default)]
    pub cocoon_fresh_g: Option<f64>,
    /// The shell without the pupa.
    #[serde(default)]
    pub shell_g: Option<f64>,
    /// The pupa.
    #[serde(default)]
    pub pupa_fresh_g: Option<f64>,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::CocoonWeighed`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CocoonWeighed {
    /// Its number.
    pub cocoon: String,
    /// The whole cocoon.
    pub cocoon_fresh_g: f64,
    /// Where it lay.
    #[serde(default)]
    pub place: String,
}

/// See [`Deed::MothDescribed`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MothDescribed {
    /// Its name.
    pub moth: String,
    /// Length of the fore wing.
    #[serde(default)]
    pub forewing_mm: Option<f64>,
    /// In words.
    #[serde(default)]
    pub condition: String,
}

/// See [`Deed::Paired`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Paired {
    /// A name for the pairing.
    pub pairing: String,
    /// The female.
    pub female: String,
    /// The male, or words such as `wild, unknown`.
    pub male: String,
    /// Whether they took; `None` while nobody knows.
    #[serde(default)]
    pub took: Option<bool>,
    /// How it was tried.
    #[serde(default)]
    pub method: String,
    /// How long they stayed joined.
    #[serde(default)]
    pub joined_h: Option<f64>,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::Laid`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Laid {
    /// The pairing.
    pub pairing: String,
    /// How many eggs.
    pub eggs: u32,
    /// Where they lie.
    #[serde(default)]
    pub place: String,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::EggsLeft`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct EggsLeft {
    /// The pairing whose laying it was.
    pub pairing: String,
    /// How many eggs.
    pub n: u32,
    /// By which way.
    pub way: Way,
    /// Why.
    #[serde(default)]
    pub sign: String,
}

/// See [`Deed::PairingTold`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PairingTold {
    /// The pairing.
    pub pairing: String,
    /// Whether they took, where that was not known when they were put together.
    #[serde(default)]
    pub took: Option<bool>,
    /// How many of its eggs hatched.
    #[serde(default)]
    pub hatched: Option<u32>,
    /// What was found in the mother under the microscope.
    #[serde(default)]
    pub mother_check: String,
    /// What is known of the kinship of the parents, in words.
    #[serde(default)]
    pub kinship: String,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`Deed::Remarked`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remarked {
    /// The box, line or place it is about.
    #[serde(default)]
    pub about: String,
    /// The remark.
    pub text: String,
}

/// See [`Deed::SetAside`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SetAside {
    /// The entry that no longer counts.
    pub entry: Uuid,
    /// Why.
    #[serde(default)]
    pub why: String,
}

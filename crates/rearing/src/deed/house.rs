//! Lots, boxes, and animals that go from one place or stage to the next.

use super::Move;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use terms::Stage;

/// See [`super::Deed::LotReceived`].
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
    /// The number is a guess: nobody has counted them yet.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub about: bool,
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

/// See [`super::Deed::BoxOpened`].
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

/// See [`super::Deed::ShelfOrdered`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShelfOrdered {
    /// The boxes from first to last. A name that no open box bears is an empty
    /// place; a box that is not named stands behind them.
    pub boxes: Vec<String>,
}

/// See [`super::Deed::BoxClosed`].
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

/// See [`super::Deed::Hatched`] (stage is always egg) and [`super::Deed::Moved`].
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

/// See [`super::Deed::Moulted`] and [`super::Deed::Spun`].
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

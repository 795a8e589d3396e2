//! What a morning brings: losses, finds, counts, leaf, air, remarks.

use super::{Seen, Way};
use serde::{Deserialize, Serialize};
use terms::Stage;
use uuid::Uuid;

/// See [`super::Deed::Left`].
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

/// See [`super::Deed::Found`].
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

/// See [`super::Deed::Counted`]. A count changes nothing by itself: it is held against
/// what the book expects.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counted {
    /// The box.
    #[serde(rename = "box")]
    pub name: String,
    /// What was seen; a stage that is not named was not looked at.
    pub seen: Vec<Seen>,
    /// Counts of the same box that whoever counted had not seen: another phone
    /// had noted them meanwhile. Both stand as said until a person chooses.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub beside: Vec<Uuid>,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`super::Deed::LeafChanged`]. All leaf is fresh leaf.
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

/// See [`super::Deed::AirRead`].
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

/// See [`super::Deed::LightTold`]. It holds from its day on, until it is told anew.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LightTold {
    /// Where the boxes stand.
    pub place: String,
    /// Degrees north of the equator, south negative. Once told, it stays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub latitude_deg: Option<f64>,
    /// Degrees east of Greenwich, west negative. Once told, it stays.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longitude_deg: Option<f64>,
    /// Lamps that burn so many hours a day; without them it is the light of the sky.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lamps_h: Option<f64>,
}

/// See [`super::Deed::SetApart`].
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

/// See [`super::Deed::Remarked`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remarked {
    /// The box, line or place it is about.
    #[serde(default)]
    pub about: String,
    /// The remark.
    pub text: String,
}

/// See [`super::Deed::SetAside`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SetAside {
    /// The entry that no longer counts.
    pub entry: Uuid,
    /// Why.
    #[serde(default)]
    pub why: String,
}

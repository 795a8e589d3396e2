//! The later year: cocoons, moths, pairings, layings.

use super::Way;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use terms::Sex;

/// See [`super::Deed::CameOut`].
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

/// See [`super::Deed::CocoonDescribed`].
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

/// See [`super::Deed::CocoonWeighed`].
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

/// See [`super::Deed::CocoonsWeighed`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CocoonsWeighed {
    /// The box or tub.
    #[serde(rename = "box")]
    pub name: String,
    /// How many cocoons lay on the scale.
    pub n: u32,
    /// What they weighed together, without the tub.
    pub together_fresh_g: f64,
    /// Free text.
    #[serde(default)]
    pub note: String,
}

/// See [`super::Deed::MothDescribed`].
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

/// See [`super::Deed::Paired`].
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

/// See [`super::Deed::Laid`].
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

/// See [`super::Deed::EggsLeft`].
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

/// See [`super::Deed::PairingTold`].
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

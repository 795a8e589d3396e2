//! Everything that can be noted.
//!
//! The serialised form of [`Deed`] is the form in which the book is kept, so
//! fields are only ever added, with a default.

mod daily;
mod house;
mod year;

pub use daily::{AirRead, Counted, Found, LeafChanged, Left, LightTold, Remarked, SetApart, SetAside};
pub use house::{BoxClosed, BoxNote, BoxOpened, LotReceived, Moulted, Moved, ShelfOrdered};
pub use year::{
    CameOut, CocoonDescribed, CocoonWeighed, CocoonsWeighed, EggsLeft, Laid, MothDescribed, Paired,
    PairingTold,
};

use serde::{Deserialize, Serialize};
use terms::Stage;

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
    /// Where on earth a place lies, or that lamps burn there.
    LightTold(LightTold),
    /// A box was set apart.
    SetApart(SetApart),
    /// A box was let back.
    LetBack(BoxNote),
    /// The boxes were put in another order.
    ShelfOrdered(ShelfOrdered),
    /// Eggs were washed or dipped.
    EggsWashed(BoxNote),
    /// A cocoon got a number and was looked at.
    CocoonDescribed(CocoonDescribed),
    /// A cocoon was weighed.
    CocoonWeighed(CocoonWeighed),
    /// All cocoons of a box were weighed together.
    CocoonsWeighed(CocoonsWeighed),
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

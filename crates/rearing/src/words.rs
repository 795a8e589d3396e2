//! What was noted, in the words of the bench: for undo lines, lists and receipts.

use crate::deed::{Deed, Way};
use terms::Stage;

/// The word for a way out.
#[must_use]
pub fn way(way: Way) -> &'static str {
    match way {
        Way::Died => "dead",
        Way::EggFailed => "eggs failed",
        Way::Missing => "short",
        Way::Preserved => "preserved",
        Way::Given => "given away",
        Way::Destroyed => "destroyed",
        Way::Stifled => "stifled",
    }
}

/// `1 L4`, `3 L4`, `1 egg`, `3 eggs`.
#[must_use]
pub fn animals(n: u32, stage: Stage) -> String {
    let plural = match stage {
        Stage::Larva(_) => "",
        _ if n == 1 => "",
        _ => "s",
    };
    format!("{n} {stage}{plural}")
}

impl Deed {
    /// The box that a deed is about, if it is about one.
    #[must_use]
    pub fn about_box(&self) -> Option<&str> {
        Some(match self {
            Deed::LotReceived(it) => &it.into,
            Deed::BoxOpened(it) => &it.name,
            Deed::BoxClosed(it) => &it.name,
            Deed::Hatched(it) | Deed::Moved(it) => &it.from,
            Deed::Moulted(it) | Deed::Spun(it) => &it.name,
            Deed::CameOut(it) => &it.name,
            Deed::Left(it) => &it.name,
            Deed::Found(it) => &it.name,
            Deed::Counted(it) => &it.name,
            Deed::FedOnly(it) | Deed::LetBack(it) | Deed::EggsWashed(it) => &it.name,
            Deed::LeafChanged(it) => &it.name,
            Deed::SetApart(it) => &it.name,
            Deed::CocoonDescribed(it) => &it.lies_in,
            Deed::CocoonsWeighed(it) => &it.name,
            _ => return None,
        })
    }

    /// One line that says what was noted.
    #[must_use]
    pub fn in_words(&self) -> String {
        match self {
            Deed::LotReceived(it) => {
                let about = if it.about { "about " } else { "" };
                format!("lot {}: {about}{} of line {}", it.lot, animals(it.n, it.stage), it.line)
            }
            Deed::BoxOpened(it) => format!("box {} opened", it.name),
            Deed::BoxClosed(it) => format!("box {} closed", it.name),
            Deed::Hatched(it) => format!("{} hatched from {} into {}", it.n, it.from, it.into),
            Deed::Moulted(it) => {
                let to = it.from.after_moult().map_or_else(String::new, |to| format!(" to {to}"));
                format!("{} moulted{to} in {}{}", it.n, it.name, into(it.into.as_deref()))
            }
            Deed::Spun(it) => format!("{} spun in {}", it.n, it.name),
            Deed::CameOut(it) => {
                let number = it.cocoon.as_ref().map_or_else(String::new, |it| format!(" of {it}"));
                format!("a moth came out{number} in {}", it.name)
            }
            Deed::Moved(it) => format!("{} moved from {} to {}", animals(it.n, it.stage), it.from, it.into),
            Deed::Left(it) => {
                let sign = if it.sign.is_empty() { String::new() } else { format!(" ({})", it.sign) };
                format!("{} {}{sign} in {}", animals(it.n, it.stage), way(it.way), it.name)
            }
            Deed::Found(it) => format!("{} found in {}", animals(it.n, it.stage), it.name),
            Deed::Counted(it) => {
                let seen: Vec<String> = it.seen.iter().map(|seen| animals(seen.n, seen.stage)).collect();
                format!("{} counted: {}", it.name, seen.join(", "))
            }
            Deed::FedOnly(it) => format!("{} fed only, not counted", it.name),
            Deed::LeafChanged(it) => format!("{} leaf changed, {} g", it.name, it.offered_fresh_g),
            Deed::AirRead(it) => format!("{} {} to {} degC", it.place, it.air_c_min, it.air_c_max),
            Deed::LightTold(it) => {
                let where_on_earth = it.latitude_deg.zip(it.longitude_deg);
                let where_on_earth =
                    where_on_earth.map(|(north, east)| format!("lies at {north} north, {east} east"));
                let light = it.lamps_h.map_or_else(
                    || "has the light of the sky".to_owned(),
                    |hours| format!("has lamps for {hours} h a day"),
                );
                let says: Vec<String> = where_on_earth.into_iter().chain([light]).collect();
                format!("{} {}", it.place, says.join(" and "))
            }
            Deed::SetApart(it) => format!("{} set apart", it.name),
            Deed::LetBack(it) => format!("{} let back", it.name),
            Deed::ShelfOrdered(it) => format!("the shelf in the order {}", it.boxes.join(", ")),
            Deed::EggsWashed(it) => format!("eggs of {} washed", it.name),
            Deed::CocoonDescribed(it) => format!("cocoon {} described", it.cocoon),
            Deed::CocoonWeighed(it) => format!("cocoon {} weighed, {} g", it.cocoon, it.cocoon_fresh_g),
            Deed::CocoonsWeighed(it) => {
                format!(
                    "{} of {} weighed together, {} g",
                    animals(it.n, Stage::Cocoon),
                    it.name,
                    it.together_fresh_g
                )
            }
            Deed::MothDescribed(it) => format!("moth {} described", it.moth),
            Deed::Paired(it) => format!("{}: {} with {}", it.pairing, it.female, it.male),
            Deed::Laid(it) => format!("{}: {} eggs laid", it.pairing, it.eggs),
            Deed::EggsLeft(it) => format!("{}: {} eggs {}", it.pairing, it.n, way(it.way)),
            Deed::PairingTold(it) => {
                let took = it.took.map(|took| if took { "took" } else { "did not take" }.to_owned());
                let hatched = it.hatched.map(|n| format!("{n} hatched"));
                let told: Vec<String> = took.into_iter().chain(hatched).collect();
                let told = if told.is_empty() { "outcome told".to_owned() } else { told.join(", ") };
                format!("{}: {told}", it.pairing)
            }
            Deed::Remarked(it) => it.text.clone(),
            Deed::SetAside(_) => "an entry set aside".to_owned(),
        }
    }
}

fn into(target: Option<&str>) -> String {
    target.map_or_else(String::new, |name| format!(", now in {name}"))
}

//! From the words of `note` to deeds, where no round of a box is made.

use super::words::{
    Air, Cocoon, Laid, Leaf, Light, Lost, Onward, Open, Out, Pair, Received, Remark, Weigh, WeighTub,
};
use crate::exit::BadWords;
use anyhow::Result;
use keeper::rearing::deed::{
    AirRead, BoxOpened, CameOut, CocoonDescribed, CocoonWeighed, CocoonsWeighed, Laid as EggsLaid, Left,
    LightTold, LotReceived, Moulted, Move, Moved, Paired, Remarked,
};
use keeper::rearing::{Deed, Way};
use keeper::view::round::{MovedOn, RoundNote};
use terms::Stage;

pub(super) fn received(it: &Received) -> Deed {
    Deed::LotReceived(LotReceived {
        lot: it.lot.clone(),
        line: it.line.clone(),
        species: it.species.clone(),
        n: it.n,
        about: false,
        stage: it.stage,
        into: it.into.clone(),
        laid: it.laid,
        origin: it.origin.clone(),
        dam: String::new(),
        sire: String::new(),
        pairing: it.pairing.clone(),
        permit: String::new(),
        note: String::new(),
    })
}

pub(super) fn onward(it: &Onward, from: Stage, spun: bool) -> RoundNote {
    let moved = MovedOn { from, n: it.n, spun, into: it.into.clone(), into_is_new: false };
    RoundNote { moved_on: Some(moved), ..RoundNote::default() }
}

pub(super) fn onward_of_line(it: &Onward, line: &str, from: Stage, spun: bool) -> Result<Deed> {
    let (line, note) = (Some(line.to_owned()), String::new());
    if from == Stage::Egg {
        let into =
            it.into.clone().ok_or_else(|| BadWords("say --into which box; nothing was saved".to_owned()))?;
        let animals = Vec::new();
        return Ok(Deed::Hatched(Moved {
            from: it.name.clone(),
            into,
            line,
            stage: from,
            n: it.n,
            animals,
            why: None,
            note,
        }));
    }
    let moulted = Moulted { name: it.name.clone(), line, from, n: it.n, into: it.into.clone(), note };
    Ok(if spun { Deed::Spun(moulted) } else { Deed::Moulted(moulted) })
}

pub(super) fn came_out(it: &Out) -> Deed {
    Deed::CameOut(CameOut {
        name: it.name.clone(),
        line: it.line.clone(),
        cocoon: it.cocoon.clone(),
        moth: it.moth.clone(),
        sex: it.sex,
        note: String::new(),
    })
}

pub(super) fn left(it: &Lost, stage: Stage, way: Way) -> Deed {
    Deed::Left(Left {
        name: it.name.clone(),
        line: it.line.clone(),
        stage,
        n: it.n,
        way,
        sign: it.sign.clone(),
        animals: it.animal.clone(),
        note: it.remark.clone(),
    })
}

pub(super) fn moved(it: &Onward, stage: Stage) -> Result<Deed> {
    let into =
        it.into.clone().ok_or_else(|| BadWords("say --into which box; nothing was saved".to_owned()))?;
    Ok(Deed::Moved(Moved {
        from: it.name.clone(),
        into,
        line: it.line.clone(),
        stage,
        n: it.n,
        animals: Vec::new(),
        why: Some(if it.warm { Move::BringOut } else { Move::Other }),
        note: String::new(),
    }))
}

pub(super) fn leaf(it: &Leaf) -> RoundNote {
    let (leaf_offered_fresh_g, leaf_left_fresh_g) = (Some(it.offered), it.left);
    RoundNote { leaf_offered_fresh_g, leaf_left_fresh_g, ..RoundNote::default() }
}

pub(super) fn opened(it: &Open) -> Deed {
    Deed::BoxOpened(BoxOpened {
        name: it.name.clone(),
        line: it.line.clone(),
        for_stage: it.stage,
        vessel: it.vessel.clone(),
        floor_cm2: it.floor,
        place: it.place.clone(),
        note: String::new(),
    })
}

pub(super) fn cocoon(it: &Cocoon) -> Deed {
    Deed::CocoonDescribed(CocoonDescribed {
        cocoon: it.cocoon.clone(),
        lies_in: it.lies_in.clone(),
        lot: it.lot.clone(),
        box_spun: String::new(),
        spun_on: it.spun,
        sex: it.sex,
        sexed_by: String::new(),
        cocoon_fresh_g: it.weight,
        shell_g: None,
        pupa_fresh_g: None,
        note: String::new(),
    })
}

pub(super) fn weighed(it: &Weigh) -> Deed {
    let (cocoon, place) = (it.cocoon.clone(), it.place.clone());
    Deed::CocoonWeighed(CocoonWeighed { cocoon, cocoon_fresh_g: it.grams, place })
}

pub(super) fn weighed_together(it: &WeighTub) -> Deed {
    let (name, note) = (it.name.clone(), String::new());
    Deed::CocoonsWeighed(CocoonsWeighed { name, n: it.n, together_fresh_g: it.grams, note })
}

pub(super) fn paired(it: &Pair) -> Deed {
    Deed::Paired(Paired {
        pairing: it.pairing.clone(),
        female: it.female.clone(),
        male: it.male.clone(),
        took: if it.took || it.not { Some(it.took) } else { None },
        method: String::new(),
        joined_h: None,
        note: String::new(),
    })
}

pub(super) fn laid(it: &Laid) -> Deed {
    let (place, note) = (String::new(), String::new());
    Deed::Laid(EggsLaid { pairing: it.pairing.clone(), eggs: it.eggs, place, note })
}

pub(super) fn air(it: &Air) -> Deed {
    Deed::AirRead(AirRead {
        place: it.place.clone(),
        air_c_min: it.min,
        air_c_max: it.max,
        air_c_mean: it.mean,
        humidity_percent_min: it.damp_min,
        humidity_percent_max: it.damp_max,
        source: "noted by hand".to_owned(),
    })
}

pub(super) fn light(it: &Light) -> Deed {
    Deed::LightTold(LightTold {
        place: it.place.clone(),
        latitude_deg: it.latitude,
        longitude_deg: it.longitude,
        lamps_h: it.lamps,
    })
}

pub(super) fn remarked(it: &Remark) -> Deed {
    Deed::Remarked(Remarked { about: it.about.clone(), text: it.text.clone() })
}

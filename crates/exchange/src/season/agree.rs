//! What one table tells must agree with what the others add up to.

use super::rows::{CocoonFate, Told};
use super::scene::Scene;
use crate::complaint::Complaint;
use rearing::House;
use rearing::account::{Fate, LifePart};

/// At the end of the season.
pub(super) fn check(scene: &Scene<'_>, house: &House, complaints: &mut Vec<Complaint>) {
    fates(scene, house, complaints);
    moths(scene, house, complaints);
    layings(scene, house, complaints);
}

fn say<T>(row: &Told<T>, column: &str, says: String, complaints: &mut Vec<Complaint>) {
    complaints.push(Complaint::refused(row.table.file_name(), row.line, Some(column), says));
}

/// Cocoons that the log let go were asked for there and then; here are those
/// that it left lying.
fn fates(scene: &Scene<'_>, house: &House, complaints: &mut Vec<Complaint>) {
    let gone = |fate| matches!(fate, CocoonFate::CameOut | CocoonFate::Left(_));
    for row in scene.tables.cocoons.iter().filter(|it| gone(it.it.fate)) {
        if house.cocoons.get(&row.it.cocoon).is_some_and(|it| it.gone.is_none()) {
            let says =
                format!("by events.csv cocoon {} still lies there: look at both tables again", row.it.cocoon);
            say(row, "fate", says, complaints);
        }
    }
}

fn moths(scene: &Scene<'_>, house: &House, complaints: &mut Vec<Complaint>) {
    for row in scene.tables.moths.iter().filter(|it| !house.moths.contains_key(&it.it.moth)) {
        let says =
            format!("no row of events.csv lets {} come out: add one, or take the moth out", row.it.moth);
        say(row, "adult", says, complaints);
    }
}

fn layings(scene: &Scene<'_>, house: &House, complaints: &mut Vec<Complaint>) {
    for row in &scene.tables.pairings {
        let it = &row.it;
        let Some(pairing) = house.pairings.get(&it.pairing) else { continue };
        if it.laid.is_some_and(|laid| laid != pairing.eggs_laid) {
            let says =
                format!("by events.csv {} eggs were laid: look at both tables again", pairing.eggs_laid);
            say(row, "eggs_laid", says, complaints);
        }
        let of_this = |lot: &&rearing::house::Lot| lot.told.pairing.as_ref() == Some(&it.pairing);
        let Some(lot) = house.lots.values().find(of_this) else { continue };
        if it.kept.is_some_and(|kept| kept != pairing.eggs_kept) {
            let says = format!("{} of its eggs became a lot: look at lots.csv again", pairing.eggs_kept);
            say(row, "eggs_kept", says, complaints);
        }
        let account = house.account_of_lot(&lot.told.lot);
        let unhatched =
            |fate: &Fate| matches!(fate, Fate::Alive(terms::Stage::Egg) | Fate::Left(_, LifePart::Egg));
        let eggs: Option<u32> =
            account.iter().filter(|(fate, _)| unhatched(fate)).map(|(_, share)| share.exact()).sum();
        let hatched = eggs.and_then(|eggs| lot.told.n.checked_sub(eggs));
        if let (Some(told), Some(hatched)) = (it.hatched, hatched)
            && told != hatched
        {
            let says =
                format!("by events.csv {hatched} of lot {} hatched: look at both tables again", lot.told.lot);
            say(row, "eggs_hatched_of_kept", says, complaints);
        }
    }
}

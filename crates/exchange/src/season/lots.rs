//! Which lot came in by which row of the log.

use super::Tables;
use super::rows::{EventRow, Happening, LotRow, PairingRow, Told};
use super::scene::{Scene, words};
use crate::complaint::Complaint;
use rearing::deed::LotReceived;
use std::collections::BTreeMap;
use terms::Stage;

/// The lots by the line of the event that receives them.
pub(super) fn matched<'t>(
    tables: &'t Tables,
    complaints: &mut Vec<Complaint>,
) -> BTreeMap<usize, &'t Told<LotRow>> {
    let mut found: BTreeMap<usize, &Told<LotRow>> = BTreeMap::new();
    for event in tables.events.iter().filter(|it| it.it.happening == Happening::Receive) {
        let free = |lot: &&Told<LotRow>| !found.values().any(|it| it.it.lot == lot.it.lot);
        let free: Vec<&Told<LotRow>> = tables.lots.iter().filter(free).collect();
        match lot_of(tables, &event.it, &free) {
            Ok(lot) => {
                found.insert(event.line, lot);
            }
            Err((column, says)) => {
                complaints.push(Complaint::refused(event.table.file_name(), event.line, Some(column), says));
            }
        }
    }
    if !complaints.iter().any(Complaint::is_refused) {
        for lot in tables.lots.iter().filter(|lot| !found.values().any(|it| it.it.lot == lot.it.lot)) {
            let says =
                format!("no row of events.csv receives lot {}: add one, or take the lot out", lot.it.lot);
            complaints.push(Complaint::refused(lot.table.file_name(), lot.line, Some("lot"), says));
        }
    }
    found
}

type Wrong = (&'static str, String);

fn lot_of<'t>(
    tables: &'t Tables,
    event: &EventRow,
    free: &[&'t Told<LotRow>],
) -> Result<&'t Told<LotRow>, Wrong> {
    let box_note =
        tables.boxes.iter().find(|it| it.it.name == event.place()).map_or("", |it| it.it.note.as_str());
    let named_in = |note: &str| free.iter().find(|lot| words(note).any(|it| it == lot.it.lot)).copied();
    let of_line: Vec<&Told<LotRow>> = free.iter().filter(|it| it.it.line == event.line).copied().collect();
    let of_day: Vec<&Told<LotRow>> =
        of_line.iter().filter(|it| it.it.received == event.date).copied().collect();
    let of_number: Vec<&Told<LotRow>> = of_day.iter().filter(|it| it.it.n == event.n).copied().collect();
    let lot = named_in(&event.note)
        .or_else(|| named_in(box_note))
        .or_else(|| only(&of_number))
        .or_else(|| only(&of_day))
        .or_else(|| only(&of_line));
    let Some(lot) = lot else {
        return Err(if of_line.is_empty() {
            ("line", format!("lots.csv has no lot of line {} left for this: add it there", event.line))
        } else {
            let names: Vec<&str> = of_line.iter().map(|it| it.it.lot.as_str()).collect();
            (
                "note",
                format!(
                    "this can be any of the lots {}: write the name of the lot in the note",
                    names.join(", ")
                ),
            )
        });
    };
    let LotRow { lot: name, line, received, n, .. } = &lot.it;
    if *line != event.line {
        return Err(("line", format!("lot {name} is of line {line} in lots.csv: look at both tables again")));
    }
    if *received != event.date {
        return Err((
            "date",
            format!("lot {name} was received on {received} in lots.csv: look at both dates again"),
        ));
    }
    if *n != event.n {
        return Err(("n", format!("lot {name} has {n} animals in lots.csv: look at both numbers again")));
    }
    Ok(lot)
}

fn only<'t>(lots: &[&'t Told<LotRow>]) -> Option<&'t Told<LotRow>> {
    match lots {
        [one] => Some(one),
        _ => None,
    }
}

/// What the book is told when a lot comes in.
pub(super) fn as_received(
    scene: &Scene<'_>,
    lot: &Told<LotRow>,
    event: &EventRow,
) -> Result<LotReceived, Wrong> {
    let it = &lot.it;
    let pairing = pairing_of(scene, it)?;
    Ok(LotReceived {
        lot: it.lot.clone(),
        line: it.line.clone(),
        species: it.species.clone(),
        n: it.n,
        about: false,
        stage: event.to.or(event.from).unwrap_or(Stage::Egg),
        into: event.place().to_owned(),
        laid: it.laid,
        origin: it.origin.clone(),
        dam: it.dam.clone(),
        sire: it.sire.clone(),
        pairing: pairing.map(|it| it.it.pairing.clone()),
        permit: it.permit.clone(),
        note: joined(&it.note, event.note.strip_prefix(&it.lot).unwrap_or(&event.note)),
    })
}

/// The pairing of this house whose eggs a lot is: named where the lot comes
/// from, or known by both parents.
fn pairing_of<'t>(scene: &Scene<'t>, lot: &LotRow) -> Result<Option<&'t Told<PairingRow>>, Wrong> {
    let named = words(&lot.origin).find_map(|it| scene.pairings.get(it)).copied();
    if let Some(pairing) = named {
        let PairingRow { pairing: name, female, male, .. } = &pairing.it;
        let fits = |told: &str, parent: &str| told.is_empty() || told == parent;
        if !fits(&lot.dam, female) || !fits(&lot.sire, male) {
            let says = format!(
                "the origin names pairing {name}, which is {female} with {male}: look at dam and sire again"
            );
            return Err(("dam", says));
        }
        return Ok(Some(pairing));
    }
    let by_parents = |it: &&Told<PairingRow>| it.it.female == lot.dam && it.it.male == lot.sire;
    let mut of_parents = scene.tables.pairings.iter().filter(by_parents);
    Ok(of_parents.next().filter(|_| of_parents.next().is_none()))
}

/// Two notes as one, without saying anything twice.
fn joined(one: &str, other: &str) -> String {
    let other = other.trim_start_matches([':', ' ']).trim();
    match (one.is_empty(), other.is_empty() || one.contains(other)) {
        (_, true) => one.to_owned(),
        (true, false) => other.to_owned(),
        (false, false) => format!("{one}; {other}"),
    }
}

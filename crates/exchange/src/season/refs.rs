//! Names in one table that another must know. Asked before anything is lived
//! through, so that a slip of the pen is told where it stands.

use super::Tables;
use super::rows::{AIR_KEY, Happening, Told, once_only};
use crate::complaint::Complaint;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use terms::Sex;

pub(super) fn check(tables: &Tables, complaints: &mut Vec<Complaint>) {
    once(tables, complaints);
    let lines: BTreeSet<&str> = tables.lots.iter().map(|it| it.it.line.as_str()).collect();
    for row in &tables.boxes {
        known_line(row, &row.it.line, &lines, complaints);
    }
    for row in &tables.events {
        known_line(row, &row.it.line, &lines, complaints);
    }
    let line_of: BTreeMap<&str, &str> =
        tables.boxes.iter().map(|it| (it.it.name.as_str(), it.it.line.as_str())).collect();
    for row in &tables.counts {
        line_of_box(row, &row.it.name, &row.it.line, &line_of, complaints);
    }
    for row in &tables.leaf {
        line_of_box(row, &row.it.name, &row.it.line, &line_of, complaints);
    }
    closings(tables, complaints);
    animals(tables, complaints);
    parents(tables, complaints);
}

fn say<T>(row: &Told<T>, column: &str, says: String, complaints: &mut Vec<Complaint>) {
    complaints.push(Complaint::refused(row.table.file_name(), row.line, Some(column), says));
}

fn once(tables: &Tables, complaints: &mut Vec<Complaint>) {
    let said = complaints;
    once_only(&tables.lots, "lot", |it| Some(it.lot.clone()), |it| format!("lot {}", it.lot), said);
    once_only(&tables.boxes, "box", |it| Some(it.name.clone()), |it| format!("box {}", it.name), said);
    let number = |no: Option<u32>| format!("event {}", no.unwrap_or(0));
    once_only(&tables.events, "event_no", |it| it.no, |it| number(it.no), said);
    once_only(
        &tables.counts,
        "stage",
        |it| Some((it.date, it.name.clone(), it.stage)),
        |it| format!("the count of {} in box {} on {}", it.stage, it.name, it.date),
        said,
    );
    let air = |it: &super::AirRow| format!("the air of {} on {}", it.place, it.date);
    once_only(&tables.air, AIR_KEY, |it| Some((it.date, it.place.clone())), air, said);
    let cocoon = |it: &super::CocoonRow| format!("cocoon {}", it.cocoon);
    once_only(&tables.cocoons, "cocoon", |it| Some(it.cocoon.clone()), cocoon, said);
    once_only(
        &tables.weights,
        "date",
        |it| Some((it.date, it.cocoon.clone())),
        |it| format!("the weight of {} on {}", it.cocoon, it.date),
        said,
    );
    once_only(&tables.moths, "adult", |it| Some(it.moth.clone()), |it| format!("moth {}", it.moth), said);
    let of_cocoon = |it: &super::MothRow| format!("a moth of cocoon {}", it.cocoon);
    once_only(&tables.moths, "cocoon", |it| Some(it.cocoon.clone()), of_cocoon, said);
    let pairing = |it: &super::PairingRow| format!("pairing {}", it.pairing);
    once_only(&tables.pairings, "pairing", |it| Some(it.pairing.clone()), pairing, said);
}

fn known_line<T>(row: &Told<T>, line: &str, lines: &BTreeSet<&str>, complaints: &mut Vec<Complaint>) {
    if !line.is_empty() && !lines.contains(line) {
        say(
            row,
            "line",
            format!("lots.csv has no line {line}: look at the name again, or add its lot there"),
            complaints,
        );
    }
}

fn line_of_box<T>(
    row: &Told<T>,
    name: &str,
    line: &str,
    line_of: &BTreeMap<&str, &str>,
    complaints: &mut Vec<Complaint>,
) {
    let is = line_of.get(name).copied().unwrap_or("");
    if !is.is_empty() && !line.is_empty() && line != is {
        say(
            row,
            "line",
            format!("box {name} is of line {is} in boxes.csv: look at both tables again"),
            complaints,
        );
    }
}

fn closings(tables: &Tables, complaints: &mut Vec<Complaint>) {
    for event in tables.events.iter().filter(|it| it.it.happening == Happening::CloseBox) {
        let closed =
            tables.boxes.iter().find(|it| it.it.name == event.it.place()).and_then(|it| it.it.closed);
        if let Some(closed) = closed.filter(|it| *it != event.it.date) {
            let says = format!(
                "box {} is closed on {closed} in boxes.csv: look at both dates again",
                event.it.place()
            );
            say(event, "date", says, complaints);
        }
    }
}

fn animals(tables: &Tables, complaints: &mut Vec<Complaint>) {
    let line_of_lot: BTreeMap<&str, &str> =
        tables.lots.iter().map(|it| (it.it.lot.as_str(), it.it.line.as_str())).collect();
    for row in &tables.cocoons {
        match line_of_lot.get(row.it.lot.as_str()) {
            None => say(
                row,
                "lot",
                format!("lots.csv has no lot {}: look at the name again", row.it.lot),
                complaints,
            ),
            Some(line) if *line != row.it.line => {
                say(
                    row,
                    "line",
                    format!("lot {} is of line {line} in lots.csv: look at both again", row.it.lot),
                    complaints,
                );
            }
            Some(_) => {}
        }
    }
    let cocoons: BTreeMap<&str, (&str, Sex)> =
        tables.cocoons.iter().map(|it| (it.it.cocoon.as_str(), (it.it.line.as_str(), it.it.sex))).collect();
    let unknown = |cocoon: &str| {
        format!("cocoons.csv has no cocoon {cocoon}: look at the number again, or add it there")
    };
    for row in tables.weights.iter().filter(|it| !cocoons.contains_key(it.it.cocoon.as_str())) {
        say(row, "cocoon", unknown(&row.it.cocoon), complaints);
    }
    for row in &tables.moths {
        match cocoons.get(row.it.cocoon.as_str()) {
            None if tables.has_cocoons => say(row, "cocoon", unknown(&row.it.cocoon), complaints),
            Some((line, _)) if *line != row.it.line => {
                let says =
                    format!("cocoon {} is of line {line} in cocoons.csv: look at both again", row.it.cocoon);
                say(row, "line", says, complaints);
            }
            Some((_, sex)) if *sex != Sex::Unknown && row.it.sex != Sex::Unknown && *sex != row.it.sex => {
                let says = format!(
                    "the pupa of {} was {sex} in cocoons.csv and the moth is {} here: correct the one that is wrong",
                    row.it.cocoon, row.it.sex
                );
                say(row, "sex", says, complaints);
            }
            _ => {}
        }
    }
}

/// Parents that bear a name must be out and alive on the day, and of their sex.
fn parents(tables: &Tables, complaints: &mut Vec<Complaint>) {
    if !tables.has_moths {
        return;
    }
    let moths: BTreeMap<&str, (Sex, Date, Option<Date>)> = tables
        .moths
        .iter()
        .map(|it| {
            (
                it.it.moth.as_str(),
                (it.it.sex, it.it.emerged_on, it.it.fate_on.filter(|_| it.it.way.is_some())),
            )
        })
        .collect();
    for row in &tables.pairings {
        for (column, name, sex) in
            [("female", &row.it.female, Sex::Female), ("male", &row.it.male, Sex::Male)]
        {
            let is_words =
                name.contains([' ', ',']) || matches!(name.to_lowercase().as_str(), "wild" | "unknown");
            let says = match moths.get(name.as_str()) {
                None if is_words => continue,
                None => {
                    format!("adults.csv has no moth {name}: look at the name again, or write `wild, unknown`")
                }
                Some((is, ..)) if *is != sex && *is != Sex::Unknown => {
                    format!("{name} is {is} in adults.csv: look at both tables again")
                }
                Some((_, out, _)) if *out > row.it.date => {
                    format!("{name} came out on {out}, after this pairing: look at both dates again")
                }
                Some((.., Some(gone))) if *gone < row.it.date => {
                    format!("{name} was gone by {gone}, before this pairing: look at both dates again")
                }
                Some(_) => continue,
            };
            say(row, column, says, complaints);
        }
    }
}

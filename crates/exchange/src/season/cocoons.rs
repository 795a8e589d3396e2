//! Cocoons by number: where they lie, and which of them a row means.

use super::book::{About, Book, Source};
use super::events::set_up;
use super::rows::{CocoonFate, CocoonRow, EventRow, Happening, Told, WeightRow};
use super::scene::{Scene, words};
use jiff::civil::DateTime;
use rearing::deed::{CocoonDescribed, Left, Move, Moved};
use rearing::house::CocoonGone;
use rearing::{Deed, Way};
use std::collections::BTreeSet;
use terms::{Sex, Stage};

type Wrong = (&'static str, String);

/// When a cocoon got its number and where it lay then: after the harvest, or
/// when it came by post.
pub(super) fn described_at<'t>(scene: &Scene<'t>, it: &'t CocoonRow) -> Result<(DateTime, &'t str), Wrong> {
    let events = &scene.tables.events;
    if let (Some(tray), Some(on)) = (it.tray.as_deref(), it.harvested_on) {
        let into_tray =
            |event: &&Told<EventRow>| event.it.date == on && event.it.to_box.as_deref() == Some(tray);
        let last = events.iter().filter(into_tray).map(|event| event.it.wall()).max();
        return last.map(|wall| (wall, tray)).ok_or_else(|| {
            (
                "harvested_on",
                format!("no row of events.csv puts cocoons into {tray} on {on}: look at both tables again"),
            )
        });
    }
    let received =
        |event: &&Told<EventRow>| scene.received.get(&event.line).is_some_and(|lot| lot.it.lot == it.lot);
    let event = events.iter().find(received).filter(|event| event.it.to == Some(Stage::Cocoon));
    event.map(|event| (event.it.wall(), event.it.place())).ok_or_else(|| {
        (
            "tray",
            "it did not come as a cocoon, so write into which tray it was harvested, and when".to_owned(),
        )
    })
}

pub(super) fn describe<'t>(book: &mut Book<'t>, row: &'t Told<CocoonRow>, wall: DateTime, lies_in: &str) {
    let it = &row.it;
    let described = CocoonDescribed {
        cocoon: it.cocoon.clone(),
        lies_in: lies_in.to_owned(),
        lot: it.lot.clone(),
        box_spun: it.box_spun.clone(),
        spun_on: it.spun_on,
        sex: it.sex,
        sexed_by: it.sexed_by.clone(),
        cocoon_fresh_g: it.cocoon_g,
        shell_g: it.shell_g,
        pupa_fresh_g: it.pupa_g,
        note: it.note.clone(),
    };
    book.note(row.into(), wall, "", Deed::CocoonDescribed(described));
}

/// A cocoon that is gone cannot be weighed.
pub(super) fn still_here<'t>(book: &mut Book<'t>, row: &'t Told<WeightRow>) {
    let gone = book.house.cocoons.get(&row.it.cocoon).and_then(|it| it.gone.as_ref());
    if let Some(CocoonGone::CameOut(on) | CocoonGone::Left(on, _)) = gone {
        let says =
            format!("cocoon {} was gone on {on}: look at the number and at the date again", row.it.cocoon);
        book.complain(row.into(), [About::cocoon(&row.it.cocoon)], Some("cocoon"), says);
    }
}

/// Cocoons of one line in one box.
#[derive(Debug, Clone)]
struct Lying {
    name: String,
    line: String,
    numbered: Vec<String>,
    unnumbered: u32,
    /// The box holds other lines besides.
    shared: bool,
}

impl Lying {
    fn n(&self) -> u32 {
        u32::try_from(self.numbered.len()).unwrap_or(u32::MAX).saturating_add(self.unnumbered)
    }
}

fn lying(book: &Book<'_>, event: &EventRow) -> Vec<Lying> {
    let mut all = Vec::new();
    for name in &event.boxes {
        let Some(known) = book.house.boxes.get(name) else { continue };
        let lines = known.lines();
        for line in lines.iter().filter(|it| event.line.is_empty() || event.line == **it) {
            let of_line = |lot: &str| book.house.lots.get(lot).is_some_and(|it| it.told.line == *line);
            let here = book.house.cocoons.iter().filter(|(_, it)| it.lies_in.as_ref() == Some(name));
            let numbered: Vec<String> =
                here.filter(|(_, it)| of_line(&it.told.lot)).map(|(number, _)| number.clone()).collect();
            let n = known.count(Some(line), Stage::Cocoon);
            let unnumbered = n.saturating_sub(u32::try_from(numbered.len()).unwrap_or(u32::MAX));
            let shared = lines.len() > 1;
            all.push(Lying { name: name.clone(), line: (*line).to_owned(), numbered, unnumbered, shared });
        }
    }
    all.retain(|it| it.n() > 0);
    all
}

/// Which cocoons a row means, and how that was concluded if it was not told.
fn meant(
    book: &Book<'_>,
    scene: &Scene<'_>,
    row: &EventRow,
    way: Option<Way>,
) -> Result<(Vec<Lying>, Option<String>), Wrong> {
    let groups = lying(book, row);
    let (place, n) = (row.boxes.join("+"), row.n);
    let total: u32 = groups.iter().map(Lying::n).sum();
    let named: BTreeSet<&str> = words(&row.note).filter(|it| scene.cocoons.contains_key(it)).collect();
    if !named.is_empty() {
        return by_name(book, &groups, row, &named).map(|it| (it, None));
    }
    if total < n {
        return Err((
            "n",
            format!("there are {total} cocoons in {place}, not {n}: count again, or look at the box"),
        ));
    }
    let several = groups.len() > 1;
    if total == n {
        return Ok((groups, several.then(|| "all that lay there".to_owned())));
    }
    let pick = |wanted: &dyn Fn(&str) -> bool| -> (Vec<Lying>, u32) {
        let mut chosen = groups.clone();
        for group in &mut chosen {
            group.numbered.retain(|it| wanted(it));
            group.unnumbered = 0;
        }
        chosen.retain(|it| it.n() > 0);
        let found = chosen.iter().map(Lying::n).sum();
        (chosen, found)
    };
    if let Some(way) = way {
        let fate = |number: &str| {
            scene
                .cocoons
                .get(number)
                .is_some_and(|it| it.it.fate == CocoonFate::Left(way) && it.it.fate_on == Some(row.date))
        };
        let (chosen, found) = pick(&fate);
        if found == n {
            return Ok((chosen, Some("those of which cocoons.csv tells this fate on this day".to_owned())));
        }
        if found > 0 {
            return Err((
                "n",
                format!(
                    "cocoons.csv tells of {found} in {place} on this day, not {n}: look at both tables again"
                ),
            ));
        }
    } else {
        let weighed = |number: &str| {
            scene.tables.weights.iter().any(|it| it.it.cocoon == number && it.it.date == row.date)
        };
        let (chosen, found) = pick(&weighed);
        if found == n {
            return Ok((chosen, Some("those that were weighed on this day".to_owned())));
        }
        // `females out before the males`: the sex that is named first is meant,
        // if it is as many.
        for word in words(&row.note.to_lowercase()) {
            let sex = match word {
                "females" => Sex::Female,
                "males" => Sex::Male,
                _ => continue,
            };
            let of_sex = |number: &str| book.house.cocoons.get(number).is_some_and(|it| it.told.sex == sex);
            let (chosen, found) = pick(&of_sex);
            if found == n {
                return Ok((chosen, Some(format!("all {word} that were alive there"))));
            }
        }
    }
    match &groups[..] {
        [only] if only.numbered.is_empty() => Ok((vec![Lying { unnumbered: n, ..only.clone() }], None)),
        _ if groups.iter().all(|it| it.numbered.is_empty()) => Err((
            "line",
            format!("{place} holds {total} cocoons of several lines: write one row for each line"),
        )),
        _ => Err((
            "note",
            format!("which {n} of the {total} cocoons in {place} are meant? Write their numbers in the note"),
        )),
    }
}

fn by_name(
    book: &Book<'_>,
    groups: &[Lying],
    row: &EventRow,
    named: &BTreeSet<&str>,
) -> Result<Vec<Lying>, Wrong> {
    let mut chosen = groups.to_vec();
    for group in &mut chosen {
        group.numbered.retain(|it| named.contains(it.as_str()));
        group.unnumbered = 0;
    }
    chosen.retain(|it| it.n() > 0);
    let here: BTreeSet<&str> = chosen.iter().flat_map(|it| &it.numbered).map(String::as_str).collect();
    if let Some(stray) = named.iter().find(|it| !here.contains(*it)) {
        let lies_in = book.house.cocoons.get(*stray).and_then(|it| it.lies_in.clone());
        let is = lies_in.map_or_else(|| "not there any more".to_owned(), |place| format!("in {place}"));
        return Err((
            "note",
            format!("cocoon {stray} is {is}: look at the number, the box and the line again"),
        ));
    }
    if named.len() != row.n as usize {
        return Err((
            "n",
            format!("the note names {} cocoons and n is {}: let the two agree", named.len(), row.n),
        ));
    }
    Ok(chosen)
}

/// Cocoons go into a tray, the cold or the warm.
pub(super) fn shift<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>, why: Move) {
    let it = &row.it;
    let Some(into) = it.to_box.clone() else { return };
    if let Some(unknown) = it.boxes.iter().find(|name| !book.house.boxes.contains_key(*name)) {
        let says = format!("there is no box {unknown} before this: look at the lid again");
        book.complain(row.into(), boxes_of(it), Some("box"), says);
        return;
    }
    let (groups, how) = match meant(book, scene, it, None) {
        Ok(found) => found,
        Err((column, says)) => {
            book.complain(row.into(), boxes_of(it), Some(column), says);
            return;
        }
    };
    let vessel = match it.happening {
        Happening::Harvest => "tray",
        Happening::Warm => "cage",
        _ => "store",
    };
    set_up(book, scene, row, &into, vessel, place_of(scene, it, &groups));
    if let Some(how) = how {
        let parts: Vec<String> =
            groups.iter().map(|it| format!("{} of {} from {}", it.n(), it.line, it.name)).collect();
        let says =
            format!("which cocoons went into {into} is not told; taken for {how}: {}", parts.join(", "));
        book.infer(row.into(), Some("n"), says);
    }
    let several = groups.len() > 1;
    for group in groups {
        let part = if several { format!("{} {}", group.name, group.line) } else { String::new() };
        let moved = Moved {
            n: group.n(),
            from: group.name,
            into: into.clone(),
            line: group.shared.then_some(group.line),
            stage: Stage::Cocoon,
            animals: group.numbered,
            why: Some(why),
            note: it.note.clone(),
        };
        book.note(row.into(), it.wall(), &part, Deed::Moved(moved));
    }
}

fn boxes_of(it: &EventRow) -> Vec<About> {
    it.boxes.iter().chain(&it.to_box).cloned().map(About::Box).collect()
}

/// Where a new tray or store stands: what was said of it names the thermometer.
fn place_of(scene: &Scene<'_>, it: &EventRow, groups: &[Lying]) -> String {
    let moved: BTreeSet<&str> = groups.iter().flat_map(|it| &it.numbered).map(String::as_str).collect();
    let weighed = scene
        .tables
        .weights
        .iter()
        .filter(|row| row.it.date == it.date && moved.contains(row.it.cocoon.as_str()));
    let mut said: Vec<&str> = weighed.map(|row| row.it.place.as_str()).collect();
    said.extend([it.note.as_str(), it.to_box.as_deref().unwrap_or("")]);
    scene.places.meant_by(&said)
}

/// The log and the table of cocoons must tell the same end of a cocoon.
pub(super) fn fate_agrees<'t>(
    book: &mut Book<'t>,
    scene: &Scene<'t>,
    event: &Told<EventRow>,
    number: &str,
    fate: CocoonFate,
) -> bool {
    let Some(row) = scene.cocoons.get(number).copied() else { return true };
    if row.it.fate == CocoonFate::NotTold || (row.it.fate, row.it.fate_on) == (fate, Some(event.it.date)) {
        return true;
    }
    let column = if row.it.fate == fate { "fate_on" } else { "fate" };
    let words = match fate {
        CocoonFate::Left(way) => format!("cocoon {number} is {}", rearing::words::way(way)),
        _ => format!("cocoon {number} gave a moth"),
    };
    let (line, on) = (event.line, event.it.date);
    let says = format!("by line {line} of events.csv {words} on {on}: look at both tables again");
    let about = [About::cocoon(number), About::the_box(event.it.place())];
    book.complain(row.into(), about, Some(column), says);
    false
}

/// Cocoons leave the house by a named way.
pub(super) fn leave<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>, way: Way) {
    let it = &row.it;
    let known = book.house.open_box(it.place()).is_ok();
    let (groups, how) = match meant(book, scene, it, Some(way)) {
        Ok(found) => found,
        // The book words a box that is not there better.
        Err(_) if !known => {
            let only = Lying {
                name: it.place().to_owned(),
                line: it.line.clone(),
                numbered: Vec::new(),
                unnumbered: it.n,
                shared: false,
            };
            (vec![only], None)
        }
        Err((column, says)) => {
            book.complain(row.into(), [About::the_box(it.place())], Some(column), says);
            return;
        }
    };
    let fate = CocoonFate::Left(way);
    let numbers: Vec<&String> = groups.iter().flat_map(|it| &it.numbered).collect();
    if numbers.iter().any(|number| !fate_agrees(book, scene, row, number, fate)) {
        return;
    }
    if let Some(how) = how {
        let says = format!("which {} cocoons of {} are meant is not told; taken for {how}", it.n, it.place());
        book.infer(Source::from(row), Some("n"), says);
    }
    let several = groups.len() > 1;
    for group in groups {
        let part = if several { group.line.clone() } else { String::new() };
        let left = Left {
            n: group.n(),
            name: group.name,
            line: group.shared.then_some(group.line),
            stage: Stage::Cocoon,
            way,
            sign: it.cause.clone(),
            animals: group.numbered,
            note: it.note.clone(),
        };
        book.note(row.into(), it.wall(), &part, Deed::Left(left));
    }
}

//! Moths come out.

use super::book::{About, Book, Source};
use super::cocoons;
use super::events::{line_meant, set_up};
use super::rows::{CocoonFate, EventRow, MothRow, Told};
use super::scene::{Scene, words};
use rearing::Deed;
use rearing::deed::{CameOut, MothDescribed, Move, Moved};
use terms::{Sex, Stage};

/// Notes a row that says that moths came out.
pub(super) fn note<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>) {
    let it = &row.it;
    let mut said = words(&it.note);
    let number = said.next().filter(|_| scene.tables.has_cocoons);
    if let Some(number) = number {
        if !scene.cocoons.contains_key(number) {
            let says = format!(
                "cocoons.csv has no cocoon {number}: begin the note with the number of the cocoon, then F or M"
            );
            book.complain(row.into(), [About::the_box(it.place())], Some("note"), says);
        } else if it.n != 1 {
            let says = "one row speaks of one numbered cocoon: write 1, and a row for each moth";
            book.complain(row.into(), [About::the_box(it.place())], Some("n"), says);
        } else {
            let sex = said.next().and_then(|it| it.parse().ok()).unwrap_or_default();
            one(book, scene, row, number, sex);
        }
        return;
    }
    let Some(line) = line_meant(book, row) else { return };
    for index in 0..it.n {
        let came_out = CameOut {
            name: it.place().to_owned(),
            line: line.clone(),
            cocoon: None,
            moth: None,
            sex: Sex::Unknown,
            note: it.note.clone(),
        };
        let part = if index == 0 { String::new() } else { format!("moth {}", index + 1) };
        if !book.note(row.into(), it.wall(), &part, Deed::CameOut(came_out)) {
            return;
        }
    }
}

fn one<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>, number: &'t str, sex: Sex) {
    let it = &row.it;
    let moth = scene.moth_of.get(number).copied();
    let told = scene.cocoons.get(number).map_or(Sex::Unknown, |it| it.it.sex);
    let sexes: Vec<Sex> = [sex, moth.map_or(Sex::Unknown, |it| it.it.sex), told]
        .into_iter()
        .filter(|it| *it != Sex::Unknown)
        .collect();
    if sexes.iter().any(|it| Some(it) != sexes.first()) {
        let says =
            format!("{number} is {} here and of the other sex elsewhere: correct the one that is wrong", sex);
        book.complain(row.into(), [About::cocoon(number)], Some("note"), says);
        return;
    }
    if !scene.cocoons.get(number).is_some_and(|cocoon| it.line.is_empty() || cocoon.it.line == it.line) {
        let says = format!("cocoon {number} is of another line in cocoons.csv: look at both tables again");
        book.complain(row.into(), [About::cocoon(number)], Some("line"), says);
        return;
    }
    if let Some(moth) = moth
        && !agrees(book, row, moth)
    {
        return;
    }
    if !cocoons::fate_agrees(book, scene, row, number, CocoonFate::CameOut) {
        return;
    }
    turned_up(book, scene, row, number);
    let came_out = CameOut {
        name: it.place().to_owned(),
        line: None,
        cocoon: Some(number.to_owned()),
        moth: moth.map(|it| it.it.moth.clone()),
        sex: sexes.first().copied().unwrap_or_default(),
        note: it.note.clone(),
    };
    let out = book.note(row.into(), it.wall(), "", Deed::CameOut(came_out));
    if let Some(moth) = moth.filter(|it| out && (it.it.forewing_mm.is_some() || !it.it.condition.is_empty()))
    {
        let MothRow { moth: name, forewing_mm, condition, .. } = &moth.it;
        let described =
            MothDescribed { moth: name.clone(), forewing_mm: *forewing_mm, condition: condition.clone() };
        book.note(moth.into(), it.wall(), "described", Deed::MothDescribed(described));
    }
}

/// Day and hour must be the same in the log and in the table of moths.
fn agrees<'t>(book: &mut Book<'t>, row: &'t Told<EventRow>, moth: &'t Told<MothRow>) -> bool {
    let number = &moth.it.cocoon;
    let MothRow { moth: name, emerged_on, hour, .. } = &moth.it;
    if *emerged_on != row.it.date {
        let says = format!(
            "{name} came out on {} in events.csv (line {}): look at both dates again",
            row.it.date, row.line
        );
        book.complain(Source::from(moth), [About::cocoon(number)], Some("emerged_on"), says);
        return false;
    }
    if let Some(hour) = hour.filter(|it| *it != row.it.time) {
        let says = format!(
            "{name} came out at {} in events.csv (line {}), not at {}: look at both again",
            row.it.time.strftime("%H:%M"),
            row.line,
            hour.strftime("%H:%M")
        );
        book.complain(Source::from(moth), [About::cocoon(number)], Some("hour"), says);
        return false;
    }
    true
}

/// A cocoon that was forgotten comes out where nobody had put it: it must have
/// been taken there, and nobody noted when.
fn turned_up<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>, number: &str) {
    let name = row.it.place();
    let Some(cocoon) = book.house.cocoons.get(number) else { return };
    let (lies_in, lot) = (cocoon.lies_in.clone(), cocoon.told.lot.clone());
    let Some(from) = lies_in.filter(|it| it != name) else { return };
    let is_target = scene.tables.events.iter().any(|it| it.it.to_box.as_deref() == Some(name));
    if scene.is_in_boxes(name) || is_target {
        return;
    }
    // The air there is read nowhere, so the place is called like the box.
    set_up(book, scene, row, name, "store", name.to_owned());
    let says = format!(
        "cocoon {number} lay in {from} for all that is told; it is taken to {name} just before its moth came out there"
    );
    book.infer(row.into(), Some("box"), says);
    let shared = book.house.boxes.get(&from).is_some_and(|it| it.lines().len() > 1);
    let line = book.house.lots.get(&lot).map(|it| it.told.line.clone());
    let moved = Moved {
        from,
        into: name.to_owned(),
        line: line.filter(|_| shared),
        stage: Stage::Cocoon,
        n: 1,
        animals: vec![number.to_owned()],
        why: Some(Move::Other),
        note: "concluded from where the moth came out".to_owned(),
    };
    book.note(row.into(), row.it.wall(), "turned up", Deed::Moved(moved));
}

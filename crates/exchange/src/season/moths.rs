//! Moths, pairings and layings.

use super::book::{Book, Source};
use super::rows::{EventRow, Happening, MothRow, PairingRow, Told};
use super::scene::{Scene, first_word, words};
use jiff::civil::DateTime;
use rearing::deed::{EggsLeft, Laid, Left, Paired, PairingTold};
use rearing::{Deed, Way};
use terms::Stage;

/// A moth is gone by the fate that the table of moths tells.
pub(super) fn gone<'t>(book: &mut Book<'t>, row: &'t Told<MothRow>, wall: DateTime) {
    let it = &row.it;
    let Some(way) = it.way else { return };
    let known = book.house.moths.get(&it.moth);
    let Some(name) = known.and_then(|it| it.lives_in.clone()) else {
        let said_in_log = known.is_some_and(|moth| moth.gone_on == it.fate_on);
        if known.is_some() && !said_in_log {
            let says = format!("{} is gone on another day in events.csv: look at both dates again", it.moth);
            book.complain(row.into(), [], Some("fate_on"), says);
        }
        return;
    };
    let shared = book.house.boxes.get(&name).is_some_and(|it| it.lines().len() > 1);
    let left = Left {
        name,
        line: shared.then(|| it.line.clone()),
        stage: Stage::Moth,
        n: 1,
        way,
        sign: if it.fate == "died" { String::new() } else { it.fate.clone() },
        animals: vec![it.moth.clone()],
        note: String::new(),
    };
    book.note(row.into(), wall, "gone", Deed::Left(left));
}

/// The log says that two were put together; the table of pairings says the rest.
pub(super) fn pair<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>) {
    let source = Source::from(row);
    if let Some(pairing) = scene.pairing_named(&row.it) {
        if pairing.it.date != row.it.date {
            let says = format!(
                "pairing {} is of {} in pairings.csv: look at both dates again",
                pairing.it.pairing, pairing.it.date
            );
            book.complain(source, [], Some("date"), says);
            return;
        }
        paired(book, pairing, source, row.it.wall());
        return;
    }
    let name = first_word(&row.it.note);
    if scene.tables.has_pairings {
        let says =
            format!("pairings.csv has no pairing `{name}`: begin the note with its name, or add it there");
        book.complain(source, [], Some("note"), says);
        return;
    }
    match from_note(&row.it.note) {
        Some(deed) => {
            book.note(source, row.it.wall(), "", Deed::Paired(deed));
        }
        None => {
            let says =
                "without pairings.csv the note must say who: write it like `P1: A-C10F x A-C05M: paired`";
            book.complain(source, [], Some("note"), says);
        }
    }
}

/// `P26-1: H-C10F x H-C05M: paired`.
fn from_note(note: &str) -> Option<Paired> {
    let mut parts = note.split(':').map(str::trim);
    let (pairing, pair, result) = (parts.next()?, parts.next()?, parts.next().unwrap_or(""));
    let (female, male) = pair.split_once(" x ")?;
    let took = match result {
        "paired" => Some(true),
        "not paired" => Some(false),
        _ => None,
    };
    Some(Paired {
        pairing: pairing.to_owned(),
        female: female.trim().to_owned(),
        male: male.trim().to_owned(),
        took,
        method: String::new(),
        joined_h: None,
        note: String::new(),
    })
}

pub(super) fn paired<'t>(book: &mut Book<'t>, row: &'t Told<PairingRow>, source: Source<'t>, wall: DateTime) {
    let it = &row.it;
    let deed = Paired {
        pairing: it.pairing.clone(),
        female: it.female.clone(),
        male: it.male.clone(),
        took: it.took,
        method: it.method.clone(),
        joined_h: it.joined_h,
        note: it.note.clone(),
    };
    book.note(source, wall, "paired", Deed::Paired(deed));
}

/// Eggs of one night.
pub(super) fn lay<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>) {
    let it = &row.it;
    let pairing = first_word(&it.note);
    let known = if scene.tables.has_pairings {
        scene.pairings.contains_key(pairing)
    } else {
        book.house.pairings.contains_key(pairing)
    };
    if !known {
        let says = "the note does not begin with a pairing that is known: write whose eggs they are";
        book.complain(row.into(), [], Some("note"), says);
        return;
    }
    let more = words(&it.note).count() > 1;
    let laid = Laid {
        pairing: pairing.to_owned(),
        eggs: it.n,
        place: it.place().to_owned(),
        note: if more { it.note.clone() } else { String::new() },
    };
    book.note(row.into(), it.wall(), "", Deed::Laid(laid));
}

/// A laying of which only the table of pairings tells.
pub(super) fn laid_undated<'t>(book: &mut Book<'t>, row: &'t Told<PairingRow>, wall: DateTime) {
    let laid = Laid {
        pairing: row.it.pairing.clone(),
        eggs: row.it.laid.unwrap_or(0),
        place: String::new(),
        note: String::new(),
    };
    let part = format!("laid {}", laid.eggs);
    book.note(row.into(), wall, &part, Deed::Laid(laid));
}

/// What the table of pairings tells without a day: the mother under the
/// microscope, the kinship of the parents, and eggs that went out.
pub(super) fn told<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<PairingRow>, wall: DateTime) {
    let it = &row.it;
    if !(it.mother_check.is_empty() && it.kinship.is_empty() && it.note.is_empty()) {
        tell(book, row, wall, None);
    }
    for (column, n, way, happening) in [
        ("eggs_given", it.given, Way::Given, Happening::GiveAway),
        ("eggs_destroyed", it.destroyed, Way::Destroyed, Happening::Destroy),
    ] {
        let named = |event: &&Told<EventRow>| {
            event.it.happening == happening && first_word(&event.it.note) == it.pairing
        };
        let in_log: u32 = scene.tables.events.iter().filter(named).map(|event| event.it.n).sum();
        if in_log > 0 && in_log != n {
            let says = format!(
                "events.csv tells of {in_log} eggs of {}, not {n}: look at both tables again",
                it.pairing
            );
            book.complain(row.into(), [], Some(column), says);
        } else if in_log == 0 && n > 0 {
            let says =
                format!("no row of events.csv tells when these {n} eggs went; noted on {}", wall.date());
            book.infer(row.into(), Some(column), says);
            let left = EggsLeft { pairing: it.pairing.clone(), n, way, sign: String::new() };
            book.note(row.into(), wall, &format!("{column} {n}"), Deed::EggsLeft(left));
        }
    }
}

/// How many hatched is told without a day, so it is noted on the last one:
/// nobody could have known it earlier for certain.
pub(super) fn hatched<'t>(book: &mut Book<'t>, row: &'t Told<PairingRow>, wall: DateTime) {
    tell(book, row, wall, row.it.hatched);
}

fn tell<'t>(book: &mut Book<'t>, row: &'t Told<PairingRow>, wall: DateTime, hatched: Option<u32>) {
    let it = &row.it;
    let kinship = match it.kinship.as_str() {
        "" => String::new(),
        words => format!("inbreeding of the young: {words}"),
    };
    // These cells are filled in over weeks, and each state of them is told once.
    let part = format!("told {hatched:?}\u{1f}{}\u{1f}{kinship}\u{1f}{}", it.mother_check, it.note);
    let told = PairingTold {
        took: None,
        pairing: it.pairing.clone(),
        hatched,
        mother_check: it.mother_check.clone(),
        kinship,
        note: it.note.clone(),
    };
    book.note(row.into(), wall, &part, Deed::PairingTold(told));
}

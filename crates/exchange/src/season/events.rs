//! Rows of the log become deeds.

use super::book::{About, Book, Source};
use super::cocoons;
use super::emerge;
use super::lots;
use super::moths;
use super::rows::{EventRow, Happening, Told};
use super::scene::{Scene, words};
use rearing::deed::{
    BoxClosed, BoxNote, BoxOpened, EggsLeft, Found, Left, Moulted, Move, Moved, Remarked, SetApart,
};
use rearing::{Deed, Way};
use terms::Stage;

/// Notes what a row of the log says.
pub(super) fn note<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>) {
    let it = &row.it;
    match it.happening {
        Happening::Receive => receive(book, scene, row),
        Happening::Hatch | Happening::Moult | Happening::Spin => advance(book, row),
        Happening::Harvest => cocoons::shift(book, scene, row, Move::Harvest),
        Happening::Store => cocoons::shift(book, scene, row, Move::Store),
        Happening::Warm => cocoons::shift(book, scene, row, Move::BringOut),
        Happening::Move if it.from == Some(Stage::Cocoon) => cocoons::shift(book, scene, row, Move::Other),
        Happening::Move => shift(book, scene, row),
        Happening::Death => leave(book, scene, row, Way::Died),
        Happening::EggFailed => leave(book, scene, row, Way::EggFailed),
        Happening::Missing => leave(book, scene, row, Way::Missing),
        Happening::Preserve => leave(book, scene, row, Way::Preserved),
        Happening::GiveAway => leave(book, scene, row, Way::Given),
        Happening::Stifle => leave(book, scene, row, Way::Stifled),
        Happening::Destroy => leave(book, scene, row, Way::Destroyed),
        Happening::Found => {
            let Some(line) = line_meant(book, row) else { return };
            let (name, stage) = (it.place().to_owned(), stage(it));
            log(book, row, Deed::Found(Found { name, line, stage, n: it.n, note: it.note.clone() }));
        }
        Happening::Quarantine => set_apart(book, row),
        Happening::LetBack => log(book, row, Deed::LetBack(about(it))),
        Happening::CloseBox => {
            log(book, row, Deed::BoxClosed(BoxClosed { name: it.place().to_owned(), note: it.note.clone() }));
        }
        Happening::DisinfectEggs => log(book, row, Deed::EggsWashed(about(it))),
        Happening::Emerge => emerge::note(book, scene, row),
        Happening::Pair => moths::pair(book, scene, row),
        Happening::Lay => moths::lay(book, scene, row),
        Happening::Note => log(book, row, Deed::Remarked(remark(scene, it))),
    }
}

fn log<'t>(book: &mut Book<'t>, row: &'t Told<EventRow>, deed: Deed) {
    book.note(row.into(), row.it.wall(), "", deed);
}

/// The stage that the animals were in. Rows without one were refused while
/// reading, so the fallback is never seen.
pub(super) fn stage(it: &EventRow) -> Stage {
    it.from.unwrap_or(match it.happening {
        Happening::Stifle => Stage::Cocoon,
        _ => Stage::Egg,
    })
}

fn about(it: &EventRow) -> BoxNote {
    BoxNote { name: it.place().to_owned(), note: it.note.clone() }
}

/// The line to name in a deed: only where the box holds several. `None` if the
/// row names a line that the box does not hold.
#[expect(clippy::option_option, reason = "the outer one says whether the row can be noted at all")]
pub(super) fn line_meant<'t>(book: &mut Book<'t>, row: &'t Told<EventRow>) -> Option<Option<String>> {
    let (name, line) = (row.it.place(), &row.it.line);
    let lines: Vec<String> = book
        .house
        .boxes
        .get(name)
        .map_or_else(Vec::new, |it| it.lines().into_iter().map(str::to_owned).collect());
    if line.is_empty() || lines.is_empty() {
        return Some(None);
    }
    if !lines.contains(line) {
        let says = format!(
            "box {name} holds {}, not {line}: look at the line and at the lid again",
            lines.join(" and ")
        );
        book.complain(row.into(), [About::the_box(name)], Some("line"), says);
        return None;
    }
    Some((lines.len() > 1).then(|| line.clone()))
}

/// A tray or store that is not in the table of boxes is set up when the first
/// cocoon goes in.
pub(super) fn set_up<'t>(
    book: &mut Book<'t>,
    scene: &Scene<'t>,
    row: &'t Told<EventRow>,
    name: &str,
    vessel: &str,
    place: String,
) {
    if scene.is_in_boxes(name) || book.house.boxes.contains_key(name) {
        return;
    }
    let source = Source::from(row);
    let says = if place.is_empty() {
        format!("{name} is not in boxes.csv; it is set up here as a {vessel}")
    } else {
        format!("{name} is not in boxes.csv; it is set up here as a {vessel} and taken to stand at: {place}")
    };
    book.infer(source, None, says);
    let opened = BoxOpened {
        name: name.to_owned(),
        line: String::new(),
        for_stage: Some(Stage::Cocoon),
        vessel: vessel.to_owned(),
        floor_cm2: None,
        place,
        note: String::new(),
    };
    book.note(source, row.it.wall(), &format!("set up {name}"), Deed::BoxOpened(opened));
}

fn receive<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>) {
    let Some(lot) = scene.received.get(&row.line) else { return };
    let received = match lots::as_received(scene, lot, &row.it) {
        Ok(received) => received,
        Err((column, says)) => {
            book.complain(Source::from(*lot), [About::the_box(row.it.place())], Some(column), says);
            return;
        }
    };
    // Eggs and larvae go into boxes that are written down; cocoons lie anywhere.
    if received.stage == Stage::Cocoon {
        set_up(book, scene, row, row.it.place(), "store", scene.places.first());
    }
    log(book, row, Deed::LotReceived(received));
}

fn advance<'t>(book: &mut Book<'t>, row: &'t Told<EventRow>) {
    let it = &row.it;
    let Some(line) = line_meant(book, row) else { return };
    let (name, note) = (it.place().to_owned(), it.note.clone());
    let deed = match it.happening {
        Happening::Hatch => Deed::Hatched(Moved {
            from: name,
            into: it.to_box.clone().unwrap_or_default(),
            line,
            stage: Stage::Egg,
            n: it.n,
            animals: Vec::new(),
            why: None,
            note,
        }),
        happening => {
            let moulted = Moulted { name, line, from: stage(it), n: it.n, into: it.to_box.clone(), note };
            if happening == Happening::Spin { Deed::Spun(moulted) } else { Deed::Moulted(moulted) }
        }
    };
    log(book, row, deed);
}

/// Larvae, eggs or moths put into another box.
fn shift<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>) {
    let it = &row.it;
    let Some(into) = it.to_box.clone() else { return };
    if it.boxes.len() > 1 {
        let says = "only cocoons can be taken from several boxes: write one row for each box";
        book.complain(row.into(), [], Some("box"), says);
        return;
    }
    let Some(line) = line_meant(book, row) else { return };
    if stage(it) == Stage::Moth {
        set_up(book, scene, row, &into, "cage", scene.places.first());
    }
    let moved = Moved {
        from: it.place().to_owned(),
        into,
        line,
        stage: stage(it),
        n: it.n,
        animals: moths_named(book, it),
        why: Some(Move::Other),
        note: it.note.clone(),
    };
    log(book, row, Deed::Moved(moved));
}

fn moths_named(book: &Book<'_>, it: &EventRow) -> Vec<String> {
    if stage(it) != Stage::Moth {
        return Vec::new();
    }
    words(&it.note).filter(|word| book.house.moths.contains_key(*word)).map(str::to_owned).collect()
}

fn leave<'t>(book: &mut Book<'t>, scene: &Scene<'t>, row: &'t Told<EventRow>, way: Way) {
    let it = &row.it;
    let stage = if way == Way::EggFailed { Stage::Egg } else { stage(it) };
    if stage == Stage::Egg
        && let Some(pairing) = scene.pairing_named(it)
    {
        let (pairing, sign) = (pairing.it.pairing.clone(), it.cause.clone());
        log(book, row, Deed::EggsLeft(EggsLeft { pairing, n: it.n, way, sign }));
        return;
    }
    if stage == Stage::Cocoon {
        cocoons::leave(book, scene, row, way);
        return;
    }
    let Some(line) = line_meant(book, row) else { return };
    let left = Left {
        name: it.place().to_owned(),
        line,
        stage,
        n: it.n,
        way,
        sign: it.cause.clone(),
        animals: moths_named(book, it),
        note: it.note.clone(),
    };
    log(book, row, Deed::Left(left));
}

fn set_apart<'t>(book: &mut Book<'t>, row: &'t Told<EventRow>) {
    let it = &row.it;
    let name = it.place().to_owned();
    let has = book.house.boxes.get(&name).map_or(0, |known| match it.from {
        Some(stage) => known.count(None, stage),
        None => known.total(),
    });
    log(book, row, Deed::SetApart(SetApart { name, sign: it.cause.clone(), note: it.note.clone() }));
    if it.n > 0 && it.n != has {
        let says = format!(
            "{} were in the box when it was set apart, the book has {has}; only the setting apart is noted",
            it.n
        );
        book.infer(row.into(), Some("n"), says);
    }
}

/// A remark is about a box or a line; `ALL-L5` is neither, so it goes into the text.
fn remark(scene: &Scene<'_>, it: &EventRow) -> Remarked {
    let place = it.place();
    let known = |name: &str| {
        scene.is_in_boxes(name)
            || scene.tables.events.iter().any(|event| event.it.to_box.as_deref() == Some(name))
    };
    if place.is_empty() || (!known(place) && it.line.is_empty()) {
        let about = if it.line.is_empty() { place } else { &it.line };
        return Remarked { about: about.to_owned(), text: it.note.clone() };
    }
    if known(place) {
        return Remarked { about: place.to_owned(), text: it.note.clone() };
    }
    Remarked { about: it.line.clone(), text: format!("{place}: {}", it.note) }
}

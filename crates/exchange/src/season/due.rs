//! Everything that the tables tell, in the order in which it happened.

use super::book::{Book, Source};
use super::counts::Waiting;
use super::rows::{
    AirRow, BoxRow, CocoonRow, CountRow, Happening, LeafRow, MothRow, PairingRow, Told, WeightRow,
};
use super::scene::Scene;
use super::{cocoons, events, moths};
use jiff::ToSpan;
use jiff::civil::{Date, DateTime, Time, time};
use rearing::Deed;
use rearing::deed::{AirRead, BoxClosed, BoxOpened, CocoonWeighed, LeafChanged};
use std::collections::BTreeMap;

/// Times of day for what the tables date but do not time.
const SET_UP: Time = time(6, 30, 0, 0);
const COUNTED: Time = time(8, 30, 0, 0);
const LEAF: Time = time(9, 0, 0, 0);
const WEIGHED: Time = time(10, 0, 0, 0);
const PUT_AWAY: Time = time(19, 0, 0, 0);
const PAIRED: Time = time(20, 0, 0, 0);
const PAIRING_TOLD: Time = time(21, 30, 0, 0);
const GONE: Time = time(22, 30, 0, 0);
const AIR: Time = time(23, 50, 0, 0);
const LAST: Time = time(23, 55, 0, 0);

/// One thing that is due.
#[derive(Debug, Clone, Copy)]
enum Act<'t> {
    SetUp(&'t Told<BoxRow>),
    Event(usize),
    PutAway(&'t Told<BoxRow>),
    Describe(&'t Told<CocoonRow>, &'t str),
    Weigh(&'t Told<WeightRow>),
    /// The rows of one box and day, from this one on.
    Count(&'t Told<CountRow>),
    Leaf(&'t Told<LeafRow>),
    Air(&'t Told<AirRow>),
    MothGone(&'t Told<MothRow>),
    Paired(&'t Told<PairingRow>),
    Laid(&'t Told<PairingRow>),
    PairingTold(&'t Told<PairingRow>),
    Hatched(&'t Told<PairingRow>),
}

/// At one moment boxes come first, then the log, then what depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Before,
    Log,
    Described,
    Rest,
}

struct Due<'t> {
    wall: DateTime,
    rank: Rank,
    act: Act<'t>,
    source: Source<'t>,
}

/// Takes the whole season into the book, from the first day to the last.
pub(super) fn live_through<'t>(book: &mut Book<'t>, scene: &Scene<'t>) {
    let mut all = Vec::new();
    let first_in = first_in(scene);
    boxes(scene, &mut all);
    for (index, row) in scene.tables.events.iter().enumerate() {
        all.push(due(row, row.it.wall(), Rank::Log, Act::Event(index)));
    }
    daily(book, scene, &first_in, &mut all);
    numbered(book, scene, &mut all);
    pairings(book, scene, &mut all);
    let mut timed = Vec::new();
    for it in all {
        if let Some(when) = book.when(it.source, it.wall) {
            timed.push((when.at, it));
        }
    }
    timed.sort_by_key(|(at, it)| (*at, it.rank));
    let mut waiting = Waiting::default();
    for (_, it) in timed {
        match it.act {
            Act::Count(row) => waiting.count(book, scene, row, it.wall),
            _ => act(book, scene, &it),
        }
        if let Act::Event(index) = it.act
            && let Some(event) = scene.tables.events.get(index)
        {
            waiting.after(book, scene, &event.it);
        }
    }
}

fn due<'t, T>(row: &'t Told<T>, wall: DateTime, rank: Rank, act: Act<'t>) -> Due<'t> {
    Due { wall, rank, act, source: Source::from(row) }
}

/// When animals were first put into each box.
fn first_in<'t>(scene: &Scene<'t>) -> BTreeMap<&'t str, DateTime> {
    let mut first: BTreeMap<&str, DateTime> = BTreeMap::new();
    for row in &scene.tables.events {
        let target = match row.it.happening {
            Happening::Receive => Some(row.it.place()),
            _ => row.it.to_box.as_deref(),
        };
        if let Some(target) = target {
            let earliest = first.entry(target).or_insert_with(|| row.it.wall());
            *earliest = row.it.wall().min(*earliest);
        }
    }
    first
}

fn boxes<'t>(scene: &Scene<'t>, all: &mut Vec<Due<'t>>) {
    for row in &scene.tables.boxes {
        let name = &row.it.name;
        let speaks_of = |it: &&Told<super::EventRow>| {
            it.it.date == row.it.opened && (it.it.boxes.contains(name) || it.it.to_box.as_ref() == Some(name))
        };
        let first = scene.tables.events.iter().filter(speaks_of).map(|it| it.it.time).min();
        let opened = first.map_or(SET_UP, |it| it.min(SET_UP));
        all.push(due(row, row.it.opened.to_datetime(opened), Rank::Before, Act::SetUp(row)));
        let is_closed =
            |it: &Told<super::EventRow>| it.it.happening == Happening::CloseBox && it.it.place() == name;
        if let Some(closed) = row.it.closed.filter(|_| !scene.tables.events.iter().any(is_closed)) {
            all.push(due(row, closed.to_datetime(PUT_AWAY), Rank::Rest, Act::PutAway(row)));
        }
    }
}

fn daily<'t>(
    book: &mut Book<'t>,
    scene: &Scene<'t>,
    first_in: &BTreeMap<&str, DateTime>,
    all: &mut Vec<Due<'t>>,
) {
    // Nobody can count or feed a box before somebody is in it.
    let not_before = |name: &str, date: Date, at: Time| {
        let wall = date.to_datetime(at);
        first_in.get(name).filter(|it| it.date() == date && **it > wall).copied()
    };
    for (&(date, name), rows) in &scene.counts {
        let Some(row) = rows.first().copied() else { continue };
        let late = not_before(name, date, COUNTED);
        if let Some(late) = late {
            let says = format!(
                "box {name} got its animals only at {} on that day, so this count is noted then",
                late.time().strftime("%H:%M")
            );
            book.infer(row.into(), Some("date"), says);
        }
        all.push(due(row, late.unwrap_or(date.to_datetime(COUNTED)), Rank::Rest, Act::Count(row)));
    }
    for row in &scene.tables.leaf {
        let late = not_before(&row.it.name, row.it.date, LEAF);
        all.push(due(row, late.unwrap_or(row.it.date.to_datetime(LEAF)), Rank::Rest, Act::Leaf(row)));
    }
    for row in &scene.tables.air {
        all.push(due(row, row.it.date.to_datetime(AIR), Rank::Rest, Act::Air(row)));
    }
}

fn numbered<'t>(book: &mut Book<'t>, scene: &Scene<'t>, all: &mut Vec<Due<'t>>) {
    let mut described: BTreeMap<&str, DateTime> = BTreeMap::new();
    for row in &scene.tables.cocoons {
        match cocoons::described_at(scene, &row.it) {
            Ok((wall, lies_in)) => {
                described.insert(&row.it.cocoon, wall);
                all.push(due(row, wall, Rank::Described, Act::Describe(row, lies_in)));
            }
            Err((column, says)) => book.complain(row.into(), [], Some(column), says),
        }
    }
    for row in &scene.tables.weights {
        let wall = row.it.date.to_datetime(WEIGHED);
        let known = described.get(row.it.cocoon.as_str()).filter(|it| it.date() == row.it.date);
        all.push(due(row, known.map_or(wall, |it| wall.max(*it)), Rank::Rest, Act::Weigh(row)));
    }
    for row in &scene.tables.moths {
        if let Some(on) = row.it.fate_on.filter(|_| row.it.way.is_some()) {
            let out = row.it.emerged_on.to_datetime(row.it.hour.unwrap_or(GONE));
            all.push(due(row, on.to_datetime(GONE).max(out), Rank::Rest, Act::MothGone(row)));
        }
    }
}

fn pairings<'t>(book: &mut Book<'t>, scene: &Scene<'t>, all: &mut Vec<Due<'t>>) {
    let last = last_day(scene);
    for row in &scene.tables.pairings {
        let of = |happening| {
            let named = |it: &&Told<super::EventRow>| {
                it.it.happening == happening && super::scene::first_word(&it.it.note) == row.it.pairing
            };
            scene.tables.events.iter().filter(named).map(|it| it.it.wall()).min()
        };
        let (paired, laid, destroyed) = (of(Happening::Pair), of(Happening::Lay), of(Happening::Destroy));
        if paired.is_none() {
            book.infer(
                row.into(),
                Some("date"),
                "no row of events.csv tells when they were paired; noted at 20:00",
            );
            all.push(due(row, row.it.date.to_datetime(PAIRED), Rank::Rest, Act::Paired(row)));
        }
        let morning = row.it.date.saturating_add(1.day()).to_datetime(time(7, 30, 0, 0));
        if laid.is_none() && row.it.laid.is_some_and(|it| it > 0) {
            let says =
                "no row of events.csv tells when the eggs were laid; noted in the morning after the pairing";
            book.infer(row.into(), Some("eggs_laid"), says);
            all.push(due(row, morning, Rank::Rest, Act::Laid(row)));
        }
        // What the microscope showed was known before eggs were burnt for it.
        let (told_at, rank) = match destroyed {
            Some(wall) => (wall, Rank::Before),
            None => (
                laid.unwrap_or(morning.max(row.it.date.to_datetime(PAIRED))).date().to_datetime(PAIRING_TOLD),
                Rank::Rest,
            ),
        };
        all.push(due(row, told_at, rank, Act::PairingTold(row)));
        if row.it.hatched.is_some() && row.it.laid.is_some_and(|it| it > 0) {
            all.push(due(row, last.max(told_at.date()).to_datetime(LAST), Rank::Rest, Act::Hatched(row)));
        }
    }
}

/// The last day on which anything but the weather is told.
fn last_day(scene: &Scene<'_>) -> Date {
    let tables = scene.tables;
    let events = tables.events.iter().map(|it| it.it.date);
    let moths = tables.moths.iter().filter_map(|it| it.it.fate_on);
    let weights = tables.weights.iter().map(|it| it.it.date);
    let pairings = tables.pairings.iter().map(|it| it.it.date);
    let counts = tables.counts.iter().map(|it| it.it.date);
    events.chain(moths).chain(weights).chain(pairings).chain(counts).max().unwrap_or_default()
}

fn act<'t>(book: &mut Book<'t>, scene: &Scene<'t>, due: &Due<'t>) {
    let (source, wall) = (due.source, due.wall);
    match due.act {
        Act::SetUp(row) => {
            let BoxRow { name, line, for_stage, vessel, floor_cm2, note, .. } = row.it.clone();
            let opened =
                BoxOpened { name, line, for_stage, vessel, floor_cm2, place: scene.places.first(), note };
            book.note(source, wall, "", Deed::BoxOpened(opened));
        }
        Act::PutAway(row) => {
            let closed = BoxClosed { name: row.it.name.clone(), note: String::new() };
            book.note(source, wall, "closed", Deed::BoxClosed(closed));
        }
        Act::Event(index) => {
            if let Some(row) = scene.tables.events.get(index) {
                events::note(book, scene, row);
            }
        }
        Act::Describe(row, lies_in) => cocoons::describe(book, row, wall, lies_in),
        Act::Weigh(row) => {
            let WeightRow { cocoon, cocoon_g, place, .. } = row.it.clone();
            cocoons::still_here(book, row);
            book.note(
                source,
                wall,
                "",
                Deed::CocoonWeighed(CocoonWeighed { cocoon, cocoon_fresh_g: cocoon_g, place }),
            );
        }
        Act::Count(_) => {}
        Act::Leaf(row) => {
            let it = &row.it;
            let changed = LeafChanged {
                name: it.name.clone(),
                plant: it.plant.clone(),
                offered_fresh_g: it.offered_g,
                left_fresh_g: it.left_g,
                control_fresh_g: it.control_fresh_g,
                control_after_g: it.control_after_g,
                larvae: it.larvae,
                note: it.note.clone(),
            };
            book.note(source, wall, "", Deed::LeafChanged(changed));
        }
        Act::Air(row) => {
            let it = &row.it;
            let read = AirRead {
                place: scene.places.label(&it.place),
                air_c_min: it.air_c_min,
                air_c_max: it.air_c_max,
                air_c_mean: it.air_c_mean,
                humidity_percent_min: it.humidity_percent_min,
                humidity_percent_max: it.humidity_percent_max,
                source: it.source.clone(),
            };
            book.note(source, wall, "", Deed::AirRead(read));
        }
        Act::MothGone(row) => moths::gone(book, row, wall),
        Act::Paired(row) => moths::paired(book, row, source, wall),
        Act::Laid(row) => moths::laid_undated(book, row, wall),
        Act::PairingTold(row) => moths::told(book, scene, row, wall),
        Act::Hatched(row) => moths::hatched(book, row, wall),
    }
}

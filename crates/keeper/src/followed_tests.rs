//! What the book teaches the forecast: by hand from season A, and for any book a tired keeper could write.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use crate::demo::{Season, make_book};
use crate::followed::followed;
use crate::model::{HouseNumbers, brood_model};
use crate::state::day_number;
use crate::{Keeper, Opening};
use jiff::ToSpan;
use jiff::civil::date;
use proptest::prelude::*;
use rearing::deed::{BoxOpened, CameOut, Counted, Found, Left, LotReceived, Moulted, Moved, Seen};
use rearing::{Deed, Entry, House, Way, When};
use science::phenology::{
    AirSeries, Ask, BroodModel, Clocks, Glance, HORIZON_D, Living, Outlook, OutlookError, Room, Simulator,
    Tracked,
};
use std::collections::BTreeMap;
use terms::{Sex, Stage};
use uuid::Uuid;

fn season_a(day: &str) -> (tempfile::TempDir, Keeper) {
    let folder = tempfile::tempdir().unwrap();
    make_book(folder.path(), Season::A, day.parse().unwrap()).unwrap();
    let opening = Opening { still_at: Some(day.parse().unwrap()), ..Opening::default() };
    let keeper = Keeper::open(folder.path(), &opening).unwrap();
    (folder, keeper)
}

fn heath_on(day: &str) -> (Tracked, BroodModel, Vec<String>) {
    let (_folder, keeper) = season_a(day);
    let look = keeper.look();
    let profile = keeper.library().profile("Saturnia pavonia").unwrap();
    let model = brood_model(profile, &HouseNumbers::of(keeper.library()), None).unwrap();
    let mut boxes = Vec::new();
    let tracked = followed(profile, &model, &look.house, "HEATH", &mut boxes, look.at);
    (tracked, model, boxes)
}

/// Season A by hand, 1 June before the round: 28 eggs of the evening of 24 April; 25 hatched, 3 eggs did not; of the
/// 25, 5 died in L1 and 20 came into L2; 10 are in L3 and 8 in L4 in five boxes.
#[test]
fn the_first_of_june_by_hand() {
    let (tracked, _, boxes) = heath_on("2025-06-01");
    assert_eq!(tracked.tracks.len(), 28);
    let noon_d = day_number("2025-04-24T12:00:00Z".parse().unwrap());
    assert!(tracked.tracks.iter().all(|it| (it.started.earliest_d - noon_d).abs() < 1e-9));
    let furthest = |it: &&science::phenology::Track| {
        it.glances.iter().rev().find_map(|it| match it {
            Glance::Alive(stage) => Some(*stage),
            _ => None,
        })
    };
    let here: Vec<_> = tracked.tracks.iter().filter(|it| it.here).collect();
    let in_stage = |stage: usize| here.iter().filter(|it| furthest(it) == Some(stage)).count();
    assert_eq!((here.len(), in_stage(3), in_stage(4)), (18, 10, 8));
    let mut places: Vec<&str> =
        here.iter().map(|it| boxes[it.boxes.last().unwrap().unwrap()].as_str()).collect();
    places.sort_unstable();
    places.dedup();
    assert_eq!(places.len(), 5);
    // Nobody sees whether an egg lives: all three that did not hatch were never seen alive.
    let never = tracked.tracks.iter().filter(|it| furthest(it).is_none()).count();
    assert_eq!(never, 3);
    let dead_in = |stage: usize| {
        let dead = |it: &&science::phenology::Track| {
            it.glances.contains(&Glance::Dead) && furthest(it) == Some(stage)
        };
        tracked.tracks.iter().filter(dead).count()
    };
    assert_eq!(dead_in(1), 5);
}

/// The morning of a moult: seen in the new stage, in the fresh box, at that morning's look and not before.
#[test]
fn who_moults_is_seen_in_the_new_stage_that_morning() {
    let (before, _, _) = heath_on("2025-06-01");
    let (after, _, _) = heath_on("2025-06-02");
    assert_eq!(after.looks_d.len(), before.looks_d.len() + 1, "one round is one look");
    let new = |it: &Tracked| {
        let last = it.looks_d.len() - 1;
        it.tracks
            .iter()
            .filter(|it| {
                it.glances[last] == Glance::Alive(4) && !it.glances[..last].contains(&Glance::Alive(4))
            })
            .count()
    };
    // events.csv, 1 June: three moulted from L3 to L4.
    assert_eq!(new(&after), moults_on_the_first_of_june());
}

fn moults_on_the_first_of_june() -> usize {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/a_emperor_brackenfold/events.csv");
    let mut rows = csv::Reader::from_path(path).unwrap();
    let head = rows.headers().unwrap().clone();
    let column = |name: &str| head.iter().position(|it| it == name).unwrap();
    let (day, line, event, from, n) =
        (column("date"), column("line"), column("event"), column("stage_from"), column("n"));
    let rows = rows.records().map(Result::unwrap);
    let moults = rows.filter(|it| {
        &it[day] == "2025-06-01" && &it[line] == "HEATH" && &it[event] == "moult" && &it[from] == "L3"
    });
    moults.map(|it| it[n].parse::<usize>().unwrap()).sum()
}

const BOXES: [&str; 3] = ["A", "B", "C"];
const STAGES: [Stage; 6] =
    [Stage::Egg, Stage::Larva(1), Stage::Larva(2), Stage::Larva(5), Stage::Cocoon, Stage::Moth];
const WAYS: [Way; 6] = [Way::Died, Way::Missing, Way::EggFailed, Way::Missing, Way::Given, Way::Preserved];

/// One deed out of a few numbers, sensible or not.
fn deed(kind: u8, from: usize, into: usize, stage: usize, n: u32) -> Deed {
    let (name, other) = (BOXES[from].to_owned(), BOXES[into].to_owned());
    let (stage, note, line) = (STAGES[stage], String::new(), None);
    match kind {
        0 => {
            Deed::Hatched(Moved { from: name, into: other, line, stage, n, animals: vec![], why: None, note })
        }
        1 | 2 => Deed::Moulted(Moulted { name, line, from: stage, n, into: Some(other), note }),
        3 => Deed::Spun(Moulted { name, line, from: stage, n, into: None, note }),
        4 => Deed::Moved(Moved { from: name, into: other, line, stage, n, animals: vec![], why: None, note }),
        5 => {
            let way = WAYS[(n as usize + into) % WAYS.len()];
            Deed::Left(Left { name, line, stage, n, way, sign: String::new(), animals: vec![], note })
        }
        6 => Deed::Found(Found { name, line, stage, n, note }),
        7 => Deed::CameOut(CameOut { name, line, cocoon: None, moth: None, sex: Sex::Unknown, note }),
        8 => Deed::LotReceived(LotReceived {
            lot: format!("L{n}{into}"),
            line: "HEATH".into(),
            species: "Saturnia pavonia".into(),
            n: n + 1,
            about: false,
            stage,
            into: name,
            laid: None,
            origin: String::new(),
            dam: String::new(),
            sire: String::new(),
            pairing: None,
            permit: String::new(),
            note,
        }),
        _ => {
            let seen = vec![Seen { stage, n, in_moult: None }];
            Deed::Counted(Counted { name, seen, beside: vec![], note })
        }
    }
}

fn house_of(deeds: Vec<Deed>) -> House {
    let mut house = House::default();
    let open = BOXES.iter().map(|name| {
        Deed::BoxOpened(BoxOpened {
            name: (*name).to_owned(),
            line: "HEATH".into(),
            for_stage: None,
            vessel: String::new(),
            floor_cm2: None,
            place: String::new(),
            note: String::new(),
        })
    });
    for (n, deed) in open.chain([deed(8, 0, 0, 0, 9)]).chain(deeds).enumerate() {
        let wall = date(2025, 5, 1).at(7, 0, 0, 0).checked_add((n as i64).hours()).unwrap();
        let happened = When::on_the_wall(wall, "Europe/London").unwrap();
        let id = Uuid::from_u128(n as u128 + 1);
        let entry = Entry { id, noted_at: happened.at, happened, by: "keeper".into(), deed };
        // What the book refuses leaves no trace.
        let _ = house.apply(&entry);
    }
    house
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    /// Whatever the book holds can be learned from, and everybody who is alive in it is in the question.
    #[test]
    fn any_book_can_be_learned_from(
        deeds in prop::collection::vec((0..10_u8, 0..3_usize, 0..3_usize, 0..6_usize, 0..6_u32), 1..60)
    ) {
        let house = house_of(deeds.into_iter().map(|(kind, a, b, stage, n)| deed(kind, a, b, stage, n)).collect());
        let library = evidence::library();
        let profile = library.profile("Saturnia pavonia").unwrap();
        let model = brood_model(profile, &HouseNumbers::of(library), None).unwrap();
        let at: jiff::Timestamp = "2025-05-04T12:00:00Z".parse().unwrap();
        let mut boxes = Vec::new();
        let tracked = followed(profile, &model, &house, "HEATH", &mut boxes, at);
        let mut here: BTreeMap<usize, u32> = BTreeMap::new();
        for it in tracked.tracks.iter().filter(|it| it.here) {
            let place = it.boxes.last().copied().flatten().unwrap();
            *here.entry(place).or_default() += 1;
        }
        for (place, n) in here {
            prop_assert_eq!(house.boxes[&boxes[place]].total(), n, "box {}", &boxes[place]);
        }
        // The dead are nowhere and stay dead, and there are as many as the book lost; moths have no more to teach.
        let mut dead = 0;
        for it in &tracked.tracks {
            let ends = it.glances.iter().position(|it| matches!(it, Glance::Dead | Glance::Gone));
            for look in ends.into_iter().flat_map(|from| from..it.glances.len()) {
                prop_assert!(it.boxes[look].is_none(), "{it:?}");
                prop_assert_eq!(it.glances[look], *it.glances.last().unwrap());
            }
            dead += u32::from(it.glances.last() == Some(&Glance::Dead));
        }
        let died = |it: &&rearing::house::Loss| {
            matches!(it.way, Way::Died | Way::EggFailed) && it.stage != Stage::Moth
        };
        prop_assert_eq!(dead, house.losses.iter().filter(died).map(|it| it.n).sum::<u32>());
        prop_assert_eq!(tracked.here(), u64::from(house.alive("HEATH").values().sum::<u32>()));
        let living = Living { tracked: vec![tracked], ..Living::default() };
        let asof_d = day_number(at);
        let from_d = living.earliest_d(asof_d);
        let air = AirSeries::constant(from_d - 1.0, asof_d - from_d + 1.0, 20.0).unwrap();
        let outlook = Outlook::Thermostat { air_c: 20.0 };
        let room = Room { air: &air, outlook: &outlook, error: OutlookError::NONE };
        let clocks = Clocks::new(&model.curves(), &room, from_d, asof_d, HORIZON_D).unwrap();
        let simulator = Simulator::new(&model, &clocks, &living, Ask { runs: 10, seed: 1, threads: 1 });
        prop_assert!(simulator.is_ok(), "{:?}", simulator.err());
        let answer = simulator.unwrap().forecast();
        prop_assert_eq!(u64::from(answer.brood.animals), living.animals());
    }
}

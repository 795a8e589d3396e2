//! What the book hands over to the models, worked out by hand from season A.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

use crate::demo::{Season, make_book};
use crate::model::{HouseNumbers, brood_model, learn_survival};
use crate::state::{alive, day_number};
use crate::{Keeper, Opening};
use rearing::House;
use science::phenology::Known;
use std::sync::Arc;

fn house_on(day: &str) -> (tempfile::TempDir, Keeper, Arc<House>) {
    let folder = tempfile::tempdir().unwrap();
    make_book(folder.path(), Season::A, day.parse().unwrap()).unwrap();
    let opening = Opening { still_at: Some(day.parse().unwrap()), ..Opening::default() };
    let keeper = Keeper::open(folder.path(), &opening).unwrap();
    let house = keeper.look().house;
    (folder, keeper, house)
}

/// Of 25 hatched, 20 came into L2 and 5 died in L1 by 1 June; the profile is worth `weight` animals.
#[test]
fn survival_is_learned_from_those_who_went_on_and_those_who_died() {
    let (_folder, keeper, house) = house_on("2025-06-01");
    let profile = keeper.library().profile("Saturnia pavonia").unwrap();
    let mut model = brood_model(profile, &HouseNumbers::of(keeper.library()), None).unwrap();
    let before = model.stages[1].survival;
    learn_survival(&mut model, profile, &house, "HEATH");
    let after = model.stages[1].survival;
    let by_hand = (before.mean * before.weight + 20.0) / (before.weight + 25.0);
    assert!((after.mean - by_hand).abs() < 1e-12, "{} {by_hand}", after.mean);
    assert!((after.weight - before.weight - 25.0).abs() < 1e-12);
}

/// Eggs began on the evening of their laying, 24 April, not when somebody looked at them.
#[test]
fn eggs_began_when_they_were_laid() {
    let (_folder, keeper, house) = house_on("2025-05-02");
    let profile = keeper.library().profile("Saturnia pavonia").unwrap();
    let model = brood_model(profile, &HouseNumbers::of(keeper.library()), None).unwrap();
    let alive = alive(profile, &model, &house, "HEATH", keeper.look().at);
    let [group] = &alive.living.groups[..] else { panic!("{:?}", alive.living.groups) };
    assert_eq!((group.stage, group.n), (0, 28));
    let Known::LastSeen { window, seen_d } = group.known else { panic!("{:?}", group.known) };
    let noon_d = day_number("2025-04-24T12:00:00Z".parse().unwrap());
    assert!((window.earliest_d - noon_d).abs() < 1e-9, "{} {noon_d}", window.earliest_d);
    assert!(window.latest_d > noon_d && window.latest_d <= noon_d + 1.0);
    let counted_d = day_number("2025-05-01T07:30:00Z".parse().unwrap());
    assert!((seen_d - counted_d).abs() < 0.05, "they were last counted on the morning of 1 May");
}

/// Those who moulted between two looks did so between them.
#[test]
fn the_moulted_came_into_their_stage_between_two_looks() {
    let (_folder, _keeper, house) = house_on("2025-06-01");
    let box_h08 = house.open_box("H08").unwrap();
    for cohort in &box_h08.cohorts {
        let before = cohort.not_before.unwrap();
        let hours = (cohort.since.as_second() - before.as_second()) as f64 / 3600.0;
        assert!((12.0..=30.0).contains(&hours), "a window of {hours} hours: {cohort:?}");
    }
}

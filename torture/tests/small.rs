//! The small size of every trial, with fixed seeds: what CI runs.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use torture::{Outcome, backups, flips, full_disk, io_errors, kills, power};

const SEED: u64 = 11;

fn held(outcome: &Outcome) {
    println!("{outcome}");
    assert!(outcome.is_well(), "{outcome}");
}

#[test]
fn nothing_acknowledged_is_lost_to_kill_9() {
    held(&kills::run(kills::SMALL, SEED).unwrap());
}

#[test]
fn nothing_acknowledged_is_lost_to_a_power_cut() {
    held(&power::run(power::SMALL, SEED).unwrap());
}

#[test]
fn a_book_that_is_not_synced_would_be_noticed() {
    held(&power::weak_is_noticed(power::SMALL, SEED).unwrap());
}

#[test]
fn a_disk_that_lies_would_be_noticed() {
    held(&power::lying_disk_is_noticed(power::SMALL, SEED).unwrap());
}

#[test]
fn a_full_disk_loses_nothing_and_says_so() {
    held(&full_disk::run(SEED).unwrap());
}

#[test]
fn a_failing_disk_loses_nothing_and_says_so() {
    held(&io_errors::run(io_errors::SMALL, SEED).unwrap());
}

#[test]
fn no_flipped_bit_passes() {
    flips::run(flips::SMALL, SEED).unwrap().iter().for_each(held);
}

#[test]
fn backups_in_use_are_points_of_the_history() {
    held(&backups::run(backups::SMALL, SEED).unwrap());
}

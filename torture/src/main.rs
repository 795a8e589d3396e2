//! The full size, as a table. Ends badly if anything was lost.

use anyhow::Result;
use std::process::ExitCode;
use torture::{Outcome, backups, flips, full_disk, io_errors, kills, power};

const SEED: u64 = 20_260_501;

type Trial = fn() -> Result<Vec<Outcome>>;

const TRIALS: [(&str, Trial); 8] = [
    ("kills", || Ok(vec![kills::run(kills::FULL, SEED)?])),
    ("power", || Ok(vec![power::run(power::FULL, SEED)?])),
    ("weak", || Ok(vec![power::weak_is_noticed(power::FULL, SEED)?])),
    ("lying", || Ok(vec![power::lying_disk_is_noticed(power::FULL, SEED)?])),
    ("full", || Ok(vec![full_disk::run(SEED)?])),
    ("failing", || Ok(vec![io_errors::run(io_errors::FULL, SEED)?])),
    ("flips", || flips::run(flips::FULL, SEED)),
    ("backups", || Ok(vec![backups::run(backups::FULL, SEED)?])),
];

fn main() -> ExitCode {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let unknown = asked.iter().find(|it| !TRIALS.iter().any(|(name, _)| name == it));
    if let Some(unknown) = unknown {
        let names: Vec<&str> = TRIALS.iter().map(|(name, _)| *name).collect();
        eprintln!("torture: there is no trial `{unknown}`: {}", names.join(", "));
        return ExitCode::from(2);
    }
    let mut well = true;
    for (name, trial) in
        TRIALS.iter().filter(|(name, _)| asked.is_empty() || asked.iter().any(|it| it == name))
    {
        match trial() {
            Ok(outcomes) => {
                for outcome in outcomes {
                    well &= outcome.is_well();
                    println!("{outcome}");
                }
            }
            Err(error) => {
                well = false;
                println!("{name:<22} BROKE    the trial could not be carried out: {error:#}");
            }
        }
    }
    if well { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

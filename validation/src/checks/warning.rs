//! Counts that look like nothing the model expects must be said to; others must not.

use super::dates::Seasons;
use super::{Told, broods};
use crate::binomial::standard_error;
use crate::case::Case;
use crate::census::SITUATIONS;
use crate::size::Size;
use crate::verdict::{Check, Demand, Table, Went, percent};
use crate::world::World;
use anyhow::Result;

/// Whether the engine is held to warn. Switched off, silence would be listed as missing and fail nothing.
pub const EXPECT_WARNING: bool = true;

/// Worlds in which no count looks as expected.
const UNLIKE: [World; 2] = [
    World { name: "thermometer in the sun, 6 degrees high", reads_high_c: 6.0, ..World::RIGHT },
    World { name: "half laid 14 days later, unsaid", second_lot_later_d: 14, ..World::RIGHT },
];

/// Whether it warns where it should and is silent where it should.
///
/// # Errors
/// If the engine refuses a brood.
pub fn warns(seasons: &Seasons, size: Size, told: Told<'_>) -> Result<Check> {
    let mut table = Table { head: vec!["world", "broods", "warned"], rows: Vec::new() };
    let mut row = |name: &str, cases: &[&Case]| {
        let share = cases.iter().filter(|it| it.told.says_unlike()).count() as f64 / cases.len() as f64;
        let error = percent(standard_error(share, cases.len()));
        let given = format!("{} ± {error}", percent(share));
        table.rows.push(vec![name.to_owned(), cases.len().to_string(), given]);
        share
    };
    let right: Vec<&Case> = seasons.by_situation.iter().flatten().collect();
    let share = row(World::RIGHT.name, &right);
    let most = size.share(right.len(), (1e-9, 0.05)).1;
    let mut demands = vec![Demand::within("as assumed, share warned for nothing", share, (0.0, most))];
    for (at, world) in UNLIKE.iter().enumerate() {
        let salt = 400 + at as u64;
        let cases = broods(world, SITUATIONS[1], (size.broods(15, 150), size, false), salt, told)?;
        let share = row(world.name, &cases.iter().collect::<Vec<_>>());
        let least = size.share(cases.len(), (0.90, 1.0 - 1e-9)).0;
        let mut demand = Demand::within(format!("{}, share warned", world.name), share, (least, 1.0));
        if demand.went == Went::Failed && !EXPECT_WARNING {
            demand.went = Went::Missing;
        }
        demands.push(demand);
    }
    let about =
        "Seen when half are in L4. A warning counts if it says in plain words that the counts are unlike \
                 what was assumed."
            .to_owned();
    Ok(Check { name: "Counts that look like nothing expected are told", about, table, demands })
}

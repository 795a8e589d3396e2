//! Worlds that are not as assumed: ranges may bend, and must not break.

use super::{Told, broods, situations};
use crate::held::Held;
use crate::size::Size;
use crate::verdict::{Check, Table, percent};
use crate::world::{Curve, World};
use anyhow::Result;

/// The worlds of the demand.
pub const WRONG: [World; 4] = [
    World { name: "true curve is Briere's", curve: Curve::Briere, ..World::RIGHT },
    World { name: "thermometer 1.5 degrees high", reads_high_c: 1.5, ..World::RIGHT },
    World { name: "half in a room 2 degrees cooler", second_room_cooler_c: 2.0, ..World::RIGHT },
    World { name: "one of two boxes falls sick", disease: true, ..World::RIGHT },
];

/// Whether the 90 % range still holds four in five.
///
/// # Errors
/// If the engine refuses a brood.
pub fn bend(size: Size, told: Told<'_>) -> Result<(Check, Vec<(&'static str, Held)>)> {
    let mut head = Held::head("world, seen when");
    head.push("warned");
    let mut table = Table { head, rows: Vec::new() };
    let (mut demands, mut shown) = (Vec::new(), Vec::new());
    for (at, world) in WRONG.iter().enumerate() {
        let mut all = Vec::new();
        for (which, seen) in situations(size).iter().enumerate() {
            let salt = 100 + 10 * at as u64 + which as u64;
            let cases = broods(world, *seen, (size.broods(30, 180), size, false), salt, told)?;
            let held = Held::of(&cases, |_| true);
            let what = format!("{}, {}", world.name, seen.name);
            let mut row = held.row(&what);
            row.push(warned(&cases));
            table.rows.push(row);
            demands.push(held.bends(&what, size));
            all.extend(cases);
        }
        shown.push((world.name, Held::of(&all, |_| true)));
    }
    let about =
        "Broods of worlds that the engine is not told of. Coverage may fall, but the 90 % range must keep \
                 four truths in five."
            .to_owned();
    Ok((Check { name: "Wrong worlds bend the ranges and do not break them", about, table, demands }, shown))
}

fn warned(cases: &[crate::case::Case]) -> String {
    let warned = cases.iter().filter(|it| it.told.says_unlike()).count();
    percent(warned as f64 / cases.len().max(1) as f64)
}

//! Forecasts that only know the air so far, in seasons that go on otherwise.

use super::{Told, broods, situations};
use crate::census::SITUATIONS;
use crate::held::Held;
use crate::size::Size;
use crate::verdict::{Check, Table};
use crate::world::{Ahead, World};
use anyhow::Result;

const SILENT: World = World { ahead: Ahead::Nothing, ..World::RIGHT };
/// The seasons that are judged: three degrees in sixty days is much for a room in a house.
const JUDGED: [World; 3] = [
    World { name: "no trend", ..SILENT },
    World { name: "warms 0.05 a day", warms_c_per_d: 0.05, ..SILENT },
    World { name: "cools 0.05 a day", warms_c_per_d: -0.05, ..SILENT },
];
/// Those that are only told: a shed in May or October, and a series from elsewhere that was wrong.
const TOLD: [World; 3] = [
    World { name: "warms 0.08 a day", warms_c_per_d: 0.08, ..SILENT },
    World { name: "cools 0.08 a day", warms_c_per_d: -0.08, ..SILENT },
    World { name: "given a series 1 degree off in ten days", ahead: Ahead::Off, ..World::RIGHT },
];

/// Whether the 90 % range holds four in five when the last days are taken to go on.
///
/// # Errors
/// If the engine refuses a brood.
pub fn goes_on(size: Size, told: Told<'_>) -> Result<(Check, Vec<(&'static str, Held)>)> {
    let mut table = Table { head: Held::head("season, seen when"), rows: Vec::new() };
    let (mut demands, mut shown) = (Vec::new(), Vec::new());
    let only_told = match size {
        Size::Full => &TOLD[..],
        Size::Small => &[],
    };
    for (at, world) in JUDGED.iter().chain(only_told).enumerate() {
        let judged = at < JUDGED.len();
        let mut all = Vec::new();
        let seen_when = if judged { situations(size) } else { &SITUATIONS[1..2] };
        for (which, seen) in seen_when.iter().enumerate() {
            let salt = 200 + 10 * at as u64 + which as u64;
            let cases = broods(world, *seen, (size.broods(30, 180), size, false), salt, told)?;
            let held = Held::of(&cases, |_| true);
            let what = format!("{}, {}", world.name, seen.name);
            table.rows.push(held.row(&what));
            if judged {
                demands.push(held.bends(&what, size));
            }
            all.extend(cases);
        }
        shown.push((world.name, Held::of(&all, |_| true)));
    }
    let about = "No reading is handed in beyond the question, so that the last days are taken to go on, while the \
                 room has weather (2 degrees from day to day outside, walls that lag by 3 to 12 hours) and warms or \
                 cools. 0.05 degrees a day is judged: three degrees in sixty days. More than that, and a series from \
                 elsewhere that turns out to be off, are told and not judged."
        .to_owned();
    Ok((Check { name: "The last days go on", about, table, demands }, shown))
}

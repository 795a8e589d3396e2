//! Demo season A, asked every third day through the book.

use super::Told;
use crate::binomial::limits;
use crate::lanes;
use crate::verdict::{Check, Demand, Table, percent};
use anyhow::{Context, Result};
use jiff::ToSpan;
use jiff::civil::{Date, DateTime, date};
use keeper::demo::{self, Season};
use keeper::{AsOf, Keeper, Opening};
use std::path::Path;

/// The line that is told.
const LINE: &str = "HEATH";
/// A stage as the book calls it, and the column of the truth that says who entered it when.
const COLUMNS: [(&str, &str); 6] = [
    ("L1", "hatched"),
    ("L2", "to_L2"),
    ("L3", "to_L3"),
    ("L4", "to_L4"),
    ("L5", "to_L5"),
    ("spinning", "cocooned"),
];
/// A forecast stands and falls with few dates: a share of stages outside these limits comes once in a thousand
/// seasons of a forecast whose 80 % ranges hold 70 to 90 %.
const FALSE_ALARM: f64 = 5e-4;

/// One forecast date of the season.
struct Asked {
    on: Date,
    stage: String,
    low: DateTime,
    middle: DateTime,
    high: DateTime,
}

/// The days on which the book is asked: every third from the day after the eggs came, and through the spring.
fn days() -> Vec<Date> {
    let summer = (0..21).map(|it| date(2025, 4, 26) + (3 * it).days());
    let spring = (0..7).map(|it| date(2026, 4, 7) + (3 * it).days());
    summer.chain(spring).collect()
}

/// Asks on one morning.
fn ask(on: Date) -> Result<Vec<Asked>> {
    let folder = tempfile::tempdir().context("no scratch folder")?;
    demo::make_book(folder.path(), Season::A, AsOf::Morning(on)).context("no scratch book")?;
    let opening = Opening { still_at: Some(AsOf::Morning(on)), ..Opening::default() };
    let keeper = Keeper::open(folder.path(), &opening).context("the scratch book does not open")?;
    let Some(brood) = keeper.brood(LINE).context("no forecast")? else { return Ok(Vec::new()) };
    let told = brood.stages.into_iter().map(|it| Asked {
        on,
        stage: it.name,
        low: it.middle.q10,
        middle: it.middle.q50,
        high: it.middle.q90,
    });
    Ok(told.collect())
}

/// A column of a table of the season, for the line.
fn column(table: &str, text: &str, name: &str) -> Result<Vec<Date>> {
    let mut rows = text.lines();
    let head: Vec<&str> = rows.next().unwrap_or_default().split(',').collect();
    let at = head.iter().position(|it| *it == name);
    let at = at.with_context(|| format!("{table} has no column {name}"))?;
    let line = head.iter().position(|it| *it == "line");
    let line = line.with_context(|| format!("{table} has no column line"))?;
    let of_line = rows.map(|row| row.split(',').collect::<Vec<_>>());
    let of_line = of_line.filter(|row| row.get(line) == Some(&LINE));
    let mut days: Vec<Date> =
        of_line.filter_map(|row| row.get(at).filter(|it| !it.is_empty())?.parse().ok()).collect();
    days.sort_unstable();
    Ok(days)
}

/// The true middle of each stage: the two middle days where their number is even.
fn truths(demo: &Path) -> Result<Vec<(&'static str, Date, Date)>> {
    let read = |name: &str| {
        let path = demo.join("a_emperor_brackenfold").join(name);
        std::fs::read_to_string(&path).with_context(|| format!("cannot read {}", path.display()))
    };
    let individuals = read("truth_individuals.csv")?;
    let mut all = Vec::new();
    for (stage, name) in COLUMNS {
        all.push((stage, column("truth_individuals.csv", &individuals, name)?));
    }
    all.push(("moth", column("adults.csv", &read("adults.csv")?, "emerged_on")?));
    let middle = |(stage, days): (&'static str, Vec<Date>)| {
        let half = days.len() / 2;
        let low = if days.len() % 2 == 0 { half.checked_sub(1)? } else { half };
        Some((stage, *days.get(low)?, *days.get(half)?))
    };
    Ok(all.into_iter().filter_map(middle).collect())
}

/// How often the 80 % ranges held the true middle; `demo` is the folder of the seasons.
///
/// # Errors
/// If the season cannot be read or asked.
pub fn holds(demo: &Path, told: Told<'_>) -> Result<Check> {
    let days = days();
    let mornings = lanes::each(days.len(), |it| ask(days[it]), |_| {})?;
    told(&format!("season A: asked on {} mornings", days.len()));
    let asked: Vec<Asked> = mornings.into_iter().flatten().collect();
    let head = vec!["stage", "true middle", "asked", "80 % range holds", "late by, d"];
    let mut table = Table { head, rows: Vec::new() };
    let (mut held_all, mut asked_all, mut shares) = (0, 0, Vec::new());
    for (stage, low, high) in truths(demo)? {
        let before = asked.iter().filter(|it| it.stage == stage && it.on < low);
        let (mut held, mut n, mut late_d) = (0, 0, 0.0);
        for it in before {
            n += 1;
            // The truth is a day, or the middle of two, so that days are compared.
            held += i32::from(it.low.date() <= high && low <= it.high.date());
            let off_d =
                |day: Date| day.until(it.middle.date()).map_or(f64::NAN, |it| f64::from(it.get_days()));
            late_d += 0.5 * (off_d(low) + off_d(high));
        }
        if n > 0 {
            shares.push(f64::from(held) / f64::from(n));
            held_all += held;
            asked_all += n;
            table.rows.push(vec![
                stage.to_owned(),
                if low == high { low.to_string() } else { format!("{low}, {high}") },
                n.to_string(),
                percent(f64::from(held) / f64::from(n)),
                format!("{:+.1}", late_d / f64::from(n)),
            ]);
        }
    }
    let share = f64::from(held_all) / f64::from(asked_all);
    table.rows.push(vec![
        "all".to_owned(),
        String::new(),
        asked_all.to_string(),
        percent(share),
        String::new(),
    ]);
    let stages = shares.len() as u32;
    let by_stage = shares.iter().sum::<f64>() / f64::from(stages);
    let (fewest, most) = limits(stages, (0.7, 0.9), FALSE_ALARM);
    let bounds = (f64::from(fewest) / f64::from(stages), f64::from(most) / f64::from(stages));
    let demands = vec![
        Demand::within("stages forecast before they came", f64::from(stages), (7.0, 7.0)),
        Demand::within("mean over the stages of the share held", by_stage, bounds),
    ];
    let within = if (0.7..=0.9).contains(&share) { "is" } else { "is not" };
    let about = format!(
        "One season has one middle date for each stage, and the answers of successive mornings go together: {stages} \
         dates, themselves not independent. Over all answers the 80 % ranges held {}, which {within} within 70 to 90 %; \
         so few dates cannot tell that from chance, so that a forecast is failed only outside the limits for {stages} \
         single hits.",
        percent(share)
    );
    Ok(Check { name: "Season A asked every third day", about, table, demands })
}

//! What is noted day by day: counts, leaf, air.

use crate::table::{Cells, Columns};
use jiff::civil::Date;
use terms::Stage;
use terms::bounds::{AIR_C, ANIMALS_SEEN, HUMIDITY_PERCENT, LEAF_FRESH_G};

pub(in super::super) const COUNTS: Columns = Columns {
    required: &["date", "box", "stage", "counted"],
    optional: &["line", "in_moult", "expected_from_events", "note"],
};

pub(in super::super) const LEAF: Columns = Columns {
    required: &["date", "box", "offered_g"],
    optional: &["line", "plant", "larvae", "left_g", "control_fresh_g", "control_after_g", "note"],
};

pub(in super::super) const CONDITIONS: Columns = Columns {
    required: &["date", "place", "t_min", "t_max"],
    optional: &["t_mean", "rh_min", "rh_max", "source"],
};

/// A row of `counts.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct CountRow {
    pub date: Date,
    pub line: String,
    pub name: String,
    pub stage: Stage,
    /// `None` if the box was fed only.
    pub counted: Option<u32>,
    pub in_moult: Option<u32>,
    pub expected: Option<u32>,
    pub note: String,
}

impl CountRow {
    pub fn read(cells: &mut Cells<'_>) -> CountRow {
        let stage = cells.stage_if_told("stage");
        if cells.is_empty("stage") {
            cells.complain("stage", "the cell is empty: write the stage that was counted, such as L3");
        }
        let it = CountRow {
            date: cells.date("date"),
            line: cells.label_if_told("line", "line").unwrap_or_default(),
            name: cells.label("box", "box"),
            stage: stage.unwrap_or(Stage::Egg),
            counted: cells.count_if_told("counted", &ANIMALS_SEEN),
            in_moult: cells.count_if_told("in_moult", &ANIMALS_SEEN),
            expected: cells.count_if_told("expected_from_events", &ANIMALS_SEEN),
            note: cells.text("note").to_owned(),
        };
        if cells.is_empty("counted") && it.in_moult.is_some() {
            cells.complain(
                "in_moult",
                "nobody counted, so nobody saw who was in moult: empty this cell or fill `counted`",
            );
        }
        if let (Some(n), Some(in_moult)) = (it.counted, it.in_moult)
            && in_moult > n
        {
            cells.complain(
                "in_moult",
                format!("{in_moult} in moult of {n} counted: look at both numbers again"),
            );
        }
        it
    }
}

/// A row of `leaf.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct LeafRow {
    pub date: Date,
    pub line: String,
    pub name: String,
    pub plant: String,
    pub larvae: Option<u32>,
    pub offered_g: f64,
    pub left_g: Option<f64>,
    pub control_fresh_g: Option<f64>,
    pub control_after_g: Option<f64>,
    pub note: String,
}

impl LeafRow {
    pub fn read(cells: &mut Cells<'_>) -> LeafRow {
        let it = LeafRow {
            date: cells.date("date"),
            line: cells.label_if_told("line", "line").unwrap_or_default(),
            name: cells.label("box", "box"),
            plant: cells.text("plant").to_owned(),
            larvae: cells.count_if_told("larvae", &ANIMALS_SEEN),
            offered_g: cells.measure("offered_g", &LEAF_FRESH_G),
            left_g: cells.measure_if_told("left_g", &LEAF_FRESH_G),
            control_fresh_g: cells.measure_if_told("control_fresh_g", &LEAF_FRESH_G),
            control_after_g: cells.measure_if_told("control_after_g", &LEAF_FRESH_G),
            note: cells.text("note").to_owned(),
        };
        if cells.is_empty("control_fresh_g") != cells.is_empty("control_after_g") {
            cells.complain("control_after_g", "a control leaf is weighed twice: fill both cells or neither");
        }
        if let (Some(fresh), Some(after)) = (it.control_fresh_g, it.control_after_g)
            && after > fresh
        {
            let says = "the control leaf got heavier: was it wet, or were the two weights swapped?";
            cells.complain("control_after_g", says);
        }
        it
    }
}

/// A row of `conditions.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct AirRow {
    pub date: Date,
    pub place: String,
    pub air_c_min: f64,
    pub air_c_max: f64,
    pub air_c_mean: Option<f64>,
    pub humidity_percent_min: Option<f64>,
    pub humidity_percent_max: Option<f64>,
    pub source: String,
}

/// The column to blame when two rows speak of one day at one place.
pub(in super::super) const AIR_KEY: &str = "date";

impl AirRow {
    pub fn read(cells: &mut Cells<'_>) -> AirRow {
        let it = AirRow {
            date: cells.date("date"),
            place: cells.text("place").to_owned(),
            air_c_min: cells.measure("t_min", &AIR_C),
            air_c_max: cells.measure("t_max", &AIR_C),
            air_c_mean: cells.measure_if_told("t_mean", &AIR_C),
            humidity_percent_min: cells.measure_if_told("rh_min", &HUMIDITY_PERCENT),
            humidity_percent_max: cells.measure_if_told("rh_max", &HUMIDITY_PERCENT),
            source: cells.text("source").to_owned(),
        };
        if cells.is_empty("place") {
            cells.complain("place", "the cell is empty: write where the thermometer hangs");
        }
        if !cells.are_fine() {
            return it;
        }
        if it.air_c_min > it.air_c_max {
            cells.complain("t_min", "the lowest temperature is above the highest: were the two swapped?");
        } else if it.air_c_mean.is_some_and(|mean| mean < it.air_c_min || mean > it.air_c_max) {
            cells.complain(
                "t_mean",
                "the mean lies outside the lowest and the highest: look at the three again",
            );
        }
        if let (Some(min), Some(max)) = (it.humidity_percent_min, it.humidity_percent_max)
            && min > max
        {
            cells.complain("rh_min", "the lowest humidity is above the highest: were the two swapped?");
        }
        it
    }
}

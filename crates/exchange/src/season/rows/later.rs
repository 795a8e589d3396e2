//! The later year: cocoons, weighings, moths, pairings.

use crate::table::{Cells, Columns};
use jiff::civil::{Date, Time};
use rearing::Way;
use terms::Sex;
use terms::bounds::{ANIMAL_FRESH_G, EGGS, FOREWING_MM, JOINED_H};

pub(in super::super) const COCOONS: Columns = Columns {
    required: &["cocoon", "line", "lot"],
    optional: &[
        "box_spun",
        "spun_on",
        "harvested_on",
        "tray",
        "sex",
        "sexed_by",
        "cocoon_g",
        "shell_g",
        "pupa_g",
        "fate",
        "fate_on",
        "note",
    ],
};

pub(in super::super) const WEIGHTS: Columns =
    Columns { required: &["date", "cocoon", "cocoon_g"], optional: &["place"] };

pub(in super::super) const ADULTS: Columns = Columns {
    required: &["adult", "cocoon", "line", "sex", "emerged_on"],
    optional: &["hour", "forewing_mm", "condition", "mated", "fate", "fate_on"],
};

pub(in super::super) const PAIRINGS: Columns = Columns {
    required: &["pairing", "date", "female", "male", "result"],
    optional: &[
        "method",
        "hours_joined",
        "eggs_laid",
        "eggs_hatched",
        "eggs_kept",
        "eggs_given",
        "eggs_destroyed",
        "eggs_hatched_of_kept",
        "mother_moth_check",
        "expected_inbreeding_of_young",
        "note",
    ],
};

/// What became of a cocoon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum CocoonFate {
    /// The keeper writes no fates into this table.
    NotTold,
    Alive,
    CameOut,
    Left(Way),
}

impl CocoonFate {
    fn of(text: &str) -> Option<CocoonFate> {
        let lower = text.to_lowercase();
        let has = |words: &[&str]| words.iter().any(|it| lower.contains(it));
        Some(if lower.is_empty() {
            CocoonFate::NotTold
        } else if has(&["alive", "lying over"]) {
            CocoonFate::Alive
        } else if has(&["emerged", "came out"]) {
            CocoonFate::CameOut
        } else if has(&["given"]) {
            CocoonFate::Left(Way::Given)
        } else if has(&["stifled"]) {
            CocoonFate::Left(Way::Stifled)
        } else if has(&["preserved"]) {
            CocoonFate::Left(Way::Preserved)
        } else if has(&["destroyed"]) {
            CocoonFate::Left(Way::Destroyed)
        } else if has(&["missing", "lost"]) {
            CocoonFate::Left(Way::Missing)
        } else if has(&["died", "dead"]) {
            CocoonFate::Left(Way::Died)
        } else {
            return None;
        })
    }
}

/// A row of `cocoons.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct CocoonRow {
    pub cocoon: String,
    pub line: String,
    pub lot: String,
    pub box_spun: String,
    pub spun_on: Option<Date>,
    pub harvested_on: Option<Date>,
    pub tray: Option<String>,
    pub sex: Sex,
    pub sexed_by: String,
    pub cocoon_g: Option<f64>,
    pub shell_g: Option<f64>,
    pub pupa_g: Option<f64>,
    pub fate: CocoonFate,
    pub fate_on: Option<Date>,
    pub note: String,
}

impl CocoonRow {
    pub fn read(cells: &mut Cells<'_>) -> CocoonRow {
        let fate = CocoonFate::of(cells.text("fate"));
        let it = CocoonRow {
            cocoon: cells.label("cocoon", "cocoon"),
            line: cells.label("line", "line"),
            lot: cells.label("lot", "lot"),
            box_spun: cells.label_if_told("box_spun", "box").unwrap_or_default(),
            spun_on: cells.date_if_told("spun_on"),
            harvested_on: cells.date_if_told("harvested_on"),
            tray: cells.label_if_told("tray", "box"),
            sex: cells.sex("sex"),
            sexed_by: cells.text("sexed_by").to_owned(),
            cocoon_g: cells.measure_if_told("cocoon_g", &ANIMAL_FRESH_G),
            shell_g: cells.measure_if_told("shell_g", &ANIMAL_FRESH_G),
            pupa_g: cells.measure_if_told("pupa_g", &ANIMAL_FRESH_G),
            fate: fate.unwrap_or(CocoonFate::NotTold),
            fate_on: cells.date_if_told("fate_on"),
            note: cells.text("note").to_owned(),
        };
        if fate.is_none() {
            let says = format!(
                "`{}` is no fate that is known: write emerged, given away, stifled, preserved, destroyed, missing, died or alive",
                cells.text("fate")
            );
            cells.complain("fate", says);
        } else if !matches!(it.fate, CocoonFate::NotTold | CocoonFate::Alive) && cells.is_empty("fate_on") {
            cells.complain("fate_on", "the cell is empty: write on which day that was");
        }
        if cells.is_empty("tray") != cells.is_empty("harvested_on") {
            cells.complain(
                "tray",
                "the tray and the day of the harvest go together: fill both cells or neither",
            );
        }
        if let (Some(spun), Some(cut)) = (it.spun_on, it.harvested_on)
            && spun > cut
        {
            cells.complain("spun_on", "it was spun after it was harvested: were the two dates swapped?");
        }
        if let (Some(whole), Some(part)) =
            (it.cocoon_g, it.shell_g.into_iter().chain(it.pupa_g).reduce(f64::max))
            && part > whole
        {
            cells.complain(
                "cocoon_g",
                "the whole cocoon weighs less than a part of it: look at the weights again",
            );
        }
        it
    }
}

/// A row of `weights.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct WeightRow {
    pub date: Date,
    pub cocoon: String,
    pub cocoon_g: f64,
    pub place: String,
}

impl WeightRow {
    pub fn read(cells: &mut Cells<'_>) -> WeightRow {
        WeightRow {
            date: cells.date("date"),
            cocoon: cells.label("cocoon", "cocoon"),
            cocoon_g: cells.measure("cocoon_g", &ANIMAL_FRESH_G),
            place: cells.text("place").to_owned(),
        }
    }
}

/// A row of `adults.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct MothRow {
    pub moth: String,
    pub cocoon: String,
    pub line: String,
    pub sex: Sex,
    pub emerged_on: Date,
    pub hour: Option<Time>,
    pub forewing_mm: Option<f64>,
    pub condition: String,
    /// `None` while it lives.
    pub way: Option<Way>,
    pub fate: String,
    pub fate_on: Option<Date>,
}

impl MothRow {
    pub fn read(cells: &mut Cells<'_>) -> MothRow {
        let fate = cells.text("fate");
        let way = moth_way(fate);
        let it = MothRow {
            moth: cells.label("adult", "moth"),
            cocoon: cells.label("cocoon", "cocoon"),
            line: cells.label("line", "line"),
            sex: cells.sex("sex"),
            emerged_on: cells.date("emerged_on"),
            hour: cells.time_if_told("hour"),
            forewing_mm: cells.measure_if_told("forewing_mm", &FOREWING_MM),
            condition: cells.text("condition").to_owned(),
            way: way.flatten(),
            fate: fate.to_owned(),
            fate_on: cells.date_if_told("fate_on"),
        };
        if way.is_none() {
            let says = format!(
                "`{fate}` is no fate that is known: write died, died after laying, given away, preserved, destroyed, missing or alive"
            );
            cells.complain("fate", says);
        }
        if it.way.is_some() && cells.is_empty("fate_on") {
            cells.complain("fate_on", "the cell is empty: write on which day that was");
        }
        if it.fate_on.is_some_and(|on| on < it.emerged_on) && !cells.is_empty("emerged_on") {
            cells.complain("fate_on", "it was gone before it came out: look at both dates again");
        }
        it
    }
}

/// `Some(None)` for a moth that lives.
#[expect(clippy::option_option, reason = "the outer one says whether the word is known")]
fn moth_way(fate: &str) -> Option<Option<Way>> {
    let lower = fate.to_lowercase();
    let has = |word: &str| lower.contains(word);
    Some(match () {
        () if lower.is_empty() || has("alive") => None,
        () if has("died") || has("dead") => Some(Way::Died),
        () if has("given") => Some(Way::Given),
        () if has("preserved") => Some(Way::Preserved),
        () if has("destroyed") => Some(Way::Destroyed),
        () if has("missing") || has("lost") || has("escaped") => Some(Way::Missing),
        () => return None,
    })
}

/// A row of `pairings.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct PairingRow {
    pub pairing: String,
    pub date: Date,
    pub female: String,
    pub male: String,
    pub took: Option<bool>,
    pub method: String,
    pub joined_h: Option<f64>,
    pub laid: Option<u32>,
    pub kept: Option<u32>,
    pub given: u32,
    pub destroyed: u32,
    pub hatched: Option<u32>,
    pub mother_check: String,
    pub kinship: String,
    pub note: String,
}

impl PairingRow {
    pub fn read(cells: &mut Cells<'_>) -> PairingRow {
        let result = cells.text("result");
        let took = match result.to_lowercase().as_str() {
            "paired" | "took" => Some(true),
            "not paired" | "did not take" => Some(false),
            "" => None,
            _ => {
                let says = format!("`{result}` is no result: write paired, not paired, or leave it empty");
                cells.complain("result", says);
                None
            }
        };
        for column in ["female", "male"] {
            if cells.is_empty(column) {
                cells.complain(column, "the cell is empty: write the name of the moth, or `wild, unknown`");
            }
        }
        let hatched = cells.count_if_told("eggs_hatched", &EGGS);
        let hatched_of_kept = cells.count_if_told("eggs_hatched_of_kept", &EGGS);
        let it = PairingRow {
            pairing: cells.label("pairing", "pairing"),
            date: cells.date("date"),
            female: cells.text("female").to_owned(),
            male: cells.text("male").to_owned(),
            took,
            method: cells.text("method").to_owned(),
            joined_h: cells.measure_if_told("hours_joined", &JOINED_H),
            laid: cells.count_if_told("eggs_laid", &EGGS),
            kept: cells.count_if_told("eggs_kept", &EGGS),
            given: cells.count_if_told("eggs_given", &EGGS).unwrap_or(0),
            destroyed: cells.count_if_told("eggs_destroyed", &EGGS).unwrap_or(0),
            hatched: hatched.or(hatched_of_kept),
            mother_check: cells.text("mother_moth_check").to_owned(),
            kinship: cells.text("expected_inbreeding_of_young").to_owned(),
            note: cells.text("note").to_owned(),
        };
        if cells.are_fine() {
            it.check_eggs(hatched, hatched_of_kept, cells);
        }
        it
    }

    fn check_eggs(&self, hatched: Option<u32>, hatched_of_kept: Option<u32>, cells: &mut Cells<'_>) {
        let laid = self.laid.unwrap_or(0);
        let out = u64::from(self.kept.unwrap_or(0)) + u64::from(self.given) + u64::from(self.destroyed);
        if out > u64::from(laid) {
            cells.complain(
                "eggs_laid",
                format!("{out} eggs were kept, given or destroyed of {laid} laid: look at the numbers again"),
            );
        }
        if hatched.is_some_and(|it| it > laid) {
            cells.complain(
                "eggs_hatched",
                format!("more hatched than the {laid} laid: look at both numbers again"),
            );
        }
        if let (Some(hatched), Some(kept)) = (hatched_of_kept, self.kept)
            && hatched > kept
        {
            cells.complain(
                "eggs_hatched_of_kept",
                format!("{hatched} hatched of {kept} kept: look at both numbers again"),
            );
        }
    }
}

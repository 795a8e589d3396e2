//! Lots, boxes and the log.

use crate::table::{Cells, Columns};
use jiff::civil::{Date, DateTime, Time};
use terms::Stage;
use terms::bounds::{ANIMALS, ANIMALS_SEEN, EGGS, FLOOR_CM2};

pub(in super::super) const LOTS: Columns = Columns {
    required: &["lot", "line", "species", "received", "n"],
    optional: &["origin", "laid", "dam", "sire", "permit", "note"],
};

pub(in super::super) const BOXES: Columns = Columns {
    required: &["box", "line", "opened"],
    optional: &["closed", "for_stage", "vessel", "floor_cm2", "note"],
};

pub(in super::super) const EVENTS: Columns = Columns {
    required: &["date", "time", "line", "box", "event", "n", "stage_from", "stage_to", "to_box"],
    optional: &["event_no", "cause", "note"],
};

/// A row of `lots.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct LotRow {
    pub lot: String,
    pub line: String,
    pub species: String,
    pub origin: String,
    pub laid: Option<Date>,
    pub received: Date,
    pub n: u32,
    pub dam: String,
    pub sire: String,
    pub permit: String,
    pub note: String,
}

impl LotRow {
    pub fn read(cells: &mut Cells<'_>) -> LotRow {
        let it = LotRow {
            lot: cells.label("lot", "lot"),
            line: cells.label("line", "line"),
            species: cells.text("species").to_owned(),
            origin: cells.text("origin").to_owned(),
            laid: cells.date_if_told("laid"),
            received: cells.date("received"),
            n: cells.count("n", &ANIMALS),
            dam: known(cells.text("dam")),
            sire: known(cells.text("sire")),
            permit: cells.text("permit").to_owned(),
            note: cells.text("note").to_owned(),
        };
        if cells.is_empty("species") {
            cells.complain("species", "the cell is empty: write the species as the giver named it");
        }
        if it.laid.is_some_and(|laid| laid > it.received) && !cells.is_empty("received") {
            cells
                .complain("laid", "the eggs were laid after they were received: were the two dates swapped?");
        }
        it
    }
}

/// A parent of whom nothing is known is an empty name in the book.
fn known(name: &str) -> String {
    if name.eq_ignore_ascii_case("unknown") { String::new() } else { name.to_owned() }
}

/// A row of `boxes.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct BoxRow {
    pub name: String,
    pub line: String,
    pub opened: Date,
    pub closed: Option<Date>,
    pub for_stage: Option<Stage>,
    pub vessel: String,
    pub floor_cm2: Option<f64>,
    pub note: String,
}

impl BoxRow {
    pub fn read(cells: &mut Cells<'_>) -> BoxRow {
        let it = BoxRow {
            name: cells.label("box", "box"),
            line: cells.label_if_told("line", "line").unwrap_or_default(),
            opened: cells.date("opened"),
            closed: cells.date_if_told("closed"),
            for_stage: cells.stage_if_told("for_stage"),
            vessel: cells.text("vessel").to_owned(),
            floor_cm2: cells.measure_if_told("floor_cm2", &FLOOR_CM2),
            note: cells.text("note").to_owned(),
        };
        if it.name.contains('+') {
            cells.complain("box", "a + joins two boxes in the log: name this box without one");
        }
        if it.closed.is_some_and(|closed| closed < it.opened) {
            cells.complain("closed", "the box is closed before it is opened: were the two dates swapped?");
        }
        it
    }
}

/// What happened, as the log names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum Happening {
    Receive,
    Hatch,
    Moult,
    Spin,
    Harvest,
    Store,
    Warm,
    Move,
    Death,
    EggFailed,
    Missing,
    Found,
    Preserve,
    GiveAway,
    Stifle,
    Destroy,
    Quarantine,
    LetBack,
    CloseBox,
    Emerge,
    Pair,
    Lay,
    DisinfectEggs,
    Note,
}

use Happening as H;

const WORDS: [(&str, Happening); 24] = [
    ("receive", H::Receive),
    ("hatch", H::Hatch),
    ("moult", H::Moult),
    ("spin", H::Spin),
    ("harvest", H::Harvest),
    ("store", H::Store),
    ("warm", H::Warm),
    ("move", H::Move),
    ("death", H::Death),
    ("egg_failed", H::EggFailed),
    ("missing", H::Missing),
    ("found", H::Found),
    ("preserve", H::Preserve),
    ("give_away", H::GiveAway),
    ("stifle", H::Stifle),
    ("destroy", H::Destroy),
    ("quarantine", H::Quarantine),
    ("let_back", H::LetBack),
    ("close_box", H::CloseBox),
    ("emerge", H::Emerge),
    ("pair", H::Pair),
    ("lay", H::Lay),
    ("disinfect_eggs", H::DisinfectEggs),
    ("note", H::Note),
];

/// A row of `events.csv`.
#[derive(Debug, Clone)]
pub(in super::super) struct EventRow {
    pub no: Option<u32>,
    pub date: Date,
    pub time: Time,
    pub line: String,
    /// Usually one; several are joined by `+`.
    pub boxes: Vec<String>,
    pub happening: Happening,
    pub n: u32,
    pub from: Option<Stage>,
    pub to: Option<Stage>,
    pub to_box: Option<String>,
    pub cause: String,
    pub note: String,
}

impl EventRow {
    pub fn read(cells: &mut Cells<'_>) -> EventRow {
        let word = cells.text("event");
        let happening = WORDS.iter().find(|(it, _)| it.eq_ignore_ascii_case(word)).map(|(_, it)| *it);
        if happening.is_none() {
            let all: Vec<&str> = WORDS.iter().map(|(word, _)| *word).collect();
            cells.complain(
                "event",
                format!("`{word}` is nothing that can be noted: write one of {}", all.join(", ")),
            );
        }
        let happening = happening.unwrap_or(H::Note);
        let bounds = match happening {
            H::Lay | H::Destroy | H::GiveAway => &EGGS,
            _ => &ANIMALS_SEEN,
        };
        let it = EventRow {
            no: cells.count_if_told("event_no", &EGGS),
            date: cells.date("date"),
            time: cells.time("time"),
            line: cells.label_if_told("line", "line").unwrap_or_default(),
            boxes: cells.text("box").split('+').map(|it| it.trim().to_owned()).collect(),
            happening,
            n: cells.count_if_told("n", bounds).unwrap_or(0),
            from: cells.stage_if_told("stage_from"),
            to: cells.stage_if_told("stage_to"),
            to_box: cells.label_if_told("to_box", "box"),
            cause: cells.text("cause").to_owned(),
            note: cells.text("note").to_owned(),
        };
        if happening != H::Note {
            it.check_boxes(cells);
            it.check_n(cells);
            it.check_stages(cells);
        }
        it
    }

    /// The first box; there is always one.
    pub fn place(&self) -> &str {
        self.boxes.first().map_or("", String::as_str)
    }

    pub fn wall(&self) -> DateTime {
        self.date.to_datetime(self.time)
    }

    fn check_boxes(&self, cells: &mut Cells<'_>) {
        for name in &self.boxes {
            if let Err(bad) = terms::label::label("box", name) {
                cells.complain("box", bad.to_string());
            }
        }
        if self.boxes.len() > 1 && !matches!(self.happening, H::Harvest | H::Store | H::Warm | H::Move) {
            cells.complain(
                "box",
                "only a harvest or a move can take from several boxes: write one row for each box",
            );
        }
        let needs_target = matches!(self.happening, H::Hatch | H::Harvest | H::Store | H::Warm | H::Move);
        if needs_target && self.to_box.is_none() && cells.is_empty("to_box") {
            cells.complain("to_box", "the cell is empty: write the box that they were put into");
        }
        let takes_target = needs_target || matches!(self.happening, H::Moult | H::Spin);
        if !takes_target && self.to_box.is_some() {
            cells
                .complain("to_box", "nothing goes into a box by this: leave the cell empty, or write a move");
        }
        if needs_target && self.to_box.as_deref().is_some_and(|it| self.boxes.iter().any(|from| from == it)) {
            cells.complain(
                "to_box",
                "this is the box that they came from: write the box that they were put into",
            );
        }
    }

    fn check_n(&self, cells: &mut Cells<'_>) {
        let needs_n =
            !matches!(self.happening, H::CloseBox | H::Quarantine | H::LetBack | H::DisinfectEggs | H::Lay);
        if needs_n && self.n == 0 {
            let n = cells.text("n");
            if n.is_empty() || n == "0" {
                cells.complain("n", "write how many there were, at least 1");
            }
        }
        if needs_n && self.n > 0 && ANIMALS.check(f64::from(self.n)).is_err() {
            cells.complain("n", "that is more than one row can speak of: look at the number again");
        }
        if self.happening == H::CloseBox && self.n > 0 {
            cells.complain("n", "a box is closed empty: write what became of them first, and 0 here");
        }
        if self.happening == H::Pair && self.n > 1 {
            cells.complain("n", "one row speaks of one pairing: write a row for each pair");
        }
    }

    fn check_stages(&self, cells: &mut Cells<'_>) {
        let (from, to) = (self.from, self.to);
        let mut wants = |column: &str, has: Option<Stage>, wants: Stage| {
            if has.is_some_and(|has| has != wants) {
                cells.complain(column, format!("this can only be {wants}: look at the stage again"));
            }
        };
        match self.happening {
            H::Hatch => {
                wants("stage_from", from, Stage::Egg);
                wants("stage_to", to, Stage::Larva(1));
            }
            H::EggFailed | H::DisinfectEggs => wants("stage_from", from, Stage::Egg),
            H::Harvest | H::Store | H::Warm | H::Stifle => {
                wants("stage_from", from, Stage::Cocoon);
                wants("stage_to", to, Stage::Cocoon);
            }
            H::Emerge => {
                wants("stage_from", from, Stage::Cocoon);
                wants("stage_to", to, Stage::Moth);
            }
            H::Spin => wants("stage_to", to, Stage::Cocoon),
            H::Move => {
                if let Some(from) = from {
                    wants("stage_to", to, from);
                }
            }
            _ => {}
        }
        let needs_from = matches!(
            self.happening,
            H::Moult
                | H::Spin
                | H::Death
                | H::Missing
                | H::Found
                | H::Preserve
                | H::GiveAway
                | H::Destroy
                | H::Move
        );
        if needs_from && from.is_none() && cells.is_empty("stage_from") {
            cells.complain("stage_from", "the cell is empty: write the stage that they were in, such as L3");
        }
        if self.happening == H::Receive && to.is_none() && from.is_none() && cells.is_empty("stage_to") {
            cells.complain("stage_to", "the cell is empty: write the stage in which they came, such as egg");
        }
        if let (H::Spin, Some(from)) = (self.happening, from)
            && !from.is_larva()
        {
            cells.complain("stage_from", format!("{from} cannot spin: only larvae can"));
        }
        if let (H::Moult, Some(from)) = (self.happening, from) {
            match from.after_moult() {
                None => cells.complain("stage_from", format!("{from} cannot moult: only larvae can")),
                Some(next) if to.is_some_and(|to| to != next) => {
                    cells.complain(
                        "stage_to",
                        format!("{from} moults into {next}: look at both stages again"),
                    );
                }
                Some(_) => {}
            }
        }
    }
}

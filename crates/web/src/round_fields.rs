//! The fields of the form of one box: drawn by the view, read by the route.

use keeper::view::round::BoxRound;
use terms::Stage;

/// The most number chips in one row of choices; above that a number is written.
pub const CHIP_MAX: u32 = 7;

/// In a kind whose instars nobody has counted: the latest that is not expected to spin.
const NEVER_SPINS_UP_TO: u8 = 3;

/// One way in which animals go on in life.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Move {
    /// From which stage.
    pub from: Stage,
    /// They spun instead of moulting.
    pub spun: bool,
}

impl Move {
    /// Its value in the form.
    #[must_use]
    pub fn value(self) -> String {
        let deed = match self.from {
            Stage::Cocoon | Stage::Moth => "out",
            _ => self.verb(),
        };
        format!("{}:{deed}", self.from)
    }

    /// What it is called at the bench.
    #[must_use]
    pub fn verb(self) -> &'static str {
        match (self.from, self.spun) {
            (Stage::Egg, _) => "hatched",
            (Stage::Larva(_), true) => "spun",
            (Stage::Larva(_), false) => "moulted",
            (Stage::Cocoon | Stage::Moth, _) => "came out",
        }
    }

    /// With its stage, for a box that holds several.
    #[must_use]
    pub fn words(self) -> String {
        match self.from {
            Stage::Larva(instar) => format!("L{instar} {}", self.verb()),
            Stage::Egg => "eggs hatched".to_owned(),
            Stage::Cocoon | Stage::Moth => "moths came out".to_owned(),
        }
    }
}

/// Everything that the animals of a box could have done since yesterday, the
/// likeliest first: who sits in moult, then in the order of life.
///
/// Where the number of instars is not known it is not taken to be five: from
/// the fourth on a larva may then moult or spin.
#[must_use]
pub fn moves(view: &BoxRound) -> Vec<Move> {
    let mut moves = Vec::new();
    let moulting = |stage: Stage| view.in_moult.iter().any(|it| it.stage == stage);
    let mut stages = stages(view);
    stages.sort_by_key(|stage| !moulting(*stage));
    for stage in stages {
        let moult = Move { from: stage, spun: false };
        let spin = Move { from: stage, spun: true };
        match (stage, view.instar_last) {
            (Stage::Larva(instar), Some(last)) if instar < last => moves.push(moult),
            (Stage::Larva(_), Some(_)) => moves.push(spin),
            (Stage::Larva(instar), None) if instar <= NEVER_SPINS_UP_TO => moves.push(moult),
            (Stage::Larva(_), None) => moves.extend([moult, spin]),
            (Stage::Egg | Stage::Cocoon, _) => moves.push(moult),
            (Stage::Moth, _) => {}
        }
    }
    moves
}

/// The stages that the book expects in the box.
#[must_use]
pub fn stages(view: &BoxRound) -> Vec<Stage> {
    view.expected.iter().filter(|it| it.n > 0).map(|it| it.stage).collect()
}

/// The stages that may be seen in the box: those expected, and those one step on.
#[must_use]
pub fn stages_seen(view: &BoxRound) -> Vec<Stage> {
    let mut seen = stages(view);
    for stage in stages(view) {
        match stage {
            Stage::Egg => seen.push(Stage::Larva(1)),
            Stage::Larva(_) => {
                if moves(view).contains(&Move { from: stage, spun: false }) {
                    seen.extend(stage.after_moult());
                }
                if moves(view).contains(&Move { from: stage, spun: true }) {
                    seen.push(Stage::Cocoon);
                }
            }
            Stage::Cocoon => seen.push(Stage::Moth),
            Stage::Moth => {}
        }
    }
    seen.sort();
    seen.dedup();
    seen
}

/// How many of a stage the book expects.
#[must_use]
pub fn expected_n(view: &BoxRound, stage: Stage) -> u32 {
    view.expected.iter().filter(|it| it.stage == stage).map(|it| it.n).sum()
}

/// All animals the book expects in the box.
#[must_use]
pub fn all_n(view: &BoxRound) -> u32 {
    view.expected.iter().map(|it| it.n).sum()
}

/// The name of the field that says how many of a stage were seen.
#[must_use]
pub fn seen_field(stage: Stage) -> String {
    format!("seen_{stage}")
}

/// The name of the field that says how many of a stage sit still.
#[must_use]
pub fn moult_field(stage: Stage) -> String {
    format!("moult_{stage}")
}

/// The field for a number that has no chip.
#[must_use]
pub fn or_field(name: &str) -> String {
    format!("{name}_or")
}

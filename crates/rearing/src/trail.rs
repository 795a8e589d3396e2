//! The way of each animal through the house, as the book believes it, and every look into a box.

use crate::deed::Way;
use crate::house::House;
use jiff::Timestamp;
use terms::Stage;

/// One animal from its coming to now.
///
/// Animals of one box and stage cannot be told apart: which of them a later entry means, the book settles by the order
/// in which they came into the stage. Whoever learns from trails must not take that for knowledge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trail {
    /// The lot it came with.
    pub lot: String,
    /// What happened to it, in order of time.
    pub marks: Vec<Mark>,
}

/// One thing that happened to an animal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// When it was seen.
    pub at: Timestamp,
    /// What.
    pub what: Happened,
}

/// What can happen to an animal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Happened {
    /// It came, went one stage on, or was found again: seen in this stage and put into this box.
    Seen {
        /// The stage.
        stage: Stage,
        /// The box it was put into.
        into: String,
    },
    /// It was carried into another box; nobody says that it was looked at.
    Carried {
        /// The box.
        into: String,
    },
    /// It went out of the boxes.
    Left {
        /// By which way.
        way: Way,
    },
}

/// A look into a box.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// When.
    pub at: Timestamp,
    /// Which box.
    pub name: String,
}

impl Trail {
    /// The stage it was last seen in.
    #[must_use]
    pub fn stage(&self) -> Option<Stage> {
        self.marks.iter().rev().find_map(|it| match it.what {
            Happened::Seen { stage, .. } => Some(stage),
            _ => None,
        })
    }

    /// The way it left, if it is not in a box.
    #[must_use]
    pub fn left(&self) -> Option<Way> {
        match self.marks.last().map(|it| &it.what) {
            Some(Happened::Left { way }) => Some(*way),
            _ => None,
        }
    }
}

impl House {
    /// New animals of a lot; their places in the list.
    pub(crate) fn enter(&mut self, lot: &str, n: u32) -> Vec<usize> {
        let first = self.trails.len();
        self.trails.extend((0..n).map(|_| Trail { lot: lot.to_owned(), marks: Vec::new() }));
        (first..self.trails.len()).collect()
    }

    /// Notes one thing of several animals.
    pub(crate) fn mark(&mut self, animals: &[usize], at: Timestamp, what: &Happened) {
        for animal in animals {
            if let Some(trail) = self.trails.get_mut(*animal) {
                trail.marks.push(Mark { at, what: what.clone() });
            }
        }
    }

    /// Notes that somebody looked into a box.
    pub(crate) fn looked(&mut self, at: Timestamp, name: &str) {
        self.with_box(name, |it| it.look(at));
        self.looks.push(Look { at, name: name.to_owned() });
    }

    /// Of the missing animals of a line those that a find most likely means: not beyond the stage they are found
    /// in, and the last to be missed first.
    pub(crate) fn missed(&self, line: &str, stage: Stage, n: u32) -> Vec<usize> {
        let of_line = |lot: &str| self.lots.get(lot).is_some_and(|it| it.told.line == line);
        let mut missing: Vec<(bool, Option<Timestamp>, usize)> = self
            .trails
            .iter()
            .enumerate()
            .filter(|(_, it)| it.left() == Some(Way::Missing) && of_line(&it.lot))
            .map(|(place, it)| (it.stage() <= Some(stage), it.marks.last().map(|it| it.at), place))
            .collect();
        missing.sort_unstable();
        missing.into_iter().rev().take(n as usize).map(|(_, _, place)| place).collect()
    }
}

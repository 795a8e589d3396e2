//! All lines at a glance.

use crate::book::{Keeper, Look};
use crate::failure::Failure;
use crate::view::lines::{Line, Lines, LotRow};
use crate::view::round::Expected;
use evidence::Profile;
use rearing::account::LifePart;
use rearing::{Fate, House, words};
use terms::Stage;

impl Keeper {
    /// The lines of the house, each with its account.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn lines(&self) -> Result<Lines, Failure> {
        let look = self.look();
        let names = look.house.lines();
        let lines = names.into_iter().map(|line| self.line(&look, line)).collect();
        Ok(Lines { now: look.wall, notice: self.notice(), lines })
    }

    fn line(&self, look: &Look, line: String) -> Line {
        let house = &look.house;
        let lots = house.lots.values().filter(|it| it.told.line == line);
        let rows = lots.map(|it| LotRow {
            lot: it.told.lot.clone(),
            n: it.told.n,
            received: it.received,
            laid: it.told.laid,
            parents: (it.told.dam.clone(), it.told.sire.clone()),
            origin: it.told.origin.clone(),
        });
        let boxes = house.living_boxes().filter(|it| it.lines().contains(line.as_str()));
        Line {
            species: self.species_of(house, &line),
            lots: rows.collect(),
            alive: alive(house, &line),
            received: house.received(&line),
            account: house
                .account_of_line(&line)
                .into_iter()
                .map(|(fate, n)| (fate_in_words(fate), n))
                .collect(),
            boxes: boxes.map(|it| it.name.clone()).collect(),
            line,
        }
    }

    /// English and Latin name of a line's species; the claimed name twice if
    /// the house has no profile of it.
    #[must_use]
    pub fn species_of(&self, house: &House, line: &str) -> (String, String) {
        match self.profile_of(house, line) {
            Some(profile) => (profile.english.clone(), profile.latin.clone()),
            None => {
                let claimed = claimed_species(house, line);
                (claimed.clone(), claimed)
            }
        }
    }

    /// The profile of a line's species; `None` if the house has none of it.
    pub(crate) fn profile_of(&self, house: &House, line: &str) -> Option<&'static Profile> {
        self.library().profile(&claimed_species(house, line))
    }
}

/// The species as it was claimed when the first lot of a line came.
pub(crate) fn claimed_species(house: &House, line: &str) -> String {
    let lots = house.lots.values().filter(|it| it.told.line == line);
    lots.min_by_key(|it| it.at).map(|it| it.told.species.clone()).unwrap_or_default()
}

pub(crate) fn alive(house: &House, line: &str) -> Vec<Expected> {
    house.alive(line).into_iter().map(|(stage, n)| Expected { stage, n }).collect()
}

/// A fate in the words of the account.
#[must_use]
pub fn fate_in_words(fate: Fate) -> String {
    match fate {
        Fate::Alive(Stage::Egg) => "alive as eggs".to_owned(),
        Fate::Alive(Stage::Cocoon) => "alive in the cocoon".to_owned(),
        Fate::Alive(stage) => format!("alive in {stage}"),
        Fate::CameOut => "came out (moths)".to_owned(),
        Fate::Left(rearing::Way::EggFailed, _) => "eggs failed".to_owned(),
        Fate::Left(rearing::Way::Missing, _) => "missing, never found".to_owned(),
        Fate::Left(way, part) => {
            let part = match part {
                LifePart::Egg => "as eggs",
                LifePart::Larva => "as larvae",
                LifePart::Cocoon => "in the cocoon",
            };
            format!("{} {part}", words::way(way))
        }
    }
}

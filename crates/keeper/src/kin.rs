//! Who is kin to whom, as far as lots and pairings in the book tell.

use rearing::House;
use rearing::house::{Lot, Moth};
use science::lineage::{Parents, kinship};
use std::collections::BTreeMap;

/// Grandparents of grandparents are enough, and a book that names a moth as its own forebear ends here.
const DEPTH_MOST: usize = 12;

/// The inbreeding of possible young, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Kin {
    /// At least.
    pub low: f64,
    /// At most, if those of one lot whose parents nobody knows come from one laying.
    pub high: f64,
    /// Every forebear that could be shared is named in the book.
    pub forebears_known: bool,
    /// They came with the same laying of known parents.
    pub one_laying: bool,
}

/// What a lot's animals have for parents.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Forebear {
    /// A parent that is named; a moth of the house or the giver's.
    Named(String),
    /// The one unknown mate of a named parent in one laying.
    MateOf(String, String),
    /// One of the unknown parents of a lot, if all of it came from one laying.
    OfLot(String, u8),
}

/// Two ways of reading the book: unknown parents as strangers, or as one pair for the whole lot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reading {
    Strangers,
    OnePair,
}

/// The inbreeding that young of two moths would have; `None` where the book's pedigree runs in a circle.
pub(crate) fn kin(house: &House, female: &Moth, male: &Moth) -> Option<Kin> {
    let each = |reading: Reading| -> Option<Vec<f64>> {
        let mut figures = Vec::new();
        for of in &female.lots {
            for with in &male.lots {
                figures.push(young(house, of, with, reading)?);
            }
        }
        (!figures.is_empty()).then_some(figures)
    };
    let (low, high) = (each(Reading::Strangers)?, each(Reading::OnePair)?);
    let lots = female.lots.iter().chain(&male.lots).filter_map(|it| house.lots.get(it));
    let forebears_known = lots.clone().all(|it| both_named(house, it));
    let one_laying = female.lots.len() == 1
        && male.lots.len() == 1
        && one_laying(house, female.lots.first()?, male.lots.first()?);
    Some(Kin {
        low: low.into_iter().fold(f64::INFINITY, f64::min),
        high: high.into_iter().fold(0.0, f64::max),
        forebears_known,
        one_laying,
    })
}

fn one_laying(house: &House, one: &str, other: &str) -> bool {
    let parents = |lot: &str| house.lots.get(lot).and_then(|it| parents_of(house, it, Reading::Strangers));
    parents(one).is_some() && parents(one) == parents(other)
}

/// The kinship of an animal of one lot with another animal of the other.
fn young(house: &House, of: &str, with: &str, reading: Reading) -> Option<f64> {
    let mut tree = Tree { house, reading, rows: Vec::new(), places: BTreeMap::new() };
    let female = tree.animal(house.lots.get(of), 0);
    let male = tree.animal(house.lots.get(with), 0);
    let table = kinship(&tree.rows).ok()?;
    table.get(female)?.get(male).copied()
}

/// A pedigree being put together.
struct Tree<'a> {
    house: &'a House,
    reading: Reading,
    rows: Vec<Parents>,
    places: BTreeMap<Forebear, usize>,
}

impl Tree<'_> {
    /// A new animal of a lot; its row.
    fn animal(&mut self, lot: Option<&Lot>, depth: usize) -> usize {
        let parents = lot.and_then(|it| parents_of(self.house, it, self.reading));
        let parents = match parents {
            Some((dam, sire)) if depth < DEPTH_MOST => {
                let (dam, sire) = (self.forebear(&dam, depth + 1), self.forebear(&sire, depth + 1));
                // One name for both parents tells nothing.
                if dam == sire { [None, None] } else { [Some(sire), Some(dam)] }
            }
            _ => [None, None],
        };
        self.rows.push(parents);
        self.rows.len() - 1
    }

    fn forebear(&mut self, it: &Forebear, depth: usize) -> usize {
        if let Some(place) = self.places.get(it) {
            return *place;
        }
        let moth = match it {
            Forebear::Named(name) => self.house.moths.get(name),
            _ => None,
        };
        // Of a moth that can be of several lots only that is known.
        let lot = moth.filter(|it| it.lots.len() == 1).and_then(|it| it.lots.first());
        let place = match lot {
            Some(lot) => self.animal(self.house.lots.get(lot), depth),
            None => {
                self.rows.push([None, None]);
                self.rows.len() - 1
            }
        };
        self.places.insert(it.clone(), place);
        place
    }
}

/// Dam and sire of a lot's animals; `None` where nobody knows either and they are read as strangers.
fn parents_of(house: &House, lot: &Lot, reading: Reading) -> Option<(Forebear, Forebear)> {
    let told = &lot.told;
    let pairing = told.pairing.as_ref().and_then(|it| house.pairings.get(it));
    let (dam, sire) = match pairing {
        Some(it) => (it.female.as_str(), it.male.as_str()),
        None => (told.dam.as_str(), told.sire.as_str()),
    };
    // Two lots of one laying have one unknown father: the same mother, and the same night.
    let laying = || match (&told.pairing, told.laid) {
        (Some(pairing), _) => pairing.clone(),
        (None, Some(laid)) => laid.to_string(),
        (None, None) => told.lot.clone(),
    };
    let named = |name: &str| Forebear::Named(name.trim().to_owned());
    match (is_named(dam), is_named(sire)) {
        (true, true) => Some((named(dam), named(sire))),
        (true, false) => Some((named(dam), Forebear::MateOf(dam.trim().to_owned(), laying()))),
        (false, true) => Some((Forebear::MateOf(sire.trim().to_owned(), laying()), named(sire))),
        (false, false) if reading == Reading::OnePair => {
            Some((Forebear::OfLot(told.lot.clone(), 0), Forebear::OfLot(told.lot.clone(), 1)))
        }
        (false, false) => None,
    }
}

fn both_named(house: &House, lot: &Lot) -> bool {
    let both = |dam: &str, sire: &str| is_named(dam) && is_named(sire);
    match lot.told.pairing.as_ref().and_then(|it| house.pairings.get(it)) {
        Some(it) => both(&it.female, &it.male),
        None => both(&lot.told.dam, &lot.told.sire),
    }
}

/// Words such as `wild, unknown` are no name.
pub(crate) fn is_named(words: &str) -> bool {
    let words = words.trim().to_lowercase();
    !words.is_empty() && words != "?" && !["unknown", "wild", "not known"].iter().any(|it| words.contains(it))
}

/// The inbreeding in words, and a short name for the kinship.
pub(crate) fn in_words(kin: Option<Kin>) -> String {
    let Some(kin) = kin else { return "the book's pedigree does not tell".to_owned() };
    let figure = |f: f64| {
        let written = format!("{f:.3}");
        written.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    let between = (kin.high - kin.low).abs() > 1e-9;
    match kin {
        _ if between => format!(
            "between {} and {}: nobody knows the parents of the lot",
            figure(kin.low),
            figure(kin.high)
        ),
        Kin { one_laying: true, low, .. } if low >= 0.25 => format!("{}: brother and sister", figure(low)),
        Kin { low, .. } if low > 0.0 => format!("{}: kin", figure(low)),
        Kin { forebears_known: true, .. } => {
            "not known to be kin: 0 if their forebears share none".to_owned()
        }
        _ => "not known to be kin: 0 if they share no forebear that the book does not name".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use jiff::Timestamp;
    use jiff::civil::date;
    use rearing::deed::LotReceived;
    use rearing::house::Pairing;
    use std::collections::BTreeSet;
    use terms::{Sex, Stage};

    fn lot(house: &mut House, name: &str, dam: &str, sire: &str, pairing: Option<&str>) {
        let told = LotReceived {
            lot: name.to_owned(),
            line: "X".to_owned(),
            species: String::new(),
            n: 10,
            about: false,
            stage: Stage::Egg,
            into: "B".to_owned(),
            laid: Some(date(2025, 5, 1)),
            origin: String::new(),
            dam: dam.to_owned(),
            sire: sire.to_owned(),
            pairing: pairing.map(str::to_owned),
            permit: String::new(),
            note: String::new(),
        };
        let received = date(2025, 5, 1);
        house.lots.insert(name.to_owned(), Lot { told, received, at: Timestamp::UNIX_EPOCH });
    }

    fn moth(house: &mut House, name: &str, lots: &[&str]) {
        let moth = Moth {
            line: "X".to_owned(),
            cocoon: None,
            lots: lots.iter().map(|it| (*it).to_owned()).collect::<BTreeSet<_>>(),
            sex: Sex::Female,
            out_on: date(2025, 8, 1),
            lives_in: None,
            gone_on: None,
            forewing_mm: None,
            condition: String::new(),
        };
        house.moths.insert(name.to_owned(), moth);
    }

    fn pair(house: &mut House, name: &str, female: &str, male: &str) {
        let pairing = Pairing {
            on: date(2025, 8, 2),
            female: female.to_owned(),
            male: male.to_owned(),
            took: Some(true),
            method: String::new(),
            eggs_laid: 0,
            laid_on: BTreeMap::new(),
            joined_h: None,
            eggs_kept: 0,
            eggs_left: BTreeMap::new(),
            told: None,
        };
        house.pairings.insert(name.to_owned(), pairing);
    }

    fn of(house: &House, one: &str, other: &str) -> Kin {
        kin(house, &house.moths[one], &house.moths[other]).unwrap()
    }

    /// The figure is a sum of powers of one half, exact in a float.
    #[track_caller]
    fn low(house: &House, one: &str, other: &str, expected: f64) {
        let seen = of(house, one, other);
        assert!((seen.low - expected).abs() < 1e-15 && (seen.high - expected).abs() < 1e-15, "{seen:?}");
    }

    /// Wright's numbers, as every textbook prints them: full sibs 1/4, half sibs 1/8, parent and child 1/4, first
    /// cousins 1/16, aunt and nephew 1/8.
    #[test]
    fn the_textbook_numbers_come_out_of_lots_and_pairings() {
        let mut house = House::default();
        lot(&mut house, "A", "mother", "father", None);
        lot(&mut house, "H", "mother", "another", None);
        for name in ["a1", "a2", "a3"] {
            moth(&mut house, name, &["A"]);
        }
        moth(&mut house, "h1", &["H"]);
        lot(&mut house, "S", "s-mother", "s-father", None);
        for name in ["s1", "s2"] {
            moth(&mut house, name, &["S"]);
        }
        pair(&mut house, "P1", "a1", "s1");
        pair(&mut house, "P2", "s2", "a2");
        lot(&mut house, "C1", "", "", Some("P1"));
        moth(&mut house, "c1", &["C1"]);
        let sibs = of(&house, "a1", "a2");
        assert_eq!((sibs.low, sibs.high, sibs.one_laying), (0.25, 0.25, true));
        low(&house, "a1", "h1", 0.125);
        low(&house, "a1", "s1", 0.0);
        low(&house, "c1", "a3", 0.125); // aunt and nephew
        // Mothers that are sisters, fathers that are strangers.
        pair(&mut house, "P3", "a2", "stranger");
        lot(&mut house, "C3", "", "", Some("P3"));
        moth(&mut house, "c3", &["C3"]);
        low(&house, "c1", "c3", 0.0625); // first cousins
        lot(&mut house, "B", "a1", "wild, unknown", None);
        moth(&mut house, "b1", &["B"]);
        low(&house, "b1", "a2", 0.125); // uncle and niece
    }

    #[test]
    fn what_nobody_knows_is_a_range_and_never_nothing() {
        let mut house = House::default();
        lot(&mut house, "PACKET", "", "", None);
        lot(&mut house, "WILD-1", "d", "wild, unknown", None);
        lot(&mut house, "WILD-2", "d", "wild, unknown", None);
        for (name, lots) in [
            ("p1", &["PACKET"][..]),
            ("p2", &["PACKET"]),
            ("w1", &["WILD-1"]),
            ("w2", &["WILD-2"]),
            ("e", &["PACKET", "WILD-1"]),
        ] {
            moth(&mut house, name, lots);
        }
        let packet = of(&house, "p1", "p2");
        assert_eq!((packet.low, packet.high), (0.0, 0.25));
        assert!(in_words(Some(packet)).starts_with("between 0 and 0.25"));
        // Two lots of one laying of one mother have one father, known or not.
        assert_eq!((of(&house, "w1", "w2").low, of(&house, "w1", "w2").one_laying), (0.25, true));
        // One that can be of either lot.
        assert_eq!((of(&house, "e", "w1").low, of(&house, "e", "w1").high), (0.0, 0.25));
        assert!(in_words(Some(of(&house, "p1", "w1"))).starts_with("not known to be kin"));
    }

    #[test]
    fn a_circle_in_the_book_is_no_figure() {
        let mut house = House::default();
        lot(&mut house, "A", "b1", "x", None);
        lot(&mut house, "B", "a1", "y", None);
        moth(&mut house, "a1", &["A"]);
        moth(&mut house, "b1", &["B"]);
        // Ends, with or without a figure.
        let _ = kin(&house, &house.moths["a1"], &house.moths["b1"]);
    }
}

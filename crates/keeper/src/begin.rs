//! Beginning a brood of one's own: a box, and the animals that were put into it.

use crate::air_note::places;
use crate::book::{Keeper, Look, Opening};
use crate::demo::{Season, make_book};
use crate::failure::{Failure, NotNoted};
use crate::note::{BY, misfit};
use crate::round::fresh_name;
use crate::say;
use crate::view::begin::{Begin, Kind};
use crate::view::round::{Guess, Saved};
use evidence::Profile;
use jiff::civil::Date;
use rearing::deed::{BoxOpened, LotReceived, SetAside};
use rearing::{Deed, Entry, House};
use std::path::Path;
use terms::Stage;
use uuid::Uuid;

/// The profile of a kind that has none.
const UNKNOWN_KIND: &str = "generic";
/// What belongs to the act of taking animals in.
const AT_THE_ACT: [&str; 3] = ["sting", "law", "release"];

/// What a keeper says of the animals that she begins with.
#[derive(Debug, Clone, PartialEq)]
pub struct BeginNote {
    /// Made with the page on which it was filled in.
    pub id: Option<Uuid>,
    /// The species as it was claimed; any word is taken.
    pub species: String,
    /// How many.
    pub n: u32,
    /// The number is a guess.
    pub about: bool,
    /// In which stage they came.
    pub stage: Stage,
    /// When they came; `None` means now.
    pub arrived: Option<Date>,
    /// When the eggs were laid, if known.
    pub laid: Option<Date>,
    /// From whom.
    pub origin: String,
    /// What was said about permits.
    pub permit: String,
    /// The name of the line.
    pub line: String,
    /// The name of their box.
    pub box_name: String,
    /// Where the box stands and the thermometer hangs; may be empty.
    pub place: String,
}

impl Keeper {
    /// What the page of a beginning offers.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn begin_page(&self) -> Result<Begin, Failure> {
        let look = self.look();
        let line = free_line(&look.house);
        let library = self.library();
        let mut kinds: Vec<Kind> = library
            .profiles
            .iter()
            .filter(|it| it.slug != UNKNOWN_KIND)
            .map(|it| Kind { latin: it.latin.clone(), english: it.english.clone(), cautions: cautions(it) })
            .collect();
        kinds.sort_by_key(|it| it.english.to_lowercase());
        Ok(Begin {
            now: look.wall,
            notice: self.notice(),
            kinds,
            unknown_cautions: library.profile(UNKNOWN_KIND).map(cautions).unwrap_or_default(),
            box_name: fresh_name(&look.house, &format!("{line}01")),
            line,
            places: places(&look.house),
        })
    }

    /// Opens a box and puts the animals into it, both or neither.
    ///
    /// # Errors
    /// A rule that says no, or a failure of the store; nothing was saved then.
    pub fn begin(&self, note: &BeginNote) -> Result<Saved, NotNoted> {
        let look = self.look_before(note.id)?;
        let house = &look.house;
        let known = note.id.and_then(|id| self.entries().iter().find(|it| it.id == id).cloned());
        let at = match note.arrived {
            Some(day) if day != look.today() => self.morning_of(day),
            // Sent twice, it happened when it was sent first.
            _ => known.map_or_else(|| self.noting_at(), |it| it.happened.at),
        };
        let line = note.line.trim();
        let species = self.species_as_meant(note.species.trim());
        let before = crate::lines::claimed_species(house, line);
        if !before.is_empty() && before != species {
            return Err(NotNoted::Refused(format!(
                "line {line} is of {before} already: give the line of {species} another name"
            )));
        }
        let arrived = self.on_the_wall(at).date();
        if let Some(laid) = note.laid.filter(|it| *it > arrived) {
            return Err(NotNoted::Refused(format!(
                "eggs laid on {} cannot have come on {}: look at the two days",
                say::day(laid),
                say::day(arrived)
            )));
        }
        let opened = Deed::BoxOpened(BoxOpened {
            name: note.box_name.trim().to_owned(),
            line: line.to_owned(),
            for_stage: Some(note.stage),
            vessel: String::new(),
            floor_cm2: None,
            place: note.place.trim().to_owned(),
            note: String::new(),
        });
        let received = Deed::LotReceived(LotReceived {
            lot: free_lot(house, line, arrived),
            line: line.to_owned(),
            species,
            n: note.n,
            about: note.about,
            stage: note.stage,
            into: note.box_name.trim().to_owned(),
            laid: note.laid,
            origin: note.origin.trim().to_owned(),
            dam: String::new(),
            sire: String::new(),
            pairing: None,
            permit: note.permit.trim().to_owned(),
            note: String::new(),
        });
        let entries = self.note_at(at, vec![opened, received], note.id, BY)?;
        Ok(self.saved(note.box_name.trim(), &entries))
    }

    /// The Latin name of a kind that the house knows, else the words as they were written.
    fn species_as_meant(&self, words: &str) -> String {
        self.library().profile(words).map_or_else(|| words.to_owned(), |it| it.latin.clone())
    }

    /// The number that came was a guess: what was counted today is taken instead.
    /// The first entry is set aside, and the same is said again with the number.
    ///
    /// # Errors
    /// If there is nothing to settle, or a rule says no; nothing was saved then.
    pub fn settle_guess(&self, name: &str) -> Result<Saved, NotNoted> {
        let look = self.look();
        let Some(guess) = guess(&look, name) else {
            return Err(NotNoted::Refused(format!("the number of box {name} is no guess any more")));
        };
        let entries = self.entries();
        let first = entries.iter().find_map(|it| match &it.deed {
            Deed::LotReceived(lot) if lot.lot == guess.lot && look.house.knows(it.id) => Some((it, lot)),
            _ => None,
        });
        let Some((first, lot)) = first else {
            return Err(rearing::Refusal::UnknownLot { lot: guess.lot }.into());
        };
        let now = self.noting_at();
        let on_the_wall =
            rearing::When { at: now, zone: self.zone().to_owned(), wall: self.on_the_wall(now) };
        let aside = Deed::SetAside(SetAside { entry: first.id, why: "counted since".to_owned() });
        let again = Deed::LotReceived(LotReceived { n: guess.counted, about: false, ..lot.clone() });
        let entry = |happened: rearing::When, deed: Deed| Entry {
            id: self.fresh_id(),
            happened,
            noted_at: now,
            by: BY.to_owned(),
            deed,
        };
        let noted =
            self.note_entries(vec![entry(on_the_wall, aside), entry(first.happened.clone(), again)])?;
        let says = format!(
            "{} came, as counted; about {} had been said",
            rearing::words::animals(guess.counted, guess.stage),
            guess.said
        );
        Ok(Saved { says: vec![says], ids: noted.iter().skip(1).map(|it| it.id).collect(), misfit: false })
    }
}

/// A read-only book with an invented season, for a newcomer to look at.
///
/// # Errors
/// If the folder cannot be written.
pub fn invented_season(folder: &Path) -> Result<Keeper, crate::bring_in::NotBroughtIn> {
    let season = Season::A;
    if !folder.exists() {
        make_book(folder, season, season.day_to_look_at())?;
    }
    let opening = Opening { as_of: Some(season.day_to_look_at()), look_only: true, ..Opening::default() };
    Ok(Keeper::open(folder, &opening)?)
}

/// The count of today as the number that came, if that number was a guess and
/// the box was never counted before.
pub(crate) fn guess(look: &Look, name: &str) -> Option<Guess> {
    let (found, _) = misfit(look, name)?;
    let it = look.house.open_box(name).ok()?;
    let lots: Vec<&String> = it.lots.values().flatten().collect();
    let [only] = lots.as_slice() else { return None };
    let told = &look.house.lots.get(*only)?.told;
    let counts = look.house.counts.iter().filter(|it| it.told.name == name).count();
    let counted =
        (told.n + found.over_n()).checked_sub(found.short_n()).filter(|n| *n > 0 && *n != told.n)?;
    (told.about && counts == 1).then(|| Guess {
        lot: told.lot.clone(),
        said: told.n,
        counted,
        stage: told.stage,
    })
}

fn cautions(profile: &Profile) -> Vec<String> {
    let matters = |about: &str| AT_THE_ACT.iter().position(|it| *it == about);
    let mut cautions: Vec<(usize, &str)> =
        profile.cautions.iter().filter_map(|it| Some((matters(&it.about)?, it.says.as_str()))).collect();
    cautions.sort_by_key(|(place, _)| *place);
    cautions.into_iter().map(|(_, says)| says.to_owned()).collect()
}

/// The first letter that names no line yet.
fn free_line(house: &House) -> String {
    let taken = house.lines();
    let letters = ('A'..='Z').map(String::from);
    let pairs = ('A'..='Z').flat_map(|first| ('A'..='Z').map(move |second| format!("{first}{second}")));
    letters.chain(pairs).find(|it| !taken.contains(it)).unwrap_or_else(|| "A".to_owned())
}

/// `HEATH-25`, and `HEATH-25-2` for the second lot of a line in a year.
fn free_lot(house: &House, line: &str, arrived: Date) -> String {
    let first = format!("{line}-{:02}", arrived.year().rem_euclid(100));
    let more = (2..).map(|number| format!("{first}-{number}"));
    std::iter::once(first.clone()).chain(more).find(|it| !house.lots.contains_key(it)).unwrap_or(first)
}

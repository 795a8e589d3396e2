//! Noting a pairing, whether it took, its eggs, and what hatched.

use crate::book::Keeper;
use crate::failure::NotNoted;
use crate::note::BY;
use crate::view::round::Saved;
use rearing::deed::{Laid, Paired, PairingTold};
use rearing::{Deed, Entry};
use terms::Sex;
use uuid::Uuid;

/// A female and a male put together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PairingNote {
    /// Made with the page on which it was filled in.
    pub id: Option<Uuid>,
    /// The female, by name.
    pub female: String,
    /// The male by name, or words such as `wild, unknown`.
    pub male: String,
    /// How it was tried.
    pub method: String,
    /// Whether they took; `None` while nobody knows.
    pub took: Option<bool>,
}

impl Keeper {
    /// Notes a pairing under the next free name of the year.
    ///
    /// # Errors
    /// A female that is not alive, a male of the house that is not, a rule that says no, or a failure of the store;
    /// nothing was saved then.
    pub fn note_pairing(&self, note: &PairingNote) -> Result<Saved, NotNoted> {
        let look = self.look();
        let house = &look.house;
        if let Some(known) = note.id.and_then(|id| self.entries().iter().find(|it| it.id == id).cloned()) {
            // Sent twice, noted once.
            return Ok(saved(&[known]));
        }
        let alive = |name: &str, sex: Sex| {
            house.moths.get(name).is_some_and(|it| it.lives_in.is_some() && it.sex == sex)
        };
        let female = note.female.trim();
        if !alive(female, Sex::Female) {
            return Err(NotNoted::Refused(format!("no living female is called {female}")));
        }
        let male = note.male.trim();
        if male.is_empty() {
            return Err(NotNoted::Refused("it is not said which male".to_owned()));
        }
        if house.moths.contains_key(male) && !alive(male, Sex::Male) {
            return Err(NotNoted::Refused(format!("{male} is no living male")));
        }
        let year = look.today().year().rem_euclid(100);
        let free = (1..).map(|n| format!("P{year:02}-{n}")).find(|name| !house.pairings.contains_key(name));
        let paired = Paired {
            pairing: free.unwrap_or_default(),
            female: female.to_owned(),
            male: male.to_owned(),
            took: note.took,
            method: note.method.trim().to_owned(),
            joined_h: None,
            note: String::new(),
        };
        Ok(saved(&self.note(vec![Deed::Paired(paired)], note.id, BY)?))
    }

    /// Notes whether a pairing took.
    ///
    /// # Errors
    /// As [`Keeper::note_pairing`].
    pub fn note_took(&self, pairing: &str, took: bool, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        let told = PairingTold { took: Some(took), ..self.told(pairing) };
        Ok(saved(&self.note(vec![Deed::PairingTold(told)], id, BY)?))
    }

    /// Notes eggs of a pairing that were found now.
    ///
    /// # Errors
    /// As [`Keeper::note_pairing`].
    pub fn note_laid(&self, pairing: &str, eggs: u32, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        let laid = Laid { pairing: pairing.to_owned(), eggs, place: String::new(), note: String::new() };
        Ok(saved(&self.note(vec![Deed::Laid(laid)], id, BY)?))
    }

    /// Notes how many eggs of a pairing have hatched in all.
    ///
    /// # Errors
    /// As [`Keeper::note_pairing`]; also more than were laid.
    pub fn note_hatched(&self, pairing: &str, hatched: u32, id: Option<Uuid>) -> Result<Saved, NotNoted> {
        let laid = self.look().house.pairings.get(pairing).map_or(u32::MAX, |it| it.eggs_laid);
        if hatched > laid {
            return Err(NotNoted::Refused(format!(
                "{pairing} laid {laid} eggs, so {hatched} cannot have hatched"
            )));
        }
        let told = PairingTold { hatched: Some(hatched), ..self.told(pairing) };
        Ok(saved(&self.note(vec![Deed::PairingTold(told)], id, BY)?))
    }

    /// What is told of a pairing so far: what is told anew takes its place as a whole.
    fn told(&self, pairing: &str) -> PairingTold {
        let look = self.look();
        let so_far = look.house.pairings.get(pairing).and_then(|it| it.told.clone());
        so_far.unwrap_or_else(|| PairingTold {
            pairing: pairing.to_owned(),
            took: None,
            hatched: None,
            mother_check: String::new(),
            kinship: String::new(),
            note: String::new(),
        })
    }
}

fn saved(entries: &[Entry]) -> Saved {
    Saved {
        says: entries.iter().map(|it| it.deed.in_words()).collect(),
        ids: entries.iter().map(|it| it.id).collect(),
        misfit: false,
    }
}

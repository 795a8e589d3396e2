//! What was done at one box becomes entries.

use crate::book::{Keeper, Look};
use crate::failure::NotNoted;
use crate::outbox::{Slip, both_said};
use crate::view::round::{Misfit, RoundNote, Saved};
use rearing::deed::{
    BoxClosed, BoxNote, BoxOpened, CameOut, Counted, Found, LeafChanged, Left, Moulted, Moved, Remarked,
    Seen, SetAside,
};
use rearing::house::CountRow;
use rearing::{Deed, Entry, Explanation, House, Way, explain};
use std::collections::BTreeMap;
use terms::{Sex, Stage};
use uuid::Uuid;

/// Who notes, while a book has one keeper.
pub(crate) const BY: &str = "keeper";
/// More moths than this in one box and morning is a slip of the finger.
const MOTHS_AT_ONCE: u32 = 200;

impl Keeper {
    /// Notes what was done at one box, all or none of it.
    ///
    /// # Errors
    /// The rule that says no, or a failure of the store; nothing was saved then.
    pub fn note_round(&self, name: &str, note: &RoundNote) -> Result<Saved, NotNoted> {
        self.note_slip(name, note, &Slip { id: note.id, ..Slip::default() })
    }

    /// Accepts the smallest explanation of today's count of a box.
    ///
    /// # Errors
    /// If there is no misfit any more, or a rule says no.
    pub fn confirm_misfit(&self, name: &str) -> Result<Saved, NotNoted> {
        let look = self.look();
        let Some((explanation, _)) = misfit(&look, name) else {
            return Err(NotNoted::Refused(format!("the count of box {name} fits the book")));
        };
        let line = None;
        let mut deeds = Vec::new();
        for (from, to, n) in explanation.moved_on {
            deeds.extend(steps(name, from, to, n));
        }
        for (stage, n) in explanation.over {
            let note = "more than the book had; counted twice".to_owned();
            deeds.push(Deed::Found(Found { name: name.to_owned(), line: line.clone(), stage, n, note }));
        }
        for (stage, n) in explanation.short {
            let mut left = gone(name, stage, n, Way::Missing, "not found on counting");
            left.line.clone_from(&line);
            deeds.push(Deed::Left(left));
        }
        let entries = self.note(deeds, None, BY)?;
        Ok(self.saved(name, &entries))
    }

    /// Sets an entry of today aside.
    ///
    /// # Errors
    /// If it is not there, was set aside before, or something noted later rests on it.
    pub fn undo(&self, entry: Uuid) -> Result<Saved, NotNoted> {
        let entries = self.entries();
        let Some(first) = entries.iter().find(|it| it.id == entry) else {
            return Err(rearing::Refusal::UnknownEntry(entry).into());
        };
        let aside = Deed::SetAside(SetAside { entry, why: "undone".to_owned() });
        self.note(vec![aside], None, BY)?;
        Ok(Saved {
            says: vec![format!("undone: {}", first.deed.in_words())],
            ids: vec![entry],
            misfit: false,
        })
    }

    pub(crate) fn saved(&self, name: &str, entries: &[Entry]) -> Saved {
        Saved {
            says: entries.iter().map(|it| it.deed.in_words()).collect(),
            ids: entries.iter().map(|it| it.id).collect(),
            misfit: misfit(&self.look(), name).is_some()
                || !both_said(&self.entries(), &self.look(), name).is_empty(),
        }
    }
}

/// The deeds of a note, in the order in which they are done: first who was
/// found, then the moves and losses, then the count of what is left.
pub(crate) fn deeds_of(house: &House, name: &str, note: &RoundNote) -> Result<Vec<Deed>, NotNoted> {
    let mut deeds = Vec::new();
    let line = None;
    if let Some((stage, n)) = note.found {
        deeds.push(Deed::Found(Found { name: name.to_owned(), line, stage, n, note: String::new() }));
    }
    if let Some(moved) = note.moved_on.as_ref().filter(|it| it.from == Stage::Cocoon) {
        deeds.extend((0..moved.n.min(MOTHS_AT_ONCE)).map(|_| Deed::CameOut(out_of(name))));
    } else if let Some(moved) = &note.moved_on {
        let to = next_stage(moved.from, moved.spun)?;
        if let (Some(into), true) = (&moved.into, moved.into_is_new) {
            deeds.push(Deed::BoxOpened(fresh_box(house, name, into, to)));
        }
        deeds.push(step(name, moved.from, to, moved.n, moved.into.clone()));
    }
    if let Some(dead) = &note.dead {
        let mut left = gone(name, dead.stage, dead.n, Way::Died, &dead.sign);
        left.note.clone_from(&dead.remark);
        deeds.push(Deed::Left(left));
    }
    if let Some(n) = note.eggs_failed {
        deeds.push(Deed::Left(gone(name, Stage::Egg, n, Way::EggFailed, "")));
    }
    if let Some((stage, n)) = note.short {
        deeds.push(Deed::Left(gone(name, stage, n, Way::Missing, "not found on counting")));
    }
    if note.counted {
        deeds.push(Deed::Counted(count_of(house, name, note, &deeds)?));
    }
    if note.leaf_offered_fresh_g.is_some() || note.leaf_left_fresh_g.is_some() {
        let it = house.open_box(name)?;
        deeds.push(Deed::LeafChanged(LeafChanged {
            name: name.to_owned(),
            plant: it.plant.clone(),
            offered_fresh_g: note.leaf_offered_fresh_g.unwrap_or(0.0),
            left_fresh_g: note.leaf_left_fresh_g,
            control_fresh_g: None,
            control_after_g: None,
            larvae: Some(it.by_stage().iter().filter(|(stage, _)| stage.is_larva()).map(|(_, n)| n).sum()),
            note: String::new(),
        }));
    }
    if note.fed_only {
        deeds.push(Deed::FedOnly(BoxNote { name: name.to_owned(), note: String::new() }));
    }
    if !note.remark.trim().is_empty() {
        let text = note.remark.trim().to_owned();
        deeds.push(Deed::Remarked(Remarked { about: name.to_owned(), text }));
    }
    if note.close {
        deeds.push(Deed::BoxClosed(BoxClosed { name: name.to_owned(), note: String::new() }));
    }
    Ok(deeds)
}

fn next_stage(from: Stage, spun: bool) -> Result<Stage, NotNoted> {
    match from {
        Stage::Egg => Ok(Stage::Larva(1)),
        Stage::Larva(_) if spun => Ok(Stage::Cocoon),
        Stage::Larva(_) => from.after_moult().ok_or_else(|| {
            NotNoted::Refused(format!("{from} is the last instar that this book counts: did it spin?"))
        }),
        Stage::Cocoon | Stage::Moth => Err(NotNoted::Refused(format!(
            "a {from} neither hatches, moults nor spins: look at the stage again"
        ))),
    }
}

fn out_of(name: &str) -> CameOut {
    let (line, cocoon, moth) = (None, None, None);
    CameOut { name: name.to_owned(), line, cocoon, moth, sex: Sex::Unknown, note: String::new() }
}

/// One step on in life, as the deed that it is.
fn step(name: &str, from: Stage, to: Stage, n: u32, into: Option<String>) -> Deed {
    let (name, note) = (name.to_owned(), String::new());
    if from == Stage::Egg {
        let into = into.unwrap_or_else(|| name.clone());
        Deed::Hatched(Moved {
            from: name,
            into,
            line: None,
            stage: from,
            n,
            animals: Vec::new(),
            why: None,
            note,
        })
    } else {
        let moulted = Moulted { name, line: None, from, n, into, note };
        if to == Stage::Cocoon { Deed::Spun(moulted) } else { Deed::Moulted(moulted) }
    }
}

/// Several steps, where nobody looked in between.
fn steps(name: &str, from: Stage, to: Stage, n: u32) -> Vec<Deed> {
    let mut stage = from;
    let mut deeds = Vec::new();
    while stage < to {
        let next = match stage {
            Stage::Egg => Stage::Larva(1),
            Stage::Larva(_) if matches!(to, Stage::Larva(_)) => stage.after_moult().unwrap_or(to),
            _ => to,
        };
        deeds.push(step(name, stage, next, n, None));
        stage = next;
    }
    deeds
}

fn gone(name: &str, stage: Stage, n: u32, way: Way, sign: &str) -> Left {
    Left {
        name: name.to_owned(),
        line: None,
        stage,
        n,
        way,
        sign: sign.trim().to_owned(),
        animals: Vec::new(),
        note: String::new(),
    }
}

/// A fresh box takes after the one it is filled from.
pub(crate) fn fresh_box(house: &House, from: &str, name: &str, for_stage: Stage) -> BoxOpened {
    let like = house.boxes.values().find(|it| it.for_stage == Some(for_stage));
    let source = house.boxes.get(from);
    BoxOpened {
        name: name.trim().to_owned(),
        line: source.map(|it| it.line.clone()).unwrap_or_default(),
        for_stage: Some(for_stage),
        vessel: like.map(|it| it.vessel.clone()).unwrap_or_default(),
        floor_cm2: like.and_then(|it| it.floor_cm2),
        place: source.map(|it| it.place.clone()).unwrap_or_default(),
        note: String::new(),
    }
}

/// The count that goes with a note: as said, or all that the book expects once
/// the deeds of the same note are done.
fn count_of(house: &House, name: &str, note: &RoundNote, deeds: &[Deed]) -> Result<Counted, NotNoted> {
    let mut expected = house.open_box(name)?.by_stage();
    for deed in deeds {
        let (minus, plus) = match deed {
            Deed::Hatched(it) => {
                (Some((it.stage, it.n)), (it.into == it.from).then_some((Stage::Larva(1), it.n)))
            }
            Deed::Moulted(it) => {
                let stays = it.into.is_none().then_some(it.n);
                (Some((it.from, it.n)), it.from.after_moult().zip(stays))
            }
            Deed::Spun(it) => (Some((it.from, it.n)), it.into.is_none().then_some((Stage::Cocoon, it.n))),
            Deed::CameOut(_) => (Some((Stage::Cocoon, 1)), Some((Stage::Moth, 1))),
            Deed::Left(it) => (Some((it.stage, it.n)), None),
            Deed::Found(it) => (None, Some((it.stage, it.n))),
            _ => (None, None),
        };
        if let Some((stage, n)) = minus {
            let left = expected.entry(stage).or_insert(0);
            *left = left.saturating_sub(n);
        }
        if let Some((stage, n)) = plus {
            *expected.entry(stage).or_insert(0) += n;
        }
    }
    let mut seen: BTreeMap<Stage, u32> = expected;
    if let Some(said) = &note.seen {
        for (stage, n) in said {
            seen.insert(*stage, *n);
        }
    }
    let in_moult = |stage: Stage| note.in_moult.iter().find(|(it, _)| *it == stage).map(|(_, n)| *n);
    let seen = seen.into_iter().map(|(stage, n)| Seen { stage, n, in_moult: in_moult(stage) }).collect();
    Ok(Counted { name: name.to_owned(), seen, beside: Vec::new(), note: String::new() })
}

/// The last count of today in a box, if it does not fit what the book has now,
/// with its smallest explanation.
pub(crate) fn misfit(look: &Look, name: &str) -> Option<(Explanation, Misfit)> {
    let count = last_count_today(look, name)?;
    let seen: BTreeMap<Stage, u32> = count.told.seen.iter().map(|it| (it.stage, it.n)).collect();
    // A stage that the keeper did not name was not looked at.
    let now = look.house.open_box(name).ok()?.by_stage();
    let moved_since = count.expected != now && count.at < look.house.open_box(name).ok()?.looked_at?;
    if moved_since {
        return None;
    }
    let expected: BTreeMap<Stage, u32> =
        now.into_iter().filter(|(stage, _)| seen.contains_key(stage)).collect();
    let found = explain(&expected, &seen);
    if found.fits() {
        return None;
    }
    let words = Misfit {
        says: in_words(&found),
        moved_on: found.moved_on.clone(),
        short: found.short.clone(),
        over: found.over.clone(),
    };
    Some((found, words))
}

fn last_count_today<'a>(look: &'a Look, name: &str) -> Option<&'a CountRow> {
    let today = look.today();
    look.house.counts.iter().rev().find(|it| it.told.name == name && it.on == today)
}

/// `3 moulted to L4, 1 short: look in the old leaves`.
fn in_words(found: &Explanation) -> String {
    let mut parts: Vec<String> = Vec::new();
    for (from, to, n) in &found.moved_on {
        parts.push(match (from, to) {
            (Stage::Egg, _) => format!("{n} hatched"),
            (_, Stage::Cocoon) => format!("{n} spun"),
            (_, Stage::Moth) => format!("{n} came out"),
            _ => format!("{n} moulted to {to}"),
        });
    }
    let (short, over) = (found.short_n(), found.over_n());
    if over > 0 {
        parts.push(format!("{over} more than the book has"));
    }
    if short > 0 {
        parts.push(format!("{short} short"));
    }
    let mut says = parts.join(", ");
    if short > 0 {
        says.push_str(": look in the old leaves");
    } else if over > 0 {
        says.push_str(": count once more, or was one put in from another box?");
    }
    says
}

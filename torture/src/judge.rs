//! The judge reads the acknowledgements and the book, and nothing else.

use crate::slip::Slip;
use rearing::{Deed, Entry};
use std::collections::BTreeMap;
use std::path::Path;
use store::{Access, Store};

/// What is wrong with a book after all that was done to it.
#[must_use]
pub fn judge(book: &Path, noted: &[Slip], sent: &[Slip]) -> Vec<String> {
    let store = match Store::open(book, Access::Read) {
        Ok(store) => store,
        Err(failure) => return vec![format!("unreadable: {failure}")],
    };
    let mut wrong: Vec<String> = match store.check() {
        Ok(faults) => faults.iter().map(|it| format!("damaged: {it:?}")).collect(),
        Err(failure) => vec![format!("unreadable: {failure}")],
    };
    match store.entries() {
        Ok(entries) => wrong.extend(compare(&entries, noted, sent)),
        Err(failure) => wrong.push(format!("unreadable: {failure}")),
    }
    wrong
}

/// Lost, doubled, changed and invented notes.
#[must_use]
pub fn compare(entries: &[Entry], noted: &[Slip], sent: &[Slip]) -> Vec<String> {
    let mut found: BTreeMap<&str, Vec<&Entry>> = BTreeMap::new();
    for entry in entries {
        if let Deed::Remarked(it) = &entry.deed
            && it.text.starts_with("slip ")
        {
            found.entry(&it.text).or_default().push(entry);
        }
    }
    let mut wrong = Vec::new();
    for slip in noted {
        match found.get(slip.text.as_str()).map(Vec::as_slice) {
            None => wrong.push(format!("lost: {}", slip.text)),
            Some([one]) if one.id == slip.id => {}
            Some([one]) => wrong.push(format!("under another id: {} as {}", slip.text, one.id)),
            Some(_) => {}
        }
    }
    let ours: BTreeMap<&str, &Slip> = sent.iter().map(|it| (it.text.as_str(), it)).collect();
    for (text, entries) in found {
        if entries.len() > 1 {
            wrong.push(format!("doubled: {text}"));
        }
        if !ours.contains_key(text) {
            wrong.push(format!("never sent: {text}"));
        }
    }
    wrong
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may panic")]
mod tests {
    use super::*;
    use crate::dice::Dice;
    use rearing::When;
    use rearing::deed::Remarked;

    fn entry(slip: &Slip) -> Entry {
        let happened = When::on_the_wall(jiff::civil::date(2025, 6, 1).at(7, 40, 0, 0), "UTC").unwrap();
        let deed = Deed::Remarked(Remarked { about: "H01".to_owned(), text: slip.text.clone() });
        Entry { id: slip.id, noted_at: happened.at, happened, by: "keeper".to_owned(), deed }
    }

    #[test]
    fn each_way_to_fail_is_told() {
        let mut dice = Dice::seeded(1);
        let slips: Vec<Slip> = (0..3).map(|n| Slip::nth(n, &mut dice)).collect();
        let entries: Vec<Entry> = slips.iter().map(entry).collect();
        assert!(compare(&entries, &slips, &slips).is_empty());
        assert!(compare(&entries, &slips[..1], &slips).is_empty(), "saved, but the answer was lost");
        let told =
            |entries: &[Entry], noted: &[Slip], sent: &[Slip]| compare(entries, noted, sent).join("; ");
        assert!(told(&entries[1..], &slips, &slips).contains("lost: slip 0"));
        let twice = [&entries[..], &entries[..1]].concat();
        assert!(told(&twice, &slips, &slips).contains("doubled: slip 0"));
        assert!(told(&entries, &slips[..2], &slips[..2]).contains("never sent: slip 2"));
        let other = Slip { id: uuid::Uuid::from_u128(9), ..slips[0].clone() };
        assert!(told(&[entry(&other)], &slips[..1], &slips).contains("under another id"));
    }
}

//! Which rows are as they were written.

use crate::chain::{Link, START, link};
use crate::read::Problem;
use crate::row::Row;
use crate::scan::Seen;
use rearing::Entry;

/// A row with what the chain says of it.
#[derive(Debug)]
pub(crate) struct Judged {
    pub seq: i64,
    pub row: Option<Row>,
    /// The entry, if the chain vouches for it.
    pub sound: Option<Entry>,
    pub problem: Option<Problem>,
}

/// Judges the rows by the chain; `end` is the newest hash, which is kept apart.
///
/// A row is sound if its hash follows from the one before. If it does not,
/// either what the row says was changed or only its hash: then the row after it
/// (or `end`) still follows from the hash that the row ought to have.
pub(crate) fn judge(seen: Vec<Seen>, end: Option<Link>) -> Vec<Judged> {
    let mut before = vec![START];
    let mut last_seq = 0;
    let mut judged = Vec::with_capacity(seen.len());
    for (index, it) in seen.iter().enumerate() {
        let in_place = it.seq == last_seq + 1;
        last_seq = it.seq;
        let (row, hash) = match &it.got {
            Ok(got) => got,
            Err(error) => {
                before.clear();
                let problem = Some(Problem::Unreadable(error.clone()));
                judged.push(Judged { seq: it.seq, row: None, sound: None, problem });
                continue;
            }
        };
        let ought: Vec<Link> = before.iter().map(|it| link(it, row)).collect();
        let follows = ought.contains(hash);
        let vouched = |ought: &Link| match seen.get(index + 1) {
            Some(Seen { got: Ok((row, hash)), .. }) => link(ought, row) == *hash,
            Some(_) => false,
            None => end == Some(*ought),
        };
        let true_to_itself = follows || ought.iter().any(vouched);
        let (sound, mut problem) = match row.entry() {
            Ok(entry) => (true_to_itself.then_some(entry), None),
            Err(unreadable) => (None, Some(Problem::Unreadable(unreadable.to_string()))),
        };
        if !follows {
            problem = Some(Problem::BrokenChain);
        } else if !in_place && problem.is_none() {
            problem = Some(Problem::OutOfPlace);
        }
        before = if follows { vec![*hash] } else { [vec![*hash], ought].concat() };
        judged.push(Judged { seq: it.seq, row: Some(row.clone()), sound, problem });
    }
    judged
}

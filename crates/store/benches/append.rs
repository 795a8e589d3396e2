//! One durable append against one sync of the disk, as a ratio of their middles. Decides nothing.
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a measurement may panic and reads the clock"
)]

use jiff::civil::date;
use rearing::deed::Remarked;
use rearing::{Deed, Entry, When};
use std::fs::File;
use std::io::{Seek, Write};
use std::time::{Duration, Instant};
use store::Store;
use uuid::Uuid;

const TIMES: usize = 2_000;
/// As much as an append writes into the log: two pages of table and index, one of settings, each with its head.
const BYTES: usize = 3 * (4096 + 24);

fn entry(n: usize) -> Entry {
    let happened = When::on_the_wall(date(2025, 6, 1).at(7, 40, 0, 0), "Europe/London").unwrap();
    let text = format!("the {n}th remark of a long morning");
    Entry {
        id: Uuid::from_u128(n as u128 + 1),
        noted_at: happened.at,
        happened,
        by: "keeper".to_owned(),
        deed: Deed::Remarked(Remarked { about: "H07".to_owned(), text }),
    }
}

fn quantiles(mut took: Vec<Duration>) -> (Duration, Duration) {
    took.sort();
    (took[took.len() / 2], took[took.len() * 99 / 100])
}

fn main() {
    let folder = tempfile::tempdir_in(".").unwrap();
    let store = Store::create(&folder.path().join("book")).unwrap();
    let mut raw = File::create(folder.path().join("raw")).unwrap();
    let (mut appends, mut syncs) = (Vec::new(), Vec::new());
    // Turn by turn, so that a busy disk slows both alike.
    for n in 0..TIMES {
        let start = Instant::now();
        store.append(&[entry(n)]).unwrap();
        appends.push(start.elapsed());
        raw.seek(std::io::SeekFrom::Start(0)).unwrap();
        raw.write_all(&vec![n as u8; BYTES]).unwrap();
        let start = Instant::now();
        raw.sync_data().unwrap();
        syncs.push(start.elapsed());
    }
    let ((append, append_99), (sync, sync_99)) = (quantiles(appends), quantiles(syncs));
    println!("one durable append: middle {append:?}, 99 in 100 below {append_99:?}");
    println!("one raw fdatasync:  middle {sync:?}, 99 in 100 below {sync_99:?}");
    println!("ratio of the middles: {:.2}", append.as_secs_f64() / sync.as_secs_f64());
}

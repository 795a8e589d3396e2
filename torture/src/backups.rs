//! Backups while notes keep coming in: each is a point of the history.

use crate::dice::Dice;
use crate::house::{BOX, House, ask, make_book, serve};
use crate::judge::judge;
use crate::slip::{Answer, Slip};
use crate::{Outcome, built, scratch};
use anyhow::{Result, anyhow};
use std::sync::atomic::{AtomicBool, Ordering};
use store::{Access, Store, restore};

/// Full size.
pub const FULL: usize = 100;
/// Small size, for every change.
pub const SMALL: usize = 30;

/// Makes backups with the real binary while another thread notes without a pause.
///
/// # Errors
/// If the trial itself could not be carried out.
pub fn run(backups: usize, seed: u64) -> Result<Outcome> {
    let binary = built::cocoonery()?;
    let folder = scratch::on_disk()?;
    let book = folder.path().join("book");
    make_book(&binary, &book)?;
    let house = House::start(serve(&binary, &book), &folder.path().join("errors"))?;
    let (done, at) = (AtomicBool::new(false), house.at);
    let mut wrong = Vec::new();
    let noted = std::thread::scope(|scope| {
        let noting = scope.spawn(|| {
            let (mut dice, mut noted) = (Dice::seeded(seed), Vec::new());
            while !done.load(Ordering::Relaxed) {
                let slip = Slip::nth(noted.len(), &mut dice);
                if slip.send(at, BOX) == Answer::Noted {
                    noted.push(slip);
                }
            }
            noted
        });
        for n in 0..backups {
            let file = folder.path().join(format!("b{n}"));
            match ask(&binary, &book, &["backup", &file.to_string_lossy()]) {
                Ok(made) if made.status.success() => {}
                Ok(made) => wrong.push(format!("b{n}: {}", String::from_utf8_lossy(&made.stderr))),
                Err(error) => wrong.push(format!("b{n}: {error}")),
            }
        }
        done.store(true, Ordering::Relaxed);
        noting.join()
    });
    let noted = noted.map_err(|_| anyhow!("the notes broke off"))?;
    house.kill()?;
    wrong.extend(judge(&book, &noted, &noted));
    let history = Store::open(&book, Access::Read)?.entries()?;
    let mut lengths = Vec::new();
    for n in 0..backups {
        let into = folder.path().join(format!("into{n}"));
        match restore(&folder.path().join(format!("b{n}")), &into) {
            Ok(manifest) => {
                let entries = Store::open(&into, Access::Read)?.entries()?;
                if !history.starts_with(&entries) || manifest.entries != entries.len() as u64 {
                    wrong.push(format!("b{n} is no point of the history"));
                }
                lengths.push(entries.len());
            }
            Err(failure) => wrong.push(format!("b{n}: {failure}")),
        }
    }
    if !lengths.is_sorted() {
        wrong.push("a later backup holds less than an earlier one".to_owned());
    }
    lengths.dedup();
    let did = format!(
        "{backups} backups while {} notes came in, at {} different points of the history, all restored",
        noted.len(),
        lengths.len()
    );
    Ok(Outcome::of("backups in use", did, wrong))
}

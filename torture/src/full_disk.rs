//! A disk that fills up while notes come in, and has room again.

use crate::dice::Dice;
use crate::house::{BOX, House, make_book, serve};
use crate::judge::judge;
use crate::slip::{Answer, Slip, get};
use crate::{Outcome, built, scratch};
use anyhow::{Result, ensure};
use std::path::Path;
use std::process::Command;

const NAME: &str = "full disk";
/// The first ones that are refused; after each the book must still be whole.
const REFUSED: usize = 25;

/// A small disk in memory; goes away with this value.
struct SmallDisk<'a>(&'a Path);

impl SmallDisk<'_> {
    fn mount(at: &Path, options: &str) -> Result<bool> {
        let done = Command::new("mount").args(["-t", "tmpfs", "-o", options, "tmpfs"]).arg(at).output();
        Ok(done.is_ok_and(|it| it.status.success()))
    }
}

impl Drop for SmallDisk<'_> {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(self.0).status();
    }
}

/// Fills the disk with notes, makes room, and goes on.
///
/// # Errors
/// If the trial itself could not be carried out.
pub fn run(seed: u64) -> Result<Outcome> {
    let folder = scratch::on_disk()?;
    let place = folder.path().join("disk");
    std::fs::create_dir(&place)?;
    if !SmallDisk::mount(&place, "size=900k")? {
        return Ok(Outcome::skipped(NAME, "a small disk cannot be mounted here (that needs root)"));
    }
    let _disk = SmallDisk(&place);
    let (binary, book) = (built::cocoonery()?, place.join("book"));
    make_book(&binary, &book)?;
    let errors = folder.path().join("errors");
    let house = House::start(serve(&binary, &book), &errors)?;
    let mut dice = Dice::seeded(seed);
    let (mut noted, mut refused, mut wrong) = (Vec::new(), Vec::new(), Vec::new());
    for n in 0..20_000 {
        let slip = Slip::nth(n, &mut dice);
        match slip.send(house.at, BOX) {
            Answer::Noted => noted.push(slip),
            Answer::Refused { page, .. } => {
                let told = page.contains("the disk is full") || page.contains("not sure whether");
                if !told {
                    wrong.push(format!("{}: refused without saying that the disk is full", slip.text));
                }
                refused.push(slip);
            }
            Answer::None => wrong.push(format!("{}: no answer", slip.text)),
        }
        if refused.len() == REFUSED {
            break;
        }
    }
    ensure!(refused.len() == REFUSED, "the disk did not fill up");
    if get(house.at, &format!("/round/{BOX}")).map(|it| it.0).ok() != Some(200) {
        wrong.push("the book cannot be looked at while the disk is full".to_owned());
    }
    ensure!(SmallDisk::mount(&place, "remount,size=16m")?, "no room could be made");
    for slip in &refused {
        // The page still open on the phone is sent once more.
        match slip.send(house.at, BOX) {
            Answer::Noted => noted.push(slip.clone()),
            other => wrong.push(format!("{}: not taken although there is room: {other:?}", slip.text)),
        }
    }
    house.kill()?;
    wrong.extend(judge(&book, &noted, &noted));
    let did = format!(
        "{} notes, {} refused while it was full, all taken when there was room",
        noted.len(),
        refused.len()
    );
    Ok(Outcome::of(NAME, did, wrong))
}

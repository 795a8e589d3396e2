//! `kill -9` in the middle of notes over HTTP; what was not acknowledged is sent again with its id.

use crate::dice::Dice;
use crate::house::{BOX, House, make_book, serve};
use crate::judge::judge;
use crate::slip::{Answer, Slip};
use crate::{Outcome, built, scratch};
use anyhow::{Result, bail};
use std::path::Path;
use std::time::Duration;

/// How much of it.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Notes.
    pub notes: usize,
    /// Kills.
    pub kills: usize,
}

/// Full size, for a release.
pub const FULL: Size = Size { notes: 10_000, kills: 320 };
/// Small size, for every change.
pub const SMALL: Size = Size { notes: 300, kills: 8 };

/// Sends notes and kills the house again and again.
///
/// # Errors
/// If the trial itself could not be carried out.
pub fn run(size: Size, seed: u64) -> Result<Outcome> {
    let binary = built::cocoonery()?;
    let folder = scratch::on_disk()?;
    let (book, errors) = (folder.path().join("book"), folder.path().join("errors"));
    make_book(&binary, &book)?;
    let mut trial = Trial { binary: &binary, book: &book, errors: &errors, again: 0, kills: 0 };
    let (sent, mut wrong) = trial.play(size, &mut Dice::seeded(seed))?;
    wrong.extend(judge(&book, &sent, &sent));
    let did = format!(
        "{} notes acknowledged, {} kills, {} notes sent again for want of an answer",
        sent.len(),
        trial.kills,
        trial.again
    );
    Ok(Outcome::of("kill -9", did, wrong))
}

struct Trial<'a> {
    binary: &'a Path,
    book: &'a Path,
    errors: &'a Path,
    again: usize,
    kills: usize,
}

impl Trial<'_> {
    fn open(&self) -> Result<House> {
        House::start(serve(self.binary, self.book), self.errors)
    }

    fn play(&mut self, size: Size, dice: &mut Dice) -> Result<(Vec<Slip>, Vec<String>)> {
        let every = (size.notes / size.kills).max(1);
        let mut house = self.open()?;
        let (mut sent, mut wrong) = (Vec::new(), Vec::new());
        let mut until_kill = 1 + dice.below(2 * every - 1);
        for n in 0..size.notes {
            let slip = Slip::nth(n, dice);
            until_kill = until_kill.saturating_sub(1);
            let owed = size.kills - self.kills >= size.notes - n;
            if until_kill == 0 && self.kills < size.kills || owed {
                until_kill = 1 + dice.below(2 * every - 1);
                let answer = self.kill_during(&house, &slip, dice)?;
                house.kill()?;
                house = self.open()?;
                if answer != Answer::Noted {
                    self.again += 1;
                }
            }
            // Sent again after the kill, acknowledged or not: a bad signal does the same.
            self.until_noted(&house, &slip)?;
            if dice.below(20) == 0 {
                self.until_noted(&house, &slip)?;
            }
            sent.push(slip);
        }
        if let Some(first) = sent.first() {
            let other = Slip { text: "slip with other words".to_owned(), ..first.clone() };
            if other.send(house.at, BOX) == Answer::Noted {
                wrong.push("a note with a known id and other words was taken".to_owned());
            }
        }
        house.kill()?;
        Ok((sent, wrong))
    }

    /// Kills the house at some moment while a note is under way.
    fn kill_during(&mut self, house: &House, slip: &Slip, dice: &mut Dice) -> Result<Answer> {
        let wait = Duration::from_micros(u64::try_from(dice.below(12_000))?);
        let (pid, at) = (house.pid(), house.at);
        let answer = std::thread::scope(|scope| {
            let sending = scope.spawn(move || slip.send(at, BOX));
            std::thread::sleep(wait);
            let killed = std::process::Command::new("kill").args(["-9", &pid.to_string()]).status();
            (sending.join(), killed)
        });
        self.kills += 1;
        match answer {
            (Ok(answer), Ok(killed)) if killed.success() => Ok(answer),
            other => bail!("the house could not be killed: {other:?}"),
        }
    }

    fn until_noted(&self, house: &House, slip: &Slip) -> Result<()> {
        match slip.send(house.at, BOX) {
            Answer::Noted => Ok(()),
            other => bail!("{} was not taken: {other:?}", slip.text),
        }
    }
}

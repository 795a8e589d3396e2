//! What does this morning need?

use crate::air_note::thermometer_waits;
use crate::book::{Keeper, Look};
use crate::failure::Failure;
use crate::round::{expected, line_of, most_in_moult, shelf_order, tasks};
use crate::view::LeafRange;
use crate::view::morning::{BoxOnShelf, LineShort, Morning};

impl Keeper {
    /// The page that opens first.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn morning(&self) -> Result<Morning, Failure> {
        let look = self.look();
        let mut boxes = Vec::new();
        for name in shelf_order(&look.house) {
            boxes.extend(self.box_on_shelf(&look, &name)?);
        }
        let leaf_today = self.leaf_today(&look);
        let mut lines = Vec::new();
        for line in look.house.lines() {
            lines.extend(self.line_short(&look, line));
        }
        let (notice, blank) = (self.notice(), look.house.lots.is_empty());
        // A scratch book and a day gone by need none.
        let backup = (notice.is_none() && !blank).then(|| {
            let last = self.last_backup();
            (crate::backup::age(last.as_ref()), crate::backup::in_words(last.as_ref()))
        });
        Ok(Morning {
            now: look.wall,
            notice,
            backup,
            alive: look.house.living_boxes().map(rearing::RearingBox::total).sum(),
            boxes,
            leaf_today_fresh_g: leaf_today,
            lines,
            thermometer_waits: thermometer_waits(&look),
            blank,
            bells: self
                .bells(&look)
                .into_iter()
                .map(|it| format!("box {}: {}", it.name, it.counted))
                .collect(),
        })
    }

    fn box_on_shelf(&self, look: &Look, name: &str) -> Result<Option<BoxOnShelf>, Failure> {
        let Ok(it) = look.house.open_box(name) else { return Ok(None) };
        let outlook = self.box_outlook(look, it)?;
        Ok(Some(BoxOnShelf {
            name: name.to_owned(),
            line: line_of(it),
            expected: expected(it),
            in_moult: most_in_moult(&outlook),
            set_apart: it.set_apart.as_ref().map(|(_, sign)| sign.clone()),
            leaf_fresh_g: outlook.leaf_today,
            tasks: tasks(it, &outlook),
            done: done_today(look, name),
        }))
    }

    fn line_short(&self, look: &Look, line: String) -> Option<LineShort> {
        let alive: u32 = look.house.alive(&line).values().sum();
        if alive == 0 {
            return None;
        }
        let made = self.line_forecast(look, &line);
        let next = made.as_deref().and_then(|made| {
            let next = self.stage_forecasts(made, &made.answer.brood).into_iter().next()?;
            Some(next.says)
        });
        let odds_of_twenty = made.as_deref().map(|made| self.chance(look, made).of_twenty());
        Some(LineShort {
            species: self.species_of(&look.house, &line).0,
            alive,
            next,
            odds_of_twenty,
            as_of: look.today(),
            line,
        })
    }

    fn leaf_today(&self, look: &Look) -> Option<LeafRange> {
        let leaf = self.leaf_of(look);
        (leaf.today.q90 > 0.0).then_some(leaf.today)
    }
}

/// Whether a box has been done today, in words.
fn done_today(look: &Look, name: &str) -> Option<String> {
    let today = look.today();
    if look.house.counts.iter().any(|it| it.on == today && it.told.name == name) {
        return Some("counted".to_owned());
    }
    let fed = look.house.fed_only.iter().any(|(on, it)| *on == today && it == name);
    fed.then(|| "fed only, not counted".to_owned())
}

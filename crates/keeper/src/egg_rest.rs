//! Kinds whose eggs rest over winter: their clock begins when the winter ends, not when they were laid.

use crate::book::{Keeper, Look};
use crate::state::day_number;
use evidence::{Profile, Rest, StageName};
use rearing::Deed;
use rearing::deed::{Move, Moved};
use science::phenology::{Known, Living, Tracked, Window};
use terms::Stage;

/// Claim behind the months that are named.
const HATCH_CLAIM: &str = "diapause/yamamai-egg";

/// How far the winter of a line's eggs has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum EggRest {
    /// The winter ended at this instant, days.
    Ended(f64),
    /// Nobody has said that it ended.
    Resting,
}

impl Keeper {
    /// The winter of a line's eggs; `None` for kinds whose eggs do not rest, or where none were there.
    pub(crate) fn egg_rest(&self, look: &Look, profile: &Profile, line: &str) -> Option<EggRest> {
        let house = &look.house;
        if profile.winter.rest != Rest::Egg {
            return None;
        }
        let of_line = |it: &Moved| match &it.line {
            Some(named) => named == line,
            None => house.boxes.get(&it.into).is_some_and(|it| it.lines().contains(line)),
        };
        let entries = self.entries();
        let warmed = entries.iter().filter(|it| it.happened.at <= look.at && house.knows(it.id)).filter(|it| {
            matches!(&it.deed, Deed::Moved(it) if it.why == Some(Move::BringOut) && it.stage == Stage::Egg && of_line(it))
        });
        if let Some(at) = warmed.map(|it| it.happened.at).max() {
            return Some(EggRest::Ended(day_number(at)));
        }
        // Where some have hatched the winter is over; when it ended follows from the days of warming.
        let hatched = house.passages.iter().filter(|it| it.line == line && it.stage == Stage::Larva(1));
        let first = hatched.filter(|it| it.not_before.is_some()).map(|it| it.seen_at).min();
        let days = profile.stage(StageName::Egg).map_or(0.0, |it| it.days.value);
        let waits = house.alive(line).contains_key(&Stage::Egg).then_some(EggRest::Resting);
        first.map(|at| EggRest::Ended(day_number(at) - days)).or(waits)
    }

    /// What is said while they rest.
    pub(crate) fn eggs_rest_in_words(&self) -> String {
        let claim = self.library().claim(HATCH_CLAIM);
        let claimed =
            claim.map_or_else(String::new, |it| format!(" ({}; grade {})", it.shown(), it.grade.letter()));
        format!(
            "Eggs of this kind rest over winter{claimed}. Note the day on which you bring them out of the cold (cocoonery note moved BOX N egg --into BOX --warm), and their hatching is forecast from it."
        )
    }
}

/// Lets the clock of the eggs begin at the end of the winter.
pub(crate) fn begin_at(living: &mut Living, ended_d: f64, asof_d: f64) {
    let began_d = ended_d.min(asof_d);
    for it in living.groups.iter_mut().filter(|it| it.stage == 0) {
        let seen_d = match it.known {
            Known::LastSeen { seen_d, .. } => seen_d.clamp(began_d, asof_d),
            Known::Entered(_) => asof_d,
        };
        it.known = Known::LastSeen { window: Window::at(began_d), seen_d };
    }
}

/// The same for eggs that the book follows one by one. Who was seen to hatch before the winter is said to have ended
/// began before.
pub(crate) fn began_at(tracked: &mut Tracked, ended_d: f64, asof_d: f64) {
    /// An egg that is warm takes days.
    const AT_LEAST_D: f64 = 1.0;
    let looks_d = tracked.looks_d.clone();
    for it in tracked.tracks.iter_mut().filter(|it| it.started_stage == 0) {
        let alive = it.glances.iter().position(|it| it.is_alive());
        let latest_d = alive.map_or(asof_d, |look| looks_d[look] - AT_LEAST_D);
        it.started = Window::at(ended_d.min(latest_d));
    }
}

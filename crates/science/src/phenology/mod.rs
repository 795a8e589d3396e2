//! Development: from what is alive and how warm it was to when what will happen.
//!
//! Start at [`forecast`](forecast()); a [`Simulator`] makes its seasons, the life of one animal is in `life`.
//! **Invariant:** knows no book, no box label, no calendar and no language; numbers in, numbers out.
//! **Invariant:** the same inputs and the same seed give the same bits, whatever the number of threads.

mod air;
mod air_days;
mod air_notes;
mod brood;
pub mod census;
mod clock;
mod clocks;
mod diapause;
mod forecast;
mod gaussian;
mod life;
mod lives;
mod model;
mod outlook;
mod pace;
mod particles;
mod passage;
mod quantiles;
mod rate;
mod resting;
mod simulator;
mod stories;
mod tally;
#[cfg(test)]
pub(crate) mod testing;
mod threads;
mod tracks;
mod unlike;
mod unlike_shape;
mod watched;
mod winter;

pub use air::{AirFault, AirSeries, Reading};
pub use air_days::DayRange;
pub use air_notes::{AirNote, Suspicion};
pub use brood::{CameOut, Group, Known, Living, LivingFault, StagePassage, Window};
pub use clock::Clock;
pub use clocks::{ClockFault, Clocks, HORIZON_D, Room};
pub use diapause::{DayCurve, Diapause, LarvalDay, LarvalDays, RestBy, Warmth};
pub use forecast::{Belief, Forecast, Learned, Moth, Seasons, Warning, forecast};
pub use lives::Lives;
pub use model::{BetaPrior, BroodModel, ModelFault, MothNights, Nights, Sex, Shock, StageKind, StageModel};
pub use outlook::{Outlook, OutlookError};
pub use passage::{Seen, observed_passage};
pub use quantiles::{Quantiles, quantile};
pub use rate::RateCurve;
pub use simulator::{Ask, Bench, ForecastFault, Simulator};
pub use tally::{MoultNow, RestingShare, Scope, StageCount, StageEntry};
pub use tracks::{Glance, Track, Tracked};
pub use unlike::Unlike;
pub use watched::{BoxCount, Watched};
pub use winter::Winter;

/// The worked examples of the model pages, run as they are printed.
#[cfg(doctest)]
mod pages {
    #[doc = include_str!("../../../../docs/models/clock.md")]
    struct Clock;
    #[doc = include_str!("../../../../docs/models/calendar.md")]
    struct Calendar;
    #[doc = include_str!("../../../../docs/models/diapause.md")]
    struct Diapause;
    #[doc = include_str!("../../../../docs/models/odds.md")]
    struct Odds;
    #[doc = include_str!("../../../../docs/models/leaf.md")]
    struct Leaf;
}

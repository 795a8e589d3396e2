//! Cocoons over winter: who dries out, how much cold they had, and whether the store stayed cold.

mod cold;
mod drying;
mod store_air;
mod together;

pub use cold::{AirDay, Cold, cold_received, share_below, warm_days_needed};
pub use drying::{DryingAsk, Span, Watch, Weighing, watch};
pub use store_air::{SpellAsk, warm_spells};
pub use together::{Together, TogetherWatch, watch_together};

#[cfg(doctest)]
mod model_pages {
    #[doc = include_str!("../../../../docs/models/winter.md")]
    mod winter {}
}

//! Keeping stock sound: how many to examine, what a clean sample means, when to be alarmed, how to dilute.

mod detection;
mod dilution;
mod prevalence;
mod reference;
mod run_length;

pub use detection::{chance_to_detect, detection_size, detection_size_by_table, zero_found};
pub use dilution::{Agent, Basis, Caution, Dilution, Stock, Target, dilution};
pub use prevalence::{TruePrevalence, pooled_prevalence, true_prevalence};
pub use reference::{alarm_path, reference_bernoulli, reference_poisson};
pub use run_length::{Chart, Rule, Sides, run_length};

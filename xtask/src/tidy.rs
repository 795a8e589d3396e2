//! The rules that read text. Each is a pure function over what it judges, with tests that plant an error.

mod arrows;
mod clock;
mod fault;
mod floors;
mod guide;
mod literals;
mod manifest;
mod map;
mod marks;
mod origins;
mod shipped;
mod sizes;
mod words;

pub use fault::Fault;

use crate::repository::Repository;

/// Everything that must be mended before a change may land.
pub fn faults(repository: &Repository) -> Vec<Fault> {
    let mut faults = Vec::new();
    faults.extend(arrows::faults(repository));
    faults.extend(floors::faults(repository));
    faults.extend(map::faults(repository));
    faults.extend(guide::faults(repository));
    faults.extend(sizes::faults(repository));
    faults.extend(clock::faults(repository));
    faults.extend(words::faults(repository));
    for page in &repository.pages {
        faults.extend(marks::faults(page));
        faults.extend(origins::faults(page));
    }
    faults
}

/// What is worth a thought, but no reason to stop.
pub fn warnings(repository: &Repository) -> Vec<Fault> {
    sizes::warnings(repository)
}

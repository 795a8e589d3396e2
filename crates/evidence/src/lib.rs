//! What is claimed, by whom, and on what: claims, sources, grades, disagreements and species profiles.
//!
//! No biological number stands in code. It stands in a file under `reference/`, with the exact thing that
//! was measured, the conditions, the source and a grade, and this crate reads those files. The crate is pure:
//! text goes in, values and complaints come out; [`library()`] holds the files that were built into the program.
//!
//! Three habits run through it. *Disagreement is kept*: two claims that cannot both be true are shown side by
//! side and never averaged. *Absence is not nought*: a number nobody has measured is `None`. *A judgement says
//! so*: where a model needs a number that no source gives, the profile carries the reason in words.
//!
//! ```
//! let library = evidence::library();
//! let emperor = library.profile("emperor moth").expect("a built-in profile");
//! assert_eq!(emperor.latin, "Saturnia pavonia");
//! assert!(library.profile("a moth nobody has written down").is_none());
//! ```

mod bibtex;
mod block;
mod check;
mod claim;
mod complaint;
mod disagreement;
mod figure;
mod footing;
mod grade;
mod library;
mod number;
mod profile;
mod quantity;
mod question;
mod read_profile;
mod reshape;
mod source;
mod stage;

pub use claim::{Claim, Conditions, read_claims};
pub use complaint::Complaint;
pub use disagreement::{Disagreement, Why, disagreements};
pub use figure::Figure;
pub use footing::{Footing, footings};
pub use grade::Grade;
pub use library::{Library, library};
pub use number::{Bell, Chance, Factor, LeafNeed, Number, NumberRange, Said, Shares};
pub use profile::{
    Air, Caution, DayResponse, FoodPlant, Instars, Leaf, Moths, Pace, Profile, Reproduction, Rest,
    SecondPeak, StagePrior, WarmthShift, Winter,
};
pub use quantity::{QUANTITIES, Quantity};
pub use question::{Question, Side, read_questions};
pub use read_profile::read_profile;
pub use source::{Source, read_sources};
pub use stage::StageName;

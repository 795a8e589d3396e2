//! Why a figure was not computed, worded for the bench.

use science::numerics::Unfit;

/// Every way in which a question to the register can be refused. Nothing is saved or changed by a refused question.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Refused {
    /// No such quantity.
    #[error("there is no quantity `{quantity}`; ask for the list to see all names")]
    UnknownQuantity {
        /// What was asked for.
        quantity: String,
    },
    /// The inputs are something else than a JSON object.
    #[error("the inputs must be one JSON object such as {{\"air_c\": 21.5}}")]
    InputsNotAnObject,
    /// The text of the inputs is not JSON.
    #[error("the inputs cannot be read as JSON: {why}")]
    InputsUnreadable {
        /// Where and why reading stopped.
        why: String,
    },
    /// An input that this quantity does not have.
    #[error("{name} is no input here; known are {known}")]
    UnknownInput {
        /// The stranger.
        name: String,
        /// The names that would have been taken.
        known: String,
    },
    /// An input without which there is no answer.
    #[error("{name} is missing")]
    Missing {
        /// The missing input.
        name: &'static str,
    },
    /// An input of another kind than asked for.
    #[error("{name} must be {must}")]
    WrongKind {
        /// The input.
        name: &'static str,
        /// What it must be, in words.
        must: String,
    },
    /// Refused by the formula: out of range, or not fitting together.
    #[error(transparent)]
    Unfit(#[from] Unfit),
    /// The formula gave no finite number although every input was in range.
    #[error("these inputs have no finite answer")]
    NoFiniteAnswer,
    /// A table of cases without one of its three columns.
    #[error("the table needs the columns case, quantity and inputs; {name} is missing")]
    NoColumn {
        /// The missing column.
        name: &'static str,
    },
}

impl Refused {
    /// The input to blame, where one can be named.
    pub fn name(&self) -> Option<&str> {
        match self {
            Refused::UnknownInput { name, .. } => Some(name),
            Refused::Missing { name } | Refused::WrongKind { name, .. } | Refused::NoColumn { name } => {
                Some(name)
            }
            Refused::Unfit(unfit) => Some(unfit.name()),
            _ => None,
        }
    }
}

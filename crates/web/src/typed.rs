//! Exactly what was typed or tapped, still unjudged.

/// The fields of a form as they came in, in order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Typed(pub Vec<(String, String)>);

impl Typed {
    /// What stands in a field; `None` if it was not sent.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&str> {
        self.0.iter().find(|(it, _)| it == name).map(|(_, value)| value.as_str())
    }

    /// What stands in a field without outer blanks; empty if it was not sent.
    #[must_use]
    pub fn word(&self, name: &str) -> &str {
        self.get(name).unwrap_or("").trim()
    }

    /// Was anything sent at all?
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<const N: usize> From<[(&str, &str); N]> for Typed {
    fn from(fields: [(&str, &str); N]) -> Self {
        Typed(fields.into_iter().map(|(name, value)| (name.to_owned(), value.to_owned())).collect())
    }
}

/// Why a form could not be read, for the field it belongs to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    /// The field.
    pub field: String,
    /// What happened and what to do, in one or two sentences.
    pub says: String,
}

//! Reading inputs of a known name and kind out of a JSON object.

use serde_json::{Map, Value};

use super::Refused;

/// The inputs of one question. `null` counts as left out.
pub(super) struct Asked<'a> {
    inputs: &'a Map<String, Value>,
}

impl<'a> Asked<'a> {
    pub(super) fn new(inputs: &'a Map<String, Value>) -> Self {
        Asked { inputs }
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.inputs.get(name).is_some_and(|value| !value.is_null())
    }

    fn given(&self, name: &'static str) -> Result<&'a Value, Refused> {
        self.inputs.get(name).filter(|value| !value.is_null()).ok_or(Refused::Missing { name })
    }

    fn maybe<T>(
        &self,
        name: &'static str,
        read: impl Fn(&Self, &'static str) -> Result<T, Refused>,
    ) -> Result<Option<T>, Refused> {
        if self.has(name) { read(self, name).map(Some) } else { Ok(None) }
    }

    pub(super) fn number(&self, name: &'static str) -> Result<f64, Refused> {
        self.given(name)?.as_f64().ok_or_else(|| wrong(name, "a number"))
    }

    pub(super) fn number_or(&self, name: &'static str, otherwise: f64) -> Result<f64, Refused> {
        Ok(self.maybe(name, Self::number)?.unwrap_or(otherwise))
    }

    pub(super) fn count(&self, name: &'static str) -> Result<u64, Refused> {
        whole(self.given(name)?).ok_or_else(|| wrong(name, "a whole number, 0 or more"))
    }

    pub(super) fn text(&self, name: &'static str) -> Result<&'a str, Refused> {
        self.given(name)?.as_str().ok_or_else(|| wrong(name, "a word in quotes"))
    }

    /// A word out of a short list; the refusal names the list.
    pub(super) fn choice<T: Copy>(&self, name: &'static str, words: &[(&str, T)]) -> Result<T, Refused> {
        let given = self.text(name)?;
        words.iter().find(|(word, _)| *word == given).map(|&(_, meaning)| meaning).ok_or_else(|| {
            let known: Vec<&str> = words.iter().map(|&(word, _)| word).collect();
            wrong(name, format!("one of {}; `{given}` is none", known.join(", ")))
        })
    }

    pub(super) fn choice_or<T: Copy>(
        &self,
        name: &'static str,
        words: &[(&str, T)],
        otherwise: T,
    ) -> Result<T, Refused> {
        Ok(self.maybe(name, |asked, name| asked.choice(name, words))?.unwrap_or(otherwise))
    }

    pub(super) fn list(&self, name: &'static str) -> Result<&'a Vec<Value>, Refused> {
        self.given(name)?.as_array().ok_or_else(|| wrong(name, "a list"))
    }

    pub(super) fn numbers(&self, name: &'static str) -> Result<Vec<f64>, Refused> {
        let list = self.list(name)?;
        list.iter().map(|value| value.as_f64().ok_or_else(|| wrong(name, "a list of numbers"))).collect()
    }

    /// Yes or no for each animal, as true/false or 1/0.
    pub(super) fn flags(&self, name: &'static str) -> Result<Vec<bool>, Refused> {
        let list = self.list(name)?;
        list.iter()
            .map(|value| yes_or_no(value).ok_or_else(|| wrong(name, "a list of true/false or 1/0")))
            .collect()
    }

    /// Refuses an input that belongs to the quantity but not to the form that was chosen.
    pub(super) fn only(&self, form: &str, names: &[&'static str]) -> Result<(), Refused> {
        let strange = self.inputs.keys().find(|key| self.has(key) && !names.contains(&key.as_str()));
        match strange {
            None => Ok(()),
            Some(name) => {
                let known = format!("for {form}: {}", names.join(", "));
                Err(Refused::UnknownInput { name: name.clone(), known })
            }
        }
    }
}

/// A count, also when it was written `12.0`. Fractions, negatives and anything past 2^53 are no counts.
pub(super) fn whole(value: &Value) -> Option<u64> {
    const EXACT: f64 = 9_007_199_254_740_992.0;
    let number = value.as_f64().filter(|n| n.fract() == 0.0 && (0.0..EXACT).contains(n))?;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked on the line above")]
    let whole = number as u64;
    Some(whole)
}

/// Yes or no, also when it was written 1 or 0.
pub(super) fn yes_or_no(value: &Value) -> Option<bool> {
    value.as_bool().or_else(|| match whole(value)? {
        0 => Some(false),
        1 => Some(true),
        _ => None,
    })
}

pub(super) fn wrong(name: &'static str, must: impl Into<String>) -> Refused {
    Refused::WrongKind { name, must: must.into() }
}

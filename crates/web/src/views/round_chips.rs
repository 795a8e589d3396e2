//! Big buttons to choose one of: radio buttons under the skin, so that a tap
//! is enough and nothing needs scripts.

use crate::round_fields::{CHIP_MAX, or_field};
use crate::typed::Typed;
use maud::{Markup, html};

/// One choice.
#[derive(Debug, Clone)]
pub struct Choice {
    /// Its value in the form.
    pub value: String,
    /// Its words.
    pub words: String,
    /// A second, smaller line; may be empty.
    pub more: String,
}

impl Choice {
    /// A choice in one line.
    #[must_use]
    pub fn new(value: impl Into<String>, words: impl Into<String>) -> Self {
        Choice { value: value.into(), words: words.into(), more: String::new() }
    }
}

/// Chips of words: one can be chosen.
#[must_use]
pub fn words(typed: &Typed, name: &str, legend: &str, default: &str, choices: &[Choice]) -> Markup {
    let chosen = typed.get(name).unwrap_or(default);
    html! {
        fieldset.chips.words {
            legend { (legend) }
            div.row {
                @for choice in choices {
                    label.chip {
                        input type="radio" name=(name) value=(choice.value) checked[choice.value == chosen];
                        span { (choice.words) @if !choice.more.is_empty() { small { (choice.more) } } }
                    }
                }
            }
        }
    }
}

/// Short words that stand as close as numbers do; nothing is chosen before it is tapped.
#[must_use]
pub fn numbers_of_words(typed: &Typed, name: &str, legend: &str, choices: &[Choice]) -> Markup {
    let chosen = typed.get(name).unwrap_or("");
    html! {
        fieldset.chips.numbers.short {
            legend { (legend) }
            div.row {
                @for choice in choices {
                    label.chip {
                        input type="radio" name=(name) value=(choice.value) checked[choice.value == chosen];
                        span { (choice.words) @if !choice.more.is_empty() { small { (choice.more) } } }
                    }
                }
            }
        }
    }
}

/// A row of numbers to choose from.
#[derive(Debug)]
pub struct Numbers<'a> {
    /// The field.
    pub name: &'a str,
    /// The question.
    pub legend: Markup,
    /// The largest number that makes sense.
    pub max: u32,
    /// The number chosen before anything is tapped; `None`: the first chip, which notes nothing.
    pub default: Option<u32>,
    /// The word on the chip that notes nothing, or on the zero.
    pub nothing: &'a str,
    /// Only the field to write in, without chips: for the rarer numbers where a page must stay small.
    pub bare: bool,
}

impl Numbers<'_> {
    /// The chips, and a field to write in where the chips do not reach.
    #[must_use]
    pub fn show(&self, typed: &Typed) -> Markup {
        let or = or_field(self.name);
        let default = self.default.filter(|it| *it <= CHIP_MAX).map(|it| it.to_string()).unwrap_or_default();
        let chosen = typed.get(self.name).unwrap_or(&default);
        // A count beyond the chips stands in the field from the start.
        let written = typed.get(&or).map(str::to_owned).or_else(|| {
            self.default
                .filter(|it| (self.bare || *it > CHIP_MAX) && typed.is_empty())
                .map(|it| it.to_string())
        });
        html! {
            fieldset.chips.numbers {
                legend { (self.legend) }
                div.row {
                    @if self.bare {} @else if self.default.is_none() { (chip(self.name, "", self.nothing, chosen.is_empty())) }
                    @else {
                        @if self.max > CHIP_MAX { (chip(self.name, "", "\u{2013}", chosen.is_empty())) }
                        (chip(self.name, "0", self.nothing, chosen == "0"))
                    }
                    @for n in 1..=(if self.bare { 0 } else { self.max.min(CHIP_MAX) }) { (chip(self.name, &n.to_string(), &n.to_string(), chosen == n.to_string())) }
                    @if self.bare || self.max > CHIP_MAX || written.as_ref().is_some_and(|it| !it.is_empty()) {
                        label.or { @if !self.bare { span { "or" } } input type="text" inputmode="numeric" autocomplete="off" name=(or) value=(written.unwrap_or_default()) size="3" placeholder=" "; }
                    }
                }
            }
        }
    }
}

fn chip(name: &str, value: &str, words: &str, checked: bool) -> Markup {
    html! { label.chip { input type="radio" name=(name) value=(value) checked[checked]; span { (words) } } }
}

/// A chip that is on or off.
#[must_use]
pub fn tick(typed: &Typed, name: &str, value: &str, words: &str, more: &str) -> Markup {
    html! {
        label.chip {
            input type="checkbox" name=(name) value=(value) checked[typed.get(name) == Some(value)];
            span { (words) @if !more.is_empty() { small { (more) } } }
        }
    }
}

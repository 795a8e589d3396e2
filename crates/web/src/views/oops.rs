//! Pages for what went wrong: what happened, what was saved, what to do.

use super::layout::{Here, Page};
use crate::typed::Typed;
use crate::visit::Visit;
use maud::{Markup, html};

/// What went wrong.
#[derive(Debug)]
pub struct Oops<'a> {
    /// What happened.
    pub happened: &'a str,
    /// What was saved.
    pub saved: &'a str,
    /// What to do now.
    pub to_do: &'a str,
    /// What was typed, so that it is not lost with the page.
    pub typed: &'a Typed,
}

/// The page.
#[must_use]
pub fn page(visit: &Visit, oops: &Oops<'_>) -> Markup {
    let typed: Vec<&(String, String)> =
        oops.typed.0.iter().filter(|(_, value)| !value.trim().is_empty()).collect();
    Page {
        visit,
        here: Here::Elsewhere,
        title: oops.happened,
        now: None,
        notice: None,
        body: html! {
            div.oops role="alert" {
                h1 { (oops.happened) }
                p.say { (oops.saved) }
                p.say { (oops.to_do) }
            }
            @if !typed.is_empty() {
                section {
                    h2 { "What you typed" }
                    dl.typed { @for (name, value) in typed { div { dt { (name.replace('_', " ")) } dd { (value) } } } }
                }
            }
            p { a.go href="/" { "To this morning" } }
        },
    }
    .show()
}

/// There is no such page.
#[must_use]
pub fn not_here(visit: &Visit, what: &str, typed: &Typed) -> Markup {
    page(
        visit,
        &Oops {
            happened: what,
            saved: "Nothing was changed.",
            to_do: "Look at the name on the lid, or start again from this morning's page.",
            typed,
        },
    )
}

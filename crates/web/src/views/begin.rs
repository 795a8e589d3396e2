//! `/begin`: animals of one's own, on one page.

use super::layout::{Here, Page};
use super::parts;
use super::round_chips::{self as chips, Choice};
use crate::typed::{Complaint, Typed};
use crate::visit::Visit;
use keeper::view::begin::{Begin, Kind};
use maud::{Markup, html};
use terms::Stage;
use uuid::Uuid;

/// Instars that can be tapped; most kinds have five, some six or more.
const INSTARS: u8 = 7;

/// The page.
#[must_use]
pub fn page(visit: &Visit, view: &Begin, id: Uuid, typed: &Typed, complaints: &[Complaint]) -> Markup {
    Page {
        visit,
        here: Here::Elsewhere,
        title: "Begin",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { "Begin with your own animals" } }
            (parts::complaints(complaints))
            form.work method="post" action="/begin" {
                input type="hidden" name="id" value=(typed.get("id").map_or_else(|| id.to_string(), str::to_owned));
                (which(view, typed))
                (how_many(typed))
                (chips::numbers_of_words(typed, "stage", "In which stage did they come?", &stages()))
                (when(view, typed))
                (where_to(view, typed))
                details open[!typed.word("origin").is_empty() || !typed.word("permit").is_empty()] {
                    summary { "From whom, and what was said about permits" }
                    (text(typed, "origin", "From whom", "", 200))
                    (text(typed, "permit", "What you were told about permits", "", 200))
                }
                div.act-bar { button.go { "Begin" } }
            }
        },
    }
    .show()
}

fn which(view: &Begin, typed: &Typed) -> Markup {
    let chosen = typed.get("species").unwrap_or("");
    html! {
        fieldset.chips.words.kinds {
            legend { "Which kind?" }
            div.row {
                @for kind in &view.kinds { (one_kind(kind, chosen == kind.latin)) }
            }
            label.field {
                span { "Or another: what the label says, or \u{201c}unknown\u{201d}" }
                input type="text" autocomplete="off" name="species_or" maxlength="200" placeholder=" " value=(typed.get("species_or").unwrap_or(""));
            }
            div.if-other { p.soft { "A kind that is not named above begins with wide dates; your own counts soon outweigh them." } (parts::cautions(&view.unknown_cautions)) }
        }
    }
}

/// The chip of a kind, and what belongs to taking it in, shown once it is chosen.
fn one_kind(kind: &Kind, chosen: bool) -> Markup {
    html! {
        label.chip {
            input type="radio" name="species" value=(kind.latin) checked[chosen];
            span { (kind.english) small { i { (kind.latin) } } }
        }
        div.if-chosen { (parts::cautions(&kind.cautions)) }
    }
}

fn how_many(typed: &Typed) -> Markup {
    html! {
        fieldset.chips.many {
            legend { "How many?" }
            div.row {
                label.field { span.away { "Number" } input type="text" inputmode="numeric" autocomplete="off" name="n" value=(typed.get("n").unwrap_or("")) size="5"; }
                (chips::tick(typed, "about", "yes", "about", "not counted"))
            }
        }
    }
}

fn stages() -> Vec<Choice> {
    let larvae = (1..=INSTARS).map(|it| Choice::new(Stage::Larva(it).to_string(), format!("L{it}")));
    let eggs = Choice::new("egg", "eggs");
    let cocoons =
        Choice { value: "cocoon".to_owned(), words: "cocoons".to_owned(), more: "or pupae".to_owned() };
    std::iter::once(eggs).chain(larvae).chain([cocoons]).collect()
}

fn when(view: &Begin, typed: &Typed) -> Markup {
    let today = view.now.date();
    let day = |name: &str, words: &str| {
        html! { label.field { span { (words) } input type="date" name=(name) max=(today) value=(typed.get(name).unwrap_or("")); } }
    };
    html! {
        div.deed.came {
            (chips::words(typed, "came", "When did they come?", "today", &[
                Choice::new("today", "today"),
                Choice::new("yesterday", "yesterday"),
                Choice::new("earlier", "earlier"),
            ]))
            div.then { (day("arrived", "They came on")) }
        }
        (day("laid", "Eggs laid on, if you know"))
    }
}

fn where_to(view: &Begin, typed: &Typed) -> Markup {
    let place = view.places.first().map_or("", String::as_str);
    html! {
        div.pair {
            (text(typed, "line", "Name of the line", &view.line, 40))
            (text(typed, "box", "Their box", &view.box_name, 40))
        }
        (text(typed, "place", "Where is the thermometer? May stay empty", place, 40))
    }
}

/// A field for words.
#[must_use]
pub fn text(typed: &Typed, name: &str, words: &str, default: &str, letters: u32) -> Markup {
    html! {
        label.field { span { (words) } input type="text" autocomplete="off" name=(name) maxlength=(letters) value=(typed.get(name).unwrap_or(default)); }
    }
}

//! `/air`: the thermometer.

use super::begin::text;
use super::layout::{Here, Page};
use super::round_chips::{self as chips, Choice};
use super::{parts, round_form};
use crate::typed::{Complaint, Typed};
use crate::visit::Visit;
use crate::words;
use keeper::view::air::{Air, AirDay, AirSeen};
use maud::{Markup, html};
use uuid::Uuid;

/// The page.
#[must_use]
pub fn page(visit: &Visit, view: &Air, id: Uuid, typed: &Typed, complaints: &[Complaint]) -> Markup {
    Page {
        visit,
        here: Here::Elsewhere,
        title: "The thermometer",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { "The thermometer" } }
            (parts::complaints(complaints))
            (form(view, id, typed))
            @if !view.place.is_empty() { (fortnight(view)) (light(view, typed)) }
        },
    }
    .show()
}

fn form(view: &Air, id: Uuid, typed: &Typed) -> Markup {
    let places: Vec<Choice> = view.places.iter().map(|it| Choice::new(it.clone(), it.clone())).collect();
    html! {
        form.work method="post" action="/air" data-outbox="the thermometer" data-opened=[round_form::opened_ms(id)] {
            input type="hidden" name="id" value=(typed.get("id").map_or_else(|| id.to_string(), str::to_owned));
            @match places.as_slice() {
                [] => (text(typed, "place_or", "Where does it hang?", "", 40)),
                [one] => { input type="hidden" name="place" value=(one.value); p.say { "At " b { (one.words) } } }
                _ => (chips::words(typed, "place", "Where does it hang?", &view.place, &places)),
            }
            (chips::words(typed, "on", "Which day?", &view.day_to_note.to_string(), &days(view)))
            div.pair {
                (number(typed, "min", "Lowest, \u{b0}C"))
                (number(typed, "max", "Highest, \u{b0}C"))
            }
            div.rarer {
                details open[!typed.word("damp_min").is_empty() || !typed.word("damp_max").is_empty()] {
                    summary { "Humidity" }
                    div.pair {
                        (number(typed, "damp_min", "Lowest, %"))
                        (number(typed, "damp_max", "Highest, %"))
                    }
                }
                details open[!typed.word("place_or").is_empty() || !typed.word("other_day").is_empty()] {
                    summary { "Other day or place" }
                    label.field { span { "Day" } input type="date" name="other_day" max=(view.now.date()) value=(typed.get("other_day").unwrap_or("")); }
                    @if !places.is_empty() { (text(typed, "place_or", "A new place", "", 40)) }
                }
            }
            div.act-bar { button.go { "Note it" } }
        }
    }
}

/// The length of the day decides in some kinds which pupae rest: told once, or when lamps are lit.
fn light(view: &Air, typed: &Typed) -> Markup {
    let told = ["latitude", "longitude", "lamps"].iter().any(|it| !typed.word(it).is_empty());
    html! {
        div.rarer {
            details open[told] {
                summary { "The light at " (view.place) }
                p.soft {
                    @if view.light.is_empty() { "Nothing is told of it. The length of the day decides in some kinds which pupae rest over winter." }
                    @else { (words::upper_first(&view.light)) "." }
                }
                form.work method="post" action="/air/light" {
                    input type="hidden" name="light_place" value=(view.place);
                    input type="hidden" name="place" value=(view.place);
                    div.pair {
                        (number(typed, "latitude", "Latitude, degrees north"))
                        (number(typed, "longitude", "Longitude, degrees east"))
                    }
                    (number(typed, "lamps", "Lamps, hours a day; empty under the sky"))
                    button.go { "Note the light" }
                }
            }
        }
    }
}

/// Today and yesterday, with what was read already.
fn days(view: &Air) -> Vec<Choice> {
    let mut days: Vec<Choice> = view
        .days
        .iter()
        .take(2)
        .zip(["today", "yesterday"])
        .map(|(day, word)| Choice {
            value: day.on.to_string(),
            words: word.to_owned(),
            more: day.read.as_ref().map_or_else(|| words::day(day.on), range),
        })
        .collect();
    days.reverse();
    days
}

fn number(typed: &Typed, name: &str, words: &str) -> Markup {
    html! { label.field { span { (words) } input type="text" inputmode="decimal" autocomplete="off" name=(name) size="5" value=(typed.get(name).unwrap_or("")); } }
}

fn fortnight(view: &Air) -> Markup {
    let read: Vec<&AirDay> = view.days.iter().filter(|it| it.read.is_some()).collect();
    html! {
        section.fortnight {
            h2 { "The last fortnight, " (view.place) }
            @if view.places.len() > 1 {
                p.ways-on { @for place in view.places.iter().filter(|it| **it != view.place) { a.pick href=(crate::url::air(place)) { (place) } } }
            }
            @if read.is_empty() { p { "Nothing was read in these days. The dates then rest on a guess of the air." } }
            @if !view.gaps.is_empty() { p { "Not read: " (view.gaps) ". These days are filled in from their neighbours." } }
            ul {
                @for day in &read {
                    @if let Some(seen) = &day.read {
                        li {
                            span { b { (words::weekday_day(day.on)) } " " (range(seen)) @if let Some(damp) = damp(seen) { span.soft { " " (damp) } } }
                            @if let Some(id) = seen.id {
                                form method="post" action="/air/undo" {
                                    input type="hidden" name="id" value=(id);
                                    button.quiet { "Undo" span.away { ": " (words::day(day.on)) } }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// `9.5 to 18.5 °C`.
fn range(seen: &AirSeen) -> String {
    format!("{} to {} \u{b0}C", words::plain(seen.air_c_min, 1), words::plain(seen.air_c_max, 1))
}

fn damp(seen: &AirSeen) -> Option<String> {
    match seen.humidity_percent {
        (Some(min), Some(max)) => Some(format!("{} to {} %", words::plain(min, 0), words::plain(max, 0))),
        (Some(one), None) | (None, Some(one)) => Some(format!("{} %", words::plain(one, 0))),
        (None, None) => None,
    }
}

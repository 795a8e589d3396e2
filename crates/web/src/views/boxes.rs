//! `/boxes` and `/boxes/{box}`: the shelf, and a box as a whole.

use super::begin::text;
use super::layout::{Here, Page};
use super::parts;
use super::round_chips::{self as chips, Choice, Numbers};
use crate::read::boxes::{is, part_field};
use crate::typed::{Complaint, Typed};
use crate::visit::Visit;
use crate::{url, words};
use keeper::view::boxes::{BoxStanding, BoxWork, Boxes};
use maud::{Markup, html};
use uuid::Uuid;

/// The shelf, and a form for a fresh box.
#[must_use]
pub fn shelf(visit: &Visit, view: &Boxes, id: Uuid, typed: &Typed, complaints: &[Complaint]) -> Markup {
    Page {
        visit,
        here: Here::Elsewhere,
        title: "The boxes",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { "The boxes on the shelf" } }
            (parts::complaints(complaints))
            @if view.boxes.is_empty() { p.say { "There is no open box yet." } p { a.go href="/begin" { "Begin with your own animals" } } }
            @if !view.boxes.is_empty() { p.soft { "The round goes in this order; boxes set apart come last." } }
            ol.standing { @for (place, it) in view.boxes.iter().enumerate() { li { (standing(place + 1, it)) } } }
            (fresh(view, id, typed))
        },
    }
    .show()
}

fn standing(place: usize, it: &BoxStanding) -> Markup {
    html! {
        span.n { (place) }
        a.box-link href=(url::boxes(&it.name)) {
            span.lid { (it.name) }
            span.soft { (it.holds) @if let Some((_, sign)) = &it.set_apart { span.apart { " set apart: " (sign) } } }
        }
        (steps(it, "shelf"))
    }
}

/// One place earlier, one place later; `back` says which page comes after.
fn steps(it: &BoxStanding, back: &str) -> Markup {
    let step = |deed: &str, sign: &str, may: bool| {
        html! {
            form method="post" action={ (url::boxes(&it.name)) "/" (deed) } {
                input type="hidden" name="back" value=(back);
                button disabled[!may] aria-label={ (it.name) " one place " (deed) } { (sign) }
            }
        }
    };
    html! { div.steps { (step("earlier", "\u{2191}", it.may_go_earlier)) (step("later", "\u{2193}", it.may_go_later)) } }
}

fn fresh(view: &Boxes, id: Uuid, typed: &Typed) -> Markup {
    let mut lines: Vec<Choice> = view.lines.iter().map(|it| Choice::new(it.clone(), it.clone())).collect();
    lines.push(Choice::new("", "several"));
    let line = view.lines.first().map_or("", String::as_str);
    html! {
        section {
            h2 { "A fresh box" }
            form.work method="post" action="/boxes" {
                input type="hidden" name="id" value=(id);
                (text(typed, "name", "What stands on the lid", &view.fresh_name, 40))
                @if view.lines.len() > 1 { (chips::words(typed, "line", "For which line?", line, &lines)) } @else { input type="hidden" name="line" value=(line); }
                details open[!typed.word("vessel").is_empty()] {
                    summary { "What it is, and where it stands" }
                    (text(typed, "vessel", "Tub, cage, tray", "", 80))
                    (text(typed, "place", "Where it stands", view.places.first().map_or("", String::as_str), 40))
                }
                button.go { "Open this box" }
            }
        }
    }
}

/// One box: everything in three taps from here.
#[must_use]
pub fn one(visit: &Visit, view: &BoxWork, id: Uuid, typed: &Typed, complaints: &[Complaint]) -> Markup {
    let it = &view.standing;
    let at = url::boxes(&it.name);
    Page {
        visit,
        here: Here::Elsewhere,
        title: &format!("Box {} as a whole", it.name),
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.box-head {
                h1 { (it.name) }
                p.place { "place " (view.position) " of " (view.of) }
                a.to-shelf href="/boxes" { "All boxes" }
                p.soft { @if !it.line.is_empty() { (it.line) ", " } (it.holds) @if !it.place.is_empty() { ", at " (it.place) } }
            }
            (parts::complaints(complaints))
            (parts::cautions(&view.cautions))
            @if !view.groups.is_empty() { (split(view, &at, id, typed)) }
            @if !view.groups.is_empty() && !view.others.is_empty() { (merge(view, &at)) }
            (apart(view, &at))
            (place(view, &at))
            @if view.groups.is_empty() {
                section { h2 { "Put it away" } p { "Empty. Wash it, let it dry." } form method="post" action={ (at) "/close" } { button.go { "Washed and put away" } } }
            }
            p.ways-on { a.pick href=(url::round(&it.name)) { "Back to the round of " (it.name) } }
        },
    }
    .show()
}

/// First the number, then the box they go into: that tap notes it.
fn split(view: &BoxWork, at: &str, id: Uuid, typed: &Typed) -> Markup {
    html! {
        section {
            h2 { "Split" }
            form.work.split method="post" action={ (at) "/split" } {
                input type="hidden" name="id" value=(id);
                @for (place, group) in view.groups.iter().enumerate() {
                    @let field = part_field(place);
                    input type="hidden" name={ (field) "_is" } value=(is(group));
                    (Numbers {
                        name: &field,
                        legend: html! { "How many of the " (words::stage_count(group.stage, group.n)) @if view.groups.iter().any(|it| it.line != group.line) { span.soft { (group.line) } } " go?" },
                        max: group.n,
                        default: None,
                        nothing: "none",
                        bare: false,
                    }.show(typed))
                }
                p.legend { "Into" }
                div.targets {
                    button name="into" value={ "fresh:" (view.fresh_name) } { span { (view.fresh_name) small { "fresh box" } } }
                    @for other in &view.others { button name="into" value={ "box:" (other.name) } { span { (other.name) small { (other.holds) } } } }
                }
            }
        }
    }
}

fn merge(view: &BoxWork, at: &str) -> Markup {
    html! {
        section {
            h2 { "All into another box" }
            form.work method="post" action={ (at) "/merge" } {
                div.targets { @for other in &view.others { button name="into" value=(other.name) { span { (other.name) small { (other.holds) } } } } }
            }
        }
    }
}

fn apart(view: &BoxWork, at: &str) -> Markup {
    html! {
        section {
            @match &view.standing.set_apart {
                Some((since, sign)) => {
                    h2 { "Set apart" }
                    p { "Since " (words::day(*since)) ": " (sign) "." }
                    form method="post" action={ (at) "/back" } { button { "Let it back to the others" } }
                }
                None => {
                    h2 { "Set apart, because of" }
                    form.work method="post" action={ (at) "/apart" } {
                        div.targets { @for sign in &view.signs { button name="sign" value=(sign) { (sign) } } }
                    }
                }
            }
        }
    }
}

fn place(view: &BoxWork, at: &str) -> Markup {
    html! {
        section {
            h2 { "Place on the shelf" }
            div.place-row {
                (steps(&view.standing, "box"))
                form method="post" action={ (at) "/place" } {
                    label { span { "or place" } input type="text" inputmode="numeric" autocomplete="off" name="place" size="3" value=(view.position); }
                    button { "Put there" }
                }
            }
        }
    }
}

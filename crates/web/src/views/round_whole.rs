//! `/round`: every box on one loaded page, for where there is no signal.

use super::layout::{Here, Page};
use super::round::Round;
use super::{parts, round_form};
use crate::typed::Typed;
use crate::visit::Visit;
use crate::{glyph, url, words};
use keeper::view::round::{BoxRound, WholeRound};
use maud::{Markup, html};
use uuid::Uuid;

/// The page; each box gets an id of its own from `ids`.
#[must_use]
pub fn page(visit: &Visit, view: &WholeRound, ids: &[Uuid]) -> Markup {
    Page {
        visit,
        here: Here::Round,
        title: "The whole round",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head {
                h1 { "The whole round" }
                p.soft { "Open this page where there is a signal, and it goes on working where there is none: what you note waits on this phone." }
                @if view.boxes.is_empty() { p.say { "No box needs opening." } }
                nav.jump aria-label="Boxes of this round" {
                    @for it in &view.boxes { a href={ "#" (url::part(&it.name)) } { (it.name) @if !it.noted.is_empty() { span.soft { " \u{2713}" } } } }
                }
            }
            @for (it, id) in view.boxes.iter().zip(ids) { (one(it, *id)) }
            p.ways-on { a.pick href="/" { "The shelf" } a.pick href="/air" { "The thermometer" } }
        },
    }
    .show()
}

fn one(view: &BoxRound, id: Uuid) -> Markup {
    let round =
        Round { view, id, typed: &Typed::default(), complaints: &[], after: "", again: false, whole: true };
    html! {
        section.part id=(url::part(&view.name)) data-next=[view.next.as_ref().map(|it| url::part(it))] {
            header.box-head {
                h2.lid { (view.name) }
                p.place { "box " (view.position) " of " (view.of) }
                a.to-shelf href=(url::round(&view.name)) { "alone" }
                p.who {
                    @if view.expected.iter().all(|it| it.n == 0) { "The book has nobody here." }
                    @for expected in view.expected.iter().filter(|it| it.n > 0) {
                        span.nowrap { (glyph::glyph(expected.stage)) " " b { (words::stage_count(expected.stage, expected.n)) } } " "
                    }
                    @if let Some(leaf) = &view.leaf_fresh_g { span.nowrap { (glyph::sign("leaf")) " " b { (words::grams(leaf.q50)) } } }
                }
            }
            @if view.misfit.is_some() || !view.both_said.is_empty() {
                p.apart-note { span { "The count does not fit yet: " a href=(url::round(&view.name)) { "look at " (view.name) } "." } }
            }
            @if let Some((since, sign)) = &view.set_apart {
                p.apart-note { (parts::caution_mark()) span { b { "Set apart since " (words::day(*since)) ": " (sign) "." } } }
            }
            (parts::cautions(&view.cautions))
            @for moult in &view.in_moult { (parts::in_moult(view.now, moult)) }
            @if let Some(last) = view.noted.last() { p.soft { "\u{2713} " (last.says) ", " (words::clock(last.at)) } }
            (round_form::form(&round))
            nav.neighbours aria-label={ "Boxes beside " (view.name) } {
                @match &view.previous { Some(name) => { a href={ "#" (url::part(name)) } { "\u{2039} " (name) } } None => { span {} } }
                a href="#main" { "Top" }
                @match &view.next { Some(name) => { a href={ "#" (url::part(name)) } { (name) " \u{203a}" } } None => { span {} } }
            }
        }
    }
}

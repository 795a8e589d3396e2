//! `/round/{box}`: one screen a box.

use super::layout::{Here, Page};
use super::{parts, round_form};
use crate::typed::{Complaint, Typed};
use crate::visit::Visit;
use crate::{glyph, url, words};
use keeper::view::round::{BoxRound, Misfit};
use maud::{Markup, html};
use uuid::Uuid;

/// What the page is shown with.
#[derive(Debug)]
pub struct Round<'a> {
    /// The box.
    pub view: &'a BoxRound,
    /// Made for this page, so that sending its form twice is noting once.
    pub id: Uuid,
    /// What was typed before, if the form comes back.
    pub typed: &'a Typed,
    /// Why it comes back.
    pub complaints: &'a [Complaint],
    /// What was saved in spite of it, and what to do; empty for the usual words.
    pub after: &'a str,
    /// The box is to be counted again.
    pub again: bool,
    /// It stands among all the others, on the page of the whole round.
    pub whole: bool,
}

/// The page.
#[must_use]
pub fn page(visit: &Visit, round: &Round<'_>) -> Markup {
    let view = round.view;
    Page {
        visit,
        here: Here::Round,
        title: &format!("Box {}", view.name),
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            (head(view))
            (complaints(round))
            @if let Some((since, sign)) = &view.set_apart {
                p.apart-note {
                    (parts::caution_mark())
                    span { b { "Set apart since " (words::day(*since)) ": " (sign) "." } " Handle last; own brush and tongs. Wash your hands after it." }
                }
            }
            (parts::cautions(&view.cautions))
            @if !view.both_said.is_empty() && !round.again { (both_said(view)) }
            @if let Some(misfit) = view.misfit.as_ref().filter(|_| !round.again) { (does_not_fit(view, misfit)) }
            @for moult in &view.in_moult { (parts::in_moult(view.now, moult)) }
            (round_form::form(round))
            (noted(view))
            p.ways-on { a.pick href=(url::boxes(&view.name)) { "Split, merge, set apart, move on the shelf" } }
            (neighbours(view))
        },
    }
    .show()
}

fn head(view: &BoxRound) -> Markup {
    html! {
        header.box-head {
            h1 { (view.name) }
            p.place { @if view.position > 0 { "box " (view.position) " of " (view.of) } @else { "left in peace" } }
            a.to-shelf href="/" { "The shelf" }
            p.soft { (view.line) ", " (view.species) @if !view.plant.is_empty() { ", on " (view.plant) } }
            p.who {
                @if view.empty || view.expected.iter().all(|it| it.n == 0) { "The book has nobody here." } @else {
                    span.away { "The book expects " }
                    @for expected in view.expected.iter().filter(|it| it.n > 0) {
                        span.nowrap { (glyph::glyph(expected.stage)) " " b { (words::stage_count(expected.stage, expected.n)) } } " "
                    }
                    @if let Some(leaf) = &view.leaf_fresh_g { span.nowrap { (glyph::sign("leaf")) " " b { (words::grams(leaf.q50)) } } }
                }
            }
            @let tasks = tasks(view);
            @if !tasks.is_empty() { p.tasks { span.soft { "To do: " } (tasks.join(", ")) } }
        }
    }
}

/// What to do; who sits in moult has a note of its own further down.
fn tasks(view: &BoxRound) -> Vec<&str> {
    let told = view.in_moult.iter().any(|it| it.about_n > 0);
    view.tasks.iter().map(String::as_str).filter(|it| !(told && it.contains("in moult"))).collect()
}

fn complaints(round: &Round<'_>) -> Markup {
    let after = if round.after.is_empty() {
        "Nothing was saved. All you typed is still here: mend it and note it again."
    } else {
        round.after
    };
    html! {
        @if !round.complaints.is_empty() {
            div.alert role="alert" {
                @for complaint in round.complaints { p { b { (complaint.says) } } }
                p { (after) }
            }
        }
    }
}

/// The smallest explanation, to be confirmed or counted again; nothing is mended in silence.
fn does_not_fit(view: &BoxRound, misfit: &Misfit) -> Markup {
    html! {
        section.misfit aria-label="The count does not fit" {
            p.say { "The count does not fit the book. The smallest explanation: " b { (misfit.says) } }
            ul.plain {
                @for (from, to, n) in &misfit.moved_on { li { (n) " moved on from " (from) " to " (to) } }
                @for (stage, n) in &misfit.short { li { (words::stage_count(*stage, *n)) " short" } }
                @for (stage, n) in &misfit.over { li { (words::stage_count(*stage, *n)) " more than the book has" } }
            }
            @if let Some(guess) = &view.guess {
                form.guess method="post" action={ (url::round(&view.name)) "/settle" } {
                    p { "About " (words::stage_count(guess.stage, guess.said)) " had been said when they came. Were it " (guess.counted) " from the start?" }
                    button.go name="so" value="yes" { (words::stage_count(guess.stage, guess.counted)) " came" }
                }
            }
            div.buttons {
                form method="post" action={ (url::round(&view.name)) "/misfit" } { button.go name="so" value="yes" { "Yes, so it is" } }
                a.quiet href={ (url::round(&view.name)) "?again=yes#left" } { "Count again" }
            }
        }
    }
}

/// Two phones, two counts: a person chooses, never the clock.
fn both_said(view: &BoxRound) -> Markup {
    html! {
        section.misfit aria-label="Two counts of this box" {
            p.say { "Two counts of this box were made without seeing each other. Both are kept as said." }
            ul.both {
                @for said in &view.both_said {
                    li {
                        span { b { (said.says) } " at " (words::clock(said.at)) }
                        form method="post" action={ (url::round(&view.name)) "/undo" } {
                            @for other in view.both_said.iter().filter(|it| it.id != said.id) { input type="hidden" name="id" value=(other.id); }
                            button { "This one holds" span.away { ": " (said.says) " at " (words::clock(said.at)) } }
                        }
                    }
                }
            }
            p { a.quiet href={ (url::round(&view.name)) "?again=yes#left" } { "Count again" } }
        }
    }
}

fn noted(view: &BoxRound) -> Markup {
    html! {
        @if !view.noted.is_empty() {
            section.noted {
                h2 { "Noted today" }
                ul {
                    @for line in view.noted.iter().rev() {
                        li {
                            span { (line.says) " " span.soft { (words::clock(line.at)) } }
                            form method="post" action={ (url::round(&view.name)) "/undo" } {
                                input type="hidden" name="id" value=(line.id);
                                button.quiet { "Undo" span.away { ": " (line.says) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn neighbours(view: &BoxRound) -> Markup {
    html! {
        nav.neighbours aria-label="Boxes beside this one" {
            @match &view.previous { Some(name) => { a href=(url::round(name)) rel="prev" { "\u{2039} " (name) } } None => { span {} } }
            a href="/" { "The shelf" }
            @match &view.next { Some(name) => { a href=(url::round(name)) rel="next" { (name) " \u{203a}" } } None => { span {} } }
        }
    }
}

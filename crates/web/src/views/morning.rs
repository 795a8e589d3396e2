//! `/`: what does this morning need?

use super::layout::{Here, Page};
use super::parts;
use crate::visit::Visit;
use crate::{glyph, url, words};
use keeper::backup::BackupAge;
use keeper::view::morning::{BoxOnShelf, LineShort, Morning};
use maud::{Markup, html};

/// The answers first, then the shelf.
#[must_use]
pub fn page(visit: &Visit, view: &Morning) -> Markup {
    Page {
        visit,
        here: Here::Morning,
        title: "This morning",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            h1.away { "This morning" }
            @if view.blank { (blank()) } @else { div.two {
                section.answers aria-label="The five answers" { (answers(view)) }
                section.shelf aria-label="The boxes in the order of the shelf" {
                    h2 { "The shelf" }
                    @if view.boxes.is_empty() { p.say { "No box needs opening." } }
                    ol { @for shelf_box in &view.boxes { li { (on_shelf(shelf_box)) } } }
                    p.ways-on { a.pick href="/boxes" { "All boxes: new, move, set apart" } }
                    @match &view.backup {
                        Some((BackupAge::Fresh, says)) => { p.soft { (says) } }
                        Some((_, says)) => { p.bell { (glyph::sign("trouble")) span { (says) } } }
                        None => {}
                    }
                }
            } }
        },
    }
    .show()
}

/// A book that waits for its first animal.
fn blank() -> Markup {
    html! {
        section.blank {
            p.say.large { "This book is empty. What lives with you?" }
            p { a.go href="/begin" { "Begin with your own animals" } }
            form method="post" action="/season" { button name="look" value="yes" { "Look at an invented season" } }
            p.soft { "Eggs, larvae or cocoons, counted or about so many, from today or from three weeks ago: all of it can be begun with." }
        }
    }
}

fn answers(view: &Morning) -> Markup {
    let open: Vec<&BoxOnShelf> = view.boxes.iter().filter(|it| it.done.is_none()).collect();
    let done = view.boxes.len() - open.len();
    html! {
        div.answer {
            h2 { "This morning" }
            p.say {
                (words::count(view.boxes.len(), "box", "boxes")) ", " (view.alive) " alive."
                @if view.boxes.is_empty() {} @else if open.is_empty() { " The round is done." } @else if done > 0 { " " (done) " done, " (open.len()) " to go." }
            }
            @if let Some(first) = open.first() {
                p { a.go href=(url::round(&first.name)) { (if done > 0 { "Go on with " } else { "Begin with " }) (first.name) } }
                p { a.more href="/round" { "All boxes on one page, for where there is no signal" } }
            }
            @if view.thermometer_waits { p { a.more href="/air" { "Note the thermometer" } } }
        }
        div.answer {
            h2 { "When is the next?" }
            @for line in &view.lines {
                p.say { (line_name(view, line)) @if let Some(next) = &line.next { (next) } @else { (if view.lines.len() > 1 { "nothing" } else { "Nothing" }) " to come that can be told." } }
                p { a.more href=(url::brood(&line.line)) { "The season of " (line.line) } }
            }
        }
        div.answer {
            h2 { "How much leaf?" }
            p.say { @match &view.leaf_today_fresh_g { Some(need) => { "Cut " (parts::cut_words(need)) } None => { "No leaf is needed today." } } }
            p { a.more href="/leaf" { "The leaf order" } }
        }
        div.answer {
            h2 { "Will this generation close?" }
            @for line in &view.lines {
                p.say {
                    (line_name(view, line))
                    @match line.odds_of_twenty {
                        Some(of_twenty) => { (if view.lines.len() > 1 { "in " } else { "In " }) b { (of_twenty) " of 20" } " possible seasons." }
                        None => { (if view.lines.len() > 1 { "this" } else { "This" }) " cannot be told yet." }
                    }
                }
                @if let Some(of_twenty) = line.odds_of_twenty { (pips(of_twenty)) }
                p { a.more href=(url::odds(&line.line)) { "What would help " (line.line) } }
            }
        }
        div.answer {
            h2 { "Is something wrong?" }
            @if view.bells.is_empty() { p.say { "No bell rings." } }
            @for bell in &view.bells { p.bell { (glyph::sign("trouble")) span { (bell) } } }
            p { a.more href="/trouble" { "Losses and air" } }
        }
    }
}

/// The line's name before an answer, left out when there is only one.
fn line_name(view: &Morning, line: &LineShort) -> Markup {
    html! { @if view.lines.len() > 1 { b { (line.line) ": " } } }
}

/// Twenty small marks beside the words; silent, because the words say the same.
fn pips(of_twenty: u32) -> Markup {
    html! {
        svg.pips viewBox="0 0 260 14" width="260" height="14" aria-hidden="true" focusable="false" {
            @for index in 0..20_u32 {
                ellipse class=(if index < of_twenty { "full" } else { "bare" }) cx=(index * 13 + 6) cy="7" rx="4.4" ry="5.4" {}
            }
        }
    }
}

fn on_shelf(shelf_box: &BoxOnShelf) -> Markup {
    // The tasks may say it already.
    let told = shelf_box.tasks.iter().any(|it| it.contains("in moult"));
    html! {
        a.shelf-box class=(if shelf_box.done.is_some() { "is-done" } else { "" }) href=(url::round(&shelf_box.name)) {
            span.lid { (shelf_box.name) }
            span.inside {
                span.who { @for expected in shelf_box.expected.iter().filter(|it| it.n > 0) { span.nowrap { (glyph::glyph(expected.stage)) " " (words::stage_count(expected.stage, expected.n)) } " " } }
                @if shelf_box.expected.iter().all(|it| it.n == 0) { span.soft { "empty" } }
                @if let Some(sign) = &shelf_box.set_apart { span.apart { "Set apart: " (sign) ". Handle last." } }
                @if let Some(moult) = shelf_box.in_moult.as_ref().filter(|it| it.about_n > 0 && !told) { span.sits { "About " (moult.about_n) " in moult" } }
                // What is done needs no list of what to do.
                @if shelf_box.done.is_none() { span.soft { (shelf_box.tasks.join(", ")) } }
            }
            span.to-give {
                @match (&shelf_box.done, &shelf_box.leaf_fresh_g) {
                    (Some(done), _) => { span.done-word { "\u{2713} " (done) } }
                    (None, Some(need)) => { (words::grams(need.q50)) span.soft { "leaf" } }
                    (None, None) => {}
                }
            }
        }
    }
}

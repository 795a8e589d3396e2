//! `/lines`: all lines and lots, with their books balanced.

use super::layout::{Here, Page};
use crate::visit::Visit;
use crate::{url, words};
use keeper::view::lines::{Line, Lines};
use maud::{Markup, html};

/// One section a line.
#[must_use]
pub fn page(visit: &Visit, view: &Lines) -> Markup {
    Page {
        visit,
        here: Here::Lines,
        title: "Lines",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { "The lines of the house" } }
            @if view.lines.is_empty() { p.say { "There is no line in the book yet." } }
            p.ways-on { a.pick href="/begin" { "Begin with new animals" } a.pick href="/pairings" { "Pairing tonight" } }
            @for line in &view.lines { (one_line(view, line)) }
        },
    }
    .show()
}

fn one_line(view: &Lines, line: &Line) -> Markup {
    html! {
        section.line {
            h2 { (line.line) }
            p.soft { (line.species.0) @if !line.species.1.is_empty() { ", " i { (line.species.1) } } }
            p.say { (line.received) " came. Alive: " (words::holds(&line.alive)) "." }
            (account(line))
            @if !line.boxes.is_empty() {
                p.boxes { @for name in &line.boxes { a href=(url::round(name)) { (name) } " " } }
            }
            p.ways-on { a.pick href=(url::brood(&line.line)) { "The season" } a.pick href=(url::odds(&line.line)) { "The odds" } a.pick href=(url::cocoons(&line.line)) { "The cocoons" } }
            (lots(view, line))
        }
    }
}

/// Where every animal went: the figures add up, and the page says if they do not.
fn account(line: &Line) -> Markup {
    let sum: u32 = line.account.iter().map(|(_, n)| *n).sum();
    html! {
        @if !line.account.is_empty() {
            ul.account {
                @for (what, n) in &line.account { li { b { (n) } span { (what) } } }
            }
            @if sum != line.received {
                p.caution role="alert" { "These make " (sum) ", but " (line.received) " came. An entry is missing; nothing was changed. Look through the last notes of this line." }
            }
        }
    }
}

fn lots(view: &Lines, line: &Line) -> Markup {
    let today = view.now.date();
    let told = |name: &str| if name.is_empty() { "not known".to_owned() } else { name.to_owned() };
    html! {
        dl.lots aria-label={ "Lots of " (line.line) } {
            @for lot in &line.lots {
                div.lot { dt { "lot" } dd { (lot.lot) } }
                div { dt { "animals" } dd { (lot.n) } }
                div { dt { "came" } dd { (words::day_seen_from(today, lot.received)) } }
                div { dt { "laid" } dd { (lot.laid.map_or_else(|| "not known".to_owned(), |date| words::day_seen_from(today, date))) } }
                div { dt { "mother" } dd { (told(&lot.parents.0)) } }
                div { dt { "father" } dd { (told(&lot.parents.1)) } }
                div { dt { "from" } dd { (told(&lot.origin)) } }
            }
        }
    }
}

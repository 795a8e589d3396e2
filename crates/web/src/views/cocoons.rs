//! `/cocoons/{line}`: each cocoon, how it winters, and what to do first.

use super::layout::{Here, Page};
use super::parts;
use crate::charts::{Figure, Room, weight_loss};
use crate::csv::Table;
use crate::visit::Visit;
use crate::{url, words};
use jiff::civil::Date;
use keeper::view::cocoons::{CocoonRow, CocoonState, Cocoons};
use maud::{Markup, html};

/// The answer, what to do first, the store, every cocoon.
#[must_use]
pub fn page(visit: &Visit, view: &Cocoons) -> Markup {
    let title = format!("The cocoons of {}", view.line);
    let (alive, gone): (Vec<&CocoonRow>, Vec<&CocoonRow>) =
        view.cocoons.iter().partition(|it| it.state.is_alive());
    Page {
        visit,
        here: Here::Elsewhere,
        title: &title,
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { (view.line) } p.question { "How do the cocoons winter?" } p.say.large { (view.says) } }
            @if !view.first.is_empty() {
                section.bell-card aria-label="What to do first" {
                    h2 { (crate::glyph::sign("trouble")) "First" }
                    ol.reasons { @for first in &view.first { li { (first) } } }
                }
            }
            @if view.cocoons.iter().any(|it| it.state.is_alive() && it.fellows_lost.is_some()) {
                section { h2 { "Weight lost" } (loss_figure(view).show()) }
            }
            @if !view.together.is_empty() {
                section {
                    h2 { "Weighed together" }
                    ul.air { @for tub in &view.together { li { b { (tub.name) } @if tub.drying { (parts::caution_mark()) } span { (tub.says) } } } }
                }
            }
            @if let Some(cold) = &view.cold { section { h2 { "Cold so far" } p { (cold.says) } } }
            @if !view.bring_out.is_empty() { section { h2 { "Bringing out" } p { (view.bring_out) } } }
            @if !view.stores.is_empty() {
                section {
                    h2 { "Where they lie" }
                    ul.air { @for store in &view.stores {
                        li { b { (store.place) } span.soft { (words::count(store.n, "cocoon", "cocoons")) } span { (store.says) } }
                    } }
                }
            }
            @if !alive.is_empty() {
                section {
                    h2 { "Cocoon by cocoon" }
                    @for row in &alive { (one(view, row)) }
                    @if view.unnumbered > 0 { p.soft { (view.unnumbered) " more without a number." } }
                    (parts::cautions(&view.cautions))
                }
            }
            @if !gone.is_empty() {
                section {
                    details { summary { "Out or gone: " (gone.len()) } @for row in &gone { (one(view, row)) } }
                }
            }
            @if !view.cocoons.is_empty() {
                details.numbers {
                    summary { "Numbers" span.away { " of every cocoon" } }
                    (crate::charts::table("Every cocoon", &table(view)))
                    p { a.pick href={ (url::cocoons(&view.line)) "/cocoons.csv" } { "Take these numbers as CSV" } }
                }
            }
            p.ways-on { a.pick href=(url::odds(&view.line)) { "The odds" } a.pick href="/pairings" { "Pairing tonight" } }
            (parts::rests_on(&view.rests_on, &view.receipt))
        },
    }
    .show()
}

fn one(view: &Cocoons, row: &CocoonRow) -> Markup {
    let today = view.now.date();
    let day = |on: Date| words::day_seen_from(today, on);
    let care = row.state == CocoonState::Drying;
    html! {
        dl.lots.cocoon aria-label={ "Cocoon " (row.cocoon) } {
            div.lot { dt { (row.cocoon) } dd { @if care { (parts::caution_mark()) " " } (row.state.word()) ", " (row.sex) } }
            @if row.says != row.state.word() && !care { div { dt { "seen" } dd { (row.says) } } }
            @if let Some((on, grams)) = row.first_weighed { div { dt { "weighed" } dd { (grams_2(grams)) " on " (day(on)) (later(row, today)) } } }
            @if let Some(on) = row.flagged_on { div { dt { "stands out" } dd { "since the weighing of " (day(on)) } } }
            @if !row.lies_in.0.is_empty() { div { dt { "lies in" } dd { (row.lies_in.0) @if !row.lies_in.1.is_empty() { ", " (row.lies_in.1) } (cold(view, row)) } } }
            @if let Some(on) = row.safe_from.filter(|on| *on > today) { div { dt { "handle" } dd { "from " (day(on)) } } }
            div { dt { "from" } dd {
                (row.lot) @if let Some(on) = row.spun_on { ", spun " (day(on)) }
                @if let Some(ratio) = row.shell_ratio { ", shell " (words::plain(100.0 * ratio, 1)) " %" }
            } }
        }
    }
}

/// The last weighing, where it is not the first.
fn later(row: &CocoonRow, today: Date) -> String {
    match (row.first_weighed, row.last_weighed) {
        (Some((first, _)), Some((on, grams))) if on != first => {
            format!(", {} on {}{}", grams_2(grams), words::day_seen_from(today, on), lost(row))
        }
        _ => String::new(),
    }
}

fn cold(view: &Cocoons, row: &CocoonRow) -> String {
    match row.cold_d.filter(|_| row.state.is_alive() && view.cold.is_some()) {
        Some(cold_d) if cold_d >= 0.5 => format!("; {} days of cold", words::plain(cold_d, 0)),
        _ => String::new(),
    }
}

fn lost(row: &CocoonRow) -> String {
    let percent = |share: f64| format!("{} %", words::plain(100.0 * share, 1));
    match (row.lost, row.fellows_lost) {
        (Some(lost), Some(fellows)) => format!(": {} lost, its fellows {}", percent(lost), percent(fellows)),
        (Some(lost), None) => format!(": {} lost", percent(lost)),
        _ => String::new(),
    }
}

/// Grams to the step of a jeweller's scale.
fn grams_2(grams: f64) -> String {
    if grams.is_finite() { format!("{grams:.2} g") } else { "not known".to_owned() }
}

fn loss_figure(view: &Cocoons) -> Figure {
    let compared: Vec<&CocoonRow> =
        view.cocoons.iter().filter(|it| it.state.is_alive() && it.fellows_lost.is_some()).collect();
    let points: Vec<(&str, f64, bool)> = compared
        .iter()
        .filter_map(|it| Some((it.cocoon.as_str(), it.lost?, it.state == CocoonState::Drying)))
        .collect();
    let mut fellows: Vec<f64> = compared.iter().filter_map(|it| it.fellows_lost).collect();
    fellows.sort_by(f64::total_cmp);
    let middle = fellows.get(fellows.len() / 2).copied().unwrap_or(0.0);
    let drying: Vec<String> =
        compared.iter().filter(|it| it.state == CocoonState::Drying).map(|it| it.cocoon.clone()).collect();
    let says = format!(
        "Half of {} have lost {} % or less since they were first weighed{}.",
        words::count(compared.len(), "cocoon", "cocoons"),
        words::plain(100.0 * middle, 1),
        match drying.as_slice() {
            [] => "; none stands apart".to_owned(),
            some => format!("; {} far more", words::listed(some, "and")),
        }
    );
    Figure {
        id: "loss".to_owned(),
        title: format!("Weight lost by each cocoon of {}", view.line),
        desc: says.clone(),
        says,
        key: "Each mark is a cocoon; the line is the middle. A ring and a number: drying.".to_owned(),
        narrow: weight_loss::draw(Room::Narrow, &points, middle),
        wide: weight_loss::draw(Room::Wide, &points, middle),
        table: Table {
            head: vec!["cocoon", "lost, %", "fellows lost, %"],
            rows: compared
                .iter()
                .map(|it| vec![it.cocoon.clone(), percent(it.lost), percent(it.fellows_lost)])
                .collect(),
        },
        csv: format!("{}/cocoons.csv", url::cocoons(&view.line)),
    }
}

fn percent(share: Option<f64>) -> String {
    share.map_or_else(String::new, |it| words::plain(100.0 * it, 2))
}

/// Every cocoon as a table.
#[must_use]
pub fn table(view: &Cocoons) -> Table {
    let date = |on: Option<Date>| on.map_or_else(String::new, |it| it.to_string());
    let number =
        |it: Option<f64>, decimals: usize| it.map_or_else(String::new, |it| words::plain(it, decimals));
    Table {
        head: vec![
            "cocoon",
            "lot",
            "sex",
            "state",
            "spun_on",
            "first_weighed_on",
            "first_g",
            "last_weighed_on",
            "last_g",
            "lost_percent",
            "fellows_lost_percent",
            "fellows",
            "flagged_on",
            "box",
            "place",
            "safe_from",
            "shell_percent",
            "cold_d",
        ],
        rows: view
            .cocoons
            .iter()
            .map(|it| {
                vec![
                    it.cocoon.clone(),
                    it.lot.clone(),
                    it.sex.clone(),
                    it.state.word().to_owned(),
                    date(it.spun_on),
                    date(it.first_weighed.map(|(on, _)| on)),
                    number(it.first_weighed.map(|(_, g)| g), 2),
                    date(it.last_weighed.map(|(on, _)| on)),
                    number(it.last_weighed.map(|(_, g)| g), 2),
                    percent(it.lost),
                    percent(it.fellows_lost),
                    it.fellows.to_string(),
                    date(it.flagged_on),
                    it.lies_in.0.clone(),
                    it.lies_in.1.clone(),
                    date(it.safe_from),
                    number(it.shell_ratio.map(|it| 100.0 * it), 1),
                    number(it.cold_d, 1),
                ]
            })
            .collect(),
    }
}

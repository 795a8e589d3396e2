//! `/trouble`: is something wrong?

use super::layout::{Here, Page};
use super::parts;
use crate::charts::{Figure, Room, losses};
use crate::csv::Table;
use crate::visit::Visit;
use crate::{url, words};
use keeper::view::trouble::{AirOfPlace, Bell, LossesOfLine, Trouble};
use maud::{Markup, html};

/// The answer, the bells, the losses, the air.
#[must_use]
pub fn page(visit: &Visit, view: &Trouble) -> Markup {
    Page {
        visit,
        here: Here::Trouble,
        title: "Trouble",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { "Is something wrong?" } p.say.large { (view.says) } }
            @for bell in &view.bells { (one_bell(bell)) }
            @for (line, says) in &view.winter {
                section.bell-card aria-label={ "Bell for the cocoons of " (line) } {
                    h2 { (crate::glyph::sign("trouble")) "Cocoons of " (line) }
                    p.say { (says) }
                    p { a.pick href=(url::cocoons(line)) { "What to do first" } }
                }
            }
            section {
                h2 { "Losses" }
                @for (index, line) in view.losses.iter().enumerate() {
                    div.later {
                        @if view.losses.len() > 1 { h3 { (line.line) } }
                        (losses_figure(index, line).show())
                    }
                }
            }
            @if !view.uncounted.is_empty() {
                section {
                    h2 { "Not counted for a while" }
                    p { "Forecasts grow vaguer with every morning that is not counted. That is no fault, only a wider forecast." }
                    ul.plain {
                        @for (name, days) in &view.uncounted {
                            li { a.box-name href=(url::round(name)) { (name) } span { (days) (if *days == 1 { " day" } else { " days" }) } }
                        }
                    }
                }
            }
            section {
                h2 { "Air" }
                @if view.air.is_empty() { p { "No reading was noted yet." } }
                ul.air { @for place in &view.air { li { (air(place)) } } }
            }
            (parts::rests_on(&view.rests_on, &view.receipt))
        },
    }
    .show()
}

fn one_bell(bell: &Bell) -> Markup {
    html! {
        section.bell-card aria-label={ "Bell for box " (bell.name) } {
            h2 { (crate::glyph::sign("trouble")) "Box " (bell.name) }
            p.say { b { (bell.counted) } ": " (bell.rare) "." }
            p { "First: " (bell.first) }
            (parts::cautions(&bell.cautions))
            p { a.pick href=(url::round(&bell.name)) { "Open " (bell.name) } }
        }
    }
}

fn losses_figure(index: usize, line: &LossesOfLine) -> Figure {
    let (low, high) = line.good_broods;
    Figure {
        id: format!("losses-{index}"),
        title: format!("Losses of {} against good broods", line.line),
        desc: line.says.clone(),
        says: line.says.clone(),
        key: "Filled, up to the broken line: lost. The bar below spans 8 of 10 good broods.".to_owned(),
        narrow: losses::draw(Room::Narrow, line.lost, line.of, (low, high)),
        wide: losses::draw(Room::Wide, line.lost, line.of, (low, high)),
        table: Table {
            head: vec!["stage and sign", "lost"],
            rows: line.by_sign.iter().map(|(sign, n)| vec![sign.clone(), n.to_string()]).collect(),
        },
        csv: "/trouble/losses.csv".to_owned(),
    }
}

/// All losses as one table.
#[must_use]
pub fn all_losses(view: &Trouble) -> Table {
    let mut rows = Vec::new();
    for line in &view.losses {
        for (sign, n) in &line.by_sign {
            rows.push(vec![
                line.line.clone(),
                sign.clone(),
                n.to_string(),
                line.of.to_string(),
                line.good_broods.0.to_string(),
                line.good_broods.1.to_string(),
            ]);
        }
    }
    Table { head: vec!["line", "stage_and_sign", "lost", "of", "good_broods_low", "good_broods_high"], rows }
}

fn air(place: &AirOfPlace) -> Markup {
    html! {
        b { (place.place) }
        span { (place.says) }
        @if let Some(vpd_kpa) = place.vpd_kpa.filter(|it| it.is_finite()) { span.soft { "drying power " (words::plain(vpd_kpa, 2)) " kPa" } }
        @if !place.word.is_empty() { span.air-word { (place.word) } }
        @if place.days_old > 0 { span.soft { "read " (place.days_old) (if place.days_old == 1 { " day ago" } else { " days ago" }) } }
    }
}

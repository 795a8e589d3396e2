//! `/leaf`: how much leaf?

use super::layout::{Here, Page};
use super::parts;
use crate::charts::{self, Figure, Room, leaf_days};
use crate::csv::Table;
use crate::visit::Visit;
use crate::{url, words};
use keeper::view::LeafRange;
use keeper::view::leaf::Leaf;
use maud::{Markup, html};

/// One number to cut, then the days, the boxes and what it rests on.
#[must_use]
pub fn page(visit: &Visit, view: &Leaf) -> Markup {
    Page {
        visit,
        here: Here::Leaf,
        title: "Leaf",
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { "How much leaf?" } p.say.large { (view.says) } (parts::cautions(&view.cautions)) }
            section { h2 { "To cut" } (spans(view)) p.soft { (view.keeps) } p.soft { (view.waste) } }
            section {
                h2 { "Day by day" }
                (days_figure(view).show())
            }
            @if !view.boxes.is_empty() { section { h2 { "Box by box, today" } (boxes(view)) } }
            @if view.lines.len() > 1 {
                section {
                    h2 { "By line, until the last has spun" }
                    (charts::table("Leaf by line", &Table {
                        head: vec!["line", "half of cases", "9 in 10 cases"],
                        rows: view.lines.iter().map(|(line, need)| vec![line.clone(), words::grams(need.q50), words::grams(need.q90)]).collect(),
                    }))
                }
            }
            section {
                h2 { "Own rate and printed figures" }
                p.say { @match &view.own_rate { Some(rate) => { (rate) } None => { "No leaf of this house was weighed yet." } } }
                ul.traditions {
                    @for printed in &view.traditions {
                        li { b { (printed.figure) } span { (printed.basis) ", " (printed.species) ". " span.soft { (printed.source) } } }
                    }
                }
                p.soft {
                    "Eaten, until the last has spun: " (words::grams(view.eaten_to_spinning.q50)) " in half of all cases, up to "
                    (words::grams(view.eaten_to_spinning.q90)) " in 9 of 10. Cut is more than eaten: stems, drying and what is left."
                }
            }
            (parts::warnings(&view.warnings))
            (parts::rests_on(&view.rests_on, &view.receipt))
        },
    }
    .show()
}

fn spans(view: &Leaf) -> Markup {
    let row = |span: &str, need: &LeafRange| {
        html! { tr { th scope="row" { (span) } td.n.big { (words::grams(need.q90)) } td.n { (words::grams(need.q50)) } } }
    };
    html! {
        table.spans {
            thead { tr { td {} th.n scope="col" { "enough in 9 of 10 cases" } th.n scope="col" { "would do in half" } } }
            tbody {
                (row("today", &view.today))
                (row("three days", &view.three_days))
                (row("the week", &view.week))
                (row("until the last has spun", &view.to_spinning))
            }
        }
    }
}

fn days_figure(view: &Leaf) -> Figure {
    let says = match &view.peak {
        Some((date, need)) => format!(
            "Most is needed on {}: {} is enough in 9 of 10 cases; {} would do in half.",
            words::weekday_day(*date),
            words::grams(need.q90),
            words::grams(need.q50)
        ),
        None => "No leaf is needed on the days to come.".to_owned(),
    };
    Figure {
        id: "days".to_owned(),
        title: "Leaf to cut, day by day".to_owned(),
        desc: format!("A column for each of {}. {says}", words::count(view.days.len(), "day", "days")),
        says,
        key:
            "Dark: needed in 9 of 10 cases. Line: half of all cases. Pale top: only 1 of 10 cases needs more."
                .to_owned(),
        narrow: leaf_days::draw(Room::Narrow, &view.days),
        wide: leaf_days::draw(Room::Wide, &view.days),
        table: days(view),
        csv: "/leaf/days.csv".to_owned(),
    }
}

/// The days as a table.
#[must_use]
pub fn days(view: &Leaf) -> Table {
    Table {
        head: vec!["day", "least_1_in_10_g", "half_g", "most_9_in_10_g"],
        rows: view
            .days
            .iter()
            .map(|(date, need)| {
                let mut row = vec![date.to_string()];
                row.extend(
                    [need.q10, need.q50, need.q90]
                        .map(|g| if g.is_finite() { words::plain(g, 1) } else { String::new() }),
                );
                row
            })
            .collect(),
    }
}

fn boxes(view: &Leaf) -> Markup {
    html! {
        ul.leaf-boxes {
            @for leaf_box in &view.boxes {
                li {
                    a href=(url::round(&leaf_box.name)) {
                        b.lid { (leaf_box.name) }
                        span { (leaf_box.holds) @if !leaf_box.plant.is_empty() { span.soft { " on " (leaf_box.plant) } } }
                        span.to-give { (words::grams(leaf_box.today.q50)) span.soft { "to " (words::grams(leaf_box.today.q90)) } }
                    }
                }
            }
        }
    }
}

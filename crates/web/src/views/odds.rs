//! `/odds/{line}`: will this generation close, and what would help?

use super::layout::{Here, Page};
use super::parts;
use crate::charts::{Figure, Room, history, moths, turns};
use crate::csv::Table;
use crate::visit::Visit;
use crate::{url, words};
use keeper::view::odds::{Lever, Odds};
use maud::{Markup, html};

/// Twenty moths, the reasons, the levers, the days before.
#[must_use]
pub fn page(visit: &Visit, view: &Odds) -> Markup {
    let title = format!("The odds of {}", view.line);
    Page {
        visit,
        here: Here::Odds,
        title: &title,
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head { h1 { (view.line) } p.question { "Will this generation close?" } }
            (moths_figure(view).show())
            @if let Some(when) = &view.when { p.say { (when) } }
            p.soft { (coming_out("Males", view.males)) " " (coming_out("Females", view.females)) }
            @if !view.reasons.is_empty() {
                section { h2 { "Why not more" } ol.reasons { @for reason in &view.reasons { li { (reason) } } } }
            }
            @if !view.levers.is_empty() {
                section.levers {
                    h2 { "What would help" }
                    ol { @for (index, lever) in view.levers.iter().enumerate() { li { (one_lever(view, index, lever)) } } }
                    p.key { "Of a hundred possible seasons. Filled: turns to the good. Crossed: turns to the bad. Point: no change." }
                    details.numbers {
                        summary { "Numbers" span.away { " of what would help" } }
                        (crate::charts::table("What would help", &levers(view)))
                        p { a.pick href={ (url::odds(&view.line)) "/levers.csv" } { "Take these numbers as CSV" } }
                    }
                }
            }
            @if !view.history.is_empty() {
                section { h2 { "How it moved" } (history_figure(view).show()) (because(view)) }
            }
            (parts::warnings(&view.warnings))
            (parts::rests_on(&view.rests_on, &view.receipt))
        },
    }
    .show()
}

fn coming_out(who: &str, (low, middle, high): (u32, u32, u32)) -> String {
    format!("{who} that come out: about {middle}, in 8 of 10 cases {low} to {high}.")
}

fn moths_figure(view: &Odds) -> Figure {
    Figure {
        id: "odds".to_owned(),
        title: format!("The odds of {} as twenty moths", view.line),
        desc: format!("{} of 20 moths are filled. {}", view.of_twenty, view.says),
        says: view.says.clone(),
        key:
            "Each moth is one of twenty possible seasons. Filled: a male and a female fly on the same night."
                .to_owned(),
        narrow: moths::draw(Room::Narrow, "odds-narrow", view.of_twenty),
        wide: moths::draw(Room::Wide, "odds-wide", view.of_twenty),
        table: chance(view),
        csv: format!("{}/chance.csv", url::odds(&view.line)),
    }
}

fn one_lever(view: &Odds, index: usize, lever: &Lever) -> Markup {
    let whole = |share: f64| if share.is_finite() { words::plain(share, 0) } else { "not known".to_owned() };
    let same = lever.of_twenty == view.of_twenty;
    html! {
        div.lever {
            h3 { (lever.what) }
            p.say {
                "Then " b { (lever.of_twenty) " of 20" } @if same { ", as now" } @else { " instead of " (view.of_twenty) }
                ". Of 100 possible seasons better in " (whole(lever.better_in_100)) ", worse in " (whole(lever.worse_in_100)) "."
            }
            p.soft {
                "The difference is " (signed(lever.better_in_100 - lever.worse_in_100)) " in 100, give or take " (words::plain(2.0 * lever.error_in_100, 1)) ". "
                "Nights with both sexes: " (words::plain(lever.nights_together.0, 1)) " now, " (words::plain(lever.nights_together.1, 1)) " then. "
                (lever.steady)
            }
            (turns::draw(&format!("lever-{index}"), &lever.what, lever.better_in_100, lever.worse_in_100))
            @if !lever.caution.is_empty() { p.caution { (parts::caution_mark()) span { span.away { "Caution: " } (lever.caution) } } }
        }
    }
}

/// A difference with its sign.
fn signed(number: f64) -> String {
    if number.is_finite() {
        format!("{}{}", if number > 0.0 { "+" } else { "" }, words::plain(number, 1))
    } else {
        "not known".to_owned()
    }
}

fn history_figure(view: &Odds) -> Figure {
    let points: Vec<_> = view.history.iter().map(|it| (it.on, it.chance)).collect();
    let said: Vec<String> =
        view.history.iter().map(|it| format!("{} on {}", of_twenty(it.chance), words::day(it.on))).collect();
    Figure {
        id: "history".to_owned(),
        title: format!("The odds of {} on earlier mornings", view.line),
        desc: words::listed(&said, "and"),
        says: match (said.first(), said.last()) {
            (Some(first), Some(last)) if said.len() > 1 => format!("From {first} to {last}."),
            (Some(only), _) => format!("{only}."),
            _ => String::new(),
        },
        key: String::new(),
        narrow: history::draw(Room::Narrow, &points, view.now),
        wide: history::draw(Room::Wide, &points, view.now),
        table: past(view),
        csv: format!("{}/history.csv", url::odds(&view.line)),
    }
}

fn because(view: &Odds) -> Markup {
    html! {
        ul.because {
            @for then in view.history.iter().rev() {
                li { time datetime=(then.on) { (words::day(then.on)) } b { (of_twenty(then.chance)) } span { (then.because) } }
            }
        }
    }
}

fn of_twenty(chance: f64) -> String {
    terms::Probability::new(chance).map_or_else(|| "not known".to_owned(), |it| it.to_string())
}

fn share(number: f64) -> String {
    if number.is_finite() { words::plain(number, 4) } else { String::new() }
}

/// The chance as a table.
#[must_use]
pub fn chance(view: &Odds) -> Table {
    let row =
        |what: &str, low: String, middle: String, high: String| vec![what.to_owned(), low, middle, high];
    let many = |what: &str, n: (u32, u32, u32)| row(what, n.0.to_string(), n.1.to_string(), n.2.to_string());
    Table {
        head: vec!["what", "low", "middle", "high"],
        rows: vec![
            row(
                "chance",
                share(view.chance - 1.96 * view.standard_error),
                share(view.chance),
                share(view.chance + 1.96 * view.standard_error),
            ),
            many("males", view.males),
            many("females", view.females),
        ],
    }
}

/// The levers as a table.
#[must_use]
pub fn levers(view: &Odds) -> Table {
    Table {
        head: vec![
            "what",
            "chance",
            "better_in_100",
            "worse_in_100",
            "caution",
            "error_in_100",
            "nights_before",
            "nights_after",
            "nights_error",
            "steady",
        ],
        rows: view
            .levers
            .iter()
            .map(|it| {
                vec![
                    it.what.clone(),
                    share(it.chance),
                    share(it.better_in_100),
                    share(it.worse_in_100),
                    it.caution.clone(),
                    share(it.error_in_100),
                    share(it.nights_together.0),
                    share(it.nights_together.1),
                    share(it.nights_error),
                    it.steady.clone(),
                ]
            })
            .collect(),
    }
}

/// The earlier mornings as a table.
#[must_use]
pub fn past(view: &Odds) -> Table {
    Table {
        head: vec!["morning", "chance", "because"],
        rows: view
            .history
            .iter()
            .map(|it| vec![it.on.to_string(), share(it.chance), it.because.clone()])
            .collect(),
    }
}

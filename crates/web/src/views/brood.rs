//! `/brood/{line}`: when is the next moult, cocoon, moth?

use super::layout::{Here, Page};
use super::parts;
use crate::charts::{self, Figure, Room, dots, strip};
use crate::csv::Table;
use crate::visit::Visit;
use crate::{url, words};
use jiff::civil::{Date, DateTime};
use keeper::view::brood::{Brood, RestForecast, StageForecast};
use maud::{Markup, html};

/// The season as a thread, then one figure for each stage to come.
#[must_use]
pub fn page(visit: &Visit, view: &Brood) -> Markup {
    let title = format!("The season of {}", view.line);
    Page {
        visit,
        here: Here::Brood,
        title: &title,
        now: Some(view.now),
        notice: view.notice.as_deref(),
        body: html! {
            header.page-head {
                h1 { (view.line) }
                p.soft { (view.species.0) @if !view.species.1.is_empty() { ", " i { (view.species.1) } } }
                p.say { (alive(view)) }
            }
            @if let Some(first) = view.stages.first() {
                section { h2 { "Next: " (first.verb) } (stage_figures(view, 0, first)) (reach(first)) }
            } @else { p.say { "No stage is to come in this brood." } }
            @for (name, moult) in view.in_moult.iter().filter(|(_, it)| it.about_n > 0) { div.by-box { a.box-name href=(url::round(name)) { (name) } (parts::in_moult(view.now, moult)) } }
            @if let Some(moved) = &view.moved { p.moved { (moved) } }
            section { h2 { "The season" } (strip_figure(view).show()) }
            @if view.stages.len() > 1 {
                section {
                    h2 { "After that" }
                    @for (index, stage) in view.stages.iter().enumerate().skip(1) {
                        div.later { h3 { (words::upper_first(&stage.verb)) } (stage_figures(view, index, stage)) (reach(stage)) }
                    }
                }
            }
            @if let Some(rest) = &view.rest { (resting(rest)) }
            @if !view.by_box.is_empty() {
                section {
                    h2 { "Box by box" }
                    ul.by-box-list { @for (name, stage) in &view.by_box { li { a.box-name href=(url::round(name)) { (name) } span { (stage.says) } } } }
                }
            }
            (parts::warnings(&view.warnings))
            (parts::rests_on(&view.rests_on, &view.receipt))
        },
    }
    .show()
}

fn alive(view: &Brood) -> String {
    let n: u32 = view.alive.iter().map(|it| it.n).sum();
    format!(
        "{n} alive of {} since {}, in {}: {}.",
        view.received,
        words::day_seen_from(view.now.date(), view.since),
        words::count(view.boxes, "box", "boxes"),
        words::holds(&view.alive)
    )
}

/// How many get there, in natural frequencies.
fn reach(stage: &StageForecast) -> Markup {
    let (low, middle, high) = stage.reach_n;
    html! { p.soft { (stage.reach_of_twenty) " of 20 alive now get there: about " (middle) ", in 8 of 10 cases " (low) " to " (high) "." } }
}

/// One figure for a stage; for the moths of two peaks one each, because no date in between is anybody's.
fn stage_figures(view: &Brood, index: usize, stage: &StageForecast) -> Markup {
    let peaks = view.rest.as_ref().map_or(&[][..], |it| &it.peaks);
    html! {
        @if stage.name == "moth" && peaks.len() > 1 {
            @for (place, peak) in peaks.iter().enumerate() {
                @let stage = StageForecast { says: peak.says.clone(), ..peak.forecast.clone() };
                @let figure = stage_figure(view, index, &stage);
                p.soft { "Moths " (peak.name) }
                (Figure { id: format!("{}-{place}", figure.id), title: format!("{}, {}", figure.title, peak.name), ..figure }.show())
            }
        } @else { (stage_figure(view, index, stage).show()) }
    }
}

/// How many rest until spring: a share with its range, and what it rests on.
fn resting(rest: &RestForecast) -> Markup {
    let (low, about, high) = rest.of_twenty;
    let (fewest, middle, most) = rest.n;
    let row = |who: &str, n: [u32; 3]| {
        let mut row = vec![who.to_owned()];
        row.extend(n.map(|it| it.to_string()));
        row
    };
    let table = Table {
        head: vec!["pupae that rest", "1 of 20 below", "about", "1 of 20 above"],
        rows: vec![row("of 20", [low, about, high]), row("of this brood", [fewest, middle, most])],
    };
    html! {
        section.rest {
            h2 { "Resting until spring" }
            p.say { (rest.says) }
            p.soft { (rest.why) }
            details {
                summary { "The numbers" }
                (charts::table("How many pupae rest", &table))
                (parts::rests_list(&rest.rests_on))
            }
        }
    }
}

fn strip_figure(view: &Brood) -> Figure {
    Figure {
        id: "strip".to_owned(),
        title: format!("The season of {} as a thread", view.line),
        desc: strip::told(&view.strip, view.now),
        says: strip::says(&view.strip, view.now),
        key: "Days of the middle animal. Filled: done. Ringed, with a number: now. Bare: to come.".to_owned(),
        narrow: strip::draw(Room::Narrow, &view.strip, view.now),
        wide: strip::draw(Room::Wide, &view.strip, view.now),
        table: Table {
            head: vec!["stage", "state", "animals now", "from", "to"],
            rows: view
                .strip
                .iter()
                .map(|it| {
                    let state = match it.state {
                        keeper::view::brood::StripState::Done => "done",
                        keeper::view::brood::StripState::Now => "now",
                        keeper::view::brood::StripState::ToCome => "to come",
                    };
                    let when = |at: Option<DateTime>| {
                        at.map(|at| words::day_seen_from(view.now.date(), at.date())).unwrap_or_default()
                    };
                    vec![it.name.clone(), state.to_owned(), it.n.to_string(), when(it.from), when(it.to)]
                })
                .collect(),
        },
        csv: calendar_csv(&view.line),
    }
}

fn stage_figure(view: &Brood, index: usize, stage: &StageForecast) -> Figure {
    let today = view.now.date();
    Figure {
        id: format!("stage-{index}"),
        title: format!("When the middle animal of {} is {}", view.line, stage.verb),
        desc: format!(
            "Each dot is one of the equally likely days: from {} to {}. {}",
            words::day_seen_from(today, stage.middle.q05.date()),
            words::day_seen_from(today, stage.middle.q95.date()),
            stage.says
        ),
        says: stage.says.clone(),
        key: "Each egg is one equally likely day for any one animal.".to_owned(),
        narrow: dots::draw(Room::Narrow, &stage.dots_20, view.now, 8),
        wide: dots::draw(Room::Wide, &stage.dots_50, view.now, 10),
        table: stage_table(stage, today),
        csv: calendar_csv(&view.line),
    }
}

fn stage_table(stage: &StageForecast, today: Date) -> Table {
    let row = |who: &str, range: &keeper::view::DateRange| {
        let when = |at: DateTime| words::day_seen_from(today, at.date());
        vec![
            who.to_owned(),
            when(range.q05),
            when(range.q10),
            when(range.q50),
            when(range.q90),
            when(range.q95),
        ]
    };
    Table {
        head: vec!["animal", "1 of 20 before", "1 of 10 before", "half by", "9 of 10 by", "1 of 20 after"],
        rows: vec![
            row("the first", &stage.first),
            row("the middle one", &stage.middle),
            row("the last", &stage.last),
            row("any one", &stage.entering),
        ],
    }
}

/// Where the numbers of the calendar are.
fn calendar_csv(line: &str) -> String {
    format!("{}/calendar.csv", url::brood(line))
}

/// The whole calendar as a table: one row for each stage and animal.
#[must_use]
pub fn calendar(view: &Brood) -> Table {
    let mut rows = Vec::new();
    let peaks = view
        .rest
        .iter()
        .flat_map(|it| &it.peaks)
        .map(|it| StageForecast { name: format!("{} {}", it.forecast.name, it.name), ..it.forecast.clone() });
    let peaks: Vec<StageForecast> = peaks.collect();
    for stage in view.stages.iter().chain(&peaks) {
        for (who, range) in [
            ("first", &stage.first),
            ("middle", &stage.middle),
            ("last", &stage.last),
            ("entering", &stage.entering),
        ] {
            let mut row = vec![view.line.clone(), stage.name.clone(), who.to_owned()];
            row.extend(
                [range.q05, range.q10, range.q25, range.q50, range.q75, range.q90, range.q95]
                    .map(|at| at.to_string()),
            );
            rows.push(row);
        }
    }
    Table { head: vec!["line", "stage", "animal", "q05", "q10", "q25", "q50", "q75", "q90", "q95"], rows }
}

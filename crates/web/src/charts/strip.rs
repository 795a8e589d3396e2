//! The season as a thread with a bead for each stage: across a wide page, down a phone.

use super::{Room, px};
use crate::{glyph, words};
use jiff::civil::{Date, DateTime};
use keeper::view::brood::{StripStage, StripState};
use maud::{Markup, html};

/// The thread: height and content.
#[must_use]
pub fn draw(room: Room, strip: &[StripStage], now: DateTime) -> (f64, Markup) {
    match room {
        Room::Narrow => down(strip, now),
        Room::Wide => across(strip, now),
    }
}

/// What the thread shows, for those who do not see it.
#[must_use]
pub fn told(strip: &[StripStage], now: DateTime) -> String {
    let part = |state: StripState| -> Vec<String> {
        strip
            .iter()
            .filter(|it| it.state == state)
            .map(|it| match (state, dates(it, now.date())) {
                (StripState::Now, _) => format!("{} in {}", it.n, it.name),
                (_, when) if when.is_empty() => it.name.clone(),
                (_, when) => format!("{} {when}", it.name),
            })
            .collect()
    };
    let mut told = Vec::new();
    for (state, word) in
        [(StripState::Done, "Done"), (StripState::Now, "Now"), (StripState::ToCome, "To come")]
    {
        let stages = part(state);
        if !stages.is_empty() {
            told.push(format!("{word}: {}.", stages.join(", ")));
        }
    }
    told.join(" ")
}

/// Where the brood stands, in one sentence: `Now 10 in L3 and 8 in L4; next L5, 11 to 24 June.`
#[must_use]
pub fn says(strip: &[StripStage], now: DateTime) -> String {
    let here: Vec<String> = strip
        .iter()
        .filter(|it| it.state == StripState::Now)
        .map(|it| format!("{} in {}", it.n, it.name))
        .collect();
    let next = strip.iter().find(|it| it.state == StripState::ToCome);
    match (here.is_empty(), next) {
        (true, None) => "This season is done.".to_owned(),
        (true, Some(next)) => {
            format!("Nobody is on the thread now; next {}, {}.", next.name, dates(next, now.date()))
        }
        (false, None) => format!("Now {}; nothing more is to come.", words::listed(&here, "and")),
        (false, Some(next)) => {
            format!("Now {}; next {}, {}.", words::listed(&here, "and"), next.name, dates(next, now.date()))
        }
    }
}

/// The middle animal's time in a stage, in words.
#[must_use]
pub fn dates(stage: &StripStage, today: Date) -> String {
    let say = |at: DateTime| words::day_seen_from(today, at.date());
    match (stage.from, stage.to) {
        (Some(from), Some(to)) if from.date() == to.date() => say(from),
        (Some(from), Some(to)) if from.month() == to.month() && from.year() == to.year() => {
            format!("{} to {}", from.day(), say(to))
        }
        (Some(from), Some(to)) => format!("{} to {}", say(from), say(to)),
        (Some(from), None) => format!("from {}", say(from)),
        (None, Some(to)) => format!("to {}", say(to)),
        (None, None) => String::new(),
    }
}

fn class(state: StripState) -> &'static str {
    match state {
        StripState::Done => "done",
        StripState::Now => "in",
        StripState::ToCome => "come",
    }
}

/// How far the present moment has gone through this stage, 0 to 1; `None` if it is in another.
fn through(stage: &StripStage, now: DateTime) -> Option<f64> {
    let (from, to) = (stage.from?, stage.to?);
    let whole_h = to.duration_since(from).as_secs_f64();
    let gone_h = now.duration_since(from).as_secs_f64();
    (whole_h > 0.0 && (0.0..whole_h).contains(&gone_h)).then(|| gone_h / whole_h)
}

fn across(strip: &[StripStage], now: DateTime) -> (f64, Markup) {
    // Long stages get more thread, but a winter must not push the summer off the page.
    let weight = |stage: &StripStage| match (stage.from, stage.to) {
        (Some(from), Some(to)) => (to.duration_since(from).as_secs_f64() / 86_400.0).clamp(1.0, 100.0).sqrt(),
        _ => 2.5,
    };
    let room = 672.0;
    let least = 62.0_f64.min(room / strip.len().max(1) as f64);
    let spare = room - least * strip.len() as f64;
    let total: f64 = strip.iter().map(weight).sum::<f64>().max(1.0);
    let mut left = 4.0;
    let placed: Vec<(f64, f64, &StripStage)> = strip
        .iter()
        .map(|stage| {
            let wide = least + spare * weight(stage) / total;
            let at = left;
            left += wide;
            (at, wide, stage)
        })
        .collect();
    let mark = placed
        .iter()
        .find_map(|(at, wide, stage)| through(stage, now).map(|share| at + 3.0 + share * (wide - 6.0)));
    let y = 62.0;
    let content = html! {
        path.thread d={ "M0," (y) "C60," (y - 5.0) " 120," (y + 5.0) " 180," (y) "S300," (y - 5.0) " 360," (y) "S520," (y + 5.0) " 580," (y) "S660," (y - 3.0) " 680," (y) } {}
        @for (at, wide, stage) in &placed {
            @let middle = at + wide / 2.0;
            @let (drawn_width, strokes) = glyph::strokes(glyph::stage_of(&stage.name));
            g class={ "stage " (class(stage.state)) } {
                g.glyph transform={ "translate(" (px(middle - drawn_width * 0.55)) ",22) scale(1.1)" } { (strokes) }
                rect.bead x=(px(at + 3.0)) y=(px(y - 9.0)) width=(px(wide - 6.0)) height="18" rx="9" {}
                @if stage.state == StripState::Now { text.in-bead x=(px(middle)) y=(px(y + 5.0)) { (stage.n) } }
                text.lab.name x=(px(middle)) y=(px(y + 29.0)) { (stage.name) }
                @if let Some(from) = stage.from {
                    text.lab x=(px(middle)) y=(px(y + 47.0)) { (words::day(from.date())) }
                    @if from.year() != now.year() { text.lab x=(px(middle)) y=(px(y + 63.0)) { (from.year()) } }
                }
            }
        }
        @if let Some(x) = mark {
            path.now-line d={ "M" (px(x)) ",16V" (px(y + 13.0)) } {}
            text.lab.now x=(px(x.clamp(40.0, 640.0))) y="11" { "now, " (words::day(now.date())) }
        }
    };
    (132.0, content)
}

fn down(strip: &[StripStage], now: DateTime) -> (f64, Markup) {
    let row = 42.0;
    let x = 20.0;
    let mut top = 4.0;
    let placed: Vec<(f64, &StripStage)> = strip
        .iter()
        .map(|stage| {
            let at = top;
            top += row;
            (at, stage)
        })
        .collect();
    let mark = placed.iter().find_map(|(at, stage)| through(stage, now).map(|share| at + share * row));
    let content = html! {
        path.thread d={ "M20,0C16," (px(top * 0.16)) " 24," (px(top * 0.33)) " 20," (px(top * 0.5)) "S16," (px(top * 0.83)) " 20," (px(top + 4.0)) } {}
        @for (at, stage) in &placed {
            @let y = at + row / 2.0;
            g class={ "stage " (class(stage.state)) } {
                @if stage.state == StripState::Now { rect.now-band x="0" y=(px(at + 1.0)) width="328" height=(px(row - 2.0)) rx="8" {} }
                rect.bead x=(px(x - 9.0)) y=(px(y - 15.0)) width="18" height="30" rx="9" {}
                text.lab.name.start x="44" y=(px(y + 5.0)) { (stage.name) @if stage.n > 0 { tspan.many dx="8" { (stage.n) } } }
                text.lab.end x="322" y=(px(y + 5.0)) { (dates(stage, now.date())) }
            }
        }
        @if let Some(y) = mark { path.now-line.on-bead d={ "M6," (px(y)) "H34" } {} }
    };
    (top + 4.0, content)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn stage(name: &str, state: StripState, n: u32) -> StripStage {
        StripStage {
            name: name.to_owned(),
            state,
            n,
            from: Some(date(2025, 5, 29).at(8, 0, 0, 0)),
            to: Some(date(2025, 6, 9).at(8, 0, 0, 0)),
        }
    }

    #[test]
    fn the_words_name_all_three() {
        let strip = [
            stage("eggs", StripState::Done, 0),
            stage("L4", StripState::Now, 12),
            stage("L5", StripState::ToCome, 0),
        ];
        assert_eq!(
            told(&strip, date(2025, 6, 1).at(7, 0, 0, 0)),
            "Done: eggs 29 May to 9 June. Now: 12 in L4. To come: L5 29 May to 9 June."
        );
    }

    #[test]
    fn one_bead_for_each_stage_and_one_mark_of_today() {
        let strip = [stage("L4", StripState::Now, 12), stage("L5", StripState::ToCome, 0)];
        for room in [Room::Narrow, Room::Wide] {
            let drawn = draw(room, &strip, date(2025, 6, 1).at(7, 0, 0, 0)).1.into_string();
            assert_eq!(drawn.matches("class=\"bead\"").count(), 2);
            assert_eq!(drawn.matches("now-line").count(), 1);
        }
    }

    #[test]
    fn a_stage_without_dates_is_still_drawn() {
        let bare = StripStage { from: None, to: None, ..stage("L5", StripState::ToCome, 0) };
        assert_eq!(dates(&bare, date(2025, 6, 1)), "");
        assert!(draw(Room::Wide, &[bare], date(2025, 6, 1).at(7, 0, 0, 0)).1.into_string().contains("L5"));
    }
}

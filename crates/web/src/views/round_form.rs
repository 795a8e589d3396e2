//! The form of one box: what moved on, who died, who is short, what is left.

use super::round::Round;
use super::round_chips::{self as chips, Choice, Numbers};
use crate::round_fields::{self as fields, Move};
use crate::typed::Typed;
use crate::{url, words};
use keeper::view::round::BoxRound;
use maud::{Markup, html};
use terms::Stage;

/// The form, or the way to put an empty box away.
#[must_use]
pub fn form(round: &Round<'_>) -> Markup {
    let view = round.view;
    html! {
        form.round method="post" action=(url::round(&view.name)) data-keep=(url::round(&view.name)) data-outbox=(view.name) data-opened=[opened_ms(round.id)] {
            input type="hidden" name="id" value=(round.typed.get("id").map_or_else(|| round.id.to_string(), str::to_owned));
            input type="hidden" name="seen_entries" value=(round.typed.get("seen_entries").map_or_else(|| view.seen_entries.to_string(), str::to_owned));
            input type="hidden" name="own" value=(round.typed.get("own").unwrap_or(""));
            @if round.whole { input type="hidden" name="from" value="all"; }
            @if view.empty || fields::all_n(view) == 0 { (empty(round)) } @else {
                (moved(view, round.typed))
                (gone(view, round.typed, round.whole))
                (left(round))
                (given(view, round.typed))
                div.rarer { (more(view, round.typed, round.whole)) @if !round.whole { (earlier(round.typed)) } }
                button.stay name="go" value="stay" { "Note it, stay here" }
            }
            div.act-bar {
                button.go name="go" value="next" { (match &view.next { Some(_) => "Note it, next box", None => "Note it, last box" }) }
                @if !view.empty && fields::all_n(view) > 0 { button.fed name="go" value="fed" { "Fed only, not counted" } }
            }
        }
    }
}

/// When a page was made, by the clock of the book: its id says so.
#[must_use]
pub fn opened_ms(id: uuid::Uuid) -> Option<u64> {
    let (seconds, nanos) = id.get_timestamp()?.to_unix();
    Some(seconds * 1_000 + u64::from(nanos) / 1_000_000)
}

fn empty(round: &Round<'_>) -> Markup {
    html! {
        p.say { "Empty. Wash it, let it dry, and put it away." }
        div.row { (chips::tick(round.typed, "close", "yes", "Washed and put away", "")) }
        (found(round.view, round.typed, round.whole))
        (remark(round.typed))
    }
}

/// Moulted, hatched, spun, came out: how many, and into which box.
fn moved(view: &BoxRound, typed: &Typed) -> Markup {
    let moves = fields::moves(view);
    let Some(first) = moves.first() else { return html! {} };
    let max = moves.iter().map(|it| fields::expected_n(view, it.from)).max().unwrap_or(0);
    let legend = if moves.len() == 1 { words::upper_first(&first.words()) } else { together(&moves) };
    html! {
        div.deed {
            (Numbers { name: "moved_n", legend: html! { (legend) }, max, default: None, nothing: "none", bare: false }.show(typed))
            div.then {
                @if moves.len() == 1 { input type="hidden" name="moved_what" value=(first.value()); } @else {
                    (chips::words(typed, "moved_what", "What they did", &first.value(), &moves.iter().map(|it| Choice::new(it.value(), it.words())).collect::<Vec<_>>()))
                }
                (chips::words(typed, "moved_into", "Put into", "stay", &takers(view)))
            }
        }
    }
}

fn together(moves: &[Move]) -> String {
    let mut verbs: Vec<String> = Vec::new();
    for it in moves {
        if !verbs.iter().any(|verb| verb == it.verb()) {
            verbs.push(it.verb().to_owned());
        }
    }
    words::upper_first(&words::listed(&verbs, "or"))
}

fn takers(view: &BoxRound) -> Vec<Choice> {
    let mut choices =
        vec![Choice { value: "stay".to_owned(), words: "they stay here".to_owned(), more: String::new() }];
    for taker in &view.takers {
        choices.push(Choice {
            value: format!("box:{}", taker.name),
            words: taker.name.clone(),
            more: taker.holds.clone(),
        });
    }
    choices.push(Choice {
        value: format!("fresh:{}", view.fresh_name),
        words: view.fresh_name.clone(),
        more: "fresh box".to_owned(),
    });
    choices
}

/// Dead animals with their sign; eggs that will not hatch.
fn gone(view: &BoxRound, typed: &Typed, whole: bool) -> Markup {
    let stages: Vec<Stage> = fields::stages(view).into_iter().filter(|it| *it != Stage::Egg).collect();
    let max = stages.iter().map(|it| fields::expected_n(view, *it)).max().unwrap_or(0);
    let eggs = fields::expected_n(view, Stage::Egg);
    html! {
        @if eggs > 0 {
            (Numbers { name: "failed_n", legend: html! { "Eggs that will not hatch" }, max: eggs, default: None, nothing: "none", bare: false }.show(typed))
        }
        @if max > 0 {
            div.deed {
                (Numbers { name: "dead_n", legend: html! { "Dead" }, max, default: None, nothing: "none", bare: false }.show(typed))
                div.then {
                    (stage_chips(typed, "dead_stage", "Which stage", &stages))
                    (chips::words(typed, "sign", "What you saw", &sign_default(view), &signs(view)))
                    @if !whole { label.field { span { "A word about it, if you like" } input type="text" name="dead_remark" maxlength="200" autocomplete="off" value=(typed.get("dead_remark").unwrap_or("")); } }
                }
            }
        }
    }
}

fn signs(view: &BoxRound) -> Vec<Choice> {
    let mut signs: Vec<Choice> = view.signs.iter().map(|it| Choice::new(it.clone(), it.clone())).collect();
    if sign_default(view).is_empty() {
        signs.insert(0, Choice::new("", "no sign seen"));
    }
    signs
}

/// The sign that claims nothing, if the book has a word for it.
fn sign_default(view: &BoxRound) -> String {
    view.signs
        .iter()
        .find(|it| {
            ["no sign", "not seen", "not known", "unknown", "cause not"].iter().any(|word| it.contains(word))
        })
        .cloned()
        .unwrap_or_default()
}

/// Chips for the stage, or a hidden field when only one stage is in the box.
fn stage_chips(typed: &Typed, name: &str, legend: &str, stages: &[Stage]) -> Markup {
    html! {
        @match stages {
            [] => {}
            [one] => { input type="hidden" name=(name) value=(one); }
            [first, ..] => {
                (chips::words(typed, name, legend, &first.to_string(), &stages.iter().map(|it| Choice::new(it.to_string(), plural(*it))).collect::<Vec<_>>()))
            }
        }
    }
}

fn plural(stage: Stage) -> String {
    words::stage_after(stage, 2)
}

/// What is left in the box after all this.
fn left(round: &Round<'_>) -> Markup {
    let (view, typed) = (round.view, round.typed);
    let default = if round.again { "other" } else { "expected" };
    html! {
        div.deed.left-over id="left" {
            (chips::words(typed, "left", "Left in the box", default, &[
                Choice { value: "expected".to_owned(), words: "all".to_owned(), more: "as the book expects".to_owned() },
                Choice { value: "other".to_owned(), words: "other".to_owned(), more: "numbers".to_owned() },
                Choice { value: "none".to_owned(), words: "not".to_owned(), more: "counted now".to_owned() },
            ]))
            p.left-line data-all=(fields::all_n(view)) hidden {}
            div.then {
                @for stage in fields::stages_seen(view) {
                    @let book = fields::expected_n(view, stage);
                    (Numbers {
                        name: &fields::seen_field(stage),
                        legend: html! { (words::upper_first(&plural(stage))) " you see " span.soft { "the book has " (book) } },
                        max: if book == 0 { fields::all_n(view) } else { book + 1 },
                        default: Some(book),
                        nothing: "0",
                        bare: round.whole,
                    }.show(typed))
                }
            }
        }
    }
}

/// Leaf and paper.
fn given(view: &BoxRound, typed: &Typed) -> Markup {
    let suggested = view
        .leaf_fresh_g
        .as_ref()
        .map(|it| it.q50)
        .filter(|it| it.is_finite() && *it > 0.0)
        .map(words::grams_bare);
    html! {
        @if fields::stages(view).iter().any(|it| it.is_larva()) {
            fieldset.chips.words {
                legend { "Given" }
                div.row {
                    @if let Some(grams) = &suggested { (chips::tick(typed, "leaf", grams, &format!("leaf, {grams} g"), "")) }
                    (chips::tick(typed, "paper", "yes", "fresh paper", ""))
                }
            }
        }
    }
}

/// What is needed less often, folded away until asked for; open if something was typed in it.
fn more(view: &BoxRound, typed: &Typed, whole: bool) -> Markup {
    let stages = fields::stages(view);
    let any = |names: &[&str]| names.iter().any(|it| !typed.word(it).is_empty());
    let moults = stages.iter().any(|it| !typed.word(&fields::moult_field(*it)).is_empty());
    html! {
        details open[any(&["short_n", "short_n_or", "found_n", "found_n_or"])] {
            summary { "Short, found" }
            div.deed {
                (Numbers { name: "short_n", legend: html! { "Short, not found" }, max: fields::all_n(view), default: None, nothing: "none", bare: whole }.show(typed))
                div.then { (stage_chips(typed, "short_stage", "Which stage", &stages)) }
            }
            (found(view, typed, whole))
        }
        @if stages.iter().any(|it| it.is_larva()) {
            // The page of the whole round stays small; this stands on the page of the box.
            @if !whole { details open[moults] {
                summary { "In moult, as you see it" }
                @for stage in stages.iter().filter(|it| it.is_larva()) {
                    (Numbers { name: &fields::moult_field(*stage), legend: html! { (stage) " that sit still" }, max: fields::expected_n(view, *stage), default: None, nothing: "did not look", bare: false }.show(typed))
                }
            } }
            details open[any(&["leaf_or", "leaf_left"])] {
                summary { "Leaf in other grams" }
                div.pair {
                    (grams_field(typed, "leaf_or", "Fresh leaf given"))
                    (grams_field(typed, "leaf_left", "Old leaf taken out"))
                }
            }
        }
        details open[any(&["remark"])] { summary { "A remark" } (remark(typed)) }
    }
}

/// The notebook of the last weeks: when it happened, if not now.
fn earlier(typed: &Typed) -> Markup {
    let field = |name: &str| typed.get(name).unwrap_or("").to_owned();
    html! {
        details open[!typed.word("day").is_empty() || !typed.word("hour").is_empty()] {
            summary { "It was earlier" }
            div.pair {
                label.field { span { "Day" } input type="date" name="day" value=(field("day")); }
                label.field { span { "Time, if known" } input type="time" name="hour" value=(field("hour")); }
            }
        }
    }
}

fn found(view: &BoxRound, typed: &Typed, whole: bool) -> Markup {
    let mut stages = fields::stages(view);
    if stages.is_empty() {
        stages = (1..=terms::stage::INSTARS_MAX).map(Stage::Larva).collect();
    }
    html! {
        @if view.missing > 0 {
            div.deed {
                (Numbers {
                    name: "found_n",
                    legend: html! { "Found again " span.soft { (view.missing) " of " (view.line) (if view.missing == 1 { " is" } else { " are" }) " missing" } },
                    max: view.missing,
                    default: None,
                    nothing: "none",
                    bare: whole,
                }.show(typed))
                div.then { (stage_chips(typed, "found_stage", "Which stage", &stages)) }
            }
        }
    }
}

fn grams_field(typed: &Typed, name: &str, words: &str) -> Markup {
    html! { label.field { span { (words) ", g" } input type="text" inputmode="decimal" autocomplete="off" name=(name) value=(typed.get(name).unwrap_or("")); } }
}

fn remark(typed: &Typed) -> Markup {
    html! { label.field { span { "A remark, if you like" } input type="text" name="remark" maxlength="500" autocomplete="off" value=(typed.get("remark").unwrap_or("")); } }
}

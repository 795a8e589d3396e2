//! `note`: what happened at one box, in one line.

mod deeds;
mod words;

use super::print::{json_out, out};
use crate::Global;
use crate::exit::{BadWords, Exit};
use anyhow::Result;
use keeper::rearing::deed::SetApart;
use keeper::rearing::{Deed, Way};
use keeper::view::round::{Dead, RoundNote, Saved};
use keeper::{Keeper, Opening};
use terms::Stage;
use words::{Lost, Onward, What};

pub(crate) use words::Words;

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let folder = global.folder()?;
    if let Some(zone) = &words.new
        && !folder.join(store::BOOK_FILE).exists()
    {
        keeper::make_empty_book(&folder, zone)?;
    }
    let opening = Opening { happened_at: words.at, ..global.opening(false) };
    let keeper = Keeper::open(&folder, &opening)?;
    let saved = note(&keeper, &words.what)?;
    if global.json {
        let ids: Vec<String> = saved.ids.iter().map(ToString::to_string).collect();
        json_out(&serde_json::json!({ "saved": saved.says, "ids": ids, "misfit": saved.misfit }))?;
        return Ok(Exit::Ok);
    }
    for (says, id) in saved.says.iter().zip(&saved.ids) {
        out(&format!("saved: {says}  ({id})"))?;
    }
    if saved.misfit {
        out("the count does not fit the book: the page of the box says what would explain it")?;
    }
    Ok(Exit::Ok)
}

fn note(keeper: &Keeper, what: &What) -> Result<Saved> {
    let round = |name: &str, note: RoundNote| -> Result<Saved> { Ok(keeper.note_round(name, &note)?) };
    match what {
        What::Undo { id } => {
            let id = id
                .parse()
                .map_err(|_| BadWords(format!("`{id}` is no id of an entry; nothing was changed")))?;
            Ok(keeper.undo(id)?)
        }
        What::Received(it) => one(keeper, deeds::received(it)),
        What::Out(it) => one(keeper, deeds::came_out(it)),
        What::Given(it) => left(keeper, it, Way::Given),
        What::Preserved(it) => left(keeper, it, Way::Preserved),
        What::Open(it) => one(keeper, deeds::opened(it)),
        What::Cocoon(it) => one(keeper, deeds::cocoon(it)),
        What::Weigh(it) => one(keeper, deeds::weighed(it)),
        What::WeighTub(it) => one(keeper, deeds::weighed_together(it)),
        What::Pair(it) => one(keeper, deeds::paired(it)),
        What::Laid(it) => one(keeper, deeds::laid(it)),
        What::Air(it) => one(keeper, deeds::air(it)),
        What::Light(it) => one(keeper, deeds::light(it)),
        What::Remark(it) => one(keeper, deeds::remarked(it)),
        What::Apart(it) => {
            let set = SetApart { name: it.name.clone(), sign: it.sign.clone(), note: String::new() };
            one(keeper, Deed::SetApart(set))
        }
        What::Moved(it) => {
            let stage = stage_meant(keeper, &it.name, it.stage, |_| true)?;
            one(keeper, deeds::moved(it, stage)?)
        }
        What::Hatched(it) => onward(keeper, it, Stage::Egg, false),
        What::Moulted(it) => {
            let stage = stage_meant(keeper, &it.name, it.stage, Stage::is_larva)?;
            onward(keeper, it, stage, false)
        }
        What::Spun(it) => {
            let stage = stage_meant(keeper, &it.name, it.stage, Stage::is_larva)?;
            onward(keeper, it, stage, true)
        }
        What::Dead(it) if it.animal.is_empty() && it.line.is_none() => {
            let stage = stage_meant(keeper, &it.name, it.stage, |_| true)?;
            let dead = Dead { stage, n: it.n, sign: it.sign.clone(), remark: it.remark.clone() };
            round(&it.name, RoundNote { dead: Some(dead), ..RoundNote::default() })
        }
        What::Dead(it) => left(keeper, it, Way::Died),
        What::Failed(it) => {
            let stage = it.stage.unwrap_or(Stage::Egg);
            one(keeper, deeds::left(it, stage, Way::EggFailed))
        }
        What::Short(it) => left(keeper, it, Way::Missing),
        What::Found(it) => {
            let stage = stage_meant(keeper, &it.name, it.stage, |_| true)?;
            round(&it.name, RoundNote { found: Some((stage, it.n)), ..RoundNote::default() })
        }
        What::Count(it) => {
            let seen = it.seen.iter().map(|word| stage_and_number(word)).collect::<Result<Vec<_>>>()?;
            let seen = (!seen.is_empty()).then_some(seen);
            round(&it.name, RoundNote { counted: true, seen, ..RoundNote::default() })
        }
        What::Fed(it) => round(&it.name, RoundNote { fed_only: true, ..RoundNote::default() }),
        What::Leaf(it) => round(&it.name, deeds::leaf(it)),
        What::Close(it) => round(&it.name, RoundNote { close: true, ..RoundNote::default() }),
    }
}

fn one(keeper: &Keeper, deed: Deed) -> Result<Saved> {
    let noted = keeper.note(vec![deed], None, "keeper")?;
    Ok(Saved {
        says: noted.iter().map(|it| it.deed.in_words()).collect(),
        ids: noted.iter().map(|it| it.id).collect(),
        misfit: false,
    })
}

/// The round of a box has one line; where a box holds several, the deed names it.
fn onward(keeper: &Keeper, it: &Onward, from: Stage, spun: bool) -> Result<Saved> {
    match &it.line {
        None => Ok(keeper.note_round(&it.name, &deeds::onward(it, from, spun))?),
        Some(line) => one(keeper, deeds::onward_of_line(it, line, from, spun)?),
    }
}

fn left(keeper: &Keeper, it: &Lost, way: Way) -> Result<Saved> {
    let stage = stage_meant(keeper, &it.name, it.stage, |_| true)?;
    one(keeper, deeds::left(it, stage, way))
}

/// The stage that was named, or the only one in the box that fits.
fn stage_meant(
    keeper: &Keeper,
    name: &str,
    named: Option<Stage>,
    fits: impl Fn(Stage) -> bool,
) -> Result<Stage> {
    if let Some(stage) = named {
        return Ok(stage);
    }
    let look = keeper.look_when_noting()?;
    let stages: Vec<Stage> = look
        .house
        .open_box(name)
        .map_err(|it| BadWords(format!("{it}; nothing was saved")))?
        .by_stage()
        .into_keys()
        .filter(|it| fits(*it))
        .collect();
    match stages.as_slice() {
        [one] => Ok(*one),
        [] => Err(BadWords(format!("box {name} holds nobody of that kind; nothing was saved")).into()),
        _ => {
            let words: Vec<String> = stages.iter().map(ToString::to_string).collect();
            Err(BadWords(format!("box {name} holds {}: say which; nothing was saved", words.join(" and ")))
                .into())
        }
    }
}

fn stage_and_number(word: &str) -> Result<(Stage, u32)> {
    let bad = || BadWords(format!("`{word}` is not a stage and a number such as L3=2; nothing was saved"));
    let (stage, n) = word.split_once('=').ok_or_else(bad)?;
    Ok((stage.parse().map_err(|_| bad())?, n.parse().map_err(|_| bad())?))
}

//! `note`: what happened at one box, in one line.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::{BadWords, Exit};
use anyhow::Result;
use keeper::rearing::deed::{AirRead, BoxOpened, Left, Move, Moved, SetApart};
use keeper::rearing::{Deed, Way};
use keeper::view::round::{Dead, MovedOn, RoundNote};
use keeper::{AsOf, Keeper};
use terms::Stage;

/// Words of `note`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// When it happened, if not now: 2025-06-01T07:40
    #[arg(long, global = true, value_name = "MOMENT")]
    at: Option<AsOf>,
    #[command(subcommand)]
    what: What,
}

/// What can be noted in one line.
#[derive(Debug, clap::Subcommand)]
enum What {
    /// Eggs hatched: note hatched H01 3 --into H02
    Hatched(Onward),
    /// Larvae moulted: note moulted H05 1 L3 --into H09
    Moulted(Onward),
    /// Larvae spun: note spun H11 2 L5
    Spun(Onward),
    /// Found dead: note dead H07 1 L3 --sign "stuck in the old skin"
    Dead(Lost),
    /// Eggs that will not hatch: note failed H01 2
    Failed(Lost),
    /// Short on counting: note short H04 2 L2
    Short(Lost),
    /// Found again: note found H04 1 L2
    Found(Lost),
    /// Given away: note given TRAY 1 cocoon
    Given(Lost),
    /// Preserved: note preserved T02 2 L1
    Preserved(Lost),
    /// Moved to another box: note moved H08 3 L4 --into H09
    Moved(Onward),
    /// Counted: note count H07 L3=2 L4=4; without stages: all as the book expects
    Count(Counted),
    /// Fed, not counted: note fed H05
    Fed(OneBox),
    /// Leaf changed, in grams of fresh leaf: note leaf H05 9 --left 3
    Leaf(Leaf),
    /// A box set up: note open H14 --stage L5 --line HEATH
    Open(Open),
    /// An empty box put away: note close H05
    Close(OneBox),
    /// A box set apart: note apart H08 --sign limp
    Apart(Lost2),
    /// The air of a day: note air "the shed" --min 14.2 --max 19.4
    Air(Air),
    /// Set an entry of yours aside: note undo ID
    Undo {
        /// The id that was printed when it was noted
        id: String,
    },
}

#[derive(Debug, clap::Args)]
struct OneBox {
    /// The box
    name: String,
}

#[derive(Debug, clap::Args)]
struct Onward {
    /// The box
    name: String,
    /// How many
    n: u32,
    /// The stage they come from; needed where the box holds several
    stage: Option<Stage>,
    /// The box they go into; without it they stay
    #[arg(long)]
    into: Option<String>,
}

#[derive(Debug, clap::Args)]
struct Lost {
    /// The box
    name: String,
    /// How many
    n: u32,
    /// The stage; needed where the box holds several
    stage: Option<Stage>,
    /// What was seen, in a few words
    #[arg(long, default_value = "")]
    sign: String,
    /// A remark
    #[arg(long, default_value = "")]
    remark: String,
}

#[derive(Debug, clap::Args)]
struct Lost2 {
    /// The box
    name: String,
    /// What was seen, in a few words
    #[arg(long, default_value = "")]
    sign: String,
}

#[derive(Debug, clap::Args)]
struct Counted {
    /// The box
    name: String,
    /// Stage and number, such as L3=2
    seen: Vec<String>,
}

#[derive(Debug, clap::Args)]
struct Leaf {
    /// The box
    name: String,
    /// Offered, in grams
    offered: f64,
    /// Left over, in grams
    #[arg(long)]
    left: Option<f64>,
}

#[derive(Debug, clap::Args)]
struct Open {
    /// What stands on the lid
    name: String,
    /// The stage it is for
    #[arg(long)]
    stage: Option<Stage>,
    /// The line it is for
    #[arg(long, default_value = "")]
    line: String,
    /// What it is
    #[arg(long, default_value = "")]
    vessel: String,
    /// Its floor, in square centimetres
    #[arg(long)]
    floor: Option<f64>,
    /// Where it stands
    #[arg(long, default_value = "")]
    place: String,
}

#[derive(Debug, clap::Args)]
struct Air {
    /// Where the thermometer hangs
    place: String,
    /// Lowest of the day, degC
    #[arg(long, allow_hyphen_values = true)]
    min: f64,
    /// Highest of the day, degC
    #[arg(long, allow_hyphen_values = true)]
    max: f64,
    /// Lowest relative humidity, %
    #[arg(long)]
    damp_min: Option<f64>,
    /// Highest relative humidity, %
    #[arg(long)]
    damp_max: Option<f64>,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let mut opening = global.opening(false);
    opening.happened_at = words.at;
    let keeper = Keeper::open(&global.folder()?, &opening)?;
    let saved = match &words.what {
        What::Undo { id } => {
            let id = id.parse().map_err(|_| BadWords(format!("`{id}` is no id of an entry; nothing was changed")))?;
            keeper.undo(id)?
        }
        What::Given(it) => gone(&keeper, it, Way::Given)?,
        What::Preserved(it) => gone(&keeper, it, Way::Preserved)?,
        What::Moved(it) => shifted(&keeper, it)?,
        What::Open(it) => one(&keeper, opened(it))?,
        What::Apart(it) => {
            let set = SetApart { name: it.name.clone(), sign: it.sign.clone(), note: String::new() };
            one(&keeper, Deed::SetApart(set))?
        }
        What::Air(it) => one(&keeper, air(it))?,
        What::Hatched(it) => keeper.note_round(&it.name, &onward(it, Stage::Egg, false))?,
        What::Moulted(it) => {
            let stage = stage_meant(&keeper, &it.name, it.stage, Stage::is_larva)?;
            keeper.note_round(&it.name, &onward(it, stage, false))?
        }
        What::Spun(it) => {
            let stage = stage_meant(&keeper, &it.name, it.stage, Stage::is_larva)?;
            keeper.note_round(&it.name, &onward(it, stage, true))?
        }
        What::Dead(it) => {
            let stage = stage_meant(&keeper, &it.name, it.stage, |_| true)?;
            let dead = Dead { stage, n: it.n, sign: it.sign.clone(), remark: it.remark.clone() };
            keeper.note_round(&it.name, &RoundNote { dead: Some(dead), ..RoundNote::default() })?
        }
        What::Failed(it) => {
            keeper.note_round(&it.name, &RoundNote { eggs_failed: Some(it.n), ..RoundNote::default() })?
        }
        What::Short(it) => {
            let stage = stage_meant(&keeper, &it.name, it.stage, |_| true)?;
            keeper.note_round(&it.name, &RoundNote { short: Some((stage, it.n)), ..RoundNote::default() })?
        }
        What::Found(it) => {
            let stage = stage_meant(&keeper, &it.name, it.stage, |_| true)?;
            keeper.note_round(&it.name, &RoundNote { found: Some((stage, it.n)), ..RoundNote::default() })?
        }
        What::Count(it) => {
            let seen = it.seen.iter().map(|word| stage_and_number(word)).collect::<Result<Vec<_>>>()?;
            let seen = (!seen.is_empty()).then_some(seen);
            keeper.note_round(&it.name, &RoundNote { counted: true, seen, ..RoundNote::default() })?
        }
        What::Fed(it) => keeper.note_round(&it.name, &RoundNote { fed_only: true, ..RoundNote::default() })?,
        What::Leaf(it) => {
            let (leaf_offered_fresh_g, leaf_left_fresh_g) = (Some(it.offered), it.left);
            let note = RoundNote { leaf_offered_fresh_g, leaf_left_fresh_g, ..RoundNote::default() };
            keeper.note_round(&it.name, &note)?
        }
        What::Close(it) => keeper.note_round(&it.name, &RoundNote { close: true, ..RoundNote::default() })?,
    };
    if global.json {
        let ids: Vec<String> = saved.ids.iter().map(ToString::to_string).collect();
        json_out(&serde_json::json!({ "saved": saved.says, "ids": ids, "misfit": saved.misfit }))?;
        return Ok(Exit::Ok);
    }
    for (says, id) in saved.says.iter().zip(&saved.ids) {
        out(&format!("saved: {says}  ({id})"))?;
    }
    if saved.misfit {
        out("the count does not fit the book: see `cocoonery round`, or the page of the box")?;
    }
    Ok(Exit::Ok)
}

type Saved = keeper::view::round::Saved;

fn one(keeper: &Keeper, deed: Deed) -> Result<Saved> {
    let noted = keeper.note(vec![deed], None, "keeper")?;
    Ok(Saved {
        says: noted.iter().map(|it| it.deed.in_words()).collect(),
        ids: noted.iter().map(|it| it.id).collect(),
        misfit: false,
    })
}

fn onward(it: &Onward, from: Stage, spun: bool) -> RoundNote {
    let moved = MovedOn { from, n: it.n, spun, into: it.into.clone(), into_is_new: false };
    RoundNote { moved_on: Some(moved), ..RoundNote::default() }
}

fn gone(keeper: &Keeper, it: &Lost, way: Way) -> Result<Saved> {
    let stage = stage_meant(keeper, &it.name, it.stage, |_| true)?;
    one(
        keeper,
        Deed::Left(Left {
            name: it.name.clone(),
            line: None,
            stage,
            n: it.n,
            way,
            sign: it.sign.clone(),
            animals: Vec::new(),
            note: it.remark.clone(),
        }),
    )
}

fn shifted(keeper: &Keeper, it: &Onward) -> Result<Saved> {
    let stage = stage_meant(keeper, &it.name, it.stage, |_| true)?;
    let into = it.into.clone().ok_or_else(|| BadWords("say --into which box; nothing was saved".to_owned()))?;
    let why = Some(Move::Other);
    let from = it.name.clone();
    one(keeper, Deed::Moved(Moved { from, into, line: None, stage, n: it.n, animals: Vec::new(), why, note: String::new() }))
}

fn opened(it: &Open) -> Deed {
    Deed::BoxOpened(BoxOpened {
        name: it.name.clone(),
        line: it.line.clone(),
        for_stage: it.stage,
        vessel: it.vessel.clone(),
        floor_cm2: it.floor,
        place: it.place.clone(),
        note: String::new(),
    })
}

fn air(it: &Air) -> Deed {
    Deed::AirRead(AirRead {
        place: it.place.clone(),
        air_c_min: it.min,
        air_c_max: it.max,
        air_c_mean: None,
        humidity_percent_min: it.damp_min,
        humidity_percent_max: it.damp_max,
        source: "noted by hand".to_owned(),
    })
}

/// The stage that was named, or the only one in the box that fits.
fn stage_meant(keeper: &Keeper, name: &str, named: Option<Stage>, fits: impl Fn(Stage) -> bool) -> Result<Stage> {
    if let Some(stage) = named {
        return Ok(stage);
    }
    let look = keeper.look();
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
            Err(BadWords(format!("box {name} holds {}: say which; nothing was saved", words.join(" and "))).into())
        }
    }
}

fn stage_and_number(word: &str) -> Result<(Stage, u32)> {
    let bad = || BadWords(format!("`{word}` is not a stage and a number such as L3=2; nothing was saved"));
    let (stage, n) = word.split_once('=').ok_or_else(bad)?;
    Ok((stage.parse().map_err(|_| bad())?, n.parse().map_err(|_| bad())?))
}

//! The words of `note`.

use keeper::AsOf;
use terms::{Sex, Stage};

/// Words of `note`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// When it happened, if not now: 2025-06-01T07:40
    #[arg(long, global = true, value_name = "MOMENT")]
    pub at: Option<AsOf>,
    /// Make the book first if there is none, kept in this time zone
    #[arg(long, global = true, value_name = "ZONE")]
    pub new: Option<String>,
    /// What happened
    #[command(subcommand)]
    pub what: What,
}

/// What can be noted in one line.
#[derive(Debug, clap::Subcommand)]
pub(crate) enum What {
    /// Animals came in: note received HEATH-25 28 egg --line HEATH --into H01 --laid 2025-04-24
    Received(Received),
    /// Eggs hatched: note hatched H01 3 --into H02
    Hatched(Onward),
    /// Larvae moulted: note moulted H05 1 L3 --into H09
    Moulted(Onward),
    /// Larvae spun: note spun H11 2 L5
    Spun(Onward),
    /// A moth came out: note out TRAY --cocoon H-C10 --moth H-C10F --sex F
    Out(Out),
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
    Apart(Apart),
    /// A cocoon numbered: note cocoon H-C01 --in TRAY --lot HEATH-25 --sex M --weight 1.14
    Cocoon(Cocoon),
    /// A cocoon weighed: note weigh H-C01 1.11
    Weigh(Weigh),
    /// All cocoons of a tub weighed together: note weigh-tub FRIDGE 43 228.4
    WeighTub(WeighTub),
    /// Put together: note pair P26-1 H-C10F H-C05M --took
    Pair(Pair),
    /// Eggs laid: note laid P26-1 97
    Laid(Laid),
    /// The air of a day: note air "the shed" --min 14.2 --max 19.4
    Air(Air),
    /// Where on earth, and what light: note light "the shed" --latitude 52.3 --longitude=-1.1 --lamps 16
    Light(Light),
    /// Anything worth remembering: note remark "hedge by the lane sprayed"
    Remark(Remark),
    /// Set an entry of yours aside: note undo ID
    Undo {
        /// The id that was printed when it was noted
        id: String,
    },
}

/// One box.
#[derive(Debug, clap::Args)]
pub(crate) struct OneBox {
    /// The box
    pub name: String,
}

/// See [`What::Received`].
#[derive(Debug, clap::Args)]
pub(crate) struct Received {
    /// A name for the lot
    pub lot: String,
    /// How many
    pub n: u32,
    /// In which stage they came
    #[arg(default_value = "egg")]
    pub stage: Stage,
    /// The line
    #[arg(long)]
    pub line: String,
    /// The species
    #[arg(long, default_value = "")]
    pub species: String,
    /// The box they were put into
    #[arg(long)]
    pub into: String,
    /// When the eggs were laid
    #[arg(long, value_name = "DATE")]
    pub laid: Option<jiff::civil::Date>,
    /// Where they come from
    #[arg(long, default_value = "")]
    pub origin: String,
    /// The pairing of this house whose eggs they are
    #[arg(long)]
    pub pairing: Option<String>,
}

/// Animals go one stage or one box on.
#[derive(Debug, clap::Args)]
pub(crate) struct Onward {
    /// The box
    pub name: String,
    /// How many
    pub n: u32,
    /// The stage they come from; needed where the box holds several
    pub stage: Option<Stage>,
    /// The box they go into; without it they stay
    #[arg(long)]
    pub into: Option<String>,
    /// With `moved`: out of the cold, their winter is over
    #[arg(long)]
    pub warm: bool,
    /// The line; needed where the box holds several
    #[arg(long)]
    pub line: Option<String>,
}

/// See [`What::Out`].
#[derive(Debug, clap::Args)]
pub(crate) struct Out {
    /// Where the cocoon lay
    pub name: String,
    /// Its number
    #[arg(long)]
    pub cocoon: Option<String>,
    /// A name for the moth
    #[arg(long)]
    pub moth: Option<String>,
    /// F or M
    #[arg(long, default_value = "")]
    pub sex: Sex,
    /// The line; needed where the box holds several and the cocoon has no number
    #[arg(long)]
    pub line: Option<String>,
}

/// Animals leave by a named way, or come back.
#[derive(Debug, clap::Args)]
pub(crate) struct Lost {
    /// The box
    pub name: String,
    /// How many
    pub n: u32,
    /// The stage; needed where the box holds several
    pub stage: Option<Stage>,
    /// What was seen, in a few words
    #[arg(long, default_value = "")]
    pub sign: String,
    /// A remark
    #[arg(long, default_value = "")]
    pub remark: String,
    /// The number of the cocoon or the name of the moth
    #[arg(long)]
    pub animal: Vec<String>,
    /// The line; needed where the box holds several
    #[arg(long)]
    pub line: Option<String>,
}

/// See [`What::Apart`].
#[derive(Debug, clap::Args)]
pub(crate) struct Apart {
    /// The box
    pub name: String,
    /// What was seen, in a few words
    #[arg(long, default_value = "")]
    pub sign: String,
}

/// See [`What::Count`].
#[derive(Debug, clap::Args)]
pub(crate) struct Counted {
    /// The box
    pub name: String,
    /// Stage and number, such as L3=2
    pub seen: Vec<String>,
}

/// See [`What::Leaf`].
#[derive(Debug, clap::Args)]
pub(crate) struct Leaf {
    /// The box
    pub name: String,
    /// Offered, in grams
    pub offered: f64,
    /// Left over, in grams
    #[arg(long)]
    pub left: Option<f64>,
}

/// See [`What::Open`].
#[derive(Debug, clap::Args)]
pub(crate) struct Open {
    /// What stands on the lid
    pub name: String,
    /// The stage it is for
    #[arg(long)]
    pub stage: Option<Stage>,
    /// The line it is for
    #[arg(long, default_value = "")]
    pub line: String,
    /// What it is
    #[arg(long, default_value = "")]
    pub vessel: String,
    /// Its floor, in square centimetres
    #[arg(long)]
    pub floor: Option<f64>,
    /// Where it stands
    #[arg(long, default_value = "")]
    pub place: String,
}

/// See [`What::Cocoon`].
#[derive(Debug, clap::Args)]
pub(crate) struct Cocoon {
    /// Its number
    pub cocoon: String,
    /// Where it lies
    #[arg(long = "in", value_name = "BOX")]
    pub lies_in: String,
    /// Its lot
    #[arg(long)]
    pub lot: String,
    /// F or M
    #[arg(long, default_value = "")]
    pub sex: Sex,
    /// The whole cocoon, in grams
    #[arg(long)]
    pub weight: Option<f64>,
    /// When it was spun
    #[arg(long, value_name = "DATE")]
    pub spun: Option<jiff::civil::Date>,
}

/// See [`What::Weigh`].
#[derive(Debug, clap::Args)]
pub(crate) struct Weigh {
    /// Its number
    pub cocoon: String,
    /// In grams
    pub grams: f64,
    /// Where it lay
    #[arg(long, default_value = "")]
    pub place: String,
}

/// See [`What::WeighTub`].
#[derive(Debug, clap::Args)]
pub(crate) struct WeighTub {
    /// The box or tub
    #[arg(value_name = "BOX")]
    pub name: String,
    /// How many cocoons
    pub n: u32,
    /// Together, in grams, without the tub
    pub grams: f64,
}

/// See [`What::Pair`].
#[derive(Debug, clap::Args)]
pub(crate) struct Pair {
    /// A name for the pairing
    pub pairing: String,
    /// The female
    pub female: String,
    /// The male, or words such as "wild, unknown"
    pub male: String,
    /// They took
    #[arg(long, conflicts_with = "not")]
    pub took: bool,
    /// They did not take
    #[arg(long)]
    pub not: bool,
}

/// See [`What::Laid`].
#[derive(Debug, clap::Args)]
pub(crate) struct Laid {
    /// The pairing
    pub pairing: String,
    /// How many eggs
    pub eggs: u32,
}

/// See [`What::Air`].
#[derive(Debug, clap::Args)]
pub(crate) struct Air {
    /// Where the thermometer hangs
    pub place: String,
    /// Lowest of the day, degC
    #[arg(long, allow_hyphen_values = true)]
    pub min: f64,
    /// Highest of the day, degC
    #[arg(long, allow_hyphen_values = true)]
    pub max: f64,
    /// Mean of the day, degC
    #[arg(long, allow_hyphen_values = true)]
    pub mean: Option<f64>,
    /// Lowest relative humidity, %
    #[arg(long)]
    pub damp_min: Option<f64>,
    /// Highest relative humidity, %
    #[arg(long)]
    pub damp_max: Option<f64>,
}

/// See [`What::Light`].
#[derive(Debug, clap::Args)]
pub(crate) struct Light {
    /// Where the boxes stand
    pub place: String,
    /// Degrees north; south is negative
    #[arg(long, allow_hyphen_values = true, value_name = "DEGREES", requires = "longitude")]
    pub latitude: Option<f64>,
    /// Degrees east; west is negative
    #[arg(long, allow_hyphen_values = true, value_name = "DEGREES", requires = "latitude")]
    pub longitude: Option<f64>,
    /// Lamps burn so many hours a day; without it the light is that of the sky
    #[arg(long, value_name = "HOURS")]
    pub lamps: Option<f64>,
}

/// See [`What::Remark`].
#[derive(Debug, clap::Args)]
pub(crate) struct Remark {
    /// The remark
    pub text: String,
    /// The box, line or place it is about
    #[arg(long, default_value = "")]
    pub about: String,
}

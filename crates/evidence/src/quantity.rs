//! Every quantity a claim may speak of, once, with its unit.

/// A quantity that claims may speak of.
///
/// The list is closed on purpose: a quantity spelt two ways would hide a disagreement between its claims.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quantity {
    /// The word in the claim files, unit last where it is a measure.
    pub name: &'static str,
    /// The only unit it is kept in.
    pub unit: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

const fn quantity(name: &'static str, unit: &'static str, meaning: &'static str) -> Quantity {
    Quantity { name, unit, meaning }
}

/// Every quantity that a claim may speak of. To add one, add a line here and use it in a claim.
pub const QUANTITIES: &[Quantity] = &[
    quantity("words", "words", "a statement without a number"),
    quantity("stage_days", "d", "how long a stage lasts; the basis says from what to what"),
    quantity("cycle_days", "d", "egg to egg, or laying to moth: the basis says which"),
    quantity("adult_life_days", "d", "how long a moth lives"),
    quantity("instar_count", "instars", "how many larval instars there are"),
    quantity("broods_a_year", "broods", "how many broods fly in a year"),
    quantity("lower_threshold_c", "degC", "air temperature below which development stops"),
    quantity("upper_limit_c", "degC", "air temperature above which development or life stops"),
    quantity("constant_dd", "degree-days", "degree-days above a named threshold that a stage needs"),
    quantity("overlooked_percent", "%", "living larvae missed at one count"),
    quantity(
        "stage_cv_percent",
        "%",
        "spread of a stage's length between animals of one box, as coefficient of variation",
    ),
    quantity("larval_time_share_percent", "%", "share of the whole larval time spent in one instar"),
    quantity("moult_share_percent", "%", "share of an instar that is spent in moult, at its end"),
    quantity("box_hit_percent_per_day", "%/d", "chance in a day that something hits a box as a whole"),
    quantity("box_hit_loss_percent", "%", "larvae lost in a box that is hit as a whole"),
    quantity("air_c", "degC", "air temperature advised, or used in a test"),
    quantity("humidity_percent", "%", "relative humidity advised, or used in a test"),
    quantity("wet_bulb_deficit_c", "degC", "how much lower the wet bulb should stand than the dry one"),
    quantity("winter_c", "degC", "air temperature advised while resting over winter"),
    quantity("winter_weeks", "weeks", "how long the cold should last"),
    quantity("day_length_h", "h", "hours of light in a day that turn development on or off"),
    quantity("emergence_month", "month", "months of the year in which moths come out"),
    quantity("emergence_spread_d", "d", "from the first to the last moth of one batch"),
    quantity("peak_gap_d", "d", "days between two peaks of moths coming out"),
    quantity("resting_share_percent", "%", "share of pupae that rest instead of flying on"),
    quantity(
        "leaf_fresh_g_per_larva",
        "g",
        "fresh leaf for one larva's whole life; the basis says eaten or offered",
    ),
    quantity(
        "leaf_dry_g_per_larva",
        "g",
        "dry leaf for one larva; the basis says eaten or offered, and over which instars",
    ),
    quantity("leaf_share_percent", "%", "share of a larva's whole leaf that one instar takes"),
    quantity("leaf_to_pupa_ratio", "g/g", "fresh leaf for each gram of fresh pupa"),
    quantity("leaf_to_cocoon_ratio", "g/g", "fresh leaf for each gram of fresh cocoon"),
    quantity("leaf_times_larva_ratio", "g/g", "leaf eaten as a multiple of a larva's weight"),
    quantity("leaf_water_percent", "%", "water in fresh leaf"),
    quantity("leaf_water_loss_percent", "%", "water that cut leaf loses"),
    quantity("leaf_waste_percent", "%", "leaf offered but not eaten"),
    quantity("leaf_keeps_d", "d", "how long cut leaf can be kept"),
    quantity("leaf_g_per_leaf", "g", "fresh weight of one leaf"),
    quantity("leaf_dry_g_per_m2", "g/m2", "dry weight of leaf for each square metre of leaf"),
    quantity("leaf_dry_t_per_ha", "t/ha", "dry leaf on a hectare of stand"),
    quantity("food_efficiency_percent", "%", "growth for food eaten or digested; the basis says which"),
    quantity("larva_fresh_g", "g", "fresh weight of a larva"),
    quantity("larva_length_cm", "cm", "length of a larva"),
    quantity("pupa_fresh_g", "g", "fresh weight of a pupa"),
    quantity("cocoon_fresh_g", "g", "fresh weight of a cocoon with its pupa"),
    quantity("cocoon_loss_percent_per_month", "%", "weight that a resting cocoon loses in 30 days"),
    quantity(
        "cocoon_loss_cv_percent",
        "%",
        "spread of that loss between healthy cocoons, as coefficient of variation",
    ),
    quantity("pupa_hardens_d", "d", "days that a fresh pupa takes to harden"),
    quantity("shell_g", "g", "weight of a cocoon's shell"),
    quantity("shell_ratio_percent", "%", "shell weight for cocoon weight"),
    quantity("moth_fresh_g", "g", "fresh weight of a moth"),
    quantity("eggs_per_female", "eggs", "eggs laid by one female"),
    quantity("eggs_per_gram", "eggs/g", "eggs in a gram"),
    quantity("egg_length_mm", "mm", "length of an egg"),
    quantity("eggs_kept_back_percent", "%", "ripe eggs that a female does not lay"),
    quantity("hatch_percent", "%", "hatched eggs for eggs laid or set"),
    quantity("survival_percent", "%", "animals that reach the end of a span; the basis says which span"),
    quantity("loss_percent", "%", "animals lost; the basis says to what"),
    quantity("female_share_percent", "%", "females among animals sexed"),
    quantity("protandry_d", "d", "days by which males come out before females"),
    quantity("pairing_h", "h", "hours a pair stays joined, or should"),
    quantity("laying_delay_d", "d", "days from pairing to the first eggs"),
    quantity("bed_cm2_per_larva", "cm2", "floor for each larva"),
    quantity("larvae_per_box", "larvae", "larvae in one box; the basis gives its size"),
    quantity("head_width_mm", "mm", "width of a head capsule"),
    quantity("head_width_ratio", "ratio", "head width of an instar for that of the one before"),
    quantity("body_size_ratio", "ratio", "cube root of the weight ratio of one instar to the one before"),
    quantity("spores_found_percent", "%", "mother moths in which spores are found"),
    quantity("dip_strength_percent", "%", "strength of an egg dip; the basis gives the active part"),
    quantity("dip_minutes", "min", "how long eggs lie in a dip"),
    quantity("stock_strength_percent", "%", "strength of what is in the bottle"),
    quantity("stock_ml_per_litre", "mL/L", "bottle strength liquid made up to a litre"),
    quantity("formaldehyde_g_per_l", "g/L", "formaldehyde in the bottle"),
    quantity("exposure_limit_ppm", "ppm", "limit of a vapour in the air one breathes"),
    quantity("vapour_mg_m3_per_ppm", "mg/m3", "weight of one ppm of vapour in a cubic metre"),
    quantity("vapour_ppm", "ppm", "vapour in the air of a room"),
    quantity("chromosome_number", "n", "haploid chromosome number"),
    quantity("offspring_f1", "moths", "first-generation moths from a cross"),
    quantity("inbreeding_load", "lethal equivalents", "haploid lethal equivalents over a span"),
    quantity("freeze_hours", "h", "hours of freezing before disposal"),
    quantity("tree_data_sets", "sets", "published leaf-weight equations and raw sets for trees"),
    quantity("forecast_error_d", "d", "how far a published forecast missed"),
    quantity("twilight_min", "min", "minutes of twilight that count as day"),
];

impl Quantity {
    /// The quantity of this name, or `None`.
    pub fn named(name: &str) -> Option<&'static Quantity> {
        QUANTITIES.iter().find(|quantity| quantity.name == name)
    }
}

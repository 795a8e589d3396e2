//! Foreign names, one line each. The order matters: the first line whose inputs cover the question is taken.

use super::Alias;

/// Shorthand for a line of the dictionary.
const fn line(
    foreign: &'static str,
    ours: &'static str,
    inputs: &'static [(&'static str, &'static str, f64)],
    said: &'static [(&'static str, &'static str)],
    field: &'static [&'static str],
) -> Alias {
    Alias { foreign, ours, inputs, said, field }
}

type Inputs = &'static [(&'static str, &'static str, f64)];

const DAY: Inputs = &[
    ("tmin", "low_c", 1.0),
    ("tmax", "high_c", 1.0),
    ("lower", "lower_c", 1.0),
    ("base", "lower_c", 1.0),
    ("upper", "upper_c", 1.0),
    ("cutoff", "cutoff", 1.0),
];
const TWO_DAYS: Inputs = &[
    ("tmin_today", "low_c", 1.0),
    ("tmax", "high_c", 1.0),
    ("tmin_tomorrow", "next_low_c", 1.0),
    ("lower", "lower_c", 1.0),
    ("upper", "upper_c", 1.0),
    ("cutoff", "cutoff", 1.0),
];
const AIR: Inputs = &[("T_C", "air_c", 1.0), ("RH_pct", "humidity_percent", 1.0)];
const BULBS: Inputs = &[("dry", "air_c", 1.0), ("wet", "wet_c", 1.0), ("P_Pa", "pressure_hpa", 0.01)];
const DURATIONS: Inputs = &[("T_F", "at_c", 1.0), ("T_C", "at_c", 1.0), ("days", "days", 1.0)];
const BRIERE_1: Inputs = &[("T", "at_c", 1.0), ("a", "a", 1.0), ("T0", "T0", 1.0), ("Tm", "Tm", 1.0)];
const BRIERE_2: Inputs =
    &[("T", "at_c", 1.0), ("a", "a", 1.0), ("T0", "T0", 1.0), ("Tm", "Tm", 1.0), ("m", "m", 1.0)];
const LACTIN_2: Inputs =
    &[("T", "at_c", 1.0), ("rho", "rho", 1.0), ("Tm", "Tm", 1.0), ("d", "d", 1.0), ("lam", "lam", 1.0)];
const LOGAN_6: Inputs =
    &[("T", "at_c", 1.0), ("psi", "psi", 1.0), ("rho", "rho", 1.0), ("Tm", "Tm", 1.0), ("d", "d", 1.0)];
const RATKOWSKY: Inputs =
    &[("T", "at_c", 1.0), ("b", "b", 1.0), ("T0", "T0", 1.0), ("c", "c", 1.0), ("Tm", "Tm", 1.0)];
const JANISCH: Inputs =
    &[("T", "at_c", 1.0), ("Dmin", "Dmin", 1.0), ("Topt", "Topt", 1.0), ("a", "a", 1.0), ("b", "b", 1.0)];
const SCHOOLFIELD: Inputs = &[
    ("T_C", "at_c", 1.0),
    ("R25", "R25", 1.0),
    ("rho", "rho", 1.0),
    ("Tref", "Tref", 1.0),
    ("Tphi", "Tphi", 1.0),
    ("HA", "HA", 1.0),
    ("HL", "HL", 1.0),
    ("TL", "TL", 1.0),
    ("HH", "HH", 1.0),
    ("TH", "TH", 1.0),
    ("R", "R", 1.0),
    ("K0", "K0", 1.0),
];
const BROOD: Inputs = &[
    ("n", "animals", 1.0),
    ("survival", "survival", 1.0),
    ("male_fraction", "male_share", 1.0),
    ("target", "chance", 1.0),
];
const FLIGHT: Inputs = &[
    ("pmf", "emergence_pmf", 1.0),
    ("males", "males", 1.0),
    ("females", "females", 1.0),
    ("life_m", "male_nights", 1.0),
    ("life_f", "female_nights", 1.0),
];
const TRIALS: Inputs = &[("x", "successes", 1.0), ("n", "trials", 1.0), ("conf", "confidence", 1.0)];
const LIFE: Inputs = &[("x", "age_d", 1.0), ("lxmx", "lxmx", 1.0)];
const CLASSES: Inputs = &[("ax", "alive", 1.0)];
const STAGE: Inputs =
    &[("before", "before", 1.0), ("after", "after", 1.0), ("start", "before", 1.0), ("end", "after", 1.0)];
const FEEDING: Inputs = &[
    ("ingested_dry_g", "eaten_dry_g", 1.0),
    ("frass_dry_g", "frass_dry_g", 1.0),
    ("gain_dry_g", "gain_dry_g", 1.0),
    ("mean_dry_weight_g", "mean_dry_g", 1.0),
    ("days", "days", 1.0),
];
const DRY_LEAF: Inputs =
    &[("given", "offered_g", 1.0), ("dry_fraction", "dry_share", 1.0), ("left_dry", "left_dry_g", 1.0)];
const HEADS: Inputs = &[("mean_hcw_mm", "mean_mm", 1.0)];
const FORMALIN: Inputs = &[
    ("target_g_per_100mL", "target_percent", 1.0),
    ("volume_mL", "volume_ml", 1.0),
    ("stock_w_w", "stock_percent", 100.0),
    ("density", "density_g_ml", 1.0),
];
const BLEACH: Inputs =
    &[("C1", "stock_percent", 1.0), ("C2", "target_percent", 1.0), ("V2", "volume_ml", 1.0)];
const SAMPLE: Inputs = &[
    ("N", "population", 1.0),
    ("diseased", "diseased", 1.0),
    ("D", "diseased", 1.0),
    ("n", "examined", 1.0),
    ("CL", "confidence", 1.0),
    ("Se", "sensitivity", 1.0),
];
const NONE_FOUND: Inputs = &[("n", "examined", 1.0), ("x", "", 1.0)];
const TESTED: Inputs = &[("AP", "apparent", 1.0), ("Se", "sensitivity", 1.0), ("Sp", "specificity", 1.0)];
const POOLS: Inputs =
    &[("pos_pools", "positive_pools", 1.0), ("pools", "pools", 1.0), ("pool_size", "pool_size", 1.0)];
const ALARM: Inputs = &[
    ("k", "k", 1.0),
    ("h", "h", 1.0),
    ("shift", "shift", 1.0),
    ("mu", "mu", 1.0),
    ("p", "p", 1.0),
    ("score_death", "score_death", 1.0),
    ("score_alive", "score_alive", 1.0),
];
const MEANS: Inputs = &[("mu0", "usual", 1.0), ("mu1", "feared", 1.0)];
const CHANCES: Inputs = &[("p0", "usual", 1.0), ("p1", "feared", 1.0)];
const COUNTS: Inputs = &[("counts", "counts", 1.0), ("k", "k", 1.0)];
const PARENTS: Inputs = &[("Nm", "males", 1.0), ("Nf", "females", 1.0)];
const MOTHERS: Inputs = &[("Nf", "females", 1.0)];
const FAMILIES: Inputs = &[("N", "parents", 1.0), ("kbar", "mean_offspring", 1.0), ("Vk", "variance", 1.0)];
const OVERLAPPING: Inputs =
    &[("N_new_per_cohort", "newcomers", 1.0), ("L", "generation_seasons", 1.0), ("Vk", "variance", 1.0)];
const GENERATIONS: Inputs = &[("N", "sizes", 1.0)];
const KEPT: Inputs = &[("Ne", "effective_size", 1.0), ("t", "generations", 1.0)];
const ALLELE: Inputs = &[("p", "frequency", 1.0), ("conf", "chance", 1.0), ("founders", "founders", 1.0)];
const FOUNDERS: Inputs = &[("p", "shares", 1.0), ("r", "retained", 1.0)];
const CROSSES: Inputs = &[("backcrosses", "backcrosses", 1.0)];
const PEDIGREE: Inputs = &[("pedigree", "pedigree", 1.0)];
const NEAR: Inputs = &[
    ("sd_male", "sd_male_d", 1.0),
    ("sd_female", "sd_female_d", 1.0),
    ("mean_diff", "mean_lead_d", 1.0),
    ("w", "within_d", 1.0),
];

const CAMPBELL: &[(&str, &str)] = &[("method", "campbell")];
const IKEMOTO: &[(&str, &str)] = &[("method", "ikemoto")];
const MAGNUS: &[(&str, &str)] = &[("formula", "magnus-wmo")];
const HYLAND: &[(&str, &str)] = &[("formula", "hyland-wexler")];

const PLACE_AND_DAY: Inputs =
    &[("lat", "latitude_deg", 1.0), ("lon", "longitude_deg", 1.0), ("date", "date", 1.0)];

/// Every foreign name.
pub(super) const DICTIONARY: &[Alias] = &[
    line("sunrise_utc", "sun", PLACE_AND_DAY, &[], &["sunrise_utc"]),
    line("sunset_utc", "sun", PLACE_AND_DAY, &[], &["sunset_utc"]),
    line("civil_dawn_utc", "sun", PLACE_AND_DAY, &[], &["civil_dawn_utc"]),
    line("civil_dusk_utc", "sun", PLACE_AND_DAY, &[], &["civil_dusk_utc"]),
    line("day_length_h", "sun", PLACE_AND_DAY, &[], &["day_length_h"]),
    line("dd_average_simple", "degree-days", DAY, &[("method", "average")], &[]),
    line("dd_average_clamped", "degree-days", DAY, &[("method", "average"), ("cutoff", "horizontal")], &[]),
    line("dd_average_modified", "degree-days", DAY, &[("method", "average"), ("cutoff", "horizontal")], &[]),
    line("dd_piecewise_above", "degree-days", DAY, &[("method", "four-cases")], &[]),
    line("dd_single_sine_nocut", "degree-days", DAY, &[("method", "sine"), ("cutoff", "none")], &[]),
    line(
        "dd_single_sine_horizontal",
        "degree-days",
        DAY,
        &[("method", "sine"), ("cutoff", "horizontal")],
        &[],
    ),
    line(
        "dd_single_sine_intermediate",
        "degree-days",
        DAY,
        &[("method", "sine"), ("cutoff", "intermediate")],
        &[],
    ),
    line("dd_single_sine_vertical", "degree-days", DAY, &[("method", "sine"), ("cutoff", "vertical")], &[]),
    line("dd_single_triangle_nocut", "degree-days", DAY, &[("method", "triangle"), ("cutoff", "none")], &[]),
    line(
        "dd_single_triangle_horizontal",
        "degree-days",
        DAY,
        &[("method", "triangle"), ("cutoff", "horizontal")],
        &[],
    ),
    line(
        "dd_single_triangle_intermediate",
        "degree-days",
        DAY,
        &[("method", "triangle"), ("cutoff", "intermediate")],
        &[],
    ),
    line(
        "dd_single_triangle_vertical",
        "degree-days",
        DAY,
        &[("method", "triangle"), ("cutoff", "vertical")],
        &[],
    ),
    line(
        "dd_double_sine_nocut",
        "degree-days",
        TWO_DAYS,
        &[("method", "double-sine"), ("cutoff", "none")],
        &[],
    ),
    line(
        "dd_double_sine_horizontal",
        "degree-days",
        TWO_DAYS,
        &[("method", "double-sine"), ("cutoff", "horizontal")],
        &[],
    ),
    line(
        "dd_double_sine_intermediate",
        "degree-days",
        TWO_DAYS,
        &[("method", "double-sine"), ("cutoff", "intermediate")],
        &[],
    ),
    line(
        "dd_double_sine_vertical",
        "degree-days",
        TWO_DAYS,
        &[("method", "double-sine"), ("cutoff", "vertical")],
        &[],
    ),
    line("T0", "threshold-fit", DURATIONS, CAMPBELL, &["lower_c"]),
    line("K", "threshold-fit", DURATIONS, CAMPBELL, &["constant_dd"]),
    line("r2", "threshold-fit", DURATIONS, CAMPBELL, &["r2"]),
    line("se_T0", "threshold-fit", DURATIONS, CAMPBELL, &["lower_se"]),
    line("se_K", "threshold-fit", DURATIONS, CAMPBELL, &["constant_se"]),
    line("T0_campbell", "threshold-fit", DURATIONS, CAMPBELL, &["lower_c"]),
    line("K_campbell", "threshold-fit", DURATIONS, CAMPBELL, &["constant_dd"]),
    line("T0_ikemoto", "threshold-fit", DURATIONS, IKEMOTO, &["lower_c"]),
    line("K_ikemoto", "threshold-fit", DURATIONS, IKEMOTO, &["constant_dd"]),
    line("rate", "rate", BRIERE_1, &[("model", "briere-1")], &[]),
    line("rate", "rate", BRIERE_2, &[("model", "briere-2")], &[]),
    line("rate", "rate", RATKOWSKY, &[("model", "ratkowsky")], &[]),
    line("rate", "rate", JANISCH, &[("model", "janisch")], &[]),
    line("rate", "rate", LACTIN_2, &[("model", "lactin-2")], &[]),
    line("rate", "rate", LOGAN_6, &[("model", "logan-6")], &[]),
    line("rate_unclamped", "rate-unclamped", LACTIN_2, &[("model", "lactin-2")], &[]),
    line("rate_unclamped", "rate-unclamped", LOGAN_6, &[("model", "logan-6")], &[]),
    line("rate_per_day", "rate", SCHOOLFIELD, &[("model", "schoolfield")], &[]),
    line("Topt", "rate-fastest-at", BRIERE_1, &[("model", "briere-1")], &[]),
    line("Topt", "rate-fastest-at", BRIERE_2, &[("model", "briere-2")], &[]),
    line("Topt", "rate-fastest-at", LACTIN_2, &[("model", "lactin-2")], &[]),
    line("Topt", "rate-fastest-at", LOGAN_6, &[("model", "logan-6")], &[]),
    line("Topt", "rate-fastest-at", RATKOWSKY, &[("model", "ratkowsky")], &[]),
    line("es_water_hPa_magnus_wmo", "saturation-pressure", AIR, MAGNUS, &[]),
    line("es_water_hPa_buck1996", "saturation-pressure", AIR, &[("formula", "buck")], &[]),
    line("es_water_hPa_murphy_koop2005", "saturation-pressure", AIR, &[("formula", "murphy-koop")], &[]),
    line("es_hPa_iapws97", "saturation-pressure", AIR, &[("formula", "iapws")], &[]),
    line("es_hPa_hyland_wexler_ice_below_0", "saturation-pressure", AIR, HYLAND, &[]),
    line("dew_point_C_magnus", "dew-point", AIR, MAGNUS, &[]),
    line("dew_point_C_hyland_wexler", "dew-point", AIR, HYLAND, &[]),
    line("vpd_kPa_magnus", "vapour-pressure-deficit", AIR, MAGNUS, &[]),
    line("vpd_kPa_hyland_wexler", "vapour-pressure-deficit", AIR, HYLAND, &[]),
    line("absolute_humidity_g_m3", "absolute-humidity", AIR, MAGNUS, &[]),
    line("wet_bulb_C_101325Pa", "wet-bulb", AIR, HYLAND, &[]),
    line("humidity_ratio_kg_kg", "humidity-ratio", AIR, HYLAND, &[]),
    line("rh_pct_ashrae", "humidity-from-wet-bulb", BULBS, HYLAND, &[]),
    line("prob_at_least_one_male_and_one_female", "both-sexes", BROOD, &[], &[]),
    line("n_needed", "animals-needed", BROOD, &[], &[]),
    line("prob_any_pair_alive_same_night", "same-night", FLIGHT, &[], &[]),
    line("wilson_90", "binomial-interval", TRIALS, &[("method", "wilson")], &[]),
    line("wilson_95", "binomial-interval", TRIALS, &[("method", "wilson")], &[]),
    line("wilson_99", "binomial-interval", TRIALS, &[("method", "wilson")], &[]),
    line("clopper_pearson_90", "binomial-interval", TRIALS, &[("method", "clopper-pearson")], &[]),
    line("clopper_pearson_95", "binomial-interval", TRIALS, &[("method", "clopper-pearson")], &[]),
    line("clopper_pearson_99", "binomial-interval", TRIALS, &[("method", "clopper-pearson")], &[]),
    line("jeffreys_90", "binomial-interval", TRIALS, &[("method", "jeffreys")], &[]),
    line("jeffreys_95", "binomial-interval", TRIALS, &[("method", "jeffreys")], &[]),
    line("jeffreys_99", "binomial-interval", TRIALS, &[("method", "jeffreys")], &[]),
    line("agresti_coull_90", "binomial-interval", TRIALS, &[("method", "agresti-coull")], &[]),
    line("agresti_coull_95", "binomial-interval", TRIALS, &[("method", "agresti-coull")], &[]),
    line("agresti_coull_99", "binomial-interval", TRIALS, &[("method", "agresti-coull")], &[]),
    line("r_euler_lotka", "growth-rate", LIFE, &[], &["r"]),
    line("r_exact", "growth-rate", LIFE, &[], &["r"]),
    line("R0", "growth-rate", LIFE, &[], &["R0"]),
    line("Tc_cohort", "growth-rate", LIFE, &[], &["cohort_d"]),
    line("lambda", "growth-rate", LIFE, &[], &["lambda"]),
    line("T_lnR0_over_r", "growth-rate", LIFE, &[], &["generation_d"]),
    line("qx", "life-table", CLASSES, &[], &["qx"]),
    line("ex", "life-table", CLASSES, &[], &["ex"]),
    line("lx", "life-table", CLASSES, &[], &["lx"]),
    line("dx", "life-table", CLASSES, &[], &["dx"]),
    line("k_value_log10", "k-value", STAGE, &[], &[]),
    line("K_log10", "k-value", STAGE, &[], &[]),
    line("RCR", "leaf-use", FEEDING, &[], &["RCR"]),
    line("RGR", "leaf-use", FEEDING, &[], &["RGR"]),
    line("AD", "leaf-use", FEEDING, &[], &["AD"]),
    line("ECI", "leaf-use", FEEDING, &[], &["ECI"]),
    line("ECD", "leaf-use", FEEDING, &[], &["ECD"]),
    line("dry_eaten_by_dry_fraction", "leaf-eaten-dry", DRY_LEAF, &[], &[]),
    line("dyar_ratio_exp_slope", "head-width-ratio", HEADS, &[], &["dyar_ratio"]),
    line("r2", "head-width-ratio", HEADS, &[], &["r2"]),
    line("successive_ratios", "head-width-ratio", HEADS, &[], &["steps"]),
    line("crosby_growth_rule_pct", "head-width-ratio", HEADS, &[], &["crosby_percent"]),
    line("intercept_ln", "head-width-ratio", HEADS, &[], &["intercept_ln"]),
    line(
        "volume_stock_mL_for_1L_2pct_w_v",
        "dilution",
        FORMALIN,
        &[("basis", "w/w"), ("target_basis", "w/v"), ("agent", "formaldehyde")],
        &["stock_ml"],
    ),
    line("V1", "dilution", BLEACH, &[("basis", "w/v"), ("target_basis", "w/v")], &["stock_ml"]),
    line("water_to_add", "dilution", BLEACH, &[("basis", "w/v"), ("target_basis", "w/v")], &["water_ml"]),
    line("n_exact_hypergeometric_95", "detection-size", SAMPLE, &[], &[]),
    line("n_cannon_roe_unrounded", "detection-size-by-table", SAMPLE, &[], &[]),
    line("Ne_overlapping", "effective-size-overlapping", OVERLAPPING, &[], &[]),
    line("exact_hypergeometric_imperfect_Se", "detection-chance", SAMPLE, &[], &[]),
    line("upper95_exact", "zero-found", NONE_FOUND, &[("confidence", "0.95")], &[]),
    line("true_prevalence_unclamped", "true-prevalence", TESTED, &[], &["unclamped"]),
    line("prevalence_mle", "pooled-prevalence", POOLS, &[], &[]),
    line("ARL_one_sided", "alarm-run-length", ALARM, &[("family", "normal"), ("sides", "one")], &[]),
    line("ARL_two_sided", "alarm-run-length", ALARM, &[("family", "normal"), ("sides", "two")], &[]),
    line(
        "ARL_signal_S_greater_than_h",
        "alarm-run-length",
        ALARM,
        &[("family", "poisson"), ("rule", "above")],
        &[],
    ),
    line(
        "ARL_signal_S_ge_h",
        "alarm-run-length",
        ALARM,
        &[("family", "poisson"), ("rule", "at-or-above")],
        &[],
    ),
    line(
        "ARL_observations",
        "alarm-run-length",
        ALARM,
        &[("family", "bernoulli"), ("rule", "at-or-above")],
        &[],
    ),
    line("reference_value_k", "alarm-reference", MEANS, &[("family", "poisson")], &[]),
    line("reference_value_k", "alarm-reference", CHANCES, &[("family", "bernoulli")], &[]),
    line("S_path", "alarm-path", COUNTS, &[], &[]),
    line("Ne", "effective-size", PARENTS, &[], &[]),
    line("Ne", "effective-size-generations", GENERATIONS, &[], &[]),
    line("Ne", "effective-size-families", FAMILIES, &[], &[]),
    line("Ne_Z_linked", "effective-size-z", PARENTS, &[], &[]),
    line("Ne_W_or_mtDNA_relative", "effective-size-w", MOTHERS, &[], &[]),
    line("Ne_eigenvalue", "effective-size-exact", PARENTS, &[], &[]),
    line("Ne_eigenvalue_Z_linked", "effective-size-z-exact", PARENTS, &[], &[]),
    line("heterozygosity_retained", "heterozygosity-kept", KEPT, &[], &[]),
    line("gene_copies_for_95pct", "copies-for-allele", ALLELE, &[], &[]),
    line("diploid_founders_for_95pct", "founders-for-allele", ALLELE, &[], &[]),
    line("prob_allele_captured", "allele-captured", ALLELE, &[], &[]),
    line("FGE", "founder-genomes", FOUNDERS, &[], &[]),
    line("expected_donor_fraction", "donor-share", CROSSES, &[], &[]),
    line("F", "inbreeding", PEDIGREE, &[], &["#last"]),
    line("F_all", "inbreeding", PEDIGREE, &[], &["#each"]),
    line("prob_abs_difference_le_w", "out-within", NEAR, &[], &[]),
];

//! Degree-days, rates of development, thresholds.

use serde_json::{Value, json};

use science::development::{
    Cutoff, Day, DayCurve, FitMethod, RateModel, degree_days, fastest_at_c, rate_per_day, rate_unclamped,
    threshold_fit,
};

use super::asked::{Asked, wrong};
use super::{Input, Quantity, Refused, figure, figure_or_unknown, needed, optional};

pub(super) const QUANTITIES: &[Quantity] = &[
    Quantity {
        name: "degree-days",
        inputs: &[
            needed("method", "average, sine, triangle, double-sine or four-cases"),
            needed("low_c", "degC"),
            needed("high_c", "degC"),
            optional("next_low_c", "degC, for double-sine"),
            needed("lower_c", "degC"),
            optional("upper_c", "degC"),
            optional("cutoff", "none, horizontal, intermediate or vertical"),
        ],
        result: "degree-days of the day",
        unit: "degC d",
        source: "Arnold 1959; Baskerville & Emin 1969; Allen 1976; Sevacherian et al. 1977",
        compute: ask_degree_days,
    },
    Quantity {
        name: "rate",
        inputs: RATE_INPUTS,
        result: "rate of development, never below 0",
        unit: "1/d",
        source: RATE_SOURCE,
        compute: |asked| figure(rate_per_day(model(asked, "at_c")?, asked.number("at_c")?)?),
    },
    Quantity {
        name: "rate-unclamped",
        inputs: RATE_INPUTS,
        result: "the bare formula, which may be negative outside the data",
        unit: "1/d",
        source: RATE_SOURCE,
        compute: |asked| figure(rate_unclamped(model(asked, "at_c")?, asked.number("at_c")?)?),
    },
    Quantity {
        name: "rate-fastest-at",
        inputs: RATE_OPTIMUM_INPUTS,
        result: "temperature of fastest development between 0 and 50 degC",
        unit: "degC",
        source: RATE_SOURCE,
        compute: |asked| figure(fastest_at_c(model(asked, "model")?, 0.0, 50.0)?),
    },
    Quantity {
        name: "threshold-fit",
        inputs: &[
            needed("at_c", "list of degC"),
            needed("days", "list of d"),
            needed("method", "campbell or ikemoto"),
        ],
        result: "lower_c, constant_dd, lower_se, constant_se, r2",
        unit: "degC, degC d, degC, degC d, 1",
        source: "Campbell et al. 1974; Ikemoto & Takai 2000",
        compute: ask_threshold_fit,
    },
];

const RATE_SOURCE: &str = "Briere et al. 1999; Lactin et al. 1995; Logan et al. 1976; Schoolfield et al. 1981; \
                           Ratkowsky et al. 1983; Janisch as in Kontodimas et al. 2004";

const MODEL_WORDS: &str = "linear, briere-1, briere-2, lactin-2, logan-6, schoolfield, ratkowsky or janisch";

macro_rules! rate_inputs {
    ($($more:expr),*) => {
        &[
            needed("model", MODEL_WORDS),
            $($more,)*
            optional("lower_c", "degC (linear)"),
            optional("constant_dd", "degC d (linear)"),
            optional("a", "1/d scale (briere), 1/degC (janisch)"),
            optional("T0", "degC, lower threshold"),
            optional("Tm", "degC, upper threshold"),
            optional("m", "1 (briere-2)"),
            optional("rho", "1/degC (lactin-2, logan-6), 1/d (schoolfield with Tphi)"),
            optional("d", "degC (lactin-2, logan-6)"),
            optional("lam", "1/d (lactin-2)"),
            optional("psi", "1/d (logan-6)"),
            optional("R25", "1/d at Tref (schoolfield)"),
            optional("Tref", "K (schoolfield), 298 if left out"),
            optional("Tphi", "K (schoolfield with rho)"),
            optional("HA", "cal/mol (schoolfield)"),
            optional("HL", "cal/mol (schoolfield, cold side)"),
            optional("TL", "K (schoolfield, cold side)"),
            optional("HH", "cal/mol (schoolfield)"),
            optional("TH", "K (schoolfield)"),
            optional("R", "cal/(mol K) (schoolfield), 1.987 if left out"),
            optional("K0", "K at 0 degC (schoolfield), 273.15 if left out"),
            optional("b", "1/(degC sqrt d) (ratkowsky), 1/degC (janisch)"),
            optional("c", "1/degC (ratkowsky)"),
            optional("Dmin", "d (janisch)"),
            optional("Topt", "degC (janisch)"),
        ]
    };
}

const RATE_INPUTS: &[Input] = rate_inputs!(needed("at_c", "degC"));
const RATE_OPTIMUM_INPUTS: &[Input] = rate_inputs!();

fn ask_degree_days(asked: &Asked<'_>) -> Result<Value, Refused> {
    let methods = ["average", "sine", "triangle", "double-sine", "four-cases"].map(|word| (word, word));
    let curve = match asked.choice("method", &methods)? {
        "average" => DayCurve::Average,
        "sine" => DayCurve::Sine,
        "triangle" => DayCurve::Triangle,
        "double-sine" => DayCurve::DoubleSine { next_low_c: asked.number("next_low_c")? },
        _ => DayCurve::FourCases,
    };
    if asked.has("next_low_c") && !matches!(curve, DayCurve::DoubleSine { .. }) {
        return Err(wrong("next_low_c", "left out: only double-sine looks at the next night"));
    }
    let day = Day { low_c: asked.number("low_c")?, high_c: asked.number("high_c")? };
    figure(degree_days(curve, day, asked.number("lower_c")?, cutoff(asked)?)?)
}

fn cutoff(asked: &Asked<'_>) -> Result<Cutoff, Refused> {
    if !asked.has("cutoff") {
        // An upper threshold without its cut-off could mean three different numbers.
        return if asked.has("upper_c") {
            Err(Refused::Missing { name: "cutoff" })
        } else {
            Ok(Cutoff::None)
        };
    }
    let words = ["none", "horizontal", "intermediate", "vertical"].map(|word| (word, word));
    Ok(match asked.choice("cutoff", &words)? {
        "horizontal" => Cutoff::Horizontal { upper_c: asked.number("upper_c")? },
        "intermediate" => Cutoff::Intermediate { upper_c: asked.number("upper_c")? },
        "vertical" => Cutoff::Vertical { upper_c: asked.number("upper_c")? },
        _ => Cutoff::None,
    })
}

/// Reads the curve; `also` is the one input besides the parameters.
fn model(asked: &Asked<'_>, also: &'static str) -> Result<RateModel, Refused> {
    let n = |name: &'static str| asked.number(name);
    let only = |names: &[&'static str]| {
        let mut known = vec!["model", also];
        known.extend_from_slice(names);
        asked.only("this model", &known)
    };
    let words =
        ["linear", "briere-1", "briere-2", "lactin-2", "logan-6", "schoolfield", "ratkowsky", "janisch"];
    match asked.choice("model", &words.map(|word| (word, word)))? {
        "linear" => {
            only(&["lower_c", "constant_dd"])?;
            Ok(RateModel::Linear { lower_c: n("lower_c")?, constant_dd: n("constant_dd")? })
        }
        "briere-1" => {
            only(&["a", "T0", "Tm"])?;
            Ok(RateModel::Briere1 { a: n("a")?, T0: n("T0")?, Tm: n("Tm")? })
        }
        "briere-2" => {
            only(&["a", "T0", "Tm", "m"])?;
            Ok(RateModel::Briere2 { a: n("a")?, T0: n("T0")?, Tm: n("Tm")?, m: n("m")? })
        }
        "lactin-2" => {
            only(&["rho", "Tm", "d", "lam"])?;
            Ok(RateModel::Lactin2 { rho: n("rho")?, Tm: n("Tm")?, d: n("d")?, lam: n("lam")? })
        }
        "logan-6" => {
            only(&["psi", "rho", "Tm", "d"])?;
            Ok(RateModel::Logan6 { psi: n("psi")?, rho: n("rho")?, Tm: n("Tm")?, d: n("d")? })
        }
        "ratkowsky" => {
            only(&["b", "T0", "Tm", "c"])?;
            Ok(RateModel::Ratkowsky { b: n("b")?, T0: n("T0")?, Tm: n("Tm")?, c: n("c")? })
        }
        "janisch" => {
            only(&["Dmin", "Topt", "a", "b"])?;
            Ok(RateModel::Janisch { Dmin: n("Dmin")?, Topt: n("Topt")?, a: n("a")?, b: n("b")? })
        }
        _ => {
            only(&["R25", "rho", "Tref", "Tphi", "HA", "HL", "TL", "HH", "TH", "R", "K0"])?;
            schoolfield(asked)
        }
    }
}

/// The same curve in two notations: a rate at 25 degC (`R25`, `Tref`) or at its own reference (`rho`, `Tphi`).
fn schoolfield(asked: &Asked<'_>) -> Result<RateModel, Refused> {
    let (rho, reference_k) = if asked.has("rho") {
        if asked.has("R25") {
            return Err(wrong("rho", "left out beside R25: they are two names of the same rate"));
        }
        (asked.number("rho")?, asked.number("Tphi")?)
    } else {
        (asked.number("R25")?, asked.number_or("Tref", 298.0)?)
    };
    let cold = if asked.has("HL") || asked.has("TL") {
        Some((asked.number("HL")?, asked.number("TL")?))
    } else {
        None
    };
    Ok(RateModel::Schoolfield {
        rho,
        Tref: reference_k,
        HA: asked.number("HA")?,
        cold,
        HH: asked.number("HH")?,
        TH: asked.number("TH")?,
        R: asked.number_or("R", 1.987)?,
        K0: asked.number_or("K0", 273.15)?,
    })
}

fn ask_threshold_fit(asked: &Asked<'_>) -> Result<Value, Refused> {
    let methods = [("campbell", FitMethod::Campbell), ("ikemoto", FitMethod::Ikemoto)];
    let method = asked.choice("method", &methods)?;
    let fit = threshold_fit(&asked.numbers("at_c")?, &asked.numbers("days")?, method)?;
    Ok(json!({
        "lower_c": figure(fit.lower_c)?,
        "constant_dd": figure(fit.constant_dd)?,
        "lower_se": figure_or_unknown(fit.lower_se)?,
        "constant_se": figure_or_unknown(fit.constant_se)?,
        "r2": figure(fit.r2)?,
    }))
}

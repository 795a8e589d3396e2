//! Degree-days, threshold fits and rate curves.

use science::development::{
    Cutoff, Day, DayCurve, FitMethod, RateModel, degree_days as dd, fastest_at_c, rate_per_day,
    rate_unclamped, threshold_fit,
};
use science::numerics::{bisect, straight_line};

use crate::table::{Reckoned, Row, one, ours};

pub fn degree_days(row: &Row) -> Reckoned {
    let Some(rest) = row.quantity.strip_prefix("dd_") else { return Ok(None) };
    let low_c = row.number("tmin").or_else(|_| row.number("tmin_today"))?;
    let day = Day { low_c, high_c: row.number("tmax")? };
    let lower_c = row.number("lower").or_else(|_| row.number("base"))?;
    let upper_c = row.number("upper");
    let curve = match rest {
        "average_simple" => DayCurve::Average,
        "piecewise_above" => DayCurve::FourCases,
        _ if rest.starts_with("single_sine_") => DayCurve::Sine,
        _ if rest.starts_with("single_triangle_") => DayCurve::Triangle,
        _ if rest.starts_with("double_sine_") => {
            DayCurve::DoubleSine { next_low_c: row.number("tmin_tomorrow")? }
        }
        _ => return Err(format!("{rest} is not understood")),
    };
    let cutoff = match rest.rsplit('_').next() {
        Some("horizontal") => Cutoff::Horizontal { upper_c: upper_c? },
        Some("intermediate") => Cutoff::Intermediate { upper_c: upper_c? },
        Some("vertical") => Cutoff::Vertical { upper_c: upper_c? },
        _ => Cutoff::None,
    };
    one(dd(curve, day, lower_c, cutoff))
}

pub fn linear_threshold(row: &Row) -> Reckoned {
    let at = row.numbers("T_F").or_else(|_| row.numbers("T_C"))?;
    let days = row.numbers("days")?;
    let rates: Vec<f64> = days.iter().map(|d| 1.0 / d).collect();
    let line = ours(straight_line(("at_c", "days"), &at, &rates))?;
    let campbell = ours(threshold_fit(&at, &days, FitMethod::Campbell))?;
    let ikemoto = ours(threshold_fit(&at, &days, FitMethod::Ikemoto))?;
    let value = match row.quantity.as_str() {
        "intercept" => line.intercept,
        "slope" => line.slope,
        "se_slope" => line.slope_se.unwrap_or(f64::NAN),
        "T0" | "T0_campbell" => campbell.lower_c,
        "K" | "K_campbell" => campbell.constant_dd,
        "T0_ikemoto" => ikemoto.lower_c,
        "K_ikemoto" => ikemoto.constant_dd,
        "se_T0" => campbell.lower_se.unwrap_or(f64::NAN),
        "se_K" => campbell.constant_se.unwrap_or(f64::NAN),
        "r2" => campbell.r2,
        "r" => ikemoto.r2.sqrt(),
        _ => return Ok(None),
    };
    Ok(Some(vec![value]))
}

pub fn rate_models(row: &Row) -> Reckoned {
    let model = model(row)?;
    match row.quantity.as_str() {
        "rate" => one(rate_per_day(model, row.number("T")?)),
        "rate_per_day" => one(rate_per_day(model, row.number("T_C")?)),
        "rate_unclamped" => one(rate_unclamped(model, row.number("T")?)),
        "Topt" => one(fastest_at_c(model, 0.0, 45.0)),
        "zero_crossing_1" => {
            let root = bisect(30.0, 45.0, |t| rate_unclamped(model, t).unwrap_or(f64::NAN));
            root.map(|t| Some(vec![t])).ok_or_else(|| "no crossing".to_owned())
        }
        _ => Ok(None),
    }
}

fn model(row: &Row) -> Result<RateModel, String> {
    let n = |name| row.number(name);
    Ok(match row.case.split('_').next() {
        Some("briere1") => RateModel::Briere1 { a: n("a")?, T0: n("T0")?, Tm: n("Tm")? },
        Some("briere2") => RateModel::Briere2 { a: n("a")?, T0: n("T0")?, Tm: n("Tm")?, m: n("m")? },
        Some("lactin2") => RateModel::Lactin2 { rho: n("rho")?, Tm: n("Tm")?, d: n("d")?, lam: n("lam")? },
        Some("logan6") => RateModel::Logan6 { psi: n("psi")?, rho: n("rho")?, Tm: n("Tm")?, d: n("d")? },
        Some("schoolfield" | "ssi") => RateModel::Schoolfield {
            rho: n("R25").or_else(|_| n("rho"))?,
            Tref: n("Tref").or_else(|_| n("Tphi"))?,
            HA: n("HA")?,
            cold: if row.has("HL") { Some((n("HL")?, n("TL")?)) } else { None },
            HH: n("HH")?,
            TH: n("TH")?,
            R: n("R")?,
            K0: n("K0")?,
        },
        Some("ratkowsky") => RateModel::Ratkowsky { b: n("b")?, T0: n("T0")?, Tm: n("Tm")?, c: n("c")? },
        Some("janisch") => RateModel::Janisch { Dmin: n("Dmin")?, Topt: n("Topt")?, a: n("a")?, b: n("b")? },
        _ => return Err(format!("{} is not understood", row.case)),
    })
}

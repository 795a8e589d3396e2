//! The picture of coverage, drawn as SVG.

use crate::binomial::standard_error;
use crate::held::Held;
use std::fmt::Write;

const LEFT: f64 = 250.0;
const WIDE: f64 = 420.0;
const ROW: f64 = 30.0;
const TOP: f64 = 58.0;

fn x(share: f64) -> f64 {
    LEFT + WIDE * share
}

/// Coverage by situation and world: what the 50 % and the 90 % ranges held, each with two standard errors.
#[must_use]
pub fn coverage(rows: &[(String, Held)]) -> String {
    let tall = TOP + ROW * rows.len() as f64 + 34.0;
    let bottom = tall - 34.0;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0} {tall:.0}\" role=\"img\" \
         font-family=\"sans-serif\" font-size=\"13\" fill=\"#2b2b26\">\n\
         <title>How often the ranges held the true date</title>\n\
         <desc>For each situation, the share of true dates of the median animal that lay in the 50 % range \
         (ring) and in the 90 % range (dot), with two standard errors.</desc>\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#fbfaf6\"/>\n",
        LEFT + WIDE + 24.0
    );
    for (low, high, name) in [(0.45, 0.55, "50 % range"), (0.87, 0.93, "90 % range")] {
        let _ = writeln!(
            svg,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"#dfe8d8\"/>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{name}</text>",
            x(low),
            TOP - 12.0,
            WIDE * (high - low),
            bottom - TOP + 12.0,
            x(0.5 * (low + high)),
            TOP - 24.0
        );
    }
    for tenth in 0..=5 {
        let share = f64::from(tenth) / 5.0;
        let _ = writeln!(
            svg,
            "<line x1=\"{0:.1}\" x2=\"{0:.1}\" y1=\"{1:.1}\" y2=\"{bottom:.1}\" stroke=\"#d8d5c8\"/>\
             <text x=\"{0:.1}\" y=\"{2:.1}\" text-anchor=\"middle\" fill=\"#5c5a50\">{3:.0} %</text>",
            x(share),
            TOP - 12.0,
            bottom + 20.0,
            100.0 * share
        );
    }
    for (at, (name, held)) in rows.iter().enumerate() {
        let y = TOP + ROW * (at as f64 + 0.5) - 6.0;
        let _ = writeln!(
            svg,
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{name}</text>",
            LEFT - 12.0,
            y + 4.5
        );
        let both = [(held.in_50, "#fbfaf6"), (held.in_90, "#3d6b35")];
        for (share, _) in both {
            let two = 2.0 * standard_error(share, held.broods);
            let _ = writeln!(
                svg,
                "<line x1=\"{:.1}\" x2=\"{:.1}\" y1=\"{y:.1}\" y2=\"{y:.1}\" stroke=\"#8fae86\" stroke-width=\"3\"/>",
                x((share - two).max(0.0)),
                x((share + two).min(1.0))
            );
        }
        for (share, fill) in both {
            let _ = writeln!(
                svg,
                "<circle cx=\"{:.1}\" cy=\"{y:.1}\" r=\"5\" fill=\"{fill}\" stroke=\"#3d6b35\" stroke-width=\"2\"/>",
                x(share)
            );
        }
    }
    svg.push_str("</svg>\n");
    svg
}

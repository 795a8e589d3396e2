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

/// One histogram of ranks: what it is of, how it was looked at, and how many fell into each bin.
#[derive(Debug, Clone)]
pub struct Ranked {
    /// The parameter.
    pub name: String,
    /// From counts, or followed by a book.
    pub how: &'static str,
    /// Bins of equal width.
    pub bins: Vec<u32>,
}

const SMALL_WIDE: f64 = 150.0;
const SMALL_TALL: f64 = 74.0;
const ACROSS: usize = 5;

/// Rank histograms side by side. The band holds 99 of 100 bins of even ranks.
#[must_use]
pub fn ranks(all: &[Ranked]) -> String {
    let mut svg = String::new();
    let mut top = 30.0;
    for how in ["counted", "followed"] {
        let own: Vec<&Ranked> = all.iter().filter(|it| it.how == how).collect();
        let head = if how == "counted" { "Learned from counts" } else { "Learned from a book's looks" };
        let _ = writeln!(svg, "<text x=\"16\" y=\"{:.1}\" font-weight=\"bold\">{head}</text>", top);
        for (at, it) in own.iter().enumerate() {
            let left = 16.0 + (at % ACROSS) as f64 * (SMALL_WIDE + 12.0);
            let above = top + 12.0 + (at / ACROSS) as f64 * (SMALL_TALL + 26.0);
            histogram(&mut svg, it, left, above);
        }
        top += 42.0 + own.len().div_ceil(ACROSS) as f64 * (SMALL_TALL + 26.0);
    }
    let wide = 20.0 + ACROSS as f64 * (SMALL_WIDE + 12.0);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {wide:.0} {top:.0}\" role=\"img\" \
         font-family=\"sans-serif\" font-size=\"12\" fill=\"#2b2b26\">\n\
         <title>Ranks of the true value among what was learned</title>\n\
         <desc>For every parameter a histogram of ten bins. If what is learned is right, all bins are alike; the band \
         holds 99 of 100 bins.</desc>\n<rect width=\"100%\" height=\"100%\" fill=\"#fbfaf6\"/>\n{svg}</svg>\n"
    )
}

fn histogram(svg: &mut String, it: &Ranked, left: f64, top: f64) {
    let total: u32 = it.bins.iter().sum();
    let bins = it.bins.len() as f64;
    let even = f64::from(total) / bins;
    // Twice an even bin is the top of the drawing.
    let y = |n: f64| top + 16.0 + SMALL_TALL * (1.0 - (n / (2.0 * even)).min(1.0));
    let off = 2.576 * (even * (1.0 - 1.0 / bins)).sqrt();
    let _ = writeln!(
        svg,
        "<text x=\"{left:.1}\" y=\"{:.1}\">{}</text>\
         <rect x=\"{left:.1}\" y=\"{:.1}\" width=\"{SMALL_WIDE}\" height=\"{:.1}\" fill=\"#dfe8d8\"/>",
        top + 10.0,
        it.name,
        y(even + off),
        y(even - off) - y(even + off)
    );
    for (at, n) in it.bins.iter().enumerate() {
        let high = y(f64::from(*n));
        let _ = writeln!(
            svg,
            "<rect x=\"{:.1}\" y=\"{high:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"#3d6b35\" fill-opacity=\"0.55\"/>",
            left + SMALL_WIDE * at as f64 / bins + 1.0,
            SMALL_WIDE / bins - 2.0,
            y(0.0) - high
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_histogram_is_drawn_and_even_bins_reach_the_middle_of_the_band() {
        let one = |how| Ranked { name: "spread".to_owned(), how, bins: vec![20; 10] };
        let svg = ranks(&[one("counted"), one("followed")]);
        assert_eq!(svg.matches("fill-opacity").count(), 20);
        assert_eq!(svg.matches(">spread<").count(), 2);
        // Of 200 in ten bins a bin is off by 2.576 times the root of 18: 10.9; twice 20 is 74 units tall.
        assert!(svg.contains(&format!(
            "height=\"{:.1}\" fill=\"#dfe8d8\"",
            74.0 * 2.0 * 2.576 * 18.0_f64.sqrt() / 40.0
        )));
    }
}

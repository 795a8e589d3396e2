//! Numbers as people write them: read if they can be read one way only, asked about otherwise.

use crate::words;
use terms::bounds;

/// A whole number of animals.
///
/// ```
/// use web::read::numbers::animals;
/// assert_eq!(animals(" 12 "), Ok(12));
/// assert!(animals("1.000").is_err_and(|says| says.contains("1 or 1000")));
/// ```
///
/// # Errors
/// One or two sentences: what cannot be read, and what to write instead.
pub fn animals(written: &str) -> Result<u32, String> {
    let word = written.trim();
    if let Some((small, large)) = two_ways(word) {
        return Err(format!("\u{201c}{word}\u{201d} can be read two ways. Write {small} or {large}."));
    }
    if word.is_empty() || !word.bytes().all(|it| it.is_ascii_digit()) {
        return Err(format!(
            "\u{201c}{}\u{201d} is no number of animals. Write a whole number such as 3.",
            shown(word)
        ));
    }
    let number: f64 =
        word.parse().map_err(|_| format!("\u{201c}{}\u{201d} is no number of animals.", shown(word)))?;
    bounds::ANIMALS_SEEN.check(number).map_err(|it| format!("{}.", words::upper_first(&it.to_string())))?;
    word.parse().map_err(|_| format!("\u{201c}{}\u{201d} is too large a number of animals.", shown(word)))
}

/// Grams of leaf, with a decimal point or a decimal comma.
///
/// ```
/// use web::read::numbers::leaf_fresh_g;
/// assert_eq!(leaf_fresh_g("9,5 g"), Ok(9.5));
/// assert!(leaf_fresh_g("1.000").is_err_and(|says| says.contains("1 or 1000")));
/// assert_eq!(leaf_fresh_g("0.125"), Ok(0.125));
/// ```
///
/// # Errors
/// One or two sentences: what cannot be read, and what to write instead.
pub fn leaf_fresh_g(written: &str) -> Result<f64, String> {
    let word = written.trim();
    let number = word.strip_suffix(['g', 'G']).unwrap_or(word).trim_end();
    if let Some((small, large)) = two_ways(number) {
        return Err(format!(
            "\u{201c}{word}\u{201d} can be read two ways: as {small} g or as {large} g. Write {small} or {large}."
        ));
    }
    let pointed = number.replace(',', ".");
    let (whole, part) = pointed.split_once('.').unwrap_or((&pointed, "0"));
    let digits = |it: &str| !it.is_empty() && it.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(part) {
        return Err(format!("\u{201c}{}\u{201d} is no weight. Write grams such as 9 or 9.5.", shown(word)));
    }
    let grams: f64 = pointed.parse().map_err(|_| format!("\u{201c}{}\u{201d} is no weight.", shown(word)))?;
    bounds::LEAF_FRESH_G.check(grams).map_err(|it| format!("{}.", words::upper_first(&it.to_string())))?;
    Ok(grams)
}

/// Degrees Celsius, with a decimal point or a decimal comma, below nought too.
///
/// ```
/// use web::read::numbers::air_c;
/// assert_eq!(air_c("18,5"), Ok(18.5));
/// assert_eq!(air_c("-3 \u{b0}C"), Ok(-3.0));
/// assert!(air_c("1.000").is_err_and(|says| says.contains("Write 1 or 1000.")));
/// assert!(air_c("185").is_err_and(|says| says.contains("between -40")));
/// ```
///
/// # Errors
/// One or two sentences: what cannot be read, and what to write instead.
pub fn air_c(written: &str) -> Result<f64, String> {
    let word = written.trim();
    let bare = ["\u{b0}C", "\u{b0}c", "\u{b0}", "C", "c"]
        .iter()
        .find_map(|it| word.strip_suffix(it))
        .unwrap_or(word);
    let number = bare.trim_end();
    let (sign, digits) = match number.strip_prefix(['-', '\u{2212}', '\u{2013}']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, number.strip_prefix('+').unwrap_or(number)),
    };
    let value = plain_number(word, digits, "temperature. Write degrees Celsius such as 18 or 18.5")?;
    bounds::AIR_C.check(sign * value).map_err(|it| sentence(&it))
}

/// Relative humidity in percent.
///
/// ```
/// use web::read::numbers::humidity_percent;
/// assert_eq!(humidity_percent("70 %"), Ok(70.0));
/// assert!(humidity_percent("170").is_err());
/// ```
///
/// # Errors
/// One or two sentences: what cannot be read, and what to write instead.
pub fn humidity_percent(written: &str) -> Result<f64, String> {
    let word = written.trim();
    let number = word.strip_suffix('%').unwrap_or(word).trim_end();
    let value = plain_number(word, number, "humidity. Write percent such as 70")?;
    bounds::HUMIDITY_PERCENT.check(value).map_err(|it| sentence(&it))
}

fn sentence(it: &bounds::OutOfBounds) -> String {
    format!("{}.", words::upper_first(&it.to_string().replace("degC", "\u{b0}C")))
}

/// Digits with at most one decimal mark, if they can be read one way only.
fn plain_number(word: &str, number: &str, what: &str) -> Result<f64, String> {
    if let Some((small, large)) = two_ways(number) {
        return Err(format!(
            "\u{201c}{}\u{201d} can be read two ways. Write {small} or {large}.",
            shown(word)
        ));
    }
    let pointed = number.replace(',', ".");
    let (whole, part) = pointed.split_once('.').unwrap_or((&pointed, "0"));
    let digits = |it: &str| !it.is_empty() && it.bytes().all(|byte| byte.is_ascii_digit());
    let no = || format!("\u{201c}{}\u{201d} is no {what}.", shown(word));
    if !digits(whole) || !digits(part) {
        return Err(no());
    }
    pointed.parse().map_err(|_| no())
}

/// The two numbers that a word such as `1.000`, `12,500` or `1 000` may mean.
///
/// One to three digits, one mark, three digits: a decimal to some, thousands
/// to others. A leading nought cannot begin thousands.
fn two_ways(word: &str) -> Option<(String, String)> {
    let (whole, part) = word.split_once(['.', ',', ' ', '\'', '\u{a0}', '\u{202f}', '\u{2019}'])?;
    let digits = |it: &str| !it.is_empty() && it.bytes().all(|byte| byte.is_ascii_digit());
    let both =
        digits(whole) && digits(part) && whole.len() <= 3 && part.len() == 3 && !whole.starts_with('0');
    if !both {
        return None;
    }
    let part_short = part.trim_end_matches('0');
    let small = if part_short.is_empty() { whole.to_owned() } else { format!("{whole}.{part_short}") };
    Some((small, format!("{whole}{part}")))
}

/// A word short enough to be repeated in a sentence.
fn shown(word: &str) -> String {
    if word.chars().count() > 24 {
        format!("{}\u{2026}", word.chars().take(24).collect::<String>())
    } else {
        word.to_owned()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_can_be_read_two_ways_is_asked_about() {
        for (word, small, large) in [
            ("1.000", "1", "1000"),
            ("1,000", "1", "1000"),
            ("12,500", "12.5", "12500"),
            ("1 000", "1", "1000"),
            ("1'000", "1", "1000"),
            ("100.250 g", "100.25", "100250"),
        ] {
            let says = leaf_fresh_g(word).unwrap_err();
            assert!(says.contains(&format!("Write {small} or {large}.")), "{says}");
        }
    }

    #[test]
    fn weights_that_can_be_read_one_way() {
        for (word, grams) in [
            ("9", 9.0),
            ("9.5", 9.5),
            ("9,5", 9.5),
            ("0.125", 0.125),
            ("0,5g", 0.5),
            ("1000", 1000.0),
            ("12.50", 12.5),
            ("007", 7.0),
        ] {
            assert_eq!(leaf_fresh_g(word), Ok(grams), "{word}");
        }
    }

    #[test]
    fn what_is_no_weight() {
        for word in [
            "",
            "g",
            "x",
            "-1",
            "+1",
            "1e3",
            "NaN",
            "inf",
            "1.2.3",
            "1.000.000",
            ".",
            "5.",
            ",5",
            "\u{663}",
            "\u{ff11}",
            "9 kg",
            "50001",
            "0x10",
            "1/2",
            "9;DROP",
        ] {
            assert!(leaf_fresh_g(word).is_err(), "{word:?} was taken for a weight");
        }
    }

    #[test]
    fn temperatures() {
        for (word, degrees) in [
            ("18,5", 18.5),
            ("18.5 \u{b0}C", 18.5),
            ("-3,5", -3.5),
            ("\u{2212}3", -3.0),
            ("0", 0.0),
            ("+4", 4.0),
            ("18C", 18.0),
        ] {
            assert_eq!(air_c(word), Ok(degrees), "{word}");
        }
        for word in ["", "-", "18,5,1", "65", "-41", "1,000", "warm", "1e1", "18 F", "--3", "NaN", "C"] {
            assert!(air_c(word).is_err(), "{word:?} was taken for a temperature");
        }
        let says = air_c("-1.000").unwrap_err();
        assert!(says.contains("can be read two ways") && says.contains("Write 1 or 1000"), "{says}");
        assert_eq!(humidity_percent("72,5%"), Ok(72.5));
        assert!(humidity_percent("-1").is_err() && humidity_percent("101").is_err());
    }

    #[test]
    fn what_is_no_number_of_animals() {
        for word in [
            "",
            "two",
            "-1",
            "2.5",
            "2,0",
            "1.000",
            "100001",
            "99999999999999999999",
            "1 2",
            "\u{bd}",
            "\u{969}",
        ] {
            assert!(animals(word).is_err(), "{word:?} was taken for a number of animals");
        }
    }

    proptest! {
        #[test]
        fn nothing_typed_ever_panics(word in ".{0,40}") {
            let _ = animals(&word);
            let _ = leaf_fresh_g(&word);
            let _ = air_c(&word);
            let _ = humidity_percent(&word);
        }

        #[test]
        fn every_whole_number_in_range_reads_as_itself(n in 0_u32..=100_000) {
            prop_assert_eq!(animals(&n.to_string()), Ok(n));
        }
    }
}

//! Numbers as people type them. What can be read two ways is refused, because
//! a guess that is wrong by a thousand looks just like a good one.

use terms::Bounds;

/// A whole number.
///
/// # Errors
/// A sentence that says what to write instead.
pub fn count(written: &str) -> Result<u32, String> {
    let text = written.trim();
    if !text.is_empty() && text.bytes().all(|it| it.is_ascii_digit()) {
        return text
            .parse()
            .map_err(|_| format!("`{text}` is more than anybody can count: look at the number again"));
    }
    if let Some((whole, rest)) = grouped(text) {
        let short =
            if rest.bytes().all(|it| it == b'0') { whole.to_owned() } else { format!("{whole}.{rest}") };
        return Err(format!(
            "`{text}` can be read as {short} or as {whole}{rest}: write the whole number, with no point, comma or blank in it"
        ));
    }
    if text.starts_with(['-', '\u{2212}']) {
        return Err(format!("`{text}` is below zero: write how many there were, 0 if none"));
    }
    if plain_decimal(text, '.') || plain_decimal(text, ',') {
        return Err(format!("`{text}` is no whole number: write how many there were, such as 12"));
    }
    Err(format!("`{text}` is no whole number: write digits only, such as 12"))
}

/// A measured number within its bounds. A decimal comma is read only where
/// the cells of the table are parted by semicolons.
///
/// # Errors
/// A sentence that says what to write instead.
pub fn measure(written: &str, comma_decimals: bool, bounds: &'static Bounds) -> Result<f64, String> {
    let text = written.trim().replace('\u{2212}', "-");
    let unsigned = text.strip_prefix('-').unwrap_or(&text);
    let point = plain_decimal(unsigned, '.');
    let comma = !point && plain_decimal(unsigned, ',');
    if comma && !comma_decimals {
        return Err(match grouped(unsigned) {
            Some((whole, rest)) => format!(
                "`{text}` can be read as {whole}.{rest} or as {whole}{rest}: write decimals with a point and thousands with nothing"
            ),
            None => format!(
                "`{text}` has a decimal comma, but commas part the cells of this table: write {}",
                text.replace(',', ".")
            ),
        });
    }
    if !(point || comma) {
        return Err(no_number(&text));
    }
    let with_point = text.replace(',', ".");
    let read = |digits: &str| digits.parse::<f64>().map_err(|_| no_number(&text));
    let value = read(&with_point)?;
    // Where decimal commas are usual, a point can part thousands, and the
    // other way round; only the bounds can tell which of the two is meant.
    if comma_decimals && let Some((whole, rest)) = grouped(unsigned) {
        let thousands = read(&with_point.replace('.', ""))?;
        if bounds.check(value).is_ok() && bounds.check(thousands).is_ok() {
            return Err(format!(
                "`{text}` can be read as {whole}.{rest} or as {whole}{rest}: write {whole}{rest} for the second, or one decimal more or less for the first"
            ));
        }
    }
    bounds.check(value).map_err(|refused| format!("{refused}: look at the number again"))
}

fn no_number(text: &str) -> String {
    let lower = text.trim_start_matches(['-', '+']).to_ascii_lowercase();
    if matches!(lower.as_str(), "nan" | "inf" | "infinity" | "#n/a" | "#div/0!" | "#value!" | "n/a") {
        format!("`{text}` is no number: leave the cell empty if nobody measured")
    } else {
        format!("`{text}` is no number: write the number alone, such as 1.5, without a unit")
    }
}

/// `12`, `12.5`; the sign is whichever of point and comma is asked for.
fn plain_decimal(text: &str, sign: char) -> bool {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|it| it.is_ascii_digit());
    match text.split_once(sign) {
        Some((whole, rest)) => digits(whole) && digits(rest),
        None => digits(text),
    }
}

/// One to three digits, a sign, three digits: thousands or decimals, who knows.
/// A leading nought settles it.
fn grouped(text: &str) -> Option<(&str, &str)> {
    let (whole, rest) = text.split_once(['.', ',', '\'', ' ', '\u{a0}', '\u{202f}'])?;
    let digits = |part: &str| part.bytes().all(|it| it.is_ascii_digit());
    let thousands = (1..=3).contains(&whole.len()) && rest.len() == 3 && digits(whole) && digits(rest);
    (thousands && !whole.starts_with('0')).then_some((whole, rest))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::float_cmp, reason = "a test may panic, and these numbers are exact")]
mod tests {
    use super::*;
    use terms::bounds::{AIR_C, ANIMAL_FRESH_G, LEAF_FRESH_G};

    #[test]
    fn counts_are_digits_only() {
        assert_eq!(count(" 12 "), Ok(12));
        assert_eq!(count("0"), Ok(0));
        for bad in ["", "-1", "1.5", "1e3", "NaN", "inf", "+4", "12 larvae", "99999999999", "\u{0663}"] {
            assert!(count(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_count_that_can_be_read_two_ways_names_both() {
        for (written, readings) in
            [("1.000", "as 1 or as 1000"), ("2,345", "as 2.345 or as 2345"), ("1 000", "as 1 or as 1000")]
        {
            assert!(
                count(written).unwrap_err().contains(readings),
                "{written}: {}",
                count(written).unwrap_err()
            );
        }
    }

    #[test]
    fn a_decimal_comma_needs_semicolons() {
        assert_eq!(measure("1,5", true, &ANIMAL_FRESH_G), Ok(1.5));
        assert!(measure("1,5", false, &ANIMAL_FRESH_G).unwrap_err().ends_with("write 1.5"));
        assert_eq!(measure("0,127", true, &LEAF_FRESH_G), Ok(0.127));
    }

    #[test]
    fn only_the_bounds_tell_thousands_from_decimals() {
        // 1234 g is no cocoon, so 1,234 can only be 1.234 g; of leaf there may be both.
        assert_eq!(measure("1,234", true, &ANIMAL_FRESH_G), Ok(1.234));
        assert!(measure("1,234", true, &LEAF_FRESH_G).unwrap_err().contains("1.234 or as 1234"));
        assert!(measure("1.234", true, &LEAF_FRESH_G).unwrap_err().contains("1.234 or as 1234"));
        assert_eq!(measure("1.234", false, &LEAF_FRESH_G), Ok(1.234));
        assert!(measure("1,234", false, &LEAF_FRESH_G).unwrap_err().contains("1.234 or as 1234"));
    }

    #[test]
    fn what_is_no_number_is_refused() {
        assert_eq!(measure("-4.0", false, &AIR_C), Ok(-4.0));
        assert_eq!(measure("\u{2212}4", false, &AIR_C), Ok(-4.0));
        for bad in ["", "NaN", "inf", "-inf", "1e2", ".5", "5.", "1.2.3", "12 g", "400", "--3"] {
            assert!(measure(bad, false, &AIR_C).is_err(), "{bad}");
        }
    }
}

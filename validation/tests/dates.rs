//! A little of the checks of dates, on every change: fixed seeds, bounds that a right forecast passes but once in a
//! thousand changes of the seeds.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use validation::checks::dates::{Seasons, calibration, sharpness};
use validation::checks::warning;
use validation::size::Size;

/// One test, because the broods are dear: what is asked of them, and that planted errors in the very same answers are
/// caught.
#[test]
fn dates_hold_what_their_ranges_say_and_planted_errors_are_caught() {
    let seasons = Seasons::made(Size::Small, &|_| ()).unwrap();
    let checks = [
        calibration(&seasons, Size::Small),
        sharpness(&seasons, Size::Small),
        warning::warns(&seasons, Size::Small, &|_| ()).unwrap(),
    ];
    let mut complaints: Vec<String> =
        checks.iter().filter(|it| !it.passed()).map(|it| it.complaint()).collect();
    let planted = [
        ("all dates a day and a half late", seasons.planted(|it| it.later(1.5))),
        ("all dates a day and a half early", seasons.planted(|it| it.later(-1.5))),
        ("ranges of half the width", seasons.planted(|it| it.scaled(0.5))),
        ("ranges of three times the width", seasons.planted(|it| it.scaled(3.0))),
    ];
    for (error, seasons) in planted {
        if calibration(&seasons, Size::Small).passed() {
            complaints.push(format!("nobody noticed a planted error: {error}"));
        }
    }
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

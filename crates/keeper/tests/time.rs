//! Time as a keeper meets it: clocks that change, zones that move, days that do not exist.
//!
//! Sources: the rules of the time zone database as published with each
//! change. European Union: directive 2000/84/EC (last Sundays of March and
//! October, 01:00 UTC). United States: Energy Policy Act of 2005 (second Sunday of
//! March, first of November, 02:00 local). Lord Howe Island: half an hour, first
//! Sundays of October and April. Samoa left out 30 December 2011. Turkey stays at
//! three hours since 2016. Weeks: ISO 8601.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::open_at;
use jiff::civil::{Date, DateTime, date};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use keeper::rearing::{Deed, Entry, When, replay};
use keeper::view::round::RoundNote;
use keeper::{AsOf, Keeper, Opening, make_empty_book, say};
use store::{Access, Store};
use uuid::Uuid;

fn utc(words: &str) -> Timestamp {
    words.parse().unwrap()
}

/// Zone, time on the wall, the instant meant. A skipped time is read as the time after the jump, a doubled one as the first.
const ON_THE_WALL: [(&str, &str, &str); 30] = [
    // Europe, forward and back.
    ("Europe/London", "2025-03-30T00:59", "2025-03-30T00:59Z"),
    ("Europe/London", "2025-03-30T01:00", "2025-03-30T01:00Z"),
    ("Europe/London", "2025-03-30T01:30", "2025-03-30T01:30Z"),
    ("Europe/London", "2025-03-30T02:00", "2025-03-30T01:00Z"),
    ("Europe/London", "2025-10-26T00:59", "2025-10-25T23:59Z"),
    ("Europe/London", "2025-10-26T01:30", "2025-10-26T00:30Z"),
    ("Europe/London", "2025-10-26T02:00", "2025-10-26T02:00Z"),
    ("Europe/Berlin", "2025-03-30T02:30", "2025-03-30T01:30Z"),
    ("Europe/Berlin", "2025-10-26T02:30", "2025-10-26T00:30Z"),
    ("Europe/Berlin", "2025-10-26T03:00", "2025-10-26T02:00Z"),
    // America.
    ("America/New_York", "2025-03-09T01:59", "2025-03-09T06:59Z"),
    ("America/New_York", "2025-03-09T02:30", "2025-03-09T07:30Z"),
    ("America/New_York", "2025-11-02T01:30", "2025-11-02T05:30Z"),
    ("America/New_York", "2025-11-02T02:00", "2025-11-02T07:00Z"),
    // Half an hour, and offsets of a quarter.
    ("Australia/Lord_Howe", "2025-10-05T01:59", "2025-10-04T15:29Z"),
    ("Australia/Lord_Howe", "2025-10-05T02:15", "2025-10-04T15:45Z"),
    ("Australia/Lord_Howe", "2025-10-05T02:30", "2025-10-04T15:30Z"),
    ("Australia/Lord_Howe", "2025-04-06T01:45", "2025-04-05T14:45Z"),
    ("Australia/Lord_Howe", "2025-04-06T02:00", "2025-04-05T15:30Z"),
    ("Asia/Kathmandu", "2025-06-01T07:00", "2025-06-01T01:15Z"),
    ("Asia/Kolkata", "2025-06-01T07:00", "2025-06-01T01:30Z"),
    ("Pacific/Chatham", "2025-06-01T07:00", "2025-05-31T18:15Z"),
    // Two hours at once, near the pole, and days without a night or a day.
    ("Antarctica/Troll", "2025-03-30T02:00", "2025-03-30T02:00Z"),
    ("Antarctica/Troll", "2025-07-01T12:00", "2025-07-01T10:00Z"),
    ("Arctic/Longyearbyen", "2025-06-21T00:00", "2025-06-20T22:00Z"),
    ("Arctic/Longyearbyen", "2025-12-21T12:00", "2025-12-21T11:00Z"),
    // Zones that moved: a day left out, and an end of changing clocks.
    ("Pacific/Apia", "2011-12-29T23:00", "2011-12-30T09:00Z"),
    ("Pacific/Apia", "2011-12-31T01:00", "2011-12-30T11:00Z"),
    ("Europe/Istanbul", "2015-12-01T12:00", "2015-12-01T10:00Z"),
    ("Europe/Istanbul", "2016-12-01T12:00", "2016-12-01T09:00Z"),
];

#[test]
fn a_time_on_the_wall_is_one_instant() {
    for (zone, wall, at) in ON_THE_WALL {
        let wall: DateTime = wall.parse().unwrap();
        let at = utc(at);
        let when = When::on_the_wall(wall, zone).unwrap();
        assert_eq!(when.at, at, "{zone} {wall}");
        assert_eq!(when.wall, wall, "the wall clock is kept as it was read: {zone} {wall}");
        assert_eq!(AsOf::OnTheWall(wall).in_zone(&TimeZone::get(zone).unwrap()), at, "{zone} {wall}");
    }
}

/// Zone, day, hours from its 7:00 to that of the next day.
const MORNINGS: [(&str, Date, f64); 14] = [
    ("Europe/Berlin", date(2025, 3, 28), 24.0),
    ("Europe/Berlin", date(2025, 3, 29), 23.0),
    ("Europe/Berlin", date(2025, 3, 30), 24.0),
    ("Europe/Berlin", date(2025, 10, 25), 25.0),
    ("America/New_York", date(2025, 3, 8), 23.0),
    ("America/New_York", date(2025, 11, 1), 25.0),
    ("Australia/Lord_Howe", date(2025, 10, 4), 23.5),
    ("Australia/Lord_Howe", date(2025, 4, 5), 24.5),
    ("Antarctica/Troll", date(2025, 3, 29), 22.0),
    ("Antarctica/Troll", date(2025, 10, 25), 26.0),
    ("Asia/Kolkata", date(2025, 3, 29), 24.0),
    ("UTC", date(2024, 2, 28), 24.0),
    ("Europe/London", date(2024, 2, 29), 24.0),
    ("Europe/Istanbul", date(2016, 10, 29), 24.0),
];

#[test]
fn from_morning_to_morning_is_not_always_a_day_of_24_hours() {
    for (zone, day, hours) in MORNINGS {
        let folder = tempfile::tempdir().unwrap();
        make_empty_book(folder.path(), zone).unwrap();
        let keeper = open_at(folder, "2026-12-31").keeper;
        let (from, to) = (keeper.morning_of(day), keeper.morning_of(day.tomorrow().unwrap()));
        let between = to.duration_since(from).as_secs_f64() / 3600.0;
        assert!((between - hours).abs() < 1e-9, "{zone} {day}: {between} h, not {hours} h");
    }
}

/// Zone, instant, the keeper's day in words.
const TODAY: [(&str, &str, &str); 14] = [
    ("Europe/London", "2025-05-31T22:59Z", "Saturday 31 May 2025"),
    ("Europe/London", "2025-05-31T23:00Z", "Sunday 1 June 2025"),
    ("Asia/Kolkata", "2025-05-31T18:29Z", "Saturday 31 May 2025"),
    ("Asia/Kolkata", "2025-05-31T18:30Z", "Sunday 1 June 2025"),
    ("America/New_York", "2026-01-01T04:59Z", "Wednesday 31 December 2025"),
    ("Pacific/Kiritimati", "2025-12-31T10:00Z", "Thursday 1 January 2026"),
    ("Pacific/Pago_Pago", "2026-01-01T10:59Z", "Wednesday 31 December 2025"),
    ("Pacific/Apia", "2011-12-30T09:59Z", "Thursday 29 December 2011"),
    ("Pacific/Apia", "2011-12-30T10:00Z", "Saturday 31 December 2011"),
    ("Europe/London", "2024-02-29T12:00Z", "Thursday 29 February 2024"),
    ("Europe/London", "2100-02-28T23:59:59Z", "Sunday 28 February 2100"),
    ("Europe/London", "2100-03-01T00:00Z", "Monday 1 March 2100"),
    ("Arctic/Longyearbyen", "2025-06-20T22:00Z", "Saturday 21 June 2025"),
    ("Europe/London", "2026-12-31T12:00Z", "Thursday 31 December 2026"),
];

#[test]
fn today_is_the_day_on_the_keepers_wall() {
    for (zone, at, day) in TODAY {
        let folder = tempfile::tempdir().unwrap();
        make_empty_book(folder.path(), zone).unwrap();
        let keeper = open_at(folder, at).keeper;
        assert_eq!(say::long_day(keeper.look().today()), day, "{zone} {at}");
    }
    // Week 53 of 2026, and a year's end that belongs to the next year's first week.
    let week = |day: Date| (day.iso_week_date().year(), day.iso_week_date().week());
    assert_eq!(week(date(2026, 12, 31)), (2026, 53));
    assert_eq!(week(date(2024, 12, 30)), (2025, 1));
}

/// Words of a moment, and whether they name one.
const WORDS: [(&str, bool); 10] = [
    ("2024-02-29", true),
    ("2025-02-29", false),
    ("2100-02-29", false),
    ("2025-06-31", false),
    ("2025-06-01T24:00", false),
    ("2025-06-01T07:60", false),
    ("2025-06-01T07:40:00+02:00", true),
    ("2025-03-30T01:30", true),
    ("1.6.2025", false),
    ("+999999-01-01", false),
];

#[test]
fn words_that_name_no_moment_are_refused() {
    for (words, names) in WORDS {
        assert_eq!(words.parse::<AsOf>().is_ok(), names, "{words}");
    }
}

fn entry(n: u128, at: Timestamp, deed: serde_json::Value) -> Entry {
    let wall = TimeZone::UTC.to_datetime(at);
    let happened = When { at, zone: "UTC".to_owned(), wall };
    let deed: Deed = serde_json::from_value(deed).unwrap();
    Entry { id: Uuid::from_u128(n), happened, noted_at: at, by: "keeper".to_owned(), deed }
}

fn opened(n: u128, at: Timestamp) -> Entry {
    entry(n, at, serde_json::json!({ "kind": "box-opened", "what": { "box": "H01", "line": "HEATH" } }))
}

fn said(n: u128, at: Timestamp, text: &str) -> Entry {
    entry(n, at, serde_json::json!({ "kind": "remarked", "what": { "about": "H01", "text": text } }))
}

#[test]
fn entries_count_in_the_order_in_which_they_happened_then_in_their_place_in_the_book() {
    let at = utc("2025-06-01T06:00Z");
    let later = at + SignedDuration::from_secs(1);
    let closed = |n, at| entry(n, at, serde_json::json!({ "kind": "box-closed", "what": { "box": "H01" } }));
    assert!(replay(&[opened(1, at), closed(2, at)]).is_ok(), "one moment: as noted");
    assert!(replay(&[closed(2, at), opened(1, at)]).is_err(), "one moment, the other way round");
    assert!(replay(&[closed(2, later), opened(1, at)]).is_ok(), "noted late, but it happened before");
    assert!(replay(&[opened(1, later), closed(2, at)]).is_err());
}

/// The clock of the machine was ahead when the last note was taken, and was then set back by so much.
#[test]
fn a_clock_that_is_set_back_neither_loses_nor_refuses_nor_reorders() {
    for (back_s, warned) in [(30, false), (3_600, true), (365 * 86_400, true), (86_400, true)] {
        let folder = tempfile::tempdir().unwrap();
        make_empty_book(folder.path(), "UTC").unwrap();
        let now = Keeper::open(folder.path(), &Opening::default()).unwrap().look().at;
        let ahead = now + SignedDuration::from_secs(back_s);
        let store = Store::open(folder.path(), Access::Write).unwrap();
        store.append(&[opened(1, ahead), said(2, ahead, "the clock was ahead")]).unwrap();
        drop(store);
        let keeper = Keeper::open(folder.path(), &Opening::default()).unwrap();
        for text in ["one", "two"] {
            let note = RoundNote { remark: text.to_owned(), ..RoundNote::default() };
            keeper.note_round("H01", &note).unwrap();
        }
        let entries = keeper.entries();
        assert_eq!(entries.len(), 4, "{back_s}");
        assert!(entries.windows(2).all(|it| it[0].happened.at <= it[1].happened.at), "{back_s}: reordered");
        assert!(entries.windows(2).all(|it| it[0].noted_at <= it[1].noted_at), "{back_s}");
        let notice = keeper.notice().unwrap_or_default();
        assert_eq!(notice.contains("The clock of this machine shows"), warned, "{back_s}: {notice}");
    }
}

//! The served pages in a real browser (Debian's chromium and its driver), at
//! the size of a phone and of a laptop.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod bench;
#[path = "../common/mod.rs"]
mod common;
mod first_run;
mod no_signal;
mod ten_boxes;

use bench::{Bench, LAPTOP, PHONE, Size, Theme};
use rearing::{Deed, Way};
use serde_json::Value;

/// The deeds of a morning as the rows of `events.csv` spell them.
fn as_events(deeds: &[Deed]) -> Vec<String> {
    let row = |deed: &Deed| match deed {
        Deed::Moulted(it) => {
            let (to, into) = (it.from.after_moult()?, it.into.clone().unwrap_or_default());
            Some(format!("{},moult,{},{},{to},{into},", it.name, it.n, it.from))
        }
        Deed::Left(it) if it.way == Way::Died => {
            Some(format!("{},death,{},{},,,{}", it.name, it.n, it.stage, it.sign))
        }
        Deed::BoxClosed(it) => Some(format!("{},close_box,0,,,,", it.name)),
        _ => None,
    };
    deeds.iter().filter_map(row).collect()
}

/// The round of 1 June of season A by taps: its entries are the events of that day.
async fn the_first_of_june(size: Size) {
    let bench = Bench::open(size).await;
    bench.visit("/round/H05").await;
    bench.tap("moved_n", "1").await;
    bench.tap("moved_into", "box:H09").await;
    bench.go("next").await;
    assert_eq!(bench.path().await, "/round/H06");
    bench.tap("moved_n", "3").await;
    bench.tap("moved_into", "box:H09").await;
    bench.go("stay").await;
    assert_eq!(bench.path().await, "/round/H06");
    bench.tap("moved_n", "2").await;
    bench.tap("moved_into", "box:H10").await;
    bench.picture("round-H06-being-filled").await;
    bench.go("next").await;
    assert_eq!(bench.path().await, "/round/H07");
    bench.tap("dead_n", "1").await;
    bench.tap("sign", "stuck in the old skin").await;
    bench.picture("round-H07-being-filled").await;
    bench.go("next").await;
    bench.visit("/round/H05").await;
    bench.tap_any("close").await;
    bench.go("next").await;

    let expected: Vec<String> = common::table("events.csv")
        .iter()
        .filter(|row| row["date"] == "2025-06-01")
        .map(|row| {
            ["box", "event", "n", "stage_from", "stage_to", "to_box", "cause"]
                .map(|it| row[it].clone())
                .join(",")
        })
        .collect();
    assert_eq!(expected.len(), 5);
    let deeds = bench.noted();
    assert_eq!(as_events(&deeds), expected, "{deeds:#?}");
    // Nothing was noted that nobody tapped: besides these only the counts of the boxes that were opened.
    let counted: Vec<&str> = deeds
        .iter()
        .filter(|it| !matches!(it, Deed::Moulted(_) | Deed::Left(_) | Deed::BoxClosed(_)))
        .map(|it| match it {
            Deed::Counted(it) => it.name.as_str(),
            other => panic!("nobody tapped {other:?}"),
        })
        .collect();
    assert!(counted.iter().all(|it| ["H05", "H06", "H07"].contains(it)), "{counted:?}");
    bench.close().await;
}

#[tokio::test]
async fn the_round_of_the_first_of_june_on_a_phone() {
    the_first_of_june(PHONE).await;
}

#[tokio::test]
async fn the_round_of_the_first_of_june_on_a_laptop() {
    the_first_of_june(LAPTOP).await;
}

#[tokio::test]
async fn two_short_on_the_page_are_explained_confirmed_and_undone() {
    let bench = Bench::open(PHONE).await;
    bench.visit("/round/H08").await;
    bench.tap("left", "other").await;
    bench.tap_or_type("seen_L4", "4").await;
    bench.go("next").await;
    assert_eq!(bench.path().await, "/round/H08", "a count that does not fit stays at the box");
    let page = bench.text().await;
    assert!(page.contains("2 short: look in the old leaves"), "{page}");
    bench.picture("round-H08-two-short").await;
    bench.submit("/round/H08/misfit").await;
    let missing = |deeds: &[Deed]| {
        deeds.iter().any(|it| matches!(it, Deed::Left(it) if it.way == Way::Missing && it.n == 2))
    };
    assert!(missing(&bench.noted()));
    bench.submit("/round/H08/undo").await;
    assert!(matches!(bench.noted().last(), Some(Deed::SetAside(_))));
    bench.close().await;
}

#[tokio::test]
async fn a_number_that_can_be_read_two_ways_is_asked_about_and_what_was_typed_stays() {
    let bench = Bench::open(PHONE).await;
    bench.visit("/round/H08").await;
    let entries = bench.noted().len();
    bench.type_hidden("leaf_or", "1.000").await;
    bench.go("stay").await;
    let page = bench.text().await;
    assert!(page.contains("1.000") && page.to_lowercase().contains("nothing was saved"), "{page}");
    assert_eq!(bench.value("leaf_or").await, "1.000");
    assert_eq!(bench.noted().len(), entries);
    bench.close().await;
}

/// What a script in the page measures: sideways scrolling, small or crowded
/// controls, text in pictures that is too small, and requests to elsewhere.
const MEASURE: &str = r"
    const least = arguments[0], apart = arguments[1];
    const faults = [];
    const root = document.documentElement;
    if (root.scrollWidth > innerWidth) faults.push('scrolls sideways: ' + root.scrollWidth + ' > ' + innerWidth);
    const seen = it => { const r = it.getBoundingClientRect(); const s = getComputedStyle(it);
        return r.width > 2 && r.height > 2 && s.visibility !== 'hidden' && s.opacity !== '0'; };
    const inRound = it => it.closest('form.round, form.work') !== null;
    const controls = [...document.querySelectorAll('button, a[href], summary, label.chip, input:not([type=hidden]):not([type=radio]):not([type=checkbox]), select')]
        .filter(seen).filter(it => !it.classList.contains('skip') && !it.closest('details:not([open]) > :not(summary)'));
    for (const it of controls) {
        const r = it.getBoundingClientRect();
        const inline = it.tagName === 'A' && it.closest('p, li, td, figcaption') && getComputedStyle(it).display === 'inline';
        const floor = inRound(it) ? least : 44;
        if (!inline && (r.width < floor - 0.5 || r.height < floor - 0.5))
            faults.push('small: ' + it.outerHTML.slice(0, 90) + ' ' + Math.round(r.width) + 'x' + Math.round(r.height));
    }
    const chips = controls.filter(it => inRound(it) && it.matches('button, label.chip'));
    const sticky = it => { for (let at = it; at; at = at.parentElement) if (getComputedStyle(at).position === 'sticky') return true; return false; };
    for (const a of chips) for (const b of chips) {
        if (a === b || a.contains(b) || b.contains(a) || sticky(a) !== sticky(b) || sticky(a)) continue;
        const p = a.getBoundingClientRect(), q = b.getBoundingClientRect();
        const dx = Math.max(q.left - p.right, p.left - q.right), dy = Math.max(q.top - p.bottom, p.top - q.bottom);
        if (Math.max(dx, dy) < apart - 0.5) faults.push('crowded: ' + a.textContent.trim() + ' | ' + b.textContent.trim());
    }
    for (const it of document.querySelectorAll('svg text')) {
        const box = it.closest('svg'); const r = box.getBoundingClientRect();
        if (r.width < 2) continue;
        const scale = r.width / (box.viewBox.baseVal.width || r.width);
        const px = parseFloat(getComputedStyle(it).fontSize) * scale;
        if (px < 11.9) faults.push('tiny text in a picture: ' + it.textContent + ' ' + px.toFixed(1));
    }
    for (const it of performance.getEntriesByType('resource'))
        if (new URL(it.name).origin !== location.origin) faults.push('from elsewhere: ' + it.name);
    return faults;
";

const PAGES: [&str; 17] = [
    "/",
    "/begin",
    "/air",
    "/boxes",
    "/boxes/H06",
    "/outbox",
    "/round",
    "/round/H05",
    "/round/H06",
    "/round/H08",
    "/brood/HEATH",
    "/leaf",
    "/odds/HEATH",
    "/cocoons/HEATH",
    "/pairings",
    "/lines",
    "/trouble",
];

#[tokio::test]
async fn every_page_fits_its_size_in_every_theme_and_is_pictured() {
    for size in [PHONE, LAPTOP] {
        let bench = Bench::open(size).await;
        for theme in [Theme::Light, Theme::Dark, Theme::Night] {
            bench.wear(theme).await;
            for page in PAGES {
                bench.visit(page).await;
                let faults: Value = bench.run(MEASURE, vec![56.into(), 8.into()]).await;
                assert_eq!(faults, serde_json::json!([]), "{page} {size:?} {theme:?}");
                bench.picture(&format!("page{}-{}", page.replace('/', "-"), theme.word())).await;
            }
        }
        bench.close().await;
    }
}

/// The pages of the later year, on days on which there is something on them.
#[tokio::test]
async fn winter_and_pairing_fit_their_size_in_every_theme_and_are_pictured() {
    let days = [
        ("2025-10-16", "2025-10-16T07:40", "/cocoons/HEATH", "drying out"),
        ("2025-10-16", "2025-10-16T07:40", "/trouble", "Cocoons of HEATH"),
        ("2026-04-28T16:00", "2026-04-28T17:00", "/pairings", "H-C09F with MO-C01M"),
    ];
    for (as_of, now, page, says) in days {
        for size in [PHONE, LAPTOP] {
            let bench = Bench::on(as_of, now, size).await;
            for theme in [Theme::Light, Theme::Dark, Theme::Night] {
                bench.wear(theme).await;
                bench.visit(page).await;
                let open: Value = bench
                    .run("document.querySelectorAll('details').forEach(it => it.open = true); return document.body.innerText", vec![])
                    .await;
                assert!(open.as_str().unwrap().contains(says), "{page}");
                let faults: Value = bench.run(MEASURE, vec![56.into(), 8.into()]).await;
                assert_eq!(faults, serde_json::json!([]), "{page} {size:?} {theme:?}");
                bench.picture(&format!("later{}-{}", page.replace('/', "-"), theme.word())).await;
            }
            bench.close().await;
        }
    }
}

/// The first page with everything it needs: at most 100 kB, before any packing.
#[tokio::test]
async fn the_first_page_is_small_and_comes_from_here_alone() {
    let bench = Bench::open(PHONE).await;
    bench.visit("/").await;
    let sum: Value = bench
        .run(
            "return performance.getEntriesByType('navigation').concat(performance.getEntriesByType('resource'))
                .map(it => it.decodedBodySize).reduce((a, b) => a + b, 0)",
            vec![],
        )
        .await;
    let bytes = sum.as_f64().unwrap();
    assert!(bytes > 1_000.0 && bytes <= 100_000.0, "{bytes}");
    bench.close().await;
}

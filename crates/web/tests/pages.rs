//! Every page from an invented house: nothing missing, nothing foreign, nothing unescaped.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may panic")]

mod fixtures;

use fixtures::s;
use keeper::view::round::{BoxRound, Misfit, NotedLine, Taker};
use std::collections::HashSet;
use terms::Stage;
use uuid::Uuid;
use web::theme::Theme;
use web::typed::{Complaint, Typed};
use web::views::oops::Oops;
use web::views::round::Round;
use web::views::{self, layout::Here};
use web::visit::{Said, Visit};

fn round(view: &BoxRound, typed: &Typed, complaints: &[Complaint]) -> String {
    let round =
        Round { view, id: Uuid::from_u128(1), typed, complaints, after: "", again: false, whole: false };
    views::round::page(&Visit::default(), &round).into_string()
}

fn pages() -> Vec<(&'static str, String)> {
    let visit = Visit {
        theme: Theme::Night,
        path: "/leaf".to_owned(),
        said: Some(Said {
            box_name: s("H06"),
            undo: s("/round/H06/undo"),
            says: vec![s("counted")],
            ids: vec![Uuid::from_u128(3)],
        }),
        ..Visit::default()
    };
    let nothing = Typed::default();
    vec![
        ("morning", views::morning::page(&visit, &fixtures::morning()).into_string()),
        ("round", round(&fixtures::box_round(), &nothing, &[])),
        ("misfit", round(&fixtures::box_misfit(), &nothing, &[])),
        ("apart", round(&fixtures::box_apart(), &nothing, &[])),
        ("eggs", round(&fixtures::box_eggs(), &nothing, &[])),
        ("empty", round(&fixtures::box_empty(), &nothing, &[])),
        ("brood", views::brood::page(&visit, &fixtures::brood()).into_string()),
        ("leaf", views::leaf::page(&visit, &fixtures::leaf_page()).into_string()),
        ("odds", views::odds::page(&visit, &fixtures::odds()).into_string()),
        ("cocoons", views::cocoons::page(&visit, &fixtures::cocoons()).into_string()),
        (
            "pairings",
            views::pairings::page(&visit, &fixtures::pairings(), Uuid::nil(), &nothing, &[]).into_string(),
        ),
        ("lines", views::lines::page(&visit, &fixtures::two_lines()).into_string()),
        ("trouble", views::trouble::page(&visit, &fixtures::trouble()).into_string()),
        (
            "choose",
            views::choose::page(&visit, Here::Odds, "Which?", &fixtures::two_lines(), web::url::odds)
                .into_string(),
        ),
        (
            "oops",
            views::oops::not_here(&visit, "There is no such page.", &Typed::from([("remark", "kept")]))
                .into_string(),
        ),
    ]
}

/// The pieces of a page between a start and the nearest end after it.
fn pieces<'a>(page: &'a str, start: &str, end: &str) -> Vec<&'a str> {
    page.split(start).skip(1).map(|it| it.split(end).next().unwrap()).collect()
}

fn attribute<'a>(tag: &'a str, name: &str) -> &'a str {
    tag.split(&format!("{name}=\""))
        .nth(1)
        .unwrap_or_else(|| panic!("no {name} in <{tag}"))
        .split('"')
        .next()
        .unwrap()
}

#[test]
fn every_picture_has_drawing_sentence_table_words_and_csv() {
    let mut seen = 0;
    for (name, page) in pages() {
        for figure in pieces(&page, "<figure class=\"picture\">", "</figure>") {
            seen += 1;
            let says = pieces(figure, "<p class=\"say\">", "</p>");
            assert!(says.len() == 1 && says[0].len() > 10, "{name}: {says:?}");
            assert_eq!(figure.matches("<svg class=\"chart narrow\"").count(), 1, "{name}");
            assert_eq!(figure.matches("<svg class=\"chart wide\"").count(), 1, "{name}");
            for svg in pieces(figure, "<svg class=\"chart", "</svg>") {
                assert!(svg.contains("role=\"img\""), "{name}");
                for part in ["title", "desc"] {
                    let words = pieces(svg, &format!("<{part} id=\""), &format!("</{part}>"));
                    assert!(
                        words.len() == 1 && words[0].split('>').nth(1).unwrap().len() > 10,
                        "{name}: {words:?}"
                    );
                }
            }
            assert!(figure.contains("<table>") && figure.contains("<td"), "{name}");
            assert!(figure.contains(".csv\">Take these numbers as CSV</a>"), "{name}");
        }
    }
    // Three stages, the thread, the leaf days, twenty moths, the history, the weight lost, the losses.
    assert_eq!(seen, 9);
}

#[test]
fn twenty_eggs_on_a_phone_fifty_on_a_page_and_none_hides_another() {
    let page = views::brood::page(&Visit::default(), &fixtures::brood()).into_string();
    let stages: Vec<&str> = pieces(&page, "<figure class=\"picture\">", "</figure>")
        .into_iter()
        .filter(|it| it.contains("stage-"))
        .collect();
    assert_eq!(stages.len(), 3);
    for figure in stages {
        for (class, many) in [("narrow", 20), ("wide", 50)] {
            let svg = pieces(figure, &format!("<svg class=\"chart {class}\""), "</svg>")[0];
            let eggs: Vec<[f64; 4]> = pieces(svg, "<ellipse ", ">")
                .into_iter()
                .map(|it| ["cx", "cy", "rx", "ry"].map(|name| attribute(it, name).parse().unwrap()))
                .collect();
            assert_eq!(eggs.len(), many);
            for (index, [x, y, rx, ry]) in eggs.iter().enumerate() {
                for [x2, y2, ..] in &eggs[index + 1..] {
                    // Coordinates are written with one decimal.
                    assert!((x - x2).abs() >= 2.0 * rx - 0.11 || (y - y2).abs() >= 2.0 * ry - 0.11);
                }
            }
        }
    }
}

#[test]
fn nothing_from_elsewhere_and_nothing_inline() {
    for (name, page) in pages() {
        for foreign in ["http:", "https:", "=\"//", "url(", "@import", "<iframe", "javascript:", "data:"] {
            assert!(!page.contains(foreign), "{name} holds {foreign}");
        }
        assert!(!page.contains(" style=") && !page.contains("<style"), "{name}");
        assert_eq!(page.matches("<script").count(), 2, "{name}");
        for handler in [" onclick", " onload", " onsubmit", " onchange", " onerror"] {
            assert!(!page.contains(&format!("{handler}=")), "{name}");
        }
    }
    for file in &web::statics::ALL {
        let content = file.content.replace("http://www.w3.org/2000/svg", "");
        assert!(
            !content.contains("http:") && !content.contains("https:") && !content.contains("url("),
            "{}",
            file.name
        );
    }
}

#[test]
fn every_page_is_whole_and_light() {
    for (name, page) in pages() {
        assert!(page.len() <= 100_000, "{name} has {} bytes", page.len());
        assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\""), "{name}");
        assert_eq!(page.matches("<h1").count(), 1, "{name} has no single name");
        assert_eq!(page.matches("<main").count(), 1, "{name}");
        assert!(!page.contains("NaN") && !page.contains("inf g"), "{name}");
        let ids: Vec<&str> = pieces(&page, " id=\"", "\"");
        let unique: HashSet<&str> = ids.iter().copied().collect();
        assert_eq!(ids.len(), unique.len(), "{name} names two things alike");
        for labels in pieces(&page, "aria-labelledby=\"", "\"") {
            for id in labels.split(' ') {
                assert!(unique.contains(id), "{name}: nothing is called {id}");
            }
        }
        for form in pieces(&page, "<form ", ">") {
            assert!(form.contains("method=\"post\""), "{name}: {form}");
        }
    }
}

#[test]
fn words_of_the_trade_only() {
    for (name, page) in pages() {
        let lower = page.to_ascii_lowercase();
        for word in [
            "asset",
            "inventory",
            "dashboard",
            "batch",
            "mortality",
            "transaction",
            "probably",
            "are you sure",
        ] {
            assert!(!lower.contains(word), "{name} says {word}");
        }
    }
}

#[test]
fn only_one_picture_of_a_pair_is_named_to_a_screen_reader_by_an_id_of_its_own() {
    let page = views::odds::page(&Visit::default(), &fixtures::odds()).into_string();
    for id in ["odds-narrow-moth", "odds-wide-moth"] {
        assert_eq!(page.matches(&format!("id=\"{id}\"")).count(), 1);
        assert_eq!(page.matches(&format!("href=\"#{id}\"")).count(), 20);
    }
}

#[test]
fn the_scratch_books_notice_is_on_top() {
    let page = views::morning::page(&Visit::default(), &fixtures::morning()).into_string();
    let main = page.split("<main").nth(1).unwrap();
    assert!(main.split("<h1").next().unwrap().contains("A scratch book"));
}

#[test]
fn every_note_of_today_has_its_undo() {
    let mut view = fixtures::box_round();
    view.noted.push(NotedLine { id: Uuid::from_u128(72), says: s("fed only"), at: view.now });
    let page = round(&view, &Typed::default(), &[]);
    for line in &view.noted {
        assert!(page.contains(&format!("name=\"id\" value=\"{}\"", line.id)));
    }
    assert_eq!(page.matches(">Undo<").count(), 2);
}

#[test]
fn a_box_says_what_belongs_to_it() {
    assert!(
        round(&fixtures::box_round(), &Typed::default(), &[])
            .contains("Leave them on their leaf until about Tuesday morning.")
    );
    let apart = round(&fixtures::box_apart(), &Typed::default(), &[]);
    assert!(
        apart.contains("Handle last; own brush and tongs")
            && apart.contains("hanging, melted")
            && apart.contains("damp-wipe")
    );
    assert!(apart.contains("L5 spun") && !apart.contains("L5 moulted"), "the last instar moults");
    let eggs = round(&fixtures::box_eggs(), &Typed::default(), &[]);
    assert!(
        eggs.contains("Eggs hatched")
            && eggs.contains("value=\"box:H02\"")
            && eggs.contains("Eggs that will not hatch")
    );
    let empty = round(&fixtures::box_empty(), &Typed::default(), &[]);
    assert!(empty.contains("Washed and put away") && !empty.contains("Fed only"));
    let misfit = round(&fixtures::box_misfit(), &Typed::default(), &[]);
    assert!(
        misfit.contains("3 moulted, 1 short: look in the old leaves")
            && misfit.contains("Yes, so it is")
            && misfit.contains("Count again")
    );
    let unknown_kind = BoxRound { instar_last: None, ..fixtures::box_apart() };
    let page = round(&unknown_kind, &Typed::default(), &[]);
    assert!(
        page.contains("value=\"L5:moulted\"") && page.contains("value=\"L5:spun\""),
        "five instars were taken for granted"
    );
}

#[test]
fn taps_alone_are_enough() {
    // Without a keyboard: every question of the round has chips up to the number in the box, or up to seven.
    let page = round(&fixtures::box_round(), &Typed::default(), &[]);
    for name in ["moved_n", "dead_n"] {
        for n in ["", "1", "2", "3", "4"] {
            assert!(page.contains(&format!("name=\"{name}\" value=\"{n}\"")), "{name} {n}");
        }
        assert!(!page.contains(&format!("name=\"{name}_or\"")), "{name} asks for a keyboard");
    }
    let eggs = round(&fixtures::box_eggs(), &Typed::default(), &[]);
    assert!(
        eggs.contains("name=\"moved_n\" value=\"7\"")
            && !eggs.contains("name=\"moved_n\" value=\"8\"")
            && eggs.contains("name=\"moved_n_or\"")
    );
    // A count beyond the chips stands ready in the field, so that "other numbers" needs no typing for it.
    assert!(eggs.contains("name=\"seen_egg_or\" value=\"28\""));
}

#[test]
fn what_was_typed_comes_back() {
    let typed = Typed::from([
        ("moved_n", "2"),
        ("moved_into", "box:H09"),
        ("dead_n", "1"),
        ("sign", "limp"),
        ("left", "other"),
        ("seen_L3", "1"),
        ("leaf_or", "1.000"),
        ("remark", "two \"early\" ones"),
        ("paper", "yes"),
        ("short_n", "1"),
        ("id", "kept-id"),
    ]);
    let complaint = Complaint { field: s("leaf_or"), says: s("Which?") };
    let page = round(&fixtures::box_round(), &typed, &[complaint]);
    for (name, value) in [
        ("moved_n", "2"),
        ("moved_into", "box:H09"),
        ("dead_n", "1"),
        ("sign", "limp"),
        ("left", "other"),
        ("seen_L3", "1"),
        ("paper", "yes"),
        ("short_n", "1"),
    ] {
        assert!(page.contains(&format!("name=\"{name}\" value=\"{value}\" checked")), "{name}");
    }
    assert!(
        page.contains("value=\"1.000\"")
            && page.contains("value=\"two &quot;early&quot; ones\"")
            && page.contains("value=\"kept-id\"")
    );
    assert!(page.contains("role=\"alert\"") && page.contains("Which?") && page.contains("Nothing was saved"));
}

const HOSTILE: &str = "\"><script>alert(1)</script><img src=x onerror=alert(1)>&'</title>";

#[test]
fn no_text_of_the_book_becomes_markup() {
    let h = || s(HOSTILE);
    let mut view = fixtures::box_misfit();
    (view.notice, view.previous, view.next) = (Some(h()), Some(h()), Some(h()));
    (view.name, view.line, view.species, view.plant, view.vessel, view.fresh_name) =
        (h(), h(), h(), h(), h(), h());
    view.set_apart = Some((view.now.date(), h()));
    (view.tasks, view.signs, view.cautions) = (vec![h()], vec![h()], vec![h()]);
    view.takers = vec![Taker { name: h(), holds: h() }];
    view.noted = vec![NotedLine { id: Uuid::nil(), says: h(), at: view.now }];
    view.misfit = Some(Misfit {
        says: h(),
        moved_on: vec![(Stage::Egg, Stage::Larva(1), 1)],
        short: vec![],
        over: vec![],
    });
    let typed: Typed = [
        "id",
        "moved_n",
        "moved_n_or",
        "moved_into",
        "dead_remark",
        "leaf",
        "leaf_or",
        "leaf_left",
        "remark",
        "sign",
        "left",
    ]
    .iter()
    .map(|it| (s(it), h()))
    .collect::<Vec<_>>()
    .pipe(Typed);
    let said = Said { box_name: h(), undo: s("/round/x/undo"), says: vec![h()], ids: vec![Uuid::nil()] };
    let visit = Visit { theme: Theme::Device, path: h(), said: Some(said), ..Visit::default() };
    let complaint = Complaint { field: h(), says: h() };
    let shown = Round {
        view: &view,
        id: Uuid::nil(),
        typed: &typed,
        complaints: &[complaint],
        after: HOSTILE,
        again: false,
        whole: false,
    };

    let mut morning = fixtures::morning();
    (morning.notice, morning.bells) = (Some(h()), vec![h()]);
    for it in &mut morning.boxes {
        (it.name, it.line, it.set_apart, it.done, it.tasks) = (h(), h(), Some(h()), Some(h()), vec![h()]);
    }
    for it in &mut morning.lines {
        (it.line, it.species, it.next) = (h(), h(), Some(h()));
    }
    let mut brood = fixtures::brood();
    (brood.line, brood.species, brood.moved, brood.warnings) = (h(), (h(), h()), Some(h()), vec![h()]);
    if let Some(rest) = &mut brood.rest {
        (rest.says, rest.why) = (h(), h());
        rest.rests_on.iter_mut().for_each(|it| (it.says, it.source) = (h(), h()));
    }
    (brood.strip[4].name, brood.in_moult[0].0, brood.by_box[0].0, brood.by_box[0].1.says) =
        (h(), h(), h(), h());
    (brood.receipt.version, brood.receipt.model) = (h(), h());
    for it in &mut brood.stages {
        (it.name, it.verb, it.says) = (h(), h(), h());
    }
    for it in &mut brood.rests_on {
        (it.says, it.grade, it.source) = (h(), h(), h());
    }
    let mut leaf = fixtures::leaf_page();
    (leaf.says, leaf.keeps, leaf.waste, leaf.own_rate) = (h(), h(), h(), Some(h()));
    (leaf.warnings, leaf.cautions) = (vec![h()], vec![h()]);
    for it in &mut leaf.boxes {
        (it.name, it.line, it.holds, it.plant) = (h(), h(), h(), h());
    }
    for it in &mut leaf.traditions {
        (it.figure, it.basis, it.species, it.source, it.grade) = (h(), h(), h(), h(), h());
    }
    leaf.lines = vec![(h(), leaf.week), (h(), leaf.week)];
    let mut odds = fixtures::odds();
    (odds.line, odds.says, odds.reasons, odds.when) = (h(), h(), vec![h()], Some(h()));
    for it in &mut odds.levers {
        (it.what, it.caution, it.steady) = (h(), h(), h());
    }
    odds.history.iter_mut().for_each(|it| it.because = h());
    let mut cocoons = fixtures::cocoons();
    (cocoons.line, cocoons.says, cocoons.bring_out) = (h(), h(), h());
    (cocoons.first, cocoons.cautions) = (vec![h()], vec![h()]);
    for it in &mut cocoons.cocoons {
        (it.cocoon, it.lot, it.sex, it.says, it.lies_in) = (h(), h(), h(), h(), (h(), h()));
    }
    cocoons.together.iter_mut().for_each(|it| (it.name, it.says) = (h(), h()));
    cocoons.stores.iter_mut().for_each(|it| (it.place, it.says) = (h(), h()));
    let mut board = fixtures::pairings();
    (board.night, board.says, board.cautions) = (h(), h(), vec![h()]);
    for it in board.females.iter_mut() {
        (it.tonight, it.options, it.tried) = (Some(h()), vec![h()], vec![h()]);
        (it.moth.moth, it.moth.line, it.moth.says) = (h(), h(), h());
        for he in &mut it.males {
            (he.male, he.line, he.kinship, he.because) = (h(), h(), h(), h());
        }
    }
    for it in board.males.iter_mut().chain(&mut board.laying) {
        (it.moth, it.line, it.says, it.used, it.lives_in) = (h(), h(), h(), vec![h()], h());
    }
    board.hours.iter_mut().for_each(|it| (it.kind, it.says, it.sun) = (h(), h(), h()));
    for it in &mut board.noted {
        (it.pairing, it.female, it.male, it.method, it.hatch) = (h(), h(), h(), h(), h());
        it.mother_check = h();
    }
    let mut lines = fixtures::two_lines();
    for it in &mut lines.lines {
        (it.line, it.species, it.boxes, it.account) = (h(), (h(), h()), vec![h()], vec![(h(), 1)]);
        (it.lots[0].lot, it.lots[0].parents, it.lots[0].origin) = (h(), (h(), h()), h());
    }
    let mut trouble = fixtures::trouble();
    trouble.winter = vec![(h(), h())];
    (trouble.says, trouble.uncounted) = (h(), vec![(h(), 2)]);
    (trouble.losses[0].line, trouble.losses[0].says, trouble.losses[0].by_sign) = (h(), h(), vec![(h(), 1)]);
    for it in &mut trouble.bells {
        (it.name, it.counted, it.rare, it.first, it.cautions) = (h(), h(), h(), h(), vec![h()]);
    }
    for it in &mut trouble.air {
        (it.place, it.says, it.word) = (h(), h(), h());
    }
    let oops = Oops { happened: HOSTILE, saved: HOSTILE, to_do: HOSTILE, typed: &typed };
    for (name, page) in [
        ("round", views::round::page(&visit, &shown)),
        ("morning", views::morning::page(&visit, &morning)),
        ("brood", views::brood::page(&visit, &brood)),
        ("leaf", views::leaf::page(&visit, &leaf)),
        ("odds", views::odds::page(&visit, &odds)),
        ("cocoons", views::cocoons::page(&visit, &cocoons)),
        ("pairings", views::pairings::page(&visit, &board, Uuid::nil(), &typed, &[])),
        ("lines", views::lines::page(&visit, &lines)),
        ("choose", views::choose::page(&visit, Here::Odds, HOSTILE, &lines, web::url::odds)),
        ("trouble", views::trouble::page(&visit, &trouble)),
        ("oops", views::oops::page(&visit, &oops)),
    ] {
        let page = page.into_string();
        assert_eq!(page.matches("<script").count(), 2, "{name}: a script came in");
        assert!(!page.contains("<img") && !page.contains(HOSTILE), "{name}: markup came in");
        assert!(page.contains("&lt;script&gt;alert(1)"), "{name}: the words were lost");
        for href in pieces(&page, "href=\"", "\"").into_iter().chain(pieces(&page, "action=\"", "\"")) {
            assert!(
                href.starts_with('/') && !href.starts_with("//") || href.starts_with('#'),
                "{name}: {href}"
            );
        }
    }
}

/// Hands a value on to a function, so that a chain reads from left to right.
trait Pipe: Sized {
    fn pipe<T>(self, then: impl FnOnce(Self) -> T) -> T {
        then(self)
    }
}

impl<T> Pipe for Vec<T> {}

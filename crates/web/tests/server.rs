//! The pages over a real book and a real socket, with scripts off: what a
//! plain browser sends, and what it gets.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may panic")]

use keeper::demo::{Season, make_book};
use keeper::{Keeper, Opening};
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::sync::Arc;
use tempfile::TempDir;

/// A house on loopback with demo season A on the morning of 1 June.
struct House {
    at: SocketAddr,
    _folder: TempDir,
}

struct Answer {
    status: u16,
    head: String,
    body: String,
}

impl Answer {
    fn header(&self, name: &str) -> Option<&str> {
        self.head
            .lines()
            .filter_map(|it| it.split_once(": "))
            .find(|(it, _)| it.eq_ignore_ascii_case(name))
            .map(|(_, it)| it)
    }
}

impl House {
    fn open() -> House {
        let folder = TempDir::new().unwrap();
        make_book(folder.path(), Season::A, Season::A.day_to_look_at()).unwrap();
        House::of(folder)
    }

    fn on(day: &str) -> House {
        let folder = TempDir::new().unwrap();
        make_book(folder.path(), Season::A, day.parse().unwrap()).unwrap();
        House::of(folder)
    }

    fn empty() -> House {
        let folder = TempDir::new().unwrap();
        keeper::make_empty_book(folder.path(), "Europe/London").unwrap();
        House::of(folder)
    }

    fn of(folder: TempDir) -> House {
        let keeper = Arc::new(Keeper::open(folder.path(), &Opening::default()).unwrap());
        let listener = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
        listener.set_nonblocking(true).unwrap();
        let at = listener.local_addr().unwrap();
        std::thread::spawn(move || {
            let runtime =
                tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
            runtime.block_on(async move {
                let listener = tokio::net::TcpListener::from_std(listener).unwrap();
                web::serve(listener, keeper).await.unwrap();
            });
        });
        House { at, _folder: folder }
    }

    fn send(&self, method: &str, path: &str, headers: &[(&str, &str)], body: &str) -> Answer {
        let mut socket = TcpStream::connect(self.at).unwrap();
        let mut request = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        if !headers.iter().any(|(name, _)| *name == "Host") {
            request.push_str(&format!("Host: {}\r\n", self.at));
        }
        for (name, value) in headers {
            request.push_str(&format!("{name}: {value}\r\n"));
        }
        if method == "POST" {
            request.push_str(&format!(
                "Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n",
                body.len()
            ));
        }
        socket.write_all(format!("{request}\r\n{body}").as_bytes()).unwrap();
        let mut raw = Vec::new();
        socket.read_to_end(&mut raw).unwrap();
        let text = String::from_utf8_lossy(&raw).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        let body = if head.to_ascii_lowercase().contains("transfer-encoding: chunked") {
            unchunked(body)
        } else {
            body.to_owned()
        };
        Answer { status, head: head.to_owned(), body }
    }

    fn get(&self, path: &str) -> Answer {
        self.send("GET", path, &[], "")
    }

    fn post(&self, path: &str, body: &str) -> Answer {
        self.send("POST", path, &[("Sec-Fetch-Site", "same-origin")], body)
    }
}

fn unchunked(body: &str) -> String {
    let mut out = String::new();
    let mut rest = body;
    while let Some((size, after)) = rest.split_once("\r\n") {
        let size = usize::from_str_radix(size.trim(), 16).unwrap();
        if size == 0 {
            break;
        }
        out.push_str(&after[..size]);
        rest = &after[size + 2..];
    }
    out
}

const PAGES: [&str; 14] = [
    "/",
    "/round",
    "/round/H07",
    "/begin",
    "/air",
    "/boxes",
    "/boxes/H07",
    "/brood/HEATH",
    "/leaf",
    "/odds/HEATH",
    "/cocoons/HEATH",
    "/lines",
    "/pairings",
    "/trouble",
];

#[test]
fn every_page_opens_and_fetches_nothing_from_elsewhere() {
    let house = House::open();
    for path in PAGES {
        let answer = house.get(path);
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        assert_eq!(answer.header("content-security-policy"), Some(web::shield::POLICY));
        for (name, value) in [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "same-origin"),
            ("cross-origin-opener-policy", "same-origin"),
        ] {
            assert_eq!(answer.header(name), Some(value), "{path}");
        }
        assert!(
            answer.body.contains("A scratch book") || answer.body.contains("class=\"notice\""),
            "{path} does not say that the book is a scratch book"
        );
        assert!(answer.body.len() <= 100_000, "{path} has {} bytes", answer.body.len());
    }
}

#[test]
fn the_first_page_with_all_it_needs_stays_below_100_kb() {
    let house = House::open();
    let page = house.get("/").body;
    let mut bytes = page.len();
    for file in &web::statics::ALL {
        let href = web::statics::href(file.name);
        assert!(page.contains(&href));
        let answer = house.get(&href);
        assert_eq!((answer.status, answer.header("content-type")), (200, Some(file.kind)));
        assert!(answer.header("cache-control").unwrap().contains("immutable"));
        bytes += answer.body.len();
    }
    assert!(bytes <= 100_000, "{bytes} bytes");
}

#[test]
fn a_round_form_as_it_stands_notes_a_count_and_goes_on() {
    let house = House::open();
    let form = house.get("/round/H07").body;
    assert!(form.contains("name=\"left\" value=\"expected\" checked"));
    let answer = house.post("/round/H07", "left=expected&go=next");
    assert_eq!((answer.status, answer.header("location")), (303, Some("/round/H08")));
    let after = house.get("/round/H07").body;
    assert!(after.contains("Noted today"), "{after}");
}

#[test]
fn sent_twice_noted_once() {
    let house = House::open();
    let page = house.get("/round/H07").body;
    let id = page.split("name=\"id\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let form = format!("id={id}&dead_n=1&dead_stage=L3&sign=&left=none&go=stay");
    assert_eq!(house.post("/round/H07", &form).status, 303);
    let once = house.get("/round/H07").body.matches("<button class=\"quiet\">Undo").count();
    house.post("/round/H07", &form);
    assert_eq!(house.get("/round/H07").body.matches("<button class=\"quiet\">Undo").count(), once);
}

#[test]
fn undo_takes_back_what_was_noted() {
    let house = House::open();
    let before = house.get("/round/H07").body.matches("<button class=\"quiet\">Undo").count();
    let noted = house.post("/round/H07", "left=expected&go=stay");
    let cookie = noted.header("set-cookie").unwrap().split(';').next().unwrap().to_owned();
    let page = house.send("GET", "/round/H07", &[("Cookie", &cookie)], "");
    assert!(page.body.contains("noted-now") && page.header("set-cookie").unwrap().contains("Max-Age=0"));
    let id = page.body.split("name=\"id\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    assert_eq!(house.post("/round/H07/undo", &format!("id={id}")).status, 303);
    assert_eq!(house.get("/round/H07").body.matches("<button class=\"quiet\">Undo").count(), before);
}

#[test]
fn bad_input_comes_back_whole_with_422_and_nothing_saved() {
    let house = House::open();
    let before = house.get("/round/H07").body;
    let answer = house.post(
        "/round/H07",
        "dead_n=1&dead_stage=L3&sign=&leaf_or=1.000&remark=in+the+%3Cold%3E+leaves&left=expected&go=next",
    );
    assert_eq!(answer.status, 422);
    assert!(answer.body.contains("role=\"alert\"") && answer.body.contains("can be read two ways"));
    assert!(
        answer.body.contains("value=\"1.000\"")
            && answer.body.contains("value=\"in the &lt;old&gt; leaves\"")
    );
    assert!(answer.body.contains("name=\"dead_n\" value=\"1\" checked"));
    assert!(answer.body.contains("Nothing was saved"));
    assert_eq!(house.get("/round/H07").body.matches("Undo").count(), before.matches("Undo").count());
}

#[test]
fn a_count_that_does_not_fit_is_shown_not_mended() {
    let house = House::open();
    let page = house.get("/round/H06").body;
    let stage = page.split("name=\"seen_L").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let answer = house.post("/round/H06", &format!("left=other&seen_L{stage}=1&go=next"));
    assert_eq!((answer.status, answer.header("location")), (303, Some("/round/H06")), "{}", answer.body);
    let page = house.get("/round/H06").body;
    assert!(
        page.contains("The count does not fit the book")
            && page.contains("Yes, so it is")
            && page.contains("Count again")
    );
    assert!(house.get("/round/H06?again=yes").body.contains("name=\"left\" value=\"other\" checked"));
    assert_eq!(house.post("/round/H06/misfit", "so=yes").status, 303);
    assert!(!house.get("/round/H06").body.contains("The count does not fit the book"));
}

#[test]
fn notes_from_foreign_pages_are_not_taken() {
    let house = House::open();
    let own = format!("http://{}", house.at);
    for (headers, status) in [
        (vec![("Sec-Fetch-Site", "cross-site")], 403),
        (vec![("Sec-Fetch-Site", "same-site")], 403),
        (vec![("Origin", "http://evil.example")], 403),
        (vec![("Origin", "null")], 403),
        (vec![("Origin", own.as_str())], 303),
        (vec![("Sec-Fetch-Site", "same-origin")], 303),
        (vec![("Host", "evil.example"), ("Origin", "http://evil.example")], 403),
    ] {
        let answer = house.send("POST", "/theme", &headers, "theme=dark&back=/leaf");
        assert_eq!(answer.status, status, "{headers:?}");
    }
}

#[test]
fn colours_without_scripts() {
    let house = House::open();
    let answer = house.post("/theme", "theme=night&back=%2Fleaf");
    assert_eq!((answer.status, answer.header("location")), (303, Some("/leaf")));
    let cookie = answer.header("set-cookie").unwrap();
    assert!(
        cookie.starts_with("theme=night;")
            && cookie.contains("HttpOnly")
            && cookie.contains("SameSite=Strict")
    );
    assert!(
        house.send("GET", "/leaf", &[("Cookie", "theme=night")], "").body.contains("data-theme=\"night\"")
    );
    assert_eq!(house.post("/theme", "theme=dark&back=%2F%2Fevil.example").header("location"), Some("/"));
}

#[test]
fn what_is_not_there_says_so() {
    let house = House::open();
    for path in [
        "/round/H99",
        "/brood/NOBODY",
        "/odds/NOBODY",
        "/cocoons/NOBODY",
        "/nowhere",
        "/static/base.css",
        "/round/%3Cscript%3E",
        "/brood/X/calendar.csv",
    ] {
        let answer = house.get(path);
        assert_eq!(answer.status, 404, "{path}");
        assert!(
            answer.body.contains("role=\"alert\"")
                && answer.body.contains("Nothing was changed")
                && !answer.body.contains("<script>"),
            "{path}"
        );
    }
    let typed = house.post("/round/H99", "remark=two+spun+early&go=next");
    assert_eq!(typed.status, 404);
    assert!(typed.body.contains("two spun early"), "what was typed is lost");
}

#[test]
fn nothing_changes_on_get() {
    let house = House::open();
    for path in ["/round/H07/undo", "/round/H07/misfit", "/theme"] {
        assert_eq!(house.get(path).status, 405, "{path}");
    }
}

#[test]
fn too_much_or_too_strange_is_refused_in_words() {
    let house = House::open();
    let long = format!("remark={}", "x".repeat(100_000));
    assert_eq!(house.post("/round/H07", &long).status, 413);
    let answer = house.send("POST", "/round/H07", &[("Sec-Fetch-Site", "none")], "%FF%FE=1&left=%zz");
    assert!(
        (400..500).contains(&answer.status) && answer.body.contains("Nothing was saved"),
        "{}",
        answer.status
    );
}

#[test]
fn numbers_can_be_taken_away_as_csv() {
    let house = House::open();
    for (path, head) in [
        ("/brood/HEATH/calendar.csv", "line,stage,animal,q05,q10,q25,q50,q75,q90,q95"),
        ("/leaf/days.csv", "day,least_1_in_10_g,half_g,most_9_in_10_g"),
        ("/odds/HEATH/history.csv", "morning,chance,because"),
        (
            "/odds/HEATH/levers.csv",
            "what,chance,better_in_100,worse_in_100,caution,error_in_100,nights_before,nights_after,nights_error,steady",
        ),
        ("/odds/HEATH/chance.csv", "what,low,middle,high"),
        (
            "/cocoons/HEATH/cocoons.csv",
            "cocoon,lot,sex,state,spun_on,first_weighed_on,first_g,last_weighed_on,last_g,lost_percent,fellows_lost_percent,fellows,flagged_on,box,place,safe_from,shell_percent,cold_d",
        ),
        ("/pairings/tonight.csv", "female,male,line,inbreeding_least,inbreeding_most,for_tonight,because"),
        ("/trouble/losses.csv", "line,stage_and_sign,lost,of,good_broods_low,good_broods_high"),
    ] {
        let answer = house.get(path);
        assert_eq!(answer.status, 200, "{path}");
        assert!(answer.header("content-type").unwrap().starts_with("text/csv"));
        let mut rows = answer.body.split("\r\n");
        assert_eq!(rows.next(), Some(head), "{path}");
    }
}

#[test]
fn one_line_is_gone_to_at_once() {
    let house = House::open();
    for (from, to) in [("/brood", "/brood/HEATH"), ("/odds", "/odds/HEATH"), ("/cocoons", "/cocoons/HEATH")] {
        let answer = house.get(from);
        assert_eq!((answer.status, answer.header("location")), (303, Some(to)));
    }
}

const THIRTY: &str = "species=Saturnia+pavonia&species_or=&n=30&about=yes&stage=egg&came=today&arrived=&laid=&line=A&box=A01&place=the+shed";

#[test]
fn a_book_of_ones_own_begins_without_scripts() {
    let house = House::empty();
    let first = house.get("/").body;
    assert!(first.contains("href=\"/begin\"") && first.contains("Look at an invented season"), "{first}");
    let form = house.get("/begin").body;
    assert!(
        form.contains("name=\"line\" maxlength=\"40\" value=\"A\"") && form.contains("value=\"A01\""),
        "{form}"
    );
    let typed = "species=&species_or=brown+%3Cthing%3E&n=1.000&stage=egg&line=A&box=A01&origin=the+fair";
    let back = house.post("/begin", typed);
    assert_eq!(back.status, 422);
    for kept in [
        "can be read two ways",
        "value=\"brown &lt;thing&gt;\"",
        "value=\"1.000\"",
        "value=\"the fair\"",
        "Nothing was saved",
    ] {
        assert!(back.body.contains(kept), "{kept}");
    }
    let answer = house.post("/begin", THIRTY);
    assert_eq!((answer.status, answer.header("location")), (303, Some("/round/A01")), "{}", answer.body);
    assert!(house.get("/round/A01").body.contains("30 eggs"));
    assert_eq!(house.post("/round/A01", "left=other&seen_egg_or=27&go=next").status, 303);
    assert!(house.get("/round/A01").body.contains("27 eggs came"));
    assert_eq!(house.post("/round/A01/settle", "so=yes").status, 303);
    assert!(house.get("/lines").body.contains("27 came"));
}

#[test]
fn the_thermometer_and_the_boxes_without_scripts() {
    let house = House::empty();
    house.post("/begin", THIRTY);
    assert!(house.get("/").body.contains("Note the thermometer"));
    let answer = house.post("/air", "place=the+shed&min=9%2C5&max=18%2C5");
    assert_eq!(
        (answer.status, answer.header("location")),
        (303, Some("/air?place=the%20shed")),
        "{}",
        answer.body
    );
    let page = house.get("/air").body;
    assert!(page.contains("9.5 to 18.5 \u{b0}C"), "{page}");
    let told = "light_place=the+shed&latitude=52%2C3+N&longitude=1.1+W&lamps=";
    let answer = house.post("/air/light", told);
    assert_eq!((answer.status, answer.header("location")), (303, Some("/air?place=the%20shed")));
    let seen = house.get("/air").body;
    assert!(seen.contains("lies at 52.3 north, -1.1 east and has the light of the sky"), "{seen}");
    let back = house.post("/air/light", "light_place=the+shed&latitude=52&longitude=");
    assert_eq!(back.status, 422);
    assert!(back.body.contains("needs a latitude and a longitude"), "{}", back.body);
    let back = house.post("/air", "place=the+shed&min=1.000&max=18");
    assert!(
        back.status == 422 && back.body.contains("Write 1 or 1000") && back.body.contains("value=\"1.000\"")
    );
    let id = page.split("action=\"/air/undo\"").nth(1).unwrap().split("value=\"").nth(1).unwrap();
    let undo = format!("id={}", id.split('"').next().unwrap());
    assert_eq!(house.post("/air/undo", &undo).status, 303);
    assert!(!house.get("/air").body.contains("9.5 to 18.5"));
    assert_eq!(house.post("/boxes/A01/split", "part_0=&part_0_or=12&into=fresh%3AA02").status, 303);
    assert!(house.get("/boxes").body.contains("12 eggs") && house.get("/boxes").body.contains("18 eggs"));
    assert_eq!(house.post("/boxes/A01/split", "part_0=&into=box%3AA02").status, 422);
    assert_eq!(house.post("/boxes/A02/close", "").status, 422);
    assert_eq!(house.post("/boxes/A02/later", "back=shelf").status, 422);
    assert_eq!(house.post("/boxes/A02/earlier", "back=shelf").header("location"), Some("/boxes"));
    assert_eq!(house.post("/boxes/A02/paint", "").status, 404);
}

#[test]
fn the_whole_round_of_twelve_boxes_is_one_small_page_of_plain_forms() {
    let house = House::empty();
    for number in 1..=12 {
        let form =
            THIRTY.replace("A01", &format!("A{number:02}")).replace("egg", "L4").replace("n=30", "n=9");
        assert_eq!(house.post("/begin", &form).status, 303);
    }
    let page = house.get("/round").body;
    println!("the whole round of twelve boxes: {} bytes", page.len());
    assert!(page.len() <= 100_000, "{} bytes", page.len());
    assert_eq!(page.matches("data-outbox=\"A").count(), 12);
    let answer = house.post("/round/A03", "left=expected&go=next&from=all");
    assert_eq!((answer.status, answer.header("location")), (303, Some("/round#box-A04")));
}

#[test]
fn a_script_is_told_in_the_same_sentences() {
    let house = House::open();
    let headers = [("Sec-Fetch-Site", "same-origin"), ("Accept", "application/json")];
    let id = "id=0197a000-0000-4000-8000-000000000009";
    for time in ["first", "second"] {
        let answer = house.send("POST", "/round/H07", &headers, &format!("{id}&go=fed"));
        assert_eq!(answer.status, 200, "{time}: {}", answer.body);
        assert!(
            answer.body.contains("\"saved\":true") && answer.body.contains("\"go\":\"/round/H08\""),
            "{}",
            answer.body
        );
    }
    let answer = house.send("POST", "/round/H07", &headers, "dead_n_or=99&left=none");
    assert_eq!(answer.status, 422);
    assert!(
        answer.body.contains("\"saved\":false") && answer.body.contains("but the book has only"),
        "{}",
        answer.body
    );
    let answer = house.send("POST", "/round/H07", &headers, "go=fed&happened=2025-04-01T07%3A00%3A00Z");
    assert!(answer.status == 422 && answer.body.contains("more than 40 days"), "{}", answer.body);
    assert_eq!(house.send("POST", "/round/H99", &headers, "go=fed").status, 404);
}

#[test]
fn a_pairing_is_noted_on_the_board_without_scripts_and_can_be_undone() {
    let house = House::on("2026-04-28T17:00");
    let board = house.get("/pairings");
    assert_eq!(board.status, 200);
    assert!(board.body.contains("H-C09F with MO-C01M"), "{}", board.body);
    assert!(board.body.contains("action=\"/pairings/pair\""));
    let answer = house.post("/pairings/pair", "female=H-C09F&male=MO-C01M&male_or=&method=by+hand&took=yes");
    assert_eq!((answer.status, answer.header("location")), (303, Some("/pairings")), "{}", answer.body);
    let cookie = answer.header("set-cookie").unwrap().split(';').next().unwrap().to_owned();
    let after = house.send("GET", "/pairings", &[("Cookie", &cookie)], "").body;
    assert!(
        after.contains("P26-2: H-C09F with MO-C01M") && after.contains("action=\"/pairings/undo\""),
        "{after}"
    );
    let id = after.split("name=\"id\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    assert_eq!(house.post("/pairings/laid", "pairing=P26-2&eggs=118").status, 303);
    assert!(house.get("/pairings").body.contains("118 by"));
    // What is wrong comes back with what was typed, and nothing is saved.
    for (path, body, says) in [
        ("/pairings/laid", "pairing=P26-2&eggs=many", "many"),
        ("/pairings/laid", "pairing=P26-9&eggs=4", "P26-9"),
        ("/pairings/hatched", "pairing=P26-2&hatched=500", "cannot have hatched"),
        ("/pairings/pair", "female=H-C03F&male=H-C02M&method=by+hand", "living female is called H-C03F"),
        ("/pairings/pair", "female=H-C09F&method=by+hand", "which male"),
        ("/pairings/took", "pairing=P26-2", "whether they took"),
    ] {
        let answer = house.post(path, body);
        assert_eq!(answer.status, 422, "{path} {body}");
        assert!(
            answer.body.contains(says) && answer.body.contains("Nothing was saved"),
            "{path}: {}",
            answer.body
        );
    }
    assert_eq!(house.post("/pairings/fly", "id=1").status, 404);
    assert_eq!(house.post("/pairings/undo", "id=1").status, 404);
    // Eggs rest on the pairing, so it is not pulled from under them.
    let no = house.post("/pairings/undo", &format!("id={id}"));
    assert_eq!(no.status, 422, "{}", no.body);
}

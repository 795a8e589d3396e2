//! A served scratch book, a browser in front of it, and the hand that taps.

use crate::common;
use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use rearing::Deed;
use serde_json::{Value, json};
use std::cell::Cell;
use std::io::{BufRead, BufReader, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use store::{Access, Store};
use tempfile::TempDir;

/// A screen.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    pub width: u32,
    pub height: u32,
    pub touch: bool,
}

pub const PHONE: Size = Size { width: 360, height: 740, touch: true };
pub const LAPTOP: Size = Size { width: 1280, height: 800, touch: false };

/// A theme as the keeper chooses it.
#[derive(Debug, Clone, Copy)]
pub enum Theme {
    Light,
    Dark,
    Night,
}

impl Theme {
    pub fn word(self) -> &'static str {
        match self {
            Theme::Light => "light",
            Theme::Dark => "dark",
            Theme::Night => "night",
        }
    }
}

/// A process that ends with the test, however that ends.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// The book served, and a browser on it.
pub struct Bench {
    client: Client,
    address: String,
    size: Size,
    book: PathBuf,
    already: usize,
    taps: Cell<u32>,
    letters: Cell<usize>,
    driver_port: u16,
    folder: TempDir,
    _server: Running,
    driver: Running,
}

impl Bench {
    /// Serves the morning of 1 June of season A with its clock standing still, and opens a browser.
    pub async fn open(size: Size) -> Bench {
        Bench::on("2025-06-01", "2025-06-01T07:40", size).await
    }

    /// Serves season A as it stood on another day, its clock standing still.
    pub async fn on(as_of: &str, now: &str, size: Size) -> Bench {
        let folder = tempfile::tempdir().unwrap();
        let book = folder.path().join("book");
        let mut season = common::cocoonery();
        season
            .args(["--as-of", as_of, "--now", now, "--seed", "11"])
            .args(["try", "--port", "0", "--into"])
            .arg(&book);
        Bench::serve(season, folder, size).await
    }

    /// Serves the book in `book` of a folder by the clock of this machine; an empty one is made if there is none.
    pub async fn own(folder: TempDir, size: Size) -> Bench {
        let mut own = common::cocoonery();
        own.arg("--book").arg(folder.path().join("book")).args([
            "serve",
            "--port",
            "0",
            "--new",
            "Europe/London",
        ]);
        Bench::serve(own, folder, size).await
    }

    async fn serve(mut command: Command, folder: TempDir, size: Size) -> Bench {
        let book = folder.path().join("book");
        let mut server = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
        let mut line = String::new();
        BufReader::new(server.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let address = line.trim().trim_end_matches('/').to_owned();
        assert!(address.starts_with("http://127.0.0.1:"), "the server said `{line}`");
        let server = Running(server);
        let already = Store::open(&book, Access::Read).unwrap().entries().unwrap().len();
        let (driver_port, driver, client) = browser(size, &folder.path().join("profile")).await;
        let (taps, letters) = (Cell::new(0), Cell::new(0));
        Bench {
            client,
            address,
            size,
            book,
            already,
            taps,
            letters,
            driver_port,
            folder,
            _server: server,
            driver,
        }
    }

    pub async fn close(self) {
        self.client.close().await.unwrap();
    }

    fn profile(&self) -> PathBuf {
        self.folder.path().join("profile")
    }

    /// The battery is pulled: the browser is killed in the middle of everything, and started anew on what is on its disk.
    pub async fn kill_and_restart(&mut self) {
        let profile = self.profile();
        let _ = self.driver.0.kill();
        kill_all_with(&profile);
        let (port, driver, client) = browser(self.size, &profile).await;
        (self.driver_port, self.driver, self.client) = (port, driver, client);
    }

    /// A command of the browser's own protocol.
    pub async fn protocol(&self, command: &str, parameters: Value) {
        let session = self.client.session_id().await.unwrap().unwrap();
        let body = json!({"cmd": command, "params": parameters}).to_string();
        let mut socket = TcpStream::connect(("127.0.0.1", self.driver_port)).unwrap();
        let request = format!(
            "POST /session/{session}/goog/cdp/execute HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.driver_port,
            body.len()
        );
        socket.write_all(request.as_bytes()).unwrap();
        // The driver keeps the line open; the first line says all that is needed.
        let mut answer = String::new();
        BufReader::new(socket).read_line(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{command}: {answer}");
    }

    /// Switches the network of the page off or on.
    pub async fn network(&self, on: bool) {
        self.protocol("Network.enable", json!({})).await;
        let through = if on { -1 } else { 0 };
        let conditions =
            json!({"offline": !on, "latency": 0, "downloadThroughput": through, "uploadThroughput": through});
        self.protocol("Network.emulateNetworkConditions", conditions).await;
    }

    /// How many taps and typed letters since it was asked last.
    pub fn taps(&self) -> (u32, usize) {
        (self.taps.take(), self.letters.take())
    }

    /// Presses what an XPath names, with no page expected from it.
    pub async fn press(&self, xpath: &str) {
        self.click(xpath).await;
    }

    /// Presses what an XPath names, and waits for the page that comes of it.
    pub async fn press_on(&self, xpath: &str) {
        self.send(xpath).await;
    }

    /// Types into a field that lies open.
    pub async fn type_in(&self, name: &str, value: &str) {
        self.click(&format!("//input[@name='{name}']")).await;
        let field = self.client.find(Locator::XPath(&format!("//input[@name='{name}']"))).await.unwrap();
        field.send_keys(value).await.unwrap();
        self.letters.set(self.letters.get() + value.chars().count());
    }

    /// Asks a script in the page until it says yes.
    pub async fn until(&self, script: &str) {
        for _ in 0..1_200 {
            if self.client.execute(script, vec![]).await.is_ok_and(|it| it == Value::Bool(true)) {
                return;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        let says = self.text().await;
        panic!("never true on {}: {script}\n{says}", self.path().await);
    }

    /// Goes to a page that may not be reached; the browser shows its own page then.
    pub async fn visit_in_vain(&self, page: &str) {
        assert!(
            self.client.goto(&format!("{}{page}", self.address)).await.is_err(),
            "{page} was reached without a network"
        );
    }

    pub async fn visit(&self, page: &str) {
        self.client.goto(&format!("{}{page}", self.address)).await.unwrap();
    }

    pub async fn path(&self) -> String {
        self.client.current_url().await.unwrap().path().to_owned()
    }

    /// Everything a person can read on the page.
    pub async fn text(&self) -> String {
        self.client.find(Locator::Css("main")).await.unwrap().text().await.unwrap()
    }

    /// Taps the chip of a choice.
    pub async fn tap(&self, name: &str, value: &str) {
        self.click(&format!("//label[input[@name='{name}' and @value='{value}']]")).await;
    }

    /// Taps the only control of a name.
    pub async fn tap_any(&self, name: &str) {
        self.click(&format!("//label[input[@name='{name}']] | //button[@name='{name}']")).await;
    }

    /// Taps the chip if there is one of that value, else types into the field.
    pub async fn tap_or_type(&self, name: &str, value: &str) {
        let chip = format!("//label[input[@name='{name}' and @value='{value}']]");
        if self.client.find(Locator::XPath(&chip)).await.is_ok() {
            self.click(&chip).await;
        } else {
            self.type_hidden(name, value).await;
        }
    }

    /// Fills a field that may lie in a part that is folded away: a person opens it first.
    pub async fn type_hidden(&self, name: &str, value: &str) {
        let open =
            "const it = document.getElementsByName(arguments[0])[0]; const fold = it.closest('details');
            if (fold) fold.open = true; it.scrollIntoView({block: 'center'});";
        self.client.execute(open, vec![name.into()]).await.unwrap();
        let field = self.client.find(Locator::XPath(&format!("//input[@name='{name}']"))).await.unwrap();
        field.clear().await.unwrap();
        field.send_keys(value).await.unwrap();
    }

    pub async fn value(&self, name: &str) -> String {
        let field = self.client.find(Locator::XPath(&format!("//input[@name='{name}']"))).await.unwrap();
        field.prop("value").await.unwrap().unwrap_or_default()
    }

    /// Presses one of the big buttons of the round.
    pub async fn go(&self, way: &str) {
        self.send(&format!("//button[@name='go' and @value='{way}']")).await;
    }

    /// Presses the first button of the form that posts to a path.
    pub async fn submit(&self, action: &str) {
        self.send(&format!("(//form[@action='{action}']//button)[1]")).await;
    }

    /// Presses a button that sends a form, and waits for the page that comes of it.
    async fn send(&self, xpath: &str) {
        self.client.execute("window.pageBefore = true", vec![]).await.unwrap();
        self.click(xpath).await;
        for _ in 0..300 {
            let come = self
                .client
                .execute("return document.readyState === 'complete' && !window.pageBefore", vec![])
                .await;
            if come.is_ok_and(|it| it == Value::Bool(true)) {
                return;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        panic!("no page came after {xpath} on {}", self.path().await);
    }

    /// Scrolls a control to the middle, as a thumb would, and presses it.
    async fn click(&self, xpath: &str) {
        let found = self.client.find(Locator::XPath(xpath)).await;
        let found = match found {
            Ok(found) => found,
            Err(error) => panic!("{xpath} is not on {}: {error}", self.path().await),
        };
        let centre = "arguments[0].scrollIntoView({block: 'center'})";
        self.client.execute(centre, vec![serde_json::to_value(&found).unwrap()]).await.unwrap();
        found.click().await.unwrap();
        self.taps.set(self.taps.get() + 1);
    }

    pub async fn run(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.client.execute(script, arguments).await.unwrap()
    }

    /// Runs a script that calls its last argument when it is done.
    pub async fn later(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.client.execute_async(script, arguments).await.unwrap()
    }

    /// Chooses a theme on the page itself.
    pub async fn wear(&self, theme: Theme) {
        self.visit("/").await;
        let button = format!("//form[@action='/theme']//button[@value='{}']", theme.word());
        self.click(&button).await;
        // The page may change in place or come anew; either way it wears the theme in the end.
        let worn = "return document.documentElement.dataset.theme === arguments[0]";
        for _ in 0..300 {
            let worn = self.client.execute(worn, vec![theme.word().into()]).await;
            if worn.is_ok_and(|it| it == Value::Bool(true)) {
                return;
            }
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
        panic!("the page does not wear {theme:?}");
    }

    /// Writes a picture of the whole page where a person can look at it.
    pub async fn picture(&self, name: &str) {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../pictures-of-tests");
        std::fs::create_dir_all(&folder).unwrap();
        let png = self.client.screenshot().await.unwrap();
        assert!(png.starts_with(b"\x89PNG") && png.len() > 2_000, "an empty picture of {name}");
        std::fs::write(folder.join(format!("{name}-{}x{}.png", self.size.width, self.size.height)), png)
            .unwrap();
    }

    /// What was noted since the book was opened, in order.
    pub fn noted(&self) -> Vec<Deed> {
        let entries = Store::open(&self.book, Access::Read).unwrap().entries().unwrap();
        entries.into_iter().skip(self.already).map(|it| it.deed).collect()
    }
}

/// Ends the processes of one browser, known by the profile that only it uses.
fn kill_all_with(profile: &Path) {
    let mark = profile.to_str().unwrap();
    for process in std::fs::read_dir("/proc").unwrap().flatten() {
        let command = std::fs::read(process.path().join("cmdline")).unwrap_or_default();
        let number = process.file_name().to_string_lossy().into_owned();
        if String::from_utf8_lossy(&command).contains(mark) && number.bytes().all(|it| it.is_ascii_digit()) {
            let _ = Command::new("kill").args(["-KILL", &number]).status();
        }
    }
}

/// A headless browser of a size, on a profile of its own.
async fn browser(size: Size, profile: &Path) -> (u16, Running, Client) {
    let port = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
    let driver = Command::new("chromedriver")
        .arg(format!("--port={port}"))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    let Ok(driver) = driver else {
        panic!("chromedriver is missing: apt-get install chromium chromium-driver")
    };
    let driver = Running(driver);
    let mut options = json!({
        "args": [
            "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
            "--disable-component-update", "--disable-sync", "--no-first-run", "--hide-scrollbars",
            format!("--window-size={},{}", size.width, size.height),
            format!("--user-data-dir={}", profile.display()),
        ],
    });
    if size.touch {
        options["mobileEmulation"] = json!({"deviceMetrics": {"width": size.width, "height": size.height, "pixelRatio": 2, "touch": true}});
    }
    let mut wanted = Capabilities::new();
    wanted.insert("goog:chromeOptions".to_owned(), options);
    // A busy machine is no fault of the page.
    wanted.insert("timeouts".to_owned(), json!({"script": 300_000, "pageLoad": 300_000}));
    let mut last = None;
    // The driver needs a moment to listen; a slow machine needs more of them.
    for _ in 0..150 {
        let mut builder = ClientBuilder::new(HttpConnector::new());
        match builder.capabilities(wanted.clone()).connect(&format!("http://127.0.0.1:{port}")).await {
            Ok(client) => return (port, driver, client),
            Err(error) => last = Some(error),
        }
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
    panic!("the browser does not start: {last:?}");
}

//! A served scratch book, a browser in front of it, and the hand that taps.

use crate::common;
use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use rearing::Deed;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::path::PathBuf;
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
    _folder: TempDir,
    _server: Running,
    _driver: Running,
}

impl Bench {
    /// Serves the morning of 1 June of season A with its clock standing still, and opens a browser.
    pub async fn open(size: Size) -> Bench {
        let folder = tempfile::tempdir().unwrap();
        let book = folder.path().join("book");
        let mut server = common::cocoonery()
            .args(["--as-of", "2025-06-01", "--now", "2025-06-01T07:40", "--seed", "11"])
            .args(["try", "--port", "0", "--into"])
            .arg(&book)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(server.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let address = line.trim().trim_end_matches('/').to_owned();
        assert!(address.starts_with("http://127.0.0.1:"), "the server said `{line}`");
        let server = Running(server);
        let already = Store::open(&book, Access::Read).unwrap().entries().unwrap().len();
        let (driver, client) = browser(size).await;
        Bench { client, address, size, book, already, _folder: folder, _server: server, _driver: driver }
    }

    pub async fn close(self) {
        self.client.close().await.unwrap();
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
    }

    pub async fn run(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.client.execute(script, arguments).await.unwrap()
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

/// A headless browser of a size, with an empty profile.
async fn browser(size: Size) -> (Running, Client) {
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
        ],
    });
    if size.touch {
        options["mobileEmulation"] = json!({"deviceMetrics": {"width": size.width, "height": size.height, "pixelRatio": 2, "touch": true}});
    }
    let mut wanted = Capabilities::new();
    wanted.insert("goog:chromeOptions".to_owned(), options);
    let mut last = None;
    // The driver needs a moment to listen; a slow machine needs more of them.
    for _ in 0..150 {
        let mut builder = ClientBuilder::new(HttpConnector::new());
        match builder.capabilities(wanted.clone()).connect(&format!("http://127.0.0.1:{port}")).await {
            Ok(client) => return (driver, client),
            Err(error) => last = Some(error),
        }
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
    panic!("the browser does not start: {last:?}");
}

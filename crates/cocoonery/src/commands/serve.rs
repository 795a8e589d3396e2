//! `serve`: the pages of the book.

use crate::Global;
use crate::exit::Exit;
use anyhow::{Context, Result};
use keeper::Keeper;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::Path;
use std::sync::Arc;

/// The port, if none is named.
const PORT: u16 = 8484;

/// Words of `serve`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// The port on this machine; 0 takes a free one
    #[arg(long, default_value_t = PORT)]
    port: u16,
    /// Make an empty book in this time zone first, if there is none: Europe/London
    #[arg(long, value_name = "ZONE")]
    new: Option<String>,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let folder = global.folder()?;
    if let Some(zone) = words.new.as_ref().filter(|_| !has_book(&folder)) {
        keeper::make_empty_book(&folder, zone)?;
    }
    let keeper = Keeper::open(&folder, &global.opening(false))?;
    pages(keeper, words.port)
}

/// A folder with anything in it that may be a book is left as it is, and opened.
fn has_book(folder: &Path) -> bool {
    folder.join(store::BOOK_FILE).exists()
}

/// Serves the pages on this machine only, until it is told to stop.
pub(crate) fn pages(keeper: Keeper, port: u16) -> Result<Exit> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .context("the server could not be started")?;
    runtime.block_on(async {
        // Only this machine: nobody else can reach it, so there is no log-in yet.
        let asked = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), port);
        let listener = match tokio::net::TcpListener::bind(asked).await {
            Err(error) if error.kind() == std::io::ErrorKind::AddrInUse && port == PORT => {
                tokio::net::TcpListener::bind(SocketAddr::new(asked.ip(), 0)).await
            }
            other => other,
        }
        .with_context(|| format!("port {port} is taken: name another with --port"))?;
        super::print::out(&format!("http://{}/", listener.local_addr()?))?;
        eprintln!("Open this address in the browser. Stop with Ctrl+C; everything noted is saved.");
        web::serve(listener, Arc::new(keeper)).await?;
        Ok(Exit::Ok)
    })
}

//! A house that serves a book which is not synced, where the environment asks
//! for it. It proves that the power cuts notice; nobody keeps a book with it.

use anyhow::{Context, Result};
use keeper::{Keeper, Opening};
use std::path::PathBuf;
use std::sync::Arc;

fn main() -> Result<()> {
    let book = std::env::args_os().nth(1).map(PathBuf::from).context("name the folder of a book")?;
    let keeper = Arc::new(Keeper::open(&book, &Opening::default())?);
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await?;
        println!("http://{}/", listener.local_addr()?);
        Ok(web::serve(listener, keeper).await?)
    })
}

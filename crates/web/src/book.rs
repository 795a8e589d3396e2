//! Which book a request means: the keeper's own, or the invented season that
//! she looks at for a while.

use crate::visit::Visit;
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::response::Response;
use keeper::Keeper;
use std::path::PathBuf;
use std::sync::{Arc, OnceLock};

/// The books that are at hand.
#[derive(Clone)]
pub struct Books {
    own: Arc<Keeper>,
    season: Arc<Season>,
}

/// The invented season, made when somebody first asks for it.
struct Season {
    folder: PathBuf,
    keeper: OnceLock<Arc<Keeper>>,
}

impl Drop for Season {
    fn drop(&mut self) {
        if self.keeper.get().is_some() {
            // It is scratch; the system clears what is left over.
            let _ = std::fs::remove_dir_all(&self.folder);
        }
    }
}

impl Books {
    /// The keeper's own book; the season is made when it is asked for.
    #[must_use]
    pub fn of(own: Arc<Keeper>) -> Books {
        let unlike = own.fresh_id();
        let folder = std::env::temp_dir().join(format!("cocoonery-season-{unlike}"));
        Books { own, season: Arc::new(Season { folder, keeper: OnceLock::new() }) }
    }

    /// The invented season; `None` if it cannot be made here.
    pub async fn season(&self) -> Option<Arc<Keeper>> {
        let season = Arc::clone(&self.season);
        let made = tokio::task::spawn_blocking(move || {
            if let Some(keeper) = season.keeper.get() {
                return Some(Arc::clone(keeper));
            }
            let keeper = Arc::new(keeper::invented_season(&season.folder).ok()?);
            Some(Arc::clone(season.keeper.get_or_init(|| keeper)))
        });
        made.await.ok().flatten()
    }
}

/// The book that a request means.
pub struct Book(pub Arc<Keeper>);

impl FromRequestParts<Books> for Book {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, books: &Books) -> Result<Self, Response> {
        let Ok(visit) = Visit::from_request_parts(parts, books).await;
        if !visit.looking {
            return Ok(Book(Arc::clone(&books.own)));
        }
        match books.season().await {
            Some(season) => Ok(Book(season)),
            // Never the own book under the words of the season.
            None => Err(crate::routes::season::not_made(&visit)),
        }
    }
}

//! `/theme`

use super::{fields, see_other, with_cookie};
use crate::theme::Theme;
use crate::url;
use crate::visit::Visit;
use axum::extract::{Form, rejection::FormRejection};
use axum::response::Response;

/// A year.
const AGE_S: u64 = 31_536_000;

/// The colours chosen are kept in a cookie, and the page is shown again.
pub async fn choose(visit: Visit, form: Result<Form<Vec<(String, String)>>, FormRejection>) -> Response {
    let typed = match fields(&visit, form) {
        Ok(typed) => typed,
        Err(response) => return *response,
    };
    let theme = Theme::of(typed.word("theme"));
    let age_s = if theme == Theme::Device { 0 } else { AGE_S };
    with_cookie(see_other(url::back_to(typed.word("back"))), "theme", theme.word(), age_s)
}

//! Headers that tell the browser to fetch nothing from anywhere else, and a
//! look at where a note comes from before it is taken.

use crate::typed::Typed;
use crate::views::oops::{self, Oops};
use crate::visit::Visit;
use axum::Router;
use axum::extract::Request;
use axum::http::header::{
    CONTENT_SECURITY_POLICY, COOKIE, HeaderName, HeaderValue, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{StatusCode, Uri};
use axum::middleware::{Next, from_fn};
use axum::response::{IntoResponse, Response};
use tower_http::csrf::{CsrfLayer, ProtectionError};
use tower_http::set_header::SetResponseHeaderLayer;

/// Only our own scripts, styles, pictures and forms; framed by nobody.
pub const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
                          form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Headers of every response.
///
/// The referrer goes to our own pages only. `no-referrer` would be one word
/// shorter, but then browsers send `Origin: null` with our own forms too, and
/// on a plain-http address in the home network, where there is no
/// `Sec-Fetch-Site`, a note could not be told from a foreign one.
pub const HEADERS: [(HeaderName, &str); 5] = [
    (CONTENT_SECURITY_POLICY, POLICY),
    (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// The pages behind their shield.
pub fn around(pages: Router) -> Router {
    let csrf = CsrfLayer::new().with_rejection_response(|_: ProtectionError| foreign());
    let mut shielded = pages.layer(csrf).layer(from_fn(known_host));
    for (name, value) in HEADERS {
        shielded = shielded.layer(SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value)));
    }
    shielded
}

fn foreign() -> Response {
    refuse(&Visit::default(), "This note came from a page that is not ours.")
}

fn refuse(visit: &Visit, happened: &str) -> Response {
    let page = oops::page(
        visit,
        &Oops {
            happened,
            saved: "Nothing was saved.",
            to_do: "Open the page from your own bookmark or from the address the program printed, and note it there.",
            typed: &Typed::default(),
        },
    );
    (StatusCode::FORBIDDEN, page).into_response()
}

/// A foreign page may give its own name our address and would then count as
/// one of ours; so a note is taken only at a name of this house.
async fn known_host(request: Request, next: Next) -> Response {
    let cookies = request.headers().get(COOKIE).and_then(|it| it.to_str().ok()).unwrap_or("");
    let visit = Visit::of("/", cookies);
    let host = request.uri().host().map(str::to_owned).or_else(|| {
        let host = request.headers().get("host")?.to_str().ok()?;
        Some(host.parse::<Uri>().ok()?.host()?.to_owned())
    });
    match host {
        Some(host) if of_this_house(&host) => next.run(request).await,
        _ => refuse(&visit, "This address is not one of this house."),
    }
}

/// Numbers, this machine, names without a dot, and names that cannot be bought.
#[must_use]
pub fn of_this_house(host: &str) -> bool {
    let bare = host.trim_start_matches('[').trim_end_matches(']');
    let lower = bare.trim_end_matches('.').to_ascii_lowercase();
    bare.parse::<std::net::IpAddr>().is_ok()
        || !lower.contains('.') && !lower.is_empty()
        || [".localhost", ".local", ".lan", ".home.arpa", ".internal", ".test"]
            .iter()
            .any(|end| lower.ends_with(end))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_this_house() {
        for host in [
            "127.0.0.1",
            "192.168.1.7",
            "[::1]",
            "localhost",
            "shed",
            "shed.local",
            "Bench.HOME.arpa",
            "shed.local.",
        ] {
            assert!(of_this_house(host), "{host}");
        }
        for host in ["", "evil.example", "local.evil.com", "127.0.0.1.evil.com", "notlocal.com"] {
            assert!(!of_this_house(host), "{host}");
        }
    }
}

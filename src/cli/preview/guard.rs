//! What every request must show before anything is done for it, and what every
//! answer forbids the browser. A page of a stranger can make the browser ask, and
//! a name can be pointed at this computer; neither gets past here.

use std::sync::Arc;

use axum::body::{Body, to_bytes};
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderName};
use axum::http::uri::Authority;
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};

use tokio::time::timeout;

use super::connections::PATIENCE;
use super::state::{LONGEST_REQUEST, PreviewState};

/// Only what this program itself serves is loaded, run or asked, and nothing can
/// put the page into a frame of its own.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
                      font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; \
                      frame-ancestors 'none'";

const RESPONSE_HEADERS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "no-referrer"),
    // The spec and its pages are nobody else's to keep.
    (header::CACHE_CONTROL, "no-store"),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
];

/// What the page for whoever is refused looks like.
pub const NO_ENTRY_STYLE: &str = "/no-entry.css";

/// Lets a request through, or refuses it.
pub async fn guard(
    State(state): State<Arc<PreviewState>>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = match refusal(&state, &request) {
        Some(refusal) => refusal.into_response(),
        None => match receive_body(request).await {
            Ok(request) => next.run(request).await,
            Err(refusal) => refusal,
        },
    };
    for (name, value) in RESPONSE_HEADERS {
        let value = HeaderValue::from_static(value);
        response.headers_mut().insert(name, value);
    }
    response
}

/// A request with all of its body, which may not trickle in.
async fn receive_body(request: Request) -> Result<Request, Response> {
    let (parts, body) = request.into_parts();
    match timeout(PATIENCE, to_bytes(body, LONGEST_REQUEST)).await {
        Ok(Ok(body)) => Ok(Request::from_parts(parts, Body::from(body))),
        Ok(Err(_)) => Err(StatusCode::PAYLOAD_TOO_LARGE.into_response()),
        Err(_) => Err(StatusCode::REQUEST_TIMEOUT.into_response()),
    }
}

fn refusal(state: &PreviewState, request: &Request) -> Option<Response> {
    let headers = request.headers();
    let session = &state.session;
    // A request to a proxy names the host in its first line too, and there it counts
    // more than the header (RFC 9112, 3.2.2).
    let elsewhere = |named: &Authority| named.as_str() != session.host();
    if single_header(headers, &header::HOST) != Some(session.host())
        || request.uri().authority().is_some_and(elsewhere)
    {
        let said = "This is not the address that the program is served at.";
        return Some((StatusCode::MISDIRECTED_REQUEST, said).into_response());
    }
    // Sent by browsers, and not to be set by a page. One that cannot be read, or is
    // there twice, is not the right one.
    let site = HeaderName::from_static("sec-fetch-site");
    let expected = matches!(single_header(headers, &site), Some("same-origin" | "none"));
    let from_elsewhere = headers.contains_key(&site) && !expected;
    let gets = request.method() == Method::GET;
    let reads = gets || request.method() == Method::HEAD;
    let own = single_header(headers, &header::ORIGIN) == Some(&session.origin());
    if from_elsewhere || (headers.contains_key(header::ORIGIN) || !reads) && !own {
        let said = "Another page asked for this, so it is refused.";
        return Some((StatusCode::FORBIDDEN, said).into_response());
    }
    let enters = request.uri().path() == session.base() && request.uri().query().is_some();
    let enters = enters || request.uri().path() == NO_ENTRY_STYLE;
    match has_session_cookie(state, headers) || (enters && gets) {
        true => None,
        false => Some(no_entry()),
    }
}

/// Whether whoever asks was let in before.
pub fn has_session_cookie(state: &PreviewState, headers: &HeaderMap) -> bool {
    single_header(headers, &header::COOKIE).is_some_and(|cookies| state.session.has_cookie(cookies))
}

/// The page for whoever has no cookie, or a link that was used.
pub fn no_entry() -> Response {
    let page = Html(include_str!("page/no-entry.html"));
    (StatusCode::FORBIDDEN, page).into_response()
}

fn single_header<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut values = headers.get_all(name).iter();
    let only = values.next()?.to_str().ok();
    // Two of one name could be read one way here and another way elsewhere.
    only.filter(|_| values.next().is_none())
}

//! Checks every request and sets the security headers of every response. Other
//! web pages can make the browser send requests, and a host name can be made to
//! point at this computer; neither gets past here.
//!
//! The server listens on 127.0.0.1. The link's token is exchanged for a cookie
//! (HttpOnly, SameSite=Strict) by the first GET, and every request must name
//! this host and, where the browser says where it comes from, this origin.
//! Cookies ignore ports, so a server run by another user of this computer could
//! receive a cookie of the whole host; that is why every path begins with a
//! random segment and the cookie is limited to it. The link is printed and
//! never passed to another program, whose arguments everyone on the computer
//! could read.

use std::sync::Arc;
use std::time::Duration;

use axum::body::{Body, to_bytes};
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderName};
use axum::http::uri::Authority;
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};
use tokio::time::timeout;

use super::state::{LONGEST_REQUEST, PreviewState};

/// The page only loads and contacts what this program serves, and cannot be framed.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
                      font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; \
                      frame-ancestors 'none'";

const RESPONSE_HEADERS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "no-referrer"),
    // Nothing of the spec or its pages is cached.
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

/// The style sheet of the page for refused visitors.
pub(crate) const NO_ENTRY_STYLE_PATH: &str = "/no-entry.css";

pub(crate) async fn guard(
    State(state): State<Arc<PreviewState>>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = match refuse(&state, &request) {
        Some(refusal) => refusal.into_response(),
        None => match receive_body(request, state.limits.timeout).await {
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

/// Reads the whole body, within a limit of size and time.
async fn receive_body(request: Request, longest: Duration) -> Result<Request, Response> {
    let (parts, body) = request.into_parts();
    match timeout(longest, to_bytes(body, LONGEST_REQUEST)).await {
        Ok(Ok(body)) => Ok(Request::from_parts(parts, Body::from(body))),
        Ok(Err(_)) => Err(StatusCode::PAYLOAD_TOO_LARGE.into_response()),
        Err(_) => Err(StatusCode::REQUEST_TIMEOUT.into_response()),
    }
}

fn refuse(state: &PreviewState, request: &Request) -> Option<Response> {
    let headers = request.headers();
    let session = &state.session;
    // A host in the request line counts more than the header (RFC 9112, 3.2.2).
    let elsewhere = |named: &Authority| named.as_str() != session.host();
    if single_header(headers, &header::HOST) != Some(session.host())
        || request.uri().authority().is_some_and(elsewhere)
    {
        let message = "This is not the address that the program is served at.";
        return Some((StatusCode::MISDIRECTED_REQUEST, message).into_response());
    }
    // Browsers set this header and pages cannot. One that is unreadable or repeated
    // is refused.
    let site = HeaderName::from_static("sec-fetch-site");
    let expected = matches!(single_header(headers, &site), Some("same-origin" | "none"));
    let from_elsewhere = headers.contains_key(&site) && !expected;
    let gets = request.method() == Method::GET;
    let reads = gets || request.method() == Method::HEAD;
    let own = single_header(headers, &header::ORIGIN) == Some(&session.origin());
    if from_elsewhere || (headers.contains_key(header::ORIGIN) || !reads) && !own {
        let message = "Another page asked for this, so it is refused.";
        return Some((StatusCode::FORBIDDEN, message).into_response());
    }
    let may_enter = request.uri().path() == session.base() && request.uri().query().is_some();
    let may_enter = may_enter || request.uri().path() == NO_ENTRY_STYLE_PATH;
    if has_session_cookie(state, headers) || (may_enter && gets) {
        return None;
    }
    Some(no_entry())
}

pub(crate) fn has_session_cookie(state: &PreviewState, headers: &HeaderMap) -> bool {
    single_header(headers, &header::COOKIE).is_some_and(|cookies| state.session.has_cookie(cookies))
}

/// The page for visitors without the cookie, or with a used link.
pub(crate) fn no_entry() -> Response {
    let page = Html(include_str!("no-entry.html"));
    (StatusCode::FORBIDDEN, page).into_response()
}

fn single_header<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut values = headers.get_all(name).iter();
    let only = values.next()?.to_str().ok();
    // A repeated header could be read differently elsewhere.
    only.filter(|_| values.next().is_none())
}

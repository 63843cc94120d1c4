//! The routes of the page and their handlers. All requests pass [`guard`] first.

use std::convert::Infallible;
use std::sync::Arc;

use axum::body::Body;
use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use futures_util::stream::unfold;
use serde::Deserialize;
use serde_json::json;

use super::guard::{NO_ENTRY_STYLE_PATH, guard, has_session_cookie, no_entry};
use super::messages::{PaperOptions, PreviewRequest, paper_by_id};
use super::spec_file::FileError;
use super::state::{LONGEST_REQUEST, PreviewState};
use crate::authoring::rule_index;
use crate::authoring::schema;
use crate::cli::internal_error;
use crate::papers::fonts::page_fonts;

type Shared = State<Arc<PreviewState>>;

/// All routes; all but the style of the refusal are under the session's path.
pub(crate) fn routes(state: Arc<PreviewState>) -> Router {
    let mut routes = Router::new()
        .route("/", get(index))
        .route("/font/{name}", get(font))
        .route("/file", get(file))
        .route("/look", post(preview))
        .route("/picture/{id}", get(picture))
        .route("/save", post(save))
        .route("/copy", post(copy))
        .route("/pdf/{paper}", get(pdf))
        .route("/rule/{slug}", get(rule))
        .route("/help", get(field_help));
    for (path, kind, text) in PAGE_FILES {
        let answer = ([(header::CONTENT_TYPE, *kind)], *text);
        routes = routes.route(path, get(move || async move { answer }));
    }
    // A refused visitor does not learn the path of the page.
    let refused = ([(header::CONTENT_TYPE, STYLE)], NO_ENTRY_STYLE);
    Router::new()
        .nest(state.session.base(), routes)
        .route(NO_ENTRY_STYLE_PATH, get(move || async move { refused }))
        .layer(DefaultBodyLimit::max(LONGEST_REQUEST))
        .layer(middleware::from_fn_with_state(Arc::clone(&state), guard))
        .with_state(state)
}

const SCRIPT: &str = "text/javascript; charset=utf-8";
const STYLE: &str = "text/css; charset=utf-8";
const NO_ENTRY_STYLE: &str = include_str!("page/no-entry.css");

/// The files of the page: path, type, contents.
const PAGE_FILES: &[(&str, &str, &str)] = &[
    ("/mark.svg", "image/svg+xml", include_str!("page/mark.svg")),
    ("/preview.css", STYLE, include_str!("page/preview.css")),
    ("/editor.css", STYLE, include_str!("page/editor.css")),
    ("/outline.css", STYLE, include_str!("page/outline.css")),
    ("/findings.css", STYLE, include_str!("page/findings.css")),
    ("/preview.js", SCRIPT, include_str!("page/preview.js")),
    ("/engine.js", SCRIPT, include_str!("page/engine.js")),
    ("/editor.js", SCRIPT, include_str!("page/editor.js")),
    ("/outline.js", SCRIPT, include_str!("page/outline.js")),
    ("/findings.js", SCRIPT, include_str!("page/findings.js")),
    ("/edits.js", SCRIPT, include_str!("page/edits.js")),
    ("/pages.js", SCRIPT, include_str!("page/pages.js")),
    ("/scale.js", SCRIPT, include_str!("page/scale.js")),
    ("/file.js", SCRIPT, include_str!("page/file.js")),
    ("/fold.js", SCRIPT, include_str!("page/fold.js")),
    ("/side.js", SCRIPT, include_str!("page/side.js")),
];

#[derive(Debug, Deserialize)]
struct LinkQuery {
    token: Option<String>,
}

async fn index(
    State(state): Shared,
    Query(link): Query<LinkQuery>,
    headers: HeaderMap,
) -> Response {
    // A browser with the cookie may open the link again.
    let known = has_session_cookie(&state, &headers);
    let opened = || Redirect::to(state.session.base());
    match link.token {
        None if known => Html(include_str!("page/index.html")).into_response(),
        Some(_) if known => opened().into_response(),
        None => no_entry(),
        Some(token) => match state.session.redeem(&token) {
            Some(cookie) => ([(header::SET_COOKIE, cookie)], opened()).into_response(),
            None => no_entry(),
        },
    }
}

async fn font(Path(name): Path<String>) -> Response {
    match page_fonts(&name) {
        Some(bytes) => ([(header::CONTENT_TYPE, "font/ttf")], bytes).into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

async fn file(State(state): Shared) -> Response {
    blocking(move || Json(state.spec_file.read())).await
}

async fn preview(State(state): Shared, Json(request): Json<PreviewRequest>) -> Response {
    let options = match request.options.options() {
        Ok(options) => options,
        Err(status) => return status.into_response(),
    };
    let messages = state.worker.submit(request, options);
    let lines = unfold(messages, |mut messages| async move {
        let line = messages.recv().await?;
        Some((Ok::<_, Infallible>(line), messages))
    });
    let kind = [(header::CONTENT_TYPE, "application/x-ndjson")];
    (kind, Body::from_stream(lines)).into_response()
}

async fn picture(State(state): Shared, Path(id): Path<String>) -> Response {
    match state.worker.picture(&id) {
        Some(picture) => {
            let kind = [(header::CONTENT_TYPE, "image/svg+xml")];
            blocking(move || (kind, picture.svg().into_owned())).await
        }
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

#[derive(Debug, Deserialize)]
struct SaveRequest {
    text: String,
    /// The digest of the file as the page knows it.
    seen: Option<String>,
}

async fn save(State(state): Shared, Json(save): Json<SaveRequest>) -> Response {
    blocking(
        move || match state.spec_file.save(&save.text, save.seen.as_deref()) {
            Ok(file) => Json(file).into_response(),
            Err(why) => error_response(why),
        },
    )
    .await
}

#[derive(Debug, Deserialize)]
struct CopyRequest {
    text: String,
}

async fn copy(State(state): Shared, Json(copy): Json<CopyRequest>) -> Response {
    blocking(move || match state.spec_file.save_copy(&copy.text) {
        Ok(name) => Json(json!({ "name": name })).into_response(),
        Err(why) => error_response(why),
    })
    .await
}

#[derive(Debug, Deserialize)]
struct PdfQuery {
    seen: Option<String>,
    #[serde(flatten)]
    options: PaperOptions,
}

async fn pdf(
    State(state): Shared,
    Path(paper): Path<String>,
    Query(print): Query<PdfQuery>,
) -> Response {
    let Some((kind, further)) = paper_by_id(&paper) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let options = match print.options.options() {
        Ok(options) => options,
        Err(status) => return status.into_response(),
    };
    blocking(move || {
        let spec_file = &state.spec_file;
        match spec_file.pdf((kind, further), &options, print.seen.as_deref()) {
            Ok(bytes) => {
                let name = spec_file.pdf_name(kind, further);
                let name = percent_encoding::utf8_percent_encode(
                    &name,
                    percent_encoding::NON_ALPHANUMERIC,
                );
                let headers = [
                    (header::CONTENT_TYPE, "application/pdf".to_owned()),
                    (
                        header::CONTENT_DISPOSITION,
                        format!("attachment; filename*=UTF-8''{name}"),
                    ),
                ];
                (headers, bytes).into_response()
            }
            Err(why) => error_response(why),
        }
    })
    .await
}

async fn rule(Path(slug): Path<String>) -> Response {
    match rule_index::rules().find(|rule| rule.slug == slug) {
        Some(rule) => {
            let explanation = json!({
                "rule": rule.slug,
                "severity": rule.severity.word(),
                "summary": rule.summary,
                "why": rule.why,
                "example": rule.example,
                "fix": rule.fix,
                "dated": rule.dated,
            });
            Json(explanation).into_response()
        }
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

#[derive(Debug, Deserialize)]
struct HelpQuery {
    /// Keys from the top down, as a list in JSON: the key of a size has a slash in it.
    path: String,
}

async fn field_help(Query(field): Query<HelpQuery>) -> Response {
    let Ok(path) = serde_json::from_str::<Vec<String>>(&field.path) else {
        return StatusCode::BAD_REQUEST.into_response();
    };
    let path: Vec<_> = path.iter().map(String::as_str).collect();
    // An entry of a list or a size has no help of its own: that of its group is shown.
    let groups = (1..=path.len()).rev().filter_map(|keys| path.get(..keys));
    let help = { groups }.find_map(|path| schema::describe(schema::Kind::Spec, path));
    Json(json!({ "help": help })).into_response()
}

fn error_response(why: FileError) -> Response {
    match why {
        FileError::Changed(on_disk) => (StatusCode::CONFLICT, Json(on_disk)).into_response(),
        FileError::Failed(why) => {
            let body = Json(json!({ "why": why }));
            (StatusCode::UNPROCESSABLE_ENTITY, body).into_response()
        }
    }
}

/// Runs work that reads files or lays out on a thread that may block.
async fn blocking<T: IntoResponse + Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Response {
    let done = tokio::task::spawn_blocking(|| internal_error::catch_panic(work)).await;
    match done {
        Ok(Ok(answer)) => answer.into_response(),
        Ok(Err(what)) => {
            let body = Json(json!({ "why": internal_error::message(&what, 0) }));
            (StatusCode::INTERNAL_SERVER_ERROR, body).into_response()
        }
        // The program is ending.
        Err(_) => StatusCode::SERVICE_UNAVAILABLE.into_response(),
    }
}

#[cfg(test)]
mod tests {
    use super::PAGE_FILES;

    #[test]
    fn only_the_engine_of_the_page_talks_to_the_program() {
        let scripts = PAGE_FILES
            .iter()
            .filter(|(path, _, _)| path.ends_with(".js"));
        let asks = [
            "fetch(",
            "XMLHttpRequest",
            "WebSocket",
            "EventSource",
            "picture/",
        ];
        let talk = scripts.filter(|(_, _, text)| asks.iter().any(|ask| text.contains(ask)));
        let paths: Vec<_> = talk.map(|(path, _, _)| *path).collect();
        assert_eq!(paths, ["/engine.js"]);
    }

    /// A script that is not served would leave the page dead.
    #[test]
    fn every_script_that_is_imported_is_served() {
        for (path, _, text) in PAGE_FILES {
            for import in text.lines().filter(|line| line.starts_with("import ")) {
                let from = import.split('"').nth(1).unwrap_or(import);
                let served = |(path, _, _): &(&str, _, _)| from.strip_prefix('.') == Some(path);
                assert!(PAGE_FILES.iter().any(served), "{path}: {import}");
            }
        }
    }
}

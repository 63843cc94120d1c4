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
use super::spec_file::FileError;
use super::state::{LONGEST_REQUEST, PreviewState};
use crate::cli::internal_error;
use crate::page::files::{FILES, HTML, STYLE};
use crate::page::messages::{PaperOptions, PreviewRequest, UnknownValue, paper_by_id};
use crate::page::{self, FieldRequest};
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
        .route("/help", get(field_help))
        .route("/form", post(form))
        .route("/field", post(field));
    for file in FILES {
        let answer = ([(header::CONTENT_TYPE, file.kind)], file.text);
        routes = routes.route(
            &format!("/{}", file.name),
            get(move || async move { answer }),
        );
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

const NO_ENTRY_STYLE: &str = include_str!("no-entry.css");

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
        None if known => Html(HTML).into_response(),
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
        Err(UnknownValue) => return StatusCode::BAD_REQUEST.into_response(),
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
        Err(UnknownValue) => return StatusCode::BAD_REQUEST.into_response(),
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
    match page::why(&slug) {
        Some(why) => Json(why).into_response(),
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
    Json(json!({ "help": page::describe(&path) })).into_response()
}

#[derive(Debug, Deserialize)]
struct FormRequest {
    text: String,
}

async fn form(Json(request): Json<FormRequest>) -> Response {
    blocking(move || Json(page::form(&request.text))).await
}

async fn field(Json(request): Json<FieldRequest>) -> Response {
    blocking(move || match page::write_field(&request) {
        Ok(edits) => Json(json!({ "edits": edits })).into_response(),
        Err(why) => error_response(FileError::Failed(why.to_owned())),
    })
    .await
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

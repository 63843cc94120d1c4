//! `coldring preview`: a web page on this computer to edit a spec and see its
//! papers as they would be printed.
//!
//! The page posts the text being edited and reads lines of JSON as they come:
//! findings, then the paper in view, then the others. No socket stays open, so
//! six tabs do not use up the connections a browser allows one address. One
//! thread lays out, and only the newest text of each tab counts. A page image
//! is named by the digest of its content, so the browser fetches only images
//! that are new and near the view; images run no scripts.
//!
//! The page itself and its messages are in [`crate::page`].
//!
//! | file | does |
//! |---|---|
//! | `session` | access: the link that works once, then a cookie and a secret path |
//! | `guard` | checks of every request, security headers of every response |
//! | `connections` | limits on their number and time |
//! | `state` | the state the handlers share |
//! | `server` | the routes and their handlers |
//! | `worker` | the thread that checks and lays out the newest text of each tab |
//! | `spec_file` | reads, saves and copies the file, and makes its papers |

mod connections;
mod guard;
mod server;
mod session;
mod spec_file;
mod state;
#[cfg(test)]
mod tests;
mod worker;

use std::io::Error;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::runtime::{Builder, Runtime};

use super::args::PreviewArguments;
use super::input::{self, Failure};
use super::{ExitStatus, RunResult};
use connections::{LIMITS, Limits};
use session::Session;
use spec_file::SpecFile;
use state::PreviewState;
use worker::PreviewWorker;

/// The stack of the threads that lay out, in bytes: twice that of a main thread.
const STACK: usize = 16 * 1024 * 1024;

/// How long to wait for work in progress when the program ends.
const SHUTDOWN_TIMEOUT: Duration = Duration::from_secs(2);

/// Serves the page until it is interrupted.
pub(crate) fn run(arguments: &PreviewArguments) -> RunResult {
    // Files that cannot be read are reported before there is a page.
    input::read_spec(&arguments.spec).map_err(Failure::into_message)?;
    input::read_house(arguments.house.as_deref())?;
    let served = runtime().and_then(|runtime| {
        let served = runtime.block_on(serve(arguments));
        // Waits for a file that is being written, not for papers being laid out.
        runtime.shutdown_timeout(SHUTDOWN_TIMEOUT);
        served
    });
    served.map_err(|error| {
        format!(
            "cannot serve the page on port {} of this computer: {error}; leave --port away to \
             take any that is free",
            arguments.port
        )
    })?;
    Ok(ExitStatus::Clean)
}

fn runtime() -> Result<Runtime, Error> {
    Builder::new_multi_thread()
        .worker_threads(2)
        .thread_stack_size(STACK)
        .enable_io()
        .enable_time()
        .build()
}

async fn serve(arguments: &PreviewArguments) -> Result<(), Error> {
    // Only reachable from this computer.
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, arguments.port));
    let listener = TcpListener::bind(address).await?;
    let (state, link) = session(&listener, arguments, LIMITS)?;
    let served = async {
        super::print(&format!(
            "Open this link in your browser; it works once. Ctrl-C ends it.\n\n  \
             {link}\n\n{} is only written when the page saves it.\n",
            arguments.spec.display()
        ));
        connections::serve(listener, server::routes(state), LIMITS).await
    };
    tokio::select! {
        // Ctrl-C is listened for before the link can be read.
        biased;
        interrupted = tokio::signal::ctrl_c() => interrupted,
        served = served => served,
    }
}

/// What the handlers share, and the link that opens the page.
fn session(
    listener: &TcpListener,
    arguments: &PreviewArguments,
    limits: Limits,
) -> Result<(Arc<PreviewState>, String), Error> {
    let (session, token) = Session::new(listener.local_addr()?).map_err(Error::other)?;
    let link = format!("{}{}?token={token}", session.origin(), session.base());
    let spec_file = Arc::new(SpecFile::new(arguments));
    let state = Arc::new(PreviewState {
        limits,
        worker: PreviewWorker::start(Arc::clone(&spec_file))?,
        session,
        spec_file,
    });
    Ok((state, link))
}

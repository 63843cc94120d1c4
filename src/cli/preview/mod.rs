//! `coldring preview`: a page on this computer where a spec is typed and its
//! papers are seen as they would be printed.
//!
//! | file | does |
//! |---|---|
//! | `session` | who may talk to the page: the link that works once, the cookie and the path after it |
//! | `guard` | what every request must show, and what every answer forbids the browser |
//! | `connections` | how many there may be at a time, and how long one may keep others waiting |
//! | `state` | what all of them share |
//! | `server` | the addresses, each a few lines over what is below |
//! | `worker` | one thread that checks and lays out the newest text of each tab |
//! | `messages` | what the page and the program tell each other, as JSON |
//! | `spec_file` | the file: read, saved, kept as a copy, made into papers |
//! | `page/` | the page itself |

mod connections;
mod guard;
mod messages;
mod server;
mod session;
mod spec_file;
mod state;
mod worker;

use std::io::Error;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::runtime::{Builder, Runtime};

use super::ExitStatus;
use super::args::PreviewArguments;
use super::input;
use session::Session;
use spec_file::SpecFile;
use state::PreviewState;
use worker::PreviewWorker;

/// Stack of the threads that lay out: as much as a main thread has, twice.
const STACK: usize = 16 * 1024 * 1024;

/// How long work is waited for that is under way as the program ends.
const PATIENCE: Duration = Duration::from_secs(2);

/// Serves the page until it is interrupted.
pub fn run(arguments: &PreviewArguments) -> ExitStatus {
    // A spec that cannot be read at all is told before there is a page.
    if let Err(why) = input::read_spec(&arguments.spec) {
        super::print_error(&why.into_message());
        return ExitStatus::CouldNotRun;
    }
    if let Some(Err(message)) = arguments.house.as_deref().map(input::read_house) {
        super::print_error(&message);
        return ExitStatus::CouldNotRun;
    }
    let served = runtime().and_then(|runtime| {
        let served = runtime.block_on(serve(arguments));
        // A file that is being written is; a paper that is being laid out is not
        // waited for.
        runtime.shutdown_timeout(PATIENCE);
        served
    });
    match served {
        Ok(()) => ExitStatus::Clean,
        Err(error) => {
            super::print_error(&format!(
                "cannot serve the page on port {} of this computer: {error}; leave --port away \
                 to take any that is free",
                arguments.port
            ));
            ExitStatus::CouldNotRun
        }
    }
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
    // Only this computer can reach it.
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, arguments.port));
    let listener = TcpListener::bind(address).await?;
    let address = listener.local_addr()?;
    let (session, token) = Session::new(address).map_err(Error::other)?;
    let link = format!("{}{}?token={token}", session.origin(), session.base());
    let spec_file = Arc::new(SpecFile::new(arguments));
    let state = Arc::new(PreviewState {
        worker: PreviewWorker::start(Arc::clone(&spec_file))?,
        session,
        spec_file,
    });
    super::print(&format!(
        "Open this link in your browser; it works once. Ctrl-C ends it.\n\n  \
         {link}\n\n{} is only written when the page saves it.\n",
        arguments.spec.display()
    ));
    tokio::select! {
        served = connections::serve(listener, server::routes(state)) => served,
        interrupted = tokio::signal::ctrl_c() => interrupted,
    }
}

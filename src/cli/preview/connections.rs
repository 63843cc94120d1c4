//! Connections to the page. Any program on this computer may open some and say
//! nothing, or speak a letter a minute; none of them keeps the page for long from
//! whoever works with it, or takes more than its share.

use std::io::{Error, ErrorKind, IoSlice, Result};
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll, ready};
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1::Builder;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio::time::{Sleep, sleep};

/// How long a connection may say nothing, a request may take to arrive, and an
/// answer may wait to be taken. A browser on the same computer needs milliseconds.
pub const PATIENCE: Duration = Duration::from_secs(10);

/// Most connections at a time; a browser opens six.
const MOST: usize = 64;

/// Serves whoever connects, for ever.
///
/// # Errors
/// Never, as long as the program goes on.
pub async fn serve(listener: TcpListener, routes: Router) -> Result<()> {
    let free = Arc::new(Semaphore::new(MOST));
    loop {
        // Others wait in the queue of the system until one of these ends.
        let permit = Arc::clone(&free).acquire_owned().await;
        let permit = permit.map_err(Error::other)?;
        let Ok((stream, _)) = listener.accept().await else {
            // Out of file handles, say; some are free again when others end.
            sleep(Duration::from_secs(1)).await;
            continue;
        };
        let routes = TowerToHyperService::new(routes.clone());
        tokio::spawn(async move {
            let connection = Builder::new()
                .timer(TokioTimer::new())
                // Also runs between two requests.
                .header_read_timeout(PATIENCE)
                .serve_connection(TokioIo::new(StallLimited::new(stream)), routes);
            // Nobody is left to be told why it ended.
            let _ = connection.await;
            drop(permit);
        });
    }
}

/// A stream that ends when what is written to it is not taken.
struct StallLimited {
    stream: TcpStream,
    /// Runs from when the system takes no more until all is taken.
    stalled: Option<Pin<Box<Sleep>>>,
}

impl StallLimited {
    fn new(stream: TcpStream) -> Self {
        Self {
            stream,
            stalled: None,
        }
    }

    fn limit_stall(
        &mut self,
        context: &mut Context<'_>,
        written: Poll<Result<usize>>,
        all: usize,
    ) -> Poll<Result<usize>> {
        if matches!(written, Poll::Ready(Ok(count)) if count == all) {
            self.stalled = None;
            return written;
        }
        let stalled = self
            .stalled
            .get_or_insert_with(|| Box::pin(sleep(PATIENCE)));
        if written.is_ready() {
            return written;
        }
        ready!(stalled.as_mut().poll(context));
        Poll::Ready(Err(ErrorKind::TimedOut.into()))
    }
}

impl AsyncRead for StallLimited {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<Result<()>> {
        Pin::new(&mut self.stream).poll_read(context, into)
    }
}

impl AsyncWrite for StallLimited {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<Result<usize>> {
        let written = Pin::new(&mut self.stream).poll_write(context, bytes);
        self.limit_stall(context, written, bytes.len())
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        parts: &[IoSlice<'_>],
    ) -> Poll<Result<usize>> {
        let written = Pin::new(&mut self.stream).poll_write_vectored(context, parts);
        let all = parts.iter().map(|part| part.len()).sum();
        self.limit_stall(context, written, all)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }
}

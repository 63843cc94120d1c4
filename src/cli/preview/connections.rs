//! Serves connections to the page. Any program on this computer may open some and
//! stay silent or slow, so their number and their time are limited.

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

/// What connections may take of the program.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    /// How long a connection may be silent, a request may take to arrive, and a
    /// response may wait to be read.
    pub(crate) timeout: Duration,
    /// How many are served at a time.
    pub(crate) connections: usize,
}

/// A browser on the same computer needs milliseconds and opens six connections.
pub(crate) const LIMITS: Limits = Limits {
    timeout: Duration::from_secs(10),
    connections: 64,
};

/// Serves connections until the program ends.
pub(crate) async fn serve(listener: TcpListener, routes: Router, limits: Limits) -> Result<()> {
    let free = Arc::new(Semaphore::new(limits.connections));
    loop {
        // More connections wait in the queue of the system.
        let permit = Arc::clone(&free).acquire_owned().await;
        let permit = permit.map_err(Error::other)?;
        let Ok((stream, _)) = listener.accept().await else {
            // Out of file handles, for example, until other connections end.
            sleep(Duration::from_secs(1)).await;
            continue;
        };
        let routes = TowerToHyperService::new(routes.clone());
        let stream = StallLimited::new(stream, limits.timeout);
        tokio::spawn(async move {
            let connection = Builder::new()
                .timer(TokioTimer::new())
                // Also between two requests.
                .header_read_timeout(limits.timeout)
                .serve_connection(TokioIo::new(stream), routes);
            // Nobody is left to be told about an error.
            let _ = connection.await;
            drop(permit);
        });
    }
}

/// A stream that fails when the other side stops reading.
struct StallLimited {
    stream: TcpStream,
    timeout: Duration,
    /// Runs from the first write that is not taken whole until the next that is.
    stalled: Option<Pin<Box<Sleep>>>,
}

impl StallLimited {
    fn new(stream: TcpStream, timeout: Duration) -> Self {
        Self {
            stream,
            timeout,
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
        let timeout = self.timeout;
        let stalled = self.stalled.get_or_insert_with(|| Box::pin(sleep(timeout)));
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

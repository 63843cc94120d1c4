//! How long a connection may take, as bytes go over the wire, with limits that a
//! test need not wait long for.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::thread;
use std::time::Instant;

use super::*;

const SHORT: Limits = Limits {
    timeout: Duration::from_millis(500),
    connections: 4,
};

/// What a machine that does much else may take, and less than the limit in use.
const PATIENCE: Duration = Duration::from_secs(9);

/// Serves a page with short limits until the process ends; its address, and the path
/// and token of its link.
fn served() -> (SocketAddr, String) {
    let arguments = PreviewArguments {
        spec: "specs/hollow-creek-geothermal.yaml".into(),
        port: 0,
        house: None,
        as_of: None,
    };
    let runtime = runtime().unwrap();
    let listener = runtime.block_on(TcpListener::bind("127.0.0.1:0")).unwrap();
    let address = listener.local_addr().unwrap();
    let (state, link) = {
        let _within = runtime.enter();
        session(&listener, &arguments, SHORT).unwrap()
    };
    let origin = state.session.origin();
    thread::spawn(move || {
        let routes = server::routes(state);
        runtime.block_on(connections::serve(listener, routes, SHORT))
    });
    (address, link.strip_prefix(&origin).unwrap().to_owned())
}

fn connect(address: SocketAddr) -> TcpStream {
    let stream = TcpStream::connect(address).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    stream
}

/// Waits until the other end closes, and nothing more comes.
fn until_closed(mut stream: TcpStream) {
    // Reset is as good as an end.
    let _ = stream.read_to_end(&mut Vec::new());
}

/// Sends a request; the head of its answer.
fn ask(address: SocketAddr, request: &str) -> String {
    let mut stream = connect(address);
    stream.write_all(request.as_bytes()).unwrap();
    let lines = BufReader::new(stream).lines().map(Result::unwrap);
    let head: Vec<_> = lines.take_while(|line| !line.is_empty()).collect();
    head.join("\n")
}

#[test]
fn connections_that_say_nothing_or_little_end_and_leave_room() {
    let (address, link) = served();
    let started = Instant::now();
    // As many as are served at a time, and one more that waits for its turn.
    let idle: Vec<_> = (0..SHORT.connections).map(|_| connect(address)).collect();
    let mut headers = connect(address);
    headers.write_all(b"GET / HTTP/1.1\r\nHost: x").unwrap();
    for stream in idle {
        until_closed(stream);
    }
    let took = started.elapsed();
    assert!(took >= SHORT.timeout && took < PATIENCE, "{took:?}");
    // Its own time began when there was room for it.
    until_closed(headers);
    let took = started.elapsed();
    assert!(took >= 2 * SHORT.timeout && took < PATIENCE, "{took:?}");
    let request = format!("GET {link} HTTP/1.1\r\nHost: {address}\r\n\r\n");
    let answer = ask(address, &request);
    assert!(answer.contains(" 303 "), "{answer}");
}

#[test]
fn a_body_that_trickles_in_is_not_waited_for() {
    let (address, link) = served();
    let enter = format!("GET {link} HTTP/1.1\r\nHost: {address}\r\n\r\n");
    let answer = ask(address, &enter);
    let cookie = answer
        .lines()
        .find_map(|line| line.strip_prefix("set-cookie: ")?.split(';').next())
        .unwrap();
    let base = link.split('?').next().unwrap();
    let head = format!(
        "POST {base}look HTTP/1.1\r\nHost: {address}\r\nOrigin: http://{address}\r\n\
         Cookie: {cookie}\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\
         Connection: close\r\n\r\n{{"
    );
    let started = Instant::now();
    let answer = ask(address, &head);
    assert!(answer.contains(" 408 "), "{answer}");
    let took = started.elapsed();
    assert!(took >= SHORT.timeout && took < PATIENCE, "{took:?}");
}

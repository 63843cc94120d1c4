//! Who may talk to the preview, and for how long: as bytes go over the wire.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Stdio};
use std::time::{Duration, Instant};

use crate::support::{GEOTHERMAL, coldring};

/// A preview that runs, and ends with the test.
struct Served {
    child: Child,
    address: String,
    /// Path and token of the link.
    link: String,
}

impl Served {
    fn start() -> Self {
        let mut child = coldring()
            .args(["preview", GEOTHERMAL, "--port", "0"])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let url = lines
            .map(|line| line.unwrap())
            .find_map(|line| Some(line.trim().strip_prefix("http://")?.to_owned()))
            .unwrap();
        let (address, path) = url.split_once('/').unwrap();
        Self {
            child,
            address: address.to_owned(),
            link: format!("/{path}"),
        }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(&self.address).unwrap();
        let patience = Some(Duration::from_secs(60));
        stream.set_read_timeout(patience).unwrap();
        stream
    }

    /// The first line of the answer to a request.
    fn ask(&self, request: &str) -> String {
        let mut stream = self.connect();
        stream.write_all(request.as_bytes()).unwrap();
        let mut line = String::new();
        BufReader::new(stream).read_line(&mut line).unwrap();
        line
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// How long until the other end closes, and nothing more comes.
fn until_closed(mut stream: TcpStream) -> Duration {
    let started = Instant::now();
    // Reset is as good as an end.
    let _ = stream.read_to_end(&mut Vec::new());
    started.elapsed()
}

#[test]
fn an_address_that_names_another_host_is_refused() {
    let served = Served::start();
    let (host, link) = (&served.address, &served.link);
    let asked = |target: &str| {
        served.ask(&format!(
            "GET {target} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"
        ))
    };
    for elsewhere in [
        "http://evil.example",
        "http://localhost",
        "http://a@127.0.0.1:1",
    ] {
        let answer = asked(&format!("{elsewhere}{link}"));
        assert!(answer.contains(" 421 "), "{elsewhere}: {answer}");
    }
    // The token was not spent, and its own address in the same form is good.
    let answer = asked(&format!("http://{host}{link}"));
    assert!(answer.contains(" 303 "), "{answer}");
}

#[test]
fn connections_that_say_nothing_or_little_end_and_leave_room() {
    let served = Served::start();
    // As many as are served at a time, and some more that wait for their turn.
    let idle: Vec<_> = (0..64).map(|_| served.connect()).collect();
    let mut headers = served.connect();
    headers.write_all(b"GET / HTTP/1.1\r\nHost: x").unwrap();
    let started = Instant::now();
    for stream in idle {
        until_closed(stream);
    }
    // 10 seconds, and what a machine that does much else takes.
    let took = started.elapsed();
    assert!(
        took >= Duration::from_secs(9) && took < Duration::from_secs(30),
        "{took:?}"
    );
    // Its own 10 seconds began when there was room for it.
    let took = until_closed(headers);
    assert!(
        took >= Duration::from_secs(5) && took < Duration::from_secs(30),
        "{took:?}"
    );
    let (host, link) = (&served.address, &served.link);
    let answer = served.ask(&format!("GET {link} HTTP/1.1\r\nHost: {host}\r\n\r\n"));
    assert!(answer.contains(" 303 "), "{answer}");
}

#[test]
fn a_body_that_trickles_in_is_not_waited_for() {
    let served = Served::start();
    let (host, link) = (&served.address, &served.link);
    let mut stream = served.connect();
    let enter = format!("GET {link} HTTP/1.1\r\nHost: {host}\r\n\r\n");
    stream.write_all(enter.as_bytes()).unwrap();
    let mut answer = [0; 1024];
    let length = stream.read(&mut answer).unwrap();
    let answer = String::from_utf8_lossy(&answer[..length]).into_owned();
    let cookie = answer
        .lines()
        .find_map(|line| line.strip_prefix("set-cookie: ")?.split(';').next())
        .unwrap();
    let base = link.split('?').next().unwrap();
    let mut stream = served.connect();
    let head = format!(
        "POST {base}look HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nCookie: {cookie}\r\n\
         Content-Type: application/json\r\nContent-Length: 100\r\nConnection: close\r\n\r\n{{"
    );
    stream.write_all(head.as_bytes()).unwrap();
    let started = Instant::now();
    let mut line = String::new();
    BufReader::new(&stream).read_line(&mut line).unwrap();
    assert!(line.contains(" 408 "), "{line}");
    let took = started.elapsed();
    assert!(
        took >= Duration::from_secs(9) && took < Duration::from_secs(30),
        "{took:?}"
    );
}

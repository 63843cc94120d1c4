//! Who may talk to the preview: as bytes go over the wire.

use std::io::{BufRead, BufReader, Write};
use std::net::TcpStream;
use std::process::{Child, Stdio};
use std::time::Duration;

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

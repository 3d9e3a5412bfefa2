//! A request and its answer, over a socket.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::Duration;

/// Status and body of an answer; nothing when it did not come whole.
pub fn ask(address: &str, method: &str, path: &str, form: &str) -> Option<(u16, Vec<u8>)> {
    let mut socket = TcpStream::connect(address).ok()?;
    socket.set_read_timeout(Some(Duration::from_secs(20))).ok()?;
    let head = format!(
        "{method} {path} HTTP/1.1\r\nHost: {address}\r\nAccept: text/html\r\nConnection: close\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{form}",
        form.len()
    );
    socket.write_all(head.as_bytes()).ok()?;
    let mut answer = Vec::new();
    socket.read_to_end(&mut answer).ok()?;
    let end = answer.windows(4).position(|part| part == b"\r\n\r\n")?;
    let head = String::from_utf8_lossy(&answer[..end]).into_owned();
    let status = head.split(' ').nth(1)?.parse().ok()?;
    Some((status, answer[end + 4..].to_vec()))
}

/// A page as text.
pub fn page(address: &str, path: &str) -> String {
    let (_, body) = ask(address, "GET", path, "").unwrap();
    String::from_utf8_lossy(&body).into_owned()
}

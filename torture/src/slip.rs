//! A note as a phone sends it, and what came back.

use crate::dice::Dice;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::time::Duration;
use uuid::Uuid;

/// A note with an id of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    /// Made by whoever notes it.
    pub id: Uuid,
    /// The remark; no two are alike.
    pub text: String,
}

/// What came back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// "Noted": it is on disk.
    Noted,
    /// A page that says no.
    Refused {
        /// The status.
        status: u16,
        /// The page.
        page: String,
    },
    /// Nothing, or not all of it: nobody knows.
    None,
}

impl Slip {
    /// The n-th note of a run.
    pub fn nth(n: usize, dice: &mut Dice) -> Slip {
        let (high, low) = (dice.below(1 << 48) as u128, dice.below(1 << 60) as u128);
        let id = (high << 80) | (0x7 << 76) | (0x2 << 62) | (low & ((1 << 60) - 1));
        Slip { id: Uuid::from_u128(id), text: format!("slip {n} of {low:x}") }
    }

    /// Sends it to a box.
    #[must_use]
    pub fn send(&self, to: SocketAddr, name: &str) -> Answer {
        let text = self.text.replace(' ', "+");
        let body = format!("id={}&left=none&go=stay&remark={text}", self.id);
        post(to, &format!("/round/{name}"), &body).unwrap_or(Answer::None)
    }
}

fn post(to: SocketAddr, path: &str, body: &str) -> std::io::Result<Answer> {
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: {to}\r\nConnection: close\r\nSec-Fetch-Site: same-origin\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n",
        body.len()
    );
    let (status, page) = exchange(to, &format!("{head}{body}"))?;
    Ok(match status {
        303 => Answer::Noted,
        status => Answer::Refused { status, page },
    })
}

/// Asks for a page: its status and all of it.
///
/// # Errors
/// If no whole answer came.
pub fn get(to: SocketAddr, path: &str) -> std::io::Result<(u16, String)> {
    exchange(to, &format!("GET {path} HTTP/1.1\r\nHost: {to}\r\nConnection: close\r\n\r\n"))
}

fn exchange(to: SocketAddr, request: &str) -> std::io::Result<(u16, String)> {
    let mut socket = TcpStream::connect_timeout(&to, Duration::from_secs(5))?;
    socket.set_read_timeout(Some(Duration::from_secs(60)))?;
    socket.write_all(request.as_bytes())?;
    let mut raw = Vec::new();
    socket.read_to_end(&mut raw)?;
    let text = String::from_utf8_lossy(&raw).into_owned();
    let broken = || std::io::Error::other("the answer broke off");
    let (head, page) = text.split_once("\r\n\r\n").ok_or_else(broken)?;
    let status = head.split(' ').nth(1).and_then(|it| it.parse().ok()).ok_or_else(broken)?;
    Ok((status, page.to_owned()))
}

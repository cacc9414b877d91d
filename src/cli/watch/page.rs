//! The live page: a small HTTP server on the loopback address that gives the packet's files and nothing else.
//!
//! It answers only where the browser asked for a loopback name, so that a page of another site which points its own
//! name at this machine is refused; it reads no file, for all it gives is the packet in memory.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex};
use std::thread;
use std::time::Duration;

use crate::render::File;
use crate::render::live::{Panel, SCRIPT, live};

use crate::cli::output::{Trouble, narrate};

/// A request's head is read up to here.
const LONGEST_HEAD: u64 = 16 << 10;
/// Connections answered at once.
const MOST: usize = 64;
/// A browser that asks for something newer is answered by then, newer or not.
const PATIENCE: Duration = Duration::from_secs(20);

/// What is given out.
#[derive(Default)]
struct Shown {
    version: u64,
    page: String,
    files: Vec<File>,
}

struct Shared {
    port: u16,
    shown: Mutex<Shown>,
    newer: Condvar,
    open: AtomicUsize,
}

/// The server, running until the program ends.
pub(super) struct Server {
    shared: Arc<Shared>,
}

impl Server {
    /// Starts to listen; port 0 takes a free one.
    pub(super) fn start(port: u16) -> Result<Self, Trouble> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(|e| {
            Trouble::new(format!("cannot serve a page at port {port}: {e}"))
                .help("name another with `--port`, or none with `--no-page`")
        })?;
        let port = listener.local_addr().map_or(port, |a| a.port());
        let shared = Arc::new(Shared {
            port,
            shown: Mutex::new(Shown::default()),
            newer: Condvar::new(),
            open: AtomicUsize::new(0),
        });
        let own = Arc::clone(&shared);
        let listen = move || {
            for stream in listener.incoming().flatten() {
                answer_in_a_thread(stream, &own);
            }
        };
        thread::Builder::new().spawn(listen).map_err(|e| Trouble::new(format!("cannot serve a page: {e}")))?;
        Ok(Self { shared })
    }

    /// Where the page stands.
    pub(super) fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.shared.port)
    }

    /// Gives out this packet from now on.
    pub(super) fn show(&self, panel: &Panel, files: &[File]) {
        let packet = files.iter().find(|f| f.path == "packet.html").map(|f| String::from_utf8_lossy(&f.bytes));
        let page = match live(packet.as_deref(), panel) {
            Ok(page) => page,
            Err(error) => return narrate(&format!("lampwright: {error}\n")),
        };
        let Ok(mut shown) = self.shared.shown.lock() else { return };
        *shown = Shown { version: panel.version, page, files: files.to_vec() };
        self.shared.newer.notify_all();
    }
}

fn answer_in_a_thread(stream: TcpStream, shared: &Arc<Shared>) {
    if shared.open.fetch_add(1, Ordering::SeqCst) >= MOST {
        shared.open.fetch_sub(1, Ordering::SeqCst);
        return;
    }
    let own = Arc::clone(shared);
    let answer = move || {
        // A browser that goes away in the middle is no error of ours.
        let _ = converse(stream, &own);
        own.open.fetch_sub(1, Ordering::SeqCst);
    };
    // Where the system gives no thread the browser asks again.
    if thread::Builder::new().spawn(answer).is_err() {
        shared.open.fetch_sub(1, Ordering::SeqCst);
    }
}

fn converse(stream: TcpStream, shared: &Shared) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(10)))?;
    stream.set_write_timeout(Some(Duration::from_secs(10)))?;
    let mut reader = BufReader::new((&stream).take(LONGEST_HEAD));
    let mut lines = Vec::new();
    loop {
        let mut line = String::new();
        if reader.read_line(&mut line)? == 0 {
            break;
        }
        let line = line.trim_end().to_owned();
        if line.is_empty() {
            break;
        }
        lines.push(line);
    }
    let answer = answer(&lines, shared);
    (&stream).write_all(&answer.head())?;
    (&stream).write_all(&answer.body)?;
    (&stream).flush()
}

struct Answer {
    status: &'static str,
    kind: &'static str,
    body: Vec<u8>,
}

impl Answer {
    fn refusal(status: &'static str, why: &str) -> Self {
        Self { status, kind: "text/plain; charset=utf-8", body: format!("{why}\n").into_bytes() }
    }

    fn head(&self) -> Vec<u8> {
        let rules = "default-src 'none'; style-src 'unsafe-inline'; img-src 'self' data:; script-src 'self'; \
                     connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
        format!(
            "HTTP/1.1 {}\r\nContent-Type: {}\r\nContent-Length: {}\r\nContent-Security-Policy: {rules}\r\n\
             X-Content-Type-Options: nosniff\r\nCross-Origin-Resource-Policy: same-origin\r\n\
             Referrer-Policy: no-referrer\r\nCache-Control: no-store\r\nConnection: close\r\n\r\n",
            self.status,
            self.kind,
            self.body.len()
        )
        .into_bytes()
    }
}

fn answer(lines: &[String], shared: &Shared) -> Answer {
    let mut request = lines.first().map_or("", String::as_str).split(' ');
    let (method, target) = (request.next().unwrap_or_default(), request.next().unwrap_or_default());
    if !is_for_us(lines, shared.port) {
        return Answer::refusal("421 Misdirected Request", "this page answers to the loopback address only");
    }
    if method != "GET" {
        return Answer::refusal("405 Method Not Allowed", "there is nothing here to change");
    }
    let target = target.split(['?', '#']).next().unwrap_or_default();
    if let Some(version) = target.strip_prefix("/live/after/") {
        return Answer { status: "200 OK", kind: "text/plain; charset=utf-8", body: newer(version, shared).into() };
    }
    if target == "/live.js" {
        return Answer { status: "200 OK", kind: "text/javascript; charset=utf-8", body: SCRIPT.into() };
    }
    let Ok(shown) = shared.shown.lock() else {
        return Answer::refusal("500 Internal Server Error", "the page is lost");
    };
    if target == "/" {
        return Answer { status: "200 OK", kind: "text/html; charset=utf-8", body: shown.page.clone().into() };
    }
    let file = shown.files.iter().find(|f| target.strip_prefix('/') == Some(f.path.as_str()));
    match file {
        Some(file) => Answer { status: "200 OK", kind: kind(&file.path), body: file.bytes.clone() },
        None => Answer::refusal("404 Not Found", "the packet has no such file"),
    }
}

/// One `Host`, and it names this machine at our port.
fn is_for_us(lines: &[String], port: u16) -> bool {
    let hosts = lines.iter().skip(1).filter_map(|line| {
        let (name, value) = line.split_once(':')?;
        name.eq_ignore_ascii_case("host").then(|| value.trim().to_ascii_lowercase())
    });
    let hosts: Vec<String> = hosts.collect();
    let ours = ["127.0.0.1", "localhost", "[::1]"].map(|name| format!("{name}:{port}"));
    matches!(hosts.as_slice(), [host] if ours.contains(host))
}

/// The number of what is shown, as soon as it is not this one.
fn newer(version: &str, shared: &Shared) -> String {
    let Ok(shown) = shared.shown.lock() else { return version.to_owned() };
    let same = |shown: &mut Shown| shown.version.to_string() == version;
    match shared.newer.wait_timeout_while(shown, PATIENCE, same) {
        Ok((shown, _)) => shown.version.to_string(),
        Err(_) => version.to_owned(),
    }
}

fn kind(path: &str) -> &'static str {
    match path.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "svg" => "image/svg+xml",
        "pdf" => "application/pdf",
        "json" => "application/json",
        "csv" => "text/csv; charset=utf-8",
        _ => "text/plain; charset=utf-8",
    }
}

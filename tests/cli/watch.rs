//! `watch`: a build on every save, half-written files and parts and templates included; a page on the loopback
//! address that gives the packet and nothing else, and that loads itself anew in a real browser.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use super::{command, new_spec, place, write};

/// Long enough for a machine that builds other things beside.
const PATIENCE: Duration = Duration::from_secs(120);

struct Watching {
    child: Child,
    lines: Receiver<String>,
    port: u16,
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Watching {
    fn start(folder: &Path, arguments: &[&str]) -> Self {
        let mut all = vec!["watch", "my.lamp", "-o", "out"];
        all.extend(arguments);
        let mut child =
            command(folder, &all).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program runs");
        let (sender, lines) = channel();
        let errors = child.stderr.take().expect("standard error");
        for stream in
            [Box::new(child.stdout.take().expect("standard output")) as Box<dyn Read + Send>, Box::new(errors)]
        {
            let sender = sender.clone();
            std::thread::spawn(move || {
                BufReader::new(stream).lines().map_while(Result::ok).for_each(|line| drop(sender.send(line)));
            });
        }
        let mut watching = Self { child, lines, port: 0 };
        let line = watching.until("live page: http://127.0.0.1:");
        watching.port = line.trim_end_matches('/').rsplit(':').next().and_then(|p| p.parse().ok()).expect("a port");
        watching
    }

    /// The first line that holds this; fails with what was said instead.
    fn until(&self, wanted: &str) -> String {
        let (end, mut said) = (Instant::now() + PATIENCE, String::new());
        while let Ok(line) = self.lines.recv_timeout(end.saturating_duration_since(Instant::now())) {
            if line.contains(wanted) {
                return line;
            }
            said.push_str(&line);
            said.push('\n');
        }
        panic!("`{wanted}` was not said, but\n{said}");
    }

    /// Status line, head and body of one request.
    fn ask(&self, method: &str, path: &str, host: &str) -> (String, String) {
        ask(self.port, method, path, host)
    }

    fn get(&self, path: &str) -> (String, String) {
        get(self.port, path)
    }
}

fn ask(port: u16, method: &str, path: &str, host: &str) -> (String, String) {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).expect("the page answers");
    stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
    write!(stream, "{method} {path} HTTP/1.1\r\n{host}\r\n\r\n").expect("asked");
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer).expect("an answer");
    let answer = String::from_utf8_lossy(&answer).into_owned();
    let (head, body) = answer.split_once("\r\n\r\n").expect("a head and a body");
    (head.to_owned(), body.to_owned())
}

fn get(port: u16, path: &str) -> (String, String) {
    ask(port, "GET", path, &format!("Host: 127.0.0.1:{port}"))
}

fn lamp(name: &str) -> PathBuf {
    let folder = place(name);
    write(&folder, "shared.lamp", "language 1\n\nlet weight = 0.7 kg\n");
    write(&folder, "my.lamp", new_spec().replace("0.7 kg", "weight") + "\nuse \"shared.lamp\"\n");
    folder
}

#[test]
fn every_save_is_built_and_a_half_written_file_is_waited_out() {
    let folder = lamp("watch");
    std::fs::create_dir_all(folder.join("mine/sheets")).expect("a folder");
    let watching = Watching::start(&folder, &["--templates", "mine"]);
    watching.until("sheets: out/packet.pdf");
    let spec = std::fs::read_to_string(folder.join("my.lamp")).expect("the spec");
    let before = std::fs::read(folder.join("out/packet.json")).expect("a packet");
    // Half of it: the error is told, the last packet stays on the disk and on the page.
    write(&folder, "my.lamp", &spec[..spec.len() / 2]);
    watching.until("cannot be compiled");
    assert_eq!(std::fs::read(folder.join("out/packet.json")).expect("a packet"), before);
    let page = watching.get("/").1;
    assert!(page.contains("cannot be compiled") && page.contains("last lamp that could"), "{page:.900}");
    assert!(page.contains("id=\"safety\""), "the last packet left the page");
    // Whole again, with a comment: no effect.
    write(&folder, "my.lamp", format!("{spec}\n# a remark\n"));
    watching.until("no effect on lamp or papers");
    // A part, saved as editors do: beside, then renamed.
    write(&folder, "shared.lamp~", "language 1\n\nlet weight = 0.8 kg\n");
    std::fs::rename(folder.join("shared.lamp~"), folder.join("shared.lamp")).expect("renamed");
    watching.until("let weight");
    assert_ne!(std::fs::read(folder.join("out/packet.json")).expect("a packet"), before);
    // Away, and back.
    std::fs::remove_file(folder.join("my.lamp")).expect("removed");
    watching.until("it is not there");
    write(&folder, "my.lamp", &spec);
    watching.until("no effect on lamp or papers");
    // A template, new in its folder.
    let unit = std::fs::read_to_string(crate::support::root().join("templates/sheets/repair.md")).expect("a template");
    write(&folder, "mine/sheets/repair.md", format!("{unit}\nOur own remark.\n"));
    watching.until("sheets set anew: repair");
    assert!(watching.get("/sheets/repair.md").1.contains("Our own remark"));
}

#[test]
fn the_page_gives_the_packet_and_nothing_else_and_to_nobody_else() {
    let folder = lamp("watch-page");
    write(&folder, "secret.txt", "not for the page");
    let watching = Watching::start(&folder, &[]);
    watching.until("sheets: out/packet.pdf");
    let (head, page) = watching.get("/");
    assert!(head.starts_with("HTTP/1.1 200") && head.contains("frame-ancestors 'none'"), "{head}");
    assert!(page.contains("<aside class=\"live\"") && page.contains("data-version=\"1\""), "{page:.900}");
    assert!(watching.get("/packet.pdf").1.starts_with("%PDF-"));
    assert!(watching.get("/packet.json?x=1").0.contains("application/json"));
    for path in ["/secret.txt", "/../secret.txt", "/../my.lamp", "//etc/passwd", "/%2e%2e/my.lamp", "/my.lamp", "", "x"]
    {
        let (head, body) = watching.get(path);
        assert!(head.starts_with("HTTP/1.1 404"), "{path}: {head}");
        assert!(!body.contains("not for the page"));
    }
    let port = watching.port;
    for (host, ours) in [
        (format!("Host: localhost:{port}"), true),
        (format!("host:   LOCALHOST:{port}"), true),
        (format!("Host: [::1]:{port}"), true),
        ("Host: 127.0.0.1".to_owned(), false),
        (format!("Host: lamp.example:{port}"), false),
        (format!("Host: 127.0.0.1.example:{port}"), false),
        (format!("Host: 127.0.0.1:{port}\r\nHost: lamp.example"), false),
        ("Accept: */*".to_owned(), false),
    ] {
        let (head, body) = watching.ask("GET", "/", &host);
        assert_eq!(head.starts_with("HTTP/1.1 200"), ours, "{host}: {head}");
        assert!(ours || (head.starts_with("HTTP/1.1 421") && !body.contains("<html")), "{host}: {head}");
    }
    let posted = watching.ask("POST", "/", &format!("Host: 127.0.0.1:{port}"));
    assert!(posted.0.starts_with("HTTP/1.1 405"), "{}", posted.0);
    let own = std::net::TcpStream::connect_timeout(
        &std::net::SocketAddr::from(([127, 0, 0, 2], port)),
        Duration::from_millis(500),
    );
    assert!(own.is_err(), "it listens at other addresses than 127.0.0.1");
    // A question for something newer is answered when there is.
    let asked = std::thread::scope(|scope| {
        let answer = scope.spawn(|| get(port, "/live/after/1").1);
        write(&folder, "shared.lamp", "language 1\n\nlet weight = 0.9 kg\n");
        answer.join().expect("an answer")
    });
    assert_eq!(asked, "2");
}

/// A headless browser from the system's packages.
fn browser() -> Option<&'static str> {
    ["chromium", "chromium-browser"].into_iter().find(|name| {
        let run = Command::new(name).arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status();
        run.is_ok_and(|status| status.success())
    })
}

/// Title of the page that the browser shows, from its list of pages.
fn title(port: u16) -> Option<String> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(5))).ok()?;
    write!(stream, "GET /json/list HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n").ok()?;
    let mut head = String::new();
    let mut reader = BufReader::new(stream);
    let mut length = 0;
    while reader.read_line(&mut head).ok()? > 2 {
        let line = head.to_ascii_lowercase();
        if let Some(value) = line.strip_prefix("content-length:") {
            length = value.trim().parse().ok()?;
        }
        head.clear();
    }
    let mut body = vec![0; length];
    reader.read_exact(&mut body).ok()?;
    let pages: serde_json::Value = serde_json::from_slice(&body).ok()?;
    let page = pages.as_array()?.iter().find(|p| p["type"] == "page")?;
    page["title"].as_str().map(str::to_owned)
}

struct Browser(Child);

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[test]
fn a_browser_shows_the_new_lamp_after_a_save() {
    let Some(program) = browser() else {
        eprintln!("SKIPPED: no chromium in the system's packages; `.ci/run` installs it");
        return;
    };
    let folder = lamp("watch-browser");
    let spec = std::fs::read_to_string(folder.join("my.lamp")).expect("the spec");
    let named = |name: &str| {
        let opens = spec.lines().find(|l| l.starts_with("lamp \"")).expect("the lamp's name");
        spec.replace(opens, &format!("lamp \"{name}\" {{"))
    };
    write(&folder, "my.lamp", named("Before the save"));
    let watching = Watching::start(&folder, &[]);
    watching.until("sheets: out/packet.pdf");
    let profile = folder.join("profile");
    let mut child = Command::new(program)
        .args(["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run"])
        .args(["--remote-debugging-port=0", &format!("--user-data-dir={}", profile.display())])
        .arg(format!("http://127.0.0.1:{}/", watching.port))
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the browser starts");
    let errors = BufReader::new(child.stderr.take().expect("standard error"));
    let _browser = Browser(child);
    let mut lines = errors.lines().map_while(Result::ok);
    let port: u16 = lines
        .find_map(|l| l.split("ws://127.0.0.1:").nth(1)?.split('/').next()?.parse().ok())
        .expect("the browser says where it listens");
    std::thread::spawn(move || lines.for_each(drop));
    let shows = |wanted: &str| {
        let end = Instant::now() + PATIENCE;
        let mut last = None;
        while Instant::now() < end {
            last = title(port);
            if last.as_deref().is_some_and(|t| t.contains(wanted)) {
                return;
            }
            std::thread::sleep(Duration::from_millis(100));
        }
        panic!("the browser shows {last:?}, not {wanted}");
    };
    shows("Before the save");
    write(&folder, "my.lamp", named("After the save"));
    shows("After the save");
}

//! Verb `editor`: a language server over standard input and output, one message at a time.

mod pages;
mod rename;
mod wire;

use std::io::{self, BufReader};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::thread;

use serde_json::{Value, json};

use super::Exit;
use super::output::Trouble;
use pages::Pages;

/// `editor`.
#[derive(clap::Args)]
#[command(before_help = "\
Examples:
  lampwright editor        what an editor's settings name as the language server for .lamp and .built files")]
pub(super) struct Args {
    /// Let `use` reach up to this folder instead of the project's root
    #[arg(long, value_name = "DIR")]
    library: Option<String>,
}

/// Error codes of JSON-RPC and of the protocol.
const NOT_A_REQUEST: i64 = -32600;
const NO_SUCH_METHOD: i64 = -32601;
const NOT_READY: i64 = -32002;
const REFUSED: i64 = -32803;

pub(super) fn run(args: &Args) -> Result<Exit, Trouble> {
    let (sender, receiver) = mpsc::channel();
    thread::spawn(move || {
        let mut input = BufReader::new(io::stdin().lock());
        while let Ok(Some(message)) = wire::read(&mut input) {
            if sender.send(message).is_err() {
                break;
            }
        }
    });
    let mut server = Server { pages: Pages::new(args.library.clone()), ready: false, ending: false };
    Ok(server.serve(&receiver))
}

struct Server {
    pages: Pages,
    ready: bool,
    ending: bool,
}

impl Server {
    /// Answers until the editor says goodbye or goes away.
    fn serve(&mut self, messages: &Receiver<Value>) -> Exit {
        loop {
            // What was typed meanwhile comes first: messages about a text that is old already help nobody.
            let next = match self.pages.due() {
                Some(wait) => messages.recv_timeout(wait),
                None => messages.recv().map_err(|_| RecvTimeoutError::Disconnected),
            };
            let message = match next {
                Ok(message) => message,
                Err(RecvTimeoutError::Disconnected) => return self.end(),
                Err(RecvTimeoutError::Timeout) => {
                    for notice in self.pages.step() {
                        self.send(&notice);
                    }
                    continue;
                }
            };
            if message["method"] == "exit" {
                return self.end();
            }
            if let Some(answer) = self.take(&message) {
                self.send(&answer);
            }
        }
    }

    fn end(&self) -> Exit {
        if self.ending { Exit::Clean } else { Exit::Findings }
    }

    fn send(&self, message: &Value) {
        // A client that went away is seen at the next message.
        let _ = wire::write(&mut io::stdout().lock(), message);
    }

    /// The answer to a request; nothing for a notification.
    fn take(&mut self, message: &Value) -> Option<Value> {
        let id = message.get("id").filter(|id| !id.is_null());
        let Some(method) = message["method"].as_str() else {
            // An answer to us is none of our business; we ask nothing.
            let asks = message.get("result").is_none() && message.get("error").is_none();
            return asks.then(|| wire::failure(id.unwrap_or(&Value::Null), NOT_A_REQUEST, "no method"));
        };
        let params = &message["params"];
        let Some(id) = id else {
            self.note(method, params);
            return None;
        };
        Some(match method {
            "initialize" => {
                self.ready = true;
                wire::answer(id, abilities())
            }
            "shutdown" => {
                self.ending = true;
                wire::answer(id, Value::Null)
            }
            _ if !self.ready || self.ending => wire::failure(id, NOT_READY, "not started, or shut down"),
            _ => match self.pages.ask(method, params) {
                Some(Ok(result)) => wire::answer(id, result),
                Some(Err(words)) => wire::failure(id, REFUSED, &words),
                None => wire::failure(id, NO_SUCH_METHOD, &format!("no method `{method}`")),
            },
        })
    }

    fn note(&mut self, method: &str, params: &Value) {
        let uri = params["textDocument"]["uri"].as_str().unwrap_or_default();
        match method {
            "textDocument/didOpen" => {
                let document = &params["textDocument"];
                self.pages.open(uri, document["text"].as_str().unwrap_or_default(), &document["version"]);
            }
            "textDocument/didChange" => {
                self.pages.version(uri, &params["textDocument"]["version"]);
                let edits = params["contentChanges"].as_array();
                edits.into_iter().flatten().for_each(|edit| self.pages.edit(uri, edit));
            }
            "textDocument/didSave" | "workspace/didChangeWatchedFiles" => self.pages.saved(),
            "textDocument/didClose" => self.pages.close(uri),
            _ => {}
        }
    }
}

/// What the server can do.
fn abilities() -> Value {
    json!({
        "capabilities": {
            "positionEncoding": "utf-16",
            "textDocumentSync": { "openClose": true, "change": 2, "save": true },
            "completionProvider": { "triggerCharacters": [" "] },
            "hoverProvider": true,
            "definitionProvider": true,
            "referencesProvider": true,
            "renameProvider": { "prepareProvider": true },
            "documentSymbolProvider": true,
            "documentFormattingProvider": true,
            "codeActionProvider": { "codeActionKinds": ["quickfix"] },
        },
        "serverInfo": { "name": "lampwright", "version": env!("CARGO_PKG_VERSION") },
    })
}

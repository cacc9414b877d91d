//! JSON-RPC 2.0 over standard input and output, framed as the language server protocol frames it: `Content-Length`.

use std::io::{self, BufRead, Read, Write};

use serde_json::{Value, json};

use crate::cli::files::in_address;

/// A message longer than this is no message of an editor.
const LONGEST: usize = 64 << 20;

/// The next message; nothing at the end of the input. A body that is no JSON comes as `null`.
pub(super) fn read(input: &mut impl BufRead) -> io::Result<Option<Value>> {
    let mut length = None;
    loop {
        let mut line = Vec::new();
        if input.by_ref().take(8192).read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        let line = String::from_utf8_lossy(&line);
        let line = line.trim();
        if line.is_empty() {
            match length {
                Some(_) => break,
                None => continue,
            }
        }
        if let Some((name, value)) = line.split_once(':')
            && name.eq_ignore_ascii_case("content-length")
        {
            length = value.trim().parse::<usize>().ok();
        }
    }
    let length = length.filter(|n| *n <= LONGEST).ok_or_else(|| io::Error::other("a message without a length"))?;
    let mut body = vec![0; length];
    input.read_exact(&mut body)?;
    Ok(Some(serde_json::from_slice(&body).unwrap_or(Value::Null)))
}

/// Sends one message.
pub(super) fn write(output: &mut impl Write, message: &Value) -> io::Result<()> {
    let body = message.to_string();
    write!(output, "Content-Length: {}\r\n\r\n{body}", body.len())?;
    output.flush()
}

/// The answer to a request.
pub(super) fn answer(id: &Value, result: Value) -> Value {
    json!({ "jsonrpc": "2.0", "id": id, "result": result })
}

/// The answer to a request that cannot be met.
pub(super) fn failure(id: &Value, code: i64, message: &str) -> Value {
    json!({ "jsonrpc": "2.0", "id": id, "error": { "code": code, "message": message } })
}

/// Something the client did not ask for.
pub(super) fn notice(method: &str, params: Value) -> Value {
    json!({ "jsonrpc": "2.0", "method": method, "params": params })
}

/// A `file:` address as a path of this machine.
pub(super) fn path_of(uri: &str) -> Option<std::path::PathBuf> {
    let rest = uri.strip_prefix("file://")?;
    let rest = rest.strip_prefix("localhost").unwrap_or(rest);
    let mut bytes = Vec::with_capacity(rest.len());
    let mut signs = rest.bytes();
    while let Some(sign) = signs.next() {
        if sign != b'%' {
            bytes.push(sign);
            continue;
        }
        let digit = |b: Option<u8>| b.and_then(|b| char::from(b).to_digit(16));
        let (high, low) = (digit(signs.next())?, digit(signs.next())?);
        bytes.push((high * 16 + low) as u8);
    }
    let text = String::from_utf8(bytes).ok()?;
    // `/C:/folder` is `C:/folder`.
    let drive = text.get(1..).filter(|t| t.as_bytes().get(1) == Some(&b':'));
    Some(std::path::PathBuf::from(drive.unwrap_or(&text)))
}

/// A path as a `file:` address.
pub(super) fn uri_of(path: &std::path::Path) -> String {
    let coded = in_address(&path.to_string_lossy().replace('\\', "/"));
    if coded.starts_with('/') { format!("file://{coded}") } else { format!("file:///{coded}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn messages_are_framed_and_addresses_are_decoded() {
        let mut bytes = Vec::new();
        write(&mut bytes, &json!({ "a": "Ω" })).unwrap();
        bytes.extend(b"content-length: 2\r\nContent-Type: x\r\n\r\n!!");
        let mut input = io::BufReader::new(bytes.as_slice());
        assert_eq!(read(&mut input).unwrap(), Some(json!({ "a": "Ω" })));
        assert_eq!(read(&mut input).unwrap(), Some(Value::Null));
        assert_eq!(read(&mut input).unwrap(), None);
        let path = std::path::Path::new("/tmp/a b/Ω.lamp");
        assert_eq!(uri_of(path), "file:///tmp/a%20b/%CE%A9.lamp");
        assert_eq!(path_of(&uri_of(path)).as_deref(), Some(path));
        assert_eq!(path_of("untitled:1"), None);
    }
}

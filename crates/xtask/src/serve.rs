//! A static host in miniature, for `run` and for the end-to-end tests: GET and HEAD, right content types, 404.html, and on
//! request a sub-path and a caching time, because those are where real hosts differ. It does nothing a plain host does not.

use crate::{Outcome, place};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// What is served, and how.
#[derive(Clone, Debug)]
pub(crate) struct Site {
    /// The folder with index.html.
    pub(crate) dir: PathBuf,
    /// Path under which it appears; begins and ends with a slash.
    pub(crate) base: String,
    /// Seconds a browser may use a file without asking again.
    pub(crate) max_age_s: u32,
}

/// `serve [--dir D] [--port N] [--base /P/] [--max-age S]`.
///
/// # Errors
/// When an option is unknown or the port cannot be had.
pub(crate) fn serve_from_args(args: &[String]) -> Outcome {
    let mut site = Site { dir: place::dist(), base: "/".into(), max_age_s: 0 };
    let mut port = 0;
    let mut words = args.iter();
    while let Some(option) = words.next() {
        let value = words.next().ok_or_else(|| format!("{option} wants a value"))?;
        let not_a_number = |_| format!("{option} wants a number, not \"{value}\"");
        match option.as_str() {
            "--dir" => site.dir = value.into(),
            "--port" => port = value.parse().map_err(not_a_number)?,
            "--base" => site.base = with_slashes(value),
            "--max-age" => site.max_age_s = value.parse().map_err(not_a_number)?,
            _ => return Err(format!("serve has no option {option}")),
        }
    }
    let listener = listen(port)?;
    println!("Serving at {}", address(&listener, &site)?);
    answer_all(&listener, &site)
}

/// Port 0 is any free one.
///
/// # Errors
/// When the port is taken.
pub(crate) fn listen(port: u16) -> Outcome<TcpListener> {
    TcpListener::bind(("127.0.0.1", port)).map_err(|e| format!("cannot listen on port {port}: {e}"))
}

/// The address to type. `localhost` is a secure context, so workers and storage are as on a real host.
///
/// # Errors
/// When the system does not tell the port.
pub(crate) fn address(listener: &TcpListener, site: &Site) -> Outcome<String> {
    let port = listener.local_addr().map_err(|e| e.to_string())?.port();
    Ok(format!("http://localhost:{port}{}", site.base))
}

/// Serves until the program is stopped.
///
/// # Errors
/// Never returns otherwise; a broken connection concerns only itself.
pub(crate) fn answer_all(listener: &TcpListener, site: &Site) -> Outcome {
    loop {
        if let Ok((stream, _)) = listener.accept() {
            let site = site.clone();
            // A visitor who goes away in the middle is no news.
            std::thread::spawn(move || answer(&stream, &site).ok());
        }
    }
}

fn answer(stream: &TcpStream, site: &Site) -> std::io::Result<()> {
    stream.set_read_timeout(Some(Duration::from_secs(10)))?;
    let mut reader = BufReader::new(stream.take(16_384));
    let mut first = String::new();
    reader.read_line(&mut first)?;
    let mut header = String::new();
    while 2 < reader.read_line(&mut header)? {
        header.clear();
    }
    let mut words = first.split(' ');
    let (method, target) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    if method != "GET" && method != "HEAD" {
        return send(stream, "405 Method Not Allowed", "text/plain", site, b"", true);
    }
    let found = file_for(target, site).and_then(|file| fs::read(&file).ok().map(|bytes| (file, bytes)));
    let only_head = method == "HEAD";
    match found {
        Some((file, bytes)) => send(stream, "200 OK", content_type(&file), site, &bytes, only_head),
        None => {
            let page = fs::read(site.dir.join("404.html")).unwrap_or_default();
            send(stream, "404 Not Found", "text/html; charset=utf-8", site, &page, only_head)
        }
    }
}

fn send(
    mut stream: &TcpStream,
    status: &str,
    content_type: &str,
    site: &Site,
    body: &[u8],
    only_head: bool,
) -> std::io::Result<()> {
    let caching = match site.max_age_s {
        0 => "no-cache".to_owned(),
        seconds => format!("max-age={seconds}"),
    };
    write!(
        stream,
        "HTTP/1.1 {status}\r\nContent-Type: {content_type}\r\nContent-Length: {}\r\nCache-Control: {caching}\r\n\
         X-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n",
        body.len()
    )?;
    if !only_head {
        stream.write_all(body)?;
    }
    stream.flush()
}

/// The file behind the target of a request; none when it lies outside the site.
fn file_for(target: &str, site: &Site) -> Option<PathBuf> {
    let path = target.split(['?', '#']).next()?;
    let inside = path.strip_prefix(&site.base)?;
    let decoded = percent_decoded(inside)?;
    let climbs = decoded.split('/').any(|part| part == ".." || part.contains('\\'));
    if climbs || decoded.starts_with('/') {
        return None;
    }
    let file = site.dir.join(&decoded);
    Some(if file.is_dir() { file.join("index.html") } else { file })
}

fn percent_decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let Some((&first, after)) = rest.split_first() {
        if first == b'%' {
            let digits = std::str::from_utf8(after.get(..2)?).ok()?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
            rest = &after[2..];
        } else {
            bytes.push(first);
            rest = after;
        }
    }
    String::from_utf8(bytes).ok()
}

fn content_type(file: &Path) -> &'static str {
    match file.extension().and_then(|extension| extension.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("wasm") => "application/wasm",
        Some("webmanifest") => "application/manifest+json",
        Some("json") => "application/json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

fn with_slashes(path: &str) -> String {
    match path.trim_matches('/') {
        "" => "/".into(),
        inner => format!("/{inner}/"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site(base: &str) -> Site {
        Site { dir: "/nowhere".into(), base: with_slashes(base), max_age_s: 0 }
    }

    fn check(base: &str, target: &str, file: Option<&str>) {
        assert_eq!(file_for(target, &site(base)), file.map(PathBuf::from), "{target} under {base}");
    }

    #[test]
    fn files_are_found_under_the_base_only() {
        check("/", "/a.js", Some("/nowhere/a.js"));
        check("some/sub", "/some/sub/a.js?x=1", Some("/nowhere/a.js"));
        check("some/sub", "/a.js", None);
    }

    #[test]
    fn nobody_climbs_out() {
        check("/", "/../etc/passwd", None);
        check("/", "/%2e%2e/etc/passwd", None);
        check("/", "//etc/passwd", None);
        check("/", "/%zz", None);
    }
}

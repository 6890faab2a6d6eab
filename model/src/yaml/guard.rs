//! What a text must pass before any parser sees it: size, encoding, nesting, aliases, tabs.

use std::io::{ErrorKind, Read as _};
use std::path::Path;

use crate::finding::{Finding, Place, Severity};

/// Largest file that is read, in bytes.
pub const MOST_BYTES: u64 = 4 * 1024 * 1024;
/// Deepest nesting that is read.
pub const MOST_DEPTH: usize = 32;

/// A finding about a whole file, or a line of it.
pub fn about_file(
    code: &'static str,
    file: &str,
    line: Option<usize>,
    found: &str,
    allowed: &str,
) -> Finding {
    Finding {
        code,
        severity: Severity::Error,
        place: Place { file: file.to_owned(), path: Vec::new(), line, column: line.map(|_| 1) },
        found: found.to_owned(),
        allowed: allowed.to_owned(),
        hint: None,
    }
}

/// Reads a file.
///
/// # Errors
/// A finding if the file cannot be read, or is too large.
pub fn read_bytes(path: &Path, file: &str) -> Result<Vec<u8>, Finding> {
    let allowed = "the path of a file; paths inside a brew plan begin in its own folder";
    let unreadable = |error: &std::io::Error| {
        let why = match error.kind() {
            ErrorKind::NotFound => "it is not there".to_owned(),
            ErrorKind::PermissionDenied => "reading it is not permitted".to_owned(),
            _ => error.to_string(),
        };
        about_file("V101", file, None, &why, allowed)
    };
    let size = std::fs::metadata(path).map_err(|error| unreadable(&error))?;
    if size.is_dir() {
        return Err(about_file("V101", file, None, "it is a folder", allowed));
    }
    if !size.is_file() {
        return Err(about_file("V101", file, None, "it is a pipe or a device", allowed));
    }
    if size.len() > MOST_BYTES {
        let found = format!("{} bytes", size.len());
        return Err(about_file("V103", file, None, &found, "at most 4 MiB"));
    }
    // The size may have changed since: no more is read than would be taken.
    let mut bytes = Vec::new();
    let opened = std::fs::File::open(path).map_err(|error| unreadable(&error))?;
    opened.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| unreadable(&error))?;
    Ok(bytes)
}

/// Bytes as text without a byte-order mark and with plain line ends.
///
/// # Errors
/// A finding if they are no text.
pub fn as_text(bytes: &[u8], file: &str) -> Result<String, Finding> {
    if bytes.len() as u64 > MOST_BYTES {
        return Err(about_file("V103", file, None, &format!("{} bytes", bytes.len()), "at most 4 MiB"));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let line = bytes[..error.valid_up_to()].iter().filter(|&&byte| byte == b'\n').count() + 1;
        about_file("V104", file, Some(line), "bytes that are not UTF-8", "text in UTF-8")
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let is_odd = |character: char| character.is_control() && !matches!(character, '\n' | '\r' | '\t');
    if let Some(position) = text.find(is_odd) {
        let line = text[..position].matches('\n').count() + 1;
        return Err(about_file("V104", file, Some(line), "a control character", "text in UTF-8"));
    }
    Ok(text.replace("\r\n", "\n"))
}

/// Refuses what would make a YAML parser slow or ambiguous.
///
/// # Errors
/// A finding for an empty text, a tab in the indentation, an alias, or nesting that is too deep.
pub fn check_yaml(text: &str, file: &str) -> Result<(), Finding> {
    if text.lines().all(|line| line.trim().is_empty() || line.trim_start().starts_with('#')) {
        return Err(about_file("V102", file, None, "an empty file", "a mapping of keys to values"));
    }
    let mut depth: i64 = 0;
    for (number, line) in text.lines().enumerate() {
        let here = Some(number + 1);
        let indent = &line[..line.len() - line.trim_start().len()];
        if indent.contains('\t') {
            return Err(about_file("V105", file, here, "a tab in the indentation", "spaces"));
        }
        if indent.len() > 8 * MOST_DEPTH || line.trim_start().starts_with(&"- ".repeat(MOST_DEPTH)) {
            return Err(about_file("V106", file, here, "nesting that is too deep", "at most 32 levels"));
        }
        let mut quote: Option<char> = None;
        let mut before = ' ';
        for character in line.chars() {
            match (quote, character) {
                (Some(open), _) if character == open => quote = None,
                (Some(_), _) => {}
                (None, '"' | '\'') if matches!(before, ' ' | '[' | '{' | ',' | ':') => {
                    quote = Some(character)
                }
                (None, '#') if before == ' ' => break,
                (None, '[' | '{') => depth += 1,
                (None, ']' | '}') => depth -= 1,
                (None, '&' | '*') if matches!(before, ' ' | '[' | '{' | ',') => {
                    return Err(about_file(
                        "V107",
                        file,
                        here,
                        "an anchor or alias",
                        "every value written out",
                    ));
                }
                (None, _) => {}
            }
            before = character;
            if depth > MOST_DEPTH as i64 {
                return Err(about_file("V106", file, here, "nesting that is too deep", "at most 32 levels"));
            }
        }
    }
    Ok(())
}

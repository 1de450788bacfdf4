//! Reading a pattern: a file, or standard input for `-`.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use crate::source::{NotText, Source, limits};

/// Reads one pattern. No more than the limit is ever held.
///
/// # Errors
/// Why it can't be read, in a few words.
pub fn read(path: &Path) -> Result<Source, String> {
    let name = name(path);
    let bytes = if path == Path::new("-") {
        up_to_the_limit(io::stdin().lock())
    } else {
        File::open(path).and_then(up_to_the_limit)
    };
    let bytes = bytes.map_err(|error| reason(&error))?;
    Source::from_bytes(name, bytes).map_err(|not_text| match not_text {
        NotText::TooLarge { .. } => format!(
            "this is larger than a pattern can be (the limit is {} MB)",
            limits::INPUT_BYTES / 1_000_000
        ),
        other => other.to_string(),
    })
}

/// The name that a pattern goes by in messages and reports: as it was typed, `<stdin>` for `-`.
pub fn name(path: &Path) -> String {
    if path == Path::new("-") {
        "<stdin>".to_owned()
    } else {
        path.to_string_lossy().into_owned()
    }
}

/// One byte more than the limit is enough to know that the input is too large.
fn up_to_the_limit(input: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    input
        .take(limits::INPUT_BYTES as u64 + 1)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Why something could not be read or written, in words that are the same on every system where we know them.
pub fn reason(error: &io::Error) -> String {
    use io::ErrorKind::*;
    match error.kind() {
        NotFound => "there is no such file".to_owned(),
        PermissionDenied => "permission denied".to_owned(),
        IsADirectory => "this is a folder, not a file".to_owned(),
        NotADirectory | AlreadyExists => "a file is in the way of the folder".to_owned(),
        StorageFull | QuotaExceeded => "the disk is full".to_owned(),
        ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        _ => error.to_string(),
    }
}

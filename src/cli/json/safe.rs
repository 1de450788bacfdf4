use std::io;

use serde::Serialize;
use serde_json::ser::Formatter;

/// The value as JSON on one line, with its line end.
pub fn line(value: &impl Serialize) -> String {
    let mut bytes = Vec::new();
    let mut serializer = serde_json::Serializer::with_formatter(&mut bytes, Safe);
    // Our reports have string keys and finite numbers, and a vector takes every byte.
    value
        .serialize(&mut serializer)
        .expect("a report is plain data");
    bytes.push(b'\n');
    String::from_utf8(bytes).expect("JSON is UTF-8")
}

/// Writes JSON that can be shown on a terminal: control characters beyond those of ASCII are escaped too.
struct Safe;

impl Formatter for Safe {
    fn write_string_fragment<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        let mut rest = fragment;
        while let Some(at) = rest.find(is_control) {
            writer.write_all(&rest.as_bytes()[..at])?;
            let control = rest[at..].chars().next().unwrap_or_default();
            write!(writer, "\\u{:04x}", u32::from(control))?;
            rest = &rest[at + control.len_utf8()..];
        }
        writer.write_all(rest.as_bytes())
    }
}

fn is_control(c: char) -> bool {
    c.is_control()
}

#[cfg(test)]
mod tests {
    #[test]
    fn no_control_character_is_written_as_it_is() {
        assert_eq!(
            super::line(&"a\u{1b}\u{7f}\u{9b}é\n\"b"),
            "\"a\\u001b\\u007f\\u009bé\\n\\\"b\"\n"
        );
    }
}

//! Names of files and folders, made from names that a pattern or a user chose.
//!
//! A piece's file name holds small letters, digits and hyphens of ASCII and nothing else, so that it is safe on every
//! system and can't lead out of its folder.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::path::Path;

use crate::source::limits;

/// Names that Windows keeps for devices, whatever their ending.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
/// Devices that have a number from 0 to 9.
const NUMBERED_DEVICES: [&str; 2] = ["com", "lpt"];
/// The name of the key's files.
pub const KEY: &str = "key";

/// Gives every piece of a pattern a file name (without ending) of its own, in their order.
///
/// A name that is taken gets a letter from `b` on. Names are far enough apart that `wing-1`, `wing-2` … , the panels
/// of `wing`, can't be mistaken for another piece.
pub fn file_names<'a>(pieces: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let mut taken = Taken::default();
    taken.insert(KEY);
    let mut names = Vec::new();
    for (place, piece) in pieces.into_iter().enumerate() {
        let mut name = plain(piece);
        if name.is_empty() {
            name = format!("piece-{}", place + 1);
        }
        if is_device(&name) {
            name.insert_str(0, "piece-");
        }
        let mut copy = 1;
        let mut own = name.clone();
        while !taken.is_free(&own) {
            copy += 1;
            own = format!("{name}-{}", letters(copy));
        }
        taken.insert(&own);
        names.push(own);
    }
    names
}

/// The file name (without ending) of one of a piece's panels.
pub fn panel_name(piece: &str, panel: usize, panels: usize) -> String {
    if panels == 1 {
        piece.to_owned()
    } else {
        format!("{piece}-{}", panel + 1)
    }
}

/// True if a file of this name (with its ending) is one of a piece's.
pub fn is_of_piece(file: &str, piece: &str) -> bool {
    let name = file.split('.').next().unwrap_or_default();
    name == piece || without_number(name) == Some(piece)
}

/// True if a file of this name (with its ending) is a step picture of a piece: the piece's name, then `-7`, `-7-12`
/// or `-start`.
pub fn is_step_of(file: &str, piece: &str) -> bool {
    let name = file.split('.').next().unwrap_or_default();
    let label = name
        .strip_prefix(piece)
        .and_then(|rest| rest.strip_prefix('-'));
    label.is_some_and(|label| {
        let round = label.split("-again-").next().unwrap_or_default();
        let numbers = round.bytes().all(|b| b.is_ascii_digit() || b == b'-');
        round == "start" || !round.is_empty() && numbers
    })
}

/// True if this program could have given a file this name: letters, one dot and one of the endings.
pub fn is_ours(file: &str, endings: &[&str]) -> bool {
    let letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    file.split_once('.').is_some_and(|(name, ending)| {
        !name.is_empty() && name.chars().all(letter) && endings.contains(&ending)
    })
}

/// Gives every pattern a folder name of its own: the name of its file without the ending.
pub fn folder_names<'a>(patterns: impl IntoIterator<Item = &'a Path>) -> Vec<OsString> {
    let mut taken = BTreeSet::new();
    let mut names = Vec::new();
    for pattern in patterns {
        let stem = match pattern.file_stem() {
            // "..md" and "...md" have the stems "." and "..", which would lead elsewhere.
            Some(stem) if stem != "." && stem != ".." && stem != "-" => stem.to_owned(),
            _ => OsString::from("pattern"),
        };
        let mut copy = 1;
        let mut own = stem.clone();
        // Some systems hold "Puffin" and "puffin" for one name.
        while !taken.insert(own.to_string_lossy().to_lowercase()) {
            copy += 1;
            own = stem.clone();
            own.push(format!("-{copy}"));
        }
        names.push(own);
    }
    names
}

/// The letters and digits of ASCII, in small letters, with one hyphen for whatever stands between.
fn plain(name: &str) -> String {
    let mut plain = String::new();
    for c in name.chars() {
        if plain.len() == limits::FILE_NAME {
            break;
        }
        if c.is_ascii_alphanumeric() {
            plain.push(c.to_ascii_lowercase());
        } else if !plain.is_empty() && !plain.ends_with('-') {
            plain.push('-');
        }
    }
    plain.truncate(plain.trim_end_matches('-').len());
    plain
}

fn is_device(name: &str) -> bool {
    let without_digit = name.strip_suffix(|c: char| c.is_ascii_digit());
    DEVICES.contains(&name) || without_digit.is_some_and(|name| NUMBERED_DEVICES.contains(&name))
}

/// 1 is `a`, 26 is `z`, 27 is `aa`.
fn letters(mut number: u32) -> String {
    let mut letters = String::new();
    while number > 0 {
        number -= 1;
        letters.insert(0, char::from(b'a' + (number % 26) as u8));
        number /= 26;
    }
    letters
}

/// The name without a hyphen and number at its end, if it has them.
fn without_number(name: &str) -> Option<&str> {
    let (piece, number) = name.rsplit_once('-')?;
    let is_number = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
    is_number.then_some(piece)
}

/// The file names given so far.
#[derive(Default)]
struct Taken {
    names: BTreeSet<String>,
    /// What would be taken for the piece of one of the names, were its number a panel's.
    pieces: BTreeSet<String>,
}

impl Taken {
    fn is_free(&self, name: &str) -> bool {
        let panel_of_another = without_number(name).is_some_and(|piece| self.names.contains(piece));
        !self.names.contains(name) && !self.pieces.contains(name) && !panel_of_another
    }

    fn insert(&mut self, name: &str) {
        self.names.insert(name.to_owned());
        self.pieces.extend(without_number(name).map(str::to_owned));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_says_what_the_piece_is_called_and_nothing_else() {
        let named = |name: &str| file_names([name]).remove(0);
        assert_eq!(named("Head and body"), "head-and-body");
        assert_eq!(named("  Wing (left) "), "wing-left");
        assert_eq!(named("../../x"), "x");
        assert_eq!(named("C:\\x"), "c-x");
        assert_eq!(named("<script>alert(1)</script>"), "script-alert-1-script");
        assert_eq!(named("羽"), "piece-1");
        assert_eq!(named(""), "piece-1");
        assert_eq!(named("..."), "piece-1");
        assert_eq!(named("Nul"), "piece-nul");
        assert_eq!(named("COM1"), "piece-com1");
        assert_eq!(named("Comb"), "comb");
        assert_eq!(named("Key"), "key-b");
        assert_eq!(named(&"a".repeat(5_000)).len(), limits::FILE_NAME);
    }

    #[test]
    fn two_pieces_never_share_a_file() {
        assert_eq!(
            file_names(["Wing", "wing", "WING!"]),
            ["wing", "wing-b", "wing-c"]
        );
        // The second panel of "Wing" is wing-2, so that "Wing 2" has to be called otherwise.
        assert_eq!(file_names(["Wing", "Wing 2"]), ["wing", "wing-2-b"]);
        assert_eq!(file_names(["Wing 2", "Wing"]), ["wing-2", "wing-b"]);
        assert_eq!(file_names(["Leg 1", "Leg 2"]), ["leg-1", "leg-2"]);
        let many = file_names(std::iter::repeat_n("Leaf", 1_000));
        assert_eq!(many.iter().collect::<BTreeSet<_>>().len(), 1_000);
    }

    #[test]
    fn a_file_belongs_to_one_piece() {
        assert!(is_of_piece("wing.svg", "wing") && is_of_piece("wing-2.png", "wing"));
        assert!(!is_of_piece("wing-b.svg", "wing") && !is_of_piece("wings.svg", "wing"));
        assert!(!is_of_piece("wing-2-b.svg", "wing"));
    }

    #[test]
    fn a_step_belongs_to_one_piece() {
        for step in ["wing-7.svg", "wing-7-12.png", "wing-start.svg"] {
            assert!(is_step_of(step, "wing"), "{step}");
        }
        for other in [
            "wing.svg",
            "wing-b-7.svg",
            "wings-7.svg",
            "wing-.svg",
            "swing-7.svg",
        ] {
            assert!(!is_step_of(other, "wing"), "{other}");
        }
    }

    #[test]
    fn only_names_of_our_own_making_are_ours() {
        for ours in ["wing.svg", "wing-2.png", "a.json"] {
            assert!(is_ours(ours, &["svg", "png", "json"]), "{ours}");
        }
        for other in [
            "", ".svg", "../x.svg", "a/b.svg", "a\\b.svg", "A.svg", "a.b.svg", "a.txt", "a",
            "a.svg\n",
        ] {
            assert!(!is_ours(other, &["svg", "png", "json"]), "{other}");
        }
    }

    #[test]
    fn a_pattern_gets_a_folder_that_stays_where_it_should() {
        let paths = ["a/puffin.md", "b/Puffin.txt", "-", "x/...md", "..md", "/"].map(Path::new);
        let expected = [
            "puffin",
            "Puffin-2",
            "pattern",
            "pattern-2",
            "pattern-3",
            "pattern-4",
        ];
        assert_eq!(folder_names(paths), expected);
    }
}

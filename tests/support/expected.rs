//! The expectations at the ends of the lines of a test text; `corpus.rs` says how they are written.

/// A line that expects something.
pub struct Line {
    /// Counted from 1.
    pub number: usize,
    /// What it expects, in the order of the words.
    pub expected: Vec<Expected>,
}

impl Line {
    /// What the rounds of this line leave, if it expects rounds.
    pub fn leaves(&self) -> Option<&[Leaves]> {
        self.expected.iter().find_map(|expected| match expected {
            Expected::Rounds(leaves) => Some(leaves.as_slice()),
            _ => None,
        })
    }
}

/// One thing that a line expects.
pub enum Expected {
    /// Rounds: one entry for all of them, or one for each.
    Rounds(Vec<Leaves>),
    /// Yarns of the heads, in runs.
    Yarn(String),
    /// US abbreviations of the heads, in runs.
    Kinds(String),
    /// What the heads are worked into, in runs.
    Into(String),
    /// The chains that the heads are worked into, counted from the first that was made.
    Chains(String),
    /// Parts joined.
    Joins(String),
    /// A problem.
    Problem {
        /// `error`, `warning` or `note`.
        level: String,
        /// Its code.
        code: String,
        /// The words that it points at, if they matter.
        words: Option<String>,
    },
}

/// What a round leaves to work into.
pub struct Leaves {
    /// Stitches.
    pub stitches: u32,
    /// Chain spaces.
    pub spaces: Spaces,
}

/// A number of chain spaces.
pub enum Spaces {
    /// This many.
    Known(u32),
    /// Customs differ.
    Either,
}

/// Parts the expectations from the text that is read. The lines keep their numbers.
///
/// # Errors
/// A message if an expectation is not written as `corpus.rs` says.
pub fn split(text: &str) -> Result<(String, Vec<Line>), String> {
    let mut lines = Vec::new();
    let mut kept = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let (words, expected) = line.split_once(" ==> ").unwrap_or((line, ""));
        kept.push(words);
        if expected.is_empty() {
            continue;
        }
        let number = index + 1;
        let expected: Option<Vec<Expected>> = parts(expected).into_iter().map(parse).collect();
        lines.push(Line {
            number,
            expected: expected
                .ok_or_else(|| format!("line {number}: this expectation can't be read"))?,
        });
    }
    Ok((kept.join("\n") + "\n", lines))
}

/// Splits at commas, but not at those inside quotes.
fn parts(words: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let (mut from, mut quoted) = (0, false);
    for (at, letter) in words.char_indices() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => {
                parts.push(words[from..at].trim());
                from = at + 1;
            }
            _ => {}
        }
    }
    parts.push(words[from..].trim());
    parts
}

fn parse(words: &str) -> Option<Expected> {
    if words.starts_with(|first: char| first.is_ascii_digit()) {
        let leaves: Option<Vec<Leaves>> = words.split(" / ").map(leaves).collect();
        return Some(Expected::Rounds(leaves?));
    }
    let (first, rest) = words.split_once(' ')?;
    let owned = rest.to_owned();
    match first {
        "yarn" => Some(Expected::Yarn(owned)),
        "kinds" => Some(Expected::Kinds(owned)),
        "into" => Some(Expected::Into(owned)),
        "chains" => Some(Expected::Chains(owned)),
        "joins" => Some(Expected::Joins(owned)),
        "error" | "warning" | "note" => {
            let (code, words) = match rest.split_once(' ') {
                Some((code, words)) => (
                    code,
                    Some(words.strip_prefix('"')?.strip_suffix('"')?.to_owned()),
                ),
                None => (rest, None),
            };
            Some(Expected::Problem {
                level: first.to_owned(),
                code: code.to_owned(),
                words,
            })
        }
        _ => None,
    }
}

fn leaves(words: &str) -> Option<Leaves> {
    let (stitches, spaces) = match words.split_once(" + ") {
        Some((stitches, spaces)) => (stitches, spaces.strip_suffix(" sp")?),
        None => (words, "0"),
    };
    Some(Leaves {
        stitches: stitches.parse().ok()?,
        spaces: match spaces {
            "?" => Spaces::Either,
            known => Spaces::Known(known.parse().ok()?),
        },
    })
}

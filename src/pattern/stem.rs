//! Names of pieces as words name them.

/// A piece's name for comparing, in lower case: without article, side, number or plural.
pub fn stem(name: &str) -> String {
    let kept = |word: &&str| {
        !matches!(
            *word,
            "the"
                | "a"
                | "left"
                | "right"
                | "first"
                | "second"
                | "third"
                | "fourth"
                | "other"
                | "each"
        ) && !word.chars().all(|c| c.is_ascii_digit())
    };
    let words: Vec<&str> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .filter(kept)
        .collect();
    let joined = words.join(" ");
    match joined.as_str() {
        "feet" => "foot".to_owned(),
        "teeth" => "tooth".to_owned(),
        other => other.strip_suffix('s').unwrap_or(other).to_owned(),
    }
}

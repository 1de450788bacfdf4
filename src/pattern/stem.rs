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
        "halves" => "half".to_owned(),
        "leaves" => "leaf".to_owned(),
        "hooves" => "hoof".to_owned(),
        other => other.strip_suffix('s').unwrap_or(other).to_owned(),
    }
}

/// The last word of a name that is no number: `leg` of `front leg 2`.
pub fn last_word(name: &str) -> &str {
    let mut words = name.split_whitespace().rev();
    let word = words.find(|word| !word.chars().all(|c| c.is_ascii_digit()));
    word.unwrap_or_default()
}

/// True if a piece of this name may be called so, which is a stem.
pub fn is_called(name: &str, noun: &str) -> bool {
    let name = name.to_lowercase();
    short_names(&name).any(|short| short == noun) || stem(&name) == noun
}

/// What a piece may be called by alone, each as a stem: the last word of its name, and the last before an "and" (`post` and
/// `top` of `Top and post`), numbers apart.
pub fn short_names(name: &str) -> impl Iterator<Item = String> {
    name.split(" and ")
        .flat_map(|half| half.split(" & "))
        .map(|half| stem(last_word(half)))
        .filter(|short| !short.is_empty())
}

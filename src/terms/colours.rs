//! Words for colours.

/// Colours that yarns are called by in words, in small letters.
pub(crate) const COLOURS: &[&str] = &[
    "white",
    "black",
    "grey",
    "gray",
    "red",
    "orange",
    "yellow",
    "green",
    "blue",
    "purple",
    "pink",
    "brown",
    "beige",
    "cream",
    "navy",
    "teal",
    "tan",
    "turquoise",
    "charcoal",
    "ivory",
    "lilac",
    "maroon",
    "gold",
    "silver",
    "brass",
    "bronze",
    "copper",
    "ginger",
    "rust",
    "sand",
    "canvas",
    "mustard",
    "khaki",
    "aqua",
    "burgundy",
    "magenta",
    "peach",
    "coral",
    "mint",
    "olive",
    "lavender",
    "violet",
    "crimson",
    "scarlet",
    "skin",
    "flesh",
];

/// Words before a colour that make another of it.
const SHADES: &[&str] = &[
    "light", "dark", "pale", "bright", "deep", "medium", "sea", "sky", "royal", "mid",
];

/// Words that make a colour of the one before them: `skin tone`, `sand colour`.
const CALLED: &[&str] = &["colour", "color", "tone"];

/// What may be called a colour so, beside colours.
const THINGS: &[&str] = &["skin", "body", "flesh"];

/// How many words at the front of some name a colour: `white`, `light grey`. Words are in small letters.
pub(crate) fn words_of<'w>(word: impl Fn(usize) -> Option<&'w str>) -> Option<usize> {
    let is = |at: usize, list: &[&str]| word(at).is_some_and(|word| list.contains(&word));
    if is(0, THINGS) && is(1, CALLED) {
        return Some(2);
    }
    let shade = usize::from(is(0, SHADES));
    // `navy blue`, `cream white`
    let first = is(shade, COLOURS).then_some(shade + 1)?;
    Some(first + usize::from(is(first, COLOURS)))
}

/// True if a word names a colour or makes another of one.
pub(crate) fn is_part(word: &str) -> bool {
    COLOURS.contains(&word) || SHADES.contains(&word)
}

/// True if two names are of one colour: whatever their capitals, and with `gray` for `grey`.
pub(crate) fn alike(one: &str, other: &str) -> bool {
    // Each word of a text is held against each yarn: most differ in length or in their first letter, which `gray` and `grey` share.
    if one.is_ascii() && other.is_ascii() {
        if one.len() != other.len() {
            return false;
        }
        let first = |name: &str| name.as_bytes().first().map(u8::to_ascii_lowercase);
        if first(one) != first(other) {
            return false;
        }
    }
    plain(one) == plain(other)
}

/// True if the words of one name stand together in another's: `dark blue` in `dark blue DK`.
pub(crate) fn stands_in(name: &str, other: &str) -> bool {
    let (name, other) = (plain(name), plain(other));
    let (name, other): (Vec<&str>, Vec<&str>) = (
        name.split_whitespace().collect(),
        other.split_whitespace().collect(),
    );
    !name.is_empty() && other.windows(name.len()).any(|words| words == name)
}

/// A colour's name for comparing.
pub(crate) fn plain(name: &str) -> String {
    name.to_lowercase().replace("gray", "grey")
}

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
];

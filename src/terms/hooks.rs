//! Sizes of hooks, in millimetres and as they are named in the United States.

/// Hook sizes: mm, US letter, US number (matifs.com, "crochet hooks size chart"; sizes differ between makers). A US size
/// without a letter is only a number.
pub(crate) const SIZES: &[(f64, &str, &str)] = &[
    (2.25, "B", "1"),
    (2.75, "C", "2"),
    (3.25, "D", "3"),
    (3.5, "E", "4"),
    (3.75, "F", "5"),
    (4.0, "G", "6"),
    (4.5, "", "7"),
    (5.0, "H", "8"),
    (5.5, "I", "9"),
    (6.0, "J", "10"),
    (6.5, "K", "10½"),
    (8.0, "L", "11"),
    (9.0, "M", "13"),
    (9.0, "N", "13"),
    (10.0, "N", "15"),
    (10.0, "P", "15"),
];

/// True for a letter of the US sizes, a capital: `G`.
pub(crate) fn is_letter(word: &str) -> bool {
    SIZES
        .iter()
        .any(|(_, letter, _)| !letter.is_empty() && *letter == word)
}

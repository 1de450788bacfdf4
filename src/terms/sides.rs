//! Left and right in words. What one hand makes is the mirror image of what the other makes, and the words follow.

/// Words after which `left` and `right` are sides. Elsewhere `left` may be what is left over, and `right` may be the right side
/// of the fabric.
const BEFORE_A_SIDE: [&str; 15] = [
    "the", "a", "its", "own", "his", "her", "your", "to", "upper", "lower", "front", "back",
    "first", "second", "one",
];
/// Parts of the body of fabric that are no sides: `right side`, `wrong side`.
const AFTER_NO_SIDE: [&str; 6] = ["side", "side,", "sides", "side.", "unworked", "over"];

/// The words with left and right swapped where they are surely sides: at the start of a name or after a word such as `the`, `its own` or
/// `puffin's`. Spacing and capitals stay.
pub fn swapped(words: &str) -> String {
    let tokens: Vec<&str> = words.split_inclusive(char::is_whitespace).collect();
    let mut out = String::with_capacity(words.len() + 8);
    for (place, token) in tokens.iter().enumerate() {
        let before = place.checked_sub(1).map(|before| tokens[before].trim_end());
        let after = tokens.get(place + 1).map(|after| after.trim_end());
        let opened = token.starts_with('(');
        match other_side(token) {
            Some(other) if opened || is_side(before, after) => out.push_str(&other),
            _ => out.push_str(token),
        }
    }
    out
}

fn is_side(before: Option<&str>, after: Option<&str>) -> bool {
    let fabric = after.is_some_and(|after| AFTER_NO_SIDE.contains(&after.to_lowercase().as_str()));
    if fabric {
        return false;
    }
    let Some(before) = before.map(str::to_lowercase) else {
        return true;
    };
    BEFORE_A_SIDE.contains(&before.as_str()) || before.ends_with("'s") || before.ends_with("’s")
}

/// The token with its word replaced, if the word is `left` or `right`.
fn other_side(token: &str) -> Option<String> {
    let word: String = token.chars().filter(|c| c.is_alphabetic()).collect();
    let other = match word.as_str() {
        "left" => "right",
        "right" => "left",
        "Left" => "Right",
        "Right" => "Left",
        "LEFT" => "RIGHT",
        "RIGHT" => "LEFT",
        _ => return None,
    };
    token
        .contains(word.as_str())
        .then(|| token.replacen(&word, other, 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sides_are_swapped_and_what_is_left_over_is_not() {
        for (words, other) in [
            ("Left wing", "Right wing"),
            ("Wing (left)", "Wing (right)"),
            (
                "on the puffin's own right, then",
                "on the puffin's own left, then",
            ),
            ("RIGHT  fin\nof the Left", "LEFT  fin\nof the Right"),
            ("the tip of the left wing", "the tip of the right wing"),
        ] {
            assert_eq!(swapped(words), other);
            assert_eq!(swapped(other), words, "and back");
        }
        for same in [
            "the loops left free",
            "with the right side facing",
            "6 sts left",
            "leftover yarn",
            "",
        ] {
            assert_eq!(swapped(same), same);
        }
    }
}

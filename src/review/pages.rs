//! The help pages: one for each code, short Markdown kept in `pages/` beside this file.

/// The help page of a code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    /// The code.
    pub code: &'static str,
    /// Markdown: a title with the code, a line that says what it means, an example, the mend.
    pub text: &'static str,
}

impl Page {
    /// The first line below the title: what the code means, in one sentence.
    pub fn summary(&self) -> &'static str {
        let mut lines = self.text.lines().skip(1);
        lines.find(|line| !line.is_empty()).unwrap_or_default()
    }
}

/// The page of a code, if there is such a code.
pub fn find(code: &str) -> Option<&'static Page> {
    PAGES.iter().find(|page| page.code == code)
}

macro_rules! pages {
    ($($code:literal)*) => {
        /// Every page, in the order of the codes.
        pub const PAGES: &[Page] = &[
            $(Page { code: $code, text: include_str!(concat!("pages/", $code, ".md")) },)*
        ];
    };
}

pages! {
    "abbreviation-twice"
    "abbreviation-unlisted"
    "abbreviation-unused"
    "bad-header"
    "bad-style"
    "chain-assumed"
    "choice-differs"
    "close-bracket"
    "count"
    "edge-assumed"
    "empty"
    "eye-sizes"
    "eyes-never"
    "eyes-not-level"
    "eyes-too-late"
    "flat-cups"
    "flat-ruffles"
    "gauge-missing"
    "hook-missing"
    "hook-sizes"
    "increases-stacked"
    "kept-words"
    "label-slip"
    "label-unwritten"
    "last-round-first"
    "last-round-open"
    "length-open"
    "lengths-disagree"
    "loops-not-free"
    "marker-unplaced"
    "marker-unused"
    "material-added"
    "material-unlisted"
    "misspelt"
    "nesting"
    "no-corner"
    "no-edge"
    "no-ring"
    "no-rounds"
    "no-space"
    "not-rewritten"
    "nothing-below"
    "nothing-skipped"
    "open-bracket"
    "open-star"
    "pair-off"
    "part-copies"
    "part-later"
    "part-left-over"
    "part-not-made"
    "part-sewn-twice"
    "part-unattached"
    "part-unknown"
    "part-width"
    "part-wrong-side"
    "parts-not-level"
    "parts-overlap"
    "parts-too-few"
    "piece-twice"
    "range-backwards"
    "range-count"
    "reading-taken"
    "repeat-does-not-fit"
    "repeat-nothing"
    "repeat-too-large"
    "ring-assumed"
    "round-missing"
    "round-not-there"
    "round-order"
    "round-twice"
    "round-unknown"
    "size-contradicted"
    "size-missing"
    "size-unlikely"
    "small-parts"
    "spread-evenly"
    "start-chain-missing"
    "start-chain-unsaid"
    "stitches-in-prose"
    "stitches-left"
    "stuffing-never"
    "stuffing-too-late"
    "tail-missing"
    "terms-assumed"
    "terms-left"
    "terms-mixed"
    "terms-slip"
    "terms-unsure"
    "too-few-stitches"
    "too-many-pieces"
    "too-many-stitches"
    "two-readings"
    "two-sizes"
    "unknown-stitch"
    "unread"
    "until-missed"
    "yarn-added"
    "yarn-in-use"
    "yarn-unknown"
    "yarn-unlisted"
    "yarn-unused"
}

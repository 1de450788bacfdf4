/// What kind of place a stitch is worked into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Into {
    /// Both loops of a stitch.
    Stitch,
    /// The front loop alone.
    FrontLoop,
    /// The back loop alone.
    BackLoop,
    /// Round the post, hook in and out at the front.
    FrontPost,
    /// Round the post, hook in and out at the back.
    BackPost,
    /// A chain space: the hook goes under the chains.
    Space,
    /// The magic ring, or a ring of chains.
    Ring,
    /// A chain stitch; a chain itself grows from the stitch before it.
    Chain,
    /// The end of a row, round its last stitch from the side.
    RowEnd,
    /// Another piece alone, with no stitch of this one.
    Part,
}

impl Into {
    /// The loop that stitches into one loop leave free.
    pub fn other_loop(self) -> Option<Into> {
        match self {
            Into::FrontLoop => Some(Into::BackLoop),
            Into::BackLoop => Some(Into::FrontLoop),
            _ => None,
        }
    }

    /// The word for it in the JSON reports.
    pub fn name(self) -> &'static str {
        match self {
            Into::Stitch => "stitch",
            Into::FrontLoop => "front loop",
            Into::BackLoop => "back loop",
            Into::FrontPost => "front post",
            Into::BackPost => "back post",
            Into::Space => "space",
            Into::Ring => "ring",
            Into::Chain => "chain",
            Into::RowEnd => "row end",
            Into::Part => "part",
        }
    }
}

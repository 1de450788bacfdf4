//! Every limit of the program in one place. Each gives a clear error when it is reached.

/// Largest pattern text, in bytes.
pub const INPUT_BYTES: usize = 8_000_000;
/// Most stitches worked in one pattern, over all of its pieces.
pub const STITCHES: usize = 400_000;
/// Most instructions carried out in one pattern, repeats counted each time.
pub const ACTIONS: usize = 4_000_000;
/// Most rounds in one piece.
pub const ROUNDS: usize = 10_000;
/// Deepest nesting of brackets and repeats in one round.
pub const NESTING: usize = 24;
/// Largest number that is read as a count.
pub const COUNT: u32 = 100_000;
/// Most pieces in one pattern.
pub const PIECES: usize = 1_000;
/// Most yarns in one pattern.
pub const YARNS: usize = 100;
/// Most copies of one piece (`make 2`).
pub const COPIES: u32 = 1_000;
/// Most instructions of one round that words such as `rep between *'s` work again behind others.
pub const WORKED_AGAIN: usize = 10_000;
/// Most readings of one round that are tried against the arithmetic.
pub const READINGS: usize = 64;
/// How many joins back another of the same part, or one on the same stitches, is looked for.
pub const JOINS_LOOKED_BACK: usize = 256;
/// Most problems kept for one pattern.
pub const PROBLEMS: usize = 1_000;
/// Largest picture, in pixels. A page at 600 dpi has 35 million.
pub const PIXELS: u64 = 120_000_000;
/// Most problems shown for one pattern in a report for people; reports for machines hold all.
pub const PROBLEMS_SHOWN: usize = 100;
/// Longest name of a piece in a file name, in bytes.
pub const FILE_NAME: usize = 80;
/// Most work spent on looking for mends in one pattern: bytes read again, and four for each stitch worked again. That is some
/// 400 trials of a pattern of a few pages; where it does not allow 16, none are made.
pub const MENDING_WORK: usize = 4_000_000;
/// Most mends offered for one problem.
pub const MENDS_OFFERED: usize = 3;
/// Most work spent on finding the shape of one piece: its points times the steps of the solver. Pieces of 20,000 stitches settle well within
/// it; one that can't settle ends here, and that is said.
pub const RELAXING_WORK: usize = 4_000_000;
/// Most stitches of all the copies that the pieces of a pattern go on from and are relaxed together with, in equal shares; what is more is left out.
pub const LIMB_STITCHES: usize = 20_000;
/// Largest photograph for the first page, in bytes.
pub const PHOTO_BYTES: u64 = 40_000_000;
/// Largest photograph for the first page, in pixels.
pub const PHOTO_PIXELS: u64 = 60_000_000;
/// Most editions of a pattern's pages in one run.
pub const EDITIONS: usize = 32;

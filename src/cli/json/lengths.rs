use serde::Serialize;

use crate::fabric::{LengthBy, Piece};

/// A length that the maker may choose.
#[derive(Serialize)]
pub struct Length {
    /// Numbers of the first and the last round that it adds.
    first: u32,
    last: u32,
    /// How often the rounds before are worked again.
    times: u32,
    by: &'static str,
}

/// Those of a piece that add any rounds.
pub fn lengths(piece: &Piece) -> Vec<Length> {
    let lengths = piece.lengths.iter().filter_map(|length| {
        let rounds = piece.rounds.get(length.rounds.clone())?;
        Some(Length {
            first: rounds.first()?.number,
            last: rounds.last()?.number,
            times: length.times,
            by: match length.by {
                LengthBy::Maker => "maker",
                LengthBy::Gauge => "gauge",
                LengthBy::Custom => "custom",
            },
        })
    });
    lengths.collect()
}

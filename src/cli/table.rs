//! The small table of pieces and rounds that closes a report.

use crate::fabric::{Fabric, Piece, RoundKind, Stated};
use crate::order;

use super::console::clean;
use super::runs::{Run, runs};

const HEADINGS: [&str; 5] = ["round", "stitches", "change", "spaces", "stated"];

/// Every piece with its rounds, and under them what is done when; an empty line after each. Empty columns are left out. Stitches are so many mm wide.
pub fn text(fabric: &Fabric, stitch_mm: f64) -> String {
    let pieces = fabric.pieces.iter().enumerate();
    pieces
        .map(|(place, piece)| {
            let tasks = order::tasks(fabric, place, stitch_mm);
            let tasks: Vec<String> = tasks
                .iter()
                .map(|task| clean(&task.says(fabric, place)).into_owned())
                .collect();
            piece_text(piece, &tasks)
        })
        .collect()
}

fn piece_text(piece: &Piece, tasks: &[String]) -> String {
    let name = match piece.name.as_str() {
        "" => "Piece without a name".into(),
        name => clean(name),
    };
    let rows = rows(piece);
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max();
    let widths: Vec<usize> = (0..HEADINGS.len())
        .map(|column| match width(column) {
            None | Some(0) => 0,
            Some(widest) => widest.max(HEADINGS[column].len()),
        })
        .collect();
    let line = |cells: &[&str]| {
        let mut line = String::new();
        for (cell, &width) in cells.iter().zip(&widths).filter(|(_, width)| **width > 0) {
            line += &format!("  {cell:>width$}");
        }
        line.truncate(line.trim_end().len());
        line + "\n"
    };
    let mut text = format!(
        "{name}, make {}: {} stitches\n",
        piece.make,
        piece.stitches.len()
    );
    if !rows.is_empty() {
        text += &line(&HEADINGS);
    }
    for row in &rows {
        text += &line(&row.each_ref().map(String::as_str));
    }
    for task in tasks {
        text += &format!("  {task}\n");
    }
    text + "\n"
}

fn rows(piece: &Piece) -> Vec<[String; 5]> {
    let mut before = None;
    let mut rows = Vec::new();
    for run in runs(piece) {
        let round = run.round;
        rows.push([
            label(run),
            round.count.to_string(),
            before.map_or(String::new(), |before| change(before, round.count)),
            match round.spaces {
                0 => String::new(),
                spaces => spaces.to_string(),
            },
            round.stated.map_or(String::new(), stated),
        ]);
        before = Some(round.count);
    }
    rows
}

fn label(run: Run<'_>) -> String {
    let first = run.round.number;
    let numbers = if first == run.last {
        first.to_string()
    } else {
        format!("{first}–{}", run.last)
    };
    match run.round.kind {
        RoundKind::Round => numbers,
        RoundKind::Row => format!("row {numbers}"),
    }
}

fn change(before: u32, after: u32) -> String {
    match after.cmp(&before) {
        std::cmp::Ordering::Less => format!("−{}", before - after),
        std::cmp::Ordering::Equal => "0".to_owned(),
        std::cmp::Ordering::Greater => format!("+{}", after - before),
    }
}

fn stated(stated: Stated) -> String {
    match (stated.stitches, stated.spaces) {
        (Some(stitches), Some(spaces)) => format!("{stitches} + {spaces} spaces"),
        (Some(stitches), None) => stitches.to_string(),
        (None, Some(spaces)) => format!("{spaces} spaces"),
        (None, None) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Span;

    #[test]
    fn columns_line_up_and_a_column_without_anything_is_left_out() {
        let mut piece = Piece::default();
        for (number, count) in [(1, 6), (2, 12), (3, 12), (4, 8)] {
            let written = if number == 3 { 2 } else { number };
            piece.begin_round(number, RoundKind::Round, Span::default(), written);
            let round = piece.rounds.last_mut().unwrap();
            round.count = count;
            round.stated = (number != 4).then(|| Stated {
                stitches: Some(count),
                ..Stated::default()
            });
        }
        piece.name = "Wing".to_owned();
        piece.make = 2;
        let expected = "\
Wing, make 2: 0 stitches
  round  stitches  change  stated
      1         6               6
    2–3        12      +6      12
      4         8      −4

";
        assert_eq!(piece_text(&piece, &[]), expected);
    }
}

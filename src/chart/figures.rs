//! The table of a panel's rounds, set in figures.

use kurbo::{BezPath, Point, Vec2};

use super::panel::{Ink, Line, Mark, Row, Tone, Words};
use super::sizes::{GUTTER_MM, TEXT_MM};
use crate::text::{self, Weight};

/// From baseline to baseline of captions and tables, in mm.
pub(super) const LINE_MM: f64 = TEXT_MM * 1.5;
/// Between columns of the table, in mm.
const COLUMN_GAP_MM: f64 = 3.8;
/// Tallest table that stands in one column under the work, in mm.
const ONE_COLUMN_MM: f64 = 40.0;

/// The table of rounds, set about its own top left corner.
pub(super) struct Table {
    pub width: f64,
    pub height: f64,
    words: Vec<Words>,
    rules: Vec<Rule>,
    /// Lines of the head, then one for each row: how many words each has.
    lines: Vec<usize>,
}

impl Table {
    pub fn new(rows: &[Row], in_rows: bool) -> Table {
        let first = if in_rows { "Row" } else { "Round" };
        let with_yarns = rows
            .iter()
            .any(|row| matches!(row, Row::Round { yarns, .. } if !yarns.is_empty()));
        let in_part = rows
            .iter()
            .any(|row| matches!(row, Row::Round { here, .. } if here.is_some()));
        let mut heads = vec![first, "Stitches", "Change"];
        heads.extend(in_part.then_some("Here"));
        heads.extend(with_yarns.then_some("Yarn"));
        let cells: Vec<Vec<String>> = rows
            .iter()
            .map(|row| match row {
                Row::Round {
                    label,
                    stitches,
                    change,
                    yarns,
                    here,
                } => {
                    let mut cells = vec![label.clone(), stitches.to_string(), signed(*change)];
                    let range = here.map_or(String::new(), |(from, to)| format!("{from}–{to}"));
                    cells.extend(in_part.then_some(range));
                    cells.extend(with_yarns.then(|| yarns.clone()));
                    cells
                }
                Row::Note(note) => vec![(*note).to_owned()],
            })
            .collect();
        let width_of = |words: &str, weight| text::extents(words, TEXT_MM, weight).width_mm;
        let widths: Vec<f64> = heads
            .iter()
            .enumerate()
            .map(|(i, head)| {
                let own = width_of(head, Weight::Bold);
                let full = cells.iter().filter(|cells| cells.len() > 1);
                full.map(|cells| width_of(&cells[i], Weight::Regular))
                    .fold(own, f64::max)
            })
            .collect();
        let mut table = Table {
            width: widths.iter().sum::<f64>() + COLUMN_GAP_MM * (widths.len() - 1) as f64,
            height: 0.0,
            words: Vec::new(),
            rules: Vec::new(),
            lines: Vec::new(),
        };
        for cells in cells.iter().filter(|cells| cells.len() == 1) {
            table.width = table.width.max(width_of(&cells[0], Weight::Regular));
        }
        let heads: Vec<String> = heads.iter().map(|head| (*head).to_owned()).collect();
        let left = with_yarns.then(|| heads.len() - 1);
        table.row(&heads, &widths, left, Weight::Bold);
        table.height += 0.9;
        table.rules.push(Rule {
            x: 0.0,
            y: table.height - 1.3,
            width: table.width,
        });
        for cells in &cells {
            table.row(cells, &widths, left, Weight::Regular);
        }
        table.height -= LINE_MM - TEXT_MM;
        table
    }

    /// The same table in as many columns side by side as fit a width and it needs, not to be tall.
    pub fn in_columns(self, room: f64) -> Table {
        let rows = self.lines.len() - 1;
        let fit = ((room + GUTTER_MM) / (self.width + GUTTER_MM)) as usize;
        let wanted = (self.height / ONE_COLUMN_MM).ceil() as usize;
        let columns = wanted.min(fit).clamp(1, rows.max(1));
        let each = rows.div_ceil(columns);
        let columns = rows.div_ceil(each.max(1));
        if columns < 2 {
            return self;
        }
        let step = self.width + GUTTER_MM;
        let (head, mut rest) = self.words.split_at(self.lines[0]);
        let mut words = Vec::with_capacity(self.words.len());
        let mut rules = Vec::new();
        let mut lines = self.lines[1..].iter();
        for column in 0..columns {
            let by = Vec2::new(step * column as f64, -LINE_MM * (each * column) as f64);
            let over = Vec2::new(by.x, 0.0);
            words.extend(head.iter().map(|words| words.clone().moved(over)));
            rules.extend(self.rules.iter().map(|rule| Rule {
                x: rule.x + by.x,
                ..*rule
            }));
            let count = lines.by_ref().take(each).sum();
            let (own, others) = rest.split_at(count);
            words.extend(own.iter().map(|words| words.clone().moved(by)));
            rest = others;
        }
        Table {
            width: step * columns as f64 - GUTTER_MM,
            height: self.height - LINE_MM * (rows - each) as f64,
            words,
            rules,
            lines: self.lines,
        }
    }

    /// Figures flush right, yarns flush left, a note across all.
    fn row(&mut self, cells: &[String], widths: &[f64], left: Option<usize>, weight: Weight) {
        let note = cells.len() == 1;
        let mut x = 0.0;
        for (i, (cell, width)) in cells.iter().zip(widths).enumerate() {
            let room = text::extents(cell, TEXT_MM, weight);
            // An empty cell has no words to draw.
            if cell.is_empty() {
                x += width + COLUMN_GAP_MM;
                continue;
            }
            let indent = if note || left == Some(i) {
                0.0
            } else {
                width - room.width_mm
            };
            self.words.push(Words {
                text: cell.clone(),
                at: Point::new(x + indent, self.height + room.cap_mm),
                size_mm: TEXT_MM,
                weight,
                tone: if note { Tone::Accent } else { Tone::Ink },
            });
            x += width + COLUMN_GAP_MM;
        }
        let filled = cells.iter().filter(|cell| !cell.is_empty());
        self.lines.push(filled.count());
        self.height += LINE_MM;
    }

    pub fn mark(self, at: Point) -> Mark {
        let by = at.to_vec2();
        let rules = self.rules.iter().map(|rule| {
            let mut path = BezPath::new();
            path.move_to(at + Vec2::new(rule.x, rule.y));
            path.line_to(at + Vec2::new(rule.x + rule.width, rule.y));
            Ink::Line {
                path,
                line: Line::Rule,
            }
        });
        let words = self
            .words
            .into_iter()
            .map(|words| Ink::Words(words.moved(by)));
        Mark {
            says: String::new(),
            under: false,
            ink: rules.chain(words).collect(),
        }
    }
}

/// A line under a head.
#[derive(Debug, Clone, Copy)]
struct Rule {
    x: f64,
    y: f64,
    width: f64,
}

impl Words {
    fn moved(self, by: Vec2) -> Words {
        Words {
            at: self.at + by,
            ..self
        }
    }
}

/// `+6`, `0` or `−6`.
fn signed(change: Option<i64>) -> String {
    match change {
        None => String::new(),
        Some(0) => "0".to_owned(),
        Some(more) if more > 0 => format!("+{more}"),
        Some(fewer) => format!("−{}", fewer.unsigned_abs()),
    }
}

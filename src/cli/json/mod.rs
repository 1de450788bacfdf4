//! The reports for machines. Their shape is version 1 and stays: `schema/` holds it as JSON Schemas, and the fields stand
//! in the order in which they are written.

mod chart;
mod check;
mod lengths;
mod place;
mod queries;
mod safe;
mod shape;

pub use chart::chart_file;
pub use check::check_line;
pub use place::place_line;
pub use queries::queries_line;
pub use shape::shape_line;

use serde::Serializer;

/// The version of the shape of the reports.
const FORMAT: u32 = 1;

/// Millimetres to two places: finer than any printer, and the same digits everywhere.
fn hundredths<S: Serializer>(mm: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64(rounded(*mm))
}

fn rounded(mm: f64) -> f64 {
    // Adding zero turns -0.0 into 0.0.
    (mm * 100.0).round() / 100.0 + 0.0
}

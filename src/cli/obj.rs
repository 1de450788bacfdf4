//! Shapes as a Wavefront OBJ mesh, an open format that three-dimensional programs read.

use std::fmt::Write;

use crate::shape::{Shapes, Vec3};
use crate::toy::Toy;

use super::names;

/// The toys one beside another in cm, z up, with an object for each part. `names` are those of all pieces.
pub fn mesh(toys: &[Toy], shapes: &Shapes, piece_names: &[String]) -> String {
    let mut text = "# Centimetres, z up, the front towards -y.\n".to_owned();
    let mut first = 1;
    let mut x = 0.0;
    for toy in toys {
        let points = toy.parts.iter().flat_map(|part| {
            let points = part.shape(shapes).points.iter();
            points.map(|&point| part.place.put(point))
        });
        let (low, high) = points.fold((0.0_f64, 0.0_f64), |(low, high), at| {
            (low.min(at.x), high.max(at.x))
        });
        x -= low;
        for part in &toy.parts {
            let shape = part.shape(shapes);
            let name = &piece_names[part.piece];
            let _ = writeln!(
                text,
                "o {}",
                names::panel_name(name, part.copy as usize - 1, toy.parts.len())
            );
            for &point in &shape.points {
                let Vec3 { x: across, y, z } = part.place.put(point);
                let _ = writeln!(text, "v {} {} {}", number(across + x), number(y), number(z));
            }
            for cell in 0..shape.mesh.cell_count() {
                text.push('f');
                for &corner in shape.mesh.cell(cell) {
                    let _ = write!(text, " {}", first + corner as usize);
                }
                text.push('\n');
            }
            first += shape.points.len();
        }
        x += high + 1.0;
    }
    text
}

/// To a hundredth of a millimetre.
fn number(cm: f64) -> String {
    // Adding zero turns -0.0 into 0.0.
    format!("{:.3}", (cm * 1000.0).round() / 1000.0 + 0.0)
}

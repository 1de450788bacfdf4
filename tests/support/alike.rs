//! Whether two fabrics are worked alike: not by their words, nor by where these stand.

use roundwright::fabric::{Fabric, Piece};

/// Why two fabrics are not worked alike.
pub fn difference(a: &Fabric, b: &Fabric) -> Option<String> {
    if a.pieces.len() != b.pieces.len() {
        return Some(format!(
            "{} pieces, and then {}",
            a.pieces.len(),
            b.pieces.len()
        ));
    }
    let pieces = a.pieces.iter().zip(&b.pieces);
    pieces
        .into_iter()
        .find_map(|(p, q)| in_piece((a, p), (b, q)))
}

fn in_piece((a, p): (&Fabric, &Piece), (b, q): (&Fabric, &Piece)) -> Option<String> {
    if (&p.name, p.make, p.rounds.len()) != (&q.name, q.make, q.rounds.len()) {
        return Some(format!(
            "{} x {}, {} rounds and then {} x {}, {}",
            p.name,
            p.make,
            p.rounds.len(),
            q.name,
            q.make,
            q.rounds.len()
        ));
    }
    for at in 0..p.rounds.len() {
        let (left, right) = (round(a, p, at), round(b, q, at));
        if left != right {
            return Some(format!(
                "{} round {}:\n{left:?}\n{right:?}",
                p.name, p.rounds[at].number
            ));
        }
    }
    let surfaces = |fabric: &Fabric, piece: &Piece| -> Vec<_> {
        let surfaces = piece.surfaces.iter();
        surfaces
            .map(|line| {
                let yarn = line
                    .yarn
                    .map(|id| fabric.yarns[usize::from(id.0)].letter.clone());
                (line.rounds.clone(), yarn, line.after_round)
            })
            .collect()
    };
    if surfaces(a, p) != surfaces(b, q) {
        return Some(format!(
            "{}: on the surface {:?} and then {:?}",
            p.name,
            surfaces(a, p),
            surfaces(b, q)
        ));
    }
    let steps = |piece: &Piece| -> Vec<_> {
        let steps = piece.steps.iter();
        steps
            .map(|step| (step.kind, step.after_round, step.after))
            .collect()
    };
    (steps(p) != steps(q))
        .then(|| format!("{}: steps {:?} and then {:?}", p.name, steps(p), steps(q)))
}

/// All that there is of a round, in an order of its own.
fn round(fabric: &Fabric, piece: &Piece, at: usize) -> Vec<String> {
    let round = &piece.rounds[at];
    let mut told = vec![format!(
        "{} {:?} {} + {}, closed {}, wrong side {}, edge {:?}",
        round.number,
        round.kind,
        round.count,
        round.spaces,
        round.closed,
        round.wrong_side,
        round.edge
    )];
    for (id, stitch) in piece.round_stitches(round) {
        let yarn = stitch
            .yarn
            .map(|yarn| &fabric.yarns[usize::from(yarn.0)].letter);
        let join = stitch.join.map(|join| {
            let join = &piece.joins[join as usize];
            (
                join.part,
                join.copy,
                join.layers,
                join.stitches.iter().find(|(s, _)| *s == id),
            )
        });
        told.push(format!(
            "{:?} {:?} {:?} {yarn:?} {:?} {join:?}",
            stitch.kind,
            stitch.into,
            stitch.role,
            piece.feet(id)
        ));
    }
    told
}

use std::collections::{BTreeMap, BTreeSet};

use super::{Key, KeyEntry, KeyMark};
use crate::chart::{is_turned_before, left_out, marked_within};
use crate::draw::Look;
use crate::fabric::{Fabric, Piece, Role, StepKind, Stitch, StitchId};
use crate::symbol::seen_from_right_side;
use crate::terms::{Height, Into};

impl Key {
    /// The key to the charts of some pieces (places in [`Fabric::pieces`]; others are passed over): just
    /// what they use, shortest stitches first.
    pub fn of(fabric: &Fabric, pieces: &[usize]) -> Key {
        let mut found = Found::default();
        for piece in pieces.iter().filter_map(|&place| fabric.pieces.get(place)) {
            found.piece(piece);
        }
        let yarns = fabric.yarns.iter().enumerate();
        Key {
            title: fabric.title.clone(),
            terms: fabric.terms,
            hand: fabric.hand,
            entries: in_order(found.entries),
            yarns: yarns
                .filter(|(place, _)| found.yarns.contains(place))
                .map(|(_, yarn)| yarn.clone())
                .collect(),
            marks: found.marks.into_iter().collect(),
            look: Look::default(),
        }
    }
}

#[derive(Default)]
struct Found {
    entries: BTreeSet<KeyEntry>,
    yarns: BTreeSet<usize>,
    marks: BTreeSet<KeyMark>,
}

impl Found {
    fn piece(&mut self, piece: &Piece) {
        let mut before = None;
        for (place, stitch) in piece.stitches.iter().enumerate() {
            self.marks.extend([KeyMark::Start, KeyMark::Number]);
            self.stitch(piece, StitchId(place as u32), stitch);
            if let Some(yarn) = stitch.yarn {
                self.yarns.insert(usize::from(yarn.0));
                if before.is_some_and(|before| before != yarn) {
                    self.marks.insert(KeyMark::YarnChange);
                }
                before = Some(yarn);
            }
        }
        self.increases(piece);
        self.signs(piece);
        if !piece.joins.is_empty() {
            self.marks.insert(KeyMark::Join);
        }
        for step in &piece.steps {
            match step.kind {
                StepKind::FastenOff => self.marks.insert(KeyMark::FastenOff),
                StepKind::JoinYarn => self.marks.insert(KeyMark::JoinYarn),
                StepKind::Eyes(place) if place.stitches.is_some() => {
                    self.marks.insert(KeyMark::Eye)
                }
                _ => false,
            };
        }
    }

    fn stitch(&mut self, piece: &Piece, id: StitchId, stitch: &Stitch) {
        if stitch.role == Role::Picot {
            self.entries.insert(KeyEntry::Picot);
            return;
        }
        if stitch.into == Into::Ring && piece.feet(id).is_empty() {
            self.entries.insert(KeyEntry::Ring);
        }
        self.entries.insert(KeyEntry::Stitch {
            kind: stitch.kind,
            into: drawn_into(piece, stitch),
            count: 1,
        });
    }

    /// What stands between stitches.
    fn signs(&mut self, piece: &Piece) {
        for surface in &piece.surfaces {
            self.marks.insert(KeyMark::Surface);
            self.yarns
                .extend(surface.yarn.map(|yarn| usize::from(yarn.0)));
        }
        if (1..piece.rounds.len()).any(|round| !left_out(piece, round).is_empty()) {
            self.marks.insert(KeyMark::Skip);
        }
        if (1..piece.rounds.len()).any(|round| is_turned_before(piece, round)) {
            self.marks.insert(KeyMark::Turn);
        }
        if marked_within(piece).next().is_some() {
            self.marks.insert(KeyMark::Marker);
        }
    }

    /// Several stitches of a kind with one foot.
    fn increases(&mut self, piece: &Piece) {
        for round in &piece.rounds {
            let mut counts = BTreeMap::new();
            for (id, stitch) in piece.round_stitches(round) {
                let shares = matches!(stitch.into, Into::Stitch | Into::FrontLoop | Into::BackLoop);
                if let (true, &[foot]) = (shares && stitch.role == Role::Head, piece.feet(id)) {
                    let into = drawn_into(piece, stitch);
                    *counts.entry((foot, stitch.kind, into)).or_insert(0_u8) += 1;
                }
            }
            for ((_, kind, into), count) in counts {
                if count > 1 {
                    self.entries.insert(KeyEntry::Stitch { kind, into, count });
                }
            }
        }
    }
}

/// What the symbol shows of where a stitch is worked.
fn drawn_into(piece: &Piece, stitch: &Stitch) -> Into {
    let round = piece.rounds.get(stitch.round as usize);
    let wrong_side = round.is_some_and(|round| round.wrong_side);
    match seen_from_right_side(stitch.into, wrong_side) {
        Into::Space | Into::Ring | Into::Chain | Into::RowEnd | Into::Part => Into::Stitch,
        _ if stitch.kind.height == Height::Chain => Into::Stitch,
        into => into,
    }
}

/// The ring, then stitches by form, height and place, single ones before increases, the picot last.
fn in_order(entries: BTreeSet<KeyEntry>) -> Vec<KeyEntry> {
    let mut entries: Vec<KeyEntry> = entries.into_iter().collect();
    entries.sort_by_key(|entry| match *entry {
        KeyEntry::Ring => (0, None),
        KeyEntry::Stitch { kind, into, count } => (1, Some((kind.form, kind.height, into, count))),
        KeyEntry::Picot => (2, None),
    });
    entries
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fabric::{NewStitch, RoundKind, Yarn, YarnId};
    use crate::source::Span;
    use crate::terms::{Stitch as Kind, Terms};

    fn new(kind: Kind, into: Into, yarn: Option<YarnId>) -> NewStitch {
        NewStitch {
            kind,
            into,
            role: Role::Head,
            yarn,
            span: Span::default(),
        }
    }

    /// Two in a ring, an increase and a back-loop stitch over them, those three together.
    fn fabric(yarns: [Option<YarnId>; 2]) -> Fabric {
        let sc = Kind::plain(Height::Single);
        let mut piece = Piece::default();
        let begin = |piece: &mut Piece, number| {
            piece.begin_round(number, RoundKind::Round, Span::default(), number);
        };
        begin(&mut piece, 1);
        let ring = [0, 1].map(|_| piece.work(new(sc, Into::Ring, yarns[0]), &[]));
        begin(&mut piece, 2);
        let heads = [
            piece.work(new(sc, Into::Stitch, yarns[1]), &[ring[0]]),
            piece.work(new(sc, Into::Stitch, yarns[1]), &[ring[0]]),
            piece.work(new(sc, Into::BackLoop, yarns[1]), &[ring[1]]),
        ];
        begin(&mut piece, 3);
        let together = Kind::together(Height::Single, 3);
        piece.work(new(together, Into::Stitch, yarns[1]), &heads);
        Fabric {
            yarns: vec![Yarn::default(), Yarn::default(), Yarn::default()],
            pieces: vec![piece],
            ..Fabric::default()
        }
    }

    fn words(key: &Key) -> Vec<String> {
        let entries = key.entries.iter();
        entries.map(|entry| entry.abbreviation(Terms::Us)).collect()
    }

    #[test]
    fn just_what_the_pieces_use_is_listed_shortest_first() {
        let fabric = fabric([None, None]);
        let key = Key::of(&fabric, &[0, 7]);
        assert_eq!(words(&key), ["MR", "sc", "inc", "BLO sc", "sc3tog"]);
        assert_eq!(key.marks, [KeyMark::Start, KeyMark::Number]);
        assert!(key.yarns.is_empty());
        assert_eq!(Key::of(&fabric, &[]).entries, []);
    }

    #[test]
    fn yarns_that_are_used_are_listed_and_their_change_is_a_mark() {
        let key = Key::of(&fabric([Some(YarnId(0)), Some(YarnId(2))]), &[0]);
        assert_eq!(key.yarns.len(), 2);
        assert_eq!(
            key.marks,
            [KeyMark::Start, KeyMark::Number, KeyMark::YarnChange]
        );
        let key = Key::of(&fabric([Some(YarnId(1)); 2]), &[0]);
        assert_eq!(key.yarns.len(), 1);
        assert_eq!(key.marks, [KeyMark::Start, KeyMark::Number]);
    }

    /// Charts show the right side: hookincrochet.com, "About crochet symbol charts".
    #[test]
    fn a_back_loop_on_the_wrong_side_is_a_front_loop_in_the_chart() {
        let mut fabric = fabric([None, None]);
        fabric.pieces[0].rounds[1].wrong_side = true;
        assert_eq!(
            words(&Key::of(&fabric, &[0])),
            ["MR", "sc", "inc", "FLO sc", "sc3tog"]
        );
    }

    /// A picot is chains and a slip stitch that are no stitches of the round (common practice, no source).
    #[test]
    fn a_picot_is_one_entry_and_not_its_chains() {
        let mut fabric = fabric([None, None]);
        let piece = &mut fabric.pieces[0];
        let mut chain = new(Kind::plain(Height::Chain), Into::Chain, None);
        chain.role = Role::Picot;
        piece.work(chain, &[StitchId(5)]);
        let listed = words(&Key::of(&fabric, &[0]));
        assert_eq!(listed.last().map(String::as_str), Some("picot"));
        assert!(!listed.contains(&"ch".to_owned()));
    }
}

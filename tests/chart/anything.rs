//! Whatever a fabric holds, it gets a chart: every stitch listed, every number finite, nothing panics.

use crate::fabrics::{Maker, fabric};
use proptest::prelude::*;
use roundwright::chart::{Options, lay_out};
use roundwright::draw::panel_svg;
use roundwright::fabric::{EyePlace, Fabric, Role, RoundKind, StepKind, StitchId};
use roundwright::terms::{Form, Hand, Height, Into, Stitch};

#[derive(Debug, Clone)]
struct Wild {
    kind: Stitch,
    into: Into,
    role: Role,
    /// How far back its feet lie.
    feet: Vec<u32>,
}

#[derive(Debug, Clone)]
struct WildRound {
    number: u32,
    row: bool,
    wrong_side: bool,
    closed: bool,
    stitches: Vec<Wild>,
    step: Option<StepKind>,
}

fn stitch() -> impl Strategy<Value = Wild> {
    let height = prop::sample::select(Height::ALL.to_vec());
    let form = prop::sample::select(vec![
        Form::Plain,
        Form::Plain,
        Form::Plain,
        Form::Extended,
        Form::Together(3),
        Form::Bobble(5),
        Form::Popcorn(4),
        Form::Puff(3),
    ]);
    let into = prop::sample::select(vec![
        Into::Stitch,
        Into::Stitch,
        Into::BackLoop,
        Into::FrontPost,
        Into::Space,
        Into::Ring,
        Into::Chain,
        Into::Part,
    ]);
    let role = prop::sample::select(vec![
        Role::Head,
        Role::Head,
        Role::Head,
        Role::Foundation,
        Role::Bridge,
        Role::Lift,
        Role::Stand,
        Role::Picot,
        Role::Close,
        Role::Travel,
    ]);
    let feet = prop::collection::vec(1u32..40, 0..4);
    (height, form, into, role, feet).prop_map(|(height, form, into, role, feet)| Wild {
        kind: Stitch { height, form },
        into,
        role,
        feet,
    })
}

fn round() -> impl Strategy<Value = WildRound> {
    let step = prop::sample::select(vec![
        StepKind::FastenOff,
        StepKind::JoinYarn,
        StepKind::Eyes(EyePlace {
            rounds: Some((3, 4)),
            apart: Some(2),
            stitches: Some((2, 4)),
        }),
        StepKind::Stuff,
        StepKind::PlaceMarker,
    ]);
    (
        0u32..12,
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        prop::collection::vec(stitch(), 0..30),
        prop::option::of(step),
    )
        .prop_map(
            |(number, row, wrong_side, closed, stitches, step)| WildRound {
                number,
                row,
                wrong_side,
                closed,
                stitches,
                step,
            },
        )
}

fn work(rounds: &[WildRound]) -> Fabric {
    let mut maker = Maker::new("Anything");
    for round in rounds {
        let kind = if round.row {
            RoundKind::Row
        } else {
            RoundKind::Round
        };
        maker.begin(round.number, kind);
        for stitch in &round.stitches {
            let here = maker.piece.stitches.len() as u32;
            let feet: Vec<StitchId> = stitch
                .feet
                .iter()
                .filter_map(|back| here.checked_sub(*back).map(StitchId))
                .collect();
            maker.one(stitch.kind, stitch.into, stitch.role, &feet);
        }
        let open = maker.piece.rounds.last_mut().unwrap();
        open.wrong_side = round.wrong_side;
        open.closed = round.closed;
        if let (Some(step), false) = (round.step, maker.piece.stitches.is_empty()) {
            maker.step(step);
        }
    }
    fabric("Anything", vec![maker.piece])
}

proptest! {
    #![proptest_config(crate::cases::cases(2_000))]
    #[test]
    fn any_fabric_gets_a_chart(
        rounds in prop::collection::vec(round(), 0..8),
        left_handed in any::<bool>(),
        asked in prop::option::of((0u32..6, 0u32..12)),
    ) {
        let hand = if left_handed { Hand::Left } else { Hand::Right };
        let fabric = Fabric { hand, ..work(&rounds) };
        let options = Options {
            rounds: asked.map(|(from, to)| from..=to),
            ..Options::default()
        };
        let panels = lay_out(&fabric, 0, &options);
        let mut listed = 0;
        for panel in &panels {
            prop_assert!(panel.width_mm.is_finite() && panel.height_mm.is_finite());
            prop_assert!(panel.width_mm < 5_000.0 && panel.height_mm < 5_000.0);
            for placed in &panel.stitches {
                prop_assert!(placed.head.is_finite(), "{:?}", placed.id);
                prop_assert!(panel.feet(placed).iter().all(|foot| foot.is_finite()));
                listed += 1;
            }
            prop_assert!(panel_svg(panel, &fabric).ends_with("</svg>\n"));
        }
        if options.rounds.is_none() {
            prop_assert_eq!(listed, fabric.pieces[0].stitches.len());
        }
    }
}

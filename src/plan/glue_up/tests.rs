//! The cabinet's glue-up by hand, other shapes, and what the verifier sees.

use super::*;
use crate::measure::Length;
use crate::model::fixture::{self, box3, dmm, id, lay};
use crate::model::{
    AssemblyId, Axis, Clamp, Edge, Glue, Joint, JointId, JointKind, Outcome, PartId, Role,
};

/// Side strips: contact 720 x 17.6, tongue 5 deep: 720 x (17.6 + 2 x 5) = 19,872 mm2 each.
/// Floor and top strips, flat: 564.8 x 17.6 = 9,940.48 each.
/// Four panels a copy, two copies: 4 x 19,872 + 4 x 9,940.48 = 119,249.92 mm2;
/// at 0.1 m2 a minute 71.55, so 72 s; eight strips at 20 s: 160 s; 232 s of 600.
#[test]
fn edging_is_one_session_for_both_cabinets() {
    let plan = plan_glue_up(&fixture::cabinet());
    assert_eq!(plan.edging.len(), 1);
    let session = &plan.edging[0];
    assert_eq!(session.batches.len(), 1);
    assert_eq!(session.batches[0].units.len(), 8);
    assert_eq!(session.batches[0].seconds, 232);
    // Clamps press from front to rear: sides 400 deep, floor and top 394; 20 for the jaws.
    let opens: Vec<_> = session.batches[0]
        .clamps
        .iter()
        .map(|c| (c.axis, c.open))
        .collect();
    assert_eq!(
        opens,
        [(Axis::Y, Length::mm(420)), (Axis::Y, Length::mm(414))]
    );
    // 720 / 200 = 3.6, four for each of four sides.
    assert_eq!(session.batches[0].clamps[0].count, 16);
}

/// Floor and top enter 6: 386 x (17.6 + 12) = 11,425.6; deck 366 x 29.6 = 10,833.6.
/// Both ends: 4 x 11,425.6 + 2 x 10,833.6 = 67,369.6 mm2, at 0.1 m2 a minute 40.4, so 41 s;
/// six joints at 20 s: 120 s.
/// Diagonal of 600 x 720: sqrt(360,000 + 518,400) = 937.230... mm.
#[test]
fn the_cabinet_goes_together_between_its_sides_then_gets_its_back() {
    let plan = plan_glue_up(&fixture::cabinet());
    assert_eq!(plan.stages.len(), 2);
    let (frame, back) = (&plan.stages[0], &plan.stages[1]);
    assert_eq!(frame.number, 2);
    assert_eq!(
        frame.body,
        [id::LEFT, id::RIGHT, id::FLOOR, id::DECK, id::TOP]
    );
    assert_eq!((frame.spread, frame.assemble), (41, 120));
    let diagonal = frame.diagonal.as_ref().expect("the frame closes");
    assert_eq!(
        (diagonal.wide, diagonal.high),
        (Length::mm(600), Length::mm(720))
    );
    assert!((diagonal.long.to_f64_mm() - 878_400f64.sqrt()).abs() < 1e-6);
    // Three lines of 386, 366, 386: two clamps each, open to 600 + 20.
    let need = &frame.clamps[0];
    assert_eq!(
        (need.axis, need.open, need.count),
        (Axis::X, Length::mm(620), 6)
    );
    assert_eq!(back.fresh, [id::BACK]);
    assert_eq!(back.moves[0].way, Some(Edge::Front));
    assert!(back.diagonal.is_none());
    // Rabbets 9 deep, one wall: 2 x 720 x (6 + 9) = 21,600 mm2.
    assert_eq!(back.area, Rational::int(21_600));
}

/// With half a minute of open time even one side (3 joints, 60 s) is too slow: the stages are split
/// as far as they can be, and what is over says so.
#[test]
fn a_glue_that_dries_fast_splits_the_stage_and_is_reported() {
    let mut model = fixture::cabinet();
    let glue = |open| Glue {
        name: "fast".into(),
        open,
        clamped: 1200,
        cured: None,
        covers: None,
        source: None,
        price: None,
    };
    model.shop.glues = vec![glue(90)];
    let plan = plan_glue_up(&model);
    let frame: Vec<_> = plan
        .stages
        .iter()
        .filter(|s| s.diagonal.is_some())
        .collect();
    assert_eq!(frame.len(), 1, "the ring closes once");
    assert!(plan.stages.len() > 2);
    assert!(plan.stages.iter().all(|s| s.seconds() <= 90));
    model.shop.glues = vec![glue(30)];
    let plan = plan_glue_up(&model);
    let over = |f: &&crate::model::Finding| f.outcome == Outcome::Caution;
    assert!(
        plan.findings
            .iter()
            .filter(over)
            .any(|f| f.code == "order.open_time")
    );
}

#[test]
fn clamps_come_from_the_wall_or_are_missed() {
    let mut model = fixture::cabinet();
    let clamp = |name: &str, count, long| Clamp {
        name: name.into(),
        count,
        long: Length::mm(long),
    };
    model.shop.clamps = vec![clamp("bar", 4, 1200), clamp("short", 20, 619)];
    let plan = plan_glue_up(&model);
    let need = &plan.stages[0].clamps[0];
    assert_eq!(need.taken, [("bar".to_string(), Length::mm(1200), 4)]);
    assert_eq!(need.missing, 2);
    let finding = plan
        .findings
        .iter()
        .find(|f| f.code == "order.clamps" && f.outcome == Outcome::Caution);
    assert!(finding.is_some());
}

/// A lid over both sides, put on from above: it comes after the sides, and its clamps reach from
/// the lid's upper face to the ground.
#[test]
fn what_lies_over_comes_after() {
    let mut model = fixture::cabinet();
    let piece = &mut model.pieces[0];
    let mut lid = fixture::part(
        11,
        "body.lid",
        "Lid",
        Role::Lid,
        0,
        0,
        box3([0, 6000], [0, 4000], [7200, 7376]),
        box3([0, 6000], [0, 4000], [7200, 7376]),
        lay(Edge::Left, Edge::Front, Edge::Top),
    );
    lid.id = PartId(11);
    piece.parts.push(lid);
    for (n, x) in [(0u32, [0, 176]), (1, [5824, 6000])] {
        piece.joints.push(Joint {
            id: JointId(12 + n),
            kind: JointKind::Butt,
            a: PartId(n),
            b: PartId(11),
            deep: Length::ZERO,
            contact: box3(x, [80, 4000], [7200, 7200]),
            glued_along: None,
            slotted: false,
            open_to: None,
            glued: true,
            fastening: None,
            assembly: AssemblyId(0),
            origin: fixture::line(33 + n),
        });
    }
    let plan = plan_glue_up(&model);
    let over: Vec<_> = plan.stages.iter().map(|s| s.fresh.clone()).collect();
    assert_eq!(over[1], [PartId(11)]);
    assert_eq!(over[2], [id::BACK]);
    let stage = &plan.stages[1];
    assert_eq!(stage.moves[0].way, Some(Edge::Bottom));
    assert_eq!(stage.clamps[0].open, dmm(7376) + Length::mm(20));
    // The ring closed before; the lid does not measure it again.
    assert!(stage.diagonal.is_none());
}

/// A back that is only nailed in: it waits until the glue is dry, and needs no glue time.
#[test]
fn what_is_dry_goes_in_last() {
    let mut model = fixture::cabinet();
    for joint in &mut model.pieces[0].joints {
        if joint.a == id::BACK {
            joint.glued = false;
        }
    }
    let plan = plan_glue_up(&model);
    let last = plan.stages.last().expect("there is a stage");
    assert_eq!(
        (last.kind, last.fresh.as_slice()),
        (StageKind::Dry, [id::BACK].as_slice())
    );
    assert_eq!(last.seconds(), 0);
}

/// Top and bottom meet nowhere and go on together; left and right cover their ends, and wait. With
/// top, left, bottom, right in this order each meets the one before: four layers.
#[test]
fn strips_that_meet_wait_for_each_other() {
    use crate::model::{Banding, Side};
    let model = fixture::cabinet();
    let mut piece = model.pieces[0].clone();
    // A panel 500 x 300 of the piece's x and z, and strips 8 thick about it.
    let panel = piece.parts[id::SHELF.0 as usize].clone();
    let core = fixture::box3([0, 5000], [0, 176], [0, 3000]);
    let strips = [
        (Edge::Top, fixture::box3([0, 5000], [0, 176], [3000, 3080])),
        (Edge::Bottom, fixture::box3([0, 5000], [0, 176], [-80, 0])),
        (Edge::Left, fixture::box3([-80, 0], [0, 176], [-80, 3080])),
        (
            Edge::Right,
            fixture::box3([5000, 5080], [0, 176], [-80, 3080]),
        ),
    ];
    let mut layered = |order: [usize; 4]| {
        let mut panel = panel.clone();
        panel.core = core;
        panel.lay.edge = Edge::Bottom;
        panel.lay.end = Edge::Left;
        panel.lay.face = Edge::Front;
        panel.bands = order
            .iter()
            .map(|i| {
                let (edge, at) = strips[*i];
                let strip = crate::model::PartId(6 + *i as u32);
                piece.parts[strip.0 as usize].finished = at;
                Banding {
                    side: panel.lay.side(edge),
                    strip,
                    thick: dmm(80),
                    tongue: None,
                    mitred: false,
                    early: false,
                }
            })
            .collect();
        assert!(panel.bands.iter().all(|b| b.side != Side::Face));
        let found = layers(&model, &piece, &panel);
        found.iter().map(|l| l.number).collect::<Vec<_>>()
    };
    assert_eq!(layered([0, 1, 2, 3]), [1, 1, 2, 2]);
    assert_eq!(layered([0, 2, 1, 3]), [1, 2, 3, 4]);
}

#[test]
fn the_verifier_sees_each_kind_of_fault() {
    let model = fixture::cabinet();
    let sound = plan_glue_up(&model);
    assert_eq!(verify::glue_up(&model, &sound), None);
    let broken = |change: &dyn Fn(&mut GlueUp)| {
        let mut other = sound.clone();
        change(&mut other);
        verify::glue_up(&model, &other).expect("the fault is seen")
    };
    let never = broken(&|p| {
        p.stages.pop();
    });
    assert!(never.contains("never closes"), "{never}");
    let twice = broken(&|p| {
        let again = p.stages[1].clone();
        p.stages.push(again);
    });
    assert!(twice.contains("closes twice"), "{twice}");
    let strip = broken(&|p| {
        p.edging[0].batches[0].units.pop();
    });
    assert!(strip.contains("glued on 1 times"), "{strip}");
    let early = broken(&|p| {
        let parts = p.stages[0].body.clone();
        p.stages[0].moves.insert(
            0,
            Move {
                parts,
                way: Some(Edge::Front),
                joints: Vec::new(),
            },
        );
    });
    assert!(early.contains("before it is one"), "{early}");
}

/// Two stiles from 60 to 640, 720 high, with a foot that runs on past both: the tape hooks on the
/// stiles. 580^2 + 720^2 = 336,400 + 518,400 = 854,800.
#[test]
fn diagonals_lie_over_the_corners_of_the_ring() {
    use super::square::Rings;
    use crate::model::{JointId, fixture::box3};
    let seen = [
        box3([600, 1050], [0, 600], [0, 7200]),
        box3([5950, 6400], [0, 600], [0, 7200]),
        box3([0, 7000], [0, 600], [1200, 1800]),
        box3([1050, 5950], [0, 600], [6500, 7200]),
    ];
    let part = crate::model::PartId;
    let held = [(2, 0), (2, 1), (3, 0), (3, 1)];
    let held = (0..)
        .zip(held)
        .map(|(id, (a, b))| (JointId(id), part(a), part(b)));
    let rings = Rings::new(&seen, held);
    let last = [JointId(3)].into();
    let ring = rings.close(&last, &[]).expect("the ring closes");
    assert_eq!(ring.axes, (Axis::X, Axis::Z));
    assert_eq!((ring.wide, ring.high), (Length::mm(580), Length::mm(720)));
    assert!((ring.long.to_f64_mm() - 854_800f64.sqrt()).abs() < 1e-6);
    // What was measured once is not measured again.
    assert_eq!(rings.close(&last, &[ring]), None);
}

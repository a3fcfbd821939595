//! The fixture's cabinet with doors, a drawer, a finish, notes and findings, for tests of the book:
//! everything that a chapter of this folder prints.

use crate::measure::{InchStep, Rational, Units};
use crate::model::fixture::{box3, cabinet, dmm, id, lay, line, part};
use crate::model::{
    Allowed, Assembly, AssemblyId, AssemblyKind, Box3, Coat, Commission, Drawer, Edge, Finding,
    Finish, FinishId, FinishStep, Gaps, Group, Hand, Hardware, HardwareId, HardwareKind, Hinge,
    HingePlace, Leaf, LeafKind, Model, Note, OpeningId, Outcome, PartId, PartRef, PullPlace, Role,
    Runner, RunnerPlace, Sense, Stated, Value,
};

const KNOB: HardwareId = HardwareId(1);
const HINGE: HardwareId = HardwareId(2);
const RUNNER: HardwareId = HardwareId(3);

/// A full model and findings.
pub(super) fn full() -> (Model, Vec<Finding>) {
    let mut model = cabinet();
    hardware(&mut model);
    doors(&mut model);
    drawer(&mut model);
    words(&mut model);
    (model, findings())
}

fn hardware(model: &mut Model) {
    let mut add = |name: &str, title: &str, kind| {
        model.hardware.push(Hardware {
            name: name.into(),
            title: title.into(),
            kind,
            price: None,
            origin: line(61),
        });
    };
    add(
        "knob",
        "Turned knob",
        HardwareKind::Pull {
            bore: dmm(45),
            centres: None,
        },
    );
    add(
        "cup_hinge",
        "Cup hinge 35",
        HardwareKind::Hinge(Hinge::Cup {
            diameter: dmm(350),
            deep: dmm(130),
            rim: dmm(50),
            covers: Some((dmm(140), dmm(180))),
            stand_off: dmm(10),
            set_back: None,
        }),
    );
    add(
        "runner350",
        "Side runner 350",
        HardwareKind::Runner(Runner {
            long: dmm(3500),
            beside: dmm(127),
            above: dmm(60),
            below: dmm(80),
            rear: dmm(0),
            load: Some(Rational::int(30)),
            under: None,
        }),
    );
}

/// A panel of birch that hangs in front of the case.
fn panel(model: &mut Model, path: &str, label: &str, role: Role, at: Box3) -> (PartId, AssemblyId) {
    let piece = &mut model.pieces[0];
    let n = piece.parts.len() as u32;
    let assembly = AssemblyId(piece.assemblies.len() as u32);
    piece.assemblies.push(Assembly {
        id: assembly,
        path: path.into(),
        label: label.into(),
        kind: AssemblyKind::Leaf,
        parts: vec![PartId(n)],
        stages: Vec::new(),
    });
    piece.parts.push(part(
        n,
        path,
        label,
        role,
        assembly.0,
        0,
        at,
        at,
        lay(Edge::Bottom, Edge::Left, Edge::Front),
    ));
    (PartId(n), assembly)
}

/// A pair over the lower opening (107.6 to 400, 564.8 wide): each covers its side by 16.1 and stops
/// 1.5 above the floor's underside; 3 between them.
fn doors(model: &mut Model) {
    let (left, _) = panel(
        model,
        "body.gates.left",
        "Gates, left",
        Role::Door,
        box3([15, 2985], [-186, -10], [915, 4071]),
    );
    let (right, _) = panel(
        model,
        "body.gates.right",
        "Gates, right",
        Role::Door,
        box3([3015, 5985], [-186, -10], [915, 4071]),
    );
    let mark = model.groups.len() as u32 + 1;
    let at = |part| PartRef { piece: 0, part };
    model.groups.push(Group {
        mark,
        label: "Door".into(),
        members: vec![(at(left), Some(Hand::Left)), (at(right), Some(Hand::Right))],
    });
    let hinge = |above: i64| HingePlace {
        hardware: HINGE,
        along_leaf: dmm(above),
        place: dmm(915 + above),
        plate: None,
    };
    let leaf = |part, hung, meeting, from_left| Leaf {
        path: "body.gates".into(),
        kind: LeafKind::Door,
        part,
        opening: OpeningId(0),
        inset: false,
        gaps: Gaps {
            left: if hung == Edge::Left {
                dmm(-161)
            } else {
                dmm(15)
            },
            right: if hung == Edge::Left {
                dmm(15)
            } else {
                dmm(-161)
            },
            bottom: dmm(-161),
            top: dmm(-71),
        },
        meeting: Some((meeting, dmm(30))),
        covers: Some(dmm(161)),
        hung: Some(hung),
        stays: Vec::new(),
        hinges: vec![hinge(526), hinge(2630)],
        pulls: vec![PullPlace {
            hardware: KNOB,
            from_left: dmm(from_left),
            from_bottom: dmm(2556),
        }],
        catches: Vec::new(),
        drawer: None,
        origin: line(80),
    };
    model.pieces[0].leaves = vec![
        leaf(left, Edge::Left, Edge::Right, 2570),
        leaf(right, Edge::Right, Edge::Left, 400),
    ];
}

/// A drawer at the foot of the upper opening: 564.8 less 12.7 a side is 539.4.
fn drawer(model: &mut Model) {
    let (face, _) = panel(
        model,
        "body.tray.face",
        "Tray, face",
        Role::Face,
        box3([15, 5985], [-186, -10], [4101, 5300]),
    );
    let assembly = AssemblyId(model.pieces[0].assemblies.len() as u32);
    let piece = &mut model.pieces[0];
    piece.assemblies.push(Assembly {
        id: assembly,
        path: "body.tray".into(),
        label: "Tray".into(),
        kind: AssemblyKind::Drawer,
        parts: Vec::new(),
        stages: Vec::new(),
    });
    piece.drawers.push(Drawer {
        path: "body.tray".into(),
        assembly,
        opening: OpeningId(1),
        outside: box3([303, 5697], [0, 3500], [4256, 5256]),
        runner: Some(RunnerPlace::Side {
            hardware: RUNNER,
            box_above_floor: dmm(80),
            set_back: dmm(20),
        }),
        origin: line(81),
    });
    piece.leaves.push(Leaf {
        path: "body.tray.face".into(),
        kind: LeafKind::DrawerFace,
        part: face,
        opening: OpeningId(1),
        inset: false,
        gaps: Gaps {
            left: dmm(-161),
            right: dmm(-161),
            bottom: dmm(-75),
            top: dmm(1724),
        },
        meeting: None,
        covers: None,
        hung: None,
        stays: Vec::new(),
        hinges: Vec::new(),
        pulls: [1490, 4480]
            .map(|from_left| PullPlace {
                hardware: KNOB,
                from_left: dmm(from_left),
                from_bottom: dmm(600),
            })
            .to_vec(),
        catches: Vec::new(),
        drawer: Some(assembly),
        origin: line(82),
    });
}

fn words(model: &mut Model) {
    let seconds = |hours: i64| Rational::int(hours * 3600);
    model.finishes.push(Finish {
        name: "clear_hard".into(),
        title: "Clear, hard".into(),
        steps: vec![
            FinishStep::Sand(vec![120, 180]),
            FinishStep::Coat(Coat {
                name: "varnish".into(),
                coats: 2,
                dry: seconds(8),
                covers: Rational::int(12_000),
                price: None,
            }),
        ],
        cure: Some(seconds(72)),
        origin: line(90),
    });
    model.commission = Some(Commission {
        name: "music_room".into(),
        title: "Practice room cabinets".into(),
        client: Some("Music school".into()),
        due: Some("2027-03-12".into()),
        notes: vec![Note {
            markdown: "Deliver through the *yard*[^gate].\n\n[^gate]: The gate is 1.1 m wide."
                .into(),
            origin: line(91),
        }],
        origin: line(91),
    });
    let piece = &mut model.pieces[0];
    piece.finish = Some(FinishId(0));
    piece.docs = "Scores lie flat in the tray; stands go behind the doors.".into();
    piece.params = vec![("width".into(), "600mm".into())];
    piece.notes = vec![Note {
        markdown: "# At the bench\n\n- [ ] Mark the **face sides** first\n- [x] Sheets measured\n\n\
                   | Pack | Measured |\n|---|---|\n| first | 17.6 |\n\nSee [the yard](https://example.org/yard)."
            .into(),
        origin: line(92),
    }];
    piece.stated = vec![
        Stated {
            text: "body.upper.high >= 250mm".into(),
            why: Some("a full score stands".into()),
            margin: Some((dmm(2848), dmm(2500), true)),
            origin: line(93),
        },
        Stated {
            text: "columns == 2".into(),
            why: None,
            margin: None,
            origin: line(93),
        },
    ];
    piece.allowed = vec![Allowed {
        code: "show.housing".into(),
        why: "it stands against the wall".into(),
        about: vec![line(94).span],
        within: Vec::new(),
        origin: line(94),
    }];
}

fn findings() -> Vec<Finding> {
    let finding =
        |code: &str, subject: &str, figure, limit, sense, outcome, arithmetic: &str| Finding {
            code: code.into(),
            subject: subject.into(),
            piece: Some(0),
            figure,
            limit,
            sense,
            outcome,
            arithmetic: arithmetic.into(),
            source: "common practice".into(),
            spans: vec![line(95).span],
        };
    let mm = |tenths| Value::Length(dmm(tenths));
    let number = |n, unit: &str| Value::Number(n, unit.into());
    vec![
        finding(
            "fit.drawer_wide",
            "Tray, width in upper",
            mm(5394),
            mm(5394),
            Sense::AtMost,
            Outcome::Holds,
            "564.8 - 2 x 12.7",
        ),
        finding(
            "cut.web_thin",
            "Stock left in the side",
            mm(13),
            mm(15),
            Sense::AtLeast,
            Outcome::Allowed("glue fills the corner".into()),
            "17.6 - 6 - 10.3",
        ),
        finding(
            "cut.past_half",
            "Dado against the side",
            mm(65),
            mm(88),
            Sense::AtMost,
            Outcome::Holds,
            "17.6 / 2",
        ),
        finding(
            "stand.lift",
            "Weight to lift",
            number(47.8, "kg"),
            number(25.0, "kg"),
            Sense::AtMost,
            Outcome::Caution,
            "",
        ),
    ]
}

/// The same in inches.
pub(super) fn inches() -> (Model, Vec<Finding>) {
    let (mut model, findings) = full();
    for piece in &mut model.pieces {
        piece.units = Units::Inch(InchStep::SixtyFourth);
    }
    (model, findings)
}

/// Two pieces, the second with many copies.
pub(super) fn commission() -> (Model, Vec<Finding>) {
    let (mut model, findings) = full();
    let mut second = cabinet().pieces.remove(0);
    second.title = "Low cabinet".into();
    second.copies = 9;
    second.letters = ('C'..='K').map(String::from).collect();
    model.pieces.push(second);
    let second = model.pieces.len() as u32 - 1;
    for group in &mut model.groups {
        let more: Vec<_> = group
            .members
            .iter()
            .filter(|(at, _)| at.part <= id::SHELF)
            .map(|(at, hand)| {
                let at = PartRef {
                    piece: second,
                    part: at.part,
                };
                (at, *hand)
            })
            .collect();
        group.members.extend(more);
    }
    (model, findings)
}

//! A small model made by hand, for tests of rules, plans and drawings: an open cabinet of 17.6 mm
//! sheet, made twice. Every figure can be checked with pencil and paper.
//!
//! Envelope 600 x 400 x 720. Sides 17.6 run the whole height, lipped 8 in front (tongue 4 x 5);
//! floor at 90 and deck at 400 in dadoes 6 deep (relief 0.5, fit 0.1), the deck set back 20 from
//! the sides' cores so that its dadoes are stopped; the top has a centred tongue 6 x 6 at each end;
//! the back, 6, lies in rabbets 9 deep. Two rows of five holes a side; one loose shelf.

use super::{
    Assembly, AssemblyId, AssemblyKind, Axis, Banding, Box3, CaseBox, Cut, CutKind, Edge, Figure,
    GoodFaces, Grain, Group, Hand, Hardware, HardwareId, HardwareKind, HardwareUse, Joint, JointId,
    JointKind, Lay, LocalAxis, LocalBox, Material, MaterialId, MaterialSort, Model, Opening,
    OpeningId, Origin, Part, PartId, PartRef, Piece, PinRow, Role, SheetGrain, ShelfSet, Shop,
    Side, Size, SoldSize, Solid, Stock, StockId, StockKind,
};
use crate::measure::{Length, Rational, Units};
use crate::source::{FileId, Span};

/// Tenths of a millimetre.
pub fn dmm(tenths: i64) -> Length {
    Length::um(tenths * 100)
}

/// The origin of line `n` of file 0 (a made-up range of ten bytes).
pub fn line(n: u32) -> Origin {
    Origin::line(Span {
        file: FileId(0),
        start: n * 10,
        end: n * 10 + 9,
    })
}

/// A box of the piece from tenths of a millimetre.
pub fn box3(x: [i64; 2], y: [i64; 2], z: [i64; 2]) -> Box3 {
    Box3 {
        lo: [dmm(x[0]), dmm(y[0]), dmm(z[0])],
        hi: [dmm(x[1]), dmm(y[1]), dmm(z[1])],
    }
}

/// A solid box in a part's frame, from hundredths of a millimetre.
pub fn solid(l: [i64; 2], w: [i64; 2], t: [i64; 2]) -> Solid {
    let um = |h: i64| Length::um(h * 10);
    Solid::Box(LocalBox {
        lo: [um(l[0]), um(w[0]), um(t[0])],
        hi: [um(l[1]), um(w[1]), um(t[1])],
    })
}

/// How a part lies.
pub fn lay(end: Edge, edge: Edge, face: Edge) -> Lay {
    Lay { end, edge, face }
}

/// A part without cuts or strips whose finished box may differ from its core.
#[allow(clippy::too_many_arguments, reason = "a row of a table in test code")]
pub fn part(
    id: u32,
    path: &str,
    label: &str,
    role: Role,
    assembly: u32,
    stock: u32,
    core: Box3,
    finished: Box3,
    lay: Lay,
) -> Part {
    let size = |b: &Box3| Size {
        length: b.extent(lay.axis(LocalAxis::Length)),
        width: b.extent(lay.axis(LocalAxis::Width)),
        thick: b.extent(lay.axis(LocalAxis::Thickness)),
    };
    Part {
        id: PartId(id),
        path: path.into(),
        label: label.into(),
        role,
        assembly: AssemblyId(assembly),
        stock: StockId(stock),
        grain: Grain::Lengthwise,
        finished,
        core,
        lay,
        finished_size: size(&finished),
        size: size(&core),
        aslant: Vec::new(),
        cuts: Vec::new(),
        bands: Vec::new(),
        shaped: Vec::new(),
        host: None,
        origin: line(id + 1),
    }
}

/// A cut without fit, relief or stops.
pub fn cut(
    kind: CutKind,
    solids: Vec<Solid>,
    entry: Side,
    along: LocalAxis,
    width: i64,
    depth: i64,
) -> Cut {
    Cut {
        kind,
        solids,
        entry,
        along,
        width: Length::um(width * 10),
        depth: Length::um(depth * 10),
        fit: Length::ZERO,
        relief: Length::ZERO,
        stopped: [false, false],
        joint: None,
        filler: None,
        origin: line(90),
    }
}

/// Indices of the cabinet's parts.
#[allow(missing_docs, reason = "the words of the trade say it")]
pub mod id {
    use super::PartId;
    pub const LEFT: PartId = PartId(0);
    pub const RIGHT: PartId = PartId(1);
    pub const FLOOR: PartId = PartId(2);
    pub const DECK: PartId = PartId(3);
    pub const TOP: PartId = PartId(4);
    pub const BACK: PartId = PartId(5);
    pub const STRIP_LEFT: PartId = PartId(6);
    pub const STRIP_RIGHT: PartId = PartId(7);
    pub const STRIP_FLOOR: PartId = PartId(8);
    pub const STRIP_TOP: PartId = PartId(9);
    pub const SHELF: PartId = PartId(10);
}

const JOINT_FLOOR: u32 = 0;
const JOINT_DECK: u32 = 2;
const JOINT_TOP: u32 = 4;
const JOINT_BACK: u32 = 6;
const JOINT_STRIP: u32 = 8;

/// The cabinet.
pub fn cabinet() -> Model {
    let parts = parts();
    let group = |mark: u32, label: &str, members: &[(PartId, Option<Hand>)]| Group {
        mark,
        label: label.into(),
        members: members
            .iter()
            .map(|(part, hand)| {
                (
                    PartRef {
                        piece: 0,
                        part: *part,
                    },
                    *hand,
                )
            })
            .collect(),
    };
    let hands = [(id::LEFT, Some(Hand::Left)), (id::RIGHT, Some(Hand::Right))];
    Model {
        edition: 1,
        files: vec!["cabinet.case".into()],
        commission: None,
        groups: vec![
            group(1, "Side", &hands),
            group(2, "Floor", &[(id::FLOOR, None)]),
            group(3, "Deck", &[(id::DECK, None)]),
            group(4, "Top", &[(id::TOP, None)]),
            group(5, "Back", &[(id::BACK, None)]),
            group(
                6,
                "Edging, side",
                &[(id::STRIP_LEFT, None), (id::STRIP_RIGHT, None)],
            ),
            group(
                7,
                "Edging, floor and top",
                &[(id::STRIP_FLOOR, None), (id::STRIP_TOP, None)],
            ),
            group(8, "Loose shelf", &[(id::SHELF, None)]),
        ],
        pieces: vec![piece(parts)],
        materials: vec![
            material(MaterialSort::Core, "birch_plywood", "Birch plywood", 680),
            material(MaterialSort::Species, "white_oak", "White oak", 762),
        ],
        stocks: stocks(),
        hardware: vec![Hardware {
            name: "pin".into(),
            title: "Shelf pin 5 mm".into(),
            kind: HardwareKind::Pin {
                diameter: dmm(50),
                deep: dmm(100),
            },
            price: None,
            origin: line(60),
        }],
        finishes: Vec::new(),
        shop: Shop::default(),
        rack: Vec::new(),
    }
}

fn material(sort: MaterialSort, name: &str, title: &str, density: i64) -> Material {
    Material {
        name: name.into(),
        title: title.into(),
        sort,
        latin: None,
        density: Some(Figure {
            value: Rational::int(density),
            source: Some("common practice".into()),
        }),
        radial: None,
        tangential: None,
        stiffness: None,
        strength: None,
        hardness: None,
        origin: line(69),
    }
}

fn stocks() -> Vec<Stock> {
    let sheet = |name: &str, title: &str, nominal, measured, n| Stock {
        name: name.into(),
        title: title.into(),
        kind: StockKind::Sheet {
            nominal: dmm(nominal),
            measured: dmm(measured),
            by_measure: true,
            sizes: vec![SoldSize {
                long: Length::mm(2440),
                wide: Length::mm(1220),
                price: None,
                origin: line(n),
            }],
            grain: SheetGrain::Long,
            good: GoodFaces::Both,
        },
        material: Some(MaterialId(0)),
        face: None,
        density: None,
        origin: line(n),
    };
    vec![
        sheet("birch18", "Birch plywood", 180, 176, 70),
        sheet("birch6", "Birch plywood", 60, 60, 71),
        Stock {
            name: "oak".into(),
            title: "White oak".into(),
            kind: StockKind::Board {
                rough: vec![Length::mm(20), Length::mm(27), Length::mm(34)],
                sizes: Vec::new(),
                wide: Some((Length::mm(100), Length::mm(250))),
                long: Some((Length::mm(2000), Length::mm(3000))),
                moisture: None,
                price: None,
            },
            material: Some(MaterialId(1)),
            face: None,
            density: None,
            origin: line(72),
        },
    ]
}

fn parts() -> Vec<Part> {
    use Edge::{Bottom, Front, Left, Right, Top};
    let x = [116, 5884];
    let mut parts = vec![
        part(
            0,
            "body.left",
            "Side",
            Role::Side,
            0,
            0,
            box3([0, 176], [80, 4000], [0, 7200]),
            box3([0, 176], [0, 4000], [0, 7200]),
            lay(Bottom, Front, Right),
        ),
        part(
            1,
            "body.right",
            "Side",
            Role::Side,
            0,
            0,
            box3([5824, 6000], [80, 4000], [0, 7200]),
            box3([5824, 6000], [0, 4000], [0, 7200]),
            lay(Bottom, Front, Left),
        ),
        part(
            2,
            "body.floor",
            "Floor",
            Role::Bottom,
            0,
            0,
            box3(x, [80, 3940], [900, 1076]),
            box3(x, [0, 3940], [900, 1076]),
            lay(Left, Front, Top),
        ),
        part(
            3,
            "body.deck",
            "Deck",
            Role::Shelf,
            0,
            0,
            box3(x, [280, 3940], [4000, 4176]),
            box3(x, [280, 3940], [4000, 4176]),
            lay(Left, Front, Top),
        ),
        part(
            4,
            "body.top",
            "Top",
            Role::Top,
            0,
            0,
            box3(x, [80, 3940], [7024, 7200]),
            box3(x, [0, 3940], [7024, 7200]),
            lay(Left, Front, Top),
        ),
        part(
            5,
            "body.back",
            "Back",
            Role::Back,
            0,
            1,
            box3([86, 5914], [3940, 4000], [0, 7200]),
            box3([86, 5914], [3940, 4000], [0, 7200]),
            lay(Bottom, Left, Front),
        ),
        part(
            6,
            "body.left.band_front",
            "Edging, side",
            Role::Band,
            0,
            2,
            box3([0, 176], [0, 130], [0, 7200]),
            box3([0, 176], [0, 130], [0, 7200]),
            lay(Bottom, Right, Front),
        ),
        part(
            7,
            "body.right.band_front",
            "Edging, side",
            Role::Band,
            0,
            2,
            box3([5824, 6000], [0, 130], [0, 7200]),
            box3([5824, 6000], [0, 130], [0, 7200]),
            lay(Bottom, Left, Front),
        ),
        part(
            8,
            "body.floor.band_front",
            "Edging, floor",
            Role::Band,
            0,
            2,
            box3([176, 5824], [0, 80], [900, 1076]),
            box3([176, 5824], [0, 80], [900, 1076]),
            lay(Left, Top, Front),
        ),
        part(
            9,
            "body.top.band_front",
            "Edging, top",
            Role::Band,
            0,
            2,
            box3([176, 5824], [0, 80], [7024, 7200]),
            box3([176, 5824], [0, 80], [7024, 7200]),
            lay(Left, Top, Front),
        ),
        part(
            10,
            "body.upper.shelf",
            "Loose shelf",
            Role::LooseShelf,
            1,
            0,
            box3([186, 5814], [300, 3930], [5440, 5616]),
            box3([186, 5814], [300, 3930], [5440, 5616]),
            lay(Left, Front, Top),
        ),
    ];
    for (n, strip, tongue) in [
        (0, id::STRIP_LEFT, Some((dmm(40), dmm(50)))),
        (1, id::STRIP_RIGHT, Some((dmm(40), dmm(50)))),
        (2, id::STRIP_FLOOR, None),
        (4, id::STRIP_TOP, None),
    ] {
        parts[n].bands.push(Banding {
            side: Side::Edge,
            strip,
            thick: dmm(80),
            tongue,
            mitred: false,
            early: false,
        });
        let host = parts[n].id;
        parts[strip.0 as usize].host = Some(host);
    }
    for side in 0..2 {
        parts[side as usize].cuts = side_cuts(side);
        let mut tongue = cut(
            CutKind::Tongue,
            vec![
                solid([0, 72000], [0, 680], [800, 1300]),
                solid([0, 72000], [1080, 1760], [800, 1300]),
            ],
            Side::Reverse,
            LocalAxis::Length,
            680,
            500,
        );
        tongue.joint = Some(JointId(JOINT_STRIP + side));
        parts[6 + side as usize].cuts = vec![tongue];
    }
    let shoulders = |l: [i64; 2], entry| {
        cut(
            CutKind::Tongue,
            vec![
                solid(l, [0, 38600], [0, 580]),
                solid(l, [0, 38600], [1180, 1760]),
            ],
            entry,
            LocalAxis::Width,
            580,
            600,
        )
    };
    let (mut near, mut far) = (
        shoulders([0, 600], Side::End),
        shoulders([57080, 57680], Side::FarEnd),
    );
    near.joint = Some(JointId(JOINT_TOP));
    far.joint = Some(JointId(JOINT_TOP + 1));
    parts[4].cuts = vec![near, far];
    parts
}

/// The cuts of a side, in its own frame: the same for both hands.
fn side_cuts(side: u32) -> Vec<Cut> {
    let housing = |l: [i64; 2], w: [i64; 2], width, stopped, joint: u32, filler| Cut {
        fit: dmm(1),
        relief: dmm(5),
        stopped,
        joint: Some(JointId(joint + side)),
        filler: Some(filler),
        ..cut(
            CutKind::Dado,
            vec![solid(l, w, [0, 650])],
            Side::Face,
            LocalAxis::Width,
            width,
            650,
        )
    };
    let row = |w: i64| {
        let holes = (0..5)
            .map(|i| Solid::Bore {
                mouth: [dmm(4800 + 320 * i), dmm(w), Length::ZERO],
                entry: Side::Face,
                diameter: dmm(50),
                depth: dmm(100),
            })
            .collect();
        cut(
            CutKind::PinHoles,
            holes,
            Side::Face,
            LocalAxis::Length,
            500,
            1000,
        )
    };
    let strip = if side == 0 {
        id::STRIP_LEFT
    } else {
        id::STRIP_RIGHT
    };
    vec![
        housing(
            [9000, 10770],
            [0, 38600],
            1770,
            [false, true],
            JOINT_FLOOR,
            id::FLOOR,
        ),
        housing(
            [40000, 41770],
            [2000, 38600],
            1770,
            [true, true],
            JOINT_DECK,
            id::DECK,
        ),
        housing(
            [70820, 71430],
            [0, 38600],
            610,
            [false, true],
            JOINT_TOP,
            id::TOP,
        ),
        Cut {
            joint: Some(JointId(JOINT_BACK + side)),
            filler: Some(id::BACK),
            ..cut(
                CutKind::Rabbet,
                vec![solid([0, 72000], [38600, 39200], [0, 900])],
                Side::Face,
                LocalAxis::Length,
                600,
                900,
            )
        },
        Cut {
            fit: dmm(1),
            relief: dmm(5),
            joint: Some(JointId(JOINT_STRIP + side)),
            filler: Some(strip),
            ..cut(
                CutKind::EdgeGroove,
                vec![solid([0, 72000], [0, 550], [675, 1085])],
                Side::Edge,
                LocalAxis::Length,
                410,
                550,
            )
        },
        row(290),
        row(3490),
    ]
}

fn joints() -> Vec<Joint> {
    let at = |side: u32, y: [i64; 2], z: [i64; 2]| {
        let x = if side == 0 { 176 } else { 5824 };
        box3([x, x], y, z)
    };
    let side = |n: u32| PartId(n);
    let mut rows: Vec<(JointKind, PartId, PartId, i64, Box3)> = Vec::new();
    for (kind, a, y, z, deep) in [
        (JointKind::Dado, id::FLOOR, [80, 3940], [900, 1076], 60),
        (JointKind::Dado, id::DECK, [280, 3940], [4000, 4176], 60),
        (JointKind::Tongue, id::TOP, [80, 3940], [7024, 7200], 60),
        (JointKind::Rabbet, id::BACK, [3940, 4000], [0, 7200], 90),
    ] {
        for n in 0..2 {
            rows.push((kind, a, side(n), deep, at(n, y, z)));
        }
    }
    for n in 0..2 {
        let x = if n == 0 { [0, 176] } else { [5824, 6000] };
        rows.push((
            JointKind::Edging,
            PartId(6 + n),
            side(n),
            50,
            box3(x, [80, 80], [0, 7200]),
        ));
    }
    for (strip, host, z) in [
        (id::STRIP_FLOOR, id::FLOOR, [900, 1076]),
        (id::STRIP_TOP, id::TOP, [7024, 7200]),
    ] {
        rows.push((
            JointKind::Edging,
            strip,
            host,
            0,
            box3([176, 5824], [80, 80], z),
        ));
    }
    rows.into_iter()
        .enumerate()
        .map(|(i, (kind, a, b, deep, contact))| Joint {
            id: JointId(i as u32),
            kind,
            a,
            b,
            deep: dmm(deep),
            contact,
            glued_along: None,
            slotted: false,
            open_to: None,
            glued: true,
            fastening: None,
            assembly: AssemblyId(0),
            origin: line(20 + i as u32),
        })
        .collect()
}

fn piece(parts: Vec<Part>) -> Piece {
    let envelope = box3([0, 6000], [0, 4000], [0, 7200]);
    let opening = |n: u32, path: &str, z: [i64; 2], below, above| Opening {
        path: path.into(),
        clear: box3([176, 5824], [0, 3940], z),
        daylight: box3([176, 5824], [0, 3940], z),
        bounds: vec![
            (Edge::Left, id::LEFT),
            (Edge::Right, id::RIGHT),
            (Edge::Bottom, below),
            (Edge::Top, above),
            (Edge::Rear, id::BACK),
        ],
        divided: false,
        axis: Some(Axis::Z),
        origin: line(40 + n),
    };
    let row = |part, set_back| PinRow {
        part,
        set_back: dmm(set_back),
        first_z: dmm(4800),
        pitch: dmm(320),
        count: 5,
    };
    Piece {
        name: "cabinet".into(),
        title: "Cabinet".into(),
        docs: String::new(),
        copies: 2,
        letters: vec!["A".into(), "B".into()],
        units: Units::Mm,
        finish: None,
        params: Vec::new(),
        cases: vec![CaseBox {
            name: "body".into(),
            envelope,
            seen: vec![Edge::Front, Edge::Left, Edge::Right, Edge::Top],
            assembly: AssemblyId(0),
            origin: line(0),
        }],
        overall: envelope,
        walls: Vec::new(),
        joints: joints(),
        openings: vec![
            opening(0, "body.lower", [1076, 4000], id::FLOOR, id::DECK),
            opening(1, "body.upper", [4176, 7024], id::DECK, id::TOP),
        ],
        matched: Vec::new(),
        assemblies: vec![
            Assembly {
                id: AssemblyId(0),
                path: "body".into(),
                label: "Case".into(),
                kind: AssemblyKind::Case,
                parts: (0..10).map(PartId).collect(),
                stages: Vec::new(),
            },
            Assembly {
                id: AssemblyId(1),
                path: "body.upper.shelf".into(),
                label: "Loose shelf".into(),
                kind: AssemblyKind::Shelf,
                parts: vec![id::SHELF],
                stages: Vec::new(),
            },
        ],
        leaves: Vec::new(),
        drawers: Vec::new(),
        rows: Vec::new(),
        shelves: vec![ShelfSet {
            path: "body.upper.shelf".into(),
            opening: OpeningId(1),
            parts: vec![id::SHELF],
            rows: vec![
                row(id::LEFT, 370),
                row(id::LEFT, 3570),
                row(id::RIGHT, 370),
                row(id::RIGHT, 3570),
            ],
            in_rows: None,
            pins: Some((HardwareId(0), 4)),
            load: None,
            origin: line(50),
        }],
        hardware: vec![HardwareUse {
            hardware: HardwareId(0),
            count: 4,
            reason: "Loose shelf".into(),
            assembly: AssemblyId(1),
        }],
        stated: Vec::new(),
        allowed: Vec::new(),
        notes: Vec::new(),
        origin: line(0),
        parts,
    }
}

#[test]
fn the_cabinets_cuts_lie_in_their_parts_and_fit_what_goes_in() {
    let model = cabinet();
    for (_, part) in model.parts() {
        for cut in &part.cuts {
            let b = cut.bounds();
            for axis in LocalAxis::ALL {
                assert!(b.lo[axis.index()] >= Length::ZERO, "{}", part.path);
                assert!(b.hi[axis.index()] <= part.size.along(axis), "{}", part.path);
            }
        }
    }
    // The floor's end, in the left side's frame, is the dado less fit and relief.
    let piece = &model.pieces[0];
    let left = piece.part(id::LEFT);
    let end = left.to_local(
        &piece
            .part(id::FLOOR)
            .core
            .meet(&left.core)
            .expect("the floor enters the side"),
    );
    assert_eq!(
        left.cuts[0].solids,
        [Solid::Box(LocalBox {
            lo: end.lo,
            hi: [end.hi[0] + dmm(1), end.hi[1], end.hi[2] + dmm(5)],
        })]
    );
}

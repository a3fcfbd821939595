//! What the rules' tests share: the hand-made cabinet without a fault, ways to bring one in, and
//! ways to look at what was said.

use super::{Checked, check};
use crate::diag::Diagnostic;
use crate::measure::{Length, Rational};
use crate::model::fixture::{box3, cabinet, dmm, id, lay, line, part, solid};
use crate::model::{
    Assembly, AssemblyId, AssemblyKind, Box3, Drawer, Edge, Fastening, Gaps, Hardware, HardwareId,
    HardwareKind, Hinge, HingePlace, Joint, JointId, JointKind, Leaf, LeafKind, Model, OpeningId,
    Outcome, PartId, Role, Runner, RunnerPlace, StockId, Value,
};

/// The cabinet with its deck and loose shelf of board, its rabbets shallower and its top out of
/// sight: nothing to say.
pub fn sound() -> Model {
    let mut model = cabinet();
    let piece = &mut model.pieces[0];
    piece.cases[0].seen.retain(|edge| *edge != Edge::Top);
    for id in [id::DECK, id::SHELF] {
        piece.parts[id.0 as usize].stock = StockId(2);
    }
    // Rabbets 8 deep: the 9 of the fixture are past half of 17.6.
    for side in [id::LEFT, id::RIGHT] {
        let rabbet = &mut piece.parts[side.0 as usize].cuts[3];
        rabbet.solids = vec![solid([0, 72000], [38600, 39200], [0, 800])];
        rabbet.depth = dmm(80);
    }
    let back = &mut piece.parts[id::BACK.0 as usize];
    back.core = box3([96, 5904], [3940, 4000], [0, 7200]);
    back.finished = back.core;
    for joint in piece.joints.iter_mut().filter(|joint| joint.a == id::BACK) {
        joint.deep = dmm(80);
    }
    model
}

pub fn checked(model: Model) -> Checked {
    check(&model)
}

/// The codes of all messages, in order.
pub fn codes(checked: &Checked) -> Vec<&'static str> {
    checked.diagnostics.iter().map(|d| d.code.name).collect()
}

/// The messages of one code.
pub fn of<'c>(checked: &'c Checked, code: &str) -> Vec<&'c Diagnostic> {
    checked
        .diagnostics
        .iter()
        .filter(|d| d.code.name == code)
        .collect()
}

/// The first message; all must be of this code.
pub fn only(checked: &Checked, code: &str) -> Diagnostic {
    assert!(!checked.diagnostics.is_empty(), "nothing was said");
    for said in &checked.diagnostics {
        assert_eq!(said.code.name, code, "{said:#?}");
    }
    checked.diagnostics[0].clone()
}

/// The figure of the first finding of a code that does not hold.
pub fn figure(checked: &Checked, code: &str) -> Length {
    let finding = checked
        .findings
        .iter()
        .find(|f| f.code == code && f.outcome != Outcome::Holds)
        .expect("a finding that fails");
    match finding.figure {
        Value::Length(length) => length,
        Value::Number(..) => panic!("not a length: {finding:?}"),
    }
}

fn moved(b: &mut Box3, by: [i64; 3]) {
    for (i, by) in by.into_iter().enumerate() {
        b.lo[i] += dmm(by);
        b.hi[i] += dmm(by);
    }
}

/// Moves a part, tenths of a millimetre.
pub fn shift(model: &mut Model, id: PartId, by: [i64; 3]) {
    let part = &mut model.pieces[0].parts[id.0 as usize];
    moved(&mut part.core, by);
    moved(&mut part.finished, by);
}

/// Moves the meeting of a joint, tenths of a millimetre.
pub fn shift_joint(model: &mut Model, joint: usize, by: [i64; 3]) {
    moved(&mut model.pieces[0].joints[joint].contact, by);
}

/// Leaves a part with no joint that would hold it.
pub fn unjoin(model: &mut Model, id: PartId) {
    for joint in &mut model.pieces[0].joints {
        if joint.a == id || joint.b == id {
            joint.kind = JointKind::Edging;
        }
    }
}

/// Takes the strips off a part and out of the way.
pub fn unband(model: &mut Model, id: PartId) {
    let bands = std::mem::take(&mut model.pieces[0].parts[id.0 as usize].bands);
    for band in bands {
        shift(model, band.strip, [-20_000, 0, 0]);
    }
}

fn add_hardware(model: &mut Model, name: &str, kind: HardwareKind) -> HardwareId {
    let id = HardwareId(model.hardware.len() as u32);
    model.hardware.push(Hardware {
        name: name.into(),
        title: name.into(),
        kind,
        price: None,
        origin: line(61),
    });
    id
}

fn add_assembly(model: &mut Model, path: &str, kind: AssemblyKind) -> AssemblyId {
    let assemblies = &mut model.pieces[0].assemblies;
    let id = AssemblyId(assemblies.len() as u32);
    assemblies.push(Assembly {
        id,
        path: path.into(),
        label: path.into(),
        kind,
        parts: Vec::new(),
        stages: Vec::new(),
    });
    id
}

/// A drawer of 539.4 x 350 x 100 on runners in the lower opening.
pub fn with_drawer() -> Model {
    let mut model = sound();
    let runner = add_hardware(
        &mut model,
        "runner",
        HardwareKind::Runner(Runner {
            long: dmm(3500),
            beside: dmm(127),
            above: dmm(60),
            below: dmm(80),
            rear: Length::ZERO,
            load: Some(Rational::int(30)),
            under: None,
        }),
    );
    let assembly = add_assembly(&mut model, "body.tray", AssemblyKind::Drawer);
    model.pieces[0].drawers.push(Drawer {
        path: "body.tray".into(),
        assembly,
        opening: OpeningId(0),
        outside: box3([303, 5697], [0, 3500], [1156, 2156]),
        runner: Some(RunnerPlace::Side {
            hardware: runner,
            box_above_floor: dmm(80),
            set_back: Length::ZERO,
        }),
        origin: line(51),
    });
    model
}

/// Width, depth and height of the drawer's box, tenths of a millimetre.
pub fn resize_drawer(model: &mut Model, size: [i64; 3]) {
    let outside = &mut model.pieces[0].drawers[0].outside;
    for (i, size) in size.into_iter().enumerate() {
        outside.hi[i] = outside.lo[i] + dmm(size);
    }
}

pub fn set_runner_long(model: &mut Model, tenths: i64) {
    for hardware in &mut model.hardware {
        if let HardwareKind::Runner(runner) = &mut hardware.kind {
            runner.long = dmm(tenths);
        }
    }
}

fn add_leaf(model: &mut Model, name: &str, opening: u32, inset: bool, place: Box3, gaps: Gaps) {
    let path = format!("body.{name}");
    let assembly = add_assembly(model, &path, AssemblyKind::Leaf);
    let piece = &mut model.pieces[0];
    let panel = PartId(piece.parts.len() as u32);
    piece.overall = piece.overall.union(&place);
    piece.parts.push(part(
        panel.0,
        &path,
        "Door",
        Role::Door,
        assembly.0,
        2,
        place,
        place,
        lay(Edge::Bottom, Edge::Left, Edge::Front),
    ));
    piece.leaves.push(Leaf {
        path,
        kind: LeafKind::Door,
        part: panel,
        opening: OpeningId(opening),
        inset,
        gaps,
        meeting: None,
        covers: (!inset).then(|| -gaps.left),
        hung: None,
        stays: Vec::new(),
        hinges: Vec::new(),
        pulls: Vec::new(),
        catches: Vec::new(),
        drawer: None,
        origin: line(52 + opening),
    });
}

/// A door 17.6 thick in the upper opening, 1.5 mm round it.
pub fn with_inset_door() -> Model {
    let mut model = sound();
    let gap = dmm(15);
    let gaps = Gaps {
        left: gap,
        right: gap,
        bottom: gap,
        top: gap,
    };
    let place = box3([191, 5809], [0, 176], [4191, 7009]);
    add_leaf(&mut model, "gate", 1, true, place, gaps);
    model
}

/// Two doors in front of the case, each over the deck between them by `cover` tenths.
pub fn with_overlay_doors(cover: i64) -> Model {
    let mut model = sound();
    let side = 161;
    let x = [176 - side, 5824 + side];
    let gaps = |bottom: i64, top: i64| Gaps {
        left: dmm(-side),
        right: dmm(-side),
        bottom: dmm(-bottom),
        top: dmm(-top),
    };
    let lower = box3(x, [-176, 0], [1076 - side, 4000 + cover]);
    let upper = box3(x, [-176, 0], [4176 - cover, 7024 + side]);
    add_leaf(&mut model, "lower_door", 0, false, lower, gaps(side, cover));
    add_leaf(&mut model, "upper_door", 1, false, upper, gaps(cover, side));
    model
}

pub fn add_cup_hinge(model: &mut Model, covers: (i64, i64)) -> HardwareId {
    let cup = Hinge::Cup {
        diameter: dmm(350),
        deep: dmm(125),
        rim: dmm(50),
        covers: Some((dmm(covers.0), dmm(covers.1))),
        stand_off: Length::ZERO,
        set_back: None,
    };
    add_hardware(model, "cup", HardwareKind::Hinge(cup))
}

pub fn add_butt_hinge(model: &mut Model, wide: i64) -> HardwareId {
    let butt = Hinge::Butt {
        long: dmm(500),
        wide: dmm(wide),
        thick: dmm(20),
    };
    add_hardware(model, "butt", HardwareKind::Hinge(butt))
}

/// Hangs a leaf with one hinge.
pub fn hang(model: &mut Model, leaf: usize, hardware: HardwareId, edge: Edge) {
    let leaf = &mut model.pieces[0].leaves[leaf];
    leaf.hung = Some(edge);
    leaf.hinges.push(HingePlace {
        hardware,
        along_leaf: dmm(1000),
        place: dmm(5000),
        plate: None,
    });
}

/// Two screws through the left side into the floor.
pub fn with_screws(long: i64) -> Model {
    let mut model = sound();
    let screw = HardwareKind::Screw {
        long: dmm(long),
        thick: dmm(40),
    };
    let hardware = add_hardware(&mut model, "screw", screw);
    let joints = &mut model.pieces[0].joints;
    let next = JointId(joints.len() as u32);
    let places = [680, 3340].map(|y| [dmm(176), dmm(y), dmm(988)]).to_vec();
    joints.push(Joint {
        id: next,
        kind: JointKind::Screws,
        a: id::FLOOR,
        b: id::LEFT,
        deep: Length::ZERO,
        contact: box3([176, 176], [80, 3940], [900, 1076]),
        glued_along: None,
        slotted: false,
        open_to: None,
        glued: false,
        fastening: Some(Fastening { hardware, places }),
        assembly: AssemblyId(0),
        origin: line(35),
    });
    model
}

/// Turns those screws into biscuits.
pub fn make_biscuit(model: &mut Model, long: i64, wide: i64) {
    for hardware in &mut model.hardware {
        if matches!(hardware.kind, HardwareKind::Screw { .. }) {
            hardware.kind = HardwareKind::Biscuit {
                long: dmm(long),
                wide: dmm(wide),
                thick: dmm(40),
            };
        }
    }
}

//! Chapter 9: a card a stage: what to lay out, dry fit, steps, the glue's time, clamps, diagonals.

use super::{Chapter, PartMark, part_mark, standing};
use crate::book::{Facts, html, piece_name, thing_name};
use crate::draw::glue_sketch::{self, minutes};
use crate::measure::{Length, Units};
use crate::model::{
    AssemblyKind, Axis, Edge, Hand, HardwareKind, Joint, JointId, JointKind, LocalAxis, PartId,
    Piece,
};
use crate::plan::glue_up::{
    ClampNeed, EdgingSession, GlueInUse, Move, PanelGlueUp, Stage, StageKind, wedges,
};
use minijinja::Value;
use serde::Serialize;

/// Glue-up.
pub const CHAPTER: Chapter = Chapter {
    number: 9,
    id: "glueup",
    title: "Glue-up",
    template: "glueup.html",
    facts,
};

#[derive(Serialize)]
struct GlueUp {
    glue: GlueFacts,
    count: usize,
    panels: Vec<WidePanel>,
    sessions: Vec<SessionFacts>,
    stages: Vec<StageFacts>,
}

#[derive(Serialize)]
struct GlueFacts {
    name: String,
    open: String,
    clamped: String,
    cured: String,
    stated: bool,
    cured_stated: bool,
    /// Where its times were looked up, if not stated by the shop.
    source: Option<String>,
}

/// A panel that is glued up of staves.
#[derive(Serialize)]
struct WidePanel {
    number: u32,
    mark: u32,
    label: String,
    /// Boxes: copies, and how many there are of it in each.
    copies: Vec<(String, u32)>,
    staves: u32,
    wide: Value,
    thick: Value,
    long: Value,
    together: Value,
    time: String,
    clamps: Vec<ClampFacts>,
    /// Of the one that takes longest.
    bar: Option<Value>,
    over: bool,
}

#[derive(Serialize)]
struct SessionFacts {
    number: u32,
    layer: u32,
    early: bool,
    tape: bool,
    letters: Vec<String>,
    batches: Vec<BatchFacts>,
    bar: Value,
    over: bool,
}

#[derive(Serialize)]
struct BatchFacts {
    number: usize,
    panels: Vec<PanelFacts>,
    time: String,
    clamps: Vec<ClampFacts>,
}

#[derive(Serialize)]
struct PanelFacts {
    mark: PartMark,
    copies: Vec<String>,
    strips: Vec<PartMark>,
}

#[derive(Serialize)]
struct ClampFacts {
    count: u32,
    open: Value,
    taken: Vec<(u32, String, Value)>,
    missing: u32,
}

#[derive(Serialize)]
struct StageFacts {
    number: u32,
    /// How many there are of it in each copy.
    times: usize,
    dry: bool,
    /// Setting up in place: what its card says; the rest then says nothing.
    standing: Option<standing::StandingFacts>,
    /// `case`, `drawer`, `leaf`, `shelf`, `fitted`.
    kind: &'static str,
    piece: Option<String>,
    assembly: String,
    letters: Vec<String>,
    /// What goes together, in words, and what it goes to.
    what: String,
    into: String,
    sketch: Value,
    lay_out: Vec<PartCount>,
    /// Parts whose inner faces must be sanded before.
    sand: Vec<PartMark>,
    spread: Vec<SpreadFacts>,
    steps: Vec<StepFacts>,
    clamps: Vec<ClampFacts>,
    fasteners: Vec<(usize, String)>,
    /// Nails or screws among them.
    driven: bool,
    /// What stands half in either part: its name and where it goes.
    pegs: Vec<(&'static str, &'static str)>,
    buttons: Option<ButtonFacts>,
    wedges: Vec<WedgeFacts>,
    bar: Option<Value>,
    over: bool,
    over_by: String,
    square: Option<SquareFacts>,
    all_at_once: bool,
    unit: &'static str,
}

#[derive(Serialize)]
struct PartCount {
    mark: PartMark,
    hands: Vec<&'static str>,
    count: usize,
}

#[derive(Serialize)]
struct SpreadFacts {
    part: PartMark,
    /// `two dadoes`, by kind.
    joints: Vec<(usize, &'static str)>,
    /// What lies on its faces, where glue goes on a face.
    meets: Vec<PartMark>,
}

/// Wooden buttons that hold a top.
#[derive(Serialize)]
struct ButtonFacts {
    count: usize,
    /// Parts that run with the grain of the top, which moves toward and away from them; the others.
    with_grain: Vec<PartMark>,
    across: Vec<PartMark>,
}

#[derive(Serialize)]
struct WedgeFacts {
    count: u32,
    wide: Value,
    long: Value,
    thick: Value,
    flare: Value,
    into: Vec<PartMark>,
}

#[derive(Serialize)]
struct StepFacts {
    parts: Vec<PartMark>,
    to: Vec<PartMark>,
    way: Option<&'static str>,
    dry: bool,
}

#[derive(Serialize)]
struct SquareFacts {
    drawing: Value,
    long: Value,
    within: Value,
    wide: Value,
    high: Value,
}

/// Prepares the chapter.
pub fn facts(facts: &Facts) -> Option<Value> {
    let plan = &facts.plans.glue_up;
    if plan.cards() == 0 {
        return None;
    }
    let glue = &plan.glue;
    let mut stages: Vec<StageFacts> = Vec::new();
    for s in &plan.stages {
        match stages.iter_mut().find(|card| card.number == s.number) {
            Some(card) => card.times += 1,
            None => stages.extend(stage(facts, s, glue)),
        }
    }
    Some(html::value(&GlueUp {
        glue: GlueFacts {
            name: glue.name.clone(),
            open: time(glue.open),
            clamped: time(glue.clamped),
            cured: time(glue.cured),
            stated: glue.stated,
            cured_stated: glue.cured_stated,
            source: glue.source.clone(),
        },
        count: plan.cards(),
        panels: panels(facts, glue),
        sessions: plan
            .edging
            .iter()
            .map(|s| session(facts, s, glue))
            .collect(),
        stages,
    }))
}

/// `45 min`, `1 h 30`, `24 h`.
fn time(seconds: u32) -> String {
    let whole = seconds.div_ceil(60);
    match (whole / 60, whole % 60) {
        (0, _) | (1, 0) => minutes(seconds),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m:02}"),
    }
}

fn panels(facts: &Facts, glue: &GlueInUse) -> Vec<WidePanel> {
    let all = &facts.plans.glue_up.panels;
    let longest = all.iter().map(|p| p.seconds).max();
    let longest = all.iter().position(|p| Some(p.seconds) == longest);
    let rows = all.iter().enumerate();
    rows.map(|(i, p)| panel(facts, p, glue, longest == Some(i)))
        .collect()
}

fn panel(facts: &Facts, panel: &PanelGlueUp, glue: &GlueInUse, longest: bool) -> WidePanel {
    let units = facts.units();
    let first = &panel.parts[0];
    let mut copies: Vec<(String, u32)> = Vec::new();
    for part in &panel.parts {
        match copies.iter_mut().find(|(letter, _)| *letter == part.letter) {
            Some((_, n)) => *n += 1,
            None => copies.push((part.letter.clone(), 1)),
        }
    }
    let assemble = panel.joints() * facts.model.shop.joint_pace;
    let spread = panel.seconds.saturating_sub(assemble);
    WidePanel {
        number: panel.number,
        mark: first.mark,
        label: first.label.clone(),
        copies,
        staves: panel.staves.count,
        wide: html::figure_rough(units, panel.staves.wide),
        thick: html::figure(units, panel.staves.thick),
        long: html::figure_rough(units, panel.long),
        together: html::figure_rough(units, panel.staves.wide * i64::from(panel.staves.count)),
        time: minutes(panel.seconds),
        clamps: panel.clamps.iter().map(|c| clamp(units, c)).collect(),
        bar: longest.then(|| html::svg(&glue_sketch::time_bar(spread, assemble, glue.open))),
        over: panel.seconds > glue.open,
    }
}

fn session(facts: &Facts, session: &EdgingSession, glue: &GlueInUse) -> SessionFacts {
    let units = facts.units();
    let longest = session
        .batches
        .iter()
        .max_by_key(|b| b.seconds)
        .map_or((0, 0), |b| {
            let strips: usize = b.units.iter().map(|u| u.strips.len()).sum();
            let assemble = strips as u32 * facts.model.shop.joint_pace;
            (b.seconds.saturating_sub(assemble), assemble)
        });
    let batches: Vec<BatchFacts> = session
        .batches
        .iter()
        .enumerate()
        .map(|(i, batch)| {
            let mut panels: Vec<PanelFacts> = Vec::new();
            for unit in &batch.units {
                let at = unit.panel.part;
                let mark = PartMark {
                    mark: unit.panel.mark,
                    hand: unit.panel.hand,
                    label: unit.panel.label.clone(),
                };
                let letter = unit.panel.letter.clone();
                match panels.iter_mut().find(|p| p.mark == mark) {
                    Some(panel) => panel.copies.push(letter),
                    None => panels.push(PanelFacts {
                        mark,
                        copies: vec![letter],
                        strips: unit
                            .strips
                            .iter()
                            .filter_map(|s| part_mark(facts, at.piece as usize, *s))
                            .collect(),
                    }),
                }
            }
            BatchFacts {
                number: i + 1,
                panels,
                time: minutes(batch.seconds),
                clamps: batch.clamps.iter().map(|c| clamp(units, c)).collect(),
            }
        })
        .collect();
    let mut letters: Vec<String> = Vec::new();
    for unit in session.batches.iter().flat_map(|b| &b.units) {
        if !letters.contains(&unit.panel.letter) {
            letters.push(unit.panel.letter.clone());
        }
    }
    SessionFacts {
        number: session.number,
        layer: session.layer,
        early: session.early,
        tape: session.tape,
        letters,
        batches,
        bar: html::svg(&glue_sketch::time_bar(longest.0, longest.1, glue.open)),
        over: !session.tape && longest.0 + longest.1 > glue.open,
    }
}

fn clamp(units: Units, need: &ClampNeed) -> ClampFacts {
    ClampFacts {
        count: need.count,
        open: html::figure(units, rounded_up(units, need.open)),
        taken: need
            .taken
            .iter()
            .map(|(name, long, n)| (*n, name.clone(), html::figure(units, *long)))
            .collect(),
        missing: need.missing,
    }
}

/// To whole millimetres, or to the breakdown step in inches: nobody sets a clamp finer.
fn rounded_up(units: Units, length: Length) -> Length {
    let step = match units {
        Units::Mm => Length::mm(1),
        Units::Inch(_) => units.rough_step(),
    };
    let n = length
        .ratio(step)
        .ceil()
        .and_then(|n| i64::try_from(n).ok());
    n.map_or(length, |n| step * n)
}

fn stage(facts: &Facts, stage: &Stage, glue: &GlueInUse) -> Option<StageFacts> {
    let index = stage.piece as usize;
    let piece = facts.model.pieces.get(index)?;
    let units = piece.units;
    if stage.kind == StageKind::Standing {
        return Some(StageFacts {
            standing: Some(standing::facts(facts, piece, stage)),
            ..named(facts, piece, stage)
        });
    }
    let mark = |id: PartId| part_mark(facts, index, id);
    let marks = |ids: &[PartId]| -> Vec<PartMark> {
        let mut out: Vec<PartMark> = Vec::new();
        for m in ids.iter().filter_map(|id| mark(*id)) {
            if !out.contains(&m) {
                out.push(m);
            }
        }
        out
    };
    let short = |id: PartId| mark(id).map(|m| (m.mark, m.hand));
    // What is new, if something was there before; else what enters the rest.
    let whole = stage.fresh.len() == stage.body.len();
    let enters: Vec<PartId> = if whole {
        entering(piece, stage)
    } else {
        stage.fresh.clone()
    };
    let receives: Vec<PartId> = stage
        .body
        .iter()
        .copied()
        .filter(|p| !enters.contains(p) && touched(piece, stage, *p))
        .collect();
    let glued = stage.kind == StageKind::Glued;
    Some(StageFacts {
        dry: !glued,
        what: titled(facts, index, &enters, &[]),
        into: titled(facts, index, &receives, &enters),
        sketch: html::svg(&glue_sketch::exploded(piece, stage, &short)),
        lay_out: lay_out(facts, index, stage),
        sand: marks(&stage.sand_before),
        spread: spread(piece, stage, &mark),
        steps: stage
            .moves
            .iter()
            .filter(|m| !m.joints.is_empty())
            .map(|m| step(piece, m, &marks))
            .collect(),
        clamps: stage.clamps.iter().map(|c| clamp(units, c)).collect(),
        fasteners: fasteners(facts, piece, stage),
        driven: holds(facts, piece, stage, |k| {
            matches!(
                k,
                HardwareKind::Nail { .. } | HardwareKind::Screw { .. } | HardwareKind::Bolt { .. }
            )
        }),
        pegs: pegs(facts, piece, stage),
        buttons: buttons(piece, stage, &marks),
        wedges: wedges(piece, all_joints(piece, stage))
            .into_iter()
            .map(|w| WedgeFacts {
                count: w.count,
                wide: html::figure(units, w.wide),
                long: html::figure(units, w.long.round_to(units.step())),
                thick: html::figure(units, w.thick.round_to(units.step())),
                flare: html::figure(units, w.flare.round_to(units.step())),
                into: marks(&w.into),
            })
            .collect(),
        bar: glued.then(|| {
            html::svg(&glue_sketch::time_bar(
                stage.spread,
                stage.assemble,
                glue.open,
            ))
        }),
        over: glued && stage.seconds() > glue.open,
        over_by: minutes(stage.seconds().saturating_sub(glue.open)),
        square: stage.diagonal.as_ref().map(|d| SquareFacts {
            drawing: html::svg(&glue_sketch::diagonals(piece, stage, d, units, &short)),
            long: html::figure(units, d.long.round_to(units.step())),
            within: html::figure(units, d.within.round_to(units.step())),
            wide: html::figure(units, d.wide),
            high: html::figure(units, d.high),
        }),
        all_at_once: stage.all_at_once,
        ..named(facts, piece, stage)
    })
}

/// The card of a stage with its names and nothing else.
fn named(facts: &Facts, piece: &Piece, stage: &Stage) -> StageFacts {
    let assembly = piece.assembly(stage.assembly);
    StageFacts {
        number: stage.number,
        times: 1,
        dry: false,
        standing: None,
        kind: match assembly.kind {
            AssemblyKind::Case => "case",
            AssemblyKind::Drawer => "drawer",
            AssemblyKind::Leaf => "leaf",
            AssemblyKind::Shelf => "shelf",
            AssemblyKind::Fitted => "fitted",
        },
        piece: facts.many().then(|| piece_name(facts, piece)),
        assembly: thing_name(piece, assembly.id),
        letters: piece.letters.clone(),
        what: String::new(),
        into: String::new(),
        sketch: Value::UNDEFINED,
        lay_out: Vec::new(),
        sand: Vec::new(),
        spread: Vec::new(),
        steps: Vec::new(),
        clamps: Vec::new(),
        fasteners: Vec::new(),
        driven: false,
        pegs: Vec::new(),
        buttons: None,
        wedges: Vec::new(),
        bar: None,
        over: false,
        over_by: String::new(),
        square: None,
        all_at_once: false,
        unit: piece.units.name(),
    }
}

fn joints<'a>(piece: &'a Piece, ids: &'a [JointId]) -> impl Iterator<Item = &'a Joint> {
    ids.iter().map(|id| piece.joint(*id))
}

fn all_joints<'a>(piece: &'a Piece, stage: &'a Stage) -> impl Iterator<Item = &'a Joint> {
    stage.moves.iter().flat_map(|m| joints(piece, &m.joints))
}

/// Parts that enter others in this stage and receive none.
fn entering(piece: &Piece, stage: &Stage) -> Vec<PartId> {
    let mut out: Vec<PartId> = Vec::new();
    for joint in all_joints(piece, stage) {
        let receives = all_joints(piece, stage).any(|j| j.b == joint.a);
        if !receives && !out.contains(&joint.a) {
            out.push(joint.a);
        }
    }
    out
}

fn touched(piece: &Piece, stage: &Stage, part: PartId) -> bool {
    all_joints(piece, stage).any(|j| j.a == part || j.b == part)
}

/// Like parts counted, in the order in which they are used.
fn lay_out(facts: &Facts, index: usize, stage: &Stage) -> Vec<PartCount> {
    let mut out: Vec<PartCount> = Vec::new();
    for m in stage
        .fresh
        .iter()
        .filter_map(|id| part_mark(facts, index, *id))
    {
        let hand = m.hand.map(|h| match h {
            crate::model::Hand::Left => "left",
            crate::model::Hand::Right => "right",
        });
        match out.iter_mut().find(|row| row.mark.mark == m.mark) {
            Some(row) => {
                row.count += 1;
                row.hands.extend(hand);
                row.hands.sort_unstable();
                row.hands.dedup();
            }
            None => out.push(PartCount {
                mark: m,
                hands: hand.into_iter().collect(),
                count: 1,
            }),
        }
    }
    out
}

/// Where glue goes: the parts that receive, and their housings by kind.
fn spread(
    piece: &Piece,
    stage: &Stage,
    mark: &dyn Fn(PartId) -> Option<PartMark>,
) -> Vec<SpreadFacts> {
    let mut out: Vec<SpreadFacts> = Vec::new();
    for joint in all_joints(piece, stage).filter(|j| j.glued) {
        let Some(part) = mark(joint.b) else { continue };
        let kind = kind_id(joint.kind);
        let at = out.iter().position(|s| s.part == part);
        let row = match at.and_then(|i| out.get_mut(i)) {
            Some(row) => row,
            None => {
                out.push(SpreadFacts {
                    part,
                    joints: Vec::new(),
                    meets: Vec::new(),
                });
                let last = out.len() - 1;
                &mut out[last]
            }
        };
        match row.joints.iter_mut().find(|(_, k)| *k == kind) {
            Some((n, _)) => *n += 1,
            None => row.joints.push((1, kind)),
        }
        let lies = mark(joint.a).filter(|lies| kind == "butt" && !row.meets.contains(lies));
        row.meets.extend(lies);
    }
    out
}

/// The kind, for the template to name.
fn kind_id(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Butt
        | JointKind::Screws
        | JointKind::PocketScrews
        | JointKind::Buttons
        | JointKind::Nails
        | JointKind::Bolts => "butt",
        JointKind::Mortise => "mortise",
        JointKind::Bridle => "bridle",
        JointKind::Breadboard => "breadboard",
        JointKind::Lap => "lap",
        JointKind::Finger => "fingers",
        JointKind::DovetailSliding => "dovetail",
        JointKind::Dowels => "dowel",
        JointKind::LooseTenons => "loose",
        JointKind::Dado | JointKind::DadoRabbet => "dado",
        JointKind::Groove | JointKind::Tongue => "groove",
        JointKind::Rabbet => "rabbet",
        JointKind::Mitre => "mitre",
        JointKind::Spline => "spline",
        JointKind::Key => "key",
        JointKind::DovetailThrough | JointKind::DovetailHalfBlind | JointKind::DovetailDropped => {
            "socket"
        }
        JointKind::Biscuits => "biscuit",
        JointKind::Edging => "edge",
    }
}

fn step(piece: &Piece, m: &Move, marks: &dyn Fn(&[PartId]) -> Vec<PartMark>) -> StepFacts {
    let mut to: Vec<PartId> = Vec::new();
    for joint in joints(piece, &m.joints) {
        let other = if m.parts.contains(&joint.a) {
            joint.b
        } else {
            joint.a
        };
        if m.way.is_some() && !to.contains(&other) {
            to.push(other);
        }
    }
    StepFacts {
        parts: marks(&m.parts),
        to: marks(&to),
        way: m.way.map(|way| match way {
            Edge::Left => "to the left",
            Edge::Right => "to the right",
            Edge::Front => "forward",
            Edge::Rear => "backward",
            Edge::Bottom => "down",
            Edge::Top => "up",
        }),
        dry: joints(piece, &m.joints).all(|j| !j.glued),
    }
}

/// Whether a fastener of some kind is used in the stage.
fn holds(
    facts: &Facts,
    piece: &Piece,
    stage: &Stage,
    kind: impl Fn(&HardwareKind) -> bool,
) -> bool {
    all_joints(piece, stage)
        .filter_map(|j| j.fastening.as_ref())
        .filter_map(|f| facts.model.hardware.get(f.hardware.0 as usize))
        .any(|h| kind(&h.kind))
}

/// What stands half in either of two parts that are glued.
fn pegs(facts: &Facts, piece: &Piece, stage: &Stage) -> Vec<(&'static str, &'static str)> {
    type Sort = (&'static str, &'static str, fn(&HardwareKind) -> bool);
    let sorts: [Sort; 3] = [
        ("biscuits", "slots", |k| {
            matches!(k, HardwareKind::Biscuit { .. })
        }),
        ("dowels", "holes", |k| {
            matches!(k, HardwareKind::Dowel { .. })
        }),
        ("loose tenons", "mortises", |k| {
            matches!(k, HardwareKind::LooseTenon { .. })
        }),
    ];
    let used = |sort: &Sort| holds(facts, piece, stage, sort.2);
    let used = sorts.into_iter().filter(used);
    used.map(|(name, place, _)| (name, place)).collect()
}

/// The buttons of the stage.
fn buttons(
    piece: &Piece,
    stage: &Stage,
    marks: &dyn Fn(&[PartId]) -> Vec<PartMark>,
) -> Option<ButtonFacts> {
    let all: Vec<&Joint> = all_joints(piece, stage)
        .filter(|j| j.kind == JointKind::Buttons)
        .collect();
    let runs_with = |j: &&&Joint| {
        let grain = piece.part(j.a).lay.axis(LocalAxis::Length);
        let mut across = Axis::ALL.into_iter().filter(|axis| *axis != grain);
        across.all(|axis| j.contact.extent(axis) < j.contact.extent(grain))
    };
    let (with_grain, across): (Vec<&&Joint>, Vec<&&Joint>) = all.iter().partition(runs_with);
    let parts = |joints: Vec<&&Joint>| marks(&joints.iter().map(|j| j.b).collect::<Vec<_>>());
    let places = all.iter().filter_map(|j| j.fastening.as_ref());
    let count = places.map(|f| f.places.len()).sum();
    (count > 0).then(|| ButtonFacts {
        count,
        with_grain: parts(with_grain),
        across: parts(across),
    })
}

/// As many groups of parts as a title can name.
const NAMED: usize = 3;

/// Parts in the words of a title, each name once, without those that are `said`.
fn titled(facts: &Facts, index: usize, parts: &[PartId], said: &[PartId]) -> String {
    let label = |id: PartId| part_mark(facts, index, id).map(|m| m.label);
    let said: Vec<String> = said.iter().filter_map(|id| label(*id)).collect();
    let mut names: Vec<(String, usize)> = Vec::new();
    let mut hands: Vec<Option<Hand>> = Vec::new();
    for mark in parts.iter().filter_map(|id| part_mark(facts, index, *id)) {
        if said.contains(&mark.label) {
            continue;
        }
        if !hands.contains(&mark.hand) {
            hands.push(mark.hand);
        }
        match names.iter_mut().find(|(name, _)| *name == mark.label) {
            Some((_, n)) => *n += 1,
            None => names.push((mark.label, 1)),
        }
    }
    // Only what is said already: then it is told once more, rather than nothing.
    if names.is_empty() && !parts.is_empty() && !said.is_empty() {
        return titled(facts, index, parts, &[]);
    }
    let more: usize = names.iter().skip(NAMED).map(|(_, n)| n).sum();
    let pair = names.len() == 1 && hands.len() == 2 && !hands.contains(&None);
    let mut words: Vec<String> = names
        .into_iter()
        .take(NAMED)
        .map(|(name, _)| one_name(&name))
        .collect();
    if pair && let Some(word) = words.first_mut() {
        *word = format!("left and right {word}");
    }
    if more > 0 {
        let noun = if more == 1 { "part" } else { "parts" };
        words.push(format!("{more} more {noun}"));
    }
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

/// A label as one member of a list: `Tray, bearer and kicker` is `tray bearer/kicker`.
fn one_name(label: &str) -> String {
    let small = html::small(label);
    match small.split_once(", ") {
        Some((head, tail)) => format!("{head} {}", tail.replace(", ", "/").replace(" and ", "/")),
        None => small,
    }
}

/// Fasteners of the stage, counted by what they are.
fn fasteners(facts: &Facts, piece: &Piece, stage: &Stage) -> Vec<(usize, String)> {
    let mut out: Vec<(usize, String)> = Vec::new();
    for fastening in all_joints(piece, stage).filter_map(|j| j.fastening.as_ref()) {
        let Some(hardware) = facts.model.hardware.get(fastening.hardware.0 as usize) else {
            continue;
        };
        let shown = matches!(
            hardware.kind,
            HardwareKind::Nail { .. }
                | HardwareKind::Screw { .. }
                | HardwareKind::Bolt { .. }
                | HardwareKind::Biscuit { .. }
                | HardwareKind::Dowel { .. }
                | HardwareKind::LooseTenon { .. }
                | HardwareKind::Button { .. }
        );
        if !shown {
            continue;
        }
        let n = fastening.places.len();
        match out.iter_mut().find(|(_, title)| *title == hardware.title) {
            Some((sum, _)) => *sum += n,
            None => out.push((n, hardware.title.clone())),
        }
    }
    out
}

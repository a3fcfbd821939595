//! A piece with what rules often ask of it: names, joints by part, neighbours, pairs of cuts.
//!
//! It holds nothing that the model does not; it only saves looking twice.

use super::cut::pairs::{self, Pair};
use super::words;
use crate::measure::{Length, Units};
use crate::model::tree::Tree;
use crate::model::{
    AssemblyKind, Box3, CaseBox, Cut, Edge, Hardware, HardwareId, Joint, JointId, JointKind,
    LocalAxis, MaterialSort, Model, Part, PartId, PartRef, Piece, Stock, StockKind,
};
use crate::sight::Sight;
use crate::solid::{Exact, Overflow, Wood};
use std::cell::OnceCell;

/// One piece of a model, looked at by rules.
pub struct View<'m> {
    /// All of it.
    pub model: &'m Model,
    /// The piece.
    pub piece: &'m Piece,
    joints_of: Vec<Vec<JointId>>,
    woods: Vec<Exact<Wood>>,
    tree: Tree,
    pairs: OnceCell<Vec<Pair<'m>>>,
}

impl<'m> View<'m> {
    /// Looks at a piece.
    pub fn new(model: &'m Model, piece: &'m Piece) -> View<'m> {
        let mut joints_of = vec![Vec::new(); piece.parts.len()];
        for joint in &piece.joints {
            for part in [joint.a, joint.b] {
                if let Some(list) = joints_of.get_mut(part.0 as usize) {
                    list.push(joint.id);
                }
            }
        }
        View {
            model,
            piece,
            joints_of,
            woods: piece.parts.iter().map(Wood::of).collect(),
            tree: Tree::new(piece.parts.iter().map(|part| part.core).collect()),
            pairs: OnceCell::new(),
        }
    }

    /// The units in which the piece prints.
    pub fn units(&self) -> Units {
        self.piece.units
    }

    /// A figure without its unit.
    pub fn plain(&self, length: Length) -> String {
        words::plain(self.units(), length)
    }

    /// A figure with its unit.
    pub fn text(&self, length: Length) -> String {
        self.units().text(length)
    }

    /// A figure that is not meant exactly: `about 4 mm`, `~3/64 in`.
    pub fn about(&self, length: Length) -> String {
        let text = self.text(length);
        if text.starts_with('~') {
            text
        } else {
            format!("about {text}")
        }
    }

    /// A part.
    pub fn part(&self, id: PartId) -> &'m Part {
        self.piece.part(id)
    }

    /// What a maker calls the thing with this path: without the case's name where there is one case.
    pub fn name(&self, path: &str) -> String {
        let only = match self.piece.cases.as_slice() {
            [case] => path
                .strip_prefix(case.name.as_str())
                .and_then(|rest| rest.strip_prefix('.')),
            _ => None,
        };
        only.unwrap_or(path).to_string()
    }

    /// The line that covers an edge of a part, and the block in which it stands.
    pub fn band_line(&self, part: &Part, edge: Edge) -> String {
        let own = self.piece.assembly(part.assembly);
        let edge = edge.word();
        let last = |path: &str| path.rsplit('.').next().unwrap_or(path).to_owned();
        let whole = |name: &str| name.split('[').next().unwrap_or(name).to_owned();
        // The line stands once for all of an array, and the block is that of the line that makes it.
        let part_name = whole(&last(&part.path));
        let block = self.name(&own.path);
        match own.kind {
            AssemblyKind::Case if block == own.path && self.piece.cases.len() > 1 => {
                format!(
                    "`band {part_name} on {edge} …` in the block of `{}`",
                    own.path
                )
            }
            AssemblyKind::Case => format!("`band {part_name} on {edge} …`"),
            AssemblyKind::Drawer => {
                format!(
                    "`band {part_name} on {edge} …` in the block of `{}`",
                    whole(&last(&block))
                )
            }
            AssemblyKind::Shelf | AssemblyKind::Leaf | AssemblyKind::Fitted => {
                // A pair of doors, loose shelves, the face of a drawer: the line is that of all of them.
                let names: Vec<&str> = block.split('.').collect();
                let of_line = match names.as_slice() {
                    [.., line, "left" | "right" | "face"] => line,
                    [.., line, count] if count.bytes().all(|b| b.is_ascii_digit()) => line,
                    [.., line] => line,
                    [] => "",
                };
                let owner = match names.last() {
                    Some(&"face") => format!("the `face` of `{}`", whole(of_line)),
                    _ => format!("`{}`", whole(of_line)),
                };
                format!("`band on {edge} …` in the block of {owner}")
            }
        }
    }

    /// A part's name on the lines of its own block, and where these stand if there are several cases:
    /// `left` and ` in the block of `base``.
    pub fn own_name(&self, part: &Part) -> (String, String) {
        let block = &self.piece.assembly(part.assembly).path;
        let own = part.path.strip_prefix(block.as_str());
        let own = own.and_then(|rest| rest.strip_prefix('.'));
        let of = match self.name(block) == *block && self.piece.cases.len() > 1 {
            true => format!(" in the block of `{block}`"),
            false => String::new(),
        };
        (own.unwrap_or(&part.path).to_owned(), of)
    }

    /// A part by the maker's name for it, in back ticks.
    pub fn tick(&self, id: PartId) -> String {
        format!("`{}`", self.name(&self.part(id).path))
    }

    /// A part in print: of several cases with the name of its own.
    pub fn label(&self, part: &Part) -> String {
        let several = self.piece.cases.len() > 1;
        let case = self.piece.inner_case(part.assembly).filter(|_| several);
        match case {
            Some(case) => {
                let case = &self.piece.assembly(case.assembly).label;
                let mut own = part.label.chars();
                let first = own.next().into_iter().flat_map(char::to_lowercase);
                format!("{case}, {}{}", first.collect::<String>(), own.as_str())
            }
            None => part.label.clone(),
        }
    }

    /// Length and width to which a part is broken down.
    pub fn rough_size(&self, part: &Part) -> (Length, Length) {
        let mut pieces = self.model.pieces.iter();
        let piece = pieces.position(|piece| std::ptr::eq(piece, self.piece));
        let piece = piece.and_then(|i| u32::try_from(i).ok());
        self.model.rough_size(PartRef {
            piece: piece.expect("a view looks at a piece of its model"),
            part: part.id,
        })
    }

    /// A joint.
    pub fn joint(&self, id: JointId) -> &'m Joint {
        self.piece
            .joints
            .get(id.0 as usize)
            .expect("a joint id comes from its own piece")
    }

    /// The joints of a part.
    pub fn joints_of(&self, id: PartId) -> impl Iterator<Item = &'m Joint> {
        self.joints_of
            .get(id.0 as usize)
            .into_iter()
            .flatten()
            .map(|joint| self.joint(*joint))
    }

    /// Whether a joint holds two parts together.
    pub fn joined(&self, a: PartId, b: PartId) -> bool {
        self.joints_of(a).any(|joint| joint.a == b || joint.b == b)
    }

    /// What goes into a cut, or the other part of the joint that asked for it.
    pub fn visitor(&self, part: PartId, cut: &Cut) -> Option<PartId> {
        cut.filler.or_else(|| {
            let joint = self.joint(cut.joint?);
            Some(if joint.a == part { joint.b } else { joint.a })
        })
    }

    /// The kind of joint that asked for a cut.
    pub fn joint_kind(&self, cut: &Cut) -> Option<JointKind> {
        cut.joint.map(|joint| self.joint(joint).kind)
    }

    /// The side of the piece toward which A goes to meet B.
    pub fn toward(&self, joint: &Joint) -> Edge {
        // At a dovetailed corner either part may have run through, so the contact does not tell:
        // tails always enter by the thickness of the part with the sockets.
        if matches!(
            joint.kind,
            JointKind::DovetailThrough | JointKind::DovetailHalfBlind
        ) {
            let axis = self.part(joint.b).lay.axis(LocalAxis::Thickness);
            let (a, b) = (self.part(joint.a).core, self.part(joint.b).core);
            return if a.middle(axis) < b.middle(axis) {
                axis.high()
            } else {
                axis.low()
            };
        }
        let axis = crate::model::Axis::ALL
            .into_iter()
            .find(|axis| joint.contact.extent(*axis).is_zero())
            .unwrap_or(crate::model::Axis::X);
        let plane = joint.contact.lo[axis.index()];
        let (a, b) = (
            self.part(joint.a).core.middle(axis),
            self.part(joint.b).core.middle(axis),
        );
        let high = if b == plane { a < plane } else { b > plane };
        if high { axis.high() } else { axis.low() }
    }

    /// The wood of a part.
    pub fn wood(&self, id: PartId) -> Exact<&Wood> {
        match self.woods.get(id.0 as usize) {
            Some(wood) => wood.as_ref().map_err(|overflow| *overflow),
            None => Err(Overflow),
        }
    }

    /// What a person sees of it.
    pub fn sight(&self) -> Sight<'_> {
        Sight::of(self.piece, &self.woods, &self.tree)
    }

    /// The parts whose sawn boxes touch a box, in order.
    pub fn near(&self, b: &Box3) -> impl Iterator<Item = &'m Part> {
        let parts = &self.piece.parts;
        self.tree
            .touching(b)
            .into_iter()
            .filter_map(move |i| parts.get(i))
    }

    /// Pairs of cuts of one part that lie near each other.
    pub fn pairs(&self) -> &[Pair<'m>] {
        self.pairs.get_or_init(|| pairs::find(self))
    }

    /// What kind of thing a part belongs to.
    pub fn kind(&self, part: &Part) -> AssemblyKind {
        self.piece.assembly(part.assembly).kind
    }

    /// The case that a part belongs to or stands in.
    pub fn case_of(&self, part: &Part) -> Option<&'m CaseBox> {
        let cases = &self.piece.cases;
        let own = cases.iter().find(|case| case.assembly == part.assembly);
        own.or_else(|| {
            // Of cases within cases the innermost.
            let holds = |case: &&CaseBox| {
                part.path
                    .strip_prefix(case.name.as_str())
                    .is_some_and(|rest| rest.starts_with('.'))
            };
            cases
                .iter()
                .filter(holds)
                .max_by_key(|case| case.name.len())
        })
        .or_else(|| cases.first())
    }

    /// The stock of a part.
    pub fn stock(&self, part: &Part) -> Option<&'m Stock> {
        self.model.stocks.get(part.stock.0 as usize)
    }

    /// Whether a part is of sheet.
    pub fn is_sheet(&self, part: &Part) -> bool {
        matches!(
            self.stock(part).map(|stock| &stock.kind),
            Some(StockKind::Sheet { .. })
        )
    }

    /// Whether a part is of sheet whose edges are of another kind than its faces. An edge-glued panel,
    /// whose core is a species, is solid wood in the form of a sheet.
    pub fn has_core(&self, part: &Part) -> bool {
        let stock = self.stock(part);
        let material = stock.and_then(|stock| stock.material);
        let material = material.and_then(|id| self.model.materials.get(id.0 as usize));
        let solid = material.is_some_and(|m| m.sort == MaterialSort::Species);
        self.is_sheet(part) && !solid
    }

    /// Whether a part is of solid wood.
    pub fn is_board(&self, part: &Part) -> bool {
        matches!(
            self.stock(part).map(|stock| &stock.kind),
            Some(StockKind::Board { .. })
        )
    }

    /// A piece of hardware.
    pub fn hardware(&self, id: HardwareId) -> Option<&'m Hardware> {
        self.model.hardware.get(id.0 as usize)
    }
}

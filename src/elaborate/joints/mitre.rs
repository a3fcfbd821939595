//! Both ends at 45 degrees.

use super::Options;
use super::slips::Corner;
use crate::diag::{Diagnostic, code};
use crate::elaborate::build::{Builder, CutWork, JointWork, Panel, Work};
use crate::elaborate::stmt::Scoped;
use crate::elaborate::{Poison, Res};
use crate::measure::Length;
use crate::model::{Box3, CutKind, Edge, JointId};
use crate::schema::Clause;

impl Builder<'_> {
    /// Members of a frame lie in one plane: they are mitred at its corners alone, where both end, and hold
    /// by keys across the corner.
    pub(super) fn check_flat_mitre(
        &mut self,
        a: usize,
        b: usize,
        with: &Scoped<Clause>,
    ) -> Res<()> {
        let (p, q) = (&self.panels[a], &self.panels[b]);
        if p.axis != q.axis {
            return Ok(());
        }
        let corner = self.corner(a, b);
        let report = |label: &str| {
            Diagnostic::new(
                &code::JOIN_MITRE_FLAT,
                format!(
                    "no mitre of `{}` and `{}`, which lie in one plane",
                    p.name, q.name
                ),
                with.of.span,
                label,
            )
        };
        let report = if p.finished.face(corner) != q.finished.face(corner) {
            let at = |panel: &Panel| self.units.text(panel.finished.face(corner));
            report("they meet at no corner")
                .note(format!(
                    "the {edge} of `{}` is at {}, the {edge} of `{}` at {}",
                    p.name,
                    at(p),
                    q.name,
                    at(q),
                    edge = corner.word(),
                ))
                .help("`mortise`, `bridle`, `lap` or `dowels`, or let both end at the corner")
        } else if let Some(splined) = with.of.tail("splined") {
            report("a spline would run through their thickness")
                .at(splined.span, "of boards that meet at an angle")
                .help("keys lie flat across the corner: `mitre keyed 1 of … deep …`")
        } else {
            return Ok(());
        };
        self.sink.push(report);
        Err(Poison)
    }

    /// Both ends at 45 degrees from the outer corner inward, as deep as the thinner part; beyond that
    /// the thicker one ends in a shoulder against the inner face of the thinner.
    pub(super) fn cut_mitre(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let corner = self.corner(j.a, j.b);
        let (fa, fb) = (self.panels[j.a].finished, self.panels[j.b].finished);
        let along = j.edge.axis().third(corner.axis());
        let inner = |f: &Box3, edge: Edge| f.face(edge.opposite());
        let point = |e: Length, c: Length| {
            let mut p = [Length::ZERO; 3];
            p[j.edge.axis().index()] = e;
            p[corner.axis().index()] = c;
            p
        };
        let (end, top) = (fb.face(j.edge), fa.face(corner));
        let thinner = fb.extent(j.edge.axis()).min(fa.extent(corner.axis()));
        let inward = |from: Length, edge: Edge| {
            if edge.is_high() {
                from - thinner
            } else {
                from + thinner
            }
        };
        let outer_point = point(end, top);
        // Where the mitre ends: with equal thicknesses in the inner corner.
        let (mitred_e, mitred_c) = (inward(end, j.edge), inward(top, corner));
        let mitre_end = point(mitred_e, mitred_c);
        // Each loses what lies on its inner side of the mitre, and of the shoulder beyond it.
        let mut of_a = vec![outer_point, mitre_end];
        if mitred_c != inner(&fa, corner) {
            of_a.push(point(mitred_e, inner(&fa, corner)));
        }
        of_a.push(point(end, inner(&fa, corner)));
        let mut of_b = vec![outer_point, mitre_end];
        if mitred_e != inner(&fb, j.edge) {
            of_b.push(point(inner(&fb, j.edge), mitred_c));
        }
        of_b.push(point(inner(&fb, j.edge), top));
        for (panel, outline, entry) in [(j.a, of_a, j.edge), (j.b, of_b, corner)] {
            let core = self.panels[panel].core;
            let thick = self.panels[panel].thick;
            let cut = CutWork {
                kind: CutKind::Mitre,
                solids: vec![Work::Prism {
                    axis: along,
                    outline,
                    lo: core.face(along.low()),
                    hi: core.face(along.high()),
                }],
                entry,
                along,
                width: thick,
                depth: thinner,
                fit: Length::ZERO,
                relief: Length::ZERO,
                joint: Some(id),
                filler: None,
                origin: j.origin.clone(),
            };
            self.panels[panel].cuts.push(cut);
        }
        let corner = Corner {
            axes: [j.edge.axis(), corner.axis()],
            outer: [end, top],
            up: [!j.edge.is_high(), !corner.is_high()],
            thick: thinner,
        };
        self.cut_slips(j, id, o, &corner);
    }
}

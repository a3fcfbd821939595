//! Both ends at 45 degrees.

use super::Options;
use super::slips::Corner;
use crate::elaborate::build::{Builder, CutWork, JointWork, Work};
use crate::measure::Length;
use crate::model::{Box3, CutKind, Edge, JointId};

impl Builder<'_> {
    /// Both ends at 45 degrees from the outer corner inward, as deep as the thinner part; beyond that
    /// the thicker one ends in a shoulder against the inner face of the thinner.
    pub(super) fn cut_mitre(&mut self, j: &JointWork, id: JointId, o: &Options) {
        let corner = self.corner(j.a, j.b);
        let (fa, fb) = (self.panels[j.a].finished, self.panels[j.b].finished);
        let along = j.edge.axis().third(self.panels[j.a].axis);
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

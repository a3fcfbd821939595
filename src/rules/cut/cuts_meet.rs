//! Two cuts of one part that open into each other: there is no wood between them.
//!
//! What goes into them may touch there (a floor and a back in one side), for then nothing is left to
//! break. But where both fillers claim the same wood, one of them can't go in.

use super::pairs::Pair;
use super::{names, place};
use crate::diag::{Diagnostic, code};
use crate::measure::Length;
use crate::model::{CutKind, JointKind, LocalAxis};
use crate::rules::join::tenon_grain::is_short;
use crate::rules::report::{Measured, Report, down, help_with};
use crate::rules::view::View;
use crate::rules::words;

struct Meet<'v, 'm> {
    view: &'v View<'m>,
    pair: &'v Pair<'m>,
    /// Where they do, along each axis of the part: nominal where the fillers clash, else as machined.
    at: [(Length, Length); 3],
}

/// Looks at every pair of cuts that lie near each other.
pub fn check(view: &View, report: &mut Report) {
    let mut count = 0;
    for pair in view.pairs() {
        let fault = pair.clash.is_some() || (pair.open() && !pair.exempt);
        let told = super::housings_meet::speaks(pair)
            || super::mortises_meet::speaks(pair)
            || [pair.first, pair.second]
                .into_iter()
                .any(|cut| is_short(view, pair.part, cut));
        if !fault || told {
            continue;
        }
        count += 1;
        if let [Some(a), Some(b)] = pair.visitors {
            report.tell(a, b);
        }
        let fact = Meet {
            view,
            pair,
            at: place_of(pair),
        };
        let subject = format!(
            "{}, {} and {}",
            view.label(pair.part),
            fact.first(),
            fact.second()
        );
        let measured = Measured::none_of(&code::CUT_CUTS_MEET, subject, 1)
            .by(fact.sums().join("; "))
            .from("placement rules 2.1")
            .lines([pair.first.origin.span, pair.second.origin.span]);
        report.fails(measured, fact.diagnostic());
    }
    if count == 0 {
        let subject = format!("{}, cuts that open into each other", view.piece.title);
        report
            .holds(Measured::none_of(&code::CUT_CUTS_MEET, subject, 0).from("placement rules 2.1"));
    }
}

fn place_of(pair: &Pair) -> [(Length, Length); 3] {
    match pair.clash {
        Some(clash) => {
            let local = pair.part.to_local(&clash);
            [0, 1, 2].map(|i| (local.lo[i], local.hi[i]))
        }
        None => {
            let [a, b] = &pair.boxes;
            [0, 1, 2].map(|i| (a.lo[i].max(b.lo[i]), a.hi[i].min(b.hi[i])))
        }
    }
}

/// A housing in a face and a groove in an edge at its end: the case that measured stock brings about.
struct Trap {
    /// The axis through the part, along which both are measured.
    axis: LocalAxis,
    /// From the far surface to the housing's floor.
    floor: Length,
    /// From the far surface to the groove's nearer wall.
    wall: Length,
    /// As asked for.
    deep: Length,
    /// As asked for.
    thick: Length,
    /// How far the two go into each other as machined, room for glue included.
    into: Length,
    /// Whether the housing is the first of the pair.
    housing_first: bool,
    /// Whether the groove is centred in the stock.
    centred: bool,
}

impl Meet<'_, '_> {
    fn names(&self) -> [String; 2] {
        names(self.view, self.pair.part, self.pair.first, self.pair.second)
    }

    fn first(&self) -> String {
        self.names()[0].clone()
    }

    fn second(&self) -> String {
        self.names()[1].clone()
    }

    fn trap(&self) -> Option<Trap> {
        let pair = self.pair;
        let edge = |cut: &crate::model::Cut| cut.kind == CutKind::EdgeGroove;
        if edge(pair.first) == edge(pair.second) {
            return None;
        }
        let housing_first = edge(pair.second);
        let (housing, groove) = if housing_first {
            (pair.first, pair.second)
        } else {
            (pair.second, pair.first)
        };
        let axis = housing.entry.axis();
        if axis == groove.entry.axis() || axis == groove.along {
            return None;
        }
        let stock = pair.part.size.along(axis);
        let deep = housing.depth - housing.relief;
        let thick = groove.width - groove.fit;
        let i = axis.index();
        let centred = super::is_centred(groove, axis, stock);
        let near_wall = if centred {
            (stock - thick).half()
        } else {
            let bounds = groove.bounds();
            let room = groove.fit.half();
            if housing.entry.is_far() {
                stock - bounds.hi[i] + room
            } else {
                bounds.lo[i] + room
            }
        };
        Some(Trap {
            axis,
            floor: stock - deep,
            wall: stock - near_wall,
            deep,
            thick,
            into: -pair.gaps[i],
            housing_first,
            centred,
        })
    }

    /// Both sides of the matter, each as a sum.
    fn sums(&self) -> Vec<String> {
        let (view, pair) = (self.view, self.pair);
        let Some(trap) = self.trap() else {
            if self.at.iter().any(|(low, high)| low >= high) {
                return vec!["they touch: no wood is left between them".to_string()];
            }
            let [along, across, through] = self.at.map(|(low, high)| view.text(high - low));
            return vec![format!(
                "they share {along} along, {across} across and {through} through {}",
                view.tick(pair.part.id)
            )];
        };
        let stock = view.plain(pair.part.size.along(trap.axis));
        let (housing, groove) = if trap.housing_first {
            (self.first(), self.second())
        } else {
            (self.second(), self.first())
        };
        let wall = if trap.centred {
            let thick = view.plain(trap.thick);
            format!(
                "({stock} - {thick}) / 2 + {thick} = {}",
                view.plain(trap.wall)
            )
        } else {
            view.plain(trap.wall)
        };
        let mut sums = vec![
            format!("{groove} reaches to {wall} from the other face"),
            format!(
                "{housing} has its floor at {stock} - {} = {}",
                view.plain(trap.deep),
                view.plain(trap.floor)
            ),
        ];
        let nominal = trap.wall - trap.floor;
        if nominal.is_positive() {
            sums.push(format!(
                "{} - {} = {} into each other",
                view.plain(trap.wall),
                view.plain(trap.floor),
                view.plain(nominal)
            ));
        } else {
            sums.push(format!(
                "with the room that is cut for glue and to slide in: {} into each other",
                view.plain(trap.into)
            ));
        }
        sums
    }

    /// Where a pull is in the way of a groove, the pull gives way: to the middle of what the groove leaves.
    fn pull_help(&self) -> Option<String> {
        let pair = self.pair;
        let (pull, groove) = match (pair.first.kind, pair.second.kind) {
            (CutKind::PullHole, _) => (pair.first, pair.second),
            (_, CutKind::PullHole) => (pair.second, pair.first),
            _ => return None,
        };
        let part = pair.part;
        let away = part.lay.looks(groove.entry.opposite());
        let left = part.size.along(groove.entry.axis()) - groove.depth;
        let hole = pull.bounds().extent(groove.entry.axis());
        let at =
            down(self.view, left.half()).filter(|_| left > hole + self.view.model.shop.web * 2)?;
        Some(format!(
            "move the pull off the groove: `at {at} from {}` on its line",
            away.word()
        ))
    }

    fn diagnostic(&self) -> Diagnostic {
        let (view, pair) = (self.view, self.pair);
        let (first, second) = (self.first(), self.second());
        let part = view.tick(pair.part.id);
        let mut diagnostic = Diagnostic::new(
            &code::CUT_CUTS_MEET,
            format!("in {part}, {first} and {second} break into each other"),
            place(pair.first),
            first,
        )
        .at(place(pair.second), second);
        let of = pair.part.origin.at("of");
        if let Some(trap) = self.trap() {
            let stock = pair.part.size.along(trap.axis);
            diagnostic = diagnostic.at(of, format!("{part} measures {}", view.text(stock)));
        }
        for sum in self.sums() {
            diagnostic = diagnostic.note(sum);
        }
        let Some(trap) = self.trap() else {
            return diagnostic.help("move one of the two, or make it shallower");
        };
        if let Some(help) = self.pull_help() {
            return diagnostic.help(help);
        }
        let housing = if trap.housing_first {
            pair.first
        } else {
            pair.second
        };
        let kind = view.joint_kind(housing).map_or("dado", words::joint);
        diagnostic = help_with(diagnostic, down(view, trap.deep - trap.into), |deep| {
            format!("`{kind} deep {deep}`")
        });
        let groove = if trap.housing_first {
            pair.second
        } else {
            pair.first
        };
        let tongue = matches!(
            view.joint_kind(groove),
            Some(JointKind::Edging | JointKind::Tongue)
        );
        if trap.centred && tongue {
            let thick = down(view, trap.thick - trap.into * 2);
            diagnostic = help_with(diagnostic, thick, |thick| format!("`tongue thick {thick}`"));
        }
        diagnostic
    }
}

#[cfg(test)]
mod tests {
    use crate::model::fixture::{dmm, id, solid};
    use crate::rules::testing;

    /// The worked case of placement rules 3: a 6 mm tongue centred in 17.6 mm stock reaches 11.8
    /// from the outer face, a dado 6 mm deep has its floor at 11.6.
    #[test]
    fn measured_stock_bites() {
        let mut model = testing::sound();
        for (side, strip) in [(id::LEFT, id::STRIP_LEFT), (id::RIGHT, id::STRIP_RIGHT)] {
            let parts = &mut model.pieces[0].parts;
            let part = &mut parts[side.0 as usize];
            let groove = part
                .cuts
                .iter_mut()
                .find(|c| c.width == dmm(41))
                .expect("the groove");
            groove.solids = vec![solid([0, 72000], [0, 550], [575, 1185])];
            groove.width = dmm(61);
            let tongue = &mut parts[strip.0 as usize].cuts[0];
            tongue.solids = vec![
                solid([0, 72000], [0, 580], [800, 1300]),
                solid([0, 72000], [1180, 1760], [800, 1300]),
            ];
        }
        let checked = testing::checked(model);
        assert_eq!(
            testing::codes(&checked),
            ["cut.cuts_meet"],
            "the overlap is told once, and by name"
        );
        let said = testing::only(&checked, "cut.cuts_meet");
        assert_eq!(
            said.title,
            "in `left`, the dado for `floor` and the groove for the edging at the front break into each other"
        );
        assert_eq!(
            said.notes[..3],
            [
                "the groove for the edging at the front reaches to (17.6 - 6) / 2 + 6 = 11.8 from the other face",
                "the dado for `floor` has its floor at 17.6 - 6 = 11.6",
                "11.8 - 11.6 = 0.2 into each other",
            ]
        );
        assert_eq!(said.help, ["`dado deep 5mm`", "`tongue thick 4mm`"]);
    }
}

//! The lines of the shopping list.

use super::wood::{self, WoodSum};
use super::{Money, cents, whole};
use crate::measure::{Length, Rational};
use crate::model::{
    HardwareId, HardwareKind, JointKind, LeafKind, Model, Per, Piece, Price, RunnerPlace, SoldSize,
    StockId, StockKind,
};
use crate::plan::finishing::{Finishing, LITRE, StepKind, tenths_of_litre};
use crate::plan::glue_up::GlueUp;
use crate::plan::layouts::{Asked, Layouts, Sheet, Taken};
use std::collections::BTreeMap;

/// Where a line stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the words of the trade say it")]
pub enum Section {
    Sheets,
    Boards,
    Edging,
    Hardware,
    Fasteners,
    Glue,
    Abrasives,
    Finish,
}

/// How much of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Amount {
    /// Pieces, pairs, sheets.
    Count(u32),
    /// Packs of so many pieces, for so many that are used.
    Packs {
        /// Packs to buy.
        packs: u32,
        /// Pieces in each.
        of: u32,
        /// Pieces used.
        used: u32,
    },
    /// A running length.
    Length(Length),
    /// Cubic millimetres of wood.
    Wood(Rational),
    /// Litres.
    Litres(Rational),
    /// Not known: for the maker to write in.
    Open,
}

/// One thing to buy.
#[derive(Clone, Debug)]
pub struct BuyLine {
    /// Where it stands.
    pub section: Section,
    /// What it is.
    pub what: String,
    /// Its stock, where it is one.
    pub stock: Option<StockId>,
    /// Its size, for a sheet or board: length, width, thickness.
    pub size: Option<(Length, Length, Length)>,
    /// How much.
    pub amount: Amount,
    /// Why so much; figures in words are left to the facts beside it.
    pub reason: Reason,
    /// The price of one, as stated.
    pub unit: Option<Price>,
    /// What it comes to, rounded to cents; `None` where no price is stated or it is for something
    /// that this amount can't be turned into.
    pub price: Option<Money>,
}

/// Why so much is bought.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// Sheets by number.
    Sheets(Vec<u32>),
    /// Boards: whole ones that are laid out, and as many more as the shop's waste asks for.
    Boards {
        /// Why so many.
        sum: WoodSum,
        /// Boards, if the stock promises a least size.
        asked: Vec<Asked>,
    },
    /// Boards of one listed size, by number, and spare ones.
    BoardsOfSize {
        /// Those that are laid out.
        numbers: Vec<u32>,
        /// Why spare ones of this size are bought for defects, over all sizes; `None` if none are.
        spare: Option<WoodSum>,
    },
    /// Parts that no sheet on sale holds, or whose sheet states no size that is sold: so many, with
    /// their rough area, square millimetres.
    NotLaid(u32, Rational),
    /// A running length, kerfs in.
    Running(Length),
    /// What for, in words of the maker and of the trade.
    For(Vec<String>),
    /// Glued area, square millimetres, and coverage; whether the coverage is the shop's.
    Glue {
        /// Square millimetres.
        area: Rational,
        /// Square millimetres that a cubic millimetre covers.
        covers: Rational,
        /// The shop states it.
        stated: bool,
    },
    /// Square metres sanded with this grit.
    Sanding {
        /// Square millimetres.
        area: Rational,
        /// Pieces of one grit.
        each: u32,
        /// How many grits.
        grits: u32,
        /// Square millimetres that one piece sands.
        lasts: Rational,
        /// The shop states it, or takes it by its name.
        stated: bool,
        /// Where it was looked up, as a declaration says.
        source: Option<String>,
    },
    /// Area, coats and coverage.
    Coats {
        /// Square millimetres.
        area: Rational,
        /// How many coats.
        coats: u32,
        /// Square millimetres that a cubic millimetre covers.
        covers: Rational,
        /// Added for what stays in brush and can.
        loss: Rational,
    },
}

/// Square millimetres of one grit that a disc or quarter sheet lasts for, where the shop does not say:
/// a square metre (common practice).
const AREA_OF_AN_ABRASIVE: Rational = Rational::int(1_000_000);

/// Every line, by section.
pub(super) fn lines(
    model: &Model,
    layouts: &Layouts,
    glue_up: &GlueUp,
    finishing: &Finishing,
) -> Vec<BuyLine> {
    let mut out = Vec::new();
    sheets(model, layouts, &mut out);
    not_laid(model, layouts, &mut out);
    wood::boards(model, layouts, &mut out);
    strips(model, layouts, &mut out);
    hardware(model, &mut out);
    not_listed(model, &mut out);
    glue(glue_up, &mut out);
    finish(model, finishing, &mut out);
    out.sort_by_key(|line| line.section);
    out
}

/// What an amount costs: `one` of it in its own unit, or by length, area or volume.
pub(super) fn priced(
    unit: Option<&Price>,
    one: Option<Rational>,
    by: impl Fn(&Per) -> Option<Rational>,
) -> Option<Money> {
    let price = unit?;
    let times = match price.per {
        Per::One => one,
        ref per => by(per),
    }?;
    money(price, price.amount * times)
}

/// What so many sheets or boards of one size cost.
pub(super) fn price_of_size(size: &SoldSize, thick: Length, n: u32) -> Option<Money> {
    let price = size.price.as_ref()?;
    let one = price.of_size(size.long, size.wide, thick)?;
    money(price, one * int(n))
}

/// An amount in the currency of a price, rounded to cents.
fn money(price: &Price, amount: Rational) -> Option<Money> {
    let amount = cents(amount);
    (!amount.is_overflow()).then(|| Money {
        amount,
        currency: price.currency.clone(),
    })
}

pub(super) fn title(model: &Model, stock: StockId) -> String {
    model
        .stocks
        .get(stock.0 as usize)
        .map(|s| s.title.clone())
        .unwrap_or_default()
}

pub(super) fn int(n: u32) -> Rational {
    Rational::int(i64::from(n))
}

fn sheets(model: &Model, layouts: &Layouts, out: &mut Vec<BuyLine>) {
    for layout in &layouts.sheets {
        let Some(StockKind::Sheet { sizes, .. }) =
            model.stocks.get(layout.stock.0 as usize).map(|s| &s.kind)
        else {
            continue;
        };
        for (k, size) in sizes.iter().enumerate() {
            let numbers: Vec<u32> = layout
                .sheets
                .iter()
                .filter(|s| s.taken == Taken::Bought(k))
                .map(|s| s.number)
                .collect();
            let n = numbers.len() as u32;
            if n == 0 {
                continue;
            }
            out.push(BuyLine {
                section: Section::Sheets,
                what: title(model, layout.stock),
                stock: Some(layout.stock),
                size: Some((size.long, size.wide, layout.thick)),
                amount: Amount::Count(n),
                reason: Reason::Sheets(numbers),
                unit: size.price.clone(),
                price: price_of_size(size, layout.thick, n),
            });
        }
    }
}

/// What no sheet on sale holds is still to be had from somewhere.
fn not_laid(model: &Model, layouts: &Layouts, out: &mut Vec<BuyLine>) {
    for layout in layouts.sheets.iter().filter(|l| !l.unplaced.is_empty()) {
        let area = layout
            .unplaced
            .iter()
            .fold(Rational::ZERO, |sum, (_, long, wide)| {
                sum + long.as_mm() * wide.as_mm()
            });
        out.push(BuyLine {
            section: Section::Sheets,
            what: title(model, layout.stock),
            stock: Some(layout.stock),
            size: None,
            amount: Amount::Open,
            reason: Reason::NotLaid(layout.unplaced.len() as u32, area),
            unit: None,
            price: None,
        });
    }
}

fn strips(model: &Model, layouts: &Layouts, out: &mut Vec<BuyLine>) {
    for list in &layouts.strips {
        let (price, wide, thick) = match model.stocks.get(list.stock.0 as usize).map(|s| &s.kind) {
            Some(StockKind::Edging {
                price, wide, thick, ..
            }) => (price.clone(), *wide, *thick),
            _ => continue,
        };
        let bought = |s: &&Sheet| matches!(s.taken, Taken::Bought(_));
        let rolls = list.strips.iter().filter(bought).count() as u32;
        if rolls == 0 && !list.strips.is_empty() {
            continue; // all of it is on hand
        }
        let bought = list
            .sold
            .map_or(list.running, |sold| sold * i64::from(rolls));
        out.push(BuyLine {
            section: Section::Edging,
            what: title(model, list.stock),
            stock: Some(list.stock),
            size: list.sold.zip(wide).map(|(l, w)| (l, w, thick)),
            amount: if list.sold.is_some() {
                Amount::Count(rolls)
            } else {
                Amount::Length(list.running)
            },
            reason: Reason::Running(list.running),
            price: priced(
                price.as_ref(),
                list.sold.map(|_| int(rolls)),
                |per| match per {
                    Per::Length => Some(bought.as_mm()),
                    _ => None,
                },
            ),
            unit: price,
        });
    }
}

/// Hardware and fasteners over all copies. What the joints hold and what the pieces list are added
/// up by kind: fasteners come from joints, all else from the lists.
fn hardware(model: &Model, out: &mut Vec<BuyLine>) {
    let mut need: BTreeMap<HardwareId, (u32, Vec<String>)> = BTreeMap::new();
    for piece in &model.pieces {
        let mut add = |id: HardwareId, n: u32, reason: &str| {
            let row = need.entry(id).or_default();
            row.0 = row.0.saturating_add(n.saturating_mul(piece.copies));
            if !reason.is_empty() && !row.1.iter().any(|r| r == reason) {
                row.1.push(reason.to_string());
            }
        };
        let mut from_joints: Vec<HardwareId> = Vec::new();
        for joint in &piece.joints {
            let Some(fastening) = &joint.fastening else {
                continue;
            };
            from_joints.push(fastening.hardware);
            let reason = format!(
                "{} to {}",
                piece.part(joint.a).label,
                piece.part(joint.b).label
            );
            add(fastening.hardware, fastening.places.len() as u32, &reason);
        }
        for row in &piece.hardware {
            // A fastener that joints place is counted at the joints.
            if !from_joints.contains(&row.hardware) {
                add(row.hardware, row.count, &row.reason);
            }
        }
    }
    for (id, (n, reasons)) in need {
        let Some(hardware) = model.hardware.get(id.0 as usize) else {
            continue;
        };
        let fastener = matches!(
            hardware.kind,
            HardwareKind::Screw { .. }
                | HardwareKind::Bolt { .. }
                | HardwareKind::Nail { .. }
                | HardwareKind::Biscuit { .. }
        );
        let pack = match hardware.price.as_ref().map(|p| &p.per) {
            Some(Per::Pack(of)) if *of > 0 => Some(*of),
            _ => None,
        };
        let packs = pack.map(|of| n.div_ceil(of));
        out.push(BuyLine {
            section: if fastener {
                Section::Fasteners
            } else {
                Section::Hardware
            },
            what: hardware.title.clone(),
            stock: None,
            size: None,
            amount: match (packs, pack) {
                (Some(packs), Some(of)) => Amount::Packs { packs, of, used: n },
                _ => Amount::Count(n),
            },
            reason: Reason::For(reasons),
            unit: hardware.price.clone(),
            price: priced(hardware.price.as_ref(), Some(int(n)), |per| match per {
                Per::Pack(_) => packs.map(int),
                _ => None,
            }),
        });
    }
}

/// What the fitting needs and no line of the text lists: screws whose kind follows from other makers'
/// sheets, and restraints. Amounts that nobody knows here are left open.
fn not_listed(model: &Model, out: &mut Vec<BuyLine>) {
    let mut line = |section, what: &str, amount, reason: String| {
        out.push(BuyLine {
            section,
            what: what.to_owned(),
            stock: None,
            size: None,
            amount,
            reason: Reason::For(vec![reason]),
            unit: None,
            price: None,
        });
    };
    let copies = |piece: &Piece, n: usize| piece.copies.saturating_mul(n as u32);
    let count = |of: &dyn Fn(&Piece) -> usize| -> u32 {
        model
            .pieces
            .iter()
            .map(|piece| copies(piece, of(piece)))
            .sum()
    };
    let faces = count(&|piece| {
        let faces = piece.leaves.iter();
        faces
            .filter(|leaf| leaf.kind == LeafKind::DrawerFace)
            .count()
    });
    if faces > 0 {
        line(
            Section::Fasteners,
            "screws for drawer faces",
            Amount::Count(faces.saturating_mul(SCREWS_A_FACE)),
            format!(
                "{SCREWS_A_FACE} a face (common practice), longer than the box front, shorter than both"
            ),
        );
    }
    let runners = count(&|piece| {
        let drawers = piece.drawers.iter();
        drawers
            .filter(|d| matches!(d.runner, Some(RunnerPlace::Side { .. })))
            .count()
    });
    let hinges = count(&|piece| piece.leaves.iter().map(|leaf| leaf.hinges.len()).sum());
    if runners > 0 || hinges > 0 {
        let what = match (runners > 0, hinges > 0) {
            (true, true) => "screws for runners and hinges, plates for hinges",
            (true, false) => "screws for runners",
            (false, _) => "plates and screws for hinges",
        };
        line(
            Section::Fasteners,
            what,
            Amount::Open,
            "as the sheet of their maker says, if none come with them".to_owned(),
        );
    }
    let buttons = |piece: &Piece| -> usize {
        let joints = piece.joints.iter();
        let held = joints.filter(|joint| joint.kind == JointKind::Buttons);
        let held = held.filter_map(|joint| joint.fastening.as_ref());
        held.map(|fastening| fastening.places.len()).sum()
    };
    let screws = count(&buttons);
    if screws > 0 {
        line(
            Section::Fasteners,
            "screws for buttons",
            Amount::Count(screws),
            "one a button (common practice), longer than the button is thick, shorter than button and top together"
                .to_owned(),
        );
    }
    let strapped = |piece: &Piece| {
        let mut rows = piece.hardware.iter();
        rows.any(|row| {
            let hardware = model.hardware.get(row.hardware.0 as usize);
            hardware.is_some_and(|hardware| matches!(hardware.kind, HardwareKind::Strap))
        })
    };
    let tips = count(&|piece| usize::from(piece.can_tip() && !strapped(piece)));
    if tips > 0 {
        line(
            Section::Hardware,
            "restraint against tipping",
            Amount::Count(tips),
            "to the wall, one a piece at least; fasteners for the wall there".to_owned(),
        );
    }
}

/// Common practice.
const SCREWS_A_FACE: u32 = 4;

fn glue(glue_up: &GlueUp, out: &mut Vec<BuyLine>) {
    if glue_up.area.is_zero() {
        return;
    }
    let glue = &glue_up.glue;
    let litres = tenths_of_litre(glue_up.area / glue.covers);
    out.push(BuyLine {
        section: Section::Glue,
        what: if glue.stated {
            format!("glue, {}", glue.name)
        } else {
            glue.name.clone()
        },
        stock: None,
        size: None,
        amount: Amount::Litres(litres),
        reason: Reason::Glue {
            area: glue_up.area,
            covers: glue.covers,
            stated: glue.covers_stated,
        },
        price: by_litre(glue.price.as_ref(), litres),
        unit: glue.price.clone(),
    });
}

/// A price by volume. A price for a container is left blank: its size is not stated.
fn by_litre(unit: Option<&Price>, litres: Rational) -> Option<Money> {
    priced(unit, None, |per| match per {
        Per::Volume => Some(litres * LITRE),
        _ => None,
    })
}

fn finish(model: &Model, finishing: &Finishing, out: &mut Vec<BuyLine>) {
    let mut grits: BTreeMap<u32, Rational> = BTreeMap::new();
    for plan in &finishing.plans {
        let sanding = plan.steps.iter().flat_map(|step| match &step.kind {
            StepKind::Sand(grits) => grits.clone(),
            StepKind::Rub { grit, .. } => vec![*grit],
            StepKind::Coat { .. } | StepKind::Cure => Vec::new(),
        });
        for grit in sanding {
            let sum = grits.entry(grit).or_insert(Rational::ZERO);
            *sum = *sum + plan.area;
        }
        for need in &plan.coats {
            out.push(BuyLine {
                section: Section::Finish,
                what: need.name.clone(),
                stock: None,
                size: None,
                amount: Amount::Litres(need.litres),
                reason: Reason::Coats {
                    area: plan.area,
                    coats: need.coats,
                    covers: need.covers,
                    loss: model.shop.finish_loss,
                },
                price: by_litre(need.price.as_ref(), need.litres),
                unit: need.price.clone(),
            });
        }
    }
    // Grits that sand as much stand in one line.
    let mut alike: Vec<(Rational, Vec<u32>)> = Vec::new();
    for (grit, area) in grits {
        match alike.iter_mut().find(|(a, _)| *a == area) {
            Some((_, grits)) => grits.push(grit),
            None => alike.push((area, vec![grit])),
        }
    }
    let abrasive = model.shop.abrasive.as_ref();
    let lasts = abrasive.map_or(AREA_OF_AN_ABRASIVE, |a| a.lasts);
    let unit = abrasive.and_then(|a| a.price.clone());
    let pack = match unit.as_ref().map(|price| &price.per) {
        Some(Per::Pack(of)) if *of > 0 => Some(*of),
        _ => None,
    };
    for (area, grits) in alike {
        let each = whole(area / lasts);
        let many = grits.len() as u32;
        let count = each.saturating_mul(many);
        // A box holds one grit.
        let packs = pack.map(|of| (each.div_ceil(of).saturating_mul(many), of));
        let names: Vec<String> = grits.iter().map(u32::to_string).collect();
        let word = if grits.len() == 1 { "grit" } else { "grits" };
        out.push(BuyLine {
            section: Section::Abrasives,
            what: format!(
                "{}, {word} {}",
                abrasive.map_or("abrasive", |a| a.title.as_str()),
                names.join(", ")
            ),
            stock: None,
            size: None,
            amount: match packs {
                Some((packs, of)) => Amount::Packs {
                    packs,
                    of,
                    used: count,
                },
                None => Amount::Count(count),
            },
            reason: Reason::Sanding {
                area,
                each,
                grits: many,
                lasts,
                stated: abrasive.is_some(),
                source: abrasive.and_then(|a| a.source.clone()),
            },
            price: priced(unit.as_ref(), Some(int(count)), |per| match per {
                Per::Pack(_) => packs.map(|(packs, _)| int(packs)),
                _ => None,
            }),
            unit: unit.clone(),
        });
    }
}

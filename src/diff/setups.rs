//! Setups: cards that came, went, or are set otherwise; and how much work there is in all. Fences are
//! left to the cards themselves: they follow from the sizes.

use super::changes::{CutFacet, Presence, SetupChange, Total};
use super::figure::{Figure, Step};
use crate::measure::Length;
use crate::plan::Plans;
use crate::plan::setups::{Card, Machine, Phase, Process};
use std::collections::{BTreeMap, VecDeque};

/// The cards that changed.
pub(super) fn compare(old: &Plans, new: &Plans) -> Vec<SetupChange> {
    let mut olds: Vec<&Card> = old.setups.cards.iter().collect();
    let mut news: Vec<&Card> = new.setups.cards.iter().collect();
    take(&mut olds, &mut news, |card| {
        (key(card), card.tooling.width, card.height)
    });
    let mut out = Vec::new();
    let set_otherwise = take(&mut olds, &mut news, key);
    for (was, is) in set_otherwise {
        let settings: Vec<CutFacet> = names(is)
            .into_iter()
            .zip(settings(was).into_iter().zip(settings(is)))
            .filter_map(|(what, (a, b))| {
                Some(CutFacet {
                    what: what.to_owned(),
                    step: Step::between(a.map(Figure::Length), b.map(Figure::Length))?,
                })
            })
            .collect();
        out.push(SetupChange {
            presence: Presence::Stays,
            what: what(is),
            old_number: Some(was.number),
            new_number: Some(is.number),
            settings,
        });
    }
    out.extend(news.into_iter().map(|card| alone(card, Presence::Added)));
    out.extend(olds.into_iter().map(|card| alone(card, Presence::Gone)));
    out.sort_by_key(|change| change.new_number.or(change.old_number));
    out
}

/// How many parts, sheets, setups and stages of gluing up there are, where that changed.
pub(super) fn totals(old: &Plans, new: &Plans) -> Vec<Total> {
    let sheets =
        |plans: &Plans| -> usize { plans.layouts.sheets.iter().map(|s| s.sheets.len()).sum() };
    let of = |count: &dyn Fn(&Plans) -> usize| {
        let figure = |plans| i64::try_from(count(plans)).unwrap_or(i64::MAX);
        Step::counts(figure(old), figure(new))
    };
    [
        ("parts", of(&|plans| plans.cut_list.off() as usize)),
        ("sheets", of(&sheets)),
        ("setups", of(&|plans| plans.setups.cards.len())),
        ("stages of gluing up", of(&|plans| plans.glue_up.cards())),
    ]
    .into_iter()
    .filter_map(|(what, step)| {
        Some(Total {
            what: what.to_owned(),
            step: step?,
        })
    })
    .collect()
}

type Key = (Phase, Process, Machine, Option<String>);

fn key(card: &Card) -> Key {
    (
        card.phase,
        card.process,
        card.tooling.machine,
        card.tooling.cutter.clone(),
    )
}

/// What the settings of a card are called.
pub(super) fn names(card: &Card) -> [&'static str; 2] {
    match card.process {
        Process::Bore | Process::HoleRow => ["across", "deep"],
        _ => ["wide", "high"],
    }
}

pub(super) fn settings(card: &Card) -> [Option<Length>; 2] {
    [card.tooling.width, card.height]
}

/// Takes out of both lists the cards of equal key, in turn of their settings.
fn take<'a, K: Ord>(
    olds: &mut Vec<&'a Card>,
    news: &mut Vec<&'a Card>,
    key: impl Fn(&Card) -> K,
) -> Vec<(&'a Card, &'a Card)> {
    let by_settings = |card: &&Card| (settings(card), card.number);
    olds.sort_by_key(by_settings);
    news.sort_by_key(by_settings);
    let mut waiting: BTreeMap<K, VecDeque<&Card>> = BTreeMap::new();
    for card in olds.iter() {
        waiting.entry(key(card)).or_default().push_back(card);
    }
    let mut found = Vec::new();
    news.retain(|card| {
        let old = waiting.get_mut(&key(card)).and_then(VecDeque::pop_front);
        found.extend(old.map(|old| (old, *card)));
        old.is_none()
    });
    *olds = waiting.into_values().flatten().collect();
    found
}

fn alone(card: &Card, presence: Presence) -> SetupChange {
    let added = presence == Presence::Added;
    let settings = names(card).into_iter().zip(settings(card));
    let settings = settings.filter_map(|(what, length)| {
        let figure = Some(Figure::Length(length?));
        let step = if added {
            Step::new(None, figure)
        } else {
            Step::new(figure, None)
        };
        Some(CutFacet {
            what: what.to_owned(),
            step,
        })
    });
    SetupChange {
        presence,
        what: what(card),
        old_number: (!added).then_some(card.number),
        new_number: added.then_some(card.number),
        settings: settings.collect(),
    }
}

/// `dado, saw with its head, stack`.
pub(super) fn what(card: &Card) -> String {
    let mut out = format!(
        "{}, {}",
        process_words(card.process),
        machine_words(card.tooling.machine)
    );
    if let Some(cutter) = &card.tooling.cutter {
        out.push_str(&format!(", {cutter}"));
    }
    out
}

fn process_words(process: Process) -> &'static str {
    match process {
        Process::JointEdges => "joint the edges of staves",
        Process::Panel => "glue up panels of staves",
        Process::Plane => "plane to thickness",
        Process::TrueEdge => "true an edge",
        Process::Rip => "rip to width",
        Process::SquareEnd => "square an end",
        Process::CutToLength => "cut to length",
        Process::Housing => "dadoes and grooves",
        Process::EdgeGroove => "grooves in edges",
        Process::Score => "score",
        Process::Rabbet => "rabbets",
        Process::Tongue => "tongues",
        Process::Tenon => "tenons",
        Process::Mortise => "mortises",
        Process::OpenMortise => "open mortises",
        Process::WedgeSlot => "saw cuts for wedges",
        Process::Taper => "tapers",
        Process::Lap => "laps",
        Process::Fingers => "fingers",
        Process::DovetailKey => "dovetails along ends",
        Process::DovetailHousing => "dovetail housings",
        Process::PocketHole => "pockets for screws",
        Process::Notch => "notches",
        Process::Tails => "tails",
        Process::Sockets => "sockets",
        Process::Slot => "slots",
        Process::HoleRow => "rows of holes",
        Process::Bore => "bore",
        Process::Recess => "recesses",
        Process::CutOut => "notches and openings",
        Process::Mitre => "mitres",
        Process::SplineSlot => "slots for splines",
        Process::KeySlot => "slots for keys",
        Process::Profile => "profiles",
        Process::Turn => "turning",
        Process::Round => "rounding",
        Process::Band => "edging",
        Process::Tape => "tape",
    }
}

fn machine_words(machine: Machine) -> &'static str {
    match machine {
        Machine::Planer => "planer",
        Machine::Saw => "table saw",
        Machine::SawHead => "table saw with a stacked head",
        Machine::RouterTable => "router table",
        Machine::Router => "router",
        Machine::Drill => "drill",
        Machine::MitreSaw => "mitre saw",
        Machine::BiscuitCutter => "biscuit cutter",
        Machine::Lathe => "lathe",
        Machine::HandSaw => "hand saw",
        Machine::Knife => "knife",
        Machine::Bench => "at the bench",
    }
}

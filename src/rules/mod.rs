//! The rules of the trade: from the model to findings.
//!
//! [`check`] runs every row of one table over every piece. A rule is one file: what it is for, its
//! facts, its check, its wording, its tests. Each gives a [`Finding`] with figure, limit and source,
//! also when it holds; a failing one gives a [`Diagnostic`] too. Rules read the model alone: they
//! know nothing of text, plans or pages, and they change nothing.

mod band;
mod cut;
mod fit;
mod join;
mod movement;
mod order;
mod report;
mod shop;
mod show;
mod solids;
mod space;
mod stock;
#[cfg(test)]
mod testing;
mod view;
mod words;

pub use report::{Checked, allows_nothing};

use crate::diag::{Code, code};
use crate::model::Model;
use report::Report;
use view::View;

#[cfg(doc)]
use crate::{diag::Diagnostic, model::Finding};

/// One check: the code of its failure, and what looks for it in a piece.
struct Rule {
    code: &'static Code,
    check: fn(&View, &mut Report),
}

/// Every rule, in the order in which they speak. A rule that explains a clash better stands before
/// one that merely sees it: whoever speaks first about two parts silences [`space::overlap`].
static RULES: &[Rule] = &[
    rule(&code::FIT_DRAWER_WIDE, fit::drawer_wide::check),
    rule(&code::FIT_DRAWER_NARROW, fit::drawer_narrow::check),
    rule(&code::FIT_DRAWER_HIGH, fit::drawer_high::check),
    rule(&code::FIT_DRAWER_DEEP, fit::drawer_deep::check),
    rule(&code::FIT_RUNNER_LONG, fit::runner_long::check),
    rule(&code::FIT_RUNNER_UNPACKED, fit::runner_unpacked::check),
    rule(&code::FIT_FRONT_BLOCKED, fit::front_blocked::check),
    rule(&code::FIT_FRONTS_MEET, fit::fronts_meet::check),
    rule(&code::FIT_FRONT_GAP, fit::front_gap::check),
    rule(&code::FIT_HINGE_COVERS, fit::hinge_covers::check),
    rule(&code::FIT_HINGE_WIDE, fit::hinge_wide::check),
    rule(&code::FIT_CUP_EDGE, fit::cup_edge::check),
    rule(&code::FIT_FLAP_SWING, fit::flap_swing::check),
    rule(&code::FIT_STAY_REACH, fit::stay_reach::check),
    rule(&code::FIT_NO_STAY, fit::no_stay::check),
    rule(&code::FIT_NO_WAY_IN, fit::no_way_in::check),
    rule(&code::FIT_PINS_OFF, fit::pins_off::check),
    rule(&code::CUT_USE_RABBET, cut::use_rabbet::check),
    rule(&code::CUT_SHORT_GRAIN, cut::short_grain::check),
    rule(&code::CUT_TOO_DEEP, cut::too_deep::check),
    rule(&code::CUT_PAST_HALF, cut::past_half::check),
    rule(&code::CUT_TONGUE_THICK, cut::tongue_thick::check),
    rule(&code::CUT_DADO_RABBET_THIN, cut::dado_rabbet_thin::check),
    rule(&code::CUT_EDGE_CHEEK, cut::edge_cheek::check),
    rule(&code::CUT_TONGUE_CUT, cut::tongue_cut::check),
    rule(&code::CUT_HOUSINGS_MEET, cut::housings_meet::check),
    rule(&code::CUT_MORTISES_MEET, cut::mortises_meet::check),
    rule(&code::CUT_CUTS_MEET, cut::cuts_meet::check),
    rule(&code::CUT_WEB_THIN, cut::web_thin::check),
    rule(&code::CUT_EDGE_WEB, cut::edge_web::check),
    rule(&code::CUT_OVER_JOINT, cut::over_joint::check),
    rule(&code::CUT_IN_SHAPE, cut::in_shape::check),
    rule(&code::CUT_IN_TAPER, cut::in_taper::check),
    rule(&code::CUT_MORTISE_ACROSS, cut::mortise_across::check),
    rule(&code::JOIN_NO_ROOM, join::no_room::check),
    rule(&code::JOIN_TOO_SHORT, join::too_short::check),
    rule(&code::JOIN_TOO_LONG, join::too_long::check),
    rule(&code::CUT_BORE_THROUGH, cut::bore_through::check),
    rule(&code::JOIN_ACROSS, join::across::check),
    rule(&code::JOIN_DOVETAIL_GRAIN, join::dovetail_grain::check),
    rule(&code::JOIN_TENON_GRAIN, join::tenon_grain::check),
    rule(&code::JOIN_WEDGE_GRAIN, join::wedge_grain::check),
    rule(&code::JOIN_DOVETAIL_THIN, join::dovetail_thin::check),
    rule(&code::JOIN_HALF_BLIND, join::half_blind::check),
    rule(&code::JOIN_MITRE_THICK, join::mitre_thick::check),
    rule(&code::JOIN_NONE_CARRIES, join::none_carries::check),
    rule(&code::JOIN_NONE, join::none::check),
    rule(&code::JOIN_DRAWER, join::drawer::check),
    rule(&code::BAND_IN_JOINT, band::in_joint::check),
    rule(&code::SHOW_HOUSING, show::housing::check),
    rule(&code::MOVE_FIELD_GAP, movement::field_gap::check),
    rule(&code::MOVE_BREADBOARD, movement::breadboard::check),
    rule(&code::MOVE_ACROSS_GRAIN, movement::across_grain::check),
    rule(&code::SHOW_BARE_EDGE, show::bare_edge::check),
    rule(&code::SHOW_FACE_GRADE, show::face_grade::check),
    rule(&code::STOCK_MATCHED, stock::matched::check),
    rule(&code::STOCK_PART_LONG, stock::part_long::check),
    rule(&code::STOCK_PART_THICK, stock::part_thick::check),
    rule(&code::STOCK_RACK_IDLE, stock::rack_idle::check),
    rule(&code::SHOP_SAW_LONG, shop::saw_long::check),
    rule(&code::SHOP_PART_SMALL, shop::part_small::check),
    rule(&code::JOIN_APART, join::apart::check),
    rule(&code::SPACE_OVERLAP, space::overlap::check),
    rule(&code::ORDER_BARRED, order::barred::check),
    rule(&code::ORDER_TRAPPED, order::trapped::check),
];

const fn rule(code: &'static Code, check: fn(&View, &mut Report)) -> Rule {
    Rule { code, check }
}

/// Checks every piece of a model. Same model, same findings and messages in the same order.
pub fn check(model: &Model) -> Checked {
    let mut report = Report::new(model);
    for (index, piece) in model.pieces.iter().enumerate() {
        let view = View::new(model, piece);
        report.enter(index as u32);
        for rule in RULES {
            (rule.check)(&view, &mut report);
        }
    }
    let ran: Vec<&Code> = RULES.iter().map(|rule| rule.code).collect();
    report.finish(&ran)
}

#[cfg(test)]
mod tests {
    use super::{RULES, testing};

    #[test]
    fn every_rule_of_the_sound_cabinet_holds() {
        let checked = testing::checked(testing::sound());
        assert_eq!(testing::codes(&checked), [""; 0], "{checked:#?}");
        assert!(checked.findings.len() > 10);
    }

    #[test]
    fn a_code_has_one_rule() {
        let mut names: Vec<&str> = RULES.iter().map(|rule| rule.code.name).collect();
        names.sort_unstable();
        let count = names.len();
        names.dedup();
        assert_eq!(names.len(), count);
    }
}

//! The cut list.

use crate::model::Model;

/// The cut list.
#[derive(Debug)]
pub struct CutList {}

/// Gathers what is to be cut.
pub fn plan_cut_list(_model: &Model) -> CutList {
    CutList {}
}

//! elaborate

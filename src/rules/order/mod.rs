//! Order: what has to come together has a way in.

pub mod trapped;

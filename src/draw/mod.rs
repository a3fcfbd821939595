//! Drawings of the model: scenes in millimetres of paper, then SVG.
//!
//! A drawing never computes a size that is not in the model; it chooses a scale, decides what is
//! seen, and letters the exact figures.

pub mod calendar;
pub mod corner;
pub mod dimension;
pub mod elevation;
pub mod exploded;
pub mod fitting;
pub mod frame;
pub mod glue_sketch;
pub mod hatch;
pub mod joint;
pub mod layout_sketch;
pub mod mark;
pub mod part_face;
pub mod part_section;
pub mod part_small;
pub mod piece_view;
mod places;
pub mod region;
pub mod scene;
pub mod setup_parts;
pub mod setup_sketch;
mod shape_lines;
pub mod solid;
pub mod standing;
pub mod svg;
pub mod text;
pub mod view;
pub mod words;

pub use scene::{Anchor, Dash, Fill, Pen, Point, Rect, Scene, Shape, Step, Text, TextSize, Weight};
pub use text::Content;

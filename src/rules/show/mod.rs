//! What shows that should not: housings that run out in sight, bare edges of sheet, faces that are not
//! good enough. What is in sight is told in [`crate::sight`].

pub mod bare_edge;
pub mod face_grade;
pub mod housing;

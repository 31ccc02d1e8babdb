//! The typesetter.

pub mod labels;

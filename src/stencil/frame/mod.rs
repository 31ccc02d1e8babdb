//! A frame: material only as far around strips, marks and panels as holds together, in pieces that fit the bed.
//!
//! A frame's *bars* run along strips and along the ties between parts that would lie apart. Where other material
//! meets a bar is a junction; joints stand close beside junctions, so that there are small corner pieces, and divide
//! the bars between them into pieces as long as the bed and one rest: long bars of one width fill loads best, and
//! the rests of several bars lie one behind the other. Dividing bars evenly takes as many joints and a load more on
//! the demonstration layout.
//!
//! Joints are dovetailed tabs in notches, end to end, and not laps: a lap costs its length in material at every
//! joint (0.2 m² of 3.5 m² on the demonstration layout), lies double under the tape, and its two layers do not lie
//! flat on a floor. Each joint has its tabs at places of its own, so that no end goes together with another than
//! its own; two register holes on each side say whether a joint sits true.

mod bars;
mod codes;
mod joint;
mod pieces;
mod region;
mod rest;

use joint::Joining;
pub use joint::Joint;
pub(super) use pieces::divide;
pub(super) use region::{Region, chords};

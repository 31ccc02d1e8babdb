//! What the taped readings say of a layout: which reading is wrong, which mark is, how the grid lies.

mod model;

pub use model::{Assessment, GlobalTest, MarkFinding, Pose, ReadingFinding, Suspect, TapedLayout};

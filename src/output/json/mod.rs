//! The machine-readable files and outputs, one file a contract. Lengths in mm, angles in degrees, slopes in mm per metre,
//! frame after ISO 8855; keys end in their unit. One rounding for all: see [`write`].

mod answers;
mod check;
mod levels;
mod plan;
mod sheets;
mod steps;
mod takes;
mod write;

pub use answers::answers_json;
pub use check::check_json;
pub use levels::levels_json;
pub use plan::{layout_json, plan_json};
pub use sheets::sheets_json;
pub use takes::takes_json;
pub use write::pretty;

//! One writer per format, and the step that puts finished bytes onto a disk.
//!
//! Each writer takes a [`Drawing`](crate::drawing::Drawing), whose things are already in their
//! final place, and turns it into bytes; none of them computes geometry, reads a clock or touches
//! a file. The same drawing therefore gives the same bytes, and a PDF, an SVG and a PNG of one
//! sheet agree. [`OutputSet`] collects what the writers made; [`OutputFolder`] puts it into a folder, all of it or nothing, and
//! spares what somebody worked on there.
//!
//! A PDF is made page by page ([`PdfWriter`]): `printpdf` translates a drawing into a page, of which its compressed
//! content is kept in one `lopdf` document; what all pages share, fonts, layers and bookmarks, follows at the end. A
//! class set of a thousand sheets therefore takes little more memory than the file that it becomes.

mod arcs;
mod csv;
#[cfg(test)]
mod cut_facts;
mod cut_svg;
mod dxf;
mod error;
mod file_layer;
mod files;
mod folder;
mod font;
mod json;
mod kept;
mod manifest;
mod pdf;
mod pdf_entry;
mod pdf_file;
mod pdf_font;
mod pdf_layers;
mod pdf_page;
mod png;
pub mod stop;
mod svg;
mod unfinished;

pub use csv::{levels_csv, marking_csv, marks_csv, readings_csv};
pub use cut_svg::cut_svg;
pub use dxf::{ToolLayer, cut_dxf, drawing_dxf};
pub use error::OutputError;
pub use file_layer::{Disk, FileLayer};
pub use files::{OutputSet, spool};
pub use folder::OutputFolder;
pub use json::{
    answers_json, check_json, layout_json, levels_json, plan_json, pretty, sheets_json, takes_json,
};
pub use kept::{Kept, Origin};
pub use pdf::{DocumentInfo, Language, PdfWriter, large_pdf, pdf};
pub use png::png;
pub use svg::svg;
pub use unfinished::is_unfinished;

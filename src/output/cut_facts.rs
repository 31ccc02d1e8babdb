//! What the documents say of cut files, held to what is written into them.

use super::{ToolLayer, dxf};
use crate::{
    drawing::Layer,
    plan::MarkShape,
    stencil::{CutOptions, Ink, REGISTER_HOLE_MM},
};

const DOCUMENT: &str = include_str!("../../output-samples/README.md");

#[test]
fn the_table_of_cut_files_says_what_the_program_writes() {
    let standard = CutOptions::default();
    let (cut, score) = (&standard.inks.cut, &standard.inks.score);
    let index = dxf::nearest_index;
    let marked = |layer: Layer, tool: ToolLayer, ink: &Ink| {
        format!(
            "layer `{}`, in DXF `{}`; spot colour `{}`, overprinted; {}, in DXF colour {}",
            layer.name(),
            tool.name(),
            ink.spot.name(),
            ink.colour,
            index(ink.colour)
        )
    };
    let wide = CutOptions {
        kerf: 5.0,
        ..standard.clone()
    };
    let beside_kerf = wide.pen() - wide.kerf;
    let corner = standard.corner_of(1000.0);
    assert_eq!(standard.corner_of(corner), corner / 2.0);
    let (shape, windows) = (MarkShape::FULL, MarkShape::WINDOW_FROM_MM);
    for (what, said) in [
        ("through cuts", marked(Layer::Cut, ToolLayer::Cut, cut)),
        ("scores", marked(Layer::Score, ToolLayer::Score, score)),
        (
            "pen lines",
            format!(
                "in DXF layer `{}`, colour {}",
                ToolLayer::Pen.name(),
                dxf::PEN_COLOUR
            ),
        ),
        (
            "texts",
            format!(
                "in DXF layer `{}`, off: no tool follows them",
                dxf::TEXT_LAYER
            ),
        ),
        ("width of strokes", format!("{} mm", standard.hairline)),
        (
            "centre hole of a mark",
            format!("{} mm in diameter", shape.hole),
        ),
        (
            "windows of a mark",
            format!(
                "from {windows} to {} mm from its centre, four of them, their ends round",
                shape.arm
            ),
        ),
        (
            "width of windows and of pen slots along panels",
            format!(
                "{} mm, or the kerf and {beside_kerf} mm where that is more",
                standard.pen()
            ),
        ),
        (
            "corner radius of slots",
            format!(
                "{corner} mm, or half of a slot narrower than {} mm",
                2.0 * corner
            ),
        ),
        (
            "page of the PDF",
            "the sheet of material of the load (`TrimBox`)".to_owned(),
        ),
        (
            "register holes of a joint",
            format!("{REGISTER_HOLE_MM} mm in diameter"),
        ),
    ] {
        let row = format!("| {what} | {said} |");
        assert!(DOCUMENT.lines().any(|line| line == row), "not said: {row}");
    }
}

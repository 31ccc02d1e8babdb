//! What a finished sheet must satisfy whatever its content: lettering that does not overlap, is not
//! crossed by rules, is large enough and stays within the frame.

use kurbo::{Affine, Line, PathSeg, Point, Rect};

use crate::{
    drawing::{Drawing, Item, Layer, Text, heights},
    page::labels::crosses,
};

/// Depth of descenders below the baseline as a fraction of the capitals' height; the face's own
/// letters g and y reach about 0.32.
const DESCENT: f64 = 0.3;
/// Touching is not overlapping, mm.
const TOUCH: f64 = 0.01;

/// The box of a line of text on the page, descenders included.
pub fn text_box(text: &Text) -> Rect {
    use crate::drawing::Anchor;
    let width = text.width();
    let left = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let deep = text.content.chars().any(|c| "gjpqy,;()[]".contains(c));
    let lower = if deep { -DESCENT * text.height } else { 0.0 };
    let upright = Rect::new(left, lower, left + width, text.height);
    let turn = Affine::translate(text.at.to_vec2()) * Affine::rotate(text.turn.to_radians());
    turn.transform_rect_bbox(upright)
}

/// Every fault of a page, in words; empty when there is none. `frame` is the drawing space.
pub fn faults(page: &Drawing, frame: Rect) -> Vec<String> {
    let texts: Vec<(&Text, Rect)> = page
        .items
        .iter()
        .filter_map(|item| {
            if let Item::Text(text) = item {
                Some((text, text_box(text)))
            } else {
                None
            }
        })
        .collect();
    let mut faults = Vec::new();
    for (index, (text, space)) in texts.iter().enumerate() {
        if text.height < heights::SMALL {
            faults.push(format!(
                "{:?} is only {} mm high",
                text.content, text.height
            ));
        }
        if !frame.contains(Point::new(space.x0, space.y0))
            || !frame.contains(Point::new(space.x1, space.y1))
        {
            faults.push(format!("{:?} at {space:?} leaves the frame", text.content));
        }
        for (other, second) in &texts[index + 1..] {
            let shared = space.intersect(*second);
            if shared.width() > TOUCH && shared.height() > TOUCH {
                faults.push(format!(
                    "{:?} overlaps {:?} by {shared:?}",
                    text.content, other.content
                ));
            }
        }
    }
    faults.extend(crossed(page, &texts));
    faults.extend(outside(page));
    faults
}

/// Lettering that a rule or a dimension line runs through.
fn crossed(page: &Drawing, texts: &[(&Text, Rect)]) -> Vec<String> {
    let mut faults = Vec::new();
    for item in &page.items {
        let Item::Path(path) = item else { continue };
        if path.layer != Layer::Labels || path.stroke.is_none() {
            continue;
        }
        for segment in path.outline.segments() {
            let PathSeg::Line(Line { p0, p1 }) = segment else {
                continue;
            };
            for (text, space) in texts {
                if crosses(Line::new(p0, p1), space.inset(-TOUCH)) {
                    faults.push(format!(
                        "a line from {p0:?} to {p1:?} runs through {:?}",
                        text.content
                    ));
                }
            }
        }
    }
    faults
}

fn outside(page: &Drawing) -> Vec<String> {
    use kurbo::Shape;
    let sheet = Rect::new(0.0, 0.0, page.width, page.height);
    let paths = page.items.iter().filter_map(|item| {
        if let Item::Path(path) = item {
            Some(path)
        } else {
            None
        }
    });
    paths
        .map(|path| path.outline.bounding_box())
        .filter(|r| sheet.union(*r) != sheet)
        .map(|r| format!("{r:?} leaves the page"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Rect = Rect::new(0.0, 0.0, 100.0, 100.0);

    #[test]
    fn overlapping_crossed_small_and_straying_lettering_is_found() {
        use crate::drawing::{Stroke, widths};
        let mut page = Drawing::new("", 100.0, 100.0);
        page.text(Text::new((10.0, 10.0), 2.5, "one"));
        assert!(faults(&page, FRAME).is_empty());
        page.text(Text::new((12.0, 11.0), 2.5, "two"));
        assert_eq!(faults(&page, FRAME).len(), 1);
        page.text(Text::new((40.0, 50.0), 1.7, "small"));
        assert_eq!(faults(&page, FRAME).len(), 2);
        page.text(Text::new((98.0, 70.0), 2.5, "straying"));
        assert_eq!(faults(&page, FRAME).len(), 3);
        page.line(
            Layer::Labels,
            (0.0, 11.0),
            (11.5, 11.0),
            Stroke::solid(widths::FINE),
        );
        assert_eq!(faults(&page, FRAME).len(), 4);
    }

    #[test]
    fn the_box_of_turned_text_stands_upright() {
        let space = text_box(&Text::new((10.0, 10.0), 2.5, "1250").turned(90.0));
        assert!(space.height() > space.width() && (space.x1 - 10.0).abs() < 1e-9);
    }
}

//! Registration marks: the same floor points on both sides of a seam.

use kurbo::{Point, Rect};

use super::{Content, Edge, PlacedSheet, RegistrationMark, SheetFormat, content::meets, seam::seams};

/// Where along a seam the two marks may lie, as parts of its length, best first. Far apart they
/// hold the angle best; the others step aside when content lies there.
const PLACES: [f64; 7] = [0.16, 0.2, 0.12, 0.24, 0.28, 0.32, 0.36];

/// Half side in mm of the square that a registration mark with its number needs for itself.
const ROOM_MM: f64 = 5.0;

/// Least distance in mm from a mark of the layout, so that nobody takes one for the other.
const FROM_MARK_MM: f64 = 22.0;

/// Puts two marks on every seam and notes them on the sheets on both of its sides.
pub(super) fn registration(
    sheets: &mut [PlacedSheet],
    format: &SheetFormat,
    content: &Content,
) -> Vec<RegistrationMark> {
    let mut marks = Vec::new();
    for index in 0..sheets.len() {
        for edge in [Edge::Right, Edge::Bottom] {
            let seam = seams(sheets, format, index)[edge as usize];
            let (Some(neighbour), Some(at)) = (sheets[index].neighbour(edge), seam) else { continue };
            let (start, end) = seam_ends(&sheets[index], edge, at, format);
            for (from, to) in [(start, end), (end, start)] {
                let number = marks.len();
                marks.push(RegistrationMark { id: format!("r{}", number + 1), at: clear_place(from, to, content) });
                sheets[index].registration.push(number);
                sheets[neighbour].registration.push(number);
            }
        }
    }
    for sheet in sheets {
        sheet.registration.sort_unstable();
    }
    marks
}

/// Ends of the seam that lies at `at` on a sheet's page, on the floor. Measured from where the page's
/// other seams lie or would lie, so that the marks of a line of sheets stand at equal distances.
fn seam_ends(sheet: &PlacedSheet, edge: Edge, at: f64, format: &SheetFormat) -> (Point, Point) {
    let cell = format.printable().inset(-format.overlap / 2.0);
    let (start, end) = match edge {
        Edge::Left | Edge::Right => ((at, cell.y1), (at, cell.y0)),
        Edge::Top | Edge::Bottom => ((cell.x0, at), (cell.x1, at)),
    };
    let page_to_floor = sheet.floor_to_page.inverse();
    (page_to_floor * Point::from(start), page_to_floor * Point::from(end))
}

/// The best place near `from` that is free of content; the best of all where none is free.
fn clear_place(from: Point, to: Point, content: &Content) -> Point {
    let places = PLACES.map(|part| from.lerp(to, part));
    let free = |place: &&Point| {
        let room = Rect::from_center_size(**place, (2.0 * ROOM_MM, 2.0 * ROOM_MM));
        content.marks.iter().all(|mark| mark.distance(**place) > FROM_MARK_MM)
            && !content.regions.iter().any(|region| meets(region, room))
    };
    let apart = |place: &&Point| content.marks.iter().all(|mark| mark.distance(**place) > FROM_MARK_MM);
    *places.iter().find(free).or_else(|| places.iter().find(apart)).unwrap_or(&places[0])
}

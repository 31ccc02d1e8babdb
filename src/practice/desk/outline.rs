//! Half of the vehicle's outline, in parts to cut out.
//!
//! A vehicle is the same on either side of its centreline as far as an outline shows, so that half of it is enough: its straight
//! edge is laid on the centreline of the mat, where a whole one would hide that line. Half an outline also takes half the paper.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use crate::{paper::Paper, plan::VehicleOnFloor};

/// Blank edges of an outline's page, mm: what hardly any printer leaves unprinted, and what full-scale sheets keep.
const EDGE_MM: f64 = 10.0;
const LOWER_EDGE_MM: f64 = 15.0;

/// Depth of the lettering at the foot of the page, mm.
const FOOT_MM: f64 = 13.0;

/// Paper between two parts on a page, mm: room for scissors.
const BETWEEN_MM: f64 = 3.0;

/// An outline in more parts than this is none to lay by hand.
const MOST_PARTS: usize = 12;

/// Rounding allowed where parts just fill a page, mm.
const ROUNDING_MM: f64 = 1e-6;

/// One half of the body, divided along the vehicle into equal parts.
#[derive(Clone, Debug)]
pub struct HalfOutline {
    /// True for the left half.
    pub left: bool,
    /// The parts from the front to the rear.
    pub parts: Vec<OutlinePart>,
    /// Pages that they take.
    pub pages: usize,
}

/// A part of the outline.
#[derive(Clone, Debug)]
pub struct OutlinePart {
    /// Short name: `V1`.
    pub name: String,
    /// Its place on the mat, mm on the desk: x forward, y left.
    pub place: Rect,
    /// Page that it is on, from 0.
    pub page: usize,
    /// From the mat to that page, mm; no change of size.
    pub to_page: Affine,
}

/// A way to put parts on pages.
#[derive(Clone, Copy)]
struct Way {
    /// How many parts there are.
    count: usize,
    /// True when they lie with the front to the right, else it is up.
    turned: bool,
    /// Size of a part on its page, mm.
    size: Size,
    columns: usize,
    rows: usize,
}

impl Way {
    fn new(half: Size, count: usize, turned: bool, room: Size) -> Self {
        let (length, width) = (half.width / count as f64, half.height);
        let size = if turned {
            Size::new(length, width)
        } else {
            Size::new(width, length)
        };
        let fitting = |room: f64, part: f64| {
            ((room + BETWEEN_MM + ROUNDING_MM) / (part + BETWEEN_MM)) as usize
        };
        Self {
            count,
            turned,
            size,
            columns: fitting(room.width, size.width),
            rows: fitting(room.height, size.height),
        }
    }

    fn per_page(&self) -> usize {
        self.columns * self.rows
    }

    fn pages(&self) -> usize {
        self.count.div_ceil(self.per_page().max(1))
    }
}

impl HalfOutline {
    /// Divides a half with the fewest pages, then the fewest parts; none where it is too large for any of that.
    pub(super) fn of(vehicle: &VehicleOnFloor, left: bool, paper: &Paper) -> Option<Self> {
        let room = Size::new(
            paper.width - 2.0 * EDGE_MM,
            paper.height - EDGE_MM - LOWER_EDGE_MM - FOOT_MM,
        );
        let half = Size::new(vehicle.front_x - vehicle.rear_x, vehicle.half_width);
        let ways = (1..=MOST_PARTS)
            .flat_map(|count| [false, true].map(|turned| Way::new(half, count, turned, room)));
        let way = ways
            .filter(|way| way.per_page() > 0)
            .min_by_key(|way| (way.pages(), way.count))?;
        let parts = (0..way.count).map(|index| {
            let length = half.width / way.count as f64;
            let front = vehicle.front_x - index as f64 * length;
            let far = if left { half.height } else { -half.height };
            let place = Rect::from_points((front, 0.0), (front - length, far));
            OutlinePart {
                name: format!("V{}", index + 1),
                place,
                page: index / way.per_page(),
                to_page: to_page(place, way, index % way.per_page(), paper),
            }
        });
        Some(Self {
            left,
            parts: parts.collect(),
            pages: way.pages(),
        })
    }

    /// The side as it is written.
    #[must_use]
    pub const fn side(&self) -> &'static str {
        if self.left { "left" } else { "right" }
    }
}

/// From the mat to a page, on which a part has a number counted along the rows.
fn to_page(place: Rect, way: Way, number: usize, paper: &Paper) -> Affine {
    let turn = if way.turned {
        Affine::IDENTITY
    } else {
        Affine::rotate(std::f64::consts::FRAC_PI_2)
    };
    let lying = turn.transform_rect_bbox(place);
    let step = way.size + Size::new(BETWEEN_MM, BETWEEN_MM);
    let corner = Point::new(
        EDGE_MM + (number % way.columns) as f64 * step.width,
        paper.height - EDGE_MM - (number / way.columns) as f64 * step.height,
    );
    Affine::translate(corner - Point::new(lying.x0, lying.y1) + Vec2::ZERO) * turn
}

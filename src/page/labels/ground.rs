//! What a page shows, as prices of its ground.

use kurbo::{Line, Point, Rect};

/// Side of a cell of the ground, mm: about the clearance that small lettering needs.
const CELL_MM: f64 = 1.0;

/// What the ground costs to cover, cell by cell.
#[derive(Clone, Debug)]
pub struct Ground {
    area: Rect,
    columns: usize,
    rows: usize,
    cost: Vec<u32>,
}

impl Ground {
    /// Free ground over a part of a page, mm.
    #[must_use]
    pub fn new(area: Rect) -> Self {
        let cells = |length: f64| (length / CELL_MM).ceil().max(1.0) as usize;
        let (columns, rows) = (cells(area.width()), cells(area.height()));
        Self {
            area,
            columns,
            rows,
            cost: vec![0; columns * rows],
        }
    }

    /// Raises the price of every cell that a line runs through to at least `cost`.
    pub fn line(&mut self, line: Line, cost: u32) {
        let along = line.p1 - line.p0;
        // Half a cell per step misses no cell that the line crosses by more than a corner.
        let steps = (along.hypot() / (CELL_MM / 2.0)).ceil().max(1.0) as usize;
        for step in 0..=steps {
            let at = line.p0 + along * (step as f64 / steps as f64);
            let column = (at.x - self.area.x0) / CELL_MM;
            let row = (at.y - self.area.y0) / CELL_MM;
            if column >= 0.0
                && row >= 0.0
                && (column as usize) < self.columns
                && (row as usize) < self.rows
            {
                let cell = &mut self.cost[row as usize * self.columns + column as usize];
                *cell = cost.max(*cell);
            }
        }
    }

    /// Adds `cost` to the price of every cell whose middle lies within closed contours (even-odd).
    pub fn area(&mut self, contours: &[Vec<Point>], cost: u32) {
        for row in 0..self.rows {
            let y = self.area.y0 + (row as f64 + 0.5) * CELL_MM;
            let mut crossings: Vec<f64> = contours
                .iter()
                .flat_map(|contour| {
                    contour
                        .iter()
                        .zip(contour.iter().skip(1).chain(contour.first()))
                })
                .filter(|(p, q)| (p.y <= y) != (q.y <= y))
                .map(|(p, q)| p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x))
                .collect();
            crossings.sort_by(f64::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let column = |x: f64| {
                    ((x - self.area.x0) / CELL_MM - 0.5)
                        .ceil()
                        .clamp(0.0, self.columns as f64) as usize
                };
                for cell in &mut self.cost[row * self.columns..][column(pair[0])..column(pair[1])] {
                    *cell += cost;
                }
            }
        }
    }
}

/// Prices of ground summed up, so that a rectangle's price takes four of them, whatever its size.
#[derive(Clone, Debug)]
pub(super) struct Prices {
    area: Rect,
    columns: i32,
    rows: i32,
    /// Sums over all cells below and left, with one more row and column than cells.
    sums: Vec<u64>,
}

impl Prices {
    /// Those of ground that shows nothing.
    pub fn none() -> Self {
        Self {
            area: Rect::ZERO,
            columns: 0,
            rows: 0,
            sums: vec![0],
        }
    }

    pub fn of(ground: &Ground) -> Self {
        let width = ground.columns + 1;
        let mut sums = vec![0; width * (ground.rows + 1)];
        for (row, cells) in ground.cost.chunks_exact(ground.columns).enumerate() {
            let (below, above) = sums.split_at_mut((row + 1) * width);
            let mut run = 0;
            let pairs = above[1..width].iter_mut().zip(&below[row * width + 1..]);
            for (&cost, (sum, below)) in cells.iter().zip(pairs) {
                run += u64::from(cost);
                *sum = below + run;
            }
        }
        Self {
            area: ground.area,
            columns: ground.columns as i32,
            rows: ground.rows as i32,
            sums,
        }
    }

    /// Price of all cells that a rectangle touches.
    pub fn over(&self, rect: Rect) -> u64 {
        let low = |value: f64, most: i32| ((value / CELL_MM) as i32).clamp(0, most);
        // Rounded up: a cast cuts off, and this is asked for every place that is tried.
        let high = |value: f64, most: i32| {
            let whole = (value / CELL_MM) as i32;
            (whole + i32::from(f64::from(whole) < value / CELL_MM)).clamp(0, most)
        };
        let (x0, x1) = (
            low(rect.x0 - self.area.x0, self.columns),
            high(rect.x1 - self.area.x0, self.columns),
        );
        let (y0, y1) = (
            low(rect.y0 - self.area.y0, self.rows),
            high(rect.y1 - self.area.y0, self.rows),
        );
        let sum = |x: i32, y: i32| self.sums[y as usize * (self.columns as usize + 1) + x as usize];
        sum(x1, y1) + sum(x0, y0) - sum(x0, y1) - sum(x1, y0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_filled_area_costs_by_its_cells_and_a_hole_is_free() {
        let square = |x: f64, side: f64| {
            [(x, x), (x + side, x), (x + side, x + side), (x, x + side)]
                .map(Point::from)
                .to_vec()
        };
        let area = Rect::new(0.0, 0.0, 100.0, 60.0);
        let mut ground = Ground::new(area);
        ground.area(&[square(10.0, 30.0), square(20.0, 10.0)], 3);
        let prices = Prices::of(&ground);
        assert_eq!(prices.over(area), 3 * (900 - 100));
        assert_eq!(prices.over(area.inflate(50.0, 50.0)), 3 * (900 - 100));
        assert_eq!(prices.over(Rect::new(20.0, 20.0, 30.5, 21.0)), 3);
    }
}

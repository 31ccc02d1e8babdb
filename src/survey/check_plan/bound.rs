//! How few readings could do at all.

use kurbo::Vec2;

use super::cofactor::Reading;

/// Directions looked at, over half a turn.
const DIRECTIONS: usize = 180;

/// A number of readings below which no choice from `readings` can lie that finds displacements of every mark as far as
/// `allowed` (largest eigenvalue of its covariance, mm²) and leaves no reading less redundancy than `redundancy`.
///
/// Two bounds, the larger counts. Redundancies sum up to readings less unknowns, 2n − 3, and none is below the
/// least: readings ≥ (2n − 3)/(1 − r). And if all other marks were known without error, a mark's
/// information in any direction u would be Σ p (u·a)² over its own readings, which has to reach 1/λ_allowed: its
/// strongest readings in that direction tell how many it takes, three at least since none of two checks the other.
/// Every reading counts for two marks.
pub(super) fn lower_bound(readings: &[Reading], allowed: &[f64], redundancy: f64) -> usize {
    let unknowns = (2 * allowed.len()).saturating_sub(3) as f64;
    let by_redundancy = (unknowns / (1.0 - redundancy) - 1e-9).ceil() as usize;
    let ends: usize = (0..allowed.len()).map(|mark| fewest_at(readings, mark, 1.0 / allowed[mark], redundancy)).sum();
    by_redundancy.max(ends.div_ceil(2))
}

fn fewest_at(readings: &[Reading], mark: usize, needed: f64, redundancy: f64) -> usize {
    let own: Vec<(f64, Vec2)> = readings
        .iter()
        .filter_map(|reading| {
            let (_, by) = reading.row.iter().find(|(point, _)| *point == mark)?;
            Some((reading.weight, *by))
        })
        .collect();
    let by_check = if redundancy > 0.0 { 3.min(own.len()) } else { 0 };
    let in_direction = |step: usize| {
        let u = Vec2::from_angle(std::f64::consts::PI * step as f64 / DIRECTIONS as f64);
        let mut parts: Vec<f64> = own.iter().map(|(weight, by)| weight * by.dot(u).powi(2)).collect();
        parts.sort_by(|a, b| b.total_cmp(a));
        let mut sum = 0.0;
        parts
            .iter()
            .take_while(|part| {
                let short = sum < needed * (1.0 - 1e-9);
                sum += **part;
                short
            })
            .count()
    };
    (0..DIRECTIONS).map(in_direction).max().unwrap_or(0).max(by_check)
}

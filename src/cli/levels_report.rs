//! What `levels` says in plain words.

use crate::{
    survey::{
        FloorAssessment, FloorQuantity, FloorSurface, Judgement, Plane, Verdict, WheelStance,
    },
    units::{inch_text_to, mm_exact},
    words::{HEIGHTS_PER_INCH, Lengths},
};

/// The report, line by line.
pub(super) fn report(floor: &FloorAssessment, lengths: Lengths) -> String {
    let mut lines = vec![format!(
        "{} points, standard deviation of one height {} mm; {}, heights over their mean\n",
        floor.points.len(),
        mm_exact(floor.sigma, 3),
        lengths.unit()
    )];
    let on = Numbers(lengths);
    lines.extend(on.table(floor));
    lines.push(String::new());
    lines.extend(on.plane_lines("the floor", &floor.plane, floor.sigma));
    let name = |index: usize| floor.points[index].name.as_str();
    lines.push(format!(
        "lowest reading: {}; the plane is lowest at {}",
        name(floor.lowest()),
        name(floor.low_corner())
    ));
    let (farthest, deviation) = floor.plane.largest_deviation();
    match floor.plane.dof {
        0 => lines.push(
            "three points make a plane without a check: a wrong reading cannot be noticed, and nothing is known of \
             evenness; read a fourth point, better all corners and the four wheels"
                .to_owned(),
        ),
        _ => lines.push(format!("largest deviation: {}, {}", name(farthest), lengths.beside_plane(deviation))),
    }
    for (prefix, stance) in &floor.wheels {
        lines.push(String::new());
        lines.extend(on.wheel_lines(prefix, stance, floor.sigma));
    }
    lines.extend(on.verdict_lines(floor));
    lines.push(String::new());
    lines.join("\n")
}

/// Writes the report's numbers, in mm or with inches behind them.
#[derive(Clone, Copy)]
struct Numbers(Lengths);

impl Numbers {
    /// A height for a table, with its sign.
    fn height_cell(self, mm: f64) -> String {
        let text = signed(mm, 1);
        if self.0.inches {
            format!("{text} ({})", inch_text_to(mm, HEIGHTS_PER_INCH))
        } else {
            text
        }
    }

    fn table(self, floor: &FloorAssessment) -> Vec<String> {
        let longest = floor
            .points
            .iter()
            .map(|point| point.name.chars().count())
            .max()
            .unwrap_or(0);
        let width = longest.max(8);
        let mean =
            floor.points.iter().map(|point| point.height).sum::<f64>() / floor.points.len() as f64;
        let (place, high) = if self.0.inches { (21, 17) } else { (11, 11) };
        let mut lines = vec![format!(
            "{:width$}{:>place$}{:>place$}{:>high$}{:>high$}",
            "point", "+ forward", "+ left", "height", "deviation"
        )];
        lines.extend(
            floor
                .points
                .iter()
                .zip(&floor.plane.deviations)
                .map(|(point, deviation)| {
                    let (x, y) = (self.0.cell(point.at.x, 0), self.0.cell(point.at.y, 0));
                    let height = self.height_cell(point.height - mean);
                    let deviation = self.height_cell(*deviation);
                    format!(
                        "{:width$}{x:>place$}{y:>place$}{height:>high$}{deviation:>high$}",
                        point.name
                    )
                }),
        );
        lines
    }

    fn plane_lines(self, what: &str, plane: &Plane, sigma: f64) -> Vec<String> {
        let (slope, sd) = (&plane.slope, plane.slope.deviation(sigma));
        let part = |value: f64, sd: f64, (up, down): (&str, &str)| {
            let way = if value < 0.0 { down } else { up };
            format!(
                "{way} {} (sd {})",
                self.0.slope(value.abs()),
                mm_exact(sd, 2)
            )
        };
        let steepest = format!(
            "greatest slope {} = {} %",
            self.0.slope(slope.steepest()),
            mm_exact(slope.percent(), 3)
        );
        let direction = match (slope.falls(), slope.falls_towards(), sd.direction) {
            (Some(words), Some(degrees), Some(sd)) => {
                let side = if degrees < 0.0 { "right" } else { "left" };
                format!(
                    ", falls {words}: {}° to the {side} of forward (sd {}°)",
                    mm_exact(degrees.abs(), 0),
                    mm_exact(sd, 0)
                )
            }
            (Some(_), ..) => {
                ", no larger than its standard deviation: the direction is not known".to_owned()
            }
            _ => String::new(),
        };
        let mut lines = vec![
            format!(
                "{what} {}, {}",
                part(slope.along, sd.along, ("rises forward", "falls forward")),
                part(
                    slope.across,
                    sd.across,
                    ("rises to the left", "rises to the right")
                )
            ),
            format!("{steepest}{direction}"),
        ];
        if let Some(sigma0) = plane.sigma0 {
            let sd = slope.deviation(sigma0);
            lines.push(format!(
            "by the deviations themselves ({} to spare) one height has a standard deviation of {} mm, the slopes {} and {} mm/m",
            if plane.dof == 1 { "one reading".to_owned() } else { format!("{} readings", plane.dof) },
            mm_exact(sigma0, 2),
            mm_exact(sd.along, 2),
            mm_exact(sd.across, 2)
        ));
        }
        lines
    }

    fn wheel_lines(self, prefix: &str, stance: &WheelStance, sigma: f64) -> Vec<String> {
        let vehicle = match prefix.trim_end_matches(':') {
            "" => String::new(),
            letter => format!(" of vehicle {letter}"),
        };
        let mut lines = self.plane_lines(
            &format!("below the four wheels{vehicle} the floor"),
            &stance.plane,
            sigma,
        );
        // What its four deviations say, the twist says better.
        lines.truncate(2);
        let across = |value: f64| {
            let side = if value < 0.0 { "right" } else { "left" };
            format!("{} to the {side}", self.0.slope(value.abs()))
        };
        lines.push(format!(
            "it rises across by {} at the front wheels and {} at the rear wheels",
            across(stance.front_across),
            across(stance.rear_across)
        ));
        let out = (0..4)
            .map(|wheel| stance.stands_out(wheel).abs())
            .fold(0.0, f64::max);
        lines.push(format!(
        "twist: the diagonals pass each other by {} (sd {}); one wheel stands {} out of the plane of the other three",
        self.0.height(stance.twist),
        mm_exact(stance.twist_deviation(sigma), 1),
        self.0.height(out)
    ));
        lines
    }

    fn verdict_lines(self, floor: &FloorAssessment) -> Vec<String> {
        let Some(verdict) = floor.verdict() else {
            return Vec::new();
        };
        let wide = if self.0.inches { 32 } else { 10 };
        let mut lines = vec![
            String::new(),
            format!(
                "{:36}{:>wide$}{:>wide$}{:>7}  verdict",
                "limit", "measured", "may be", "sd"
            ),
        ];
        lines.extend(floor.judgements.iter().map(|judgement| {
            format!(
                "{:36}{:>wide$}{:>wide$}{:>7}  {}",
                judged_in_words(judgement, floor),
                self.judged(judgement, judgement.value),
                self.judged(judgement, judgement.limit),
                mm_exact(judgement.sd, 2),
                judgement.verdict.word()
            )
        }));
        let why = match verdict {
            Verdict::Inside => "every value is within its limit, with 95 % certainty or more",
            Verdict::Outside => "a value is beyond its limit",
            Verdict::Undecided if floor.plane.dof == 0 => "three points decide nothing; read more",
            Verdict::Undecided => {
                "a value is so near to its limit that the readings do not decide; read again, or use a better level"
            }
        };
        lines.push(format!("\nthe floor: {}, {why}", verdict.word()));
        lines
    }

    /// A value or a limit in the unit that its row names; in inches each has its own.
    fn judged(self, judgement: &Judgement, value: f64) -> String {
        match judgement.quantity {
            _ if !self.0.inches => mm_exact(value, 2),
            FloorQuantity::Slope => self.0.slope(value),
            FloorQuantity::Flatness => self.0.height(value),
        }
    }
}

fn judged_in_words(judgement: &Judgement, floor: &FloorAssessment) -> String {
    let surface = match judgement.surface {
        FloorSurface::Floor => "floor".to_owned(),
        FloorSurface::Wheels(index) => format!("{}wheels", floor.wheels[index].0),
    };
    match judgement.quantity {
        FloorQuantity::Slope => format!("{surface}: greatest slope, mm/m"),
        FloorQuantity::Flatness => format!("{surface}: largest deviation, mm"),
    }
}

/// A number with its sign and a true minus, without one where it rounds to 0.
fn signed(value: f64, decimals: usize) -> String {
    let text = format!("{value:+.decimals$}");
    match text.trim_start_matches(['+', '-']).trim_matches(['0', '.']) {
        "" => text[1..].to_owned(),
        _ => text.replace('-', "\u{2212}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signed_numbers_have_a_true_minus_and_no_signed_zero() {
        assert_eq!(
            [signed(1.26, 1), signed(-12.04, 1), signed(-0.04, 1)],
            ["+1.3", "\u{2212}12.0", "0.0"]
        );
    }
}

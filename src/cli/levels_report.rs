//! What `levels` says in plain words.

use crate::{
    survey::{
        FloorAssessment, FloorQuantity, FloorSurface, Judgement, Plane, Verdict, WheelStance,
    },
    units::{mm_exact, mm_text},
};

/// The report, line by line.
pub(super) fn report(floor: &FloorAssessment) -> String {
    let mut lines = vec![format!(
        "{} points, standard deviation of one height {} mm; mm, heights over their mean\n",
        floor.points.len(),
        mm_exact(floor.sigma, 3)
    )];
    lines.extend(table(floor));
    lines.push(String::new());
    lines.extend(plane_lines("the floor", &floor.plane, floor.sigma));
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
        _ => lines.push(format!("largest deviation: {}, {}", name(farthest), beside_plane(deviation))),
    }
    for (prefix, stance) in &floor.wheels {
        lines.push(String::new());
        lines.extend(wheel_lines(prefix, stance, floor.sigma));
    }
    lines.extend(verdict_lines(floor));
    lines.push(String::new());
    lines.join("\n")
}

fn table(floor: &FloorAssessment) -> Vec<String> {
    let longest = floor
        .points
        .iter()
        .map(|point| point.name.chars().count())
        .max()
        .unwrap_or(0);
    let width = longest.max(8);
    let mean =
        floor.points.iter().map(|point| point.height).sum::<f64>() / floor.points.len() as f64;
    let mut lines = vec![format!(
        "{:width$}{:>9}{:>9}{:>9}{:>11}",
        "point", "forward", "left", "height", "deviation"
    )];
    lines.extend(
        floor
            .points
            .iter()
            .zip(&floor.plane.deviations)
            .map(|(point, deviation)| {
                let (x, y) = (mm_text(point.at.x), mm_text(point.at.y));
                let (height, deviation) = (signed(point.height - mean, 1), signed(*deviation, 1));
                format!(
                    "{:width$}{x:>9}{y:>9}{height:>9}{deviation:>11}",
                    point.name
                )
            }),
    );
    lines
}

fn plane_lines(what: &str, plane: &Plane, sigma: f64) -> Vec<String> {
    let (slope, sd) = (&plane.slope, plane.slope.deviation(sigma));
    let part = |value: f64, sd: f64, (up, down): (&str, &str)| {
        let way = if value < 0.0 { down } else { up };
        format!(
            "{way} {} mm/m (sd {})",
            mm_exact(value.abs(), 2),
            mm_exact(sd, 2)
        )
    };
    let steepest = format!(
        "greatest slope {} mm/m = {} %",
        mm_exact(slope.steepest(), 2),
        mm_exact(slope.percent(), 3)
    );
    let direction = match (slope.falls(), slope.falls_towards(), sd.direction) {
        (Some(words), Some(degrees), Some(sd)) => {
            // 180 and −180 are one direction.
            let degrees = if degrees.round() == -180.0 {
                180.0
            } else {
                degrees
            };
            format!(
                ", falls {words}: {}° from forward, left positive (sd {}°)",
                mm_exact(degrees, 0),
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

fn wheel_lines(prefix: &str, stance: &WheelStance, sigma: f64) -> Vec<String> {
    let vehicle = match prefix.trim_end_matches(':') {
        "" => String::new(),
        letter => format!(" of vehicle {letter}"),
    };
    let mut lines = plane_lines(
        &format!("below the four wheels{vehicle} the floor"),
        &stance.plane,
        sigma,
    );
    // What its four deviations say, the twist says better.
    lines.truncate(2);
    let across = |value: f64| {
        let side = if value < 0.0 { "right" } else { "left" };
        format!("{} mm/m to the {side}", mm_exact(value.abs(), 2))
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
        "twist: the diagonals pass each other by {} mm (sd {}); one wheel stands {} mm out of the plane of the other three",
        mm_exact(stance.twist.abs(), 1),
        mm_exact(stance.twist_deviation(sigma), 1),
        mm_exact(out, 1)
    ));
    lines
}

fn verdict_lines(floor: &FloorAssessment) -> Vec<String> {
    let Some(verdict) = floor.verdict() else {
        return Vec::new();
    };
    let mut lines = vec![
        String::new(),
        format!(
            "{:36}{:>9}{:>9}{:>7}  verdict",
            "limit", "found", "may be", "sd"
        ),
    ];
    lines.extend(floor.judgements.iter().map(|judgement| {
        format!(
            "{:36}{:>9}{:>9}{:>7}  {}",
            judged_in_words(judgement, floor),
            mm_exact(judgement.value, 2),
            mm_exact(judgement.limit, 2),
            mm_exact(judgement.sd, 2),
            judgement.verdict.word()
        )
    }));
    let why = match verdict {
        Verdict::Inside => "every value is within its limit, with 95 % certainty or more",
        Verdict::Outside => "a value is beyond its limit",
        Verdict::Undecided if floor.plane.dof == 0 => "three points decide nothing; read more",
        Verdict::Undecided => {
            "a value is so near to its limit that the readings cannot tell; read again, or with a better level"
        }
    };
    lines.push(format!("\nthe floor: {}, {why}", verdict.word()));
    lines
}

/// The floor in two sentences.
pub(super) fn sentences(floor: &FloorAssessment) -> Vec<String> {
    let verdict = match floor.verdict() {
        None => "Floor: measured, no limits given.",
        Some(Verdict::Inside) => "Floor: inside its limits.",
        Some(Verdict::Outside) => "Floor: outside its limits.",
        Some(Verdict::Undecided) => "Floor: undecided, too close to its limits to tell.",
    };
    let slope = &floor.plane.slope;
    let (farthest, deviation) = floor.plane.largest_deviation();
    let falls = slope
        .falls()
        .map_or_else(String::new, |words| format!(", falls {words}"));
    let greatest = format!(
        "Greatest slope {} mm/m{falls}; farthest from the plane {}, {}.",
        mm_exact(slope.steepest(), 2),
        floor.points[farthest].name,
        beside_plane(deviation)
    );
    vec![verdict.to_owned(), greatest]
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

fn beside_plane(deviation: f64) -> String {
    let side = if deviation < 0.0 { "below" } else { "above" };
    format!("{} mm {side} the plane", mm_exact(deviation.abs(), 1))
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

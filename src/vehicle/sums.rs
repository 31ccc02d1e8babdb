//! Sums that show a slip of the tape while the vehicle is still there, from as many dimensions as were taken. Their limits are those that
//! a vehicle's file is held to.

use super::spec::{TYRE_STANDS_OUT_MM, WHEELBASE_DIFFERENCE_MM};

/// Dimensions of a vehicle as far as they were taken, sensible or not, mm. Named as in [`VehicleSpec`](super::VehicleSpec).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Taken {
    /// Left and right.
    pub wheelbases: Option<(f64, f64)>,
    /// Front and rear.
    pub overhangs: Option<(f64, f64)>,
    /// The wider of front and rear track.
    pub wider_track: Option<f64>,
    /// Section width of the tyre.
    pub tyre: Option<f64>,
    /// Overall width, without mirrors.
    pub width: Option<f64>,
    /// Width over mirrors.
    pub mirrors: Option<f64>,
}

/// The tyres of the wider axle against the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyresAtBody {
    /// Their outer faces apart: track and one tyre, mm.
    pub outside: f64,
    /// How much that is above the overall width (negative: below it), mm.
    pub above: f64,
    /// Within what a vehicle's file may have.
    pub holds: bool,
}

impl Taken {
    /// Bumper to bumper: both overhangs and the mean wheelbase, mm. Whether it holds, a tape along the whole vehicle shows.
    #[must_use]
    pub fn length_over_all(&self) -> Option<f64> {
        let ((left, right), (front, rear)) = self.wheelbases.zip(self.overhangs)?;
        Some(front + f64::midpoint(left, right) + rear)
    }

    /// How far left and right wheelbase are apart, mm, and whether that holds.
    #[must_use]
    pub fn wheelbases_apart(&self) -> Option<(f64, bool)> {
        let (left, right) = self.wheelbases?;
        let apart = (left - right).abs();
        Some((apart, apart <= WHEELBASE_DIFFERENCE_MM))
    }

    /// The wider axle's tyres against the body.
    #[must_use]
    pub fn tyres_at_body(&self) -> Option<TyresAtBody> {
        let ((track, tyre), width) = self.wider_track.zip(self.tyre).zip(self.width)?;
        let above = track + tyre - width;
        Some(TyresAtBody {
            outside: track + tyre,
            above,
            holds: track < width && above <= 2.0 * TYRE_STANDS_OUT_MM,
        })
    }

    /// How much wider the vehicle is over its mirrors, mm, and whether that holds.
    #[must_use]
    pub fn mirrors_beyond_body(&self) -> Option<(f64, bool)> {
        let (mirrors, width) = self.mirrors.zip(self.width)?;
        Some((mirrors - width, mirrors >= width))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{source::Source, vehicle::VehicleSpec};

    const VAN: Taken = Taken {
        wheelbases: Some((3450.0, 3470.0)),
        overhangs: Some((1010.0, 1090.0)),
        wider_track: Some(1735.0),
        tyre: Some(236.0),
        width: Some(2055.0),
        mirrors: Some(2480.0),
    };

    /// True where a vehicle's file with these dimensions is read.
    fn is_read(taken: &Taken) -> bool {
        let [(left, right), (front, rear)] =
            [taken.wheelbases, taken.overhangs].map(|pair| pair.expect("taken"));
        let [track, tyre, width, mirrors] =
            [taken.wider_track, taken.tyre, taken.width, taken.mirrors]
                .map(|one| one.expect("taken"));
        let text = format!(
            "format = \"vehicle/1\"\nname = \"van\"\nsource = \"invented\"\nwheelbase_left = {left}\nwheelbase_right = {right}\nfront_overhang = {front}\nrear_overhang = {rear}\nfront_track = {track}\nrear_track = {track}\ntyre_width = {tyre}\noverall_width = {width}\nwidth_over_mirrors = {mirrors}\n"
        );
        VehicleSpec::read(&Source::new("van.toml", &text)).is_ok()
    }

    #[test]
    fn a_length_is_overhangs_and_the_mean_wheelbase_and_nothing_where_one_is_missing() {
        assert_eq!(VAN.length_over_all(), Some(5560.0));
        assert_eq!(
            Taken {
                overhangs: None,
                ..VAN
            }
            .length_over_all(),
            None
        );
    }

    #[test]
    fn a_sum_holds_where_the_vehicles_file_is_read() {
        let cases = [
            VAN,
            Taken {
                wheelbases: Some((3450.0, 3570.0)),
                ..VAN
            },
            Taken {
                wheelbases: Some((3450.0, 3571.0)),
                ..VAN
            },
            Taken {
                tyre: Some(440.0),
                ..VAN
            },
            Taken {
                tyre: Some(441.0),
                ..VAN
            },
            Taken {
                wider_track: Some(2056.0),
                tyre: Some(110.0),
                ..VAN
            },
            Taken {
                mirrors: Some(2055.0),
                ..VAN
            },
            Taken {
                mirrors: Some(2054.0),
                ..VAN
            },
        ];
        let hold = cases.map(|taken| {
            let holds = [
                taken.wheelbases_apart().expect("taken").1,
                taken.tyres_at_body().expect("taken").holds,
                taken.mirrors_beyond_body().expect("taken").1,
            ];
            let all = holds == [true; 3];
            assert_eq!(all, is_read(&taken), "{taken:?}");
            all
        });
        assert_eq!(hold, [true, true, false, true, false, false, true, false]);
    }
}

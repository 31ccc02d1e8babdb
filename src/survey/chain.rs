//! Sheets joined one to the next.
//!
//! The first sheet, the datum sheet, carries the front mark of the tape base. It is laid on the chalk
//! line by two drawn points as far apart as the sheet is long, the front one being that mark. From
//! there every joint adds a shift and a turn (see [`Joint::effects`]), the turn with the lever arm from
//! the joint to the mark, and the scale of printer and paper acts on the whole distance. Paths are
//! taken as open: where sheets close a ring the closure helps, and is not counted.

use kurbo::{Point, Vec2};

use super::{Cause, Influence, Joint, setting_out::SettingOut};

/// Sheets joined one to the next from the datum sheet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chain<'a> {
    /// How the datum sheet is laid.
    pub setting_out: SettingOut<'a>,
    /// The mark on the datum sheet that is laid on its station.
    pub datum: Point,
    /// Length of a sheet, mm.
    pub sheet_length: f64,
}

impl Chain<'_> {
    /// All influences on a mark at the end of a path of joints.
    pub(super) fn influences(&self, mark: Point, path: &[Joint]) -> Vec<Influence> {
        let mut all = self.datum_sheet(mark);
        for joint in path {
            all.extend(caused(
                Cause::Joint,
                joint.effects(self.setting_out.precision.joint, mark),
            ));
        }
        all.extend(self.setting_out.scale(mark - self.datum));
        all
    }

    /// How the datum sheet lies: on the chalk line, by two points, its front one on its station. The
    /// chalk line turns the whole mat, so its plumbed points act at the mark; the tape acts at the datum.
    fn datum_sheet(&self, mark: Point) -> Vec<Influence> {
        let (setting_out, precision) = (self.setting_out, self.setting_out.precision);
        let mut all = setting_out.datum(mark).to_vec();
        all.push(setting_out.tape(self.datum));
        all.push(Influence::new(Cause::Reading, precision.reading, 0.0));
        let Some(laid) = Joint::between(self.datum, self.datum - Vec2::new(self.sheet_length, 0.0))
        else {
            return all;
        };
        let [_, sideways, turn] = laid.effects(precision.centreline, mark);
        all.extend(caused(Cause::Centreline, [sideways, turn]));
        all.extend(caused(
            Cause::MarkWidth,
            laid.effects(precision.marking(), mark),
        ));
        all.extend(caused(Cause::Joint, laid.effects(precision.joint, mark)));
        all
    }
}

fn caused<const N: usize>(cause: Cause, effects: [Vec2; N]) -> [Influence; N] {
    effects.map(|effect| Influence { cause, effect })
}

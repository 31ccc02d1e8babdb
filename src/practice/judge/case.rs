//! A form with what is wrong on it.

use kurbo::Vec2;

use super::{
    proof::{Further, Judged},
    row::Row,
};
use crate::{
    practice::{Draw, Level, Ruling, Setting},
    survey::Verdict,
    units::{MM_PER_INCH, ROUND_OFF},
};

/// The guard band in standard deviations, as the page says it: [`guard_factor`](crate::survey::guard_factor) to three decimals.
pub(super) const GUARD_FACTOR: f64 = 1.645;

/// How far a mark that lies off does so, mm: beyond every limit of the short plan.
const MOVED_MM: [f64; 2] = [25.0, 50.0];

/// How far a reading that is wrong is off beyond its limit and guard band, graduations.
const MISREAD: [i64; 2] = [20, 60];
const MISREAD_SIXTEENTHS: [i64; 2] = [12, 40];

/// A reading that is inside is so by this many graduations or more beside its guard band.
const CLEAR: i64 = 1;

/// Scatter of what is right, as part of the standard deviation of a reading: a floor that was laid with care.
const SCATTER: f64 = 1.0;

/// What may be wrong on a form, beside rows too near to their limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// Nothing.
    AllRead,
    /// A mark lies off.
    Moved,
    /// A reading is wrong.
    Misread,
    /// A row has no reading.
    Blank,
}

impl Sort {
    pub const ALL: [Self; 4] = [Self::AllRead, Self::Moved, Self::Misread, Self::Blank];
}

/// What is to be done next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Next {
    /// Nothing is left to do.
    Nothing,
    /// This mark is moved.
    Move(usize),
    /// This row is taped again.
    Again(usize),
    /// This row is taped, which is blank.
    Tape(usize),
}

/// A sound case. Lengths in mm.
pub(super) struct Case<'a> {
    pub setting: &'a Setting,
    pub level: Level,
    pub rows: Vec<Row>,
    /// Reading less plan of each row; `None` where the form is blank.
    pub differences: Vec<Option<f64>>,
    /// Standard deviation of a reading as the page says it.
    pub sd: f64,
    /// Guard band of the page, on a graduation.
    pub guard: f64,
    pub next: Next,
}

impl<'a> Case<'a> {
    /// Draws a case of a sort; `None` where the rules of the page do not lead to it.
    pub fn draw(setting: &'a Setting, level: Level, sort: Sort, draw: &mut Draw) -> Option<Self> {
        let ruling = setting.ruling();
        let rows = Row::all(setting.short_plan(), ruling);
        let sd = rows.iter().map(|row| row.sd).fold(0.0, f64::max);
        let sd = ruling.pick(up(sd, 0.1), up(sd, MM_PER_INCH / 1000.0));
        let guard = up(GUARD_FACTOR * sd, ruling.step());
        let near = level.of([0, 1, 1, 2]);
        let mut case = Self {
            setting,
            level,
            differences: Vec::new(),
            rows,
            sd,
            guard,
            next: Next::Nothing,
        };
        let mut exact = vec![0.0; case.rows.len()];
        let mut blank = None;
        if case.rows.is_empty() {
            return None;
        }
        let any = draw.whole(0, case.rows.len() as i64 - 1) as usize;
        match sort {
            Sort::AllRead => {}
            Sort::Moved => {
                let mark = draw.whole(0, setting.plan.marks.len() as i64 - 1) as usize;
                let by = moved(draw);
                for (row, off) in case.rows.iter().zip(&mut exact) {
                    *off = row.effect(&setting.plan, mark, by);
                }
                case.next = Next::Move(mark);
            }
            Sort::Misread => {
                let [least, most] = ruling.pick(MISREAD, MISREAD_SIXTEENTHS);
                let sign = if draw.coin() { 1.0 } else { -1.0 };
                let beyond = draw.whole(least, most) as f64 * ruling.step();
                exact[any] = sign * (case.rows[any].limit + guard + beyond);
                case.next = Next::Again(any);
            }
            Sort::Blank => {
                blank = Some(any);
                case.next = Next::Tape(any);
            }
        }
        for (index, (row, off)) in case.rows.iter().zip(&exact).enumerate() {
            let read = ruling.round(off + draw.normal(SCATTER * row.sd));
            case.differences
                .push((blank != Some(index)).then_some(read));
        }
        case.put_near(near, &exact, draw)?;
        case.page_leads_there().then_some(case)
    }

    /// Puts some rows into their guard bands, those that nothing else is wrong with.
    fn put_near(&mut self, near: usize, exact: &[f64], draw: &mut Draw) -> Option<()> {
        let step = self.ruling().step();
        let mut free: Vec<usize> = (0..self.rows.len())
            .filter(|&at| exact[at] == 0.0 && self.differences[at].is_some())
            .collect();
        draw.shuffle(&mut free);
        for &at in free.iter().take(near) {
            let sign = if draw.coin() { 1.0 } else { -1.0 };
            let within = (self.guard / step).round() as i64 - 1;
            let off = (self.rows[at].limit / step).floor() * step
                - draw.whole(0, (within - 1).max(0)) as f64 * step;
            self.differences[at] = Some(sign * off);
        }
        if near > 0 && self.next == Next::Nothing {
            // With rows that are undecided something is left to do.
            self.next = Next::Again(*free.first()?);
            if near > 1 {
                return None;
            }
        }
        Some(())
    }

    /// The ruling of the page.
    pub fn ruling(&self) -> Ruling {
        self.setting.ruling()
    }

    /// Verdict of a row that was read.
    pub fn verdict(&self, row: usize) -> Option<Verdict> {
        Some(self.rows[row].verdict(self.differences[row]?, self.guard))
    }

    /// The rows with a verdict.
    pub fn rows_that_are(&self, verdict: Verdict) -> Vec<usize> {
        (0..self.rows.len())
            .filter(|&row| self.verdict(row) == Some(verdict))
            .collect()
    }

    /// The whole: outside where a mark lies off, inside where nothing is left to do, else undecided.
    pub fn whole(&self) -> Verdict {
        match self.next {
            Next::Nothing => Verdict::Inside,
            Next::Move(_) => Verdict::Outside,
            Next::Again(_) | Next::Tape(_) => Verdict::Undecided,
        }
    }

    /// The only name that several rows share; `None` where there is none or more than one.
    pub fn shared_name(&self, rows: &[usize]) -> Option<&str> {
        let (first, rest) = rows.split_first()?;
        let mut shared = self.rows[*first].names.iter().filter(|name| {
            let has = |row: &&usize| self.rows[**row].names.contains(name);
            rest.iter().filter(has).count() == rest.len()
        });
        let name = shared.next()?;
        shared.next().is_none().then_some(name.as_str())
    }

    /// True when the rules of the page lead to what is to be done, and no row is so near to a bound that a graduation decides.
    fn page_leads_there(&self) -> bool {
        let clear = self.rows.iter().zip(&self.differences).all(|(row, off)| {
            let off = off.map_or(0.0, f64::abs);
            let clear = CLEAR as f64 * self.ruling().step() * 0.4;
            [row.limit - self.guard, row.limit + self.guard]
                .into_iter()
                .all(|bound| (off - bound).abs() > clear)
        });
        let outside = self.rows_that_are(Verdict::Outside);
        let undecided = self.rows_that_are(Verdict::Undecided).len();
        let near = usize::from(self.level.of([0_u8, 1, 1, 2]));
        let led = match self.next {
            Next::Nothing => outside.is_empty(),
            Next::Move(mark) => {
                let id = self.setting.plan.marks[mark].id.as_str();
                outside.len() >= 2 && self.shared_name(&outside) == Some(id)
            }
            Next::Again(row) => outside == [row] || (outside.is_empty() && undecided == 1),
            Next::Tape(_) => outside.is_empty(),
        };
        clear && led && undecided == near
    }

    /// True when the judgement of the real work asks for the same.
    pub fn is_real(&self) -> bool {
        let further = match self.next {
            Next::Nothing | Next::Again(_) => Further::Nothing,
            Next::Tape(_) => Further::Form,
            Next::Move(_) => Further::All,
        };
        let Some(judged) = Judged::of(self.setting, &self.rows, &self.differences, further) else {
            return false;
        };
        let verdict = judged.assessment.verdict;
        let (moves, suspects) = (judged.moves(), judged.suspects());
        if judged.grid_or_wheel() {
            return false;
        }
        match self.next {
            Next::Nothing => {
                moves.is_empty() && suspects.is_empty() && verdict == Some(Verdict::Inside)
            }
            Next::Move(mark) => {
                moves == [self.setting.plan.marks[mark].id.as_str()]
                    && suspects.is_empty()
                    && verdict == Some(Verdict::Outside)
            }
            Next::Again(row) if self.verdict(row) == Some(Verdict::Outside) => {
                moves.is_empty() && suspects == [row] && verdict == Some(Verdict::Undecided)
            }
            // A row too near to its limit alone is no mistake of which the whole form would know.
            Next::Again(_) => {
                moves.is_empty() && suspects.is_empty() && verdict != Some(Verdict::Outside)
            }
            Next::Tape(row) => {
                moves.is_empty()
                    && suspects.is_empty()
                    && verdict == Some(Verdict::Undecided)
                    && judged.asks_for(&self.rows[row])
            }
        }
    }
}

/// Forward, rearward, left or right.
fn moved(draw: &mut Draw) -> Vec2 {
    let by = draw.whole(MOVED_MM[0] as i64, MOVED_MM[1] as i64) as f64;
    let by = if draw.coin() { by } else { -by };
    if draw.coin() {
        Vec2::new(by, 0.0)
    } else {
        Vec2::new(0.0, by)
    }
}

/// Up to the next multiple of a step.
fn up(mm: f64, step: f64) -> f64 {
    (mm / step - ROUND_OFF).ceil() * step
}

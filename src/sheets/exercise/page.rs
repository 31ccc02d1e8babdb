//! Head and foot of an exercise sheet.

use kurbo::Rect;

use super::{PracticePaper, Reader};
use crate::{
    drawing::{Drawing, Layer, Stroke, Text, Weight, heights, text_width, widths},
    page::{Fragment, drawing_space, frame, shorten, wrap},
    paper::Paper,
    practice::Exercise,
    words::NO_BREAK,
};

/// Clear space between the frame and what stands in it, mm.
const INSET: f64 = 2.0;
/// Clear height between head, body and foot, mm.
const GAP: f64 = 2.5;
/// Height of a line that a name is written on, mm.
const WRITE: f64 = 8.0;
/// Baseline to baseline as a multiple of the lettering.
const LEADING: f64 = 1.6;

/// Stands for a hyphen while lines are broken: as wide, and no line ends at it.
const HYPHEN_OF_A_WORD: &str = "\u{2212}";

const CAUTION: &str =
    "Practice numbers, not for a vehicle: the vehicle maker's service information goes first.";

/// What head and foot say.
pub struct Words {
    /// Bookmark, and head of the pages after the first.
    pub name: String,
    /// Title in large letters.
    pub title: String,
    /// Lines below the title.
    pub lines: Vec<String>,
    /// How to make the sheet again.
    pub again: String,
    /// Points in all, where there is room for name, date and score.
    pub score: Option<u32>,
    /// The trainee's name, where it is known.
    pub trainee: Option<String>,
}

impl Words {
    /// What a sheet of an exercise says. The trainee's has a code in place of what would make it again.
    pub fn of(exercise: &Exercise, on: &PracticePaper<'_>, reader: Reader) -> Self {
        let (kind, level, number) = (exercise.kind, exercise.level.number(), exercise.number);
        let (answers, again) = match reader {
            Reader::Trainee => ("", PROGRAM.to_owned()),
            Reader::Teacher => (", answers", on.again(exercise)),
        };
        let points = exercise.points();
        let worth = match reader {
            Reader::Trainee => String::new(),
            Reader::Teacher => format!(" · {}", points_in_words(points)),
        };
        Self {
            name: format!("{number} · {}{answers}", kind.title()),
            title: format!("{}{answers}", kind.title()),
            lines: vec![format!(
                "Sheet {number} · level {level} of 4 · {}{worth} · {}",
                exercise.code, exercise.subject
            )],
            again,
            score: (reader == Reader::Trainee && points > 0).then_some(points),
            trainee: exercise.name.clone(),
        }
    }
}

/// The program with its version.
const PROGRAM: &str = concat!("baystencil ", env!("CARGO_PKG_VERSION"));

impl PracticePaper<'_> {
    /// The command that makes a sheet again.
    fn again(&self, exercise: &Exercise) -> String {
        let (kind, level) = (exercise.kind.word(), exercise.level.number());
        self.command(&format!(
            "--kinds {kind} --level {level} --seed {} --first {}",
            exercise.seed, exercise.number
        ))
    }

    /// A command with these flags, and the version that it goes with.
    pub(super) fn command(&self, flags: &str) -> String {
        let origin = if self.origin.is_empty() {
            String::new()
        } else {
            format!(" {}", self.origin)
        };
        let version = env!("CARGO_PKG_VERSION");
        format!("baystencil practice{origin} {flags} · version{NO_BREAK}{version}")
    }
}

/// A number of points with its noun.
pub fn points_in_words(points: u32) -> String {
    format!("{points} {}", if points == 1 { "point" } else { "points" })
}

/// The page that bodies are put on.
pub struct Page<'a> {
    paper: &'a Paper,
    words: &'a Words,
    head: Fragment,
    foot: Fragment,
    /// Room between the frame's sides, from the foot to the frame's upper edge.
    pub body: Rect,
}

impl<'a> Page<'a> {
    /// A page with its words.
    pub fn new(paper: &'a Paper, words: &'a Words) -> Self {
        let space = drawing_space(paper).inset(-INSET);
        let foot = foot(words, space.width());
        let body = Rect {
            y0: space.y0 + foot.height + GAP,
            ..space
        };
        Self {
            paper,
            words,
            head: head(words, space.width()),
            foot,
            body,
        }
    }

    /// Height for a body on the first page, mm.
    pub fn first_room(&self) -> f64 {
        self.body.height() - self.head.height - GAP
    }

    /// Height for a body on any other page, mm.
    pub fn next_room(&self) -> f64 {
        self.body.height() - heights::HEADING * LEADING - GAP
    }

    /// Puts a body on its page, `number` of `of`.
    pub fn draw(&self, body: &Fragment, number: usize, of: usize) -> Drawing {
        let more = if of > 1 {
            format!(" ({number}/{of})")
        } else {
            String::new()
        };
        let mut page = Drawing::new(
            format!("{}{more}", self.words.name),
            self.paper.width,
            self.paper.height,
        );
        let Rect { x0, x1, y0, y1 } = self.body;
        let top = if number == 1 {
            self.head.place(&mut page, x0, y1);
            y1 - self.head.height - GAP
        } else {
            let words = format!("{}, continued", self.words.name);
            page.text(Text::new((x0, y1 - heights::HEADING), heights::HEADING, words).bold());
            y1 - heights::HEADING * LEADING - GAP
        };
        body.place(&mut page, x0, top);
        self.foot.place(&mut page, x0, y0 - GAP);
        let first_line = y0 - GAP - 1.0 - heights::TEXT;
        page.text(
            Text::new(
                (x1, first_line),
                heights::TEXT,
                format!("page {number} of {of}"),
            )
            .right(),
        );
        frame(&mut page, self.paper);
        page
    }
}

fn head(words: &Words, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    let title = Text::new((0.0, -heights::TITLE), heights::TITLE, words.title.clone()).bold();
    piece.canvas().text(title);
    piece.height = heights::TITLE;
    for line in words
        .lines
        .iter()
        .flat_map(|line| wrap(line, width, heights::TEXT, Weight::Regular))
    {
        piece.height += heights::TEXT * LEADING;
        let baseline = -piece.height;
        piece
            .canvas()
            .text(Text::new((0.0, baseline), heights::TEXT, line));
    }
    if let Some(points) = words.score {
        piece.height += WRITE + 1.0;
        fields(&mut piece, points, words.trainee.as_deref(), width);
    }
    piece.height += 2.0;
    let y = -piece.height;
    piece.canvas().line(
        Layer::Labels,
        (0.0, y),
        (width, y),
        Stroke::solid(widths::MEDIUM),
    );
    piece
}

/// Lines for name, date and score, on the baseline that the head has come to.
fn fields(piece: &mut Fragment, points: u32, trainee: Option<&str>, width: f64) {
    let (y, thin) = (-piece.height, Stroke::solid(widths::THIN));
    let score = format!("/ {}", points_in_words(points));
    let score_width = text_width(&score, heights::HEADING, Weight::Regular);
    let end = width - score_width - 1.5;
    // Starts as parts of the width; the score has the rest.
    let stops = [(0.0, "Name", 0.52), (0.54, "Date", 0.74)];
    for (from, word, to) in stops {
        let text = Text::new((from * width, y), heights::HEADING, word);
        let start = from * width + text.width() + 1.5;
        piece.canvas().text(text);
        piece
            .canvas()
            .line(Layer::Labels, (start, y - 1.0), (to * width, y - 1.0), thin);
        if let Some(name) = trainee.filter(|_| word == "Name") {
            let room = to * width - start - 1.0;
            let name = shorten(name, room, heights::HEADING, Weight::Bold);
            let at = (start + 1.0, y);
            piece
                .canvas()
                .text(Text::new(at, heights::HEADING, name).bold());
        }
    }
    piece
        .canvas()
        .line(Layer::Labels, (0.77 * width, y - 1.0), (end, y - 1.0), thin);
    piece
        .canvas()
        .text(Text::new((width, y), heights::HEADING, score).right());
}

fn foot(words: &Words, width: f64) -> Fragment {
    let mut piece = Fragment::new(width);
    piece.canvas().line(
        Layer::Labels,
        (0.0, 0.0),
        (width, 0.0),
        Stroke::solid(widths::FINE),
    );
    piece.height = 1.0;
    let page_number = text_width("page 10 of 10", heights::TEXT, Weight::Regular) + 3.0;
    // A command is typed as it stands: no line of it ends at a hyphen.
    let command = words.again.replace('-', HYPHEN_OF_A_WORD);
    let again = wrap(
        &command,
        width - page_number,
        heights::TEXT,
        Weight::Regular,
    );
    let again = again
        .into_iter()
        .map(|line| line.replace(HYPHEN_OF_A_WORD, "-"));
    for line in again.chain(wrap(CAUTION, width, heights::TEXT, Weight::Regular)) {
        let baseline = -piece.height - heights::TEXT;
        piece
            .canvas()
            .text(Text::new((0.0, baseline), heights::TEXT, line));
        piece.height += heights::TEXT * LEADING;
    }
    piece
}

//! The files of a class: exercises for trainees, keys and lists for the teacher.

use std::{fs::File, io::BufWriter};

use crate::{
    drawing::Drawing,
    output::{DocumentInfo, OutputError, OutputSet, PdfWriter, answers_json, marking_csv, spool},
    practice::{
        AnswerKey, COURSE, Exercise, Kind, Level, MarkingList, PracticeError, Request, SheetError,
        make,
    },
    sheets::{
        PracticePaper, answer_sheet, course_pages, desk_pages, exercise_sheet, key_table,
        marking_pages,
    },
    words::Spelling,
};

/// What is asked for beside the exercises themselves.
#[derive(Clone, Copy, Debug)]
pub struct ClassWanted<'a> {
    /// Paper, and what makes a sheet again.
    pub on: PracticePaper<'a>,
    /// How words are spelled.
    pub spelling: &'a Spelling,
    /// Title and metadata that all documents have in common; what is handed out says nothing of the seed.
    pub info: &'a DocumentInfo,
    /// The sheets are those of the course, lesson by lesson.
    pub course: bool,
    /// A list to mark the class on.
    pub marking: bool,
    /// The worked answers.
    pub worked: bool,
}

/// The finished files, and what is said of them.
#[derive(Debug)]
pub struct ClassSet {
    /// The files.
    pub files: OutputSet,
    /// Exercises that were made.
    pub exercises: usize,
    /// Pages to hand out.
    pub pages: usize,
    /// What could not be made.
    pub missing: Vec<SheetError>,
}

/// The pages of one exercise.
struct Drawn {
    sheets: Vec<Drawing>,
    answers: Vec<Drawing>,
    key: AnswerKey,
}

/// Pages that wait until a document takes them all at once, on all cores.
const BATCH: usize = 64;

/// A document on its way, and pages that it has not taken yet.
struct Document<'i> {
    writer: PdfWriter<'i, BufWriter<File>>,
    waiting: Vec<Drawing>,
}

impl<'i> Document<'i> {
    fn new(info: &'i DocumentInfo) -> Result<Self, OutputError> {
        Ok(Self {
            writer: PdfWriter::new(BufWriter::new(spool()?), info)?,
            waiting: Vec::new(),
        })
    }

    fn add(&mut self, pages: Vec<Drawing>) -> Result<(), OutputError> {
        self.waiting.extend(pages);
        if self.waiting.len() < BATCH {
            return Ok(());
        }
        self.take()
    }

    fn take(&mut self) -> Result<(), OutputError> {
        self.writer.add(&self.waiting)?;
        self.waiting.clear();
        Ok(())
    }

    /// Ends it in its spool; `None` where it has no page.
    fn finish(mut self, first: &[Drawing]) -> Result<Option<File>, OutputError> {
        self.take()?;
        if self.writer.pages() == 0 {
            return Ok(None);
        }
        self.writer.insert(0, first)?;
        let spooled = self.writer.finish()?.into_inner();
        spooled.map(Some).map_err(|error| OutputError::Spool {
            source: error.into_error(),
        })
    }
}

impl ClassSet {
    /// Makes the exercises and composes their files.
    ///
    /// # Errors
    /// What cannot be made at all, or not be kept until it is written.
    pub fn compose<E>(request: &Request, wanted: &ClassWanted<'_>) -> Result<Self, E>
    where
        E: From<PracticeError> + From<OutputError>,
    {
        let lessons = wanted.lessons();
        let titles: Vec<DocumentInfo> = match wanted.course {
            true => COURSE
                .iter()
                .map(|lesson| wanted.titled(lesson.title))
                .collect(),
            false => vec![wanted.titled("Exercises")],
        };
        let answers_info = wanted.titled("Answers");
        let documents: Result<Vec<Document<'_>>, OutputError> =
            titles.iter().map(Document::new).collect();
        let mut documents = documents?;
        let mut answers = wanted
            .worked
            .then(|| Document::new(&answers_info))
            .transpose()?;
        let mut pages = 0;
        let mut keys = Vec::new();
        let missing = make(
            request,
            |exercise| wanted.drawn(exercise),
            |sheet, drawn: Drawn| -> Result<(), E> {
                let document = lessons.get(sheet).map_or(0, |lesson| lesson - 1);
                pages += drawn.sheets.len();
                documents[document].add(drawn.sheets)?;
                if let Some(answers) = &mut answers {
                    answers.add(drawn.answers)?;
                }
                keys.push(drawn.key);
                Ok(())
            },
        )?;
        let mut files = OutputSet::new();
        for (number, document) in (1..).zip(documents) {
            let name = match wanted.course {
                true => format!("lesson-{number:02}.pdf"),
                false => "exercises.pdf".to_owned(),
            };
            if let Some(file) = document.finish(&[])? {
                files.add_spooled(name, file);
            }
        }
        let table = wanted.spelled(key_table(&keys, &wanted.on, &wanted.again(request)));
        // Pages that are read alone have no answers.
        let first = if request.count > 1 { &table[..] } else { &[] };
        let answers = answers.map(|answers| answers.finish(first)).transpose()?;
        if let Some(file) = answers.flatten() {
            files.add_spooled("answers.pdf", file);
        }
        if !table.is_empty() {
            files.add("key.pdf", wanted.document("Key", &table)?);
        }
        files.add("answers.json", answers_json(request.seed, &keys));
        wanted.add_lists(&mut files, request, &keys, &lessons)?;
        Ok(Self {
            files,
            exercises: keys.len(),
            pages,
            missing,
        })
    }
}

impl ClassWanted<'_> {
    /// The number of the lesson of each sheet of a trainee; none without a course.
    fn lessons(&self) -> Vec<usize> {
        let of = |(number, lesson): (usize, &crate::practice::Lesson)| {
            lesson.sheets().map(move |_| number).collect::<Vec<_>>()
        };
        match self.course {
            true => (1..).zip(&COURSE).flat_map(of).collect(),
            false => Vec::new(),
        }
    }

    /// The flags that make all sheets again; those of a class list are made again by their number.
    fn again(&self, request: &Request) -> String {
        let what = match (self.course, request.sheets.first()) {
            (false, Some((_, level))) => {
                let mut kinds: Vec<&str> =
                    request.sheets.iter().map(|(kind, _)| kind.word()).collect();
                kinds.dedup();
                format!("--kinds {} --level {}", kinds.join(","), level.number())
            }
            _ => "--course".to_owned(),
        };
        format!(
            "{what} --seed {} --first {} --count {}",
            request.seed, request.first, request.count
        )
    }

    fn titled(&self, title: &str) -> DocumentInfo {
        DocumentInfo {
            title: title.to_owned(),
            ..self.info.clone()
        }
    }

    /// One exercise on its pages.
    fn drawn(&self, exercise: &Exercise) -> Drawn {
        let mut sheets = exercise_sheet(exercise, &self.on);
        let models = exercise.model.iter();
        sheets.extend(models.flat_map(|model| desk_pages(model, self.on.paper)));
        let answers = match self.worked {
            true => answer_sheet(exercise, &self.on),
            false => Vec::new(),
        };
        Drawn {
            sheets: self.spelled(sheets),
            answers: self.spelled(answers),
            key: exercise.key(),
        }
    }

    fn spelled(&self, pages: Vec<Drawing>) -> Vec<Drawing> {
        let pages = pages.into_iter();
        pages
            .map(|page| page.reworded(|text| self.spelling.text(text)))
            .collect()
    }

    fn document(&self, title: &str, pages: &[Drawing]) -> Result<Vec<u8>, OutputError> {
        crate::output::pdf(pages, &self.titled(title))
    }

    /// The course for the teacher, and the lists to mark a class on.
    fn add_lists(
        &self,
        files: &mut OutputSet,
        request: &Request,
        keys: &[AnswerKey],
        lessons: &[usize],
    ) -> Result<(), OutputError> {
        let again = self.again(request);
        if self.course {
            let made: Vec<(Kind, Level, u32)> = keys
                .iter()
                .map(|key| (key.kind, key.level, key.points))
                .collect();
            let pages = self.spelled(course_pages(&COURSE, &made, &self.on, &again));
            files.add("course.pdf", self.document("Course", &pages)?);
        }
        if self.marking {
            let list = MarkingList::of(keys, &request.sheets, lessons);
            let pages = self.spelled(marking_pages(&list, &self.on, &again));
            files.add("marking.pdf", self.document("Marking sheet", &pages)?);
            files.add("marking.csv", marking_csv(&list));
        }
        Ok(())
    }
}

//! The record of a judged layout, and its picture alone.

use sha2::{Digest, Sha256};

use super::{Judged, Kit, KitError};
use crate::{
    output::{OutputSet, layout_json, pdf, svg},
    sheets::{self, RecordInput, RecordReading},
};

/// Width of the picture of displacements, mm: the body of an upright page.
const PICTURE_WIDTH_MM: f64 = 180.0;

impl Kit {
    /// The record for the customer's file, `record.pdf` and `record.svg`: of `readings` as they were given, what was judged of
    /// them, and what heights of the floor came to, whole sentences (none where none were taken).
    ///
    /// # Errors
    /// A PDF that cannot be made.
    pub fn record(
        &self,
        readings: &[u8],
        judged: &Judged,
        levels: &[String],
    ) -> Result<OutputSet, KitError> {
        let rows = self.record_rows(judged);
        let hash = self.hash(readings);
        let input = RecordInput {
            levels,
            hash: &hash,
            ..record_input(judged, &rows)
        };
        let paper = self.job.format.paper.office_size();
        let page = self.spelled(sheets::record(&self.context(), &input, &paper));
        let mut files = OutputSet::new();
        files.add("record.svg", svg(&page));
        files.add(
            "record.pdf",
            pdf(&[page], &self.info("Record of a floor layout"))?,
        );
        Ok(files)
    }

    /// The layout to scale with every displacement enlarged, as on the record, and what its lines and signs mean: an SVG 180 mm
    /// wide.
    #[must_use]
    pub fn displacements(&self, judged: &Judged) -> String {
        let rows = self.record_rows(judged);
        let input = record_input(judged, &rows);
        let picture = sheets::displacements(&self.context(), &input, PICTURE_WIDTH_MM);
        svg(&self.spelled(picture))
    }

    fn record_rows(&self, judged: &Judged) -> Vec<RecordReading> {
        let readings = judged.readings(Some(&self.job.plan)).into_iter();
        readings.map(|reading| reading.row).collect()
    }

    /// SHA-256 in hexadecimal digits of everything that the judgement rests on: the resolved layout, the precision of tools
    /// and hands, and the readings as they were given.
    fn hash(&self, readings: &[u8]) -> String {
        let mut digest = Sha256::new();
        digest.update(layout_json(&self.job.plan));
        digest.update(format!("{:?}", self.job.precision));
        digest.update(readings);
        digest
            .finalize()
            .iter()
            .map(|byte| format!("{byte:02x}"))
            .collect()
    }
}

/// What the sheet shows of a judged layout, without floor and hash.
fn record_input<'a>(judged: &'a Judged, rows: &'a [RecordReading]) -> RecordInput<'a> {
    let against = if judged.layout.wheels.is_empty() {
        "the fixed points"
    } else {
        "the vehicle"
    };
    RecordInput {
        assessment: &judged.assessment,
        words: &judged.words,
        readings: rows,
        against,
        levels: &[],
        hash: "",
        version: env!("CARGO_PKG_VERSION"),
    }
}

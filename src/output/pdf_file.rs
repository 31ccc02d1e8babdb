//! What surrounds the objects of a PDF: version, compressed streams, identifier and trailer (ISO 32000-1, 7.5).

use std::io::{self, Write};

use flate2::{Compression, write::ZlibEncoder};
use lopdf::xref::XrefType;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat};
use sha2::{Digest, Sha256};

use super::OutputError;

/// `PickTrayByPDFSize` and `Duplex` came with 1.7.
const VERSION: &str = "1.7";

/// Bytes of a file identifier (ISO 32000-1, 14.4 recommends an MD5, which has as many).
const IDENTIFIER_BYTES: usize = 16;

/// A document without objects.
pub(super) fn empty() -> Document {
    let mut document = Document::with_version(VERSION);
    // The plain table is what every reader understands, and all of a document's bulk is in its streams.
    document.reference_table.cross_reference_type = XrefType::CrossReferenceTable;
    document
}

/// A stream in the form of `FlateDecode` (ISO 32000-1, 7.4.4). `lopdf` would compress at its highest level, which takes
/// longer than drawing the pages.
pub(super) fn compressed(bytes: &[u8], mut dictionary: Dictionary) -> Stream {
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(bytes.len() / 2), Compression::default());
    let mut small = encoder
        .write_all(bytes)
        .and_then(|()| encoder.finish())
        .expect("writing into memory does not fail");
    // It is kept until the document ends, and most of what was set aside for it is empty.
    small.shrink_to_fit();
    dictionary.set("Filter", "FlateDecode");
    Stream::new(dictionary, small)
}

/// Writes the document. Its identifier is a hash of all of its objects: the same objects, the same identifier.
pub(super) fn save<W: Write>(
    mut document: Document,
    catalog: ObjectId,
    information: ObjectId,
    mut out: W,
) -> Result<W, OutputError> {
    document.trailer.set("Root", catalog);
    document.trailer.set("Info", information);
    let mut hash = Hash(Sha256::new());
    document.save_to(&mut hash).map_err(failed)?;
    let identifier = Object::String(
        hash.0.finalize()[..IDENTIFIER_BYTES].to_vec(),
        StringFormat::Hexadecimal,
    );
    document
        .trailer
        .set("ID", vec![identifier.clone(), identifier]);
    document
        .save_to(&mut out)
        .and_then(|()| out.flush())
        .map_err(failed)?;
    Ok(out)
}

/// A file of which only the hash is kept.
struct Hash(Sha256);

impl Write for Hash {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.update(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

fn failed(source: io::Error) -> OutputError {
    OutputError::Spool { source }
}

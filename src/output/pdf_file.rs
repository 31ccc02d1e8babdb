//! The file around the objects of a PDF: header, cross-reference table and trailer (ISO 32000-1, 7.5).
//!
//! Objects go out as soon as they are made, so that a document of a thousand pages needs no more memory than one of
//! ten. That is why the table is written here: `pdf-writer`'s own document holds the whole file until its end.

use std::io::{self, Write};

use flate2::{Compression, write::ZlibEncoder};
use pdf_writer::{Chunk, Filter, Ref, Stream};
use sha2::{Digest, Sha256};

use super::OutputError;

/// `PickTrayByPDFSize` and `Duplex` came with 1.7. The second line tells programs that the file is not plain text
/// (ISO 32000-1, 7.5.2).
const HEADER: &[u8] = b"%PDF-1.7\n%\x80\x80\x80\x80\n\n";

/// Bytes of a file identifier (ISO 32000-1, 14.4 recommends an MD5, which has as many).
const IDENTIFIER_BYTES: usize = 16;

/// A PDF on its way into `out`.
pub(super) struct PdfFile<W> {
    out: W,
    position: u64,
    digest: Sha256,
    /// Where each object begins, by its number less one; `None` as long as it is only promised.
    offsets: Vec<Option<u64>>,
}

impl<W: Write> PdfFile<W> {
    /// Begins a file.
    pub fn new(out: W) -> Result<Self, OutputError> {
        let mut file = Self { out, position: 0, digest: Sha256::new(), offsets: Vec::new() };
        file.put(HEADER)?;
        Ok(file)
    }

    /// A number for an object that is written later: it must be, before the file ends.
    pub fn reserve(&mut self) -> Ref {
        self.offsets.push(None);
        Ref::new(i32::try_from(self.offsets.len()).expect("a document has far fewer than 2³¹ objects"))
    }

    /// Writes the object of a reserved number; `fill` puts just that one into the chunk.
    pub fn write(&mut self, id: Ref, fill: impl FnOnce(&mut Chunk)) -> Result<(), OutputError> {
        let mut chunk = Chunk::new();
        fill(&mut chunk);
        debug_assert!(chunk.refs().eq([id]), "a chunk holds the object that it was made for");
        let place = usize::try_from(id.get() - 1).expect("numbers of objects count from 1");
        self.offsets[place] = Some(self.position);
        self.put(chunk.as_bytes())
    }

    /// Writes an object under the next number.
    pub fn add(&mut self, fill: impl FnOnce(&mut Chunk, Ref)) -> Result<Ref, OutputError> {
        let id = self.reserve();
        self.write(id, |chunk| fill(chunk, id))?;
        Ok(id)
    }

    /// Writes a compressed stream; `describe` adds to its dictionary.
    pub fn add_stream(&mut self, bytes: &[u8], describe: impl FnOnce(&mut Stream<'_>)) -> Result<Ref, OutputError> {
        let small = deflate(bytes);
        self.add(|chunk, id| {
            let mut stream = chunk.stream(id, &small);
            stream.filter(Filter::FlateDecode);
            describe(&mut stream);
        })
    }

    /// Ends the file. Its identifier is a hash of everything before the table: the same objects, the same identifier.
    pub fn finish(mut self, catalog: Ref, information: Ref) -> Result<W, OutputError> {
        let table = self.position;
        let identifier: String =
            self.digest.clone().finalize()[..IDENTIFIER_BYTES].iter().map(|byte| format!("{byte:02X}")).collect();
        let count = self.offsets.len() + 1;
        // Every entry has 20 bytes (ISO 32000-1, 7.5.4).
        let mut end = format!("xref\n0 {count}\n0000000000 65535 f\r\n");
        for offset in &self.offsets {
            let offset = offset.expect("every number that was reserved has been written");
            end.push_str(&format!("{offset:010} 00000 n\r\n"));
        }
        end.push_str(&format!(
            "trailer\n<< /Size {count} /Root {} 0 R /Info {} 0 R /ID [<{identifier}> <{identifier}>] >>\n\
             startxref\n{table}\n%%EOF\n",
            catalog.get(),
            information.get()
        ));
        self.put(end.as_bytes())?;
        self.out.flush().map_err(failed)?;
        Ok(self.out)
    }

    fn put(&mut self, bytes: &[u8]) -> Result<(), OutputError> {
        self.out.write_all(bytes).map_err(failed)?;
        self.digest.update(bytes);
        self.position += bytes.len() as u64;
        Ok(())
    }
}

/// Bytes in the form of `FlateDecode` (ISO 32000-1, 7.4.4).
fn deflate(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::with_capacity(bytes.len() / 2), Compression::default());
    encoder.write_all(bytes).and_then(|()| encoder.finish()).expect("writing into memory does not fail")
}

fn failed(source: io::Error) -> OutputError {
    OutputError::Spool { source }
}

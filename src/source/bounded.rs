//! Files read no further than a file of measures or of a job can go: a pipe or a device has no end.

use std::{
    fs::File,
    io::{self, ErrorKind, Read as _},
    path::Path,
};

/// Largest input file that is read, bytes: a form for thousands of readings is below a tenth of it.
pub const MOST_BYTES: usize = 10_000_000;

/// What a system says when a program, or the machine, has too many files open: no kind of error of its own.
#[cfg(unix)]
const TOO_MANY_OPEN: [i32; 2] = [23, 24];
#[cfg(not(unix))]
const TOO_MANY_OPEN: [i32; 1] = [4];

/// The bytes of an input file; `what` it is called, as in "readings".
///
/// # Errors
/// A whole sentence: the file cannot be read, or is larger than [`MOST_BYTES`].
pub fn read_bounded(path: &Path, what: &str) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes))
        .map_err(|error| format!("the {what} cannot be read ({error}); {}", remedy(&error)))?;
    if bytes.len() > MOST_BYTES {
        return Err(format!(
            "the {what} is larger than {} MB; check the path: no file of this kind is",
            MOST_BYTES / 1_000_000
        ));
    }
    Ok(bytes)
}

/// What to do where too many files are open.
pub const CLOSE_SOME: &str = "close other programs, or allow more open files (ulimit -n)";

/// True where a file could not be opened because too many are open.
#[must_use]
pub fn too_many_open(error: &io::Error) -> bool {
    let code = error.raw_os_error();
    code.is_some_and(|code| TOO_MANY_OPEN.contains(&code))
}

fn remedy(error: &io::Error) -> &'static str {
    match error.kind() {
        ErrorKind::IsADirectory => "it is a folder: name a file in it",
        ErrorKind::PermissionDenied => "make it readable, or name another file",
        _ if too_many_open(error) => CLOSE_SOME,
        _ => "check the path",
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    #[test]
    fn a_file_of_the_largest_size_is_read_and_one_byte_more_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.csv");
        fs::write(&path, vec![b'x'; MOST_BYTES]).unwrap();
        assert_eq!(read_bounded(&path, "readings").unwrap().len(), MOST_BYTES);
        fs::write(&path, vec![b'x'; MOST_BYTES + 1]).unwrap();
        let said = read_bounded(&path, "readings").unwrap_err();
        assert!(said.contains("the readings is larger than 10 MB"), "{said}");
    }

    #[test]
    fn too_many_open_files_are_said_with_what_helps() {
        let error = io::Error::from_raw_os_error(TOO_MANY_OPEN[0]);
        assert!(remedy(&error).contains("open files"));
    }
}

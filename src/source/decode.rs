//! Text from the bytes that spreadsheets and editors save.

/// What the bytes 0x80 to 0x9F are in Windows-1252, which is ISO 8859-1 otherwise; `\0` where it has
/// nothing (mapping published by the Unicode Consortium as CP1252).
const WINDOWS_1252: [char; 32] = [
    '€', '\0', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\0', 'Ž', '\0', '\0', '‘',
    '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\0', 'ž', 'Ÿ',
];

/// How every workbook and every text document of an office program begins: both are ZIP archives.
const ZIP: &[u8] = b"PK\x03\x04";

/// Decodes UTF-8 and UTF-16 with or without a byte order mark, and else Windows-1252. Every line break
/// comes out as `\n`.
///
/// # Errors
/// A clause that says what the bytes are instead of text, and what to do.
pub(super) fn decode(bytes: &[u8]) -> Result<String, String> {
    if bytes.starts_with(ZIP) {
        return Err(
            "is a workbook, not CSV; open it in the spreadsheet and save it as CSV (UTF-8)"
                .to_owned(),
        );
    }
    let text = match bytes {
        [0xFF, 0xFE, rest @ ..] => utf_16(rest, u16::from_le_bytes)?,
        [0xFE, 0xFF, rest @ ..] => utf_16(rest, u16::from_be_bytes)?,
        // ASCII text in UTF-16 has a zero in every pair.
        [first, 0, ..] if *first != 0 => utf_16(bytes, u16::from_le_bytes)?,
        [0, second, ..] if *second != 0 => utf_16(bytes, u16::from_be_bytes)?,
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => text.trim_start_matches('\u{feff}').to_owned(),
            Err(_) => windows_1252(bytes),
        },
    };
    if text
        .chars()
        .any(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
    {
        return Err("holds bytes that are not text; save it as CSV (UTF-8)".to_owned());
    }
    Ok(text.replace("\r\n", "\n").replace('\r', "\n"))
}

fn utf_16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<String, String> {
    let (pairs, odd) = bytes.as_chunks::<2>();
    let text =
        char::decode_utf16(pairs.iter().map(|pair| unit(*pair))).collect::<Result<String, _>>();
    match text {
        Ok(text) if odd.is_empty() => Ok(text),
        _ => Err("is broken UTF-16 text; save it again, as CSV (UTF-8)".to_owned()),
    }
}

/// What has no meaning comes out as a control character and is refused with those.
fn windows_1252(bytes: &[u8]) -> String {
    let read = |&byte: &u8| match byte {
        0x80..=0x9F => WINDOWS_1252[usize::from(byte - 0x80)],
        _ => char::from(byte),
    };
    bytes.iter().map(read).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn in_utf_16(text: &str, unit: fn(u16) -> [u8; 2]) -> Vec<u8> {
        text.encode_utf16().flat_map(unit).collect()
    }

    #[test]
    fn one_text_is_read_from_every_encoding_that_spreadsheets_save() {
        let text = "from;Länge\n1L;½";
        let marked = format!("\u{feff}{text}");
        for bytes in [
            text.as_bytes().to_vec(),
            marked.as_bytes().to_vec(),
            in_utf_16(&marked, u16::to_le_bytes),
            in_utf_16(&marked, u16::to_be_bytes),
            in_utf_16(text, u16::to_le_bytes),
            in_utf_16(text, u16::to_be_bytes),
            b"from;L\xe4nge\r\n1L;\xbd".to_vec(),
            b"from;L\xe4nge\r1L;\xbd".to_vec(),
        ] {
            assert_eq!(decode(&bytes).as_deref(), Ok(text), "{bytes:?}");
        }
    }

    #[test]
    fn typographic_quotes_of_windows_are_read() {
        assert_eq!(decode(b"17\x92 3\x94").as_deref(), Ok("17’ 3”"));
    }

    #[test]
    fn what_is_no_text_is_refused_with_what_to_save_instead() {
        for bytes in [
            &b"PK\x03\x04rest"[..],
            b"a,b\n\0\0\0",
            b"\xff\xfe\x00",
            b"\xff\xfe\x00\xd8",
            b"x\x81",
            b"\xff\xd8\xff\xe0\0\x10",
        ] {
            assert!(
                decode(bytes).is_err_and(|message| message.contains("save it")),
                "{bytes:?}"
            );
        }
    }
}

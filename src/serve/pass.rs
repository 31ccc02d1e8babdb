//! Random keys and codes, and how they are compared.

use sha2::{Digest as _, Sha256};

/// Signs of a code that is read off one screen and typed on another: none that is taken for another one.
const CODE_SIGNS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

/// Signs of a code: 40 bits, used once and for minutes, with ten tries.
const CODE_LENGTH: usize = 8;

/// A key of 256 random bits, as hexadecimal digits.
///
/// # Errors
/// When the system gives no random bytes.
pub fn key() -> Result<String, getrandom::Error> {
    let mut bytes = [0; 32];
    getrandom::fill(&mut bytes)?;
    Ok(hex(&bytes))
}

/// A one-time code.
///
/// # Errors
/// As [`key`].
pub fn code() -> Result<String, getrandom::Error> {
    let mut bytes = [0; CODE_LENGTH];
    getrandom::fill(&mut bytes)?;
    let sign = |byte: &u8| char::from(CODE_SIGNS[usize::from(byte % 32)]);
    Ok(bytes.iter().map(sign).collect())
}

/// What is kept of a key: nobody gets in with it.
#[must_use]
pub fn hash(key: &str) -> String {
    hex(&Sha256::digest(key.as_bytes()))
}

/// True where a key is the one that has this hash. Hashes are compared, so that the time it takes says nothing of the key.
#[must_use]
pub fn opens(key: &str, hash_of_key: &str) -> bool {
    hash(key) == hash_of_key
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

//! Who is in: this machine by the key in its address, phones by one-time codes.
//!
//! Whoever comes in gets a key of their own, which the browser keeps in a cookie and sends back; its hash is kept here and in the
//! shop's folder, so that a phone that was in stays in when the program starts again. A device is put out by forgetting its hash.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
    time::{Duration, SystemTime, UNIX_EPOCH},
};

use serde::{Deserialize, Serialize};

use super::pass;
use crate::output::OutputSet;

/// How long a device stays in after it was last seen: a long working day.
const STAYS: Duration = Duration::from_secs(16 * 3600);

/// How long a code is good.
pub const CODE_LASTS: Duration = Duration::from_secs(5 * 60);

/// Wrong codes after which the code is dropped.
const MOST_TRIES: u32 = 10;

/// Most devices that are in at a time; the one not seen for longest goes first.
const MOST_DEVICES: usize = 32;

/// Where the hashes are kept, in the shop's folder.
const FILE: &str = "devices.json";

/// A browser that is in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Device {
    /// Number to put it out by.
    pub number: u32,
    /// What it is called.
    pub name: String,
    /// True of a browser on this machine, false of one that came in by a code.
    pub here: bool,
    /// When it came in, seconds of the Unix clock.
    pub since: u64,
    /// When it was last seen.
    pub seen: u64,
    /// Hash of its key.
    hash: String,
}

/// A code that lets one phone in.
#[derive(Clone, Debug)]
pub struct Code {
    /// Its signs.
    pub signs: String,
    until: SystemTime,
    tries: u32,
}

impl Code {
    /// How long it is still good.
    #[must_use]
    pub fn left(&self) -> Duration {
        self.until
            .duration_since(SystemTime::now())
            .unwrap_or_default()
    }
}

/// Keys, codes and devices.
#[derive(Debug)]
pub struct Door {
    key: String,
    folder: PathBuf,
    devices: Mutex<Vec<Device>>,
    code: Mutex<Option<Code>>,
}

impl Door {
    /// A door with a new key, and with the devices that were in when the program last ran.
    ///
    /// # Errors
    /// When the system gives no random bytes.
    pub fn open(folder: &Path) -> Result<Self, getrandom::Error> {
        let kept = fs::read(folder.join(FILE)).ok();
        let devices = kept.and_then(|bytes| serde_json::from_slice(&bytes).ok());
        Ok(Self {
            key: pass::key()?,
            folder: folder.to_owned(),
            devices: Mutex::new(devices.unwrap_or_default()),
            code: Mutex::new(None),
        })
    }

    /// The key of the address for this machine.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }

    /// Lets a browser of this machine in by the key of the address; the key for its cookie.
    #[must_use]
    pub fn enter_here(&self, key: &str) -> Option<String> {
        pass::opens(key, &pass::hash(&self.key)).then(|| self.let_in("this computer", true))?
    }

    /// Lets a phone in by a code, which is used up; the key for its cookie.
    #[must_use]
    pub fn enter_by_code(&self, signs: &str, name: &str) -> Option<String> {
        {
            let mut code = locked(&self.code);
            let current = code.as_mut().filter(|code| !code.left().is_zero())?;
            let plain: String = signs.chars().filter(char::is_ascii_alphanumeric).collect();
            if !pass::opens(&plain.to_ascii_uppercase(), &pass::hash(&current.signs)) {
                current.tries += 1;
                if current.tries >= MOST_TRIES {
                    *code = None;
                }
                return None;
            }
            *code = None;
        }
        let name: String = name
            .trim()
            .chars()
            .filter(|sign| !sign.is_control())
            .take(40)
            .collect();
        self.let_in(if name.is_empty() { "phone" } else { &name }, false)
    }

    fn let_in(&self, name: &str, here: bool) -> Option<String> {
        let key = pass::key().ok()?;
        let mut devices = locked(&self.devices);
        drop_old(&mut devices);
        if devices.len() >= MOST_DEVICES {
            let oldest = devices.iter().map(|device| device.seen).min();
            if let Some(at) = devices
                .iter()
                .position(|device| Some(device.seen) == oldest)
            {
                devices.remove(at);
            }
        }
        let number = devices
            .iter()
            .map(|device| device.number)
            .max()
            .unwrap_or(0)
            + 1;
        devices.push(Device {
            number,
            name: name.to_owned(),
            here,
            since: now(),
            seen: now(),
            hash: pass::hash(&key),
        });
        self.keep(&devices);
        Some(key)
    }

    /// The device that a cookie's key belongs to.
    #[must_use]
    pub fn device(&self, key: &str) -> Option<Device> {
        let hash = pass::hash(key);
        let mut devices = locked(&self.devices);
        drop_old(&mut devices);
        let device = devices.iter_mut().find(|device| device.hash == hash)?;
        device.seen = now();
        Some(device.clone())
    }

    /// All devices that are in.
    #[must_use]
    pub fn devices(&self) -> Vec<Device> {
        let mut devices = locked(&self.devices);
        drop_old(&mut devices);
        devices.clone()
    }

    /// Puts a device out.
    pub fn put_out(&self, number: u32) {
        let mut devices = locked(&self.devices);
        devices.retain(|device| device.number != number);
        self.keep(&devices);
    }

    /// A new code; the former one is good no longer.
    #[must_use]
    pub fn new_code(&self) -> Option<Code> {
        let code = Code {
            signs: pass::code().ok()?,
            until: SystemTime::now() + CODE_LASTS,
            tries: 0,
        };
        *locked(&self.code) = Some(code.clone());
        Some(code)
    }

    /// The code that is good now.
    #[must_use]
    pub fn code(&self) -> Option<Code> {
        locked(&self.code)
            .clone()
            .filter(|code| !code.left().is_zero())
    }

    /// Keeps the hashes. Where they cannot be written, devices come in again after the next start: no failure.
    fn keep(&self, devices: &[Device]) {
        let mut files = OutputSet::new();
        files.add(FILE, serde_json::to_vec_pretty(devices).unwrap_or_default());
        let _ = files.write(&self.folder);
    }
}

fn drop_old(devices: &mut Vec<Device>) {
    let oldest = now().saturating_sub(STAYS.as_secs());
    devices.retain(|device| device.seen >= oldest);
}

fn now() -> u64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    since.unwrap_or_default().as_secs()
}

fn locked<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn door() -> (tempfile::TempDir, Door) {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let door = Door::open(folder.path()).expect("random bytes");
        (folder, door)
    }

    #[test]
    fn only_the_key_opens_and_a_device_that_is_put_out_stays_out_after_a_restart() {
        let (folder, door) = door();
        assert!(door.enter_here("").is_none() && door.enter_here(&"0".repeat(64)).is_none());
        let cookie = door.enter_here(door.key()).expect("the key");
        let phone = door
            .new_code()
            .and_then(|code| door.enter_by_code(&code.signs, "phone"))
            .expect("the code");
        let number = door.device(&phone).expect("in").number;
        let again = Door::open(folder.path()).expect("random bytes");
        assert!(
            again.device(&phone).is_some(),
            "a phone stays in when the program starts again"
        );
        assert_ne!(again.key(), door.key());
        again.put_out(number);
        let third = Door::open(folder.path()).expect("random bytes");
        assert!(third.device(&phone).is_none() && third.device(&cookie).is_some());
    }

    #[test]
    fn a_code_is_good_once_and_ten_wrong_ones_end_it() {
        let (_folder, door) = door();
        assert!(door.enter_by_code("", "phone").is_none(), "no code, nobody");
        let code = door.new_code().expect("random bytes").signs;
        let typed = format!(" {}-{}", code[..4].to_lowercase(), &code[4..]);
        assert!(door.enter_by_code(&typed, "phone").is_some());
        assert!(door.enter_by_code(&code, "phone").is_none(), "used up");
        let code = door.new_code().expect("random bytes").signs;
        for _ in 0..MOST_TRIES {
            assert!(door.enter_by_code("AAAAAAAA", "phone").is_none());
        }
        assert!(door.enter_by_code(&code, "phone").is_none(), "ended");
    }
}

//! Plays a target: its corpus, then cases made from a seed, each judged with its work counted.

use std::{
    collections::BTreeSet,
    env, fs,
    panic::{AssertUnwindSafe, catch_unwind},
    path::{Path, PathBuf},
    process,
    sync::{Arc, Mutex, MutexGuard, PoisonError, mpsc},
    thread,
    time::{Duration, Instant, SystemTime, UNIX_EPOCH},
};

use proptest::{
    strategy::Strategy,
    test_runner::{Config, RngAlgorithm, TestCaseError, TestError, TestRng, TestRunner},
};
use rayon::ThreadPoolBuilder;

/// Minutes for which each target goes on with new seeds.
const MINUTES: &str = "BAYSTENCIL_FUZZ_MINUTES";

/// The seed where no minutes are given: the same cases each time, so that a change fails only by what it changes.
const SEED: u64 = 20_260_114;

/// A case that takes longer counts as endless. The slowest takes a few seconds on one core.
const ENDLESS: Duration = Duration::from_secs(180);

/// Seeds of its own that a run keeps at least, beside those that it began with; else as many as those, so that half of all cases begin
/// with what is right.
const LEAST_KEPT: usize = 4;

/// Longest input that is kept as a seed, bytes.
const LONGEST_KEPT: usize = 8_000;

/// Different failures after which a long run stops.
const MOST_FAILURES: usize = 10;

/// Characters of a failure that are shown; its input has a file of its own.
const LONGEST_SHOWN: usize = 1_500;

/// Attempts to make a failing case smaller.
const SHRINKS: u32 = 1_500;

/// What became of an input.
pub enum Outcome {
    /// It was read, and everything that has to hold of what was read holds.
    Taken,
    /// It was refused with these messages, all of them as they should be.
    Refused(Vec<String>),
}

/// An outcome, or what is wrong with the program.
pub type Judged = Result<Outcome, String>;

/// A target: how it is called, and how much it plays.
pub struct Target {
    /// Plain name, also that of its folder in the corpus.
    pub name: &'static str,
    /// Cases of a round; the short run is one round.
    pub cases: u32,
    /// Bytes that a case may allocate in all, whatever its input, and for each byte of it: its work, which unlike time is the same on
    /// every machine. A hundred times what is usual.
    pub work: [u64; 2],
}

/// Figures of a run.
#[derive(Default)]
struct Tally {
    cases: u64,
    taken: u64,
    said: BTreeSet<String>,
    most_work: u64,
    slowest: Duration,
}

impl Target {
    /// Plays the target. `strategy` makes cases from the inputs that it begins with, `written` is the input of a case.
    pub fn play<S: Strategy>(
        &self,
        strategy: impl Fn(&[String]) -> S,
        written: impl Fn(&[String], &S::Value) -> Vec<u8>,
        judge: impl Fn(&[u8]) -> Judged + Sync,
    ) {
        let (begun, minutes) = (Instant::now(), minutes());
        let watch = Watch::begin(self.name);
        // One thread, so that all of a case's work is counted, which is done for each thread by itself.
        let thread = ThreadPoolBuilder::new().num_threads(1).build().unwrap();
        let tally = Mutex::new(Tally::default());
        let kept = Mutex::new(Vec::new());
        let one = |input: &[u8]| {
            watch.look_at(Some(input));
            let begun = Instant::now();
            let (work, judged) = thread.install(|| measured(input, &judge));
            watch.look_at(None);
            self.count(input, (work, begun.elapsed(), judged?), &tally, &kept)
        };
        let mut pool = Vec::new();
        for (path, input) in corpus(self.name) {
            if let Err(why) = one(&input) {
                panic!("{}: {why}", path.display());
            }
            pool.extend(String::from_utf8(input));
        }
        let begun_with = pool.len();
        let mut failures = BTreeSet::new();
        for round in 0.. {
            let seed = minutes.map_or(SEED, |_| fresh(self.name, round));
            let cases = strategy(&pool);
            let run = self.runner(seed).run(&cases, |case| {
                one(&written(&pool, &case)).map_err(TestCaseError::fail)
            });
            if let Err(TestError::Fail(why, case)) = run {
                let path = keep(self.name, &written(&pool, &case));
                let why: String = why.message().chars().take(LONGEST_SHOWN).collect();
                let failure = format!("{}: {why}", path.display());
                eprintln!("{}: {failure}", self.name);
                failures.insert(failure);
            }
            let over = minutes.is_none_or(|minutes| begun.elapsed() > minutes);
            if over || failures.len() >= MOST_FAILURES {
                break;
            }
            pool.extend(lock(&kept).drain(..));
            let most = begun_with.max(LEAST_KEPT);
            let old = (pool.len() - begun_with).saturating_sub(most);
            pool.drain(begun_with..begun_with + old);
        }
        self.report(&lock(&tally), begun.elapsed());
        assert!(failures.is_empty(), "{failures:#?}");
    }

    fn runner(&self, seed: u64) -> TestRunner {
        let mut bytes = [0; 32];
        bytes[..8].copy_from_slice(&seed.to_le_bytes());
        let config = Config {
            cases: self.cases,
            failure_persistence: None,
            max_shrink_iters: SHRINKS,
            ..Config::default()
        };
        TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &bytes))
    }

    /// Counts a case that was judged: no more work than it may take. What makes the program say something new is kept as a seed.
    fn count(
        &self,
        input: &[u8],
        (work, took, outcome): (u64, Duration, Outcome),
        tally: &Mutex<Tally>,
        kept: &Mutex<Vec<String>>,
    ) -> Result<(), String> {
        let [base, each] = self.work;
        let most = base + each * input.len() as u64;
        if work > most {
            return Err(format!(
                "{work} bytes were allocated for an input of {}; at most {most} may be",
                input.len()
            ));
        }
        let mut tally = lock(tally);
        tally.cases += 1;
        tally.most_work = tally.most_work.max(work);
        tally.slowest = tally.slowest.max(took);
        let said = match outcome {
            Outcome::Taken => {
                tally.taken += 1;
                Vec::new()
            }
            Outcome::Refused(messages) => messages,
        };
        let mut is_new = false;
        for message in said {
            is_new |= tally.said.insert(skeleton(&message));
        }
        if is_new && input.len() <= LONGEST_KEPT {
            lock(kept).extend(String::from_utf8(input.to_vec()));
        }
        Ok(())
    }

    fn report(&self, tally: &Tally, took: Duration) {
        println!(
            "{}: {} cases in {:.0} s, {:.1} % taken, {} different messages, slowest {} ms, most work {} kB",
            self.name,
            tally.cases,
            took.as_secs_f64(),
            100.0 * tally.taken as f64 / tally.cases.max(1) as f64,
            tally.said.len(),
            tally.slowest.as_millis(),
            tally.most_work / 1000
        );
    }
}

/// Judges one input; bytes allocated for it. A panic is what is wrong.
fn measured(input: &[u8], judge: &impl Fn(&[u8]) -> Judged) -> (u64, Judged) {
    let mut judged = Ok(Outcome::Taken);
    let work = allocation_counter::measure(|| {
        judged = catch_unwind(AssertUnwindSafe(|| judge(input))).unwrap_or_else(panicked);
    });
    (work.bytes_total, judged)
}

/// When an input began to be looked at, and the input.
type LookedAt = (Instant, Vec<u8>);

/// Reports an input that is looked at without an end, and ends the run.
struct Watch {
    looked_at: Arc<Mutex<Option<LookedAt>>>,
    _ended: mpsc::Sender<()>,
}

impl Watch {
    fn begin(name: &'static str) -> Self {
        let looked_at = Arc::new(Mutex::new(None::<LookedAt>));
        let (ended, end) = mpsc::channel();
        let shared = Arc::clone(&looked_at);
        thread::spawn(move || {
            while end.recv_timeout(Duration::from_secs(1)) == Err(mpsc::RecvTimeoutError::Timeout) {
                if let Some((begun, input)) = &*lock(&shared)
                    && begun.elapsed() > ENDLESS
                {
                    let path = keep(name, input);
                    eprintln!("{name}: no end with {}", path.display());
                    process::exit(101);
                }
            }
        });
        Self {
            looked_at,
            _ended: ended,
        }
    }

    fn look_at(&self, input: Option<&[u8]>) {
        *lock(&self.looked_at) = input.map(|input| (Instant::now(), input.to_vec()));
    }
}

/// A judge that panics has left no lock in a state that matters.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn panicked(payload: Box<dyn std::any::Any + Send>) -> Judged {
    let text = payload
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| payload.downcast_ref::<&str>().copied());
    Err(format!("panicked: {}", text.unwrap_or_default()))
}

/// A message without what it quotes and counts.
fn skeleton(message: &str) -> String {
    let mut skeleton = String::new();
    for (part, text) in message.split(['"', '`']).enumerate() {
        match part % 2 {
            0 => skeleton.extend(text.chars().filter(|sign| !sign.is_ascii_digit())),
            _ => skeleton.push('"'),
        }
    }
    skeleton
}

fn minutes() -> Option<Duration> {
    let minutes: f64 = env::var(MINUTES)
        .ok()?
        .parse()
        .expect("minutes as a number");
    Some(Duration::from_secs_f64(60.0 * minutes))
}

fn fresh(name: &str, round: u64) -> u64 {
    let now = SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .unwrap_or_default();
    let name: u64 = name.bytes().map(u64::from).sum();
    (now.as_nanos() as u64) ^ (name << 40) ^ (round << 50)
}

/// Writes an input to a file of its own.
fn keep(name: &str, input: &[u8]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fuzz");
    let number = input.iter().fold(7_u32, |sum, byte| {
        sum.wrapping_mul(31).wrapping_add(u32::from(*byte))
    });
    let path = folder.join(format!("{name}-{number:08x}"));
    fs::create_dir_all(&folder).unwrap();
    fs::write(&path, input).unwrap();
    path
}

/// The inputs of a target that are kept, by name.
pub fn corpus(name: &str) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/fuzz/corpus")
        .join(name);
    let mut paths: Vec<PathBuf> = fs::read_dir(&folder)
        .unwrap_or_else(|error| panic!("{}: {error}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let input = fs::read(&path).unwrap();
            (path, input)
        })
        .collect()
}

//! Work that takes long: not more at a time than the machine has cores for, and not for ever.

use std::time::Duration;

use tokio::{sync::Semaphore, task::spawn_blocking, time::timeout};

use super::refusal::Refusal;

/// How many pieces of work run at a time. Each uses all cores where it can; a second one keeps a short one from waiting for a long one.
const AT_A_TIME: usize = 2;

/// How many more may wait.
const WAITING: usize = 24;

/// How long somebody waits for a piece of work, its turn included.
const LONGEST: Duration = Duration::from_secs(60);

/// The places at which work is done.
#[derive(Debug)]
pub struct Work {
    places: std::sync::Arc<Semaphore>,
    queue: Semaphore,
}

impl Work {
    /// All places free.
    #[must_use]
    pub fn new() -> Self {
        Self {
            places: std::sync::Arc::new(Semaphore::new(AT_A_TIME)),
            queue: Semaphore::new(AT_A_TIME + WAITING),
        }
    }

    /// Does a piece of work beside the requests.
    ///
    /// # Errors
    /// What the work refuses; too much at a time, or more time than anybody waits. Work that nobody waits for any longer keeps its
    /// place until it ends, so that not more is done at a time than there are places.
    pub async fn run<T: Send + 'static, E: Into<Refusal> + Send + 'static>(
        &self,
        work: impl FnOnce() -> Result<T, E> + Send + 'static,
    ) -> Result<T, Refusal> {
        let Ok(_waiting) = self.queue.try_acquire() else {
            return Err(Refusal::busy());
        };
        let places = self.places.clone();
        let done = timeout(LONGEST, async move {
            let place = places.acquire_owned().await.ok()?;
            let work = spawn_blocking(move || {
                let done = work();
                drop(place);
                done
            });
            work.await.ok()
        });
        match done.await {
            Ok(Some(done)) => done.map_err(Into::into),
            Ok(None) => Err(Refusal::new(
                axum::http::StatusCode::INTERNAL_SERVER_ERROR,
                "The work stopped",
                "This is a fault of the program. What you saved is on the disk.",
            )),
            Err(_) => Err(Refusal::too_long()),
        }
    }
}

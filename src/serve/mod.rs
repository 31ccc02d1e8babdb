//! The page in the browser: the second door to the rooms below, beside the command line.
//!
//! Pages are plain HTML with forms that work without any script; a little script redraws pictures while values are typed and saves
//! readings as they come. Everything that is calculated is calculated by `kit`, as for the commands, and everything that is kept lies in
//! the shop's folder ([`crate::shop`]).
//!
//! Who gets in, and what a page elsewhere in the same browser can do, stands in `guard.rs` and `door.rs`; how long work may take, in
//! `work.rs`.

mod app;
mod assets;
mod door;
mod fields;
mod guard;
mod jobs;
mod listen;
mod page;
mod pass;
mod refusal;
mod send;
mod work;

use std::{fmt, io, path::PathBuf, sync::Arc};

use app::App;
use door::Door;

use crate::shop::{Shop, ShopError};

/// How the page is served.
#[derive(Clone, Debug)]
pub struct Options {
    /// The shop's folder.
    pub shop: PathBuf,
    /// Port; 0 for any that is free.
    pub port: u16,
    /// Phones on the same network may come in, each with a code.
    pub lan: bool,
}

/// What is said once the page can be opened.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The address with its key, for this machine.
    pub address: String,
    /// The shop's folder.
    pub shop: PathBuf,
    /// For phones, where they may come in: an address with a one-time code, and its picture in signs of a terminal.
    pub phone: Option<(String, String)>,
    /// What could not be done as asked, but does not keep the page from working.
    pub notes: Vec<String>,
}

/// Why the page cannot be served.
#[derive(Debug)]
pub enum ServeError {
    /// The shop's folder cannot be used.
    Shop(ShopError),
    /// No address to listen on.
    Listen {
        /// The address.
        address: String,
        /// Why.
        source: io::Error,
    },
    /// The system gives no random bytes.
    Random(getrandom::Error),
    /// The machine starts no more threads.
    Threads(io::Error),
}

impl fmt::Display for ServeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Shop(error) => write!(f, "the shop's folder cannot be used: {error}"),
            Self::Listen { address, source } => write!(
                f,
                "cannot listen on {address} ({source}); name another port with --port, or stop the program that has this one"
            ),
            Self::Random(error) => write!(
                f,
                "the system gives no random key ({error}); without one the page would be open to everybody"
            ),
            Self::Threads(error) => write!(
                f,
                "the page could not be started ({error}); close other programs"
            ),
        }
    }
}

impl std::error::Error for ServeError {}

/// Serves the page until Ctrl-C; `opened` is called once, when it can be opened.
///
/// # Errors
/// [`ServeError`].
pub fn serve(options: &Options, opened: impl FnOnce(&Opened)) -> Result<(), ServeError> {
    let shop = Shop::open(&options.shop).map_err(ServeError::Shop)?;
    let door = Door::open(shop.root()).map_err(ServeError::Random)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(ServeError::Threads)?;
    runtime.block_on(async {
        let (listeners, notes) = listen::bind(options.port, options.lan).await?;
        let hosts = listen::hosts(&listeners);
        let app = Arc::new(App::new(shop, door, hosts, options.lan));
        let phone = if options.lan { app.first_phone() } else { None };
        opened(&Opened {
            address: format!("http://{}/open?key={}", app.own_host(), app.door.key()),
            shop: options.shop.clone(),
            phone,
            notes,
        });
        listen::serve(listeners, page::router(app)).await;
        Ok(())
    })
}

//! What all pages share.

use axum::http::{HeaderMap, header};
use qrcode::{QrCode, render::unicode};

use super::{door::Door, jobs::Jobs, work::Work};
use crate::shop::Shop;

/// The state behind the pages.
#[derive(Debug)]
pub struct App {
    /// The shop's folder.
    pub shop: Shop,
    /// Who is in.
    pub door: Door,
    /// Places for work that takes long.
    pub work: Work,
    /// Jobs that are open, and what was made of them.
    pub jobs: Jobs,
    /// Addresses with their ports that are listened on, this machine's first.
    hosts: Vec<String>,
    /// True where phones may come in.
    pub lan: bool,
}

impl App {
    /// The state of a page that is listened for on these addresses.
    #[must_use]
    pub fn new(shop: Shop, door: Door, hosts: Vec<String>, lan: bool) -> Self {
        Self {
            shop,
            door,
            work: Work::new(),
            jobs: Jobs::default(),
            hosts,
            lan,
        }
    }

    /// The address of this machine alone.
    #[must_use]
    pub fn own_host(&self) -> &str {
        self.hosts.first().map_or("", String::as_str)
    }

    /// The address that a request was sent to, where it is one of ours.
    #[must_use]
    pub fn host_of(&self, headers: &HeaderMap) -> Option<&str> {
        let mut all = headers.get_all(header::HOST).iter();
        let host = all.next()?.to_str().ok()?;
        if all.next().is_some() {
            return None;
        }
        self.hosts
            .iter()
            .map(String::as_str)
            .find(|own| *own == host)
    }

    /// Addresses that a phone can reach.
    pub fn phone_hosts(&self) -> impl Iterator<Item = &str> {
        let hosts = self.hosts.iter().map(String::as_str);
        hosts.filter(|host| !host.starts_with("127.") && !host.starts_with("localhost"))
    }

    /// The address that lets a phone in by a code.
    #[must_use]
    pub fn join_address(&self, code: &str) -> Option<String> {
        let host = self.phone_hosts().next()?;
        Some(format!("http://{host}/join?code={code}"))
    }

    /// A first code for a phone, as an address and as a picture for a terminal.
    #[must_use]
    pub fn first_phone(&self) -> Option<(String, String)> {
        let address = self.join_address(&self.door.new_code()?.signs)?;
        let code = QrCode::new(address.as_bytes()).ok()?;
        let picture = code.render::<unicode::Dense1x2>().build();
        Some((address, picture))
    }
}

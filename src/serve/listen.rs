//! The addresses that are listened on, and the connections to them.

use std::{
    net::{IpAddr, Ipv4Addr, SocketAddr},
    sync::Arc,
    time::Duration,
};

use axum::{Extension, Router};
use hyper::server::conn::http1;
use hyper_util::{
    rt::{TokioIo, TokioTimer},
    service::TowerToHyperService,
};
use tokio::{net::TcpListener, sync::Semaphore};

use super::ServeError;
use crate::output::stop;

/// Ports that are tried where none is named.
const USUAL_PORTS: std::ops::RangeInclusive<u16> = 4617..=4626;

/// Connections at a time: browsers open six each.
const MOST_CONNECTIONS: usize = 256;

/// How long a request's head may take to arrive, and an idle connection is kept.
const HEAD_WITHIN: Duration = Duration::from_secs(20);

/// How often it is looked whether the program was asked to stop while it wrote.
const LOOK_EVERY: Duration = Duration::from_millis(200);

/// Whether a request came in by this machine's own address: what its Host says, anybody can write.
#[derive(Clone, Copy, Debug)]
pub struct FromHere(pub bool);

/// Listens on this machine's own address, and, for phones, on those of its network; with what could not be done as asked.
///
/// # Errors
/// An address that another program has.
pub async fn bind(port: u16, lan: bool) -> Result<(Vec<TcpListener>, Vec<String>), ServeError> {
    let own = bind_own(port).await?;
    let port = own
        .local_addr()
        .map_err(|source| failed(IpAddr::V4(Ipv4Addr::LOCALHOST), port, source))?
        .port();
    let (mut listeners, mut notes) = (vec![own], Vec::new());
    if !lan {
        return Ok((listeners, notes));
    }
    let found = network_addresses();
    if found.is_empty() {
        notes.push("this computer is in no network that a phone could share; connect it to the shop's Wi-Fi and start again".to_owned());
    }
    for address in found {
        match TcpListener::bind(SocketAddr::new(address, port)).await {
            Ok(listener) => listeners.push(listener),
            Err(source) => notes.push(failed(address, port, source).to_string()),
        }
    }
    Ok((listeners, notes))
}

async fn bind_own(port: u16) -> Result<TcpListener, ServeError> {
    let own = IpAddr::V4(Ipv4Addr::LOCALHOST);
    if port != 0 {
        let bound = TcpListener::bind(SocketAddr::new(own, port)).await;
        return bound.map_err(|source| failed(own, port, source));
    }
    // The same address again after a restart, if it is free: a page that is open goes on.
    for port in USUAL_PORTS {
        if let Ok(listener) = TcpListener::bind(SocketAddr::new(own, port)).await {
            return Ok(listener);
        }
    }
    let bound = TcpListener::bind(SocketAddr::new(own, 0)).await;
    bound.map_err(|source| failed(own, 0, source))
}

fn failed(address: IpAddr, port: u16, source: std::io::Error) -> ServeError {
    ServeError::Listen {
        address: format!("{address}:{port}"),
        source,
    }
}

/// Addresses of this machine in private networks (RFC 1918) and link-local ones: never one that the internet reaches.
fn network_addresses() -> Vec<IpAddr> {
    let interfaces = if_addrs::get_if_addrs().unwrap_or_default();
    let addresses = interfaces.into_iter().map(|interface| interface.ip());
    let near = |address: &IpAddr| matches!(address, IpAddr::V4(v4) if v4.is_private() || v4.is_link_local());
    addresses.filter(near).collect()
}

/// The hosts that requests may name, this machine's first.
#[must_use]
pub fn hosts(listeners: &[TcpListener]) -> Vec<String> {
    let addresses: Vec<SocketAddr> = listeners
        .iter()
        .filter_map(|listener| listener.local_addr().ok())
        .collect();
    let own = addresses
        .first()
        .map(|own| format!("localhost:{}", own.port()));
    let mut hosts: Vec<String> = addresses.iter().map(ToString::to_string).collect();
    hosts.extend(own);
    hosts
}

/// Answers until Ctrl-C.
pub async fn serve(listeners: Vec<TcpListener>, router: Router) {
    let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    for listener in listeners {
        let own = listener
            .local_addr()
            .is_ok_and(|address| address.ip().is_loopback());
        let router = router.clone().layer(Extension(FromHere(own)));
        tokio::spawn(accept(listener, router, places.clone()));
    }
    // Outside of writing, Ctrl-C ends the program by itself; what is being written when it comes is taken back first.
    while !stop::asked() {
        tokio::time::sleep(LOOK_EVERY).await;
    }
}

async fn accept(listener: TcpListener, router: Router, places: Arc<Semaphore>) {
    loop {
        let Ok(place) = places.clone().acquire_owned().await else {
            return;
        };
        let Ok((stream, _)) = listener.accept().await else {
            // Too many open files, for one: others close theirs.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let _ = http1::Builder::new()
                .timer(TokioTimer::new())
                .header_read_timeout(HEAD_WITHIN)
                .max_buf_size(64 * 1024)
                .serve_connection(TokioIo::new(stream), service)
                .await;
            drop(place);
        });
    }
}

//! What every request passes: hosts, origins, keys, times, and the headers of every answer.
//!
//! A page in another tab can send requests here, and a name of its own can be made to lead to 127.0.0.1 (DNS rebinding). So the Host of
//! every request has to be an address that was listened on; whatever changes something has to come from a page of this address by its
//! Origin; and the key travels in a cookie that a browser sends with requests of this site alone and no script can read. The policy
//! that goes with each page lets it load and send to nothing but this address.

use std::{sync::Arc, time::Duration};

use axum::{
    extract::{Request, State},
    http::{HeaderMap, HeaderValue, Method, StatusCode, header},
    middleware::Next,
    response::{IntoResponse as _, Response},
};

use super::{app::App, door::Device, listen::FromHere, refusal::Refusal};

/// Longest time that an answer takes, the reading of the request included.
const LONGEST: Duration = Duration::from_secs(90);

/// Name of the cookie with a device's key.
const COOKIE: &str = "baystencil";

/// What pages may load and send to.
const POLICY: &str = "default-src 'none'; img-src 'self' data:; style-src 'self'; script-src 'self'; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

/// Paths that are open before somebody is in.
const OPEN: [&str; 4] = ["/open", "/join", "/style.css", "/live.js"];

/// Lets a request through, or says why not.
pub async fn guard(State(app): State<Arc<App>>, mut request: Request, next: Next) -> Response {
    let refused = refuse(&app, &request);
    let answer = match refused {
        Some(refusal) => refusal.into_response(),
        None => {
            if let Some(device) = device(&app, &request) {
                request.extensions_mut().insert(device);
            }
            match tokio::time::timeout(LONGEST, next.run(request)).await {
                Ok(answer) => answer,
                Err(_) => Refusal::too_long().into_response(),
            }
        }
    };
    with_headers(answer)
}

fn refuse(app: &App, request: &Request) -> Option<Refusal> {
    let headers = request.headers();
    let Some(host) = app.host_of(headers) else {
        return Some(Refusal::new(
            StatusCode::MISDIRECTED_REQUEST,
            "Not this address",
            "This page is opened by the address that the program shows, and by no other.",
        ));
    };
    let changes = !matches!(*request.method(), Method::GET | Method::HEAD);
    if changes && !is_from(headers, host) {
        return Some(Refusal::new(
            StatusCode::FORBIDDEN,
            "Sent from another page",
            "Nothing was changed: this came from a page elsewhere, not from this one.",
        ));
    }
    let is_open = OPEN.contains(&request.uri().path());
    if !is_open && device(app, request).is_none() {
        return Some(Refusal::not_in());
    }
    None
}

/// The device that a request's cookie is of. One of this machine is known by its own address alone: a key that was read on the way
/// from a phone opens nothing of the computer's.
fn device(app: &App, request: &Request) -> Option<Device> {
    let from_here = request
        .extensions()
        .get::<FromHere>()
        .is_some_and(|from| from.0);
    let device = app.door.device(key(request.headers())?)?;
    (from_here || !device.here).then_some(device)
}

/// True where a request says that it comes from a page of this host. A browser names the origin of whatever it posts.
fn is_from(headers: &HeaderMap, host: &str) -> bool {
    let of = |name| {
        headers
            .get(name)
            .and_then(|value: &HeaderValue| value.to_str().ok())
    };
    let site_is_ours = of(header::HeaderName::from_static("sec-fetch-site"))
        .is_none_or(|site| site == "same-origin");
    site_is_ours && of(header::ORIGIN) == Some(format!("http://{host}").as_str())
}

fn key(headers: &HeaderMap) -> Option<&str> {
    let cookies = headers.get_all(header::COOKIE).iter();
    let cookies = cookies.filter_map(|value| value.to_str().ok());
    cookies
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find_map(|(name, value)| (name == COOKIE).then_some(value))
}

/// The header that has a browser keep a device's key: for this site alone, and not for scripts.
#[must_use]
pub fn cookie(key: &str) -> HeaderValue {
    let text = format!("{COOKIE}={key}; Path=/; HttpOnly; SameSite=Strict; Max-Age=57600");
    HeaderValue::from_str(&text).unwrap_or(HeaderValue::from_static(""))
}

fn with_headers(mut answer: Response) -> Response {
    let headers = answer.headers_mut();
    let fixed = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        // Not "no-referrer": browsers then name no origin even to the page itself.
        (header::REFERRER_POLICY, "same-origin"),
        (header::X_FRAME_OPTIONS, "DENY"),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    for (name, value) in [
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers
        .entry(header::CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    answer
}

//! Who is in: the way in for this computer and for phones, the list of devices, and putting one out.

use std::sync::Arc;

use axum::{
    Extension, Router,
    extract::{Query, State},
    http::{StatusCode, header},
    response::{IntoResponse as _, Redirect, Response},
    routing::{get, post},
};
use maud::{Markup, html};
use qrcode::{QrCode, render::svg};
use serde::Deserialize;

use super::{Place, bare, page};
use crate::serve::{
    app::App, door::Device, fields::Fields, guard::cookie, listen::FromHere, refusal::Refusal,
};

/// Its addresses.
pub fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/open", get(open))
        .route("/join", get(ask).post(join))
        .route("/devices", get(list))
        .route("/devices/code", post(new_code))
        .route("/devices/code.svg", get(code_picture))
        .route("/devices/out", post(put_out))
}

#[derive(Deserialize)]
struct Key {
    #[serde(default)]
    key: String,
}

#[derive(Deserialize)]
struct Code {
    #[serde(default)]
    code: String,
}

/// This computer, by the key in the address that the program shows; from elsewhere even the right key opens nothing.
async fn open(
    State(app): State<Arc<App>>,
    Extension(FromHere(from_here)): Extension<FromHere>,
    Query(Key { key }): Query<Key>,
) -> Response {
    let entered = if from_here {
        app.door.enter_here(&key)
    } else {
        None
    };
    entered.map_or_else(|| Refusal::not_in().into_response(), |key| let_in(&key))
}

fn let_in(key: &str) -> Response {
    ([(header::SET_COOKIE, cookie(key))], Redirect::to("/")).into_response()
}

/// A phone, before its code is used: opening the address alone uses nothing up.
async fn ask(Query(Code { code }): Query<Code>) -> Markup {
    bare(
        "Let this phone in",
        &html! {
            h1 { "Let this phone in" }
            p { "The shop’s Wi-Fi is not encrypted on the way between this phone and the computer: whoever is in the same Wi-Fi could read along. Type nothing secret." }
            form method="post" action="/join" {
                p { label for="code" { "Code" } input id="code" name="code" value=(code) autocomplete="off" autocapitalize="characters" required; }
                p { label for="name" { "What shall this phone be called?" } input id="name" name="name" value="phone" maxlength="40"; }
                p { button { "Let it in" } }
            }
        },
    )
}

async fn join(State(app): State<Arc<App>>, fields: Fields) -> Response {
    let entered = app
        .door
        .enter_by_code(fields.get("code"), fields.get("name"));
    entered.map_or_else(
        || {
            Refusal::new(
                StatusCode::UNAUTHORIZED,
                "This code is not good",
                "A code lets one phone in, within five minutes. Ask for a new one on the computer, under Phones.",
            )
            .into_response()
        },
        |key| let_in(&key),
    )
}

/// Codes are shown to this computer alone: a phone that is in lets no other one in.
fn refuse_phones(device: &Device) -> Result<(), Refusal> {
    if device.here {
        return Ok(());
    }
    Err(Refusal::new(
        StatusCode::FORBIDDEN,
        "Only on the computer",
        "Phones are let in and put out on the computer that runs baystencil.",
    ))
}

async fn list(State(app): State<Arc<App>>, Extension(this): Extension<Device>) -> Markup {
    let code = app.door.code().filter(|_| this.here);
    let address = code.as_ref().and_then(|code| app.join_address(&code.signs));
    page(
        Place::At("/devices"),
        "Phones",
        &html! {
            h1 { "Phones" }
            @if !app.lan {
                p { "Only this computer gets in. To type readings on a phone beside the vehicle, stop the program and start it again with " code { "baystencil serve --lan" } "." }
            } @else if let (Some(code), Some(address)) = (&code, &address) {
                h2 { "Let one phone in" }
                ol {
                    li { "Connect the phone to the same Wi-Fi as this computer." }
                    li { "Scan this picture with its camera, or type the address." }
                }
                p { img.qr src="/devices/code.svg" alt="The address for one phone, to be scanned" width="240" height="240"; }
                p { code { (address) } }
                p { "Code " strong.code { (code.signs) } ", good once, for " (code.left().as_secs().div_ceil(60)) " minutes." }
                p.warning { "Shop Wi-Fi is not encrypted between phone and computer: whoever is in the same Wi-Fi could read along, or take a phone’s place. Use a network that only the shop’s staff is in." }
            } @else if this.here {
                form method="post" action="/devices/code" { button { "Show a code for a phone" } }
            }
            h2 { "Who is in" }
            table {
                thead { tr { th scope="col" { "Device" } th scope="col" { "Came in by" } th scope="col" { span.quiet { "Put out" } } } }
                tbody {
                    @for device in app.door.devices() {
                        tr {
                            td { (device.name) @if device.number == this.number { " (this one)" } }
                            td { @if device.here { "key" } @else { "code" } }
                            td {
                                @if this.here {
                                    form method="post" action="/devices/out" {
                                        input type="hidden" name="number" value=(device.number);
                                        button aria-label=(format!("Put out {} {}", device.name, device.number)) { "Put out" }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        },
    )
}

async fn new_code(
    State(app): State<Arc<App>>,
    Extension(this): Extension<Device>,
) -> Result<Redirect, Refusal> {
    refuse_phones(&this)?;
    if app.lan {
        let _ = app.door.new_code();
    }
    Ok(Redirect::to("/devices"))
}

async fn code_picture(
    State(app): State<Arc<App>>,
    Extension(this): Extension<Device>,
) -> Result<Response, Refusal> {
    refuse_phones(&this)?;
    let code = app.door.code().ok_or_else(Refusal::missing)?;
    let address = app.join_address(&code.signs).ok_or_else(Refusal::missing)?;
    let code = QrCode::new(address.as_bytes()).map_err(|_| Refusal::missing())?;
    let picture = code
        .render::<svg::Color<'_>>()
        .min_dimensions(240, 240)
        .build();
    Ok(crate::serve::send::svg(picture))
}

async fn put_out(
    State(app): State<Arc<App>>,
    Extension(this): Extension<Device>,
    fields: Fields,
) -> Result<Redirect, Refusal> {
    refuse_phones(&this)?;
    let number = fields
        .get("number")
        .parse()
        .map_err(|_| Refusal::missing())?;
    app.door.put_out(number);
    Ok(Redirect::to("/devices"))
}

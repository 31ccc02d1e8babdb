//! `baystencil serve`.

use super::{args::ServeArgs, data::messages, failure::Failure};
use crate::{
    serve::{Options, serve as serve_page},
    shop::Shop,
    source::{Faults, Place},
};

/// Serves the page until Ctrl-C.
pub(super) fn serve(args: &ServeArgs) -> Result<(), Failure> {
    let shop = match &args.shop {
        Some(folder) => folder.clone(),
        None => {
            Shop::usual_folder().map_err(|why| Faults::from(Place::whole("--shop").fault(why)))?
        }
    };
    let options = Options {
        shop,
        port: args.port.unwrap_or(0),
        lan: args.lan,
    };
    let served = serve_page(&options, |opened| {
        for note in &opened.notes {
            messages(&format!("note: {note}"));
        }
        messages(&format!("the shop's folder: {}", opened.shop.display()));
        messages(&format!(
            "open this address in a browser on this computer: {}",
            opened.address
        ));
        if let Some((address, picture)) = &opened.phone {
            messages(
                "shop Wi-Fi is not encrypted between a phone and this computer: whoever is in the same Wi-Fi could read along",
            );
            messages(
                "for one phone on the same Wi-Fi, good once, for five minutes; more under Phones on the page:",
            );
            messages(picture);
            messages(address);
        }
        messages("Ctrl-C ends it; everything that was saved is in the shop's folder");
    });
    served.map_err(|error| Faults::from(Place::whole("serve").fault(error.to_string())).into())
}

//! The `baystencil` command line.

fn main() {}

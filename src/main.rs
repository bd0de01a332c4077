//! Arguments to command or screens; exit codes.

fn main() {}

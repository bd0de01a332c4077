//! The commands, by running the program itself in a sealed environment.
fn main() {}

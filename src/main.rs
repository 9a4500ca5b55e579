//! The command line: arguments in, reports and an exit status out.

fn main() {}

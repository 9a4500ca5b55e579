//! The command line: arguments in, reports and an exit status out.

mod cli;

fn main() -> std::process::ExitCode {
    cli::run()
}

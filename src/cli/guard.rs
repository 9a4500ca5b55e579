//! Work on one file that cannot take the program with it: it is bounded in time, and a panic stays inside.

use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use super::exit::Fault;

/// What `work` gives, or why it gave nothing within so many `seconds`.
///
/// The work has a thread of its own. One that takes too long is left to itself, since a thread cannot be stopped from
/// outside, and ends with the program.
pub fn within<T: Send + 'static>(seconds: u64, work: impl FnOnce() -> T + Send + 'static) -> Result<T, Fault> {
    let (done, wait) = channel();
    let run = move || {
        // Nobody waits any more when the time is over.
        let _ = done.send(work());
    };
    thread::Builder::new().spawn(run).map_err(|error| Fault::failed(format!("failed to start a thread: {error}")))?;
    wait.recv_timeout(Duration::from_secs(seconds)).map_err(|error| match error {
        RecvTimeoutError::Timeout => Fault::failed(format!(
            "time in seconds is over the limit of {seconds}; raise it with `--limit seconds=N` if the file is trusted"
        )),
        RecvTimeoutError::Disconnected => Fault::failed("failed inside the program; please report the score"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_is_done_or_its_fault_is_told() {
        assert_eq!(within(60, || 7).ok(), Some(7));
        // Nobody ever sends, so this waits for ever.
        let (_kept, never) = channel::<()>();
        let late = within(0, move || never.recv()).err().map(|fault| fault.what);
        let said = "time in seconds is over the limit of 0; raise it with `--limit seconds=N` if the file is trusted";
        assert_eq!(late.as_deref(), Some(said));
        // A panic of its own, without the words of one on the screen.
        let broken = within(60, || std::panic::resume_unwind(Box::new(()))).err().map(|fault| fault.what);
        assert_eq!(broken.as_deref(), Some("failed inside the program; please report the score"));
    }
}

//! The command line as a person meets it: help, wrong usage, exit statuses.

use crate::run::Run;

#[test]
fn help_fits_in_eighty_columns_and_shows_examples() {
    for args in [&["--help"][..], &["completions", "--help"]] {
        let ran = Run::new(args).code(0);
        for line in ran.out.lines() {
            assert!(line.chars().count() <= 80, "{} columns: {line}", line.chars().count());
        }
    }
    Run::new(["--help"]).code(0).says("Examples:");
}

#[test]
fn wrong_usage_leaves_with_status_two() {
    Run::new(["tune-the-piano"]).code(2);
    Run::new(["--no-such-option"]).code(2);
    Run::new(["completions", "no-such-shell"]).code(2);
    Run::new::<&str>([]).code(2);
}

#[test]
fn every_shell_gets_a_completion_script() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        Run::new(["completions", shell]).code(0).says("thumbunder");
    }
}

#[test]
fn a_directory_as_output_is_wrong_usage() {
    let folder = tempfile::tempdir().unwrap();
    Run::new(["completions", "bash", "-o", "."])
        .in_folder(folder.path())
        .code(2)
        .stdout("")
        .stderr("error: output `.` is a directory; hint: name a file in it\n");
    Run::new(["completions", "bash", "-o", "no/such/file"])
        .in_folder(folder.path())
        .code(2)
        .stderr("error: output folder `no/such` does not exist\n");
}

#[test]
fn an_output_file_is_replaced_as_a_whole_and_nothing_else_is_left() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("script");
    std::fs::write(&file, "old").unwrap();
    Run::new(["completions", "bash", "-o", "script"]).in_folder(folder.path()).code(0).stdout("").stderr("");
    assert!(std::fs::read_to_string(&file).unwrap().contains("thumbunder"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn colour_is_for_terminals_unless_asked_for() {
    let wrong = ["completions", "bash", "-o", "."];
    Run::new(wrong).code(2).stderr("error: output `.` is a directory; hint: name a file in it\n");
    let asked = Run::new(wrong.into_iter().chain(["--color", "always"])).env("NO_COLOR", "1").code(2);
    assert!(asked.err.starts_with("\x1b[1;31merror:\x1b[0m output"), "{}", asked.err);
}

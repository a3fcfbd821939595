//! The `casewright` program: a thin shell round [`casewright::cli`].

fn main() -> std::process::ExitCode {
    casewright::cli::main()
}

//! The program: everything is in the library's [`roundwright::cli`].

fn main() -> std::process::ExitCode {
    roundwright::cli::main()
}

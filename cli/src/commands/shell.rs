//! `completions` and `man`: what a package of the program carries besides it, made from the command's own definition.

use clap::CommandFactory;

use super::save::save;
use super::{complain, finish};
use crate::args::{Arguments, CompletionsArguments, ManArguments};
use crate::exit::Exit;
use crate::render::words;

/// The command's name.
const NAME: &str = "cellarwright";

/// Prints the completions of a shell.
pub fn completions(arguments: &CompletionsArguments) -> Exit {
    let mut text = Vec::new();
    clap_complete::generate(arguments.shell.known(), &mut Arguments::command(), NAME, &mut text);
    finish(Ok(String::from_utf8_lossy(&text).into_owned()), Exit::Good)
}

/// Writes the manual pages: one of the program, one of each command.
pub fn man(arguments: &ManArguments) -> Exit {
    match write_pages(arguments) {
        Ok(()) => Exit::Good,
        Err(exit) => exit,
    }
}

fn write_pages(arguments: &ManArguments) -> Result<(), Exit> {
    let folder = &arguments.folder;
    let refused = |error: &std::io::Error| {
        complain(&words::unwritable(&folder.display().to_string(), &error.to_string()));
        Exit::BadInput
    };
    std::fs::create_dir_all(folder).map_err(|error| refused(&error))?;
    // Made beside the folder first, so that each page is written whole.
    let made = tempfile::tempdir().map_err(|error| refused(&error))?;
    clap_mangen::generate_to(Arguments::command(), made.path()).map_err(|error| refused(&error))?;
    let pages = std::fs::read_dir(made.path()).map_err(|error| refused(&error))?;
    for page in pages {
        let page = page.map_err(|error| refused(&error))?;
        let text = std::fs::read(page.path()).map_err(|error| refused(&error))?;
        save(&folder.join(page.file_name()), text)?;
    }
    Ok(())
}

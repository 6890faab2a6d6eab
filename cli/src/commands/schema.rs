//! `schema`: the JSON Schema of a file, for editors.

use cellarwright_model::schema;

use super::finish;
use crate::args::{SchemaArguments, SchemaFile};
use crate::exit::Exit;

/// Runs the command.
pub fn run(arguments: &SchemaArguments) -> Exit {
    let file = match arguments.file {
        SchemaFile::Brewplan => schema::File::BrewPlan,
        SchemaFile::Cellar => schema::File::Cellar,
    };
    finish(Ok(schema::text(file)), Exit::Good)
}

//! `schema`: the JSON Schema of a file, for editors.

use cellarwright_model::schema;

use super::finish;
use crate::args::{SchemaArguments, SchemaFile};
use crate::exit::Exit;

/// Runs the command.
pub fn run(arguments: &SchemaArguments) -> Exit {
    let text = match arguments.file {
        SchemaFile::Brewplan => schema::text(schema::File::BrewPlan),
        SchemaFile::Cellar => schema::text(schema::File::Cellar),
        SchemaFile::Change => schema::change::text(),
        SchemaFile::Happened => schema::happened::text(),
    };
    finish(Ok(text), Exit::Good)
}

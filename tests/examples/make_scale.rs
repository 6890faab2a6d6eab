//! Writes the cases of `cases/scale`: `cargo run --release -p cellarwright-tests --example make_scale`.

use cellarwright_tests::scale::{SEEDS, SIZES, files, folder};

fn main() -> std::io::Result<()> {
    for size in SIZES {
        for seed in SEEDS {
            let folder = folder(size, seed);
            std::fs::create_dir_all(&folder)?;
            for file in files(size, seed) {
                std::fs::write(folder.join(file.name), file.text)?;
            }
        }
    }
    Ok(())
}

//! Where this checkout and its build products are.

use cargo_metadata::{Metadata, MetadataCommand};
use std::path::{Path, PathBuf};

/// The folder of the workspace's `Cargo.toml`.
pub fn root() -> &'static Path {
    let xtask = Path::new(env!("CARGO_MANIFEST_DIR"));
    xtask.parent().expect("xtask lies in the workspace")
}

/// Cargo's build folder, which the builder may have put anywhere.
pub fn target() -> PathBuf {
    metadata().target_directory.into()
}

/// What cargo says of the workspace's own crates.
pub fn metadata() -> Metadata {
    MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()
        .expect("cargo reads the workspace it has just built")
}

/// Files below `folder` with this ending, in the order of their names; none if it is not there.
pub fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for path in entries(folder) {
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) {
            found.push(path);
        }
    }
    found
}

/// What lies in `folder`, in the order of the names; nothing if it is not there.
pub fn entries(folder: &Path) -> Vec<PathBuf> {
    let read = std::fs::read_dir(folder).into_iter().flatten();
    let mut paths: Vec<PathBuf> = read.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    paths
}

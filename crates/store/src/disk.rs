//! The only door to the disk: a folder of the builder's files, read as text.

#![expect(
    clippy::disallowed_methods,
    reason = "this is the one door to the disk"
)]

use craft::SourceFile;
use craft::space::MeshFile;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Why a folder or file could not be read or written.
#[derive(Debug)]
pub struct DiskError {
    /// What could not be done: "read", "write".
    pub doing: &'static str,
    /// Which.
    pub path: PathBuf,
    /// Why.
    pub cause: io::Error,
}

impl std::fmt::Display for DiskError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            out,
            "cannot {} {}: {}",
            self.doing,
            self.path.display(),
            self.cause
        )
    }
}

impl std::error::Error for DiskError {}

/// The folder a path belongs to: itself, or the folder a file stands in.
pub fn bench_folder(path: &Path) -> PathBuf {
    if path.is_dir() {
        return path.to_owned();
    }
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// Every TOML file of a bench folder and of its `parts/`, in the order of their names. A file that
/// is not UTF-8 is read with its bad bytes replaced, so that the fault shows at its place.
pub fn read_folder(folder: &Path) -> Result<Vec<SourceFile>, DiskError> {
    let mut files = read_toml(folder, "")?;
    let parts = folder.join("parts");
    if parts.is_dir() {
        files.extend(read_toml(&parts, "parts/")?);
    }
    Ok(files)
}

/// Largest mesh file that is read \[bytes\]: half a million triangles as text.
pub const LARGEST_MESH: u64 = 160 << 20;

/// Every STL file of a bench folder and of its `parts/`, in the order of their names.
pub fn read_meshes(folder: &Path) -> Result<Vec<MeshFile>, DiskError> {
    let mut meshes = Vec::new();
    for (inside, prefix) in [(folder.to_owned(), ""), (folder.join("parts"), "parts/")] {
        if !inside.is_dir() {
            continue;
        }
        let fault = |path: &Path| {
            let path = path.to_owned();
            move |cause| DiskError {
                doing: "read",
                path,
                cause,
            }
        };
        for entry in fs::read_dir(&inside).map_err(fault(&inside))? {
            let path = entry.map_err(fault(&inside))?.path();
            let name = path.file_name().and_then(|name| name.to_str());
            let Some(name) = name.filter(|name| name.to_ascii_lowercase().ends_with(".stl")) else {
                continue;
            };
            let size = fs::metadata(&path).map_err(fault(&path))?.len();
            let bytes = if size <= LARGEST_MESH {
                fs::read(&path).map_err(fault(&path))?
            } else {
                Vec::new()
            };
            meshes.push(MeshFile {
                path: format!("{prefix}{name}"),
                bytes: bytes.into(),
                size,
            });
        }
    }
    meshes.sort_by(|one, other| one.path.cmp(&other.path));
    Ok(meshes)
}

fn read_toml(folder: &Path, prefix: &str) -> Result<Vec<SourceFile>, DiskError> {
    let fault = |path: &Path| {
        let path = path.to_owned();
        move |cause| DiskError {
            doing: "read",
            path,
            cause,
        }
    };
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(fault(folder))? {
        let path = entry.map_err(fault(folder))?.path();
        let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
            continue;
        };
        if name.ends_with(".toml") && path.is_file() {
            let bytes = fs::read(&path).map_err(fault(&path))?;
            files.push(SourceFile {
                path: format!("{prefix}{name}"),
                text: String::from_utf8_lossy(&bytes).into_owned(),
            });
        }
    }
    files.sort_by(|one, other| one.path.cmp(&other.path));
    Ok(files)
}

/// Reads one file, such as a table of blade angles or a mesh.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, DiskError> {
    fs::read(path).map_err(|cause| DiskError {
        doing: "read",
        path: path.to_owned(),
        cause,
    })
}

/// Writes a new file, with its folders; refuses to write over one that is there.
pub fn write_new(path: &Path, text: &str) -> Result<(), DiskError> {
    let fault = |cause| DiskError {
        doing: "write",
        path: path.to_owned(),
        cause,
    };
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent).map_err(fault)?;
    }
    let mut file = fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(fault)?;
    io::Write::write_all(&mut file, text.as_bytes()).map_err(fault)
}

/// Writes what the program makes anew each time, such as a drawing: an older one is replaced.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), DiskError> {
    fs::write(path, bytes).map_err(|cause| DiskError {
        doing: "write",
        path: path.to_owned(),
        cause,
    })
}

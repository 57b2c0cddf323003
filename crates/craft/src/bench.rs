//! Everything the builder wrote in one folder, and the typical parts it leans on.

use crate::airframe::{Airframe, Craft, Refit};
use crate::need::{Conditions, Needs};
use crate::part::Part;
use crate::space::MeshFile;
use crate::{FileId, Place};
use std::sync::Arc;

/// Takes each named key from the newer table where it was written there.
macro_rules! overlay {
    ($old:ident, $new:ident, $($key:ident),+) => {
        $( if $new.$key.is_some() { $old.$key = $new.$key; } )+
    };
}

/// One file as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceFile {
    /// Its path as the builder would type it; typical parts start with `typical/`.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// A bench: parts, craft and refits, with the texts they were read from.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Bench {
    /// The texts; a [`FileId`] is a position in this list.
    pub files: Vec<SourceFile>,
    /// Mesh files of the folder.
    pub meshes: Vec<MeshFile>,
    /// Own part sheets first, typical ones after them.
    pub parts: Vec<Arc<Part>>,
    /// Craft files.
    pub craft: Vec<Craft>,
    /// Refit files.
    pub refits: Vec<Refit>,
}

/// What is to be judged: a craft as it is, or a craft and its refit.
#[derive(Debug, Clone, Copy)]
pub struct Job<'bench> {
    /// The craft.
    pub craft: &'bench Craft,
    /// The change, if there is one.
    pub refit: Option<&'bench Refit>,
}

impl Bench {
    /// The file behind an id.
    pub fn file(&self, id: FileId) -> &SourceFile {
        &self.files[id.0 as usize]
    }

    /// The text at a place.
    pub fn text_at(&self, place: Place) -> &str {
        self.file(place.file)
            .text
            .get(place.range())
            .unwrap_or_default()
    }

    /// Line and column, both counted from one, of a place's beginning.
    pub fn line_and_column(&self, place: Place) -> (usize, usize) {
        let text = &self.file(place.file).text;
        let before = text.get(..place.start as usize).unwrap_or_default();
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        (
            before.matches('\n').count() + 1,
            before[line_start..].chars().count() + 1,
        )
    }

    /// A craft by name.
    pub fn craft_named(&self, name: &str) -> Option<&Craft> {
        self.craft.iter().find(|craft| craft.name == name)
    }

    /// The refit of this name with its craft, when the craft is there.
    pub fn refit_job(&self, name: &str) -> Option<Job<'_>> {
        let refit = self.refits.iter().find(|refit| refit.name == name)?;
        let craft = self.craft_named(refit.header.craft.as_ref()?)?;
        Some(Job {
            craft,
            refit: Some(refit),
        })
    }
}

impl<'bench> Job<'bench> {
    /// The craft as it is.
    pub fn before(&self) -> Airframe {
        Airframe::before(self.craft)
    }

    /// The craft with the refit done; none without a refit.
    pub fn after(&self) -> Option<Airframe> {
        self.refit.map(|refit| Airframe::after(self.craft, refit))
    }

    /// What the craft must do: the refit's word where it has one, key by key.
    pub fn needs(&self) -> Option<Needs> {
        merged(
            self.craft.needs.as_ref(),
            self.refit.and_then(|refit| refit.needs.as_ref()),
            |mut old, new| {
                overlay!(
                    old,
                    new,
                    style,
                    active_time,
                    hover_time,
                    hover_command,
                    thrust_to_weight,
                    mass_limit,
                    mass_reserve
                );
                old
            },
        )
    }

    /// What it will meet: the refit's word where it has one, key by key.
    pub fn conditions(&self) -> Option<Conditions> {
        merged(
            self.craft.conditions.as_ref(),
            self.refit.and_then(|refit| refit.conditions.as_ref()),
            |mut old, new| {
                overlay!(
                    old,
                    new,
                    altitude,
                    air_temperature,
                    pack_temperature,
                    cold_pack_temperature,
                    landing_reserve,
                    landing_volts,
                    command_limit
                );
                old
            },
        )
    }
}

fn merged<T: Clone>(
    old: Option<&T>,
    new: Option<&T>,
    overlay: impl FnOnce(T, &T) -> T,
) -> Option<T> {
    match (old, new) {
        (Some(old), Some(new)) => Some(overlay(old.clone(), new)),
        (one, other) => other.or(one).cloned(),
    }
}

//! The tables of a file, described once.
//!
//! `tables!` turns one description into the struct, its reading and its [`Field`] list; the
//! JSON Schema and the book's page on files are made from the [`Field`]s, so they cannot drift.

use crate::worth::Worth;
use crate::{Place, Stated};
use quantity::{Dimension, DimensionInfo, Quantity};

/// What may be written for one key.
#[derive(Debug, Clone, Copy)]
pub enum FieldKind {
    /// A doubted quantity: "18 ± 4 mΩ".
    Doubted(DimensionInfo, &'static Worth),
    /// A definite quantity, a setting or a nominal size: "5 V".
    Definite(DimensionInfo),
    /// A rated range: "7..26 V".
    Rated(DimensionInfo),
    /// A whole number of at least one.
    Whole,
    /// Words.
    Text,
    /// `true` or `false`.
    Flag,
    /// One of these words.
    Choice(&'static [Word]),
    /// A list of names.
    Names,
}

/// A word that may be chosen, with what it means.
#[derive(Debug, Clone, Copy)]
pub struct Word {
    /// As written in the file.
    pub text: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

/// One key of a table.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// The key.
    pub key: &'static str,
    /// The lines of its description.
    pub doc: &'static [&'static str],
    /// Whether the table makes no sense without it.
    pub required: bool,
    /// What may be written.
    pub kind: FieldKind,
}

/// One table of a file.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// Its key, "cells".
    pub key: &'static str,
    /// The lines of its description.
    pub doc: &'static [&'static str],
    /// Whether it is a table of named tables: `[rail.5v]`.
    pub named: bool,
    /// Its keys.
    pub fields: &'static [Field],
}

/// A rated range: from, to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rated<D> {
    /// Least.
    pub low: D,
    /// Most.
    pub high: D,
}

/// A doubted quantity as written: what was on the page, and what we make of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure<D> {
    /// The number as written, before any usual bias is taken out.
    pub written: D,
    /// With bias taken out and doubt put on.
    pub quantity: Quantity<D>,
}

/// A definite quantity.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Definite<D>(pub D);

/// Reads the values of one table; written by whoever knows the file's syntax.
pub trait Reader {
    /// A doubted quantity.
    fn doubted<D: Dimension>(
        &mut self,
        field: &Field,
        worth: &'static Worth,
    ) -> Option<Stated<Figure<D>>>;
    /// A definite quantity.
    fn definite<D: Dimension>(&mut self, field: &Field) -> Option<Stated<Definite<D>>>;
    /// A rated range.
    fn rated<D: Dimension>(&mut self, field: &Field) -> Option<Stated<Rated<D>>>;
    /// A whole number of at least one.
    fn whole(&mut self, field: &Field) -> Option<Stated<u32>>;
    /// Words.
    fn text(&mut self, field: &Field) -> Option<Stated<String>>;
    /// `true` or `false`.
    fn flag(&mut self, field: &Field) -> Option<Stated<bool>>;
    /// The position of the chosen word.
    fn choice(&mut self, field: &Field, words: &'static [Word]) -> Option<Stated<usize>>;
    /// A list of names.
    fn names(&mut self, field: &Field) -> Option<Stated<Vec<Stated<String>>>>;
    /// Where the table stands.
    fn place(&self) -> Place;
}

/// A type that can stand for one key.
pub trait FieldType: Sized {
    /// What may be written for it.
    const KIND: FieldKind;
    /// Reads it.
    fn read<R: Reader>(reader: &mut R, field: &Field) -> Option<Stated<Self>>;
}

impl<D: Dimension> FieldType for Definite<D> {
    const KIND: FieldKind = FieldKind::Definite(DimensionInfo::of::<D>());
    fn read<R: Reader>(reader: &mut R, field: &Field) -> Option<Stated<Self>> {
        reader.definite(field)
    }
}

impl<D: Dimension> FieldType for Rated<D> {
    const KIND: FieldKind = FieldKind::Rated(DimensionInfo::of::<D>());
    fn read<R: Reader>(reader: &mut R, field: &Field) -> Option<Stated<Self>> {
        reader.rated(field)
    }
}

impl FieldType for u32 {
    const KIND: FieldKind = FieldKind::Whole;
    fn read<R: Reader>(reader: &mut R, field: &Field) -> Option<Stated<Self>> {
        reader.whole(field)
    }
}

impl FieldType for String {
    const KIND: FieldKind = FieldKind::Text;
    fn read<R: Reader>(reader: &mut R, field: &Field) -> Option<Stated<Self>> {
        reader.text(field)
    }
}

impl FieldType for bool {
    const KIND: FieldKind = FieldKind::Flag;
    fn read<R: Reader>(reader: &mut R, field: &Field) -> Option<Stated<Self>> {
        reader.flag(field)
    }
}

impl FieldType for Vec<Stated<String>> {
    const KIND: FieldKind = FieldKind::Names;
    fn read<R: Reader>(reader: &mut R, field: &Field) -> Option<Stated<Self>> {
        reader.names(field)
    }
}

/// A struct that is one table of a file.
pub trait TableType: Sized {
    /// Its description.
    const TABLE: Table;
    /// Reads it; keys that cannot be read are left empty and have been reported.
    fn read<R: Reader>(reader: &mut R) -> Self;
}

/// Describes tables: the struct, its reading and its field list from the same lines.
///
/// A doubted quantity is written `key: Dimension ~ WORTH`; anything else `key: Type`. A leading
/// `!` marks a key that the table makes no sense without.
macro_rules! tables {
    ($(
        $(#[doc = $doc:literal])*
        $key:literal $([$named:ident])? $name:ident {
            $(
                $(#[doc = $field_doc:literal])*
                $field:ident $(! $required:ident)? : $type:ty $(, ~ $worth:ident)? ;
            )*
        }
    )*) => {$(
        $(#[doc = $doc])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name {
            /// Where the table stands.
            pub place: $crate::Place,
            $(
                $(#[doc = $field_doc])*
                pub $field: Option<$crate::Stated<$crate::sheet::tables!(@type $type $(, $worth)?)>>,
            )*
        }

        impl $crate::sheet::TableType for $name {
            const TABLE: $crate::sheet::Table = $crate::sheet::Table {
                key: $key,
                doc: &[$($doc),*],
                named: $crate::sheet::tables!(@given $($named)?),
                fields: &[$($crate::sheet::Field {
                    key: stringify!($field),
                    doc: &[$($field_doc),*],
                    required: $crate::sheet::tables!(@given $($required)?),
                    kind: $crate::sheet::tables!(@kind $type $(, $worth)?),
                }),*],
            };

            fn read<R: $crate::sheet::Reader>(reader: &mut R) -> Self {
                let mut fields = Self::TABLE.fields.iter();
                let place = reader.place();
                $(
                    let field = fields.next().expect("one field for each key");
                    let $field = $crate::sheet::tables!(@read $type, reader, field $(, $worth)?);
                )*
                Self { place, $($field),* }
            }
        }
    )*};
    (@given) => { false };
    (@given $word:ident) => { true };
    (@type $type:ty) => { $type };
    (@type $type:ty, $worth:ident) => { $crate::sheet::Figure<$type> };
    (@kind $type:ty) => { <$type as $crate::sheet::FieldType>::KIND };
    (@kind $type:ty, $worth:ident) => {
        $crate::sheet::FieldKind::Doubted(quantity::DimensionInfo::of::<$type>(), &$crate::worth::$worth)
    };
    (@read $type:ty, $reader:ident, $field:ident) => { <$type as $crate::sheet::FieldType>::read($reader, $field) };
    (@read $type:ty, $reader:ident, $field:ident, $worth:ident) => {
        $reader.doubted::<$type>($field, &$crate::worth::$worth)
    };
}

/// Describes a choice: an enum, its words and what they mean.
macro_rules! choices {
    ($(
        $(#[doc = $doc:literal])*
        $name:ident { $( $(#[doc = $word_doc:literal])* $variant:ident $word:literal; )+ }
    )+) => {$(
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $name {
            $( $(#[doc = $word_doc])* $variant, )+
        }

        impl $name {
            /// Every one, in the order of the book.
            pub const ALL: &[Self] = &[$(Self::$variant),+];
            /// The words of the file.
            pub const WORDS: &[$crate::sheet::Word] =
                &[$($crate::sheet::Word { text: $word, meaning: concat!($($word_doc),*) }),+];

            /// As written in a file.
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// From a file's word.
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|choice| choice.word() == word)
            }
        }

        impl $crate::sheet::FieldType for $name {
            const KIND: $crate::sheet::FieldKind = $crate::sheet::FieldKind::Choice(Self::WORDS);
            fn read<R: $crate::sheet::Reader>(
                reader: &mut R,
                field: &$crate::sheet::Field,
            ) -> Option<$crate::Stated<Self>> {
                let chosen = reader.choice(field, Self::WORDS)?;
                Some($crate::Stated::new(Self::ALL[chosen.value], chosen.place))
            }
        }
    )+};
}

pub(crate) use {choices, tables};

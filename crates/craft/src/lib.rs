//! Parts, facets, craft, refit and needs, as the builder describes them.

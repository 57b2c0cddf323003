//! A bench assembled, predicted and judged.

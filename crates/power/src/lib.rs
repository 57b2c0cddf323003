//! Cells, packs, wires, regulators and the bus they share.

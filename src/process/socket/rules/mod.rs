//! Rules for socket fusion alone.

pub(crate) mod by_size;
pub(crate) mod cold;
pub(crate) mod cycles;
pub(crate) mod depth;
pub(crate) mod fit;
pub(crate) mod heat;
pub(crate) mod holder;
pub(crate) mod kit;
pub(crate) mod own_times;
pub(crate) mod reach;
pub(crate) mod reducer;
pub(crate) mod spigot;
pub(crate) mod tools;
pub(crate) mod unlike;
pub(crate) mod waits;

//! A batch in parts: which specs a part makes, and the manifests of the parts joined.

pub mod merge;
pub mod shard;

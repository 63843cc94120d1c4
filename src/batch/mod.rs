//! A batch built in parts. `--shard 3/16` assigns specs by a digest of the
//! procedure number, so that two specs with the same number land in the same
//! part, which reports them; a file that is not a spec goes by its bytes, a
//! fuser by badge. Every part reads all specs (0.2 ms each), builds its share,
//! and writes a manifest with a digest of the whole batch, so `merge` can tell
//! a missing part from a part of another batch. Scheduling is left to a cluster
//! or GNU parallel. `merge` reads manifests only, not papers.

pub(crate) mod merge;
pub(crate) mod shard;

//! Rules about merging the manifests of several output folders.

use crate::core::finding::rules;

rules! {
    MANIFEST_NOT_READ = error("A manifest that is to be joined with others cannot be read.")
        .why("What it lists would be missing from the whole list, and nobody would know which \
              paper belongs to which state of the spec.")
        .example("{\"version\": 1, \"number\": \"AF-JP-12\", \"rev      # \
                  out/AF-JP-12-r2/manifest.json")
        .fix("Build the papers of that folder again, with the same version of coldring that joins \
              them.");
    SHARD_MISSING = error("A batch was made in parts with --shard, and a part of it is not there.")
        .why("The procedures or fusers of that part have no papers, or still have those of an \
              earlier batch: a crew would work by a revision that is no longer in effect.")
        .example("{\"shard\": {\"number\": 1, \"of\": 2}}      # and no folder holds 2 of 2")
        .fix("Run the missing part with the same files, options and version, and give its folder \
              too. Parts that were not given the same are parts of different batches.");
    SAME_PAPER_DIFFERS = error("Two folders hold the same paper with different contents.")
        .why("Two crews would work from papers of the same number and revision that do not say the \
              same.")
        .example("{\"number\": \"AF-JP-12\", \"revision\": 2}      # in out-1 and in out-2, with \
                  two digests")
        .fix("Find out which spec is the current one, give a changed spec a new revision, and \
              build all parts from the same files, options and version.");
    PAPERS_OF_SHARD_MISSING = error(
        "A part of a batch wrote papers of a procedure, and no folder holds them.")
        .why("The list would pass for whole while a crew has no paper, or one of an earlier batch.")
        .example("{\"specs\": [{\"number\": \"AF-JP-12\", \"revision\": 2, \"files\": 4}]}      # \
                  and no such folder")
        .fix("Give the folders of all parts whole, or run that part again.");
}

//! Runs that are killed at random moments, and two at once: whatever lies in the
//! folder is a paper of the one spec or of the other, byte for byte.

use std::collections::{BTreeMap, BTreeSet};
use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use tempfile::{TempDir, tempdir};

use crate::support::{AS_OF, coldring, file, gas_alone, names_in, run, sha256};

/// How many runs are killed, unless `COLDRING_KILLS` says otherwise: each takes
/// the time of a build.
const KILLS: usize = 25;

const PAPERS: &str = "AF-JP-12-r2";

struct Ground {
    folder: TempDir,
    /// Two specs of the same number and revision.
    specs: [String; 2],
    /// The digests that each file may have.
    known: BTreeMap<String, BTreeSet<String>>,
    /// How long a build takes.
    takes: Duration,
}

impl Ground {
    fn new() -> Self {
        let folder = tempdir().unwrap();
        let other = gas_alone().replace("title: ", "title: Other ");
        let specs = [
            file(&folder, "one.yaml", gas_alone()),
            file(&folder, "other.yaml", other),
        ];
        let mut known: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        let mut takes = Duration::ZERO;
        for (i, spec) in specs.iter().enumerate() {
            let out = folder.path().join(format!("known-{i}"));
            let started = Instant::now();
            let ran = run(&mut build(spec, &out));
            takes = started.elapsed();
            assert_eq!(ran.code, Some(0), "{}", ran.err);
            for (name, digest) in digests(&out.join(PAPERS)) {
                known.entry(name).or_default().insert(digest);
            }
        }
        // A kill that mixed two papers up must be seen.
        assert!(
            known.values().all(|digests| digests.len() == 2),
            "{known:?}"
        );
        Self {
            folder,
            specs,
            known,
            takes,
        }
    }

    fn out(&self) -> PathBuf {
        self.folder.path().join("out")
    }

    fn all_are_whole(&self, what: &str) {
        let papers = self.out().join(PAPERS);
        let found = digests(&papers);
        assert_eq!(found.len(), self.known.len(), "{what}: {found:?}");
        for (name, digest) in found {
            assert!(self.known[&name].contains(&digest), "{what}: {name}");
        }
    }
}

fn build(spec: &str, out: &Path) -> Command {
    let mut command = coldring();
    command.args(["build", "--force", "--as-of", AS_OF, spec, "--out"]);
    command.arg(out).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

fn digests(papers: &Path) -> BTreeMap<String, String> {
    let digest = |name: String| {
        let bytes = fs::read(papers.join(&name)).unwrap();
        (name, sha256(&bytes))
    };
    names_in(papers).into_iter().map(digest).collect()
}

fn left_overs(papers: &Path) -> usize {
    let names = fs::read_dir(papers).unwrap();
    let hidden = names.filter(|entry| {
        let name = entry.as_ref().unwrap().file_name();
        name.to_str().unwrap().starts_with('.')
    });
    hidden.count()
}

fn clear_left_overs(papers: &Path) {
    for entry in fs::read_dir(papers).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "part") {
            fs::remove_file(path).unwrap();
        }
    }
}

/// Waits until a run writes, which is a short part of it, or has ended.
fn until_it_writes(run: &mut Child, papers: &Path) {
    while run.try_wait().unwrap().is_none() && left_overs(papers) == 0 {
        sleep(Duration::from_micros(200));
    }
}

#[test]
fn killed_runs_leave_whole_papers() {
    let ground = Ground::new();
    let papers = ground.out().join(PAPERS);
    let [one, _] = &ground.specs;
    assert_eq!(run(&mut build(one, &ground.out())).code, Some(0));
    let kills = env::var("COLDRING_KILLS").map_or(KILLS, |kills| kills.parse().unwrap());
    let mut random = 12_345_u64;
    let (mut killed, mut halves) = (0, 0);
    for i in 0..kills {
        random = random
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let share = u32::try_from(random >> 44).unwrap();
        let spec = &ground.specs[i % 2];
        if i % 3 != 0 {
            // What the last one left is not what this one writes.
            clear_left_overs(&papers);
        }
        let mut run = build(spec, &ground.out()).spawn().unwrap();
        if i % 3 == 0 {
            sleep(ground.takes * share / (1 << 20));
        } else {
            until_it_writes(&mut run, &papers);
            // A quiet machine writes the papers in a few milliseconds.
            sleep(Duration::from_millis(2) * share / (1 << 20));
        }
        run.kill().unwrap();
        killed += usize::from(run.wait().unwrap().code().is_none());
        halves += left_overs(&papers);
        ground.all_are_whole(&format!("kill {i}"));
    }
    println!("{killed} of {kills} runs were killed, {halves} left a half-written file");
    assert!(killed * 2 > kills, "only {killed} of {kills} were killed");
    fs::write(papers.join(".coldring-card.pdf.part"), "half").unwrap();
    assert_eq!(run(&mut build(one, &ground.out())).code, Some(0));
    assert_eq!(left_overs(&papers), 0);
    ground.all_are_whole("at the end");
}

#[test]
fn two_runs_at_once_give_the_papers_of_one_of_them() {
    let ground = Ground::new();
    for _ in 0..3 {
        let mut runs = ground
            .specs
            .each_ref()
            .map(|spec| build(spec, &ground.out()).spawn().unwrap());
        for run in &mut runs {
            assert_eq!(run.wait().unwrap().code(), Some(0));
        }
        ground.all_are_whole("two at once");
        // The lock is held for all of a run's files, so they are of one run.
        let manifest = ground.out().join(PAPERS).join("manifest.json");
        let manifest: serde_json::Value =
            serde_json::from_slice(&fs::read(manifest).unwrap()).unwrap();
        let found = digests(&ground.out().join(PAPERS));
        for file in crate::support::list(&manifest, "files") {
            let name = file["name"].as_str().unwrap();
            assert_eq!(file["sha256"], found[name], "{name}");
        }
    }
}

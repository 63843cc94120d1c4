//! The embedded tables, read from YAML once, with a resin made ready to
//! compute with when it is first asked for.

use std::sync::{LazyLock, OnceLock};

use crate::process::socket::heat::material::Material;
use crate::process::socket::heat::properties::{Process, Resin, ResinProperties};

/// All input data of the model.
#[derive(Debug)]
pub(crate) struct Tables {
    /// Properties of the resins, as published.
    pub(crate) resins: Vec<ResinProperties>,
    /// The surroundings.
    pub(crate) process: Process,
    materials: Vec<OnceLock<Material>>,
}

impl Tables {
    /// The embedded tables.
    ///
    /// # Errors
    /// The reader's words, should an embedded table be malformed; a test
    /// keeps that from being released.
    pub(crate) fn embedded() -> Result<&'static Tables, &'static str> {
        static TABLES: LazyLock<Result<Tables, String>> = LazyLock::new(|| {
            Tables::read(include_str!("resins.yaml"), include_str!("process.yaml"))
        });
        TABLES.as_ref().map_err(String::as_str)
    }

    fn read(resins: &str, process: &str) -> Result<Self, String> {
        let resins: Vec<ResinProperties> =
            serde_yaml::from_str(resins).map_err(|error| error.to_string())?;
        let process: Process = serde_yaml::from_str(process).map_err(|error| error.to_string())?;
        let materials = resins.iter().map(|_| OnceLock::new()).collect();
        Ok(Self {
            resins,
            process,
            materials,
        })
    }

    /// A resin's properties as published, with their basis.
    pub(crate) fn properties(&self, resin: Resin) -> Option<&ResinProperties> {
        self.resins.iter().find(|row| row.resin == resin)
    }

    /// A resin ready to compute with.
    pub(super) fn material(&self, resin: Resin) -> Option<&Material> {
        let mut rows = self.resins.iter().zip(&self.materials);
        let (properties, material) = rows.find(|(row, _)| row.resin == resin)?;
        let curve = &self.process.melting_curve.value;
        Some(material.get_or_init(|| Material::new(properties, curve)))
    }
}

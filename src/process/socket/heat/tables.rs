//! The embedded tables, read from YAML once, with each resin made ready to
//! compute with.

use std::sync::LazyLock;

use crate::process::socket::heat::material::Material;
use crate::process::socket::heat::properties::{Process, Resin, ResinProperties};

/// All input data of the model.
#[derive(Debug)]
pub(crate) struct Tables {
    /// Properties of the resins, as published.
    pub(crate) resins: Vec<ResinProperties>,
    /// The surroundings.
    pub(crate) process: Process,
    materials: Vec<(Resin, Material)>,
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
        let materials = resins
            .iter()
            .map(|properties| {
                let curve = &process.melting_curve.value;
                (properties.resin, Material::new(properties, curve))
            })
            .collect();
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
        self.materials
            .iter()
            .find(|(name, _)| *name == resin)
            .map(|(_, material)| material)
    }
}
